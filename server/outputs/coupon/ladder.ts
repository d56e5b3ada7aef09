/**
 * A coupon: a small ladder of fits to print before the parts. Every rung has a little more clearance than the one before
 * it; the first in which the trial piece moves tells what the machine needs. Sizes are those of the design itself, since a
 * hole of 10 mm does not print like one of 3 mm. Lengths mm.
 */
import type { Mechanism } from '../../../language/mechanism.ts';

/** Rungs of every row: from a quarter of the process's clearance to twice it. */
export const rungs = 8;

export type RowName = 'bores' | 'pegs' | 'slots' | 'gaps';

export const rowNames: readonly RowName[] = ['bores', 'pegs', 'slots', 'gaps'];

export interface Row {
  readonly name: RowName;
  /** The trial piece's own size: the peg's, the ring's bore, the tongue's width, the tooth's module. */
  readonly size: number;
  /** Where in the design the size is from; absent for a usual one. */
  readonly from?: string;
  /** Of every rung: the clearance a side (of a gap: the backlash on the pitch line), and the size that a rule reads. */
  readonly rungs: readonly { readonly clearance: number; readonly nominal: number }[];
}

export interface Ladder {
  readonly process: string;
  readonly rows: readonly Row[];
}

/** Sizes where the design has none: common practice. */
const usual = { bearing: 8, stem: 3, module: 1 };

/** The ladder for a mechanism as its process stands. */
export function ladderOf(m: Mechanism): Ladder {
  const step = Math.max(0.01, Math.round((m.process.clearance.value / 4) * 100) / 100);
  const clearances = Array.from({ length: rungs }, (_, i) => (i + 1) * step);
  const bearing = firstSize(m.shafts, ({ bearing }) => bearing?.value) ?? { value: usual.bearing };
  const stem = firstSize(m.segments, ({ stem, nose }) => stem?.value ?? (nose && 2 * nose.value)) ?? {
    value: usual.stem,
  };
  const module = firstSize(m.gears, ({ module }) => module?.value) ?? { value: usual.module };
  const row = (name: RowName, size: Sized, nominal: (clearance: number) => number): Row => ({
    name,
    size: size.value,
    ...(size.from !== undefined && { from: size.from }),
    rungs: clearances.map((clearance) => ({ clearance, nominal: nominal(clearance) })),
  });
  return {
    process: m.process.name,
    rows: [
      row('bores', bearing, (clearance) => bearing.value + 2 * clearance),
      row('pegs', bearing, (clearance) => bearing.value - 2 * clearance),
      row('slots', stem, (clearance) => stem.value + 2 * clearance),
      // On the pitch line a space of the basic rack is half a pitch wide (ISO 53).
      row('gaps', module, (backlash) => (Math.PI * module.value) / 2 + backlash),
    ],
  };
}

interface Sized {
  readonly value: number;
  readonly from?: string;
}

/** The size of the first part that has one. */
function firstSize<T extends { readonly name: string }>(
  parts: readonly T[],
  sizeOf: (part: T) => number | undefined,
): Sized | undefined {
  for (const part of parts) {
    const value = sizeOf(part);
    if (value !== undefined && value > 0) return { value, from: part.name };
  }
  return undefined;
}
