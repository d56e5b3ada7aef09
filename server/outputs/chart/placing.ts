/** Places across the turn, of signs, and what a text covers, px: what all layouts share. */
import type { Point } from '../../../language/mechanism.ts';
import type { Tagged, TurnMark } from './view.ts';
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

/** Width in px that a sign takes, from its centre to the left and to the right. */
export const signReach = (tag: string): { left: number; right: number } => ({
  left: 13,
  right: 14 + 8 * (tag.length - 1),
});

export interface PlacedMark {
  readonly mark: TurnMark;
  /** Where its sign stands. */
  readonly x: number;
  readonly y: number;
  /** Where on the turn it points at; empty: nowhere in particular. */
  readonly points: readonly number[];
}

/** Height of one lane of signs. */
export const laneHeight = 24;

/** Where the narrow form has no column beside the turn, signs that point nowhere stand within so many px. */
const narrowColumn = 240;

/** Signs in lanes from `lane` down, so that none stands on another; those that point nowhere side by side at the left. */
export function placeMarks(
  marks: readonly TurnMark[],
  layout: Across,
  lane: number,
): { marks: PlacedMark[]; lanes: number } {
  const ends: number[] = [];
  const placed: PlacedMark[] = [];
  const column = layout.left || narrowColumn;
  let aside = 2;
  const besideTheLast = ({ left, right }: { left: number; right: number }): number => {
    if (aside + left + right > column) aside = 2;
    const x = aside + left;
    aside = x + right + 2;
    return x;
  };
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
      ? [{ mark, points: [], x: besideTheLast({ left, right }) }]
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

const patchOfSign = (tag: string, { x, y }: Point): Patch => {
  const { left, right } = signReach(tag);
  return { left: x - left - 1, right: x + right, top: y - 14, bottom: y + 12 };
};

export const signPatch = ({ mark, x, y }: PlacedMark): Patch => patchOfSign(mark.tag, { x, y });

// ---- signs that stand beside what they tell ------------------------------------------------

/** What a sign tells, and the place that it points at. */
export interface Spot {
  readonly found: Tagged;
  readonly to: Point;
}

/** A sign beside its place; where there is no room for more of them it speaks for others too, each with its place. */
export interface PlacedSign {
  readonly from: Point;
  readonly spots: readonly [Spot, ...Spot[]];
}

/** "E3", "E3 +2" of a sign that speaks for two more. */
export const tagOf = ({ spots: [{ found }, ...more] }: PlacedSign): string =>
  more.length > 0 ? `${found.tag} +${more.length}` : found.tag;

/** From how far off a sign points, px, and in how many directions room is looked for. */
const reaches = [34, 52, 72];
const directions = 12;

/**
 * Signs within a frame, each as near to its place as there is room, away from the frame's middle first; where there is
 * none left, gathered with the sign nearest to its place.
 */
export function placeSigns(spots: readonly Spot[], frame: Patch, taken: readonly Patch[] = []): PlacedSign[] {
  const placed: { from: Point; spots: [Spot, ...Spot[]] }[] = [];
  const middle = { x: (frame.left + frame.right) / 2, y: (frame.top + frame.bottom) / 2 };
  const isFree = (patch: Patch, but?: PlacedSign): boolean =>
    patch.left >= frame.left &&
    patch.right <= frame.right &&
    patch.top >= frame.top &&
    patch.bottom <= frame.bottom &&
    ![...taken, ...placed.filter((sign) => sign !== but).map(patchOfPlaced)].some((other) => meet(patch, other));
  for (const spot of spots) {
    const { found, to } = spot;
    const from = around(to, middle).find((at) => isFree(patchOfSign(found.tag, at)));
    if (from) {
      placed.push({ from, spots: [spot] });
      continue;
    }
    const far = (at: Point) => Math.hypot(at.x - to.x, at.y - to.y);
    const byDistance = [...placed].sort((one, other) => far(one.from) - far(other.from));
    const widened = (sign: PlacedSign) => patchOfPlaced({ ...sign, spots: [...sign.spots, spot] });
    const near = byDistance.find((sign) => isFree(widened(sign), sign)) ?? byDistance[0];
    if (near) near.spots.push(spot);
    else placed.push({ from: inside(to, frame), spots: [spot] });
  }
  return placed;
}

const patchOfPlaced = (sign: PlacedSign): Patch => patchOfSign(tagOf(sign), sign.from);

/** Places round one, the nearest first, and of those the ones away from a middle. */
function around(to: Point, middle: Point): Point[] {
  const out = Math.atan2(to.y - middle.y, to.x - middle.x + 8);
  return reaches.flatMap((reach) =>
    Array.from({ length: directions }, (_, i) => {
      const angle = out + (i % 2 === 0 ? 1 : -1) * Math.ceil(i / 2) * ((2 * Math.PI) / directions);
      return { x: to.x + reach * Math.cos(angle), y: to.y + reach * Math.sin(angle) };
    }),
  );
}

const inside = ({ x, y }: Point, { left, right, top, bottom }: Patch): Point => ({
  x: Math.min(right - 30, Math.max(left + 14, x)),
  y: Math.min(bottom - 12, Math.max(top + 14, y)),
});
