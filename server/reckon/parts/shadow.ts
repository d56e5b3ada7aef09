/**
 * Shadows of parts: whether one that goes straight on would run into another. A shape is looked at along lines a fifth
 * of a millimetre apart, so that what is thinner than that may be missed; what overlaps by less than `grazing` passes.
 */
import type { Point } from '../../../language/mechanism.ts';
import { type Box, flattened, placed } from './loop.ts';
import type { Prism, Seat } from './part.ts';

/** Chords may lie this far off an arc, mm. */
const sag = 0.02;

/** Lines along x stand this far apart, mm. */
export const pitch = 0.2;

/** Parts that overlap by less than this along a line, mm, pass each other: as much as a printed edge gives. */
const grazing = 0.05;

/** A prism where it is built in, in its box, mm; depths count from the face, negative behind it. */
export interface Slab extends Box {
  readonly from: number;
  readonly to: number;
  readonly loops: readonly (readonly Point[])[];
}

export function slabOf({ from, to, regions }: Prism, { x, y, z, turn }: Seat): Slab {
  const loops = regions
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .map((loop) => flattened(placed(loop, { x, y }, turn), sag));
  return { from: z + from, to: z + to, loops, ...boxOf(loops, 0) };
}

/** The box round a slab, looked at along an azimuth. */
export const boxAlong = ({ loops }: Slab, azimuth: number): Box => boxOf(loops, azimuth);

function boxOf(loops: Slab['loops'], azimuth: number): Box {
  const c = Math.cos(azimuth);
  const s = Math.sin(azimuth);
  let left = Infinity;
  let right = -Infinity;
  let bottom = Infinity;
  let top = -Infinity;
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) {
      const { x, y } = loop[i];
      const along = x * c + y * s;
      const aside = y * c - x * s;
      if (along < left) left = along;
      if (along > right) right = along;
      if (aside < bottom) bottom = aside;
      if (aside > top) top = aside;
    }
  }
  return { left, right, bottom, top };
}

/** A box that may be larger: the one round its box. */
export function boxAround({ left, right, bottom, top }: Slab, azimuth: number): Box {
  const corners = [left, right].flatMap((x) => [bottom, top].map((y) => ({ x, y })));
  return boxOf([corners], azimuth);
}

/** Lines from one up to, and without, another. */
export interface Lines {
  readonly first: number;
  readonly end: number;
}

/** The lines over both of two boxes. */
export const linesOver = (one: Box, two = one): Lines => ({
  first: lineAbove(Math.max(one.bottom, two.bottom)),
  end: lineAbove(Math.min(one.top, two.top)),
});

/** Where a slab covers some lines: on line `first + i` from `at[k]` to `at[k + 1]`, k from `starts[i]` by twos. */
export interface Shadow extends Lines {
  readonly starts: Int32Array;
  readonly at: Float64Array;
}

/** The lines that an edge between two heights crosses: from this one, up to and without the other's. */
const lineAbove = (height: number): number => Math.ceil(height / pitch - 0.5);

/** Looked at along an azimuth, on some lines or on all. Written for speed: a design has some hundred of these, of a thousand edges. */
export function shadowOf(slab: Slab, azimuth: number, lines?: Lines): Shadow {
  const { first, end } = lines ?? linesOver(boxAlong(slab, azimuth));
  const c = Math.cos(azimuth);
  const s = Math.sin(azimuth);
  const low = first * pitch;
  const high = end * pitch;
  const starts = new Int32Array(Math.max(0, end - first) + 1);
  // The ends of the edges that cross lines, and from which line to which they do.
  const edges: Point[] = [];
  const crossed: number[] = [];
  for (const loop of slab.loops) {
    let before = loop[loop.length - 1];
    let beforeY = before.y * c - before.x * s;
    for (let i = 0; i < loop.length; i++) {
      const point = loop[i];
      const y = point.y * c - point.x * s;
      if ((y >= low || beforeY >= low) && (y <= high || beforeY <= high)) {
        const from = Math.max(first, lineAbove(Math.min(y, beforeY)));
        const to = Math.min(end, lineAbove(Math.max(y, beforeY)));
        if (from < to) {
          edges.push(before, point);
          crossed.push(from, to);
          for (let line = from; line < to; line++) starts[line - first + 1] += 1;
        }
      }
      before = point;
      beforeY = y;
    }
  }
  for (let i = 1; i < starts.length; i++) starts[i] += starts[i - 1];
  const at = new Float64Array(starts[starts.length - 1]);
  const filled = starts.slice();
  for (let i = 0; i < edges.length; i += 2) {
    const one = edges[i];
    const two = edges[i + 1];
    const fromX = one.x * c + one.y * s;
    const fromY = one.y * c - one.x * s;
    const dx = two.x * c + two.y * s - fromX;
    const dy = two.y * c - two.x * s - fromY;
    for (let line = crossed[i]; line < crossed[i + 1]; line++) {
      const x = fromX + (((line + 0.5) * pitch - fromY) / dy) * dx;
      // Kept in order as it is put in: few lines are crossed more than a few times.
      let k = filled[line - first];
      for (; k > starts[line - first] && at[k - 1] > x; k--) at[k] = at[k - 1];
      at[k] = x;
      filled[line - first] += 1;
    }
  }
  return { first, end, starts, at };
}

/** Whether two shadows overlap: what moves square to them would run into each other. */
export function overlap(one: Shadow, two: Shadow): boolean {
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
export const runsInto = (one: Shadow, two: Shadow): boolean =>
  onSomeLine(one, two, (i, endI, j, endJ) => i < endI && j < endJ && two.at[endJ - 1] - one.at[i] > grazing);

/** Whether something holds on a line that both cover; told where each has what it covers of it. */
function onSomeLine(
  one: Shadow,
  two: Shadow,
  holds: (i: number, endI: number, j: number, endJ: number) => boolean,
): boolean {
  const from = Math.max(one.first, two.first);
  const to = Math.min(one.end, two.end);
  for (let line = from; line < to; line++) {
    const a = line - one.first;
    const b = line - two.first;
    if (holds(one.starts[a], one.starts[a + 1], two.starts[b], two.starts[b + 1])) return true;
  }
  return false;
}
