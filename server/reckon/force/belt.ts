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
  const touched = anchors.map((_, index) => index);
  for (;;) {
    const runs = runsOver(anchors, touched);
    const astray = touched.length > 2 ? firstAstray(anchors, touched, runs) : swallowed(anchors, touched);
    if (astray < 0) return beltOf(anchors, touched, runs);
    touched.splice(astray, 1);
  }
}

/** The run to each anchor touched from the one before it. */
function runsOver(anchors: readonly Anchor[], touched: readonly number[]): Run[] {
  if (touched.length < 2) return [];
  return touched.map((to, k) => {
    const from = touched[k === 0 ? touched.length - 1 : k - 1];
    const [one, other] = [anchors[from], anchors[to]];
    const [x, y] = [other.x - one.x, other.y - one.y];
    const square = x * x + y * y;
    const aside = other.radius - one.radius;
    // Circles that overlap have no run between them: the belt turns on the spot.
    const length = Math.sqrt(Math.max(0, square - aside * aside));
    const across = length > 0 ? aside : Math.sign(aside) * Math.sqrt(square);
    const scale = square > 0 ? 1 / square : 0;
    return { from, to, dx: (x * length + y * across) * scale, dy: (y * length - x * across) * scale, length };
  });
}

const isOutside = ({ radius }: Anchor): boolean => radius > 0 || Object.is(radius, 0);

/** Grows with the direction's angle, 0 to 4 in a turn: an angle for comparisons only. */
function quadrants({ dx, dy }: Run): number {
  const share = dx / (Math.abs(dx) + Math.abs(dy));
  return dy >= 0 ? 1 - share : 3 + share;
}

/**
 * Which of the anchors touched (its index among them) to leave out, −1 if none: of those on whose account the direction
 * turns too often, the one that bends least.
 */
function firstAstray(anchors: readonly Anchor[], touched: readonly number[], runs: readonly Run[]): number {
  let turns = 0;
  for (let k = 0; k < runs.length; k++) {
    const [into, out] = [quadrants(runs[k]), quadrants(runs[(k + 1) % runs.length])];
    if (isOutside(anchors[touched[k]])) turns += out < into ? 1 : 0;
    else turns -= out > into ? 1 : 0;
  }
  const lone = swallowed(anchors, touched);
  if (turns === 1 || lone >= 0) return lone;
  let astray = -1;
  let least = 2;
  for (let k = 0; k < runs.length; k++) {
    const turning = (quadrants(runs[(k + 1) % runs.length]) - quadrants(runs[k]) + 4) % 4;
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
  return touched.findIndex((index, k) => {
    const one = anchors[index];
    return [touched[(k + 1) % touched.length], touched[(k + touched.length - 1) % touched.length]].some((next) => {
      const other = anchors[next];
      if (isOutside(one) !== isOutside(other)) return false;
      const more = Math.abs(other.radius) - Math.abs(one.radius);
      const square = (other.x - one.x) ** 2 + (other.y - one.y) ** 2;
      return more >= 0 && more * more >= square && (more > 0 || index > next);
    });
  });
}

function beltOf(anchors: readonly Anchor[], touched: readonly number[], runs: readonly Run[]): Belt {
  const pull = anchors.map(() => ({ x: 0, y: 0 }));
  let length = 0;
  if (touched.length === 1) length = 2 * Math.PI * Math.abs(anchors[touched[0]].radius);
  for (let k = 0; k < runs.length; k++) {
    const [into, out] = [runs[k], runs[(k + 1) % runs.length]];
    const { radius } = anchors[into.to];
    length += into.length;
    if (radius !== 0) length += radius * turningAt(into, out, radius > 0);
    pull[into.to] = { x: out.dx - into.dx, y: out.dy - into.dy };
  }
  return { length, runs, pull };
}

/** Turn from one direction to another, rad: counter-clockwise 0 to 2π, or clockwise 0 to −2π. */
function turningAt(into: Run, out: Run, counterclockwise: boolean): number {
  const angle = Math.atan2(into.dx * out.dy - into.dy * out.dx, into.dx * out.dx + into.dy * out.dy);
  if (counterclockwise) return angle < 0 ? angle + 2 * Math.PI : angle;
  return angle > 0 ? angle - 2 * Math.PI : angle;
}
