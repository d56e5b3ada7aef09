/** What hover tells of a mechanism and of its parts: what was reckoned, what is given, what was taken as usual. */
import type { Band, Given, Key, Mechanism, Part, Post, Push, Ratchet, Spring } from '../../language/mechanism.ts';
import { nameOf, type Scalar, scalars } from '../../language/properties.ts';
import { say, wants } from '../../language/units.ts';
import type { Reckoned } from '../protocol.ts';
import type { CamFigure, Figures, Fraction, MeshFigure } from '../reckon/figures.ts';
import { armForce, armStrain, pushTurn, steppingOf } from '../reckon/force/push.ts';
import { deg, lines, list, mm } from './said.ts';
import { keyLines, slidingLines, turningLines } from './told-shape.ts';

/** What was reckoned of a mechanism as a whole. */
export function mechanismLines({ mechanism, figures, findings }: Reckoned): string | undefined {
  const standing = findings.filter(({ accepted }) => accepted === undefined);
  return lines([
    mechanism.about.title,
    figures.step === undefined ? undefined : `${figures.positions.length} rest positions, ${deg(figures.step)} a step`,
    figures.leading === undefined ? undefined : `led by shaft ${figures.leading}`,
    standing.length ? `${standing.length} finding${standing.length === 1 ? '' : 's'}` : 'nothing wrong',
  ]);
}

/** What was reckoned of a part, by what it is. */
export function partLines({ mechanism, figures }: Reckoned, name: string): string | undefined {
  const cam = figures.cams.find((one) => one.name === name);
  if (cam) return lines([...camLines(cam, mechanism), ...turningLines(figures, 'cam', name)]);
  const shaft = figures.shafts.find((one) => one.name === name);
  if (shaft) {
    const { ratio, turns, step, leads } = shaft;
    return lines([
      leads ? 'leads: steps are counted on it' : undefined,
      ratio && !leads && figures.leading !== undefined ? turnsFor(ratio, figures.leading) : undefined,
      ratio ? `turns ${turns}, ${deg(Math.abs(step))} a step` : 'no train reaches it',
      ...turningLines(figures, 'shaft', name),
      windUpLine(name, figures),
    ]);
  }
  const gear = figures.gears.find((one) => one.name === name);
  if (gear) {
    const meshes = figures.meshes.filter(({ gears }) => gears.includes(name));
    return lines([
      `pitch radius ${mm(gear.pitchRadius)}, tip ${mm(gear.tipRadius)}, root ${mm(gear.rootRadius)}`,
      ...meshes.map((mesh) => meshLine(mesh, name)),
      ...meshes.flatMap((mesh) => toothLines(mesh, name, figures)),
      ...turningLines(figures, 'gear', name),
    ]);
  }
  const segment = mechanism.segments.find((one) => one.name === name);
  if (segment) {
    const swings = segment.follower.value.kind === 'pivoted';
    return lines([...segmentLines(name, figures, mechanism), ...slidingLines(figures, name, swings)]);
  }
  const other = [
    mechanism.keys,
    mechanism.springs,
    mechanism.posts,
    mechanism.bands,
    mechanism.ratchets,
    mechanism.pushes,
  ]
    .flat()
    .find((one) => one.name === name);
  return other && lines([...workLines(other, figures, mechanism), stated(other)]);
}

/** How a gear meshes with another: on which centres, and how its teeth meet. */
function meshLine({ gears, centreDistance, idealCentreDistance, ...mesh }: MeshFigure, gear: string): string {
  const { activeContactRatio: ratio, tipClearance: tips } = mesh;
  return [
    `meshes with ${gears[0] === gear ? gears[1] : gears[0]}: centres ${mm(centreDistance)} apart, ideal ${mm(idealCentreDistance)}`,
    ...(ratio === undefined ? [] : [`${ratio.toFixed(2)} pairs of teeth in contact`]),
    ...(tips === undefined
      ? []
      : [tips > 0 ? `tips clear of the roots by ${mm(tips)}` : `tips ${mm(-tips)} into the roots`]),
  ].join(', ');
}

/** What one tooth by which a gear is put in wrongly does to the cams that it drives, or that are driven through it. */
function toothLines({ gears, toothOff }: MeshFigure, gear: string, { cams }: Figures): string[] {
  const other = gears[0] === gear ? gears[1] : gears[0];
  return toothOff.flatMap(({ shaft, turn }) => {
    const own = cams.filter((cam) => cam.shaft === shaft).map(({ name }) => name);
    return own.length ? `one tooth off at ${other} turns the cams of ${shaft} by ${deg(turn)}: ${list(own)}` : [];
  });
}

/** How far a shaft gives at the hardest step. */
function windUpLine(name: string, { windUps }: Figures): string | undefined {
  const found = windUps.find(({ shaft }) => shaft === name);
  if (!found) return undefined;
  const { torque, length, angle, atRest } = found;
  const stays = Math.max(0, ...atRest.cams.map((cam) => cam.angle));
  const still =
    deg(stays) === '0°'
      ? 'next to nothing of it stays at a rest'
      : `up to ${deg(stays)} of it stays at a rest, held by the friction of the noses (${say(significant(atRest.torque), wants.torque)}): so far behind lie its cams`;
  return `winds up by at most ${deg(angle)} under the ${say(significant(torque), wants.torque)} of the hardest step, over ${mm(length)}; ${still}`;
}

/** How often a shaft turns while the leading one does, and whether the same way. */
function turnsFor({ num, den }: Fraction, leading: string): string {
  const times = Math.abs(num);
  const often = times === 1 ? 'once' : times === 2 ? 'twice' : `${times} times`;
  const per = den === 1 ? `each turn of ${leading}` : `every ${den} turns of ${leading}`;
  return `turns ${often} for ${per}, ${num < 0 ? 'the other way' : 'the same way'}`;
}

type Work = Key | Spring | Post | Band | Ratchet | Push;

/** What a part does that is neither cam nor gear nor bar. */
function workLines(part: Work, figures: Figures, mechanism: Mechanism): (string | undefined)[] {
  const { step, shafts } = figures;
  const onStep = (shaft: string | undefined) => shafts.find(({ name }) => name === shaft)?.step ?? step;
  switch (part.kind) {
    case 'key': {
      const users = mechanism.shafts.filter(({ key }) => key?.name === part.name).map(({ name }) => name);
      return [
        part.shape && `shape ${part.shape.value}`,
        users.length ? `on ${list(users)}` : 'no shaft has it',
        ...keyLines(figures, part.name),
      ];
    }
    case 'spring':
      return [
        `returns ${list(part.returns.map(({ name }) => name))}: one on each`,
        ...springLines(part, figures, mechanism),
      ];
    case 'post':
      return [part.at && `at ${mm(part.at.value.x)}, ${mm(part.at.value.y)}`];
    case 'band': {
      const { section } = part;
      return [
        `around ${list(part.around.map(({ name, inside }) => (inside ? `inside ${name}` : name)))}`,
        section && `section ${mm(section.value.width)} by ${mm(section.value.height)}`,
        ...bandLines(part.name, figures),
      ];
    }
    case 'ratchet': {
      const { shaft, teeth, arm } = part;
      const turned = onStep(shaft?.name);
      return [
        shaft && `on ${shaft.name}`,
        teeth && `${deg((2 * Math.PI) / teeth.value)} a tooth${turned ? `, ${deg(Math.abs(turned))} a step` : ''}`,
        arm && `pawl's arm ${mm(arm.value.length)} by ${mm(arm.value.thickness)} by ${mm(arm.value.width)}`,
        armLine(part),
      ];
    }
    case 'push': {
      const { shaft, arm, start, stroke } = part;
      const swing = arm && start && stroke && pushTurn(arm.value, start.value, stroke.value);
      return [
        shaft && `turns ${shaft.name}`,
        swing === undefined ? undefined : `one push turns it by ${deg(swing)}${reserveSaid(part, figures, mechanism)}`,
        arm && start && stroke && swing === undefined ? 'the stroke goes further than the pin can' : undefined,
        part.return && `brought back by ${part.return.name}`,
      ];
    }
  }
}

/** How far a push goes beyond its step, and how far it may: "; a step is 30° and the play 0.5°, which leaves 3.56°". */
function reserveSaid(push: Push, figures: Figures, mechanism: Mechanism): string {
  const stepping = steppingOf(mechanism, figures).find((one) => one.push === push);
  if (stepping?.sweep === undefined) return '';
  const { step, play, sweep } = stepping;
  const reserve = sweep - step - play;
  const needed = `; a step is ${deg(step)}${play > 0 ? ` and the play ${deg(play)}` : ''}`;
  return reserve > 0 ? `${needed}, which leaves ${deg(reserve)}` : needed;
}

/** What the pawl's arm bears when it is lifted over a tooth. */
function armLine({ arm, deflection, process: { material } }: Ratchet): string | undefined {
  if (!arm || !deflection) return undefined;
  const { strain, modulus } = material;
  const bent = `lifted ${mm(deflection.value)} its arm is strained by ${percent(armStrain(arm.value, deflection.value))}`;
  const limit = strain ? ` (${material.name} bears ${percent(strain.value)})` : '';
  const force = modulus && armForce(arm.value, deflection.value, modulus.value);
  return `${bent}${limit}${force === undefined ? '' : ` and presses with ${say(significant(force), wants.force)}`}`;
}

/** Where a band is slackest and tautest. */
function bandLines(name: string, { bands, positions }: Figures): (string | undefined)[] {
  const band = bands.find((one) => one.name === name);
  if (!band) return [];
  const between = (values: readonly number[], said: (value: number) => string) => {
    const [least, most] = [Math.min(...values), Math.max(...values)];
    const at = (value: number) => `${said(value)} at ${positions[values.indexOf(value)]!.symbol}`;
    return said(least) === said(most) ? `${said(least)} at every symbol` : `${at(least)} to ${at(most)}`;
  };
  return [
    `path ${between(band.path, mm)}`,
    band.stretch && `stretch ${between(band.stretch, (stretch) => `${significant(stretch)}`)}`,
    band.tension && `tension ${between(band.tension, (force) => say(significant(force), wants.force))}, ± 30 %`,
  ];
}

/** The rate of a spring by its coil, its force on its segments lowered and raised, and how hard its wire works. */
function springLines(spring: Spring, { springs }: Figures, mechanism: Mechanism): (string | undefined)[] {
  const figure = springs.find(({ name }) => name === spring.name);
  if (!figure) return [];
  const { rate, coil, work } = figure;
  const reserve = work?.reserve === undefined ? '' : `, ${percent(work.reserve)} in reserve`;
  const buckles = coil?.buckling !== undefined && spring.free !== undefined && spring.free.value > coil.buckling;
  return [
    coil &&
      `rate ${say(significant(rate), wants.springRate)} by its coil: ${significant(coil.index)} times its wire wide`,
    ...springForces(spring, rate, mechanism),
    coil && work
      ? `wire stressed ${say(significant(work.stress), wants.stress)} (bears ${say(significant(coil.allowed), wants.stress)})`
      : undefined,
    coil?.range === undefined
      ? coil && `${mm(coil.solid)} long with its turns touching`
      : `solid at ${mm(coil.solid)}, after ${mm(coil.range)}${reserve}`,
    buckles ? `buckles unless it is guided: it is longer than ${mm(coil.buckling!)}` : undefined,
  ];
}

/** Together where all are alike. */
function springForces({ preload, returns }: Spring, rate: number, { segments }: Mechanism): string[] {
  if (!preload) return [];
  const raised = returns.flatMap(({ name }) => {
    const stroke = segments.find((one) => one.name === name)?.stroke;
    return stroke ? [say(significant(preload.value + rate * stroke.value), wants.force)] : [];
  });
  const all = [...new Set(raised)];
  return all.length ? [`force ${say(preload.value, wants.force)} lowered, ${all.join(' or ')} raised`] : [];
}

/** No more digits than such a number is worth. */
const significant = (value: number): number => Number(value.toPrecision(3));

const percent = (share: number): string => `${significant(100 * share)} %`;

/** The values that a part is given, in its own block or by `every …`. */
function stated(part: Work): string | undefined {
  const rows = Object.entries<Scalar>(scalars[part.kind]).flatMap(([word, { wants: want }]) => {
    const value = (part as unknown as Record<string, Given<number> | undefined>)[word];
    if (!value || value.by === 'default' || value.by === 'process') return [];
    return `${nameOf(word)} ${say(value.value, want)}${value.tolerance ? ` ± ${say(value.tolerance, want)}` : ''}`;
  });
  return rows.length ? rows.join(', ') : undefined;
}

function camLines(cam: CamFigure, mechanism: Mechanism): (string | undefined)[] {
  const { pressureAngle, smallestBase, lift, pitchCurvature } = cam;
  const limit = mechanism.limits.pressureAngle.value;
  const up = lift.always
    ? 'up all round'
    : lift.lobes.length
      ? `up from ${lift.lobes.map(({ from, to }) => `${deg(from)} to ${deg(to)}`).join(', ')}`
      : 'down all round';
  return [
    `drives ${list(cam.segments)}`,
    up,
    `${cam.travel === undefined ? '' : `travel ${deg(cam.travel)}, `}rests ${deg(cam.spacing)} apart`,
    pressureAngle && `pressure angle ${deg(pressureAngle.value)} at ${deg(pressureAngle.at)} (limit ${deg(limit)})`,
    smallestBase === undefined ? undefined : `smallest base ${mm(smallestBase)}`,
    pitchCurvature?.convexMin && `least convex radius of the pitch curve ${mm(pitchCurvature.convexMin.value)}`,
    ...playLines(cam),
  ];
}

/** How far a cam and its bar may err, with the sum of parts. */
function playLines({ restMargin, restError, liftMargin, liftError }: CamFigure): (string | undefined)[] {
  const margin = restMargin === undefined ? '' : `; read right within ±${deg(restMargin)}`;
  const room = liftMargin === undefined ? '' : `; read right within ±${mm(liftMargin)}`;
  return [
    restError?.from.length
      ? `rests within ±${deg(restError.rss)} of its place (${restError.partial ? 'more, as something on the way is not given' : `±${deg(restError.worst)} at worst`})${margin}: ${restError.from
          .map(({ what, angle }) => `${what} ${deg(angle)}`)
          .join(' + ')}`
      : undefined,
    liftError?.from.length
      ? `lifts within ±${mm(liftError.rss)} (±${mm(liftError.worst)} at worst)${room}: ${liftError.from
          .map(({ what, length }) => `${what} ${mm(length)}`)
          .join(' + ')}`
      : undefined,
  ];
}

function segmentLines(
  name: string,
  { positions, cams, pressures }: Figures,
  mechanism: Mechanism,
): (string | undefined)[] {
  const pressed = pressures.find(({ segment }) => segment === name);
  const at = (index: number) => mechanism.count?.symbols[index % mechanism.count.symbols.length]?.text ?? `${index}`;
  const seen = positions.filter(({ shown }) => shown.includes(name)).map(({ symbol }) => symbol);
  const cam = cams.find(({ segments }) => segments.includes(name));
  const raised = cam?.raisedAt.flatMap((up, index) => (up ? [at(index)] : []));
  return [
    positions.length ? `shown at ${list([...new Set(seen)])}` : undefined,
    raised && `raised by ${cam!.name} at ${list([...new Set(raised)])}`,
    cam ? undefined : 'no cam drives it',
    pressed &&
      `pressed on ${pressed.cam} with up to ${say(significant(pressed.force), wants.force)}: at most ${say(significant(pressed.pressure), wants.stress)}`,
  ];
}

/** The values that a part does not give and that were taken as usual. */
export function defaultLines({ defaults }: Figures, name: Part['name']): string | undefined {
  const own = defaults.filter(({ of }) => of.startsWith(`${name}.`));
  if (!own.length) return undefined;
  const rows = own.map(({ of, value, because }) => `${of.slice(name.length + 1)}: ${value} (${because})`);
  return `Not given, taken as usual:\n${lines(rows)}`;
}
