/**
 * The surface of a part as triangles: its faces, with chords for arcs. Faces that share an edge share its chords and
 * their corners, so that the mesh is closed as the surface is.
 */
import { edgeBetween } from '../../reckon/parts/loop.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import type { ArrangedEdge, Arrangement } from './arrangement.ts';
import { partSurface, type ShellEdge, type ShellFace, type Side, type Surface } from './shells.ts';
import { triangulate } from './triangulation.ts';

/** A closed surface of triangles, seen from outside counter-clockwise. */
export interface Mesh {
  /** x, y, z of every corner, mm. */
  readonly corners: Float64Array;
  /** Three corners a triangle. */
  readonly triangles: Uint32Array;
}

/** How far chords lie from the arcs they stand for, mm, where nothing else is asked. */
export const defaultSag = 0.01;

/** Arcs smaller than this, mm, are the round ends of what is engraved: no nozzle shows chords three times as far off. */
const smallRound = 0.5;

/** How far chords lie from an arc, mm, where they lie `sag` from larger ones. */
export const sagOf = (radius: number, sag = defaultSag): number => (radius < smallRound ? 3 * sag : sag);

/** The part's surface in its own frame. Throws as `surfaceOf` does. */
export function meshOf(part: PrintedPart, sag = defaultSag): Mesh {
  const surface = partSurface(part);
  const corners: number[] = [];
  const triangles: number[] = [];
  const rowOf = cornersAlong(surface, sag, corners);
  for (const { outer, voids } of surface.solids)
    for (const shell of voids.length > 0 ? [outer, ...voids] : [outer])
      for (const face of shell) {
        if (face.kind === 'wall') addWall(face.bounds[0], rowOf, corners, triangles);
        else addLevel(face, rowOf, corners, triangles);
      }
  return { corners: new Float64Array(corners), triangles: new Uint32Array(triangles) };
}

/** The corners along an edge, both ends included, in its own direction. */
type RowOf = (edge: ShellEdge) => readonly number[];

function cornersAlong(surface: Surface, sag: number, corners: number[]): RowOf {
  const { points, edges, heights } = surface.arrangement;
  const add = (x: number, y: number, level: number): number => corners.push(x, y, heights[level]) / 3 - 1;
  const places = placesOf(surface);
  const cornerAt = new Int32Array(places.length).fill(-1);
  const end = (edge: ShellEdge, last: boolean): number => {
    const place = places[2 * edge.id + (last ? 1 : 0)];
    if (cornerAt[place] >= 0) return cornerAt[place];
    const isTo = edge.kind === 'level' && last;
    const point = points[edge.kind === 'upright' ? edge.point : isTo ? edges[edge.edge].to : edges[edge.edge].from];
    const level = edge.kind === 'level' ? edge.level : last ? edge.to : edge.from;
    cornerAt[place] = add(point.x, point.y, level);
    return cornerAt[place];
  };
  const chords: (readonly number[] | undefined)[] = new Array(edges.length).fill(undefined);
  const made: (readonly number[] | undefined)[] = new Array(surface.edges.length).fill(undefined);
  return (edge) => {
    const known = made[edge.id];
    if (known) return known;
    const row = [end(edge, false)];
    if (edge.kind === 'level') {
      chords[edge.edge] ??= chordPoints(surface.arrangement, edges[edge.edge], sag);
      const between = chords[edge.edge]!;
      for (let i = 0; i < between.length; i += 2) row.push(add(between[i], between[i + 1], edge.level));
    }
    row.push(end(edge, true));
    made[edge.id] = row;
    return row;
  };
}

/** Points of an arc between its ends, evenly spaced: x, y of each. */
function chordPoints({ points }: Arrangement, { from, to, bulge }: ArrangedEdge, sag: number): number[] {
  const between: number[] = [];
  if (bulge === 0) return between;
  const { x, y } = points[from];
  const { arc } = edgeBetween({ x, y, bulge }, { ...points[to], bulge: 0 });
  if (!arc) return between;
  const { centre, radius, start, sweep } = arc;
  const widest = 2 * Math.acos(Math.max(0, 1 - sagOf(radius, sag) / radius));
  const pieces = Math.max(1, Math.ceil(Math.abs(sweep) / widest - 1e-9));
  for (let i = 1; i < pieces; i++) {
    const angle = start + (sweep * i) / pieces;
    between.push(centre.x + radius * Math.cos(angle), centre.y + radius * Math.sin(angle));
  }
  return between;
}

/**
 * Which ends of edges are one corner: of the edge with an id, twice that for its start, one more for its end. Edges that
 * follow each other round a face meet in one corner; where a shell touches itself, two corners lie at one place.
 */
function placesOf({ edges, solids }: Surface): Int32Array {
  const parent = new Int32Array(2 * edges.length);
  for (let i = 0; i < parent.length; i++) parent[i] = i;
  const root = (i: number): number => {
    while (parent[i] !== i) i = parent[i] = parent[parent[i]];
    return i;
  };
  const join = (sides: readonly Side[]) => {
    for (let i = 0; i < sides.length; i++) {
      const side = sides[i];
      const next = sides[i + 1 < sides.length ? i + 1 : 0];
      const a = root(2 * side.edge.id + (side.along ? 1 : 0));
      const b = root(2 * next.edge.id + (next.along ? 0 : 1));
      parent[Math.max(a, b)] = Math.min(a, b);
    }
  };
  for (const { outer, voids } of solids)
    for (const shell of [outer, ...voids]) for (const { bounds } of shell) for (const sides of bounds) join(sides);
  for (let i = 0; i < parent.length; i++) parent[i] = root(i);
  return parent;
}

/** Appends the corners along a side, all but the last of them. */
function appendSide(into: number[], row: readonly number[], along: boolean): void {
  if (along) for (let i = 0; i < row.length - 1; i++) into.push(row[i]);
  else for (let i = row.length - 1; i > 0; i--) into.push(row[i]);
}

/** Corners along sides that follow each other, from the start of the first to the end of the last. */
function chain(sides: readonly Side[], rowOf: RowOf): number[] {
  const corners: number[] = [];
  for (const { edge, along } of sides) appendSide(corners, rowOf(edge), along);
  const { edge, along } = sides[sides.length - 1];
  const row = rowOf(edge);
  corners.push(row[along ? row.length - 1 : 0]);
  return corners;
}

/** A wall column by column; the first and the last may have corners of other faces on their uprights. */
function addWall(sides: readonly Side[], rowOf: RowOf, corners: readonly number[], triangles: number[]): void {
  const top = sides.findIndex(({ edge }, i) => i > 0 && edge.kind === 'level');
  const low = chain(sides.slice(0, 1), rowOf);
  const right = chain(sides.slice(1, top), rowOf);
  const high = chain(sides.slice(top, top + 1), rowOf).reverse();
  const left = chain(sides.slice(top + 1), rowOf).reverse();
  const z = (corner: number) => corners[3 * corner + 2];
  const last = low.length - 1;
  for (let i = 1; i <= last; i++) {
    if ((i > 1 || left.length === 2) && (i < last || right.length === 2)) {
      triangles.push(low[i - 1], low[i], high[i], low[i - 1], high[i], high[i - 1]);
      continue;
    }
    const a = i === 1 ? left : [low[i - 1], high[i - 1]];
    const b = i === last ? right : [low[i], high[i]];
    let [j, k] = [0, 0];
    while (j < a.length - 1 || k < b.length - 1) {
      const onRight = k < b.length - 1 && (j === a.length - 1 || z(b[k + 1]) <= z(a[j + 1]));
      triangles.push(a[j], b[k], onRight ? b[++k] : a[++j]);
    }
  }
}

/** A level face as it is seen from above, turned over where its outside is below. */
function addLevel(
  { bounds, up }: ShellFace & { readonly kind: 'level' },
  rowOf: RowOf,
  corners: readonly number[],
  triangles: number[],
): void {
  const loops = bounds.map((sides) => {
    const loop: number[] = [];
    for (const { edge, along } of sides) appendSide(loop, rowOf(edge), along);
    return up ? loop : loop.reverse();
  });
  const first = triangles.length;
  triangulate(loops, corners, triangles);
  if (up) return;
  for (let i = first; i < triangles.length; i += 3) {
    const second = triangles[i + 1];
    triangles[i + 1] = triangles[i + 2];
    triangles[i + 2] = second;
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
