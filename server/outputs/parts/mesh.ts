/**
 * The surface of a part as triangles: its faces, with chords for arcs. Faces that share an edge share its chords and
 * their corners, so that the mesh is closed as the surface is.
 */
import { edgeBetween } from '../../reckon/parts/loop.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import type { ArrangedEdge, Arrangement } from './arrangement.ts';
import { partSurface, type ShellEdge, type ShellFace, type Side } from './shells.ts';
import type { Kernel } from './solids.ts';

/** A closed surface of triangles, seen from outside counter-clockwise. */
export interface Mesh {
  /** x, y, z of every corner, mm. */
  readonly corners: Float64Array;
  /** Three corners a triangle. */
  readonly triangles: Uint32Array;
}

/** How far chords lie from the arcs they stand for, mm, where nothing else is asked. */
export const defaultSag = 0.01;

/** The part's surface in its own frame; the kernel cuts level faces into triangles. Throws as `surfaceOf` does. */
export function meshOf(kernel: Kernel, part: PrintedPart, sag = defaultSag): Mesh {
  const { arrangement, solids } = partSurface(part);
  const corners: number[] = [];
  const triangles: number[] = [];
  for (const shell of solids.flatMap(({ outer, voids }) => [outer, ...voids])) {
    const pointsOn = chordsOf(arrangement, shell, sag, corners);
    for (const face of shell) {
      if (face.kind === 'wall') addWall(face, pointsOn, corners, triangles);
      else addLevel(kernel, face, pointsOn, corners, triangles);
    }
  }
  return { corners: Float64Array.from(corners), triangles: Uint32Array.from(triangles) };
}

/** The corners along an edge, both ends included, in its own direction. */
type PointsOn = (edge: ShellEdge) => readonly number[];

function chordsOf(arrangement: Arrangement, shell: readonly ShellFace[], sag: number, corners: number[]): PointsOn {
  const { points, edges, heights } = arrangement;
  const add = (x: number, y: number, level: number): number => corners.push(x, y, heights[level]) / 3 - 1;
  const ends = endsOf(shell, (edge, last) => {
    if (edge.kind === 'upright') return add(points[edge.point].x, points[edge.point].y, last ? edge.to : edge.from);
    const { from, to } = edges[edge.edge];
    const { x, y } = points[last ? to : from];
    return add(x, y, edge.level);
  });
  const made = new Map<ShellEdge, readonly number[]>();
  return (edge) => {
    let row = made.get(edge);
    if (!row) {
      const [first, last] = ends(edge);
      const between = edge.kind === 'upright' ? [] : chordPoints(arrangement, edges[edge.edge], sag);
      row = [first, ...between.map(([x, y]) => add(x, y, (edge as { level: number }).level)), last];
      made.set(edge, row);
    }
    return row;
  };
}

/** Points of an arc between its ends, evenly spaced. */
function chordPoints({ points }: Arrangement, { from, to, bulge }: ArrangedEdge, sag: number): [number, number][] {
  const { arc } = edgeBetween({ ...points[from], bulge }, { ...points[to], bulge: 0 });
  if (!arc) return [];
  const { centre, radius, start, sweep } = arc;
  const widest = 2 * Math.acos(Math.max(0, 1 - sag / radius));
  const pieces = Math.max(1, Math.ceil(Math.abs(sweep) / widest - 1e-9));
  return Array.from({ length: pieces - 1 }, (_, i) => {
    const angle = start + (sweep * (i + 1)) / pieces;
    return [centre.x + radius * Math.cos(angle), centre.y + radius * Math.sin(angle)];
  });
}

/**
 * The corners at the ends of a shell's edges. Edges that follow each other round a face meet in one corner; where a
 * shell touches itself, two corners lie at one place.
 */
function endsOf(shell: readonly ShellFace[], corner: (edge: ShellEdge, last: boolean) => number) {
  const numbers = new Map<ShellEdge, number>();
  const parent: number[] = [];
  const edges: ShellEdge[] = [];
  const end = (edge: ShellEdge, last: boolean): number => {
    let number = numbers.get(edge);
    if (number === undefined) {
      number = parent.length;
      numbers.set(edge, number);
      parent.push(number, number + 1);
      edges.push(edge);
    }
    return number + (last ? 1 : 0);
  };
  const root = (i: number): number => {
    while (parent[i] !== i) i = parent[i] = parent[parent[i]];
    return i;
  };
  for (const { bounds } of shell)
    for (const sides of bounds)
      for (const [i, { edge, along }] of sides.entries()) {
        const next = sides[(i + 1) % sides.length];
        const [a, b] = [root(end(edge, along)), root(end(next.edge, !next.along))];
        parent[Math.max(a, b)] = Math.min(a, b);
      }
  const made = new Map<number, number>();
  const cornerAt = (i: number): number => {
    const one = root(i);
    const known = made.get(one) ?? corner(edges[one >> 1], one % 2 === 1);
    made.set(one, known);
    return known;
  };
  return (edge: ShellEdge): [number, number] => [cornerAt(end(edge, false)), cornerAt(end(edge, true))];
}

/** Corners along sides that follow each other, from the start of the first to the end of the last. */
const chain = (sides: readonly Side[], pointsOn: PointsOn): number[] =>
  sides.flatMap(({ edge, along }, i) => {
    const row = along ? pointsOn(edge) : [...pointsOn(edge)].reverse();
    return i === 0 ? row : row.slice(1);
  });

/** A wall column by column; the first and the last may have corners of other faces on their uprights. */
function addWall(
  { bounds: [sides] }: ShellFace & { readonly kind: 'wall' },
  pointsOn: PointsOn,
  corners: readonly number[],
  triangles: number[],
): void {
  const top = sides.findIndex(({ edge }, i) => i > 0 && edge.kind === 'level');
  const low = chain(sides.slice(0, 1), pointsOn);
  const right = chain(sides.slice(1, top), pointsOn);
  const high = chain(sides.slice(top, top + 1), pointsOn).reverse();
  const left = chain(sides.slice(top + 1), pointsOn).reverse();
  const z = (corner: number) => corners[3 * corner + 2];
  for (let i = 1; i < low.length; i++) {
    const a = i === 1 ? left : [low[i - 1], high[i - 1]];
    const b = i === low.length - 1 ? right : [low[i], high[i]];
    for (let [j, k] = [0, 0]; j < a.length - 1 || k < b.length - 1; ) {
      const onRight = k < b.length - 1 && (j === a.length - 1 || z(b[k + 1]) <= z(a[j + 1]));
      triangles.push(a[j], b[k], onRight ? b[++k] : a[++j]);
    }
  }
}

function addLevel(
  kernel: Kernel,
  { bounds, up }: ShellFace & { readonly kind: 'level' },
  pointsOn: PointsOn,
  corners: readonly number[],
  triangles: number[],
): void {
  const loops = bounds.map((sides) => {
    const loop = chain(sides, pointsOn).slice(1);
    return up ? loop : loop.reverse();
  });
  const flat = loops.map((loop) =>
    loop.map((corner): [number, number] => [corners[3 * corner], corners[3 * corner + 1]]),
  );
  const named = loops.flat();
  for (const [a, b, c] of kernel.triangulate(flat)) {
    if (up) triangles.push(named[a], named[b], named[c]);
    else triangles.push(named[a], named[c], named[b]);
  }
}

/** The least and the greatest of a mesh along each axis. */
export function extentOf({ corners }: Mesh): { readonly least: readonly number[]; readonly most: readonly number[] } {
  const least = [Infinity, Infinity, Infinity];
  const most = [-Infinity, -Infinity, -Infinity];
  for (const [i, at] of corners.entries()) {
    least[i % 3] = Math.min(least[i % 3], at);
    most[i % 3] = Math.max(most[i % 3], at);
  }
  return { least, most };
}
