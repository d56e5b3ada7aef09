import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Point } from '../../../../language/mechanism.ts';
import type { FollowedLift } from '../../../../server/reckon/figures.ts';
import { radians, turn } from '../../../../server/reckon/motion/angles.ts';
import { liftAt } from '../../../../server/reckon/motion/lift.ts';
import { camOutline, type Rider } from '../../../../server/reckon/shape/cutting.ts';
import { disc, type Outline, signedDistance } from '../../../../server/reckon/shape/outline.ts';
import { loweredAngle, pivotedStand } from '../../../../server/reckon/shape/pivoted.ts';
import { pitchPoint } from '../../../../server/reckon/shape/profile.ts';
import { programme } from './lifts.ts';
import { cutBy, regionOf } from './oracle.ts';

const round = (prime: number, nose: number, offset = 0) => ({ kind: 'round', prime, nose, offset }) as const;

const pitchCurve = (program: FollowedLift, rider: ReturnType<typeof round>): Point[] =>
  Array.from({ length: 7200 }, (_, i) => {
    const psi = (i * turn) / 7200;
    return pitchPoint(rider, liftAt(program, psi), psi);
  });

/** Area in which the outline and the nose's true cut differ, over the outline's length: mean distance, mm. */
function apart(program: FollowedLift, rider: ReturnType<typeof round>, outline: Outline): number {
  const [one, two] = [regionOf(outline), cutBy(pitchCurve(program, rider), rider.nose)];
  return (one.subtract(two).area() + two.subtract(one).area()) / (turn * rider.prime);
}

/** The lift that a round nose gets when it rides on the outline: bisection on its distance. */
function reRolled(outline: Outline, rider: ReturnType<typeof round>, psi: number): number {
  const rest = Math.sqrt(rider.prime ** 2 - rider.offset ** 2);
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  const clear = (at: number) =>
    signedDistance(outline, (rest + at) * c - rider.offset * s, (rest + at) * s + rider.offset * c) >= rider.nose;
  let [low, high] = [-1, 60];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (clear(middle)) high = middle;
    else low = middle;
  }
  return high;
}

describe('the outline of a cam', () => {
  it('is a circle without lobes, and where the follower is always up', () => {
    const none: FollowedLift = { stroke: 3, always: false, lobes: [] };
    expect(camOutline(none, round(23.5, 1.5))).toMatchObject({ round: true, least: expect.closeTo(22, 9) });
    expect(camOutline({ ...none, always: true }, round(23.5, 1.5))!.greatest).toBeCloseTo(25, 9);
    expect(camOutline(none, round(23.5, 1.5, 4))!.greatest).toBeCloseTo(22, 9);
  });

  it('has the area of row 2d of the reference values (Steiner: A − P·Rf + π·Rf²; derived)', () => {
    const outline = camOutline(programme('cycloidal', 6, [60, 180, 60]), round(20, 3))!;
    // straight edges leave out at most a micrometre all round: 0.128 mm²
    expect(Math.abs(regionOf(outline).area() - 1274.543188)).toBeLessThan(0.128);
  });

  it('has Steiner’s area for any lobes that are not undercut: A = A_pitch − P·r + π·r² (derived)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        fc.double({ min: 40, max: 60, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (from, wide, flank, offset) => {
          const program = programme('cycloidal', 4, [from, from + wide, flank]);
          const rider = round(24, 2, offset);
          const pitch = pitchCurve(program, rider);
          let [area, length] = [0, 0];
          pitch.forEach((p, i) => {
            const q = pitch[(i + 1) % pitch.length];
            area += (p.x * q.y - q.x * p.y) / 2;
            length += Math.hypot(q.x - p.x, q.y - p.y);
          });
          const due = area - length * rider.nose + Math.PI * rider.nose ** 2;
          // straight edges leave out at most a micrometre all round
          expect(Math.abs(regionOf(camOutline(program, rider)!).area() - due)).toBeLessThan(1e-3 * length);
        },
      ),
      { numRuns: 20 },
    );
  });

  it('under a flat face and harmonic motion out and back is a circle off centre (row 2a, Mabie & Reinholtz)', () => {
    const outline = camOutline(programme('simple harmonic', 50, [180, 180, 180]), { kind: 'flat', base: 25 })!;
    const distances = Array.from(outline.x, (x, i) => Math.hypot(x + 25, outline.y[i]));
    expect(Math.max(...distances)).toBeCloseTo(50, 5);
    expect(Math.min(...distances)).toBeCloseTo(50, 5);
    expect(outline.crest).toBeCloseTo(Math.PI, 6);
  });

  it('shows the crest in the middle of its highest stretch', () => {
    expect(camOutline(programme('cycloidal', 4, [100, 140, 20], [200, 205, 20]), round(23, 1.5))!.crest).toBeCloseTo(
      radians(120),
      3,
    );
  });

  it.each<[string, FollowedLift, ReturnType<typeof round>]>([
    ['a harmonic lobe', programme('simple harmonic', 3.5, [20, 110, 25]), round(23.5, 1.5)],
    ['an offset slide', programme('simple harmonic', 3.5, [20, 110, 25]), round(23.5, 1.5, 5)],
    [
      'lobes that meet in a sharp valley',
      programme('simple harmonic', 3.5, [20, 60, 30], [90, 130, 30]),
      round(23.5, 1.5),
    ],
    ['corners of constant velocity', programme('constant velocity', 3.5, [20, 60, 20]), round(23.5, 1.5)],
    ['a lobe too narrow for its nose', programme('simple harmonic', 4, [50, 50, 12]), round(14, 3)],
    ['a nose larger than the lobe', programme('simple harmonic', 3, [50, 53, 10]), round(16, 8)],
    ['a lobe across cam angle 0', programme('cycloidal', 3.5, [350, 375, 25]), round(23.5, 1.5)],
  ])('%s: agrees with the nose swept by polygon offsets', (_, program, rider) => {
    const outline = camOutline(program, rider)!;
    expect(apart(program, rider, outline)).toBeLessThan(1.5e-3);
  });

  it('gives the nose that rides on it the programmed lift to 0.002 mm', () => {
    const laws = ['simple harmonic', 'cycloidal', 'polynomial 3-4-5', 'modified sine', 'modified trapezoid'] as const;
    fc.assert(
      fc.property(
        fc.constantFrom(...laws),
        fc.double({ min: 1, max: 4, noNaN: true }),
        fc.double({ min: 20, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        fc.double({ min: 25, max: 60, noNaN: true }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        (law, stroke, prime, from, wide, flank, offset) => {
          const program = programme(law, stroke, [from, from + wide, flank]);
          const rider = round(prime, 1.5, offset);
          const outline = camOutline(program, rider)!;
          for (let degree = 0; degree < 360; degree += 7) {
            const psi = radians(degree);
            expect(Math.abs(reRolled(outline, rider, psi) - liftAt(program, psi).lift)).toBeLessThan(2e-3);
          }
        },
      ),
      { numRuns: 25 },
    );
  });

  it('under a swinging arm gives its nose the programmed way to 0.002 mm', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 30, max: 60, noNaN: true }),
        fc.double({ min: 0.8, max: 1.05, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (centres, share, aside, from) => {
          const pivot = { x: centres * Math.sin(radians(aside)), y: centres * Math.cos(radians(aside)) };
          const rider = { kind: 'pivoted', prime: 22, nose: 1.5, pivot, arm: share * centres } as const;
          const start = loweredAngle(rider);
          if (start === undefined || start < 0.3) return;
          const program = programme('cycloidal', 3, [from, from + 50, 45]);
          const outline = camOutline(program, rider)!;
          for (let degree = 0; degree < 360; degree += 7) {
            const psi = radians(degree);
            const clear = (at: number) => {
              const { x, y } = pivotedStand(rider, start, { lift: at, slope: 0, curve: 0 }, psi).centre;
              return signedDistance(outline, x, y) >= rider.nose;
            };
            let [low, high] = [-1, 8];
            for (let i = 0; i < 40; i++) {
              const middle = (low + high) / 2;
              if (clear(middle)) high = middle;
              else low = middle;
            }
            expect(Math.abs(high - liftAt(program, psi).lift)).toBeLessThan(2e-3);
          }
        },
      ),
      { numRuns: 20 },
    );
  });

  it('cannot be cut where the slide passes beside the prime circle, or with nothing to cut', () => {
    const program = programme('simple harmonic', 3, [20, 60, 30]);
    expect(camOutline(program, round(5, 1.5, 6))).toBeUndefined();
    expect(camOutline(program, round(0, 1.5))).toBeUndefined();
    expect(camOutline(program, round(Number.NaN, 1.5))).toBeUndefined();
    expect(camOutline(program, { kind: 'flat', base: 0 } as Rider)).toBeUndefined();
    const short = { kind: 'pivoted', prime: 22, nose: 1.5, pivot: { x: 0, y: 60 }, arm: 20 } as const;
    expect(camOutline(program, short)).toBeUndefined();
    expect(disc(0)).toBeUndefined();
  });
});

describe('the distance from an outline', () => {
  it('is plain for a disc', () => {
    const ring = disc(10)!;
    expect(signedDistance(ring, 13, 0)).toBeCloseTo(3, 2);
    expect(signedDistance(ring, -4, 3)).toBeCloseTo(-5, 2);
    expect(signedDistance(ring, 0, 0)).toBeCloseTo(-10, 2);
  });

  it('is the least over all edges, seen from anywhere', () => {
    const outline = camOutline(programme('simple harmonic', 6, [20, 110, 25], [200, 220, 30]), round(16, 1.5))!;
    const brute = (x: number, y: number) =>
      Math.min(
        ...Array.from(outline.x, (ax, i) => {
          const j = (i + 1) % outline.x.length;
          const [dx, dy] = [outline.x[j] - ax, outline.y[j] - outline.y[i]];
          const share = Math.min(1, Math.max(0, ((x - ax) * dx + (y - outline.y[i]) * dy) / (dx * dx + dy * dy)));
          return Math.hypot(x - ax - share * dx, y - outline.y[i] - share * dy);
        }),
      );
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 40, noNaN: true }),
        fc.double({ min: -40, max: 40, noNaN: true }),
        (x, y) => {
          expect(Math.abs(Math.abs(signedDistance(outline, x, y)) - brute(x, y))).toBeLessThan(1e-9);
        },
      ),
    );
  });
});
