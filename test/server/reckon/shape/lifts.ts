/** Lift programs from lobes in degrees: [from, to, flank] or [from, to, before, after]. */
import type { Law } from '../../../../language/mechanism.ts';
import type { FollowedLift } from '../../../../server/reckon/figures.ts';
import { radians } from '../../../../server/reckon/motion/angles.ts';
import { lobesByAngles } from '../../../../server/reckon/motion/lobes.ts';

export const programme = (law: Law['name'], stroke: number, ...lobes: number[][]): FollowedLift => ({
  stroke,
  ...lobesByAngles(
    lobes.map(([from, to, before, after]) => ({
      from: radians(from),
      to: radians(to),
      before: radians(before),
      after: radians(after ?? before),
    })),
    { name: law },
  ),
});
