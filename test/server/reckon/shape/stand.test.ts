/** How a follower stands on its cam: what the drawings show must lie on the profile that is cut. */
import { expect, it } from 'vitest';
import { degrees, radians } from '../../../../server/reckon/motion/angles.ts';
import { liftAt } from '../../../../server/reckon/motion/lift.ts';
import { distanceTo, meetings, nearest } from '../../../../server/reckon/shape/convex.ts';
import { camOutline, type Rider, rideOf } from '../../../../server/reckon/shape/cutting.ts';
import { signedDistance } from '../../../../server/reckon/shape/outline.ts';
import { loweredAngle, pivotedPressureAngle } from '../../../../server/reckon/shape/pivoted.ts';
import { pressureAngle } from '../../../../server/reckon/shape/profile.ts';
import { reckonedExample } from '../../outputs/chart/designs.ts';

const { lift } = reckonedExample('berth-sign').figures.cams[0]!;
const pivot = { x: 25, y: -30 };
const riders: Record<string, Rider> = {
  'a round nose': { kind: 'round', prime: 23.5, nose: 1.5, offset: 3 },
  'a flat face': { kind: 'flat', base: 100 },
  'a pivoted arm': { kind: 'pivoted', prime: 23.5, nose: 1.5, pivot, arm: 30 },
};

it.each(Object.entries(riders))(
  '%s touches the profile at every angle, and leans by its pressure angle',
  (_, rider) => {
    const outline = camOutline(lift, rider)!;
    const ride = rideOf(lift, rider)!;
    for (let at = 0.5; at < 360; at += 7) {
      const psi = radians(at);
      const { touch, ahead, normal } = ride.stand(psi);
      expect(Math.abs(signedDistance(outline, touch.x, touch.y))).toBeLessThan(0.003);
      const motion = liftAt(lift, psi);
      const reckoned =
        rider.kind === 'flat'
          ? 0
          : rider.kind === 'round'
            ? pressureAngle(rider, motion)
            : pivotedPressureAngle(rider, loweredAngle(rider)!, motion);
      const lean = Math.atan2(Math.sin(ahead - normal), Math.cos(ahead - normal));
      expect(degrees(lean)).toBeCloseTo(degrees(reckoned), 9);
    }
  },
);

it('finds the points of two polygons that are nearest to each other', () => {
  const square = (x: number, y: number, half: number) =>
    [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ].map(([i, j]) => ({ x: x + i! * half, y: y + j! * half }));
  for (const [x, y] of [
    [5, 0],
    [5, 4],
    [-3, 7],
    [0, -4],
  ] as const) {
    const [one, two] = [square(0, 0, 1), square(x, y, 1.5)];
    const [p, q] = nearest(one, two);
    expect(Math.hypot(q.x - p.x, q.y - p.y)).toBeCloseTo(distanceTo(meetings(one, two), 0, 0), 9);
  }
});
