/** Greatest values of smooth functions of one variable. */

export interface Peak {
  readonly value: number;
  readonly at: number;
}

const golden = (Math.sqrt(5) - 1) / 2;

/**
 * The greatest value of `f` between `from` and `to`, both included: the best of `samples` + 1 even samples, refined
 * between its neighbours. `samples` should let no crest hide between two.
 */
export function greatest(f: (x: number) => number, from: number, to: number, samples = 64): Peak {
  let best: Peak = { value: f(from), at: from };
  if (!(to > from)) return best;
  const pitch = (to - from) / samples;
  for (let i = 1; i <= samples; i++) {
    const at = i === samples ? to : from + i * pitch;
    const value = f(at);
    if (value > best.value) best = { value, at };
  }
  let low = Math.max(from, best.at - pitch);
  let high = Math.min(to, best.at + pitch);
  let a = high - golden * (high - low);
  let b = low + golden * (high - low);
  let fa = f(a);
  let fb = f(b);
  for (let i = 0; i < 26; i++) {
    if (fa >= fb) {
      high = b;
      b = a;
      fb = fa;
      a = high - golden * (high - low);
      fa = f(a);
    } else {
      low = a;
      a = b;
      fa = fb;
      b = low + golden * (high - low);
      fb = f(b);
    }
  }
  const refined = fa >= fb ? { value: fa, at: a } : { value: fb, at: b };
  return refined.value > best.value ? refined : best;
}

/** The least value from `low` up at which `holds`, taken to hold ever after; infinite beyond ten thousand. */
export function leastFrom(low: number, holds: (value: number) => boolean): number {
  if (holds(low)) return low;
  let from = low;
  let to = Math.max(2 * low, 1e-3);
  while (!holds(to)) {
    if (to > 1e4) return Infinity;
    from = to;
    to *= 2;
  }
  for (let i = 0; i < 50; i++) {
    const middle = (from + to) / 2;
    if (holds(middle)) to = middle;
    else from = middle;
  }
  return to;
}
