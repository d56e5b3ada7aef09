/**
 * Two outlines that slide along their lines: a point and one convex polygon, all shifts at which they meet; the gap is
 * the point's distance from it.
 */
import { distanceTo, meetings, type Polygon, swept } from './convex.ts';
import { liftAfter, type Motion, periodOf, spansOf, steepness, strokeOf } from './movers.ts';
import { type Encounter, endless, type Gap, type Grid, near, overPeriod } from './over-turn.ts';

/** The encounter of two outlines that slide, each as its segment does; pauses often. */
export function* encounterOf(
  one: { readonly motion: Motion; readonly outline: Polygon },
  two: { readonly motion: Motion; readonly outline: Polygon },
  grid: Grid,
): Generator<void, Encounter> {
  const [a, b] = [one.motion, two.motion];
  const period = periodOf([a, b]);
  const [strokeA, strokeB] = [strokeOf(a), strokeOf(b)];
  const anywhere = meetings(
    swept(one.outline, strokeA * a.along.x, strokeA * a.along.y),
    swept(two.outline, strokeB * b.along.x, strokeB * b.along.y),
  );
  const floor = distanceTo(anywhere, 0, 0);
  if (endless(period)) return { gap: floor, within: 0, touching: [], anyStand: true };
  if (grid === 'coarse' && floor > near) return { gap: floor, within: 0, touching: [] };
  const meet = meetings(one.outline, two.outline);
  const gap: Gap = (at) => {
    const [liftA, liftB] = [liftAfter(a, at), liftAfter(b, at)];
    return distanceTo(meet, liftA * a.along.x - liftB * b.along.x, liftA * a.along.y - liftB * b.along.y);
  };
  return yield* overPeriod(gap, period, grid, {
    spans: spansOf([a, b], period),
    steepest: steepness(a) + steepness(b),
    ...(floor > 0 && { floor }),
  });
}
