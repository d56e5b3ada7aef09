import { describe, expect, it } from 'vitest';
import type { Law } from '../../language/mechanism.ts';
import type { FollowedLift } from '../../server/reckon/figures.ts';
import { degrees, radians, turn } from '../../server/reckon/motion/angles.ts';
import { liftAt } from '../../server/reckon/motion/lift.ts';
import { flatShapeOf, smallestFlatBase } from '../../server/reckon/shape/flat.ts';
import {
  loweredAngle,
  pivotedPitchCurvature,
  pivotedPressureAngle,
  pivotedShapeOf,
  smallestPivotedBase,
} from '../../server/reckon/shape/pivoted.ts';
import { pitchCurvature } from '../../server/reckon/shape/profile.ts';

const lobe = (law: Law['name'], stroke: number, rise: number, top: number): FollowedLift => ({
  stroke,
  always: false,
  lobes: [
    {
      from: radians(rise),
      to: radians(rise + top),
      before: { width: radians(rise), law: { name: law } as Law },
      after: { width: radians(rise), law: { name: law } as Law },
    },
  ],
});

describe('flat faces', () => {
  it('harmonic out and back in one turn, 50 mm on a base of 25, is a circle of radius 50, 25 off centre', () => {
    // H. H. Mabie and C. F. Reinholtz, Mechanisms and Dynamics of Machinery (attribution from memory).
    const lift = lobe('simple harmonic', 50, 180, 0);
    const base = 25;
    for (let i = 0; i < 360; i += 5) {
      const psi = radians(i + 0.5);
      const { lift: s, slope } = liftAt(lift, psi);
      const x = (base + s) * Math.cos(psi) - slope * Math.sin(psi);
      const y = (base + s) * Math.sin(psi) + slope * Math.cos(psi);
      expect(Math.hypot(x + 25, y)).toBeCloseTo(50, 9);
    }
    expect(flatShapeOf(lift, base).profileCurvature.convexMin!.value).toBeCloseTo(50, 9);
  });

  // Derived: min(s + s″) of a rise of 6 mm.
  it.each([
    ['cycloidal', 60, 28.9362],
    ['simple harmonic', 60, 21],
    ['polynomial 3-4-5', 60, 26.0021],
    ['cycloidal', 90, 9.8558],
    ['simple harmonic', 90, 6],
    ['polynomial 3-4-5', 90, 8.4683],
  ] as const)('%s, 6 mm in %i°, needs a base of %f', (law, rise, base) => {
    expect(smallestFlatBase(lobe(law, 6, rise, 20))).toBeCloseTo(base, 4);
  });
});

describe('an arm of 40 about a pivot 50 from the shaft, prime radius 20, swinging 10° cycloidal in 90°', () => {
  // Derived. The handbooks' pivot lies on +x with the arm above it; ours in the frame of the azimuth, through which
  // the lowered nose lies.
  const start = 22.331645;
  const nose = { x: 50 - 40 * Math.cos(radians(start)), y: 40 * Math.sin(radians(start)) };
  const azimuth = Math.atan2(nose.y, nose.x);
  const turnedBack = (x: number, y: number) => ({
    x: x * Math.cos(azimuth) + y * Math.sin(azimuth),
    y: y * Math.cos(azimuth) - x * Math.sin(azimuth),
  });
  const rider = { prime: 20, nose: 3, pivot: turnedBack(50, 0), arm: 40 };
  const lift = lobe('cycloidal', 40 * radians(10), 90, 60);

  it('starts at 22.331645°', () => {
    expect(degrees(loweredAngle(rider)!)).toBeCloseTo(start, 5);
  });

  const over = (from: number, to: number) => {
    const angles = Array.from({ length: 2001 }, (_, i) => {
      const psi = radians(from + ((to - from) * i) / 2000);
      return degrees(pivotedPressureAngle(rider, radians(start), liftAt(lift, psi)));
    });
    return [Math.min(...angles), Math.max(...angles)] as const;
  };

  it('has the pressure angles −11.1929°…18.2100° on one side, 4.8060°…31.6350° on the other', () => {
    // The rise under a cam that turns counter-clockwise runs with falling cam angle, and the reverse.
    const pairs = [over(0, 90), over(150, 240)].map(([a, b]) => [
      Math.min(Math.abs(a), Math.abs(b)),
      Math.max(Math.abs(a), Math.abs(b)),
    ]);
    const [[a1, a2], [b1, b2]] = pairs as [[number, number], [number, number]];
    const both = [
      [a1, a2],
      [b1, b2],
    ].sort((one, two) => one[1]! - two[1]!);
    expect(both[0]![0]).toBeCloseTo(11.1929, 3);
    expect(both[0]![1]).toBeCloseTo(18.21, 3);
    expect(both[1]![0]).toBeCloseTo(4.806, 3);
    expect(both[1]![1]).toBeCloseTo(31.635, 3);
    expect(degrees(pivotedShapeOf(lift, rider)!.pressureAngle.value)).toBeCloseTo(31.635, 3);
  });

  it('has the curvature of the curve that its nose draws on the cam (by three neighbouring points)', () => {
    const side = rider.pivot.y >= 0 ? 1 : -1;
    const point = (psi: number) => {
      const angle = Math.atan2(-rider.pivot.y, -rider.pivot.x) + side * (radians(start) + liftAt(lift, psi).lift / 40);
      const [x, y] = [rider.pivot.x + 40 * Math.cos(angle), rider.pivot.y + 40 * Math.sin(angle)];
      return [x * Math.cos(psi) - y * Math.sin(psi), x * Math.sin(psi) + y * Math.cos(psi)] as const;
    };
    for (let i = 0; i < 100; i++) {
      const psi = (i * turn) / 100 + 0.01;
      const tiny = 1e-3;
      const [a, b, c] = [point(psi - tiny), point(psi), point(psi + tiny)];
      const cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
      const sides = [
        Math.hypot(b[0] - a[0], b[1] - a[1]),
        Math.hypot(c[0] - b[0], c[1] - b[1]),
        Math.hypot(c[0] - a[0], c[1] - a[1]),
      ];
      const circle = (2 * cross) / (sides[0]! * sides[1]! * sides[2]!);
      expect(pivotedPitchCurvature(rider, radians(start), liftAt(lift, psi))).toBeCloseTo(circle, 3);
    }
  });

  it('with a very long arm square to the azimuth comes near a slide', () => {
    const far = { prime: 25, nose: 2, pivot: { x: 25, y: 1e6 }, arm: 1e6 };
    const slide = lobe('simple harmonic', 4, 30, 20);
    for (const psi of [0.1, 0.3, 0.5, 0.9, 1.2]) {
      const at = liftAt(slide, psi);
      expect(pivotedPitchCurvature(far, loweredAngle(far)!, at)).toBeCloseTo(
        pitchCurvature({ prime: 25, offset: 0, nose: 2 }, at),
        4,
      );
    }
  });

  it('has a smallest base at which both limits hold', () => {
    const limit = radians(30);
    const base = smallestPivotedBase(lift, rider, limit)!;
    const at = (b: number) => pivotedShapeOf(lift, { ...rider, prime: b + rider.nose })!.pressureAngle.value;
    expect(at(base)).toBeLessThanOrEqual(limit);
    expect(at(base - 0.01)).toBeGreaterThan(limit);
  });
});
