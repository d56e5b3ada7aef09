/** The least of a function that cannot change faster than is known, found for certain. */

export interface Least {
  readonly value: number;
  readonly at: number;
  /** The true least is not lower than `value` by more than this. */
  readonly within: number;
}

export interface LeastSearch {
  /** Where to look: stretches from … to. */
  readonly spans: readonly (readonly [number, number])[];
  /** Places that may well be the least, asked first. */
  readonly likely?: readonly number[];
  /** No two values differ by more than this for each unit between their places. */
  readonly steepest: number;
  /** Distance between the first samples, and the finest to go down to. */
  readonly start: number;
  readonly finest: number;
  /** Samples of one round beyond which the search rests, however far below the true least may still lie. */
  readonly most: number;
  /** How near the true least is near enough. */
  readonly within: number;
  /** The same as a share of how far the least lies below 0, where that is more. */
  readonly share?: number;
  /** More by a share of how far the least lies above some value. */
  readonly far?: { readonly beyond: number; readonly share: number };
  /** The value is known to be nowhere below this. */
  readonly floor?: number;
  /** Values from here on are of no interest. */
  readonly ceiling?: number;
  /** A quicker lower bound of all values within `half` of `x`, where one is known. */
  readonly bound?: (x: number, half: number, cutoff: number) => number;
}

/** Looks between two pauses. */
const pace = 8;

/**
 * Breadth first: every sample rules out its surroundings as far as the steepest slope cannot bring them below the
 * least so far; what is left is halved. `f` may answer with anything ≥ `cutoff` where its value is ≥ `cutoff`.
 * Where nothing lies below the ceiling, the ceiling is the answer. Pauses every few looks.
 */
export function* leastOf(f: (x: number, cutoff: number) => number, search: LeastSearch): Generator<void, Least> {
  const { spans, likely = [], steepest, finest, most, within, share = 0, far } = search;
  const whole = spans.reduce((sum, [from, to]) => sum + (to - from), 0);
  const start = Math.max(search.start, whole / most);
  const { floor = -Infinity, ceiling = Infinity, bound } = search;
  let best = ceiling;
  let at = 0;
  const enough = (): number =>
    best < 0
      ? Math.max(within, -share * best)
      : far && best > far.beyond && best < Infinity
        ? within + far.share * (best - far.beyond)
        : within;
  const ask = (x: number, around: number): number => {
    const value = f(x, best + around);
    if (value < best) {
      best = value;
      at = x;
    }
    return value;
  };
  for (const place of likely) ask(place, 0);
  if (best <= floor + enough()) return { value: best, at, within: best - floor };
  let middles: number[] = [];
  let halves: number[] = [];
  for (const [i, [from, to]] of spans.entries()) {
    if (i % pace === 0) yield;
    ask(from, 0);
    ask(to, 0);
    const pieces = Math.max(1, Math.ceil((to - from) / start));
    const half = (to - from) / pieces / 2;
    if (!(half > 0)) continue;
    for (let i = 0; i < pieces; i++) {
      middles.push(from + (2 * i + 1) * half);
      halves.push(half);
    }
  }
  let open = 0;
  while (middles.length > 0) {
    const lows = new Float64Array(middles.length);
    for (let i = 0; i < middles.length; i++) {
      if (i % pace === 0) yield;
      const sure = bound?.(middles[i], halves[i], best) ?? -Infinity;
      lows[i] =
        sure >= best - enough() ? sure : Math.max(sure, ask(middles[i], steepest * halves[i]) - steepest * halves[i]);
      if (best <= floor + enough()) return { value: best, at, within: best - floor };
    }
    const nextMiddles: number[] = [];
    const nextHalves: number[] = [];
    open = 0;
    for (let i = 0; i < middles.length; i++) {
      const half = halves[i];
      const hidden = best - lows[i];
      if (hidden <= enough()) continue;
      if (half <= finest / 2 || middles.length > most) {
        open = Math.max(open, hidden);
        continue;
      }
      nextMiddles.push(middles[i] - half / 2, middles[i] + half / 2);
      nextHalves.push(half / 2, half / 2);
    }
    middles = nextMiddles;
    halves = nextHalves;
  }
  return { value: best, at, within: Math.max(open, enough()) };
}
