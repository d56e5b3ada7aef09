/**
 * The stacks: where everything on the shafts lies, counted from the face backwards.
 *
 * A level is one plane across all shafts, as high as the greatest thickness + flange (of a gear: its width) at that
 * level on any shaft. A flange lies behind its cam. Gears lie behind the deepest cam level unless they state a level;
 * those that mesh share one, and two gears on one shaft lie one behind the other. A shaft that carries cams is filled
 * up with spacers; one without has nothing in front of its gears.
 */
import type { Cam, Gear, Mechanism } from '../../../language/mechanism.ts';
import { wholeMeshes } from '../motion/train.ts';

/** A stretch of depth, mm from the face backwards. */
export interface Depth {
  readonly from: number;
  readonly to: number;
}

export interface LevelFigure extends Depth {
  readonly level: number;
}

export interface StackedPart extends Depth {
  readonly kind: 'cam' | 'flange' | 'gear' | 'spacer' | 'shaft';
  /** Of the cam for a flange, of the shaft for a spacer and for the shaft itself. */
  readonly name: string;
  readonly shaft: string;
  /** Absent for a shaft, which passes through several. */
  readonly level?: number;
}

/** A follower: its stem lies in the plane of its cam, its post reaches from there to the face. */
export interface StackedFollower {
  readonly segment: string;
  readonly cam: string;
  readonly level: number;
  readonly stem: Depth;
}

/** What keeps the stacks from fitting together. */
export type StackClash =
  /** Parts of one shaft that want one level, in the order of the text. */
  | { readonly kind: 'shared level'; readonly shaft: string; readonly level: number; readonly parts: readonly string[] }
  /** Two gears that should mesh but lie at different levels. */
  | {
      readonly kind: 'meshed apart';
      readonly gears: readonly [string, string];
      readonly levels: readonly [number, number];
    };

export interface StackFigure {
  /** In the order of depth; a level that nothing uses has no height and is left out. */
  readonly levels: readonly LevelFigure[];
  readonly parts: readonly StackedPart[];
  readonly followers: readonly StackedFollower[];
  readonly clashes: readonly StackClash[];
  /** From the face to the back of the last part. */
  readonly depth: number;
}

/** The stacks of a mechanism. Parts without a shaft, a level or a height are left out. */
export function stackOf(m: Mechanism): StackFigure {
  const cams = m.cams.filter((cam) => cam.shaft && cam.level && cam.thickness.value > 0);
  const gears = m.gears.filter((gear) => gear.shaft && gear.width && gear.width.value > 0);
  const { levels: gearLevels, apart } = levelsOfGears(m, gears, Math.max(0, ...cams.map((cam) => cam.level!.value)));
  const items: Item[] = [
    ...cams.map((cam) => ({ part: cam, shaft: cam.shaft!.name, level: cam.level!.value, height: heightOf(cam) })),
    ...gears.map((gear) => ({
      part: gear,
      shaft: gear.shaft!.name,
      level: gearLevels.get(gear)!,
      height: gear.width!.value,
    })),
  ];
  const levels = levelsOf(items);
  const at = new Map(levels.map((level) => [level.level, level]));
  const parts = m.shafts.flatMap((shaft) =>
    partsOf(
      shaft.name,
      items.filter((item) => item.shaft === shaft.name),
      levels,
    ),
  );
  const ridden = new Set<string>();
  const followers = cams.flatMap((cam): StackedFollower[] => {
    const { from } = at.get(cam.level!.value)!;
    const stem = { from, to: from + cam.thickness.value };
    return cam.segments.flatMap(({ name }) => {
      if (ridden.has(name)) return [];
      ridden.add(name);
      return [{ segment: name, cam: cam.name, level: cam.level!.value, stem }];
    });
  });
  return {
    levels,
    parts,
    followers,
    clashes: [...sharedLevels(m, items), ...apart],
    depth: levels.at(-1)?.to ?? 0,
  };
}

interface Item {
  readonly part: Cam | Gear;
  readonly shaft: string;
  readonly level: number;
  readonly height: number;
}

const heightOf = (cam: Cam): number => cam.thickness.value + Math.max(0, cam.flange.value);

function levelsOf(items: readonly Item[]): LevelFigure[] {
  const heights = new Map<number, number>();
  for (const { level, height } of items) heights.set(level, Math.max(height, heights.get(level) ?? 0));
  let depth = 0;
  return [...heights]
    .sort(([a], [b]) => a - b)
    .map(([level, height]) => {
      const from = depth;
      depth += height;
      return { level, from, to: depth };
    });
}

function partsOf(shaft: string, items: readonly Item[], levels: readonly LevelFigure[]): StackedPart[] {
  if (items.length === 0) return [];
  const last = Math.max(...items.map((item) => item.level));
  const filled = items.some(({ part }) => part.kind === 'cam');
  const parts = levels.flatMap(({ level, from, to }): StackedPart[] => {
    if (level > last) return [];
    const here = items.filter((item) => item.level === level);
    const height = Math.max(0, ...here.map((item) => item.height));
    const rest = filled && level < last && from + height < to - almost;
    return [
      ...here.flatMap(({ part }) => layersOf(part, shaft, level, from)),
      ...(rest ? [{ kind: 'spacer' as const, name: shaft, shaft, level, from: from + height, to }] : []),
    ];
  });
  const depths = parts.filter(({ kind }) => kind !== 'spacer');
  const from = filled ? 0 : Math.min(...depths.map((part) => part.from));
  return [...parts, { kind: 'shaft', name: shaft, shaft, from, to: Math.max(...depths.map((part) => part.to)) }];
}

const almost = 1e-9;

function layersOf(part: Cam | Gear, shaft: string, level: number, from: number): StackedPart[] {
  const { name } = part;
  if (part.kind === 'gear') return [{ kind: 'gear', name, shaft, level, from, to: from + part.width!.value }];
  const back = from + part.thickness.value;
  return [
    { kind: 'cam', name, shaft, level, from, to: back },
    ...(part.flange.value > 0
      ? [{ kind: 'flange' as const, name, shaft, level, from: back, to: back + part.flange.value }]
      : []),
  ];
}

function sharedLevels(m: Mechanism, items: readonly Item[]): StackClash[] {
  return m.shafts.flatMap((shaft) => {
    const here = items.filter((item) => item.shaft === shaft.name);
    return [...new Set(here.map((item) => item.level))].flatMap((level): StackClash[] => {
      const parts = here.filter((item) => item.level === level).map((item) => item.part.name);
      return parts.length > 1 ? [{ kind: 'shared level', shaft: shaft.name, level, parts }] : [];
    });
  });
}

/** Gears that mesh share a level: a stated one, else the first behind the cams that is free on all their shafts. */
function levelsOfGears(
  m: Mechanism,
  gears: readonly Gear[],
  deepest: number,
): { levels: ReadonlyMap<Gear, number>; apart: StackClash[] } {
  const groups = new Map<Gear, Gear[]>(gears.map((gear) => [gear, [gear]]));
  const meshes = wholeMeshes(m).map(({ gears }) => gears);
  for (const [first, second] of meshes) {
    const [one, two] = [groups.get(first), groups.get(second)];
    if (!one || !two || one === two) continue;
    one.push(...two);
    for (const gear of two) groups.set(gear, one);
  }
  const levels = new Map<Gear, number>();
  const taken = new Map<number, Set<string>>();
  const take = (gear: Gear, level: number) => {
    levels.set(gear, level);
    taken.set(level, (taken.get(level) ?? new Set()).add(gear.shaft!.name));
  };
  const all = [...new Set(groups.values())];
  for (const group of all) {
    const stated = group.find((gear) => gear.level)?.level?.value;
    if (stated !== undefined) for (const gear of group) take(gear, gear.level?.value ?? stated);
  }
  for (const group of all) {
    if (levels.has(group[0])) continue;
    let level = deepest + 1;
    while (group.some((gear) => taken.get(level)?.has(gear.shaft!.name))) level++;
    for (const gear of group) take(gear, level);
  }
  const apart = meshes.flatMap(([first, second]): StackClash[] => {
    const [one, two] = [levels.get(first), levels.get(second)];
    if (one === undefined || two === undefined || one === two) return [];
    return [{ kind: 'meshed apart', gears: [first.name, second.name], levels: [one, two] }];
  });
  return { levels, apart };
}
