/**
 * Whether a part was generated as it should be: a closed surface of the kind that its slabs make, of their volume, and
 * no wall of it thinner than the process makes one.
 */
import type { CrossSection, Manifold } from 'manifold-3d';
import type { Point, Process } from '../../../language/mechanism.ts';
import { areaOf, boxOf, edgesOf, flattened } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism, Region } from '../../reckon/parts/part.ts';
import { thinnestOf } from '../../reckon/parts/thin.ts';
import { defaultSag } from './mesh.ts';
import type { Kernel } from './solids.ts';

/** A fault of a generated part, in a maker's words; `at` in the part's frame. */
export interface Fault {
  readonly part: string;
  readonly what: 'not closed' | 'other shape' | 'other volume' | 'thin wall';
  readonly because: string;
  readonly at?: Point;
}

/** Everything that is wrong with a part as it was generated. */
export const faultsOf = (kernel: Kernel, part: PrintedPart, solid: Manifold, process: Process): Fault[] => [
  ...shapeFaults(kernel, part, solid),
  ...thinWalls(part, process),
];

/** Faults of a solid that is to be a part. */
export function shapeFaults(kernel: Kernel, part: PrintedPart, solid: Manifold): Fault[] {
  const fault = (what: Fault['what'], because: string): Fault => ({ part: part.name, what, because });
  const status = solid.status();
  if (status !== 'NoError') return [fault('not closed', `the surface of ${part.name} is not closed: ${status}`)];
  if (solid.isEmpty()) return [fault('not closed', `${part.name} is empty`)];
  const found: Fault[] = [];
  const { triVerts } = solid.getMesh();
  const open = openEdges(triVerts);
  if (open > 0) found.push(fault('not closed', `the surface of ${part.name} is open along ${open} edges`));
  const [holes, due] = [solid.genus(), genusOf(kernel, part.prisms)];
  if (holes !== due) found.push(fault('other shape', `${part.name} has ${holes} holes through it, not ${due}`));
  const { volume, within } = volumeOf(kernel, part);
  const off = Math.abs(solid.volume() - volume);
  if (!(off <= within))
    found.push(fault('other volume', `the volume of ${part.name} is ${off.toFixed(2)} mm³ off its slabs’`));
  return found;
}

/** Edges of triangles that do not meet just one other, run the other way. */
function openEdges(triangles: Uint32Array): number {
  const many = triangles.reduce((most, corner) => Math.max(most, corner), 0) + 1;
  const [sides, backs] = [new Float64Array(triangles.length), new Float64Array(triangles.length)];
  for (let i = 0; i < triangles.length; i++) {
    const [from, to] = [triangles[i], triangles[i % 3 === 2 ? i - 2 : i + 1]];
    sides[i] = from * many + to;
    backs[i] = to * many + from;
  }
  sides.sort();
  backs.sort();
  // Sorted, both rows are one where every side runs once and is met by one that runs back.
  let open = 0;
  for (let i = 0, k = 0; i < sides.length; i++) {
    while (backs[k] < sides[i]) k++;
    if (backs[k] !== sides[i] || sides[i] === sides[i - 1] || sides[i] === sides[i + 1]) open++;
  }
  return open;
}

const sectionOf = ({ CrossSection }: Kernel, regions: readonly Region[], sag = defaultSag): CrossSection => {
  const outlines = regions.flatMap(({ outer, holes }) =>
    [outer, ...holes].map((loop) => flattened(loop, sag).map(({ x, y }): [number, number] => [x, y])),
  );
  return new CrossSection(outlines, 'Positive');
};

/**
 * The number of holes through a stack of slabs, by Euler’s characteristic: that of the slabs less that of what
 * neighbours share, 1 for every piece of a section less 1 for every hole in it. Engraving is blind and changes nothing.
 */
function genusOf(kernel: Kernel, prisms: readonly Prism[]): number {
  const sections = prisms.map(({ regions }) => sectionOf(kernel, regions));
  const characteristic = (section: CrossSection) =>
    section.toPolygons().reduce((sum, loop) => sum + (signedArea(loop) > 0 ? 1 : -1), 0);
  const whole = sections.reduce((sum, section, i) => {
    const shared = i > 0 ? section.intersect(sections[i - 1]) : undefined;
    const touching = shared ? characteristic(shared) : 0;
    shared?.delete();
    return sum + characteristic(section) - touching;
  }, 0);
  for (const section of sections) section.delete();
  return 1 - whole;
}

const signedArea = (loop: readonly (readonly [number, number])[]): number =>
  loop.reduce((sum, [x, y], i) => {
    const [nx, ny] = loop[(i + 1) % loop.length];
    return sum + (x * ny - nx * y) / 2;
  }, 0);

/** The volume of slabs with true arcs, less what is engraved; and how far chords in place of arcs may be off it. */
function volumeOf(kernel: Kernel, { prisms, engraved }: PrintedPart): { volume: number; within: number } {
  const body = prisms.reduce((sum, { from, to, regions }) => sum + areaOf(regions) * (to - from), 0);
  const length = (regions: readonly Region[]) =>
    regions
      .flatMap(({ outer, holes }) => [outer, ...holes].flatMap(edgesOf))
      .reduce((sum, { arc }) => sum + (arc ? arc.radius * Math.abs(arc.sweep) : 0), 0);
  const within = [...prisms, ...engraved].reduce(
    (sum, { from, to, regions }) => sum + length(regions) * (to - from) * defaultSag,
    0.01,
  );
  if (engraved.length === 0) return { volume: body, within };
  const [{ from, to }] = engraved;
  const strokes = sectionOf(
    kernel,
    engraved.flatMap(({ regions }) => regions),
  );
  const cut = strokes.area() * (to - from);
  strokes.delete();
  return { volume: body - cut, within };
}

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
