/** Stack-ups against published and derived ones: worst case, root sum square, and random builds. */
import { describe, expect, it } from 'vitest';
import { finished } from '../../server/reckon/pausing.ts';
import { type BuildModel, drawn } from '../../server/reckon/tolerance/builds.ts';
import { summed } from '../../server/reckon/tolerance/play.ts';
import { Random } from '../../server/reckon/tolerance/random.ts';

const sumOf = (...halves: readonly number[]) => summed(halves, (half) => half);

/** Φ(−x) by Abramowitz and Stegun, *Handbook of Mathematical Functions*, 7.1.26 (to 1.5e-7). */
function below(x: number): number {
  const t = 1 / (1 + (0.3275911 * x) / Math.SQRT2);
  const poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  return (poly * Math.exp((-x * x) / 2)) / 2;
}

describe('worst case and root sum square', () => {
  // Shigley's Mechanical Engineering Design, example 1-7: w = a − b − c − d, in.
  it('a gap of four sizes', () => {
    const { worst, rss } = sumOf(0.003, 0.001, 0.005, 0.001);
    const nominal = 1.75 - 0.75 - 0.12 - 0.875;
    expect(nominal).toBeCloseTo(0.005, 12);
    expect(worst).toBeCloseTo(0.01, 12);
    expect(rss).toBeCloseTo(0.006, 12);
    expect(nominal - worst - 0.003).toBeCloseTo(-0.008, 12);
    // Derived: ± 3σ is the root of the sum of squares, so σ = 0.002 and w ≥ 0.003 lies one σ below the mean.
    expect(below((nominal - 0.003) / (rss / 3))).toBeCloseTo(0.158655, 6);
  });

  // A public test vector, derived by hand: housing 40 (+0.10/0), bearing 20 (0/−0.12), spacer 19.5 ± 0.02 mm.
  it('one-sided tolerances: the mean is a shift, and only half-widths are summed', () => {
    const { worst, rss } = sumOf(0.05, 0.06, 0.02);
    const mean = 40.05 - 19.94 - 19.5;
    expect(mean).toBeCloseTo(0.61, 12);
    expect(mean - worst).toBeCloseTo(0.48, 12);
    expect(mean + worst).toBeCloseTo(0.74, 12);
    expect(rss).toBeCloseTo(0.080622577, 9);
  });

  // Derived.
  it('ten parts alike', () => {
    const { worst, rss } = sumOf(...Array.from({ length: 10 }, () => 0.1));
    expect(worst).toBeCloseTo(1, 12);
    expect(rss).toBeCloseTo(0.316228, 6);
  });

  it('ranks what adds most first', () => {
    expect(sumOf(0.003, 0.001, 0.005, 0.001).from).toEqual([0.005, 0.003, 0.001, 0.001]);
  });
});

describe('random builds of the same gap', () => {
  const halves = [0.003, 0.001, 0.005, 0.001];
  /** The gap as a bar of which the lift may lack 0.002, the room that the mean leaves. */
  const gap = (as: 'line' | 'edge'): BuildModel => ({
    size: halves.map((half) => (as === 'line' ? half : 0)),
    sigma: halves.map((half) => (as === 'line' ? 0 : half / 3)),
    seats: halves.map((_, of) => ({ of, as })),
    cams: [
      {
        turn: [],
        lift: halves.map((_, seat) => [seat, seat === 0 ? 1 : -1] as const),
        lean: 0,
        shift: 0,
        reach: 1,
        lifts: [new Float64Array(129).fill(0.005)],
        low: [0.003],
        high: [1],
      },
    ],
    symbols: ['w'],
    symbolAt: [0],
    hopeless: [],
    causes: halves.map((half, seat) => ({ words: `± ${half}`, seats: [seat], gaps: [] })),
  });

  it('normal, ± 3σ: one in six is too tight', () => {
    const { readRight } = finished(drawn(gap('edge'), 1_000_000, 1));
    // Five standard errors round Φ(−1).
    expect(Math.abs(1 - readRight - 0.158655)).toBeLessThan(5 * Math.sqrt((0.158655 * 0.841345) / 1e6));
  });

  // Derived, with four million random builds elsewhere: 0.3028. Evenly spread parts fail twice as often.
  it('uniform: nearly one in three, and the widest costs most', () => {
    const { readRight, costliest } = finished(drawn(gap('line'), 1_000_000, 1));
    expect(Math.abs((1 - readRight) / 0.3028 - 1)).toBeLessThan(0.01);
    expect(costliest).toBe('± 0.005');
  });

  it('uniform: the standard deviation is that of the sum', () => {
    const random = new Random(1);
    const count = 1_000_000;
    const drawn = new Float64Array(4 * count);
    random.uniforms(drawn);
    let squares = 0;
    for (let i = 0; i < count; i++) {
      let sum = 0;
      halves.forEach((half, k) => {
        sum += half * (2 * drawn[4 * i + k] - 1);
      });
      squares += sum * sum;
    }
    // Derived: √(Σ half²/3) = 0.006/√3.
    expect(Math.abs(Math.sqrt(squares / count) / 0.0034641 - 1)).toBeLessThan(0.003);
  });
});
