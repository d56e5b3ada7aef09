/** Whether a part has room on the bed on which it is built, and how it has to be turned there. */
import type { Bed, Given, Mechanism, Place } from '../../../language/mechanism.ts';
import type { Blank } from './engraving.ts';
import { boxOf } from './loop.ts';
import type { Prism } from './part.ts';
import { processesOf } from './parts.ts';

/** A part that no turn brings onto the bed of its process. */
export interface LargePart {
  readonly part: string;
  readonly kind: Blank['kind'];
  /** The name in the text that the part comes from. */
  readonly place: Place;
  /** The box round its outline, mm. */
  readonly size: Bed;
  readonly process: string;
  readonly bed: Given<Bed>;
}

export function largePartsOf(m: Mechanism, blanks: readonly Blank[]): LargePart[] {
  const processes = processesOf(m);
  return blanks.flatMap(({ name, kind, place, prisms, process }) => {
    const { bed } = processes.get(process)!;
    const size = footprintOf(prisms);
    return turnOnto(bed.value, size) === undefined ? [{ part: name, kind, place, size, process, bed }] : [];
  });
}

/** "face plate takes 312 by 260 mm, more than the bed of filament, 220 by 220 mm". */
export const largeInWords = ({ part, size, process, bed }: LargePart): string =>
  `${part} takes ${sideBySide(size, Math.ceil)} mm, more than the bed of ${process}, ${sideBySide(bed.value)} mm`;

/** "312 by 260". */
export const sideBySide = ({ width, depth }: Bed, rounding = (length: number): number => length): string =>
  [width, depth].map((length) => `${Number(rounding(length - noise).toFixed(3))}`).join(' by ');

/** The box round a part's outline, mm. */
export function footprintOf(prisms: readonly Prism[]): Bed {
  const { left, right, bottom, top } = boxOf(prisms.flatMap(({ regions }) => regions.map(({ outer }) => outer)));
  return { width: right - left, depth: top - bottom };
}

/** The box round a box that is turned. */
export function turned({ width, depth }: Bed, turn: number): Bed {
  const [along, across] = [Math.abs(Math.cos(turn)), Math.abs(Math.sin(turn))];
  return { width: width * along + depth * across, depth: width * across + depth * along };
}

const quarter = Math.PI / 2;
const steps = 360;

/**
 * The turn, counter-clockwise, by which a box lies on a bed: as it is, by a quarter, or, where neither does, askew with the
 * most room left round it; undefined where none does.
 */
export function turnOnto(bed: Bed, size: Bed): number | undefined {
  const room = (turn: number): number => {
    const { width, depth } = turned(size, turn);
    return Math.min(bed.width - width, bed.depth - depth);
  };
  if (room(0) >= -noise) return 0;
  if (room(quarter) >= -noise) return quarter;
  const turns = Array.from({ length: steps - 1 }, (_, i) => ((i + 1) * quarter) / steps);
  const best = turns.reduce((one, other) => (room(other) > room(one) ? other : one));
  return room(best) >= 0 ? best : undefined;
}

/** What is longer by less, mm, is as long. */
const noise = 1e-6;
