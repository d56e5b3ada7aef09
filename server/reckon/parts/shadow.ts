/**
 * Shadows of parts: whether one that goes straight on would run into another. A shape is looked at along lines a fifth
 * of a millimetre apart, so that what is thinner than that may be missed; what overlaps by less than `grazing` passes.
 */
import type { Point } from '../../../language/mechanism.ts';
import { boxOf as boxAround } from '../shape/convex.ts';
import { flattened, placed } from './loop.ts';
import type { Prism, Seat } from './part.ts';

/** Chords may lie this far off an arc, mm. */
const sag = 0.02;

/** Lines along x stand this far apart, mm. */
export const pitch = 0.2;

/** Parts that overlap by less than this along a line, mm, pass each other: as much as a printed edge gives. */
const grazing = 0.05;

/** A prism where it is built in, mm; depths count from the face, negative behind it. */
export interface Slab {
  readonly from: number;
  readonly to: number;
  readonly loops: readonly (readonly Point[])[];
  /** A circle round all of it. */
  readonly centre: Point;
  readonly reach: number;
}

export function slabOf({ from, to, regions }: Prism, { x, y, z, turn }: Seat): Slab {
  const loops = regions
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .map((loop) => flattened(placed(loop, { x, y }, turn), sag));
  const { left, right, bottom, top } = boxAround(loops.flat()) ?? { left: x, right: x, bottom: y, top: y };
  const centre = { x: (left + right) / 2, y: (bottom + top) / 2 };
  const reach = Math.hypot(right - left, top - bottom) / 2;
  return { from: z + from, to: z + to, loops, centre, reach };
}

/** Whether the circles round two slabs lie beside each other. */
export const farApart = (one: Slab, two: Slab): boolean =>
  Math.hypot(two.centre.x - one.centre.x, two.centre.y - one.centre.y) > one.reach + two.reach;

/** Whether the first, as it goes on along an azimuth, passes the circle round the second, or leaves it behind. */
export function passesBy(one: Slab, two: Slab, azimuth: number): boolean {
  const [dx, dy] = [two.centre.x - one.centre.x, two.centre.y - one.centre.y];
  const [c, s] = [Math.cos(azimuth), Math.sin(azimuth)];
  const reach = one.reach + two.reach;
  return Math.abs(dy * c - dx * s) > reach || dx * c + dy * s < -reach;
}

/** Where a slab covers the lines: on line `first + i` from `at[k]` to `at[k + 1]`, k from `starts[i]` by twos. */
export interface Shadow {
  readonly first: number;
  readonly starts: Int32Array;
  readonly at: Float64Array;
  /** Of all lines, mm. */
  readonly from: number;
  readonly to: number;
}

/** The lines that an edge between two heights crosses: from this one, up to and without the other's. */
const lineAbove = (height: number): number => Math.ceil(height / pitch - 0.5);

/** Looked at along an azimuth. Written for speed: a design has some hundred of these, of a thousand edges. */
export function shadowOf({ loops }: Slab, azimuth: number): Shadow {
  const [c, s] = [Math.cos(azimuth), Math.sin(azimuth)];
  let [low, high, from, to] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const loop of loops) {
    for (const point of loop) {
      const [x, y] = [point.x * c + point.y * s, point.y * c - point.x * s];
      low = Math.min(low, y);
      high = Math.max(high, y);
      from = Math.min(from, x);
      to = Math.max(to, x);
    }
  }
  const first = lineAbove(low);
  const count = Math.max(0, lineAbove(high) - first);
  const starts = new Int32Array(count + 1);
  const crossings = (meet: (line: number, x: number) => void): void => {
    for (const loop of loops) {
      let before = loop[loop.length - 1];
      let [fromX, fromY] = [before.x * c + before.y * s, before.y * c - before.x * s];
      for (before of loop) {
        const [x, y] = [before.x * c + before.y * s, before.y * c - before.x * s];
        const [start, end] = [lineAbove(Math.min(y, fromY)), lineAbove(Math.max(y, fromY))];
        for (let line = start; line < end; line++) {
          meet(line - first, fromX + (((line + 0.5) * pitch - fromY) / (y - fromY)) * (x - fromX));
        }
        [fromX, fromY] = [x, y];
      }
    }
  };
  crossings((line) => {
    starts[line + 1] += 1;
  });
  for (let i = 0; i < count; i++) starts[i + 1] += starts[i];
  const at = new Float64Array(starts[count]);
  const filled = starts.slice();
  crossings((line, x) => {
    // Kept in order as it is put in: few lines are crossed more than a few times.
    let k = filled[line];
    for (; k > starts[line] && at[k - 1] > x; k--) at[k] = at[k - 1];
    at[k] = x;
    filled[line] += 1;
  });
  return { first, starts, at, from, to };
}

/** Whether two shadows overlap: what moves square to them would run into each other. */
export function overlap(one: Shadow, two: Shadow): boolean {
  if (one.from >= two.to || two.from >= one.to) return false;
  return onSomeLine(one, two, (i, endI, j, endJ) => {
    while (i + 1 < endI && j + 1 < endJ) {
      if (Math.min(one.at[i + 1], two.at[j + 1]) - Math.max(one.at[i], two.at[j]) > grazing) return true;
      if (one.at[i + 1] < two.at[j + 1]) i += 2;
      else j += 2;
    }
    return false;
  });
}

/** Whether the first, as it goes on along the lines, would run into the second. */
export function runsInto(one: Shadow, two: Shadow): boolean {
  if (one.from >= two.to) return false;
  return onSomeLine(one, two, (i, endI, j, endJ) => i < endI && j < endJ && two.at[endJ - 1] - one.at[i] > grazing);
}

/** Whether something holds on a line that both cover; told where each has what it covers of it. */
function onSomeLine(
  one: Shadow,
  two: Shadow,
  holds: (i: number, endI: number, j: number, endJ: number) => boolean,
): boolean {
  const from = Math.max(one.first, two.first);
  const to = Math.min(one.first + one.starts.length, two.first + two.starts.length) - 1;
  for (let line = from; line < to; line++) {
    const [a, b] = [line - one.first, line - two.first];
    if (holds(one.starts[a], one.starts[a + 1], two.starts[b], two.starts[b + 1])) return true;
  }
  return false;
}
