/**
 * The figures as the command line prints them: JSON for programs, a table for people. Angles deg, lengths mm.
 * What is not reckoned is absent. Numbers are rounded to a millionth, so that the output is the same everywhere.
 */
import type { Place, Point } from '../../language/mechanism.ts';
import type { CamFigure, Extreme, Figures, Fraction, Lobe } from '../reckon/figures.ts';
import type { BandFigure } from '../reckon/force/bands.ts';
import type { SpringFigure } from '../reckon/force/springs.ts';
import type { CaseFigure } from '../reckon/force/steps.ts';
import type { FrameFigure } from '../reckon/frame/figure.ts';
import { degrees, wrapped } from '../reckon/motion/angles.ts';
import { liftAt, reach } from '../reckon/motion/lift.ts';
import type { Builds } from '../reckon/tolerance/builds.ts';
import { shiftOn } from '../reckon/tolerance/play.ts';
import { rounded, roundedThrough } from './rounded.ts';
import { nearestPairs, shapeJson, wallJson, wallOf } from './shape-figures.ts';

// ---- JSON --------------------------------------------------------------------------

/** A lobe in cam angles, deg, between which the follower is fully up; 0 ≤ from < 360, from ≤ to ≤ from + 360. */
export interface LobeDegrees {
  readonly from: number;
  readonly to: number;
}

/**
 * The object that `figures --format json` prints. `where` turns the place of what is missing into what the caller
 * prints of places; without it places are left out.
 */
export function figuresJson(all: readonly Figures[], where?: (place: Place) => unknown) {
  return {
    contract: 1,
    mechanisms: all.map((figures) => ({
      name: figures.name,
      ...(figures.step !== undefined && { stepDeg: rounded(degrees(figures.step)) }),
      positions: figures.positions.map(({ index, symbol, shown }) => ({ index, symbol, shown })),
      shafts: figures.shafts.map((shaft) => ({
        name: shaft.name,
        turns: shaft.turns,
        ...(shaft.step !== 0 && { degPerStep: rounded(degrees(Math.abs(shaft.step))) }),
        leads: shaft.leads,
      })),
      meshes: figures.meshes.map((mesh) => ({
        gears: mesh.gears,
        centreDistance: rounded(mesh.centreDistance),
        idealCentreDistance: rounded(mesh.idealCentreDistance),
        ...(mesh.contactRatio !== undefined && { contactRatio: rounded(mesh.contactRatio) }),
        ...(mesh.activeContactRatio !== undefined && { activeContactRatio: rounded(mesh.activeContactRatio) }),
        ...(mesh.tipClearance !== undefined && { tipClearance: rounded(mesh.tipClearance) }),
        backlashDeg: rounded(degrees(mesh.backlash)),
        toothOffDeg: mesh.toothOff.map(({ shaft, turn }) => ({ shaft, deg: rounded(degrees(turn)) })),
      })),
      cams: figures.cams.map((cam) => camJson(cam, figures)),
      ...shapeJson(figures),
      steps: figures.steps,
      springs: figures.springs.map(springJson),
      bands: figures.bands.map(bandJson),
      cases: figures.forces.cases.map(caseJson),
      storedEnergy: figures.forces.stored.map(rounded),
      jamFriction: figures.forces.jamFriction.flatMap(({ segment, friction }) =>
        friction === undefined ? [] : [{ segment, friction: rounded(friction) }],
      ),
      pressures: figures.pressures.map(({ segment, cam, force, pressure, halfWidth }) => ({
        segment,
        cam,
        force: rounded(force),
        pressure: rounded(pressure),
        halfWidth: rounded(halfWidth),
      })),
      windUps: figures.windUps.map(({ shaft, torque, length, angle, atRest }) => ({
        shaft,
        torque: rounded(torque),
        length: rounded(length),
        deg: rounded(degrees(angle)),
        atRest: {
          torque: rounded(atRest.torque),
          cams: atRest.cams.map(({ cam, angle }) => ({ cam, deg: rounded(degrees(angle)) })),
        },
      })),
      ...(figures.rubs && {
        frictionWork: figures.rubs.map(({ at, of, cam, work }) => ({
          at,
          of,
          ...(cam !== undefined && { cam }),
          work: rounded(work),
        })),
      }),
      ...(figures.frame && { frame: frameJson(figures.frame) }),
      ...(figures.parts && { parts: figures.parts }),
      ...(figures.builds && { randomBuilds: roundedThrough(figures.builds) as Builds }),
      defaults: figures.defaults,
      missing: figures.missing.map(({ figure, wants, place }) => ({
        figure,
        wants,
        ...(where && { place: where(place) }),
      })),
    })),
  };
}

function camJson(cam: CamFigure, figures: Figures) {
  const raised = raisedPositions(cam);
  return {
    name: cam.name,
    shaft: cam.shaft,
    ...(cam.level !== undefined && { level: cam.level }),
    segments: cam.segments,
    raisedAt: symbolsAt(raised, figures),
    raisedAtPositions: raised,
    lobes: lobesInDegrees(cam),
    ...(cam.pressureAngle && {
      pressureAngle: { max: rounded(degrees(cam.pressureAngle.value)), at: turnDegrees(cam.pressureAngle.at) },
    }),
    ...(cam.smallestBase !== undefined && { smallestBase: rounded(cam.smallestBase) }),
    ...(cam.pitchCurvature && { pitchCurvature: radii(cam.pitchCurvature) }),
    ...(cam.profileCurvature && { profileCurvature: radii(cam.profileCurvature) }),
    ...(cam.lostLift && { lostLift: rounded(cam.lostLift.value) }),
    ...(cam.faceReach && {
      faceReach: { max: rounded(cam.faceReach.value), at: turnDegrees(cam.faceReach.at) },
    }),
    ...wallJson(figures, cam.name),
    ...(cam.restMargin !== undefined && { restMarginDeg: rounded(degrees(cam.restMargin)) }),
    ...(cam.restError && !cam.restError.partial && { restErrorDeg: restErrorJson(cam, figures) }),
  };
}

/** In deg of the cam's shaft; `ahead`: how far a push leaves it beyond its place, where nothing holds the train. */
function restErrorJson(cam: CamFigure, figures: Figures) {
  const { worst, rss, from } = cam.restError!;
  const ahead = shiftOn(cam, figures, figures.forwardRest);
  return {
    worst: rounded(degrees(worst)),
    rss: rounded(degrees(rss)),
    ...(ahead > 0 && { ahead: rounded(degrees(ahead)) }),
    from: from.map(({ what, angle }) => ({ what, deg: rounded(degrees(angle)) })),
  };
}

function springJson({ name, rate, lowered, raised, coil, work }: SpringFigure) {
  return {
    name,
    rate: rounded(rate),
    ...(lowered !== undefined && { lowered: rounded(lowered) }),
    ...(raised !== undefined && { raised: rounded(raised) }),
    ...(coil && {
      coil: coil.kind,
      index: rounded(coil.index),
      correction: rounded(coil.correction),
      solid: rounded(coil.solid),
      ...(coil.range !== undefined && { range: rounded(coil.range) }),
      allowedStress: rounded(coil.allowed),
    }),
    ...(work && { stress: rounded(work.stress) }),
    ...(work?.reserve !== undefined && { reserve: rounded(work.reserve) }),
  };
}

function caseJson({ friction, direction, usedByFindings, steps }: CaseFigure) {
  const given = (name: string, value: number | undefined) => (value === undefined ? {} : { [name]: rounded(value) });
  return {
    friction,
    direction,
    usedByFindings,
    steps: steps.map(({ index, peakTorque, leastTorque, meanTorque, peakPush, shares, returnMargin, jammed }) => ({
      index,
      ...given('peakTorque', peakTorque),
      ...given('leastTorque', leastTorque),
      ...given('meanTorque', meanTorque),
      ...given('peakPush', peakPush),
      ...(returnMargin && {
        returnMargin: { segment: returnMargin.segment, ratio: rounded(returnMargin.ratio) },
      }),
      shares: shares.map(({ segment, torque }) => ({ segment, torque: rounded(torque) })),
      ...(jammed.length > 0 && { jammed }),
    })),
  };
}

function bandJson({ name, path, stretch, tension }: BandFigure) {
  return {
    name,
    path: path.map(rounded),
    ...(stretch && { stretch: stretch.map(rounded) }),
    ...(tension && { tension: tension.map(rounded) }),
  };
}

/** The layout of the frame: lengths mm, places on the face. */
function frameJson({ plate, between, windowed, screw, screws, lengths, bearings, guides, ...rest }: FrameFigure) {
  const { clashes, wide, unheld, springs, rails, pawls, unsprung, unseated } = rest;
  const at = ({ x, y }: Point) => ({ x: rounded(x), y: rounded(y) });
  return {
    plates: ['face plate', 'back plate', ...(windowed ? ['window plate'] : [])],
    plate: { width: rounded(plate.width), height: rounded(plate.height), thickness: rounded(plate.thickness) },
    between: rounded(between),
    onFace: {
      left: rounded(rest.outline.left),
      right: rounded(rest.outline.right),
      bottom: rounded(rest.outline.bottom),
      top: rounded(rest.outline.top),
    },
    screws: { ...screw, lengths, at: screws.map(({ x, y }) => ({ x: rounded(x), y: rounded(y) })) },
    bearings,
    guides: guides.map(({ segment, left, stated }) => ({ segment, left: rounded(left), stated: rounded(stated) })),
    springs: springs.map(({ spring, segment, size, moving, fixed, depth, aside, plate: on }) => ({
      spring,
      segment,
      coil: size.kind,
      wire: rounded(size.wire),
      mean: rounded(size.mean),
      turns: rounded(size.turns),
      free: rounded(size.free),
      lowered: rounded(size.lowered),
      raised: rounded(size.raised),
      atBar: at(moving),
      atFrame: at(fixed),
      on,
      depth: rounded(depth),
      beside: rounded(aside),
    })),
    pawls: pawls.map(({ ratchet, at: there, arm, length }) => ({
      ratchet,
      at: at(there),
      arm: rounded(arm),
      screw: length,
    })),
    buttons: rails.map(({ push, long, wide: across, stopped }) => ({
      push,
      guided: rounded(long),
      wide: rounded(across),
      stopped,
    })),
    noRoom: {
      screws: clashes.map(({ at, with: other, gap }) => ({
        x: rounded(at.x),
        y: rounded(at.y),
        with: other,
        gap: rounded(gap),
      })),
      bars: wide,
      posts: unheld,
      springs: unsprung,
      pawls: unseated,
    },
  };
}

/** Rest positions at which the follower is up: nearer to full lift than to none. */
function raisedPositions(cam: CamFigure): number[] {
  return cam.rests.flatMap((rest, i) => (liftAt(cam.lift, rest).lift > cam.lift.stroke / 2 ? [i] : []));
}

/** The symbols of some positions, each once. */
function symbolsAt(positions: readonly number[], { positions: all }: Figures): string[] {
  return [...new Set(positions.map((i) => all[i].symbol))];
}

export function lobesInDegrees({ lift }: CamFigure): LobeDegrees[] {
  if (lift.always) return [{ from: 0, to: 360 }];
  const full = lift.lobes.filter((lobe) => reach(lobe) > 1 - 1e-9);
  return full.map(inDegrees).sort((a, b) => a.from - b.from);
}

function inDegrees({ from, to }: Lobe): LobeDegrees {
  const start = turnDegrees(from);
  return { from: start, to: rounded(start + degrees(to - from)) };
}

function radii({ convexMin, concaveMin }: { readonly convexMin?: Extreme; readonly concaveMin?: Extreme }) {
  return {
    ...(convexMin && { convexMin: rounded(convexMin.value) }),
    ...(concaveMin && { concaveMin: rounded(concaveMin.value) }),
  };
}

/** An angle of the turn in deg, 0 ≤ a < 360 after rounding. */
function turnDegrees(angle: number): number {
  const turned = rounded(degrees(wrapped(angle)));
  return turned < 360 ? turned : 0;
}

// ---- text --------------------------------------------------------------------------------

function frameText({ frame }: Figures): string {
  if (!frame) return '';
  const { plate, between, screw, screws, lengths, bearings, guides, springs, pawls, rails } = frame;
  return [
    table(
      'Frame',
      ['', 'mm'],
      [
        ['plates', [plate.width, plate.height, plate.thickness].map(short).join(' x ')],
        ['between them', short(between)],
        [
          'screws',
          `${screws.length} x 2, M${screw.diameter} ${screw.head}, ${Object.values(lengths).join(' and ')} long`,
        ],
        ...screws.map(({ x, y }) => ['at', `${short(x)}, ${short(y)}`]),
      ],
    ),
    table(
      'Carried by',
      ['shaft', 'plates'],
      bearings.map(({ shaft, plates }) => [shaft, plates.join(', ')]),
    ),
    table(
      'Guided over',
      ['bar', 'mm', 'of mm'],
      guides.map(({ segment, left, stated }) => [segment, short(left), short(stated)]),
    ),
    table(
      'Springs sit',
      ['spring', 'bar', 'at the bar', 'at the frame', 'on', 'mm lowered', 'mm beside'],
      springs.map(({ spring, segment, moving, fixed, plate: on, size, aside }) => [
        spring,
        segment,
        `${short(moving.x)}, ${short(moving.y)}`,
        `${short(fixed.x)}, ${short(fixed.y)}`,
        on,
        short(size.lowered),
        short(Math.abs(aside)),
      ]),
    ),
    table(
      'Pawls and buttons',
      ['', 'at', 'mm'],
      [
        ...pawls.map(({ ratchet, at, arm }) => [
          ratchet,
          `foot at ${short(at.x)}, ${short(at.y)}`,
          `arm ${short(arm)}`,
        ]),
        ...rails.map(({ push, long }) => [push, 'between rails', `guided over ${short(long)}`]),
      ],
    ),
  ].join('\n\n');
}

/** The figures of one mechanism for people: a block of tables. */
export function figuresText(figures: Figures): string {
  const facts = [
    ...(figures.step !== undefined ? [`step ${short(degrees(figures.step))} deg`] : []),
    ...(figures.positions.length > 0 ? [`${figures.positions.length} rest positions a turn`] : []),
    ...(figures.leading !== undefined ? [`shaft ${figures.leading} leads`] : []),
  ];
  return [
    [figures.name, ...facts.map((fact) => `  ${fact}`)].join('\n'),
    table(
      'Positions',
      ['', 'symbol', 'shown', 'wrong'],
      figures.positions.map((p) => [`${p.index}`, p.symbol, p.shown.join(' '), p.wrong.join(' ')]),
    ),
    table(
      'Steps',
      ['', 'from', 'to', 'rising', 'falling'],
      figures.steps.map((s) => [`${s.index}`, s.from, s.to, s.rising.join(' '), s.falling.join(' ')]),
    ),
    table(
      'Shafts',
      ['name', 'turns', 'deg a step', 'ratio'],
      figures.shafts.map((s) => [
        s.name,
        s.turns,
        s.step === 0 ? '' : short(degrees(Math.abs(s.step))),
        ratio(s.ratio),
      ]),
    ),
    table(
      'Meshes',
      ['gears', 'centres mm', 'ideal mm', 'contact ratio', 'tips clear, mm', 'backlash deg', 'one tooth off, deg'],
      figures.meshes.map((m) => [
        m.gears.join(' '),
        short(m.centreDistance),
        short(m.idealCentreDistance),
        short(m.activeContactRatio),
        short(m.tipClearance),
        short(degrees(m.backlash)),
        m.toothOff.map(({ shaft, turn }) => `${shaft} ${short(degrees(turn))}`).join(' '),
      ]),
    ),
    table(
      'Cams',
      ['name', 'shaft', 'level', 'segments', 'raised at', 'fully up, deg'],
      figures.cams.map((cam) => [
        cam.name,
        cam.shaft,
        short(cam.level),
        cam.segments.join(' '),
        symbolsAt(raisedPositions(cam), figures).join(' '),
        lobesInDegrees(cam)
          .map(({ from, to }) => `${short(from)}–${short(to)}`)
          .join(', '),
      ]),
    ),
    table(
      'Cam shapes',
      [
        'name',
        'travel deg',
        'pressure angle deg',
        'at deg',
        'least radius mm',
        'lost lift mm',
        'wall mm',
        'smallest base mm',
      ],
      figures.cams
        .filter((cam) => cam.pressureAngle || cam.smallestBase !== undefined)
        .map((cam) => [
          cam.name,
          short(cam.travel && degrees(cam.travel)),
          short(cam.pressureAngle && degrees(cam.pressureAngle.value)),
          short(cam.pressureAngle && turnDegrees(cam.pressureAngle.at)),
          short(cam.profileCurvature?.convexMin?.value),
          cam.lostLift && cam.lostLift.value > 0.0005 ? short(cam.lostLift.value) : '',
          short(wallOf(figures, cam.name)?.value),
          short(cam.smallestBase),
        ]),
    ),
    table(
      'Keys',
      ['name', 'ways on', 'turned over', 'play deg'],
      figures.keyed.keys.map(({ name, waysOn, play }) => [
        name,
        `${waysOn.turned}`,
        `${waysOn.flipped}`,
        short(degrees(play)),
      ]),
    ),
    table(
      'Levels, from the face backwards',
      ['level', 'from mm', 'to mm', 'parts'],
      figures.stack.levels.map(({ level, from, to }) => [
        `${level}`,
        short(from),
        short(to),
        figures.stack.parts
          .filter((part) => part.level === level && (part.kind === 'cam' || part.kind === 'gear'))
          .map(({ name }) => name)
          .join(' '),
      ]),
    ),
    table(
      'Nearest to each other',
      ['', 'and', 'gap mm', 'when turned by, deg'],
      nearestPairs(figures).map(({ one, two, gap, turn }) => [
        one,
        two,
        short(gap),
        turn === undefined ? '' : short(degrees(turn)),
      ]),
    ),
    table(
      'Pushes, as assembled: N·mm, N',
      ['step', 'peak torque', 'mean', 'least', 'peak push', 'slackest return'],
      figures.forces.cases
        .filter(({ usedByFindings }) => usedByFindings)
        .flatMap(({ direction, steps }) =>
          steps.map((step) => [
            `${direction === 'reverse' ? 'back over ' : ''}${step.index}`,
            step.jammed.length > 0 ? `locks: ${step.jammed.join(' ')}` : short(step.peakTorque),
            short(step.meanTorque),
            short(step.leastTorque),
            short(step.peakPush),
            step.returnMargin ? `${step.returnMargin.segment} ${short(step.returnMargin.ratio)}` : '',
          ]),
        ),
    ),
    table(
      'Where to leave it standing: least stored first',
      ['symbol', 'stored N·mm'],
      figures.forces.stored
        .map((energy, i) => ({ energy, symbol: figures.positions[i].symbol }))
        .sort((a, b) => a.energy - b.energy)
        .slice(0, 3)
        .map(({ energy, symbol }) => [symbol, short(energy)]),
    ),
    table(
      'Springs',
      ['name', 'N/mm', 'N lowered', 'N raised', 'MPa', 'allowed MPa', 'solid mm', 'range mm', 'reserve'],
      figures.springs.map(({ name, rate, lowered, raised, coil, work }) => [
        name,
        short(rate),
        short(lowered),
        short(raised),
        short(work?.stress),
        short(coil?.allowed),
        short(coil?.solid),
        short(coil?.range),
        work?.reserve === undefined ? '' : `${Math.round(work.reserve * 100)} %`,
      ]),
    ),
    table(
      'Noses pressed hardest, at most',
      ['segment', 'cam', 'N', 'MPa', 'half width mm'],
      figures.pressures.map((p) => [p.segment, p.cam, short(p.force), short(p.pressure), short(p.halfWidth)]),
    ),
    table(
      'Shafts wound up, at most',
      ['shaft', 'N·mm', 'over mm', 'deg', 'N·mm at rest', 'deg of a cam'],
      figures.windUps.map(({ shaft, torque, length, angle, atRest }) => [
        shaft,
        short(torque),
        short(length),
        short(degrees(angle)),
        short(atRest.torque),
        short(degrees(Math.max(0, ...atRest.cams.map((cam) => cam.angle)))),
      ]),
    ),
    table('Where friction works, N·mm over a turn: grease first', ['', 'of', 'on', 'work', 'share'], rubRows(figures)),
    table(
      'Bands, at each position',
      ['name', '', 'symbol', 'path mm', 'stretch', 'N (± 30 %)'],
      figures.bands.flatMap(({ name, path, stretch, tension }) =>
        path.map((length, i) => [
          i === 0 ? name : '',
          `${i}`,
          figures.positions[i].symbol,
          short(length),
          short(stretch?.[i]),
          short(tension?.[i]),
        ]),
      ),
    ),
    table(
      'Rests',
      ['cam', 'margin deg', 'error deg, worst', 'rss', 'most of it', 'lift margin mm', 'lift error mm, worst', 'rss'],
      figures.cams
        .filter(({ restMargin, liftError }) => restMargin !== undefined || liftError)
        .map(({ name, restMargin, restError, liftMargin, liftError }) => [
          name,
          short(restMargin && degrees(restMargin)),
          short(restError && !restError.partial ? degrees(restError.worst) : undefined),
          short(restError && !restError.partial ? degrees(restError.rss) : undefined),
          restError && !restError.partial ? (restError.from[0]?.what ?? '') : '',
          short(liftMargin),
          short(liftError?.worst),
          short(liftError?.rss),
        ]),
    ),
    buildsText(figures),
    frameText(figures),
    table(
      'Parts',
      ['', 'name', 'kind', 'number', 'fingerprint'],
      (figures.parts ?? []).map(({ name, kind, count, made, fingerprint }) => [
        made,
        name,
        made === 'bought' ? '' : kind,
        `${count}`,
        fingerprint ?? '',
      ]),
    ),
    table(
      'Taken for granted',
      ['value of', 'is', 'because'],
      figures.defaults.map((d) => [d.of, d.value, d.because]),
    ),
    table(
      'Not reckoned',
      ['figure', 'wants'],
      figures.missing.map((m) => [m.figure, m.wants]),
    ),
  ]
    .filter((part) => part !== '')
    .join('\n\n')
    .concat('\n');
}

function rubRows({ rubs = [] }: Figures): string[][] {
  const whole = rubs.reduce((sum, { work }) => sum + work, 0);
  return rubs.map(({ at, of, cam, work }) => [at, of, cam ?? '', short(work), `${Math.round((100 * work) / whole)} %`]);
}

const percent = (share: number): string => `${(100 * share).toFixed(2)} %`;

/** How many of many random builds read right. */
function buildsText({ builds }: Figures): string {
  if (!builds) return '';
  const { count, seed, readRight, readRightWithoutShift, bySymbol, costliest } = builds;
  const without =
    readRightWithoutShift === undefined ? '' : ` (${percent(readRightWithoutShift)} did the push leave nothing ahead)`;
  return [
    table(
      `Random builds, ${count} with seed ${seed}`,
      ['symbol', 'read right'],
      Object.entries(bySymbol).map(([symbol, share]) => [symbol, percent(share)]),
    ),
    `  read right at every position: ${percent(readRight)}${without}`,
    ...(costliest === undefined ? [] : [`  what costs most: ${costliest}`]),
  ].join('\n');
}

const short = (value: number | undefined): string =>
  value === undefined ? '' : `${Math.round(value * 1000) / 1000 + 0}`;

const ratio = (fraction: Fraction | undefined): string =>
  fraction === undefined ? '' : fraction.den === 1 ? `${fraction.num}` : `${fraction.num}/${fraction.den}`;

/** A titled table; columns without anything in them are left out. */
export function table(title: string, heads: readonly string[], rows: readonly (readonly string[])[]): string {
  if (rows.length === 0) return '';
  const columns = heads.map((_, i) => i).filter((i) => rows.some((row) => row[i] !== ''));
  const number = columns.map((i) => rows.every((row) => /^-?[\d.]*$/.test(row[i])));
  const widths = columns.map((i) => Math.max(...[heads, ...rows].map((row) => [...row[i]].length)));
  const line = (row: readonly string[]): string =>
    columns
      .map((i, k) => {
        const gap = ' '.repeat(widths[k] - [...row[i]].length);
        return number[k] ? gap + row[i] : row[i] + gap;
      })
      .join('  ')
      .trimEnd();
  return [title, ...[heads, ...rows].map((row) => `  ${line(row)}`)].join('\n');
}
