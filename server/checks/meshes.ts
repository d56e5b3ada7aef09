import {
  type Change,
  type Fix,
  type Gear,
  isGuess,
  isUnclear,
  type Mechanism,
  type Mesh,
} from '../../language/mechanism.ts';
import type { Figures, MeshFigure } from '../reckon/figures.ts';
import { turn, wrapped } from '../reckon/motion/angles.ts';
import { apart, degreesWritten, fix, isUnique, list, millimetres, named, rewriting, setting } from './check.ts';

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

/** The ends of a mesh, the one nearer to the leading shaft first. */
export function outward({ ends }: WholeMesh, f: Figures): readonly [MeshEnd, MeshEnd] {
  const depth = ({ gear }: MeshEnd) => named(f.shafts, gear.shaft?.name)?.path.length ?? 0;
  return depth(ends[1]) < depth(ends[0]) ? [ends[1], ends[0]] : ends;
}

/**
 * What puts two gears `distance` apart: either shaft moved along the line between them, or to where the other gear's
 * marks point.
 */
export function movesTo(
  m: Mechanism,
  f: Figures,
  whole: WholeMesh,
  distance: number,
): { words: string; change: Change }[] {
  const [near, far] = outward(whole, f);
  const ways = [
    { still: near, moved: far },
    { still: far, moved: near },
  ];
  const moves = ways.flatMap(({ still, moved }) => {
    const [from, to] = [still, moved].map(({ gear }) => named(m.shafts, gear.shaft?.name));
    if (!from?.at || !to?.at) return [];
    const { x, y } = from.at.value;
    return [still.towards, ...still.gear.marks.map(({ value }) => value)].map((direction) => {
      const text = [x + distance * Math.cos(direction), y + distance * Math.sin(direction)]
        .map((coordinate) => millimetres(coordinate, 3))
        .join(', ');
      return { words: `shaft ${to.name} to ${text}`, change: setting(to.name, 'at', text) };
    });
  });
  const all = moves.map(({ words }) => words);
  return moves.filter(({ words }, i) => isUnique(words, i, all));
}

/** Whether what shapes a gear's teeth is as the text says, or silent. */
export const isClearOfShape = (gear: Gear): boolean =>
  !isGuess(gear, 'shift', gear.shift) && !isGuess(gear, 'pressure angle', gear.pressureAngle);

/** Whether all that says how a gear's teeth stand at home is understood. */
export const isClearOfMarks = (gear: Gear): boolean => !isUnclear(gear, 'mark') && !isUnclear(gear, 'teeth');

/** A mark is read by eye and written with few decimals: closer than this it lies on the centre line. */
const markTolerance = turn / 3600;

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
function meshTo(m: Mechanism, f: Figures, shaft: string): { inner: Gear; outer: Gear; mesh: Mesh } | undefined {
  const before = named(f.shafts, shaft)?.path.at(-2);
  for (const mesh of m.meshes) {
    const [first, second] = mesh.gears.map(({ name }) => named(m.gears, name));
    if (!first || !second) continue;
    if (first.shaft?.name === before && second.shaft?.name === shaft) return { inner: first, outer: second, mesh };
    if (second.shaft?.name === before && first.shaft?.name === shaft) return { inner: second, outer: first, mesh };
  }
  return undefined;
}

/** The meshes on the way to a shaft, from the leading one outwards. */
export function wayTo(m: Mechanism, f: Figures, shaft: string) {
  const path = named(f.shafts, shaft)?.path ?? [];
  return path.slice(1).flatMap((name) => meshTo(m, f, name) ?? []);
}

/**
 * Teeth with which a shaft makes whole turns for one of the leading shaft: such as fit the centres of a mesh on the way
 * as they are, or make it 1 : 1.
 */
export function teethFixes(m: Mechanism, f: Figures, shaft: string): Fix[] {
  const way = wayTo(m, f, shaft);
  if (way.some(({ inner, outer }) => !inner.teeth || !outer.teeth)) return [];
  const makesWholeTurns = (teeth: ReadonlyMap<Gear, number>) => {
    const of = (gear: Gear) => teeth.get(gear) ?? gear.teeth!.value;
    const driving = way.reduce((product, { inner }) => product * of(inner), 1);
    return driving % way.reduce((product, { outer }) => product * of(outer), 1) === 0;
  };
  const choices = way.flatMap(({ inner, outer }) => {
    const [zi, zo] = [inner.teeth!.value, outer.teeth!.value];
    const figure = f.meshes.find(({ gears }) => gears.includes(inner.name) && gears.includes(outer.name));
    const sum = figure && inner.module ? Math.round((2 * figure.centreDistance) / inner.module.value) : zi + zo;
    return [
      [zi, sum - zi],
      [sum - zo, zo],
      [sum / 2, sum / 2],
      [zi, zi],
      [zo, zo],
    ]
      .filter((teeth) => teeth.every((z) => Number.isInteger(z) && z >= 4))
      .map(
        ([first, second]) =>
          new Map([
            ...(first === zi ? [] : [[inner, first] as const]),
            ...(second === zo ? [] : [[outer, second] as const]),
          ]),
      );
  });
  const fixes = choices
    .filter((teeth) => teeth.size > 0 && makesWholeTurns(teeth))
    .map((teeth) =>
      fix(
        `Give ${list([...teeth].map(([gear, z]) => `${gear.name} ${z} teeth`))}`,
        ...[...teeth].map(([gear, z]) => rewriting(gear.teeth!, gear, 'teeth', String(z))),
      ),
    );
  const titles = fixes.map(({ title }) => title);
  return fixes.filter(({ title }, i) => isUnique(title, i, titles));
}
