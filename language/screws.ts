/**
 * Screws with countersunk heads of 90°, as the standards give them: ISO 10642 (hexagon socket) and ISO 7046 (cross
 * recess). Holes by ISO 273, medium; pitch by ISO 261. Lengths mm.
 */
import type { Screw } from './mechanism.ts';

interface Sizes {
  readonly headDiameter: number;
  readonly lengths: readonly number[];
}

/** Nominal lengths of ISO 888, as far as these screws have them. */
const series = [6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 50];
const lengths = (least: number, most: number): number[] => series.filter((one) => least <= one && one <= most);

const heads: Readonly<Record<Screw['head'], ReadonlyMap<number, Sizes>>> = {
  socket: new Map([
    [3, { headDiameter: 6.72, lengths: lengths(8, 30) }],
    [4, { headDiameter: 8.96, lengths: lengths(8, 40) }],
    [5, { headDiameter: 11.2, lengths: lengths(8, 50) }],
  ]),
  cross: new Map([
    [2.5, { headDiameter: 5.5, lengths: lengths(6, 25) }],
    [3, { headDiameter: 6.3, lengths: lengths(6, 30) }],
    [4, { headDiameter: 9.4, lengths: lengths(6, 40) }],
    [5, { headDiameter: 10.4, lengths: lengths(6, 50) }],
  ]),
};

/** Clearance hole and pitch of the coarse thread, by diameter. */
const threads: ReadonlyMap<number, { readonly hole: number; readonly pitch: number }> = new Map([
  [2.5, { hole: 2.9, pitch: 0.45 }],
  [3, { hole: 3.4, pitch: 0.5 }],
  [4, { hole: 4.5, pitch: 0.7 }],
  [5, { hole: 5.5, pitch: 0.8 }],
]);

/** Diameters that screws with such a head have; of either, where none is said. */
export const diameters = (head?: Screw['head']): number[] =>
  [...threads.keys()].filter((diameter) => (head ? heads[head].has(diameter) : true));

/** Heads that screws of a diameter have, the usual one first. */
export const headsOf = (diameter: number): Screw['head'][] =>
  (['socket', 'cross'] as const).filter((head) => heads[head].has(diameter));

/** A screw; undefined where there is none such. */
export function screwOf(diameter: number, head: Screw['head']): Screw | undefined {
  const [sizes, thread] = [heads[head].get(diameter), threads.get(diameter)];
  return sizes && thread && { diameter, head, ...sizes, ...thread };
}
