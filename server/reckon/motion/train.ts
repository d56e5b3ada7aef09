/** The gear train: how far and which way every shaft turns for one turn of the leading shaft, as exact fractions. */
import type { Gear, Mechanism, Mesh, Sense } from '../../../language/mechanism.ts';
import type { Fraction, ShaftFigure } from '../figures.ts';
import { turn } from './angles.ts';

export interface Train {
  readonly leading?: string;
  readonly shafts: readonly ShaftFigure[];
  /** Meshes that contradict those written before them round a loop. */
  readonly locked: readonly (readonly [string, string])[];
  /** No shaft that the train reaches says which way it turns: clockwise was taken. */
  readonly senseByDefault: boolean;
}

/** A mesh with both its gears and their shafts known, and teeth that can be counted. */
export interface WholeMesh {
  readonly mesh: Mesh;
  readonly gears: readonly [Gear, Gear];
  readonly shafts: readonly [string, string];
}

/** The meshes that can be reckoned; those half written are left out. */
export function wholeMeshes(m: Mechanism): WholeMesh[] {
  const gears = new Map(m.gears.map((gear) => [gear.name, gear]));
  const shafts = new Set(m.shafts.map((shaft) => shaft.name));
  return m.meshes.flatMap((mesh) => {
    const [first, second] = mesh.gears.map((reference) => gears.get(reference.name));
    if (!first?.shaft || !second?.shaft || !countable(first) || !countable(second)) return [];
    if (!shafts.has(first.shaft.name) || !shafts.has(second.shaft.name)) return [];
    if (first.shaft.name === second.shaft.name) return [];
    return [{ mesh, gears: [first, second] as const, shafts: [first.shaft.name, second.shaft.name] as const }];
  });
}

const countable = (gear: Gear): boolean => Number.isSafeInteger(gear.teeth?.value) && gear.teeth!.value > 0;

/** The leading shaft: the one that says so; else the ratchet's; else the push's; else the first. */
export function leadingShaft(m: Mechanism): string | undefined {
  const names = new Set(m.shafts.map((shaft) => shaft.name));
  return [
    ...m.shafts.filter((shaft) => shaft.leads).map((shaft) => shaft.name),
    ...m.ratchets.map((ratchet) => ratchet.shaft?.name),
    ...m.pushes.map((push) => push.shaft?.name),
    m.shafts[0]?.name,
  ].find((name) => name !== undefined && names.has(name));
}

interface Exact {
  readonly num: bigint;
  readonly den: bigint;
}

interface Reached {
  readonly ratio: Exact;
  readonly path: readonly string[];
}

/**
 * The train of a mechanism whose count has `positions` rests (0: no count, steps are 0).
 * A shaft keeps the sense that its text states, even against the meshes; one that no mesh reaches turns 1 : 1.
 */
export function trainOf(m: Mechanism, positions: number): Train {
  const leading = leadingShaft(m);
  const { joining, closing } = joined(wholeMeshes(m));
  const reached = new Map<string, Reached>();
  const locked: (readonly [string, string])[] = [];
  if (leading !== undefined) {
    reached.set(leading, { ratio: { num: 1n, den: 1n }, path: [leading] });
    for (let frontier = [leading]; frontier.length > 0; ) {
      const next: string[] = [];
      for (const shaft of frontier) {
        const { ratio, path } = reached.get(shaft)!;
        for (const { gears, shafts } of joining) {
          const side = shafts.indexOf(shaft);
          if (side < 0 || reached.has(shafts[1 - side])) continue;
          const driven = shafts[1 - side];
          reached.set(driven, { ratio: afterMesh(ratio, gears[side], gears[1 - side]), path: [...path, driven] });
          next.push(driven);
        }
      }
      frontier = next;
    }
    for (const { gears, shafts } of closing) {
      const [first, second] = shafts.map((shaft) => reached.get(shaft));
      if (!first || !second) continue;
      const due = afterMesh(first.ratio, gears[0], gears[1]);
      if (due.num !== second.ratio.num || due.den !== second.ratio.den) locked.push([gears[0].name, gears[1].name]);
    }
  }

  const telling =
    m.shafts.find((shaft) => shaft.name === leading && shaft.turns) ??
    m.shafts.find((shaft) => shaft.turns && reached.has(shaft.name));
  const told = telling && signOf(telling.turns!.value) * (reached.get(telling.name)!.ratio.num < 0n ? -1 : 1);
  const leadingSense = told ?? -1;

  const shafts = m.shafts.map((shaft): ShaftFigure => {
    const { ratio, path } = reached.get(shaft.name) ?? { ratio: undefined, path: [shaft.name] };
    const byTrain = ratio && ratio.num < 0n ? -leadingSense : leadingSense;
    const sense = (shaft.turns ? signOf(shaft.turns.value) : byTrain) as 1 | -1;
    const fraction = ratio && plain(ratio);
    const size = fraction ? Math.abs(fraction.num) / fraction.den : 1;
    return {
      name: shaft.name,
      ...(fraction && { ratio: fraction }),
      sense,
      turns: sense > 0 ? 'counterclockwise' : 'clockwise',
      step: positions > 0 ? (sense * size * turn) / positions : 0,
      leads: shaft.name === leading,
      path,
    };
  });
  return { leading, shafts, locked, senseByDefault: shafts.length > 0 && told === undefined };
}

/** The meshes that join shafts not yet joined, in the order of the text, and those that close a loop. */
function joined(meshes: readonly WholeMesh[]): { joining: WholeMesh[]; closing: WholeMesh[] } {
  const group = new Map<string, Set<string>>();
  const groupOf = (shaft: string) => group.get(shaft) ?? new Set([shaft]);
  const [joining, closing]: [WholeMesh[], WholeMesh[]] = [[], []];
  for (const mesh of meshes) {
    const [first, second] = mesh.shafts.map(groupOf);
    if (first.has(mesh.shafts[1])) {
      closing.push(mesh);
      continue;
    }
    joining.push(mesh);
    const both = new Set([...first, ...second]);
    for (const shaft of both) group.set(shaft, both);
  }
  return { joining, closing };
}

const signOf = (sense: Sense): 1 | -1 => (sense === 'counterclockwise' ? 1 : -1);

/** The turn of the gear that meshes with one turning by `ratio`: the other way, by the teeth. */
function afterMesh(ratio: Exact, driver: Gear, driven: Gear): Exact {
  return lowest(-ratio.num * BigInt(driver.teeth!.value), ratio.den * BigInt(driven.teeth!.value));
}

function lowest(num: bigint, den: bigint): Exact {
  let [a, b] = [num < 0n ? -num : num, den];
  while (b > 0n) [a, b] = [b, a % b];
  return { num: num / a, den: den / a };
}

/** As plain numbers: exact as long as both fit, else scaled down to what does. */
function plain({ num, den }: Exact): Fraction {
  const digits = Math.max(num.toString(2).length, den.toString(2).length);
  if (digits <= 53) return { num: Number(num), den: Number(den) };
  const shift = BigInt(digits - 53);
  return { num: Number(num / (1n << shift)) || (num < 0n ? -1 : 1), den: Number(den >> shift) || 1 };
}
