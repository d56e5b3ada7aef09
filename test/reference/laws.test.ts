import { describe, expect, it } from 'vitest';
import type { Law } from '../../language/mechanism.ts';
import { motion, peaks, stretches } from '../../server/reckon/motion/laws.ts';

// Closed forms and their values: derived; the list of laws and its usual factors as in R. L. Norton, Cam Design and
// Manufacturing Handbook, and H. A. Rothbart (ed.), Cam Design Handbook, 2004 (both from memory). Printed tables round
// some factors (4.945, 5.777, 7.526); the exact ones are taken here.

type Row = readonly [number, number, number];

interface Values {
  readonly law: Law;
  readonly at: Readonly<Record<'0.1' | '0.25' | '0.4', Row>>;
  readonly lift8: number;
  readonly velocity: number;
  readonly acceleration: number;
  /** Greatest of y′·y″. */
  readonly power: number;
  /** Greatest |y‴| inside the interval. */
  readonly jerk?: number;
}

const table: readonly Values[] = [
  {
    law: { name: 'constant acceleration' },
    at: { '0.1': [0.02, 0.4, 4], '0.25': [0.125, 1, 4], '0.4': [0.32, 1.6, 4] },
    lift8: 0.92,
    velocity: 2,
    acceleration: 4,
    power: 8,
  },
  {
    law: { name: 'simple harmonic' },
    at: {
      '0.1': [0.024472, 0.485403, 4.693276],
      '0.25': [0.146447, 1.110721, 3.489432],
      '0.4': [0.345492, 1.493916, 1.524938],
    },
    lift8: 0.904508,
    velocity: 1.570796,
    acceleration: 4.934802,
    power: 3.87578,
  },
  {
    law: { name: 'cycloidal' },
    at: {
      '0.1': [0.006451, 0.190983, 3.693164],
      '0.25': [0.090845, 1, 6.283185],
      '0.4': [0.306451, 1.809017, 3.693164],
    },
    lift8: 0.951365,
    velocity: 2,
    acceleration: 6.283185,
    power: 8.1621,
    jerk: 39.47842,
  },
  {
    law: { name: 'polynomial 3-4-5' },
    at: {
      '0.1': [0.00856, 0.243, 4.32],
      '0.25': [0.103516, 1.054688, 5.625],
      '0.4': [0.31744, 1.728, 2.88],
    },
    lift8: 0.94208,
    velocity: 1.875,
    acceleration: 5.773503,
    power: 6.69427,
    jerk: 60,
  },
  {
    law: { name: 'polynomial 4-5-6-7' },
    at: {
      '0.1': [0.002728, 0.10206, 2.7216],
      '0.25': [0.070557, 0.922852, 7.382812],
      '0.4': [0.289792, 1.93536, 4.8384],
    },
    lift8: 0.966656,
    velocity: 2.1875,
    acceleration: 7.513188,
    power: 10.75023,
    jerk: 52.5,
  },
  {
    law: { name: 'modified trapezoid' },
    at: {
      '0.1': [0.009459, 0.268782, 4.648882],
      '0.25': [0.10448, 1, 4.888124],
      '0.4': [0.309459, 1.731218, 4.648882],
    },
    lift8: 0.93941,
    velocity: 2,
    acceleration: 4.888124,
    power: 8.08998,
    jerk: 61.42597,
  },
  {
    law: { name: 'modified sine' },
    at: {
      '0.1': [0.010697, 0.303964, 5.2574],
      '0.25': [0.117178, 1.099752, 4.787351],
      '0.4': [0.327865, 1.645509, 2.248423],
    },
    lift8: 0.931606,
    velocity: 1.759603,
    acceleration: 5.527957,
    power: 5.45775,
    jerk: 69.46636,
  },
];

const at = (law: Law, x: number) => motion(stretches(law), x);

/** Greatest of f over the open interval, by brute force. */
function most(f: (x: number) => number, samples = 200_000): number {
  let best = -Infinity;
  for (let i = 0; i < samples; i++) best = Math.max(best, f((i + 0.5) / samples));
  return best;
}

for (const { law, ...values } of table) {
  describe(law.name, () => {
    it('has the handbooks’ values inside', () => {
      for (const [x, [lift, slope, curve]] of Object.entries(values.at)) {
        const found = at(law, Number(x));
        expect(Math.abs(found.lift - lift)).toBeLessThan(1e-6);
        expect(Math.abs(found.slope - slope)).toBeLessThan(1e-6);
        expect(Math.abs(found.curve - curve)).toBeLessThan(1e-6);
      }
      expect(at(law, 0.8).lift).toBeCloseTo(values.lift8, 6);
    });

    it('has the exact peak factors', () => {
      const stated = peaks(law);
      expect(stated.velocity).toBeCloseTo(values.velocity, 6);
      expect(stated.acceleration).toBeCloseTo(values.acceleration, 6);
      if (values.jerk !== undefined) expect(stated.jerk).toBeCloseTo(values.jerk, 5);
      expect(most((x) => at(law, x).slope)).toBeCloseTo(values.velocity, 4);
      expect(most((x) => Math.abs(at(law, x).curve))).toBeCloseTo(values.acceleration, 3);
      expect(most((x) => at(law, x).slope * at(law, x).curve)).toBeCloseTo(values.power, 3);
      if (values.jerk !== undefined) {
        const step = 1e-5;
        const jerk = (x: number) => Math.abs(at(law, x + step).curve - at(law, x - step).curve) / (2 * step);
        expect(most((x) => jerk(1e-4 + (1 - 2e-4) * x), 50_000) / values.jerk).toBeCloseTo(1, 2);
      }
    });
  });
}

const all: readonly Law[] = [
  ...table.map((row) => row.law),
  { name: 'constant velocity' },
  { name: 'constant velocity', blended: 0.2 },
];

describe('every law', () => {
  it.each(all)('$name $blended goes from 0 to 1 alike from both ends, its slope and curve its derivatives', (law) => {
    const tiny = 1e-6;
    expect(at(law, 0).lift).toBe(0);
    expect(at(law, 1).lift).toBe(1);
    expect(at(law, 0.5).lift).toBeCloseTo(0.5, 12);
    for (let i = 1; i < 400; i++) {
      const x = i / 400 + 1e-4;
      const here = at(law, x);
      expect(at(law, 1 - x).lift).toBeCloseTo(1 - here.lift, 12);
      expect((at(law, x + tiny).lift - at(law, x - tiny).lift) / (2 * tiny)).toBeCloseTo(here.slope, 7);
      expect((at(law, x + tiny).slope - at(law, x - tiny).slope) / (2 * tiny)).toBeCloseTo(here.curve, 4);
    }
  });

  it.each(['modified trapezoid', 'modified sine'] as const)('%s has a continuous curve at its joints', (name) => {
    for (const joint of [1 / 8, 3 / 8, 1 / 2, 5 / 8, 7 / 8]) {
      const [before, after] = [at({ name }, joint - 1e-10), at({ name }, joint + 1e-10)];
      expect(after.curve).toBeCloseTo(before.curve, 6);
      expect(after.lift).toBeCloseTo(before.lift, 8);
    }
  });

  it.each([0.05, 0.2, 0.35, 0.5])(
    'constant velocity blended %f has the factors 1/(1−P) and 1/(P(1−P)) (derived)',
    (p) => {
      const law: Law = { name: 'constant velocity', blended: p };
      expect(most((x) => at(law, x).slope)).toBeCloseTo(1 / (1 - p), 4);
      expect(most((x) => Math.abs(at(law, x).curve))).toBeCloseTo(1 / (p * (1 - p)), 9);
      expect(peaks(law).velocity).toBeCloseTo(1 / (1 - p), 12);
      expect(peaks(law).acceleration).toBeCloseTo(1 / (p * (1 - p)), 12);
    },
  );
});

// Greatest velocity and acceleration (m/s, m/s²) of a rise of `lift` mm in `degrees` at `rpm`.
function extremes(law: Law, lift: number, degrees: number, rpm: number) {
  const perSecond = (rpm * 2 * Math.PI) / 60 / ((degrees * Math.PI) / 180);
  const { velocity, acceleration } = peaks(law);
  return { v: (lift * velocity * perSecond) / 1000, a: (lift * acceleration * perSecond ** 2) / 1000 };
}

describe('published problems', () => {
  const harmonic: Law = { name: 'simple harmonic' };
  const parabolic: Law = { name: 'constant acceleration' };

  it('harmonic, 50 mm out in 120°, back in 60°, 100 rpm (Khurmi and Gupta, Theory of Machines, ch. 20, from memory)', () => {
    const rise = extremes(harmonic, 50, 120, 100);
    const fall = extremes(harmonic, 50, 60, 100);
    expect(rise.v).toBeCloseTo(0.392699, 6);
    expect(rise.a).toBeCloseTo(6.168503, 6);
    expect(fall.v).toBeCloseTo(0.785398, 6);
    expect(fall.a).toBeCloseTo(24.674011, 6);
    // as printed
    expect(Math.abs(rise.v / 0.39 - 1)).toBeLessThan(0.0071);
    expect(Math.abs(rise.a / 6.17 - 1)).toBeLessThan(0.006);
    expect(Math.abs(fall.a / 24.67 - 1)).toBeLessThan(0.006);
  });

  it('harmonic, 40 mm out in 60°, back in 90°, 300 rpm (a theory-of-machines text, ch. 9 illustration 2, secondary)', () => {
    expect(extremes(harmonic, 40, 60, 300).a).toBeCloseTo(177.65288, 5);
    expect(extremes(harmonic, 40, 90, 300).a).toBeCloseTo(78.95684, 5);
    expect(Math.abs(extremes(harmonic, 40, 60, 300).a / 177.6 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(extremes(harmonic, 40, 90, 300).a / 78.93 - 1)).toBeLessThan(1e-3);
  });

  it('parabolic, 25 mm out in 120°, back in 90°, 1000 rpm (the same text, illustration 5, secondary)', () => {
    expect(extremes(parabolic, 25, 120, 1000).a / 250).toBeCloseTo(1, 4);
    expect(extremes(parabolic, 25, 90, 1000).a / 444.44).toBeCloseTo(1, 4);
  });

  it('parabolic 30 mm in 120°, harmonic back in 90°, 800 rpm (an examination problem; derived)', () => {
    const rise = extremes(parabolic, 30, 120, 800);
    const fall = extremes(harmonic, 30, 90, 800);
    expect(rise.v).toBeCloseTo(2.4, 6);
    expect(rise.a).toBeCloseTo(192, 6);
    expect(fall.v).toBeCloseTo(2.513274, 6);
    expect(fall.a).toBeCloseTo(421.103, 3);
  });
});
