/** From what the count wants of a bar, or from stated symbols or angles, to the lobes of its cam. */
import type { Law } from '../../../language/mechanism.ts';
import type { FollowedLift, Fraction, Lobe, LobeFlank, Overlap } from '../figures.ts';
import { turn, wrapped } from './angles.ts';
import { motion, stretches } from './laws.ts';
import { endOf, liftAt, reach, startOf, wholeWidth } from './lift.ts';

// ---- where a cam rests ---------------------------------------------------------------

/**
 * The evenly spaced cam angles at which a cam can rest under its follower. Position m, over `counts` counts, lies in
 * slot `slotOf(m)`, at `azimuth + slot · spacing`.
 */
export interface RestCircle {
  readonly azimuth: number;
  readonly positions: number;
  readonly counts: number;
  readonly slots: number;
  readonly spacing: number;
  /** False where the train repeats too seldom to follow: the nearest train that does repeat stands for it. */
  readonly exact: boolean;
  readonly slotOf: (position: number) => number;
}

/** Rest positions over all counts that are followed one by one; a train with more never repeats in any real use. */
const followedRests = 360_000;

/**
 * With p/q turns of the cam for one of the leading shaft and n positions a turn, position m rests at
 * azimuth − m·p/(q·n) of a turn: over q counts that is a set of D = n·q / gcd(p, n) angles.
 */
export function restCircle(azimuth: number, ratio: Fraction, sense: 1 | -1, positions: number): RestCircle {
  const exact = positions * ratio.den <= followedRests;
  const { num, den } = exact ? ratio : nearest(ratio, Math.max(1, Math.floor(3600 / positions)));
  const p = Math.abs(num);
  const common = gcd(p, positions);
  const slots = (positions * den) / common;
  const stride = ((p / common) % slots) * -sense;
  return {
    azimuth,
    positions,
    counts: den,
    slots,
    spacing: turn / slots,
    exact,
    slotOf: (position) => {
      const slot = (position * stride) % slots;
      return slot < 0 ? slot + slots : slot;
    },
  };
}

export const restAngle = (circle: RestCircle, position: number): number =>
  wrapped(circle.azimuth + circle.slotOf(position) * circle.spacing);

function gcd(a: number, b: number): number {
  while (b > 0) [a, b] = [b, a % b];
  return a;
}

/** The fraction nearest to `ratio` whose denominator is at most `most` (by continued fractions). */
function nearest({ num, den }: Fraction, most: number): Fraction {
  let [p0, q0, p1, q1] = [0, 1, 1, 0];
  for (let [a, b] = [Math.abs(num), den]; b > 0; ) {
    const whole = Math.floor(a / b);
    if (q0 + whole * q1 > most) break;
    [p0, q0, p1, q1] = [p1, q1, p0 + whole * p1, q0 + whole * q1];
    [a, b] = [b, a % b];
  }
  return q1 > 0 && p1 > 0 ? { num: p1, den: q1 } : { num: 1, den: 1 };
}

export interface Conflict {
  readonly positions: readonly [number, number];
  readonly counts: readonly [number, number];
}

export interface RaisedSlots {
  /** 1 where the follower is to be up. */
  readonly up: Uint8Array;
  /** One for each slot that two positions want different; the earlier one is served. */
  readonly conflicts: readonly Conflict[];
}

/** Where on the cam the follower is to be up, serving every position of all counts. */
export function raisedSlots(circle: RestCircle, wanted: readonly boolean[]): RaisedSlots {
  const { positions, counts, slots, slotOf } = circle;
  const up = new Uint8Array(slots);
  const first = new Int32Array(slots).fill(-1);
  const told = new Uint8Array(slots);
  const conflicts: Conflict[] = [];
  for (let count = 0, position = 0; count < counts; count++) {
    for (let i = 0; i < positions; i++, position++) {
      const slot = slotOf(position);
      const want = wanted[i] ? 1 : 0;
      if (first[slot] < 0) {
        first[slot] = position;
        up[slot] = want;
      } else if (up[slot] !== want && !told[slot]) {
        told[slot] = 1;
        const earlier = first[slot];
        conflicts.push({ positions: [earlier % positions, i], counts: [Math.floor(earlier / positions), count] });
      }
    }
  }
  return { up, conflicts };
}

// ---- lobes ----------------------------------------------------------------------------

/** A flank as the cam states it: its angle, and how much later than centred it lies, counter-clockwise positive. */
export interface FlankPlan {
  readonly width: number;
  readonly shift: number;
}

/** The lobes that raise the follower at the slots: flanks centred between two rests, but for their shifts. */
export function lobesBetweenRests(
  circle: RestCircle,
  up: Uint8Array,
  law: Law,
  before: FlankPlan,
  after: FlankPlan,
): Omit<FollowedLift, 'stroke'> {
  const { azimuth, slots, spacing } = circle;
  const down = up.indexOf(0);
  if (down < 0) return { always: true, lobes: [] };
  const rising: LobeFlank = { width: before.width, law };
  const falling: LobeFlank = after.width === before.width ? rising : { width: after.width, law };
  const lobes: Lobe[] = [];
  for (let i = 1; i <= slots; i++) {
    if (!up[(down + i) % slots]) continue;
    const first = i;
    while (up[(down + i + 1) % slots]) i++;
    const middle = (slot: number) => azimuth + (down + slot) * spacing;
    const from = middle(first - 0.5) + before.shift + before.width / 2;
    const to = middle(i + 0.5) + after.shift - after.width / 2;
    const lobe = from <= to ? { from, to, before: rising, after: falling } : cutShort(from, to, rising, falling);
    if (lobe) lobes.push(settled(lobe));
  }
  return { always: false, lobes: lobes.sort((a, b) => a.from - b.from) };
}

/** The lobe of a fall that starts before the rise has ended: up to where they meet. None if they never do. */
function cutShort(from: number, to: number, rising: LobeFlank, falling: LobeFlank): Lobe | undefined {
  const start = from - rising.width;
  const end = to + falling.width;
  let low = Math.max(start, to);
  let high = Math.min(from, end);
  if (low >= high) return undefined;
  const [riseLaw, fallLaw] = [stretches(rising.law), stretches(falling.law)];
  for (let i = 0; i < 60; i++) {
    const angle = (low + high) / 2;
    const rise = motion(riseLaw, (angle - start) / rising.width).lift;
    const fall = motion(fallLaw, (end - angle) / falling.width).lift;
    if (rise < fall) low = angle;
    else high = angle;
  }
  const crest = (low + high) / 2;
  return {
    from: crest,
    to: crest,
    before: { width: crest - start, whole: rising.width, law: rising.law },
    after: { width: end - crest, whole: falling.width, law: falling.law },
  };
}

/** The same lobe with 0 ≤ from < 2π. */
function settled(lobe: Lobe): Lobe {
  const from = wrapped(lobe.from);
  return { ...lobe, from, to: from + (lobe.to - lobe.from) };
}

/** A lobe stated as angles, the widths of its flanks settled. */
export interface PlannedLobe {
  readonly from: number;
  readonly to: number;
  readonly before: number;
  readonly after: number;
}

/** The lobes that the text states as angles; those whose full parts touch become one. */
export function lobesByAngles(planned: readonly PlannedLobe[], law: Law): Omit<FollowedLift, 'stroke'> {
  const almost = 1e-12;
  const lobes = planned
    .map(({ from, to, before, after }): Lobe => {
      const angle = to - from >= turn - almost ? turn : wrapped(to - from);
      const start = wrapped(from);
      return { from: start, to: start + angle, before: { width: before, law }, after: { width: after, law } };
    })
    .sort((a, b) => a.from - b.from);
  const joined: Lobe[] = [];
  const join = (lobe: Lobe, next: Lobe): Lobe =>
    next.to > lobe.to ? { ...lobe, to: next.to, after: next.after } : lobe;
  for (const lobe of lobes) {
    const last = joined[joined.length - 1];
    if (last && lobe.from <= last.to + almost) joined[joined.length - 1] = join(last, lobe);
    else joined.push(lobe);
  }
  while (joined.length > 1 && joined[joined.length - 1].to + almost >= joined[0].from + turn) {
    const first = joined.shift()!;
    const last = joined[joined.length - 1];
    joined[joined.length - 1] = join(last, { ...first, from: first.from + turn, to: first.to + turn });
  }
  const always = joined.some((lobe) => lobe.to - lobe.from >= turn - almost);
  return { always, lobes: always ? [] : joined };
}

/** Whether the lift is the same after the cam has turned by `angle`. */
export function sameAfter(lift: FollowedLift, angle: number): boolean {
  const almost = 1e-9;
  if (lift.lobes.length === 0) return true;
  const moved = lift.lobes.map((lobe) => wrapped(lobe.from + angle));
  const first = lift.lobes.findIndex((lobe) => apart(lobe.from, moved[0]) < almost);
  if (first < 0) return false;
  const count = lift.lobes.length;
  return lift.lobes.every((lobe, i) => {
    const twin = lift.lobes[(first + i) % count];
    return (
      apart(twin.from, moved[i]) < almost &&
      Math.abs(twin.to - twin.from - (lobe.to - lobe.from)) < almost &&
      Math.abs(wholeWidth(twin.before) - wholeWidth(lobe.before)) < almost &&
      Math.abs(wholeWidth(twin.after) - wholeWidth(lobe.after)) < almost
    );
  });
}

/** The smaller angle between two directions. */
function apart(a: number, b: number): number {
  const between = wrapped(a - b);
  return Math.min(between, turn - between);
}

// ---- where flanks collide ----------------------------------------------------------------

/**
 * Flanks that run into each other: a rise that starts before the fall before it has ended, and the reverse.
 * `spoilt` says of a rest position whether it wants the follower up (or down), and does not get it.
 */
export function overlapsOf(
  lift: FollowedLift,
  rests: readonly number[],
  spoilt: (position: number, up: boolean) => boolean,
): Overlap[] {
  const almost = 1e-9;
  const { lobes, stroke } = lift;
  const within = (from: number, to: number, up: boolean): number[] =>
    rests.flatMap((rest, i) => (wrapped(rest - from) <= to - from && spoilt(i, up) ? [i] : []));
  return lobes.flatMap((lobe, i) => {
    const found: Overlap[] = [];
    if (lobe.before.whole !== undefined) {
      found.push({
        at: lobe.from,
        crest: true,
        valley: reach(lobe) * stroke,
        by: wholeWidth(lobe.before) - lobe.before.width + (wholeWidth(lobe.after) - lobe.after.width),
        positions: within(startOf(lobe), endOf(lobe), true),
      });
    }
    const wraps = i + 1 === lobes.length;
    const next = wraps ? lobes[0] : lobes[i + 1];
    const ahead = wraps ? turn : 0;
    const by = endOf(lobe) - (startOf(next) + ahead);
    if (by > almost) {
      const [from, to] = [lobe.to, next.from + ahead];
      const at = lowestBetween(lift, from, to);
      found.push({
        at: wrapped(at),
        valley: liftAt(lift, at).lift,
        by,
        positions: within(from, to, false),
      });
    }
    return found;
  });
}

/** Where the lift is least between two full parts, whose flanks fall and rise towards each other. */
function lowestBetween(lift: FollowedLift, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let i = 0; i < 60; i++) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if (liftAt(lift, a).lift <= liftAt(lift, b).lift) high = b;
    else low = a;
  }
  return (low + high) / 2;
}
