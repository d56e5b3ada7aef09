/** Places across the turn and what a text covers, px: what all layouts share. */
import { signReach } from './marks.tsx';
import type { RowMark } from './view.ts';
import { textWidth } from './words.ts';

/** A line of text: `x` is where it starts, its `middle` or its `end`; `y` is its base line. */
export interface PlacedText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly bold?: boolean;
  readonly middle?: boolean;
  readonly end?: boolean;
}

/** A stretch of the drawing, px; `top` < `bottom`. */
export interface Patch {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Where the turn lies: its left end and one step of it, px. */
export interface Across {
  readonly left: number;
  readonly step: number;
}

/** Rests beyond the ends, in steps, that are still drawn. */
export const spare = 0.42;

export const xOf = ({ left, step }: Across, across: number): number => left + (across + spare) * step;

export const acrossOf = ({ left, step }: Across, x: number): number => (x - left) / step - spare;

export const firstAcross = -spare;
export const lastAcross = (rests: number): number => rests + spare;

/** What a text covers, with a little room round it. */
export function patchOf({ text, x, y, size, bold, middle, end }: PlacedText): Patch {
  const width = textWidth(text, size, bold);
  const left = x - (end ? width : middle ? width / 2 : 0);
  return { left: left - 3, right: left + width + 3, top: y - size - 1, bottom: y + 4 };
}

export const meet = (one: Patch, other: Patch): boolean =>
  one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;

/** The text, moved aside as far as it takes to stand between `left` and `right`. */
export function within(text: PlacedText, left: number, right: number): PlacedText {
  const patch = patchOf(text);
  const aside = Math.max(0, left - patch.left) || Math.min(0, right - patch.right);
  return aside === 0 ? text : { ...text, x: text.x + aside };
}

export interface PlacedMark {
  readonly mark: RowMark;
  /** Where its sign stands. */
  readonly x: number;
  readonly y: number;
  /** Where on the turn it points at; empty: nowhere in particular. */
  readonly points: readonly number[];
}

/** Height of one lane of signs. */
export const laneHeight = 24;

/** Signs in lanes from `lane` down, so that none stands on another. */
export function placeMarks(
  marks: readonly RowMark[],
  layout: Across,
  lane: number,
): { marks: PlacedMark[]; lanes: number } {
  const ends: number[] = [];
  const placed: PlacedMark[] = [];
  const signs = marks.flatMap((mark) => {
    const points = mark.at.map((across) => xOf(layout, across));
    const { left, right } = signReach(mark.tag);
    const clusters: number[][] = [];
    for (const x of points) {
      const last = clusters.at(-1);
      if (last && x - last.at(-1)! < left + right + 4) last.push(x);
      else clusters.push([x]);
    }
    return clusters.length === 0
      ? [{ mark, points: [], x: left + 2 }]
      : clusters.map((cluster) => ({ mark, points: cluster, x: cluster[0]! }));
  });
  for (const sign of signs.sort((one, other) => one.x - other.x)) {
    const { left, right } = signReach(sign.mark.tag);
    let level = ends.findIndex((end) => sign.x - left >= end);
    if (level < 0) level = ends.length;
    ends[level] = sign.x + right;
    placed.push({ ...sign, y: lane + level * laneHeight + laneHeight / 2 });
  }
  return { marks: placed, lanes: ends.length };
}

export function signPatch({ mark, x, y }: PlacedMark): Patch {
  const { left, right } = signReach(mark.tag);
  return { left: x - left - 1, right: x + right, top: y - 14, bottom: y + 12 };
}
