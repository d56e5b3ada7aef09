/** The path of one elastic loop over posts and hooks: a belt without friction, so that one tension holds all round. */
import type { Point } from '../../../language/mechanism.ts';

/**
 * A circle that the loop passes, mm. `radius` is signed: > 0 inside the counter-clockwise loop, < 0 passed on the other
 * side; 0 is a hook, a point; −0 (as the sign of "other side" makes it) a hook passed on the other side.
 */
export interface Anchor {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/** A straight run between two anchors, by their index, its direction (of length 1), and how long it is, mm. */
export interface Run {
  readonly from: number;
  readonly to: number;
  readonly dx: number;
  readonly dy: number;
  readonly length: number;
}

export interface Belt {
  /** All the way round, arcs included, mm. */
  readonly length: number;
  readonly runs: readonly Run[];
  /**
   * Per anchor, the sum of its two runs' directions away from it: times the tension, the force on the anchor. Zero where
   * the loop does not touch it.
   */
  readonly pull: readonly Point[];
}

/**
 * The belt over anchors in counter-clockwise order. An anchor that it does not touch (it would have to bend the wrong
 * way there, or is swallowed by its neighbour) is left out.
 *
 * A straight run from circle i to circle j leaves both on its left by their signed radii, so that with the centres d
 * apart and n the run's left normal d·n = rⱼ − rᵢ, and the run is √(d² − (rⱼ − rᵢ)²) long. Each arc is its radius times
 * the turn between its runs. Over all anchors the direction turns round once; where it turns more, or less, an anchor
 * bends the wrong way. Derived here.
 */
export function beltAround(anchors: readonly Anchor[]): Belt {
  const trace = beltTracer(anchors.length)(anchors);
  const { touched, dx, dy, straight } = trace;
  const pull = anchors.map(() => ({ x: 0, y: 0 }));
  const runs: Run[] = [];
  for (let k = 0; touched.length > 1 && k < touched.length; k++) {
    const [from, to, out] = [touched[before(touched, k)], touched[k], after(touched, k)];
    runs.push({ from, to, dx: dx[k], dy: dy[k], length: straight[k] });
    pull[to] = { x: dx[out] - dx[k], y: dy[out] - dy[k] };
  }
  return { length: lengthOf(anchors, trace), runs, pull };
}

/** The same in bare numbers: the anchors touched, by their index, and of the run to each its direction and its length. */
export interface Trace {
  readonly touched: readonly number[];
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly straight: Float64Array;
}

/** The index after one, and before it, all the way round. */
export const after = ({ length }: readonly number[], k: number): number => (k + 1 === length ? 0 : k + 1);
const before = ({ length }: readonly number[], k: number): number => (k === 0 ? length : k) - 1;

/** What traces belts over so many anchors, for those who ask often: each trace takes the place of the one before it. */
export function beltTracer(count: number): (anchors: readonly Anchor[]) => Trace {
  const [dx, dy, straight, headings] = [0, 1, 2, 3].map(() => new Float64Array(count));
  const touched: number[] = [];
  const trace = { touched, dx, dy, straight };
  return (anchors) => {
    touched.length = 0;
    for (let index = 0; index < count; index++) touched.push(index);
    for (;;) {
      layRuns(anchors, trace);
      const astray = firstAstray(anchors, trace, headings);
      if (astray < 0) return trace;
      touched.splice(astray, 1);
    }
  };
}

/** The run to each anchor touched from the one before it. */
function layRuns(anchors: readonly Anchor[], { touched, dx, dy, straight }: Trace): void {
  for (let k = 0; k < touched.length; k++) {
    const [one, other] = [anchors[touched[before(touched, k)]], anchors[touched[k]]];
    const [x, y] = [other.x - one.x, other.y - one.y];
    const square = x * x + y * y;
    const aside = other.radius - one.radius;
    // Circles that overlap have no run between them: the belt turns on the spot.
    const length = Math.sqrt(Math.max(0, square - aside * aside));
    const across = length > 0 ? aside : Math.sign(aside) * Math.sqrt(square);
    const scale = square > 0 ? 1 / square : 0;
    dx[k] = (x * length + y * across) * scale;
    dy[k] = (y * length - x * across) * scale;
    straight[k] = length;
  }
}

const isOutside = ({ radius }: Anchor): boolean => radius > 0 || Object.is(radius, 0);

/** Grows with the direction's angle, 0 to 4 in a turn: an angle for comparisons only. */
function quadrants(dx: number, dy: number): number {
  const share = dx / (Math.abs(dx) + Math.abs(dy));
  return dy >= 0 ? 1 - share : 3 + share;
}

/**
 * Which of the anchors touched (its index among them) to leave out, −1 if none: one that is swallowed; or, of those on
 * whose account the direction turns too often, the one that bends least.
 */
function firstAstray(anchors: readonly Anchor[], { touched, dx, dy }: Trace, headings: Float64Array): number {
  const lone = swallowed(anchors, touched);
  if (lone >= 0 || touched.length <= 2) return lone;
  for (let k = 0; k < touched.length; k++) headings[k] = quadrants(dx[k], dy[k]);
  let turns = 0;
  for (let k = 0; k < touched.length; k++) {
    const [into, out] = [headings[k], headings[after(touched, k)]];
    if (isOutside(anchors[touched[k]])) turns += out < into ? 1 : 0;
    else turns -= out > into ? 1 : 0;
  }
  if (turns === 1) return -1;
  let astray = -1;
  let least = 2;
  for (let k = 0; k < touched.length; k++) {
    const turning = (headings[after(touched, k)] - headings[k] + 4) % 4;
    const bends = isOutside(anchors[touched[k]]) ? 4 - turning : turning;
    const counts = turns > 1 === isOutside(anchors[touched[k]]);
    if (counts && bends > 0 && bends < least) {
      least = bends;
      astray = k;
    }
  }
  return astray;
}

/** An anchor (its index among those touched) that lies within a neighbour on the same side of the belt. */
function swallowed(anchors: readonly Anchor[], touched: readonly number[]): number {
  if (touched.length < 2) return -1;
  for (let k = 0; k < touched.length; k++)
    if (
      isWithin(anchors, touched[k], touched[after(touched, k)]) ||
      isWithin(anchors, touched[k], touched[before(touched, k)])
    )
      return k;
  return -1;
}

function isWithin(anchors: readonly Anchor[], index: number, next: number): boolean {
  const [one, other] = [anchors[index], anchors[next]];
  const more = Math.abs(other.radius) - Math.abs(one.radius);
  if (more < 0 || isOutside(one) !== isOutside(other)) return false;
  const square = (other.x - one.x) ** 2 + (other.y - one.y) ** 2;
  return more * more >= square && (more > 0 || index > next);
}

/** All the way round, arcs included, mm. */
export function lengthOf(anchors: readonly Anchor[], { touched, dx, dy, straight }: Trace): number {
  if (touched.length === 1) return 2 * Math.PI * Math.abs(anchors[touched[0]].radius);
  let length = 0;
  for (let k = 0; k < touched.length; k++) {
    length += straight[k];
    const { radius } = anchors[touched[k]];
    if (radius === 0) continue;
    const out = after(touched, k);
    const turn = Math.atan2(dx[k] * dy[out] - dy[k] * dx[out], dx[k] * dx[out] + dy[k] * dy[out]);
    // Counter-clockwise where the loop goes round it, else clockwise.
    length += radius * (radius > 0 ? (turn < 0 ? turn + 2 * Math.PI : turn) : turn > 0 ? turn - 2 * Math.PI : turn);
  }
  return length;
}
