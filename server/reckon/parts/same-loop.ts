/** Loops told apart by their very vertices: the same section comes again in other slabs, parts and versions of a design. */
import { Latest } from '../remembering.ts';
import type { Loop, Region } from './part.ts';

interface Known {
  readonly number: number;
  /** x, y and bulge of all vertices, one after the other. */
  readonly values: Float64Array;
}

const ofLoops = new WeakMap<Loop, number>();
/** By a sum that hardly any two share. */
const latest = new Latest<readonly Known[]>(256);
let numbers = 0;

/** A number that stands for a loop, and for all others with the very same vertices in the same order. */
function numberOf(loop: Loop): number {
  const known = ofLoops.get(loop);
  if (known !== undefined) return known;
  const key = `${loop.length} ${weighed(loop)}`;
  const alike = latest.get(key) ?? [];
  let number = alike.find(({ values }) => isSame(loop, values))?.number;
  if (number === undefined) {
    number = ++numbers;
    latest.keep(key, [
      ...alike,
      { number, values: Float64Array.from(loop.flatMap(({ x, y, bulge }) => [x, y, bulge])) },
    ]);
  }
  ofLoops.set(loop, number);
  return number;
}

function weighed(loop: Loop): number {
  let sum = 0;
  for (let i = 0; i < loop.length; i++) sum += (i + 1) * (loop[i].x + 2 * loop[i].y + 3 * loop[i].bulge);
  return sum;
}

function isSame(loop: Loop, values: Float64Array): boolean {
  for (let i = 0, k = 0; i < loop.length; i++, k += 3) {
    const { x, y, bulge } = loop[i];
    if (x !== values[k] || y !== values[k + 1] || bulge !== values[k + 2]) return false;
  }
  return true;
}

/** Tells what regions cover: the same of others only where all their vertices are the same. */
export const toldOf = (regions: readonly Region[]): string =>
  regions.map(({ outer, holes }) => [outer, ...holes].map(numberOf).join('-')).join(' ');
