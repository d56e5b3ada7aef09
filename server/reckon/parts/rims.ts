/**
 * The rim of a loop as short runs of edges: a box round each, and how much the rim turns by then, tell at a glance which
 * of them can lie across from each other. Written for speed: a design has thousands of edges, and hardly any of them does.
 */
import type { Point } from '../../../language/mechanism.ts';
import { turn, wrapped } from '../motion/angles.ts';
import type { Box } from './loop.ts';
import type { Loop } from './part.ts';

export interface Rim {
  readonly loop: Loop;
  readonly runs: readonly Run[];
  /** Where it turns one way only, counter-clockwise +1. */
  readonly turns?: 1 | -1;
  /** Two half circles. */
  readonly isCircle: boolean;
}

/** A stretch of a rim, in a box. */
export interface Stretch extends Box {
  readonly loop: Loop;
  /** What starts later starts at a greater number. */
  readonly start: number;
  /** How much the rim has turned before it, by its end, and all round, rad, whichever way. */
  readonly turnedBefore: number;
  readonly turnedAfter: number;
  readonly turnedAround: number;
}

/** Its edges start from the vertices `start` up to, and without, `end`. Box and turns are a little too great. */
export interface Run extends Stretch {
  readonly end: number;
}

/** A run has no more edges than this, and turns by no more, rad, if it has more than one. */
const mostEdges = 12;
const mostTurn = 0.6;
/** Turns by less, rad, are noise; by more, they may go either way. */
const noTurn = 1e-10;
const backwards = 3;
/** Bulges that differ by less are one. */
const almost = 1e-9;
/** Room left round a run, mm. */
const room = 1e-9;

const known = new WeakMap<Loop, Rim>();

/** The rim of a loop, looked at once. */
export function rimOf(loop: Loop): Rim {
  const rim = known.get(loop) ?? rimAnew(loop);
  known.set(loop, rim);
  return rim;
}

function rimAnew(loop: Loop): Rim {
  const count = loop.length;
  const runs: Growing[] = [];
  let run: Growing | undefined;
  let turned = 0;
  let isLeft = false;
  let isRight = false;
  // Where the edge before leads, and how much it turns; at first the last one.
  let beforeX = 0;
  let beforeY = 0;
  let beforeSweep = 0;
  for (let i = -1; i < count; i++) {
    const from = loop[i < 0 ? count - 1 : i];
    const to = loop[i + 1 < count ? i + 1 : 0];
    const dx = to.x - from.x;
    const dy = to.y - from.y;
    if (dx === 0 && dy === 0) continue;
    const sweep = from.bulge === 0 ? 0 : 4 * Math.atan(from.bulge);
    if (i >= 0) {
      const corner = cornerOf(beforeX * dy - beforeY * dx, beforeX * dx + beforeY * dy, (beforeSweep + sweep) / 2);
      if (corner > noTurn || sweep > 0 || corner < -backwards) isLeft = true;
      if (corner < -noTurn || sweep < 0 || corner > backwards) isRight = true;
      turned += Math.abs(corner) + noTurn;
      const after = turned + Math.abs(sweep);
      if (!run || i - run.start >= mostEdges || after - run.turnedBefore > mostTurn) {
        run = { loop, start: i, end: i, ...nowhere, turnedBefore: turned, turnedAfter: turned, turnedAround: turned };
        runs.push(run);
        widen(run, from, room);
      }
      if (sweep === 0) widen(run, to, room);
      else {
        // No arc lies farther from its chord.
        const beside = (Math.abs(from.bulge) * Math.hypot(dx, dy)) / 2 + room;
        widen(run, from, beside);
        widen(run, to, beside);
      }
      run.end = i + 1;
      run.turnedAfter = after;
      turned = after;
    }
    beforeX = dx;
    beforeY = dy;
    beforeSweep = sweep;
  }
  for (const each of runs) each.turnedAround = turned;
  return {
    loop,
    runs,
    ...(isLeft !== isRight && { turns: isLeft ? 1 : -1 }),
    isCircle: count === 2 && loop.every(({ bulge }) => Math.abs(Math.abs(bulge) - 1) < almost),
  };
}

type Growing = { -readonly [field in keyof Run]: Run[field] };

function widen(run: Growing, { x, y }: Point, by: number): void {
  if (x - by < run.left) run.left = x - by;
  if (x + by > run.right) run.right = x + by;
  if (y - by < run.bottom) run.bottom = y - by;
  if (y + by > run.top) run.top = y + by;
}

const nowhere: Box = { left: Infinity, right: -Infinity, bottom: Infinity, top: -Infinity };

/**
 * How much a rim turns, rad, from one edge to the next, by the cross and dot product of their chords and the turns between
 * these and the edges. Where it is small its tangent will do, which is more.
 */
function cornerOf(cross: number, dot: number, beside: number): number {
  if (beside === 0 && Math.abs(cross) < dot) return cross / dot;
  return wrapped(Math.atan2(cross, dot) - beside + turn / 2) - turn / 2;
}

/** How much the rim turns from one stretch to another, both included, the way round on which it turns less. */
export function turnBetween(a: Stretch, b: Stretch): number {
  const [first, last] = a.start < b.start ? [a, b] : [b, a];
  return Math.min(last.turnedAfter - first.turnedBefore, a.turnedAround - last.turnedBefore + first.turnedAfter);
}
