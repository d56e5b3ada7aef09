/**
 * Whether a part was generated as it should be: a closed surface of the kind that its slabs make, of their volume, and
 * no wall of it thinner than the process makes one.
 */
import type { Point, Process } from '../../../language/mechanism.ts';
import { areaOf, boxOf, edgesOf } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism, Region } from '../../reckon/parts/part.ts';
import { thinnestOf } from '../../reckon/parts/thin.ts';
import { type ArrangedEdge, type Arrangement, arrange } from './arrangement.ts';
import { facesOf, type Walk } from './faces.ts';
import { type Mesh, sagOf } from './mesh.ts';

/** A fault of a generated part, in a maker's words; `at` in the part's frame. */
export interface Fault {
  readonly part: string;
  readonly what: 'not closed' | 'other shape' | 'other volume' | 'thin wall';
  readonly because: string;
  readonly at?: Point;
}

/** Everything that is wrong with a part as it was generated. */
export const faultsOf = (part: PrintedPart, mesh: Mesh, process: Process): Fault[] => [
  ...shapeFaults(part, mesh),
  ...thinWalls(part, process),
];

/** Faults of a surface that is to be a part’s. */
export function shapeFaults(part: PrintedPart, { corners, triangles }: Mesh): Fault[] {
  const fault = (what: Fault['what'], because: string): Fault => ({ part: part.name, what, because });
  if (triangles.length === 0) return [fault('not closed', `${part.name} is empty`)];
  const open = openEdges(triangles, corners.length / 3);
  if (open > 0) return [fault('not closed', `the surface of ${part.name} is open along ${open} edges`)];
  const found: Fault[] = [];
  // Euler’s characteristic of a closed surface of triangles: three edges for two of them.
  const holes = 1 - (corners.length / 3 - triangles.length / 6) / 2;
  const due = genusOf(part.prisms);
  if (holes !== due) found.push(fault('other shape', `${part.name} has ${holes} holes through it, not ${due}`));
  const { least, most } = volumeOf(part);
  const volume = volumeWithin(corners, triangles);
  const off = Math.max(least - volume, volume - most);
  if (!(off <= 0))
    found.push(fault('other volume', `the volume of ${part.name} is ${off.toFixed(2)} mm³ off its slabs’`));
  return found;
}

/** Sides of triangles that do not meet just one other, run the other way. */
function openEdges(triangles: Uint32Array, corners: number): number {
  const sides = new Float64Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    const from = triangles[i];
    const to = triangles[i % 3 === 2 ? i - 2 : i + 1];
    sides[i] = from < to ? 2 * (from * corners + to) : 2 * (to * corners + from) + 1;
  }
  sides.sort();
  // Sorted, a side is followed by the one that runs back.
  let met = 0;
  for (let i = 0; i < sides.length; i++) {
    const side = sides[i];
    if (side % 2 === 0 && sides[i + 1] === side + 1 && sides[i - 1] !== side && sides[i + 2] !== side + 1) met += 2;
  }
  return sides.length - met;
}

/** By the divergence of (0, 0, z): what is under each triangle, mm³. */
function volumeWithin(corners: Float64Array, triangles: Uint32Array): number {
  let sixfold = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const a = 3 * triangles[i];
    const b = 3 * triangles[i + 1];
    const c = 3 * triangles[i + 2];
    const twice =
      (corners[b] - corners[a]) * (corners[c + 1] - corners[a + 1]) -
      (corners[c] - corners[a]) * (corners[b + 1] - corners[a + 1]);
    sixfold += twice * (corners[a + 2] + corners[b + 2] + corners[c + 2]);
  }
  return sixfold / 6;
}

/**
 * The number of holes through a stack of slabs, by Euler’s characteristic: that of the slabs less that of what
 * neighbours share, 1 for every piece of a section less 1 for every hole in it. Engraving is blind and changes nothing.
 */
function genusOf(prisms: readonly Prism[]): number {
  if (prisms.length === 1 && prisms[0].regions.length === 1) return prisms[0].regions[0].holes.length;
  const arrangement = arrange(prisms);
  let characteristic = 0;
  for (let slab = 0; slab < arrangement.heights.length - 1; slab++) {
    characteristic += characteristicOf(arrangement, (side) => side[slab]);
    if (slab > 0) characteristic -= characteristicOf(arrangement, (side) => side[slab] && side[slab - 1]);
  }
  return 1 - characteristic;
}

/** Of the area in which there is material, as the sides of edges tell. */
function characteristicOf(arrangement: Arrangement, isFull: (side: ArrangedEdge['left']) => boolean): number {
  const walks: Walk[] = [];
  for (let edge = 0; edge < arrangement.edges.length; edge++) {
    const along = isFull(arrangement.edges[edge].left);
    if (along !== isFull(arrangement.edges[edge].right)) walks.push({ edge, along });
  }
  return facesOf(arrangement, walks).reduce((sum, { holes }) => sum + 1 - holes.length, 0);
}

/**
 * Between what the volume of slabs with true arcs must lie, less what is engraved: chords take a part of it, two thirds
 * of their sag along every arc (a segment of a parabola, Archimedes); strokes may cross, and count once or twice.
 */
function volumeOf({ prisms, engraved }: PrintedPart): { least: number; most: number } {
  const volume = (all: readonly Prism[]) =>
    all.reduce((sum, { from, to, regions }) => sum + areaOf(regions) * (to - from), 0);
  const within = [...prisms, ...engraved].reduce(
    (sum, { from, to, regions }) => sum + besideArcs(regions) * (to - from),
    0.01,
  );
  const body = volume(prisms);
  const layers = engraved.map((layer) => volume([layer]));
  return { least: body - volume(engraved) - within, most: body - Math.max(0, ...layers) + within };
}

/** The area between all arcs round regions and their chords, mm². */
const besideArcs = (regions: readonly Region[]): number =>
  regions
    .flatMap(({ outer, holes }) => [outer, ...holes].flatMap(edgesOf))
    .reduce((sum, { arc }) => sum + (arc ? (2 / 3) * sagOf(arc.radius) * arc.radius * Math.abs(arc.sweep) : 0), 0);

/** Where material is thinner than the process's wall, the thinnest of each slab. Tips of teeth may be thin. */
export function thinWalls({ name, kind, prisms }: PrintedPart, process: Process): Fault[] {
  const wall = process.wall.value;
  const toothed = kind === 'gear' || kind === 'ratchet wheel';
  return prisms.flatMap(({ regions }): Fault[] => {
    const { right } = boxOf(regions.map(({ outer }) => outer));
    const place = thinnestOf(regions, 'wall', wall - 1e-3, toothed ? rims * right : Infinity);
    if (!place) return [];
    return [{ part: name, what: 'thin wall', because: `${name} has a wall thinner than ${wall} mm`, at: place.at }];
  });
}

/** Teeth stand beyond this share of a wheel's radius. */
const rims = 0.8;
