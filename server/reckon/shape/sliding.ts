/**
 * Two outlines that slide along their lines: a point and one convex polygon, all shifts at which they meet; the gap is
 * the point's distance from it. Where one swings, they are compared as they lie at each stand.
 */
import { apart, distanceTo, meetings, type Polygon, swept, sweptRound } from './convex.ts';
import { carried, liftAfter, type Motion, periodOf, spansOf, steepness, strokeOf } from './movers.ts';
import { type Encounter, endless, type Gap, type Grid, near, overPeriod } from './over-turn.ts';

/** What slides or swings, when lowered: a polygon, and all that lies within `round` of it. */
export interface Sliding {
  readonly motion: Motion;
  readonly outline: Polygon;
  readonly round?: number;
  /** All that the outline may cover while it moves, where that is known. */
  readonly region?: Polygon;
}

/** All that an outline, but for what lies round it, may cover while it moves. */
export function regionOf({ outline, motion }: Pick<Sliding, 'outline' | 'motion'>): Polygon {
  const stroke = strokeOf(motion);
  if (!(stroke > 0)) return outline;
  const { along, swing } = motion;
  if (swing) return sweptRound(outline, swing.pivot, stroke * swing.each);
  return swept(outline, stroke * along.x, stroke * along.y);
}

/** The encounter of two outlines, each as its segment moves it; pauses often. */
export function* encounterOf(one: Sliding, two: Sliding, grid: Grid): Generator<void, Encounter> {
  const [a, b] = [one.motion, two.motion];
  const period = periodOf([a, b]);
  const round = (one.round ?? 0) + (two.round ?? 0);
  const floor = apart(one.region ?? regionOf(one), two.region ?? regionOf(two)) - round;
  if (endless(period)) return { gap: floor, within: 0, touching: [], anyStand: true };
  if (grid === 'coarse' && floor > near) return { gap: floor, within: 0, touching: [] };
  const between = a.swing || b.swing ? swinging(one, two) : sliding(one, two);
  const gap: Gap = (at) => between(liftAfter(a, at), liftAfter(b, at)) - round;
  return yield* overPeriod(gap, period, grid, {
    spans: spansOf([a, b], period),
    steepest: steepness(a) + steepness(b),
    ...(floor > 0 && { floor }),
  });
}

/** The gap of two outlines at their lifts. */
type Between = (liftA: number, liftB: number) => number;

function sliding(one: Sliding, two: Sliding): Between {
  const [a, b] = [one.motion.along, two.motion.along];
  const meet = meetings(one.outline, two.outline);
  return (liftA, liftB) => distanceTo(meet, liftA * a.x - liftB * b.x, liftA * a.y - liftB * b.y);
}

const swinging =
  (one: Sliding, two: Sliding): Between =>
  (liftA, liftB) =>
    apart(carried(one.outline, one.motion, liftA), carried(two.outline, two.motion, liftB));
