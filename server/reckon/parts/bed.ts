/** Whether a part has room on the bed on which it is built, and how it has to be turned there. */
import type { Bed, Given, Mechanism, Place, Point } from '../../../language/mechanism.ts';
import { hull } from '../shape/convex.ts';
import type { Blank } from './engraving.ts';
import { boxOf, flattened } from './loop.ts';
import type { Loop, Prism } from './part.ts';
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
  return blanks.flatMap((blank) => {
    const { name, kind, place, prisms, process } = blank;
    const { bed } = processes.get(process)!;
    if (lyingOn(bed.value, blank)) return [];
    return [{ part: name, kind, place, size: footprintOf(prisms), process, bed }];
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
  const { left, right, bottom, top } = boxOf(outlines(prisms));
  return { width: right - left, depth: top - bottom };
}

const outlines = (prisms: readonly Prism[]): Loop[] =>
  prisms.flatMap(({ regions }) => regions.map(({ outer }) => outer));

/** How a part lies: turned counter-clockwise, after it was turned over about x where its front lies down; and its box then. */
export interface Lying {
  readonly turn: number;
  readonly size: Bed;
}

const quarter = Math.PI / 2;
const steps = 360;
/** Chords lie less than this off the arcs that they stand for, mm. */
const sag = 0.01;

/**
 * A part on a bed: as it is, turned by a quarter, or, where neither does, askew with the most room left round it;
 * undefined where none does.
 */
export function lyingOn(bed: Bed, { prisms, bed: down }: Pick<Blank, 'prisms' | 'bed'>): Lying | undefined {
  const straight = footprintOf(prisms);
  const room = ({ size }: Lying): number => Math.min(bed.width - size.width, bed.depth - size.depth);
  const square: readonly Lying[] = [
    { turn: 0, size: straight },
    { turn: quarter, size: { width: straight.depth, depth: straight.width } },
  ];
  const fits = square.find((one) => room(one) >= -noise);
  if (fits) return fits;
  const over = down === 'front' ? -1 : 1;
  const corners = hull(outlines(prisms).flatMap((loop) => flattened(loop, sag))).map(({ x, y }) => ({
    x,
    y: over * y,
  }));
  const best = Array.from({ length: steps }, (_, i): Lying => {
    const turn = (i * 2 * quarter) / steps;
    return { turn, size: extentAt(corners, turn) };
  }).reduce((one, other) => (room(other) > room(one) ? other : one));
  return room(best) >= 0 ? best : undefined;
}

/** The box round points that are turned; a little wide, for the arcs between them. */
function extentAt(points: readonly Point[], turn: number): Bed {
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [across, along] = [points.map(({ x, y }) => x * cos - y * sin), points.map(({ x, y }) => x * sin + y * cos)];
  const [width, depth] = [across, along].map((all) => Math.max(...all) - Math.min(...all) + 2 * sag);
  return { width, depth };
}

/** What is longer by less, mm, is as long. */
const noise = 1e-6;
