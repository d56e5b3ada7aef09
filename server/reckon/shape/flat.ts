/**
 * Plate cams under a flat face square to its slide. With s the lift and ′ = d/dψ the pressure angle is 0 throughout,
 * and the profile's radius of curvature is base + s + s″: the cam is cut under where that is not positive. As any
 * handbook of cam design gives it; derived.
 */
import type { Extreme, FollowedLift } from '../figures.ts';
import { greatestOf, runsOf, survey } from './flanks.ts';
import type { CamShape } from './profile.ts';
import { leastFrom } from './search.ts';

/** Pressure angles and curvature of a cam of radius `base`. */
export function flatShapeOf(lift: FollowedLift, base: number): CamShape {
  const { value, at } = sharpest(lift);
  return {
    pressureAngle: { value: 0, at: 0 },
    flankAngles: lift.lobes.map(() => [0, 0] as const),
    pitchCurvature: {},
    profileCurvature: { convexMin: { value: Math.max(0, base - value), at } },
  };
}

/**
 * How far from its middle the face is touched, mm: contact stands s′ off the line through the shaft, the face `offset`
 * off it, both to the left as seen along the slide. The greatest |s′ − offset| and where. As in any handbook, derived.
 */
export const faceReach = (lift: FollowedLift, offset: number): Extreme =>
  survey(lift, true, [{ told: `reach on a face ${offset}`, of: ({ slope }) => Math.abs(slope - offset) }])[0].most;

/** −(s + s″) at its greatest. */
function sharpest(lift: FollowedLift) {
  return survey(lift, false, [{ told: 'base under a face', of: ({ lift: s, curve }) => -(s + curve) }])[0].most;
}

/** The least base radius at which no part of the profile is cut under. */
export const smallestFlatBase = (lift: FollowedLift): number => Math.max(0, sharpest(lift).value);

/** The least angle of all rises and falls that leaves the profile whole; undefined where half a turn would not do. */
export function shortestFlatTravel(lift: FollowedLift, base: number): number | undefined {
  if (lift.lobes.length === 0) return undefined;
  let travel = 0;
  for (const run of new Set(runsOf(lift, false).flat())) {
    const least = greatestOf({ ...run, width: 1, spans: [[0, 1]] }, lift.stroke, {
      told: `travel under a face ${base}`,
      of: ({ lift: s, curve }) => leastFrom(0.01, (width) => base + s + curve / (width * width) >= 0),
    });
    travel = Math.max(travel, least!.value);
  }
  return travel <= Math.PI ? travel : undefined;
}
