/** How high a follower stands on a profile that was cut for another, or lies the other way round: dropped onto its outline. */
import { turn, wrapped } from '../motion/angles.ts';
import type { Rider } from './cutting.ts';
import type { Outline } from './outline.ts';
import { armSwing, loweredAngle } from './pivoted.ts';

/**
 * Lift, mm, of a follower on an outline when the outline's angle `psi` lies at the follower's azimuth; `over`: the
 * outline is turned over, so that its angles run the other way. Less than 0 where it comes lower than on its own cam;
 * −∞ where it reaches the outline nowhere.
 */
export type Riding = (psi: number, over: boolean) => number;

/** Undefined where the follower does not reach its own prime circle. */
export function ridingOn(outline: Outline, rider: Rider): Riding | undefined {
  const drop = dropOf(rider);
  if (!drop) return undefined;
  const { x, y } = outline;
  const count = x.length;
  const [along, aside] = [new Float64Array(count), new Float64Array(count)];
  return (psi, over) => {
    const [c, s] = [Math.cos(psi), Math.sin(psi)];
    for (let i = 0; i < count; i++) {
      along[i] = x[i] * c + y[i] * s;
      aside[i] = over ? x[i] * s - y[i] * c : y[i] * c - x[i] * s;
    }
    return drop(along, aside, over ? -1 : 1);
  };
}

/** Lift on a polygon in the follower's frame (x along its azimuth); `sense` +1 where it runs counter-clockwise. */
type Drop = (x: Float64Array, y: Float64Array, sense: 1 | -1) => number;

function dropOf(rider: Rider): Drop | undefined {
  if (rider.kind === 'flat') return (x) => x.reduce((most, value) => Math.max(most, value), -Infinity) - rider.base;
  if (rider.kind === 'round') {
    const { prime, offset, nose } = rider;
    if (!(prime > Math.abs(offset))) return undefined;
    const lowered = Math.sqrt(prime * prime - offset * offset);
    return (x, y, sense) => slideOnto(x, y, sense, offset, nose) - lowered;
  }
  if (loweredAngle(rider) === undefined) return undefined;
  const { nose } = rider;
  const { pivot, arm, start, side } = armSwing(rider);
  return (x, y) => {
    let lift = -Infinity;
    for (let i = 0; i < x.length; i++) {
      const [dx, dy] = [x[i] - pivot.x, y[i] - pivot.y];
      const reach = Math.hypot(dx, dy);
      const cosine = (arm * arm + reach * reach - nose * nose) / (2 * arm * reach);
      if (!(Math.abs(cosine) <= 1)) continue;
      const swung = side * (Math.atan2(dy, dx) - start) + Math.acos(cosine);
      lift = Math.max(lift, arm * (wrapped(swung + turn / 2) - turn / 2));
    }
    return lift;
  };
}

/** Where along its line the centre of a nose comes to stand: on a corner of the polygon, or on an edge. */
function slideOnto(x: Float64Array, y: Float64Array, sense: 1 | -1, offset: number, nose: number): number {
  let highest = -Infinity;
  const count = x.length;
  for (let i = 0; i < count; i++) {
    const j = i + 1 < count ? i + 1 : 0;
    const above = offset - y[i];
    if (Math.abs(above) < nose) highest = Math.max(highest, x[i] + Math.sqrt(nose * nose - above * above));
    const [dx, dy] = [x[j] - x[i], y[j] - y[i]];
    const length = Math.hypot(dx, dy);
    const [nx, ny] = [(sense * dy) / length, (-sense * dx) / length];
    if (!(nx > 0)) continue;
    const centre = (nose - ny * above) / nx;
    const foot = centre * dx + above * dy;
    if (foot > 0 && foot < length * length) highest = Math.max(highest, x[i] + centre);
  }
  return highest;
}
