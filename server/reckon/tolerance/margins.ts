/**
 * How much a bar may err at its rests before it is read wrongly: as a turn of its cam, and along its slide.
 *
 * Both are read off the one followed lift, so that a flank counts as far as it still keeps the bar shown (or hidden),
 * not only the dwell. Between the knots of a lift (where lobes, flanks and corners begin and end) it only rises or
 * only falls; so the first knot that is read otherwise brackets the turn, and bisection finds it.
 */
import type { Mechanism, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift, ShaftFigure } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { endOf, liftAt, startOf, tangled } from '../motion/lift.ts';
import { seenAs, shareShown } from '../motion/positions.ts';

/** Lifts, mm, between which a bar is read as it is at a rest. */
export interface Span {
  readonly low: number;
  readonly high: number;
}

export interface Margins {
  /** Least turn of the cam, rad, from a rest to where its bar is read otherwise; absent where it never is. */
  readonly turn?: number;
  /** The same by the sense of the turn: in that of a forward step, and against it. */
  readonly forward: number;
  readonly backward: number;
  /** Least error of the lift, mm, that does the same; absent where none does. */
  readonly lift?: number;
}

/** The margins of a cam over all its rests; none where it has no rests, or what is read cannot be told. */
export function marginsOf(
  m: Mechanism,
  cam: CamFigure,
  shaft: ShaftFigure | undefined,
  segments: readonly Segment[],
): Margins | undefined {
  const { lift, rests, step } = cam;
  const bars = segments.filter(({ window }) => !(window && lift.relative));
  if (!rests.length || !bars.length) return undefined;
  const spansOf = bars.map((bar) => spans(m, bar, lift));
  const knots = knotsOf(cam);
  const margins = { up: Infinity, down: Infinity, lift: Infinity };
  for (const rest of allRests(rests, step, shaft)) {
    const height = liftAt(lift, rest).lift;
    for (const spanAt of spansOf) {
      const span = spanAt(height);
      margins.up = firstOutside(lift, knots, span, rest, 1, margins.up);
      margins.down = firstOutside(lift, knots, span, rest, -1, margins.down);
      margins.lift = Math.min(margins.lift, Math.max(0, height - span.low), Math.max(0, span.high - height));
    }
  }
  // A forward step takes the cam angle under the follower against the cam's own turn.
  const [forward, backward] = step > 0 ? [margins.down, margins.up] : [margins.up, margins.down];
  const least = Math.min(forward, backward);
  return {
    ...(least < Infinity && { turn: least }),
    forward,
    backward,
    ...(margins.lift < Infinity && { lift: margins.lift }),
  };
}

/** The turns alone, of each rest of the first count by itself: Infinity where its bars are read alike all round. */
export function marginsAtRests(
  m: Mechanism,
  cam: CamFigure,
  segments: readonly Segment[],
): Pick<Margins, 'forward' | 'backward'>[] {
  const { lift, rests, step } = cam;
  const bars = segments.filter(({ window }) => !(window && lift.relative));
  const spansOf = bars.map((bar) => spans(m, bar, lift));
  const knots = knotsOf(cam);
  return rests.map((rest) => {
    const own = spansOf.map((spanAt) => spanAt(liftAt(lift, rest).lift));
    const [up, down] = ([1, -1] as const).map((sense) =>
      own.reduce((best, span) => firstOutside(lift, knots, span, rest, sense, best), Infinity),
    );
    return step > 0 ? { forward: down, backward: up } : { forward: up, backward: down };
  });
}

/** Rest angles that are followed one by one, over all counts after which a shaft is home. */
const mostRests = 3600;

function allRests(rests: readonly number[], step: number, shaft: ShaftFigure | undefined): readonly number[] {
  const counts = shaft?.ratio?.den ?? 1;
  if (counts === 1 || counts * rests.length > mostRests) return rests;
  const count = rests.length * step;
  return Array.from({ length: counts }, (_, i) => rests.map((rest) => wrapped(rest - i * count))).flat();
}

// ---- along the slide -------------------------------------------------------------------

/** For a lift at which a bar rests, the lifts round it at which it is read alike; none but itself if it is half-way. */
export function spans(m: Mechanism, segment: Segment, { stroke }: FollowedLift): (height: number) => Span {
  const share = shareShown(m, segment, stroke);
  const known = new Map<number, Span>();
  return (height) => {
    const span = known.get(height) ?? spanAt(m, segment, stroke, share, height);
    known.set(height, span);
    return span;
  };
}

function spanAt(m: Mechanism, segment: Segment, stroke: number, share: (lift: number) => number, height: number): Span {
  const seen = seenAs(m, share(height));
  if (seen === 'between') return { low: height, high: height };
  if (segment.window && segment.bar && segment.azimuth) {
    const alike = (lift: number) => seenAs(m, share(lift)) === seen;
    return { low: -lastAlike((lift) => alike(-lift), -height, stroke), high: lastAlike(alike, height, stroke) };
  }
  const limit = m.limits[seen].value;
  const isUp = (seen === 'shown') === (segment.shown.value === 'raised');
  const edge = (segment.shown.value === 'raised' ? limit : 1 - limit) * stroke;
  return isUp ? { low: edge, high: Infinity } : { low: -Infinity, high: edge };
}

/**
 * The last lift from `from` upwards that is read alike, looked for as far as a stroke beyond it; Infinity where all
 * are. What a bar covers of its window grows, then shrinks, so that steps of a part of the stroke miss nothing.
 */
function lastAlike(alike: (lift: number) => boolean, from: number, stroke: number): number {
  const pace = stroke / 12;
  for (let low = from; low < from + stroke; low += pace) {
    if (!alike(low + pace)) return bisected(alike, low, low + pace);
  }
  return Infinity;
}

// ---- round the turn --------------------------------------------------------------------

interface Knots {
  /** Sorted cam angles in 0 ≤ ψ < 2π. */
  readonly at: Float64Array;
  readonly lift: Float64Array;
  /** All round. */
  readonly least: number;
  readonly most: number;
}

/** Where the lift may turn from rising to falling. */
function knotsOf({ lift, overlaps }: CamFigure): Knots {
  const angles = lift.lobes.flatMap((lobe) => [startOf(lobe), lobe.from, lobe.to, endOf(lobe)]);
  angles.push(...overlaps.map(({ at }) => at));
  angles.push(...(lift.cut?.corners.flatMap(({ from, to }) => [from, to]) ?? []));
  // On corners, and where any flank may lie over any other, the lift may turn anywhere.
  if (lift.cut || tangled(lift.lobes)) angles.push(...Array.from({ length: 720 }, (_, i) => (i * turn) / 720));
  const at = Float64Array.from(angles, wrapped).sort();
  const heights = at.map((angle) => liftAt(lift, angle).lift);
  const [least, most] = [
    heights.reduce((a, b) => Math.min(a, b), Infinity),
    heights.reduce((a, b) => Math.max(a, b), 0),
  ];
  return { at, lift: heights, least, most };
}

/** Turn from a rest, in the sense of growing (1) or falling (−1) cam angles, to where the lift leaves the span; `best` if farther. */
function firstOutside(
  lift: FollowedLift,
  { at, lift: heights, least, most }: Knots,
  { low, high }: Span,
  rest: number,
  sense: 1 | -1,
  best: number,
): number {
  const almost = 1e-12 * lift.stroke;
  const isInside = (height: number) => height >= low - almost && height <= high + almost;
  if (isInside(least) && isInside(most)) return best;
  const isInsideAt = (apart: number) => isInside(liftAt(lift, rest + sense * apart).lift);
  let reached = 0;
  let i = precedent(at, rest) + (sense > 0 ? 1 : 0);
  for (let n = 0; n < at.length; n++, i += sense) {
    const knot = (i + 2 * at.length) % at.length;
    const apart = wrapped(sense * (at[knot] - rest));
    if (apart >= best) break;
    if (!isInside(heights[knot])) return bisected(isInsideAt, reached, apart);
    reached = Math.max(reached, apart);
  }
  // Rests that are alike give the same turn but for rounding: not worth looking for again.
  return best === Infinity || isInsideAt(best * (1 - 1e-9)) ? best : bisected(isInsideAt, reached, best);
}

/** Index of the last sorted angle at or before this one; −1 if none is. */
function precedent(angles: Float64Array, angle: number): number {
  let [low, high] = [0, angles.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (angles[middle] <= angle) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** The end of what holds at `from` and no longer at `to`. */
function bisected(holds: (at: number) => boolean, from: number, to: number): number {
  let [inside, outside] = [from, to];
  for (let i = 0; i < 45; i++) {
    const middle = (inside + outside) / 2;
    if (holds(middle)) inside = middle;
    else outside = middle;
  }
  return inside;
}
