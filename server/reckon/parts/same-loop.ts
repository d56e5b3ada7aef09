/** Loops told apart by their very vertices: the same section comes again in other slabs, parts and versions of a design. */
import { Latest } from '../remembering.ts';
import type { Loop, Region } from './part.ts';

interface Known {
  readonly number: number;
  readonly loop: Loop;
}

const ofLoops = new WeakMap<Loop, number>();
/** Those that share a sum, which few do; the latest first. */
const latest = new Latest<readonly Known[]>(128);
const mostAlike = 4;
let numbers = 0;

/** A number that stands for a loop, and for all others with the very same vertices in the same order. */
function numberOf(loop: Loop): number {
  const known = ofLoops.get(loop);
  if (known !== undefined) return known;
  const key = `${loop.length} ${weighed(loop)}`;
  const alike = latest.get(key) ?? [];
  let number = alike.find((one) => isSame(loop, one.loop))?.number;
  if (number === undefined) {
    number = ++numbers;
    latest.keep(key, [{ number, loop }, ...alike].slice(0, mostAlike));
  }
  ofLoops.set(loop, number);
  return number;
}

/** Of some of its vertices. */
function weighed(loop: Loop): number {
  let sum = 0;
  for (let i = 0; i < loop.length; i += 1 + (loop.length >> 4)) {
    const { x, y, bulge } = loop[i];
    sum += (i + 1) * (x + 2 * y + 3 * bulge);
  }
  return sum;
}

function isSame(one: Loop, other: Loop): boolean {
  for (let i = 0; i < one.length; i++) {
    const a = one[i];
    const b = other[i];
    if (a.x !== b.x || a.y !== b.y || a.bulge !== b.bulge) return false;
  }
  return true;
}

/** Tells what regions cover: the same of others only where all their vertices are the same. */
export const toldOf = (regions: readonly Region[]): string =>
  regions.map(({ outer, holes }) => [outer, ...holes].map(numberOf).join('-')).join(' ');
