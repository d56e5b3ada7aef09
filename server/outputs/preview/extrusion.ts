/**
 * A printed part as what a picture of it is drawn from: the surfaces of its slabs, their true edges as lines, and what
 * is engraved as an inlay on its faces. For the eye alone: where slabs lie on each other both have a face there, of
 * which the outer one is seen. What is made of a part has its exact surface (`parts/mesh.ts`).
 */
import earcut from 'earcut';
import type { Point } from '../../../language/mechanism.ts';
import { flattened } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Prism, Region } from '../../reckon/parts/part.ts';

/** Triangles with the directions that their corners face, as unit vectors × 127. */
export interface Surface {
  /** x, y, z of every corner, mm, in the part's frame. */
  readonly corners: Float32Array;
  readonly normals: Int8Array;
  /** Three corners a triangle, counter-clockwise seen from outside. */
  readonly triangles: Uint32Array;
}

export interface Extrusion {
  readonly body: Surface;
  /** Both ends of every line, mm. */
  readonly lines: Float32Array;
  readonly engraved: Surface;
}

/** How far chords lie from the arcs they stand for, mm. */
const sag = 0.02;
/** Chords that meet at less than this are pieces of one smooth curve. */
const smooth = Math.cos((25 * Math.PI) / 180);

export function extrusionOf({ prisms, engraved }: Pick<PrintedPart, 'prisms' | 'engraved'>): Extrusion {
  const [body, inlay] = [new Growing(), new Growing()];
  const lines = new Lines();
  for (const { from, to, regions } of prisms) {
    for (const region of regions) {
      const outlines = [region.outer, ...region.holes].map((loop) => flattened(loop, sag));
      addLevels(body, outlines, from, to);
      for (const outline of outlines) addWalls(body, lines, outline, from, to);
    }
  }
  for (const { from, to, regions } of engraved)
    for (const region of regions) addLevels(inlay, outlinesOf(region), from, to);
  return { body: body.surface(), lines: lines.ends(), engraved: inlay.surface() };
}

const outlinesOf = ({ outer, holes }: Region): Point[][] => [outer, ...holes].map((loop: Loop) => flattened(loop, sag));

/** The height of a part: of its back and its front in its own frame. */
export const extentOf = (prisms: readonly Prism[]): { readonly from: number; readonly to: number } => ({
  from: Math.min(...prisms.map(({ from }) => from)),
  to: Math.max(...prisms.map(({ to }) => to)),
});

class Growing {
  private readonly corners: number[] = [];
  private readonly normals: number[] = [];
  private readonly triangles: number[] = [];

  /** Adds a corner that faces some way; gives its number. */
  corner(x: number, y: number, z: number, nx: number, ny: number, nz: number): number {
    this.normals.push(Math.round(127 * nx), Math.round(127 * ny), Math.round(127 * nz));
    return this.corners.push(x, y, z) / 3 - 1;
  }

  triangle(a: number, b: number, c: number): void {
    this.triangles.push(a, b, c);
  }

  surface(): Surface {
    return {
      corners: Float32Array.from(this.corners),
      normals: Int8Array.from(this.normals),
      triangles: Uint32Array.from(this.triangles),
    };
  }
}

function addLevels(into: Growing, outlines: readonly (readonly Point[])[], from: number, to: number): void {
  const flat = outlines.flatMap((outline) => outline.flatMap(({ x, y }) => [x, y]));
  const counts = outlines.map(({ length }) => length);
  const holes = counts.slice(1).map((_, i) => counts.slice(0, i + 1).reduce((sum, count) => sum + count, 0));
  const cut = earcut(flat, holes);
  for (const [z, up] of [
    [from, -1],
    [to, 1],
  ] as const) {
    const [first] = outlines.flat().map(({ x, y }) => into.corner(x, y, z, 0, 0, up));
    for (let i = 0; i < cut.length; i += 3) {
      const [a, b, c] = [cut[i] + first, cut[i + 1] + first, cut[i + 2] + first];
      // The cutter gives its triangles clockwise or not as it likes.
      if (areaOf(flat, cut[i], cut[i + 1], cut[i + 2]) * up > 0) into.triangle(a, b, c);
      else into.triangle(a, c, b);
    }
  }
}

const areaOf = (flat: readonly number[], a: number, b: number, c: number): number =>
  (flat[2 * b] - flat[2 * a]) * (flat[2 * c + 1] - flat[2 * a + 1]) -
  (flat[2 * c] - flat[2 * a]) * (flat[2 * b + 1] - flat[2 * a + 1]);

/** Outlines run with the material on their left, so that outside is to their right. */
function addWalls(into: Growing, lines: Lines, outline: readonly Point[], from: number, to: number): void {
  const count = outline.length;
  const out = outline.map((a, i): Point => {
    const b = outline[(i + 1) % count];
    const long = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    return { x: (b.y - a.y) / long, y: (a.x - b.x) / long };
  });
  /** Where the curve is smooth its walls face the same way. */
  const facing = outline.map((_, i): Point | undefined => {
    const [before, after] = [out[(i + count - 1) % count], out[i]];
    if (before.x * after.x + before.y * after.y < smooth) return undefined;
    const long = Math.hypot(before.x + after.x, before.y + after.y) || 1;
    return { x: (before.x + after.x) / long, y: (before.y + after.y) / long };
  });
  for (const [i, a] of outline.entries()) {
    const next = (i + 1) % count;
    const b = outline[next];
    const [atA, atB] = [facing[i] ?? out[i], facing[next] ?? out[i]];
    const low = into.corner(a.x, a.y, from, atA.x, atA.y, 0);
    const right = into.corner(b.x, b.y, from, atB.x, atB.y, 0);
    const high = into.corner(b.x, b.y, to, atB.x, atB.y, 0);
    const left = into.corner(a.x, a.y, to, atA.x, atA.y, 0);
    into.triangle(low, right, high);
    into.triangle(low, high, left);
    lines.level(a, b, from);
    lines.level(a, b, to);
    if (!facing[i]) lines.upright(a, from, to);
  }
}

/** 1 µm: ends that lie nearer are one. */
const grain = 1000;

/** The lines of all slabs; where a wall runs on from one slab into the next there is none. */
class Lines {
  private readonly levels = new Map<string, { readonly a: Point; readonly b: Point; readonly z: number }>();
  private readonly uprights: number[] = [];

  level(a: Point, b: Point, z: number): void {
    const name = `${keyOf(a)} ${keyOf(b)} ${Math.round(z * grain)}`;
    if (!this.levels.delete(name)) this.levels.set(name, { a, b, z });
  }

  upright({ x, y }: Point, from: number, to: number): void {
    this.uprights.push(x, y, from, x, y, to);
  }

  ends(): Float32Array {
    const levels = [...this.levels.values()].flatMap(({ a, b, z }) => [a.x, a.y, z, b.x, b.y, z]);
    return Float32Array.from([...levels, ...this.uprights]);
  }
}

const keyOf = ({ x, y }: Point): string => `${Math.round(x * grain)},${Math.round(y * grain)}`;
