/** Findings about what plays: which numbers in the text cause it, and what they would have to be. */
import type { Change, Given, Mechanism, Place } from '../../language/mechanism.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import { type Margins, marginsOf } from '../reckon/tolerance/margins.ts';
import { type AngleShare, type Said, type Sum, shiftOn } from '../reckon/tolerance/play.ts';
import {
  type Check,
  degreesAtMost,
  grouped,
  list,
  millimetres,
  named,
  partsOf,
  rewriting,
  roundDown,
  type Told,
} from './check.ts';

/** What tells already that a bar does not stand where it should, or that its cam is not where it should be. */
export const toldAlready: NonNullable<Check['notBeside']> = [
  'idle-key',
  'shaft-drift',
  'unmeshed-shaft',
  'locked-train',
  'step-mismatch',
  'unlike-gears',
  'overlapping-lobes',
  'long-travel',
  'crossed-limits',
  'unlike-segments',
  'twice-driven-segment',
  'unreachable-symbol',
];

/** What a cam may turn and its bars may stray, what undercut takes of the lift left out: that is told as such. */
function marginsUncut(m: Mechanism, f: Figures, cam: CamFigure): Margins | undefined {
  const { cut, ...programmed } = cam.lift;
  if (!cut || !cam.lostLift?.value) return undefined;
  const bars = cam.segments.flatMap((name) => named(m.segments, name) ?? []);
  return marginsOf(m, { ...cam, lift: programmed }, named(f.shafts, cam.shaft), bars);
}

/** How far a bar may stray from its lift, mm. */
export function roomOf(m: Mechanism, f: Figures, cam: CamFigure): number {
  const uncut = marginsUncut(m, f, cam);
  return uncut ? (uncut.lift ?? Infinity) : cam.liftMargin!;
}

/** How far a cam may rest from its place, against how far it may: by the root of the sum of squares, and at worst. */
export interface Rest {
  readonly cam: CamFigure;
  readonly error: Sum<AngleShare>;
  readonly margin: number;
  /** How far a push leaves it ahead, and its margin that way. */
  readonly shift: number;
  readonly marginAhead: number;
  /** What is over the margin, rad; below 0 there is room. */
  readonly overByRss: number;
  readonly overAtWorst: number;
}

/** Every cam whose rests can be judged. A push of which `told` knows already leaves nothing ahead. */
export function restsOf(m: Mechanism, f: Figures, told: Told): Rest[] {
  const ahead = f.forwardRest && !told(f.forwardRest.push) ? f.forwardRest : undefined;
  return f.cams.flatMap((cam): Rest[] => {
    const { restError: error, restMargin, restMargins } = cam;
    if (!error?.from.length || restMargin === undefined || !restMargins) return [];
    const shift = shiftOn(cam, f, ahead);
    const { forward, backward } = marginsUncut(m, f, cam) ?? restMargins;
    const margin = Math.min(forward, backward);
    const runs = m.runs.value;
    const marginAhead = runs === 'forward' ? forward : runs === 'reverse' ? backward : margin;
    const over = (spread: number) => Math.max(spread - margin, shift + spread - marginAhead);
    return [{ cam, error, margin, shift, marginAhead, overByRss: over(error.rss), overAtWorst: over(error.worst) }];
  });
}

/** Shares by the number in the text that causes them, the one that costs most first. */
export function byCause<Share extends { readonly by: Said }>(
  shares: readonly Share[],
  size: (share: Share) => number,
): Share[][] {
  const square = (same: readonly Share[]) => same.reduce((sum, share) => sum + size(share) ** 2, 0);
  return grouped(shares, ({ by }) => `${by.of}.${by.property}`).sort((a, b) => square(b) - square(a));
}

/** Of these, those by numbers that a smaller value makes less. */
export const causedByGaps = (shares: readonly AngleShare[]): AngleShare[][] =>
  byCause(
    shares.filter(({ perUnit }) => perUnit > 0),
    ({ angle }) => angle,
  );

/**
 * The value of one cause, so small that shares that grow with it, beyond the part of it that printing takes away (`lost`),
 * and `others` beside them stay within `room`: all added up (unless `byRss`), or where that cannot be, by the root of the
 * sum of squares. Undefined where none would do.
 */
export function valueWithin(
  cause: number,
  own: readonly number[],
  others: readonly number[],
  room: number,
  { byRss = false, lost = 0 }: { readonly byRss?: boolean; readonly lost?: number | undefined } = {},
): number | undefined {
  const sum = (of: readonly number[]) => of.reduce((total, one) => total + one, 0);
  const squares = (of: readonly number[]) => sum(of.map((one) => one * one));
  const atWorst = byRss ? 0 : (room - sum(others)) / sum(own);
  const likely = Math.sqrt(Math.max(0, room * room - squares(others)) / squares(own));
  const value = lost + (cause - lost) * (atWorst > 0 ? atWorst : likely);
  return value > 0 && value < cause ? value : undefined;
}

/** "the clearance of dee", "bearing clearance of upper". */
export const causeInWords = ({ of, property }: Said): string =>
  `the ${property === 'bearing' ? 'bearing clearance' : property} of ${of}`;

/** The fix that gives a cause another value. */
export const titleOf = ({ of, property }: Said, text: string): string =>
  `Give ${of} ${property === 'bearing' ? 'bearing clearance' : property} ${text}`;

/** A smaller value of a cause as it is written, and the change that writes it; the bearing's is left to the maker. */
export function smaller(m: Mechanism, cause: Given<number>, by: Said, value: number | undefined) {
  if (value === undefined) return undefined;
  const text = by.property === 'play' ? degreesAtMost(value) : millimetres(roundDown(value, 0.005), 3);
  const part = named(partsOf(m), by.of);
  if (Number.parseFloat(text) === 0 || !part) return undefined;
  const changes: Change[] =
    by.property !== 'bearing'
      ? [rewriting(cause, part, by.property, text)]
      : cause.by === 'stated' || cause.by === 'every'
        ? [{ do: 'replace', place: cause.place, text }]
        : [];
  return { text, changes };
}

/** Where a cause stands in the text of the design; undefined for what its process says. */
export const placeIn = (m: Mechanism, cause: Given<number>, by: Said): Place | undefined =>
  by.property === 'spread' || cause.place.file !== m.place.file ? undefined : cause.place;

/** "key under camA 1.1°, play of stepper 0.5°". */
export function ranked<Share extends { readonly what: string }>(
  shares: readonly Share[],
  size: (share: Share) => string,
): string {
  const most = 4;
  const told = shares.slice(0, most).map((share) => `${share.what} ${size(share)}`);
  return shares.length > most ? `${told.join(', ')} and ${shares.length - most} more` : list(told);
}
