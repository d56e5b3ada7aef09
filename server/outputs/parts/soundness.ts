/**
 * Whether a part was generated as it should be: a closed surface of the kind that its slabs make, of their volume, and
 * no wall of it thinner than the process makes one.
 */
import type { CrossSection, Manifold } from 'manifold-3d';
import type { Point, Process } from '../../../language/mechanism.ts';
import { areaOf, edgesOf, flattened } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism, Region } from '../../reckon/parts/part.ts';
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
  ...thinWalls(kernel, part, process),
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
  const sides = new Map<number, number>();
  for (let i = 0; i < triangles.length; i++) {
    const [from, to] = [triangles[i], triangles[i % 3 === 2 ? i - 2 : i + 1]];
    sides.set(from * many + to, (sides.get(from * many + to) ?? 0) + 1);
  }
  let open = 0;
  for (const [side, count] of sides) {
    const back = (side % many) * many + Math.floor(side / many);
    if (count !== 1 || sides.get(back) !== 1) open++;
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

/** Thinner pieces than this, mm², are corners. */
const crumb = 0.05;

/**
 * Where material is thinner than the process's wall: what is lost when a section shrinks by half a wall and grows back.
 * Tips of teeth may be thin.
 */
export function thinWalls(kernel: Kernel, { name, kind, prisms }: PrintedPart, process: Process): Fault[] {
  const wall = process.wall.value - 1e-3;
  const toothed = kind === 'gear' || kind === 'ratchet wheel';
  return prisms.flatMap(({ regions }): Fault[] => {
    const whole = sectionOf(kernel, regions, 1e-3);
    const shrunk = whole.offset(-wall / 2, 'Miter', 8);
    const back = shrunk.offset(wall / 2, 'Miter', 8);
    const lost = whole.subtract(back);
    const pieces = lost.decompose().filter((piece) => piece.area() > crumb);
    const faults = pieces.flatMap((piece): Fault[] => {
      const { min, max } = piece.bounds();
      const at = { x: (min[0] + max[0]) / 2, y: (min[1] + max[1]) / 2 };
      const rim = Math.hypot(at.x, at.y) > 0.8 * Math.max(...whole.bounds().max.map(Math.abs));
      if (toothed && rim) return [];
      return [
        { part: name, what: 'thin wall', because: `${name} has a wall thinner than ${process.wall.value} mm`, at },
      ];
    });
    for (const one of [whole, shrunk, back, lost, ...pieces]) one.delete();
    return faults;
  });
}
