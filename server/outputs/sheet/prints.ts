/** What to print: every part with its size, how it lies on the bed, its layers, and where it needs support. */
import type { Mechanism } from '../../../language/mechanism.ts';
import { fingerprintOf } from '../../reckon/parts/fingerprint.ts';
import { boxOf } from '../../reckon/parts/loop.ts';
import type { PartKind, PrintedPart, Prism, Seat } from '../../reckon/parts/part.ts';
import { processesOf } from '../../reckon/parts/parts.ts';
import { pitch, type Shadow, shadowOf, slabOf } from '../../reckon/parts/shadow.ts';
import type { LaidBed } from '../parts/beds.ts';

export interface Print {
  readonly name: string;
  readonly kind: PartKind;
  readonly count: number;
  readonly process: string;
  readonly material: string;
  /** Across, along and high as it lies in the design, mm. */
  readonly size: { readonly x: number; readonly y: number; readonly z: number };
  /** Height over the process's layer. */
  readonly layers?: number;
  /** The side on the print bed. */
  readonly bed: PrintedPart['bed'];
  /** How high above the bed something juts out over nothing, mm. */
  readonly overhangs: readonly number[];
  readonly fingerprint: string;
  /** The beds on which it lies as export lays them, by number from 1; each once. */
  readonly beds: readonly number[];
}

export function printsOf(m: Mechanism, parts: readonly PrintedPart[], beds: readonly LaidBed[]): Print[] {
  const processes = processesOf(m);
  return parts.map((part) => {
    const { name, kind, prisms, bed, process, material, seats } = part;
    const { left, right, bottom, top } = boxOf(prisms.flatMap(({ regions }) => regions.map(({ outer }) => outer)));
    const z = Math.max(...prisms.map(({ to }) => to));
    const layer = processes.get(process)?.layer.value;
    return {
      name,
      kind,
      count: seats.length,
      process,
      material,
      size: { x: right - left, y: top - bottom, z },
      ...(layer! > 0 && { layers: z / layer! }),
      bed,
      overhangs: overhangsOf(part),
      fingerprint: fingerprintOf(part),
      beds: beds.flatMap(({ laid }, i) => (laid.some((one) => one.part === part) ? [i + 1] : [])),
    };
  });
}

/** What juts out by no more than this, mm, is printed over nothing. */
const jutting = 1;

const still: Seat = { x: 0, y: 0, z: 0, turn: 0, moves: { with: 'nothing' } };

function overhangsOf({ prisms, bed }: PrintedPart): number[] {
  const up = bed === 'back' ? prisms : [...prisms].reverse();
  const foot = (prism: Prism) => (bed === 'back' ? prism.from : Math.max(...prisms.map(({ to }) => to)) - prism.to);
  return up.flatMap((prism, i) => {
    const below = up[i - 1];
    if (!below) return [];
    const [over, under] = [slabOf(prism, still), slabOf(below, still)];
    return juts(shadowOf(over, 0), shadowOf(under, 0)) ? [foot(prism)] : [];
  });
}

type Stretch = readonly [number, number];

/** Whether somewhere a square of `jutting` lies on the first with nothing of the second below it. */
function juts(over: Shadow, under: Shadow): boolean {
  const lines = Array.from({ length: over.starts.length - 1 }, (_, i) => bareOf(over, under, i));
  const tall = Math.ceil(jutting / pitch);
  return lines.some((first, i) => {
    const square = lines.slice(i + 1, i + tall).reduce(common, first);
    return i + tall <= lines.length && square.some(([from, to]) => to - from > jutting);
  });
}

/** The stretches of a line that the first covers and the second does not. */
function bareOf(over: Shadow, under: Shadow, line: number): Stretch[] {
  const below = over.first + line - under.first;
  const floor = [...under.at.subarray(under.starts[below] ?? 0, under.starts[below + 1] ?? 0)];
  const bare: Stretch[] = [];
  for (let k = over.starts[line]; k + 1 < over.starts[line + 1]; k += 2) {
    let from = over.at[k];
    const to = over.at[k + 1];
    for (let j = 0; j + 1 < floor.length && from < to; j += 2) {
      if (floor[j + 1] <= from) continue;
      if (floor[j] > from) bare.push([from, Math.min(floor[j], to)]);
      from = Math.max(from, floor[j + 1]);
    }
    if (to > from) bare.push([from, to]);
  }
  return bare;
}

const common = (one: readonly Stretch[], two: readonly Stretch[]): Stretch[] =>
  one.flatMap(([from, to]) =>
    two.flatMap(([start, end]): Stretch[] => {
      const both: Stretch = [Math.max(from, start), Math.min(to, end)];
      return both[1] > both[0] ? [both] : [];
    }),
  );
