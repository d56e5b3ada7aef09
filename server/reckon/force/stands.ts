/** Where a follower stands on its cam, in the frame of its slide. */
import type { Motion } from '../motion/laws.ts';
import type { Rider } from '../shape/cutting.ts';
import { loweredAngle, pivotedStand } from '../shape/pivoted.ts';
import type { Stand } from './contact.ts';

/** The guide of a follower: its length, the stem's width, and the overhang when lowered, mm. */
export type Guide = Pick<Stand, 'guide' | 'stem' | 'overhang'>;

/** At a lift and slope of the one followed lift; undefined where an arm does not reach the cam. */
export function standOn(rider: Rider, at: Motion, guided: Guide): Stand | undefined {
  const { lift, slope } = at;
  if (rider.kind === 'flat') return held(rider.base + lift, slope, 1, 0, slope, slope, lift, guided);
  const { nose } = rider;
  if (rider.kind === 'pivoted') {
    const start = loweredAngle(rider);
    if (start === undefined) return undefined;
    const { centre, normal } = pivotedStand(rider, start, at, 0);
    const [normalX, normalY] = [Math.cos(normal), Math.sin(normal)];
    const stand = held(centre.x - nose * normalX, centre.y - nose * normalY, normalX, normalY, slope, 0, lift, guided);
    return { ...stand, arm: rider.arm, pivotX: rider.pivot.x, pivotY: rider.pivot.y };
  }
  const { prime, offset } = rider;
  const centre = Math.sqrt(prime * prime - offset * offset) + lift;
  // Leaning by the pressure angle, tan α = (s′ − e)/centre.
  const lean = Math.sqrt(centre * centre + (slope - offset) * (slope - offset));
  const normalX = centre / lean;
  const normalY = (offset - slope) / lean;
  return held(centre - nose * normalX, offset - nose * normalY, normalX, normalY, slope, 0, lift, guided);
}

function held(
  x: number,
  y: number,
  normalX: number,
  normalY: number,
  slope: number,
  aside: number,
  lift: number,
  { guide, stem, overhang }: Guide,
): Stand {
  const out = Math.max(0, overhang - lift);
  return { x, y, normalX, normalY, lift, slope, overhang: out, guide, stem, aside, arm: 0, pivotX: 0, pivotY: 0 };
}
