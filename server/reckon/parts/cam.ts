/** A cam: its profile on its flange, with a keyed bore through both. */
import type { Cam, Mechanism } from '../../../language/mechanism.ts';
import type { FollowedLift, MotionFigures } from '../figures.ts';
import { flangeRadius, profileOf, riderOn } from '../shape/bodies.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { StackFigure } from '../shape/stack.ts';
import { boreOn, seatOn } from './bore.ts';
import { camProfile } from './cam-profile.ts';
import type { Blank } from './engraving.ts';
import { circle, polygon, region } from './loop.ts';
import type { Loop } from './part.ts';

/** By followed lift, as cams whose numbers have not changed share it. */
const profiles = new WeakMap<FollowedLift, Loop>();

/** The profile of a cam as lines and arcs. */
export function profileLoop(m: Mechanism, figures: MotionFigures, name: string): Loop | Unreckoned {
  const rider = riderOn(m, figures, name);
  if ('because' in rider) return rider;
  const { lift } = figures.cams.find((cam) => cam.name === name)!;
  const loop = profiles.get(lift) ?? camProfile(lift, rider);
  if (!loop) return { because: `the follower of ${name} passes beside its prime circle` };
  profiles.set(lift, loop);
  return loop;
}

/** What gives a cam its profile. */
export type ProfileFor = (m: Mechanism, figures: MotionFigures, name: string) => Loop | Unreckoned;

/** The profile that clearances are reckoned with, which is at hand: of many straight lines. */
export const outlinedProfile: ProfileFor = (m, figures, name) => {
  const outline = profileOf(m, figures, name);
  return 'because' in outline ? outline : polygon(Array.from(outline.x, (x, i) => ({ x, y: outline.y[i] })));
};

export function camPart(
  m: Mechanism,
  figures: MotionFigures,
  { parts }: StackFigure,
  cam: Cam,
  profileFor: ProfileFor = profileLoop,
): Blank | Unreckoned {
  const { name } = cam;
  const depth = parts.find((part) => part.kind === 'cam' && part.name === name);
  if (!cam.shaft || !depth) return { because: `${name} has no shaft, level or thickness` };
  const profile = profileFor(m, figures, name);
  if ('because' in profile) return profile;
  const bore = boreOn(m, cam.shaft.name);
  if ('because' in bore) return bore;
  const flange = parts.find((part) => part.kind === 'flange' && part.name === name);
  const radius = flange && flangeRadius(m, name);
  if (flange && !(radius! > 0)) return { because: `${name} does not say its flange radius` };
  const seat = seatOn(m, cam.shaft.name, flange ?? depth);
  if ('because' in seat) return seat;
  const back = flange ? flange.to - flange.from : 0;
  const front = region(profile, bore);
  return {
    name,
    kind: 'cam',
    place: cam.place,
    prisms: [
      ...(flange ? [{ from: 0, to: back, regions: [region(circle(radius!), bore)] }] : []),
      { from: back, to: back + depth.to - depth.from, regions: [front] },
    ],
    room: { side: 'front', region: front, round: true, home: true },
    bed: 'back',
    process: cam.process.name,
    material: cam.process.material.name,
    seats: [seat],
  };
}
