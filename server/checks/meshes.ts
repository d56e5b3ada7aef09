import type { Fix, Gear, Mechanism, Mesh } from '../../language/mechanism.ts';
import type { Figures, MeshFigure } from '../reckon/figures.ts';
import { turn, wrapped } from '../reckon/motion/angles.ts';
import { apart, degreesWritten, fix, isUnique, named, rewriting } from './check.ts';

/** A gear in a mesh, and where its neighbour lies as seen from it. */
export interface MeshEnd {
  readonly gear: Gear;
  /** Azimuth of the centre line from this gear's shaft to the other's. */
  readonly towards: number;
}

export interface WholeMesh {
  readonly figure: MeshFigure;
  readonly mesh: Mesh;
  readonly ends: readonly [MeshEnd, MeshEnd];
}

/** Every mesh that was reckoned, with its two gears. */
export function meshesOf(m: Mechanism, f: Figures): WholeMesh[] {
  return f.meshes.flatMap((figure) => {
    const [first, second] = figure.gears.map((name) => named(m.gears, name));
    const mesh = m.meshes.find(({ gears }) => figure.gears.every((name, i) => gears[i]?.name === name));
    if (!first || !second || !mesh) return [];
    const ends = [
      { gear: first, towards: wrapped(figure.azimuth) },
      { gear: second, towards: wrapped(figure.azimuth + turn / 2) },
    ] as const;
    return [{ figure, mesh, ends }];
  });
}

/** A mark is read by eye and written with few decimals: closer than this it lies on the centre line. */
export const markTolerance = turn / 3600;

/** Whether a gear has a mark on this centre line, stated or by default. */
export function isMarked({ gear, towards }: MeshEnd): boolean {
  return gear.marks.length === 0 || gear.marks.some(({ value }) => apart(value, towards) < markTolerance);
}

/** Puts the mark that serves no other mesh on the centre line; adds one where all of them do. */
export function markFix(m: Mechanism, f: Figures, ends: readonly MeshEnd[]): Fix {
  const changes = ends.map((end) => {
    const { gear, towards } = end;
    const text = degreesWritten(towards);
    const others = meshesOf(m, f)
      .flatMap((mesh) => mesh.ends)
      .filter((other) => other.gear === gear && other.towards !== towards);
    const free = gear.marks.filter(({ value }) => !others.some((other) => apart(value, other.towards) < markTolerance));
    const moved = free.sort((a, b) => apart(a.value, towards) - apart(b.value, towards))[0];
    const all = moved
      ? gear.marks.map((mark) => (mark === moved ? text : degreesWritten(mark.value)))
      : [...gear.marks.map((mark) => degreesWritten(mark.value)), text];
    return moved && gear.marks.length > 1
      ? ({ do: 'replace', place: moved.place, text } as const)
      : moved
        ? rewriting(moved, gear, 'mark', text)
        : ({ do: 'set', object: gear.name, property: 'mark', value: all.join(', ') } as const);
  });
  return fix(
    `Mark ${ends.map(({ gear, towards }) => `${gear.name} at ${degreesWritten(towards)}`).join(' and ')}`,
    ...changes,
  );
}

/** The mesh through which a train reaches a shaft, its inner gear first. */
export function meshTo(m: Mechanism, f: Figures, shaft: string): { inner: Gear; outer: Gear; mesh: Mesh } | undefined {
  const before = named(f.shafts, shaft)?.path.at(-2);
  for (const mesh of m.meshes) {
    const [first, second] = mesh.gears.map(({ name }) => named(m.gears, name));
    if (!first || !second) continue;
    if (first.shaft?.name === before && second.shaft?.name === shaft) return { inner: first, outer: second, mesh };
    if (second.shaft?.name === before && first.shaft?.name === shaft) return { inner: second, outer: first, mesh };
  }
  return undefined;
}

/** Teeth along the way to a shaft that fit the centres as they are, or make the mesh 1 : 1. */
export function teethFixes(m: Mechanism, f: Figures, shaft: string): Fix[] {
  const path = named(f.shafts, shaft)?.path ?? [];
  const fixes = path.slice(1).flatMap((name) => {
    const way = meshTo(m, f, name);
    if (!way?.inner.teeth || !way.outer.teeth) return [];
    const { inner, outer } = way;
    const [zi, zo] = [inner.teeth!.value, outer.teeth!.value];
    const figure = f.meshes.find(({ gears }) => gears.includes(inner.name) && gears.includes(outer.name));
    const sum = figure && inner.module ? Math.round((2 * figure.centreDistance) / inner.module.value) : zi + zo;
    const give = (...teeth: readonly (readonly [Gear, number])[]): Fix[] =>
      teeth.some(([gear, z]) => z < 4 || !Number.isInteger(z) || z === gear.teeth!.value)
        ? []
        : [
            fix(
              `Give ${teeth.map(([gear, z]) => `${gear.name} ${z} teeth`).join(' and ')}`,
              ...teeth.map(([gear, z]) => rewriting(gear.teeth!, gear, 'teeth', String(z))),
            ),
          ];
    return [
      ...give([outer, sum - zi]),
      ...give([inner, sum - zo]),
      ...give([inner, sum / 2], [outer, sum / 2]),
      ...give([outer, zi]),
      ...give([inner, zo]),
    ];
  });
  const titles = fixes.map(({ title }) => title);
  return fixes.filter(({ title }, i) => isUnique(title, i, titles));
}
