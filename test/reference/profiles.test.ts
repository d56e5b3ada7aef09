import { describe, expect, it } from 'vitest';
import type { Law, Point } from '../../language/mechanism.ts';
import type { FollowedLift } from '../../server/reckon/figures.ts';
import { degrees, radians } from '../../server/reckon/motion/angles.ts';
import { liftAt } from '../../server/reckon/motion/lift.ts';
import { rideOf } from '../../server/reckon/shape/cutting.ts';
import {
  pitchCurvature,
  pitchPoint,
  pressureAngle,
  type RoundNose,
  shapeOf,
  smallestBase,
} from '../../server/reckon/shape/profile.ts';

// Formulas: plate cams with a translating roller or round nose, as in any handbook of cam design (locations from
// memory); all expected values here derived. The handbooks turn the cam by θ under a follower along +y, so that θ of
// theirs is the cam angle 90° − θ of ours.

/** How a round nose stands on the cam that it has cut. */
const standing = (lift: FollowedLift, rider: RoundNose) => rideOf(lift, { kind: 'round', ...rider })!.stand;

/** One lobe that rises over `rise` degrees as θ grows from 0, rests, and comes down. */
function lobe(law: Law['name'], stroke: number, rise: number, top = 120, fall = rise): FollowedLift {
  const half = { law: { name: law } } as { law: Law };
  const to = radians(90 - rise);
  return {
    stroke,
    always: false,
    lobes: [
      {
        from: to - radians(top) + 2 * Math.PI,
        to: to + 2 * Math.PI,
        before: { width: radians(fall), ...half },
        after: { width: radians(rise), ...half },
      },
    ],
  };
}

const theta = (psi: number): number => (((90 - degrees(psi)) % 360) + 360) % 360;

/** θ on the rise; rise and fall of both lobes below are mirror images about 120°, and either may be named. */
const onRise = (psi: number): number => Math.min(theta(psi), 240 - theta(psi));

function areaAndPerimeter(points: readonly Point[]) {
  let [area, perimeter] = [0, 0];
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length]!;
    area += (p.x * q.y - q.x * p.y) / 2;
    perimeter += Math.hypot(q.x - p.x, q.y - p.y);
  });
  return { area, perimeter };
}

describe('an eccentric circle of radius 15, 3 off centre, under a nose of 4', () => {
  // The equivalent slider-crank (any text on kinematics, from memory): s = e cos θ + √((R+r)² − e² sin² θ) − (R+r−e).
  const [e, reach] = [3, 19];
  const s = (psi: number) => e * Math.cos(psi) + Math.sqrt(reach ** 2 - (e * Math.sin(psi)) ** 2) - (reach - e);
  const tiny = 1e-4;
  const at = (psi: number) => ({
    lift: s(psi),
    slope: (s(psi + tiny) - s(psi - tiny)) / (2 * tiny),
    curve: (s(psi + tiny) - 2 * s(psi) + s(psi - tiny)) / tiny ** 2,
  });
  const rider = { prime: 16, offset: 0, nose: 4 };

  it('has that circle for its profile, and 19 for its pitch curve’s radius', () => {
    for (let i = 0; i < 72; i++) {
      const psi = radians(5 * i);
      // From the nose's centre back along the normal, which leans by the pressure angle.
      const centre = pitchPoint(rider, at(psi), psi);
      const normal = psi - pressureAngle(rider, at(psi));
      const [x, y] = [centre.x - 4 * Math.cos(normal), centre.y - 4 * Math.sin(normal)];
      expect(Math.hypot(x - e, y)).toBeCloseTo(15, 6);
      expect(1 / pitchCurvature(rider, at(psi))).toBeCloseTo(reach, 4);
    }
  });

  it('has the greatest pressure angle asin(3/19) = 9.084720°', () => {
    let most = 0;
    for (let i = 0; i < 36_000; i++) most = Math.max(most, pressureAngle(rider, at(radians(i / 100))));
    expect(degrees(most)).toBeCloseTo(9.08472, 5);
  });
});

it('harmonic 6 mm in 45° needs a prime radius of 18 for 30°', () => {
  // Rp(Rp + L) = (L·k/(2 tan α))², exact for the harmonic law without offset.
  const base = smallestBase(lobe('simple harmonic', 6, 45), { offset: 0, nose: 2 }, radians(30))!;
  expect(base + 2).toBeCloseTo(18, 9);
});

it('cycloidal 6 mm over 0–60° and 180–240°: areas and perimeters', () => {
  // Steiner’s formula for offset curves; a polygon offset by a general library gave 1274.5424.
  const lift = lobe('cycloidal', 6, 60);
  const rider = { prime: 20, offset: 0, nose: 3 };
  const count = 36_000;
  const pitch = areaAndPerimeter(
    Array.from({ length: count }, (_, i) => {
      const psi = (i * 2 * Math.PI) / count;
      return pitchPoint(rider, liftAt(lift, psi), psi);
    }),
  );
  const cam = areaAndPerimeter(
    Array.from({ length: count }, (_, i) => standing(lift, rider)((i * 2 * Math.PI) / count).touch),
  );
  expect(pitch.area / 1686.280986).toBeCloseTo(1, 6);
  expect(pitch.perimeter / 146.670711).toBeCloseTo(1, 6);
  expect(cam.area / 1274.543188).toBeCloseTo(1, 6);
  expect(cam.perimeter / 127.821155).toBeCloseTo(1, 6);
});

it('cycloidal 20 mm in 90°, prime radius 40, nose 10', () => {
  const shape = shapeOf(lobe('cycloidal', 20, 90, 60), { prime: 40, offset: 0, nose: 10 })!;
  expect(degrees(shape.pressureAngle.value)).toBeCloseTo(27.3743, 3);
  expect(onRise(shape.pressureAngle.at)).toBeCloseTo(41.31, 2);
  expect(onRise(shape.pitchCurvature.convexMin!.at)).toBeCloseTo(66.2, 2);
  expect(shape.pitchCurvature.convexMin!.value).toBeCloseTo(31.6108, 3);
  expect(shape.profileCurvature.convexMin!.value).toBeCloseTo(21.6108, 3);
});

describe('3-4-5, 6 mm in 60°, prime radius 20, nose 3', () => {
  const lift = lobe('polynomial 3-4-5', 6, 60);
  const rider = { prime: 20, offset: 0, nose: 3 };

  it('has its greatest pressure angle and least radius where they are due', () => {
    const rising = shapeOf(lift, rider)!;
    expect(degrees(rising.pressureAngle.value)).toBeCloseTo(25.2026, 3);
    expect(rising.pitchCurvature.convexMin!.value).toBeCloseTo(11.697, 3);
    expect(rising.profileCurvature.convexMin!.value).toBeCloseTo(8.697, 3);
    expect(onRise(rising.pressureAngle.at)).toBeCloseTo(28.16, 2);
    expect(onRise(rising.pitchCurvature.convexMin!.at)).toBeCloseTo(47.284, 2);
  });

  it.each([
    [0, 0, [0, 20], [0, 17], 0],
    [15, 0.621094, [5.33713, 19.91845], [5.40692, 16.91926], 16.333],
    [30, 3, [11.5, 19.91858], [11.24044, 16.92983], 25.0366],
    [45, 5.378906, [17.9456, 17.9456], [16.37333, 15.3906], 13.3932],
    [60, 6, [22.51666, 13], [19.91858, 11.5], 0],
  ] as const)('at %i°', (angle, s, pitch, cam, alpha) => {
    const psi = radians(90 - angle);
    const at = liftAt(lift, psi);
    expect(at.lift).toBeCloseTo(s, 5);
    const centre = pitchPoint(rider, at, psi);
    expect(centre.x).toBeCloseTo(pitch[0], 5);
    expect(centre.y).toBeCloseTo(pitch[1], 5);
    const { touch } = standing(lift, rider)(psi);
    expect(touch.x).toBeCloseTo(cam[0], 5);
    expect(touch.y).toBeCloseTo(cam[1], 5);
    expect(Math.abs(degrees(pressureAngle(rider, at)))).toBeCloseTo(alpha, 3);
  });
});

describe('the scale of a ten-step cam: smallest prime radius for 30° and 45°', () => {
  const laws = ['constant velocity', 'simple harmonic', 'modified sine', 'polynomial 3-4-5', 'cycloidal'] as const;
  const rows: readonly (readonly [number, number, string])[] = [
    [3, 24, '12.40 7.16 18.04 9.85 20.38 11.19 21.80 12.00 23.35 12.89'],
    [3, 36, '8.27 4.77 11.58 6.15 13.12 7.03 14.07 7.56 15.09 8.14'],
    [4, 18, '22.05 12.73 32.70 18.10 36.85 20.49 39.39 21.95 42.14 23.53'],
    [4, 24, '16.54 9.55 24.06 13.13 27.17 14.91 29.07 16.00 31.13 17.18'],
    [4, 36, '11.03 6.37 15.44 8.20 17.50 9.37 18.76 10.08 20.13 10.86'],
    [6, 24, '24.81 14.32 36.09 19.70 40.75 22.37 43.60 24.00 46.69 25.78'],
    [6, 36, '16.54 9.55 23.15 12.30 26.25 14.05 28.14 15.12 30.19 16.29'],
  ];
  it.each(rows)('%i mm in %i°', (stroke, angle, line) => {
    const expected = line.split(' ').map(Number);
    laws.forEach((law, i) => {
      [30, 45].forEach((limit, j) => {
        const nose = 0.01;
        const base = smallestBase(lobe(law, stroke, angle), { offset: 0, nose }, radians(limit))!;
        expect(Math.abs(base + nose - expected[2 * i + j]!), `${law} ${limit}°`).toBeLessThan(0.01);
      });
    });
  });
});
