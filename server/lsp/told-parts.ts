/** What hover tells of a mechanism and of its parts: what was reckoned, what is given, what was taken as usual. */
import type { Band, Given, Key, Mechanism, Part, Post, Push, Ratchet, Spring } from '../../language/mechanism.ts';
import { nameOf, type Scalar, scalars } from '../../language/properties.ts';
import { say, wants } from '../../language/units.ts';
import type { Reckoned } from '../protocol.ts';
import type { CamFigure, Figures, Fraction, MeshFigure } from '../reckon/figures.ts';
import { pushTurn } from '../reckon/force/push.ts';
import { deg, lines, list, mm } from './said.ts';

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
  if (cam) return lines(camLines(cam, mechanism));
  const shaft = figures.shafts.find((one) => one.name === name);
  if (shaft) {
    const { ratio, turns, step, leads } = shaft;
    return lines([
      leads ? 'leads: steps are counted on it' : undefined,
      ratio && !leads && figures.leading !== undefined ? turnsFor(ratio, figures.leading) : undefined,
      ratio ? `turns ${turns}, ${deg(Math.abs(step))} a step` : 'no train reaches it',
    ]);
  }
  const gear = figures.gears.find((one) => one.name === name);
  if (gear) {
    const meshes = figures.meshes.filter(({ gears }) => gears.includes(name));
    return lines([
      `pitch radius ${mm(gear.pitchRadius)}, tip ${mm(gear.tipRadius)}, root ${mm(gear.rootRadius)}`,
      ...meshes.map(
        ({ gears, centreDistance, idealCentreDistance }) =>
          `meshes with ${gears[0] === name ? gears[1] : gears[0]}: centres ${mm(centreDistance)} apart, ideal ${mm(idealCentreDistance)}`,
      ),
      ...meshes.flatMap((mesh) => toothLines(mesh, name, figures)),
    ]);
  }
  const segment = mechanism.segments.find((one) => one.name === name);
  if (segment) return lines(segmentLines(name, figures, mechanism));
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

/** What one tooth by which a gear is put in wrongly does to the cams that it drives, or that are driven through it. */
function toothLines({ gears, toothOff }: MeshFigure, gear: string, { cams }: Figures): string[] {
  const other = gears[0] === gear ? gears[1] : gears[0];
  return toothOff.flatMap(({ shaft, turn }) => {
    const own = cams.filter((cam) => cam.shaft === shaft).map(({ name }) => name);
    return own.length ? `one tooth off at ${other} turns the cams of ${shaft} by ${deg(turn)}: ${list(own)}` : [];
  });
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
function workLines(part: Work, { step, shafts }: Figures, mechanism: Mechanism): (string | undefined)[] {
  const onStep = (shaft: string | undefined) => shafts.find(({ name }) => name === shaft)?.step ?? step;
  switch (part.kind) {
    case 'key': {
      const users = mechanism.shafts.filter(({ key }) => key?.name === part.name).map(({ name }) => name);
      return [part.shape && `shape ${part.shape.value}`, users.length ? `on ${list(users)}` : 'no shaft has it'];
    }
    case 'spring':
      return [`returns ${list(part.returns.map(({ name }) => name))}: one on each`, ...springForces(part, mechanism)];
    case 'post':
      return [part.at && `at ${mm(part.at.value.x)}, ${mm(part.at.value.y)}`];
    case 'band': {
      const { section } = part;
      return [
        `around ${list(part.around.map(({ name, inside }) => (inside ? `inside ${name}` : name)))}`,
        section && `section ${mm(section.value.width)} by ${mm(section.value.height)}`,
      ];
    }
    case 'ratchet': {
      const { shaft, teeth, arm } = part;
      const turned = onStep(shaft?.name);
      return [
        shaft && `on ${shaft.name}`,
        teeth && `${deg((2 * Math.PI) / teeth.value)} a tooth${turned ? `, ${deg(Math.abs(turned))} a step` : ''}`,
        arm && `pawl's arm ${mm(arm.value.length)} by ${mm(arm.value.thickness)} by ${mm(arm.value.width)}`,
      ];
    }
    case 'push': {
      const { shaft, arm, start, stroke } = part;
      const turned = onStep(shaft?.name);
      const swing = arm && start && stroke && pushTurn(arm.value, start.value, stroke.value);
      const needed = turned ? `; a step is ${deg(Math.abs(turned))}` : '';
      return [
        shaft && `turns ${shaft.name}`,
        swing === undefined ? undefined : `one push turns it by ${deg(swing)}${needed}`,
        arm && start && stroke && swing === undefined ? 'the stroke goes further than the pin can' : undefined,
        part.return && `brought back by ${part.return.name}`,
      ];
    }
  }
}

/** The force of a spring of stated rate on its segments, lowered and raised; together where all are alike. */
function springForces({ rate, preload, returns }: Spring, { segments }: Mechanism): string[] {
  if (!rate || !preload) return [];
  const raised = returns.flatMap(({ name }) => {
    const stroke = segments.find((one) => one.name === name)?.stroke;
    return stroke ? [say(preload.value + rate.value * stroke.value, wants.force)] : [];
  });
  const all = [...new Set(raised)];
  return all.length ? [`force ${say(preload.value, wants.force)} lowered, ${all.join(' or ')} raised`] : [];
}

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
  ];
}

function segmentLines(name: string, { positions, cams }: Figures, mechanism: Mechanism): (string | undefined)[] {
  const at = (index: number) => mechanism.count?.symbols[index % mechanism.count.symbols.length]?.text ?? `${index}`;
  const seen = positions.filter(({ shown }) => shown.includes(name)).map(({ symbol }) => symbol);
  const cam = cams.find(({ segments }) => segments.includes(name));
  const raised = cam?.raisedAt.flatMap((up, index) => (up ? [at(index)] : []));
  return [
    positions.length ? `shown at ${list([...new Set(seen)])}` : undefined,
    raised && `raised by ${cam!.name} at ${list([...new Set(raised)])}`,
    cam ? undefined : 'no cam drives it',
  ];
}

/** The values that a part does not give and that were taken as usual. */
export function defaultLines({ defaults }: Figures, name: Part['name']): string | undefined {
  const own = defaults.filter(({ of }) => of.startsWith(`${name}.`));
  if (!own.length) return undefined;
  const rows = own.map(({ of, value, because }) => `${of.slice(name.length + 1)}: ${value} (${because})`);
  return `Not given, taken as usual:\n${lines(rows)}`;
}
