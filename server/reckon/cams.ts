/** Every cam that is written far enough: its lobes, what is wanted of it, and the shape that follows. */
import { type Cam, type Flank, isUnclear, type Mechanism, type Segment } from '../../language/mechanism.ts';
import type { CamFigure, FollowedLift, ShaftFigure } from './figures.ts';
import { type Told, want } from './missing.ts';
import { degrees, turn, wrapped } from './motion/angles.ts';
import { liftAt } from './motion/lift.ts';
import {
  type FlankPlan,
  lobesBetweenRests,
  lobesByAngles,
  overlapsOf,
  type RaisedSlots,
  type RestCircle,
  raisedSlots,
  restAngle,
  restCircle,
  sameAfter,
} from './motion/lobes.ts';
import { litSegments } from './motion/positions.ts';
import { positive, shapedBy } from './shape/followers.ts';

export function camsOf(
  m: Mechanism,
  shafts: readonly ShaftFigure[],
  symbols: readonly string[],
  told: Told,
): CamFigure[] {
  const lit = litSegments(m);
  const segments = new Map(m.segments.map((segment) => [segment.name, segment]));
  return m.cams.flatMap((cam): CamFigure[] => {
    const shaft = shafts.find((one) => one.name === cam.shaft?.name);
    const follower = segments.get(cam.segments[0]?.name);
    if (!cam.shaft) want(told, cam, `lobes of ${cam.name}`, 'on');
    if (cam.segments.length === 0) want(told, cam, `lobes of ${cam.name}`, 'drives');
    if (follower && !follower.azimuth) want(told, follower, `lobes of ${cam.name}`, 'azimuth');
    if (follower && !positive(follower.stroke)) want(told, follower, `lift of ${cam.name}`, 'stroke');
    if (follower?.follower.value.kind === 'round' && !positive(follower.nose))
      want(told, follower, `pressure angle of ${cam.name}`, 'nose');
    if (!positive(cam.base)) want(told, cam, `pressure angle of ${cam.name}`, 'base');
    const unclear = cam.unclear.includes('lobe') || cam.unclear.includes('raised at');
    if (!shaft || !follower?.azimuth || unclear) return [];
    const figure = camFigure(m, cam, follower, follower.azimuth.value, shaft, symbols, lit, told);
    return figure ? [figure] : [];
  });
}

function camFigure(
  m: Mechanism,
  cam: Cam,
  follower: Segment,
  azimuth: number,
  shaft: ShaftFigure,
  symbols: readonly string[],
  lit: ReadonlyMap<string, ReadonlySet<string>>,
  told: Told,
): CamFigure | undefined {
  const circle =
    symbols.length > 0
      ? restCircle(azimuth, shaft.ratio ?? { num: 1, den: 1 }, shaft.sense, symbols.length)
      : undefined;
  const rests = symbols.map((_, i) => restAngle(circle!, i));
  const wanted = wantedOf(m, follower, symbols, lit);

  const flanks = flanksOf(cam, circle, shaft.sense);
  const program = programOf(cam, circle, symbols, wanted, flanks);
  if (!program) {
    if (cam.lobes.by === 'angles' && !flanks) want(told, cam, `lobes of ${cam.name}`, 'travel');
    return undefined;
  }
  const travel = program.leaning.some((side) => flanks?.[side].own === false) ? flanks?.travel : undefined;
  if (circle && travel !== undefined && !positive(cam.travel) && !isUnclear(cam, 'travel')) {
    told.defaults.push({
      of: `${cam.name}.travel`,
      value: `${Number(degrees(travel).toFixed(3))} deg`,
      because: '5/6 of the step',
    });
  }

  const stroke = positive(follower.stroke);
  const programmed: FollowedLift = {
    stroke: stroke ?? 1,
    ...(stroke === undefined && { relative: true }),
    ...program.lobes,
  };
  const scattered =
    program.raised !== undefined && circle !== undefined && circle.counts > 1 && circle.spacing < closestRests;
  const { lift, figures: shape } = scattered
    ? { lift: programmed, figures: {} }
    : shapedBy(m, cam, follower, programmed);
  if (shape.faceReach && !follower.stem && !isUnclear(follower, 'stem')) {
    told.defaults.push({
      of: `${follower.name}.stem`,
      value: `${Number((2 * shape.faceReach.value).toFixed(3))} mm`,
      because: `as wide as ${cam.name} touches its face`,
    });
  }
  const lifts = rests.map((rest) => liftAt(lift, rest).lift);
  const raisedAt = program.raisedAt ?? lifts.map((height) => height > lift.stroke / 2);
  const due = program.raisedAt ?? wanted;
  const hidden = (m.limits.hidden.value + 1e-9) * lift.stroke;
  const shown = (m.limits.shown.value - 1e-9) * lift.stroke;
  const spoilt = (i: number, up: boolean) =>
    due !== undefined && due[i] === up && (up ? lifts[i] < shown : lifts[i] > hidden);
  const conflicts = program.raised?.conflicts ?? [];

  return {
    name: cam.name,
    shaft: shaft.name,
    ...(cam.level && { level: cam.level.value }),
    segments: cam.segments.map((segment) => segment.name),
    azimuth: wrapped(azimuth),
    step: shaft.step,
    spacing: circle?.spacing ?? turn,
    ...(travel !== undefined && { travel }),
    rests,
    ...(wanted && { wanted }),
    raisedAt,
    conflicts,
    repeats:
      conflicts.length === 0 && repeatsAfter(programmed, circle, shaft, symbols.length, cam.lobes.by === 'angles'),
    lift,
    overlaps: scattered ? [] : overlapsOf(programmed, rests, spoilt),
    ...shape,
  };
}

/** What the count wants of the follower: `shown lowered` turns it over. A symbol unknown to the table moves nothing. */
function wantedOf(
  m: Mechanism,
  follower: Segment,
  symbols: readonly string[],
  lit: ReadonlyMap<string, ReadonlySet<string>>,
): boolean[] | undefined {
  if (!m.glyphs?.value.segments.includes(follower.name) || symbols.length === 0) return undefined;
  const lowered = follower.shown.value === 'lowered';
  const known = symbols.map((symbol) => lit.get(symbol)?.has(follower.name));
  let last = known.findLast((shown) => shown !== undefined) ?? false;
  return known.map((shown) => {
    last = shown ?? last;
    return last !== lowered;
  });
}

/** Rests of several counts that lie closer than this serve nobody: such a shaft drifts, and its cams have no shape. */
export const closestRests = turn / 120;

const sides = ['before', 'after'] as const;
type Side = (typeof sides)[number];

interface Flanks extends Readonly<Record<Side, SidePlan>> {
  readonly travel?: number;
}

interface SidePlan extends FlankPlan {
  /** It is as wide as the cam's `rise` or `fall` says, not as its travel. */
  readonly own: boolean;
}

/**
 * The flanks before and after every lobe. Under a counter-clockwise cam the cam angle falls, so that the rise is the
 * flank after the lobe and what is late lies at smaller angles; under a clockwise one the reverse.
 */
function flanksOf(cam: Cam, circle: RestCircle | undefined, sense: 1 | -1): Flanks | undefined {
  const travel = positive(cam.travel) ?? (circle && (5 / 6) * circle.spacing);
  const plan = (flank: Flank | undefined): SidePlan | undefined => {
    const own = positive(flank?.width);
    const width = own ?? travel;
    return width === undefined
      ? undefined
      : { width: Math.min(width, turn), shift: -sense * (flank?.late?.value ?? 0), own: own !== undefined };
  };
  const [rise, fall] = [plan(cam.rise), plan(cam.fall)];
  if (!rise || !fall) return undefined;
  const [before, after] = sense > 0 ? [fall, rise] : [rise, fall];
  return { ...(travel !== undefined && { travel }), before, after };
}

interface LobeProgram {
  readonly lobes: Omit<FollowedLift, 'stroke'>;
  /** The sides of which some lobe leaves the flank to the cam. */
  readonly leaning: readonly Side[];
  /** For lobes made from positions. */
  readonly raisedAt?: readonly boolean[];
  readonly raised?: RaisedSlots;
}

function programOf(
  cam: Cam,
  circle: RestCircle | undefined,
  symbols: readonly string[],
  wanted: readonly boolean[] | undefined,
  flanks: Flanks | undefined,
): LobeProgram | undefined {
  const law = cam.law.value;
  if (cam.lobes.by === 'angles') {
    const stated = cam.lobes.lobes;
    const planned = stated.map(({ from, to, before, after }) => ({
      from: from.value,
      to: to.value,
      before: positive(before) ?? flanks?.before.width,
      after: positive(after) ?? positive(before) ?? flanks?.after.width,
    }));
    if (planned.some(({ before, after }) => before === undefined || after === undefined)) return undefined;
    const lobes = lobesByAngles(
      planned.map((lobe) => ({ ...lobe, before: Math.min(lobe.before!, turn), after: Math.min(lobe.after!, turn) })),
      law,
    );
    const open: Readonly<Record<Side, boolean>> = {
      before: stated.some(({ before }) => !positive(before)),
      after: stated.some(({ before, after }) => !positive(after) && !positive(before)),
    };
    return { lobes, leaning: lobes.lobes.length > 0 ? sides.filter((side) => open[side]) : [] };
  }
  if (!circle || !flanks) return undefined;
  const raisedAt = cam.lobes.by === 'symbols' ? raisedBySymbols(cam.lobes.symbols, symbols) : wanted;
  if (!raisedAt) return undefined;
  const raised = raisedSlots(circle, raisedAt);
  const lobes = lobesBetweenRests(circle, raised.up, law, flanks.before, flanks.after);
  return { lobes, leaning: lobes.lobes.length > 0 ? sides : [], raisedAt, raised };
}

function raisedBySymbols(stated: readonly { readonly text: string }[], symbols: readonly string[]): boolean[] {
  const up = new Set(stated.map((symbol) => symbol.text));
  return symbols.map((symbol) => up.has(symbol));
}

/** Whether the cam does in the next count what it did in this. Lobes made from positions without conflict do. */
function repeatsAfter(
  lift: FollowedLift,
  circle: RestCircle | undefined,
  shaft: ShaftFigure,
  positions: number,
  byAngles: boolean,
): boolean {
  if (!circle || lift.lobes.length === 0) return true;
  if (!circle.exact) return false;
  return circle.counts === 1 || !byAngles || sameAfter(lift, positions * shaft.step);
}
