/** What meets while the leading shaft turns: the least gap over the whole period, when, and from when to when. */
import type { Fraction, ShaftFigure } from '../figures.ts';
import { radians, turn } from '../motion/angles.ts';
import { Latest } from '../remembering.ts';
import { type Least, type LeastSearch, leastOf } from './least.ts';

/** How near two things come while the leading shaft turns forward. */
export interface Encounter {
  /**
   * The least gap, mm. Negative where they touch: how far a point of one enters the other at most, so much must be
   * cut off either to let them pass.
   */
  readonly gap: number;
  /** The true least is not lower than `gap` by more than this. */
  readonly within: number;
  /** Forward turn of the leading shaft from home, rad, at which it is least; absent where it never changes. */
  readonly turn?: number;
  /** Turns of the leading shaft, from … to, in which they touch; only of the fine pass. */
  readonly touching: readonly (readonly [number, number])[];
  /** The leading shaft turns so often before all is home again that any stand of one is taken to meet any of the other. */
  readonly anyStand?: true;
}

/** Overlaps less deep than this are taken as none, mm. */
export const touch = 1e-6;

/** How finely to look over the turn: coarse to half a degree, fine until 0.005 mm are sure. */
export type Grid = 'coarse' | 'fine';

const grids = {
  coarse: { start: radians(8), finest: radians(0.5), most: 1024, within: 0.2 },
  fine: { start: radians(8), finest: radians(0.01), most: 16384, within: 0.005 },
} as const;

/** Turns of the leading shaft beyond which a train counts as one in which any two stands meet. */
const mostTurns = 128;

/** Whether a train comes home too seldom to be followed. */
export const endless = (period: number): boolean => period > mostTurns * turn * (1 + 1e-9);

/** Turn of a shaft, counter-clockwise positive, for a unit of forward turn of the leading one. */
export const rateOf = ({ ratio, sense }: ShaftFigure): number =>
  ratio ? (sense * Math.abs(ratio.num)) / ratio.den : sense;

/** Turns of the leading shaft after which all are home: the least common multiple of den/num. */
export function commonPeriod(ratios: readonly (Fraction | undefined)[]): number {
  let [num, den] = [1, 0];
  for (const ratio of ratios) {
    const [turns, homes] = ratio ? [Math.abs(ratio.num) || 1, ratio.den] : [1, 1];
    num = (num / gcd(num, homes)) * homes;
    den = gcd(den, turns);
  }
  return num / (den || 1);
}

function gcd(a: number, b: number): number {
  while (b > 0) [a, b] = [b, a % b];
  return a;
}

/** A gap (mm) at a forward turn of the leading shaft; where it is not below `cutoff`, `cutoff` will do. */
export type Gap = (at: number, cutoff: number) => number;

/** Whether two things touch at a forward turn of the leading shaft. */
export type Touches = (at: number) => boolean;

/** Gaps wider than this, mm, are of little interest. */
export const near = 3;

/** So much less exact, for each mm that they are wider than `near`, are gaps told that nobody acts on. */
const farShare = 0.02;

/** Encounters by all that they follow from: of a design's pairs a keystroke changes few. */
const latest = new Latest<Encounter>(8192);

/** The encounter that a text tells of, looked for only where it is not known; pauses before it is. */
export function* encounterOnce(told: string, look: () => Generator<void, Encounter>): Generator<void, Encounter> {
  const known = latest.get(told);
  if (known) return known;
  yield;
  return latest.keep(told, yield* look());
}

interface OverPeriod extends Omit<LeastSearch, keyof (typeof grids)['fine'] | 'far'> {
  /** A quicker way to see whether they touch than the gap, where one is known. */
  readonly touches?: Touches;
}

/** The encounter over a period; a gap of the ceiling where nothing comes nearer. Pauses often. */
export function* overPeriod(
  gap: Gap,
  period: number,
  grid: Grid,
  { touches, ...search }: OverPeriod,
): Generator<void, Encounter> {
  const least = yield* leastOf(gap, { ...grids[grid], far: { beyond: near, share: farShare }, ...search });
  if (search.steepest === 0 || least.value === search.ceiling) return always(least.value, period);
  if (grid === 'coarse') return { gap: least.value, within: least.within, turn: least.at, touching: [] };
  const best = yield* settled(gap, least, period);
  return {
    gap: best.gap,
    within: least.within,
    turn: best.turn,
    touching: yield* touchesOf(touches ?? ((at) => gap(at, 0) < -touch), period, best),
  };
}

/** What never changes. */
export const always = (gap: number, period: number): Encounter => ({
  gap,
  within: 0,
  touching: gap < -touch ? [[0, period]] : [],
});

/**
 * Goes down from a place near the least to the least itself, and then to the middle of the stretch that is as low,
 * but for what straight edges leave out.
 */
function* settled(
  gap: Gap,
  { at: start, value }: Least,
  period: number,
): Generator<void, { gap: number; turn: number }> {
  let at = start;
  let low = value;
  for (let step = radians(0.2); step > 1e-5; ) {
    yield;
    const [before, after] = [gap(at - step, low), gap(at + step, low)];
    if (before < low || after < low) {
      at += before < after ? -step : step;
      low = Math.min(before, after);
    } else step /= 2;
  }
  const level = low + 4e-3;
  const edge = function* (sense: 1 | -1): Generator<void, number> {
    let [inside, outside] = [0, radians(0.1)];
    for (; outside < period && gap(at + sense * outside, level) < level; outside *= 1.5) {
      yield;
      inside = outside;
    }
    for (let i = 0; i < 12; i++) {
      yield;
      const middle = (inside + outside) / 2;
      if (gap(at + sense * middle, level) < level) inside = middle;
      else outside = middle;
    }
    return inside;
  };
  const middle = at + ((yield* edge(1)) - (yield* edge(-1))) / 2;
  const there = gap(middle, level);
  const place = there < level ? middle : at;
  return { gap: low, turn: ((place % period) + period) % period };
}

/** Stands asked whether they touch, between two pauses. */
const pace = 8;

/**
 * The stretches in which they touch, found at every half degree and round the deepest: those of one period, of as many
 * as make up a turn of the leading shaft where that is longer. Pauses often.
 */
export function* touchesOf(
  meets: Touches,
  period: number,
  least: { readonly gap: number; readonly turn: number },
): Generator<void, [number, number][]> {
  if (!(least.gap < -touch)) return [];
  const samples = Math.ceil(period / radians(0.5));
  const places = Array.from({ length: samples }, (_, i) => (i * period) / samples);
  const after = places.findIndex((place) => place > least.turn);
  places.splice(after < 0 ? samples : after, 0, least.turn);
  const count = places.length;
  const met: boolean[] = [];
  for (const place of places) {
    if (met.length % pace === 0) yield;
    met.push(meets(place));
  }
  const clear = met.indexOf(false);
  const times = Math.max(1, Math.ceil(turn / period - 1e-9));
  if (clear < 0) return [[0, times * period]];
  const bound = (out: number, into: number): number => {
    let [free, hit] = [out, into];
    for (let i = 0; i < 20; i++) {
      const middle = (free + hit) / 2;
      if (meets(middle)) hit = middle;
      else free = middle;
    }
    return ((((free + hit) / 2) % period) + period) % period;
  };
  const at = (i: number) => places[i % count] + (i >= count ? period : 0);
  const found: [number, number][] = [];
  for (let i = clear + 1; i <= clear + count; i++) {
    if (!met[i % count]) continue;
    const from = i;
    while (met[(i + 1) % count]) i++;
    yield;
    found.push([bound(at(from - 1), at(from)), bound(at(i + 1), at(i))]);
  }
  found.sort(([a], [b]) => a - b);
  if (times === 1) return found;
  return Array.from({ length: times }, (_, i) =>
    found.map(([from, to]): [number, number] => [
      from + i * period,
      (to + (i + (to < from ? 1 : 0)) * period) % (times * period),
    ]),
  ).flat();
}
