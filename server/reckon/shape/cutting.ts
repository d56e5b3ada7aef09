/** The profile that a follower cuts out of a cam blank. */
import type { Point } from '../../../language/mechanism.ts';
import type { FollowedLift } from '../figures.ts';
import { radians, turn, wrapped } from '../motion/angles.ts';
import type { Motion } from '../motion/laws.ts';
import { liftAt } from '../motion/lift.ts';
import { jointsOf } from './flanks.ts';
import { arc, disc, type Outline, outlineThrough, piecesOf, sagAt } from './outline.ts';
import { loweredAngle, type PivotedNose, pivotedPitchCurvature, pivotedStand } from './pivoted.ts';
import { pitchCurvature, pitchPoint, pressureAngle, type RoundNose } from './profile.ts';

/** What rides on the cam and has cut it: a round nose on a slide or an arm, or a flat face square to its slide. */
export type Rider =
  | ({ readonly kind: 'round' } & RoundNose)
  | ({ readonly kind: 'pivoted' } & PivotedNose)
  | { readonly kind: 'flat'; readonly base: number };

/**
 * The profile that the follower leaves of a blank: what its nose sweeps over is cut away, so that an undercut cam is
 * cut short as it would be on the machine. A flank so steep that it leans over its own foot (pressure angles beyond
 * 75° with an offset) is drawn standing upright. Undefined where the follower does not reach the prime circle.
 */
export function camOutline(lift: FollowedLift, rider: Rider): Outline | undefined {
  const ride = rideOf(lift, rider);
  if (!ride) return undefined;
  if (lift.lobes.length === 0) {
    const { x, y } = ride.stand(0).touch;
    return disc(Math.hypot(x, y));
  }
  return outlineThrough(contacts(lift, ride)) ?? outlineThrough(envelope(lift, ride));
}

/** One stand of the follower, in the cam's frame. */
export interface Stand {
  readonly psi: number;
  /** The nose's centre; of a flat face the foot of the plumb from the shaft. */
  readonly centre: Point;
  /** Which way the centre goes as the follower rises, rad; the pressure angle lies from here to the normal. */
  readonly ahead: number;
  /** Direction of the cam's outward normal, and where it touches. */
  readonly normal: number;
  readonly touch: Point;
  /** Cam angle to the next stand, for an outline true to its sag. */
  readonly stride: number;
}

/** A follower on its lift. */
export interface Ride {
  readonly stand: (psi: number) => Stand;
  /** Absent for a flat face. */
  readonly nose?: number;
  /** The widest angle from a ray at which a stand can cut it. */
  readonly aside: number;
}

/** Undefined where the follower does not reach the prime circle. */
export function rideOf(lift: FollowedLift, rider: Rider): Ride | undefined {
  if (rider.kind === 'flat') {
    const { base } = rider;
    if (!(base > 0)) return undefined;
    const stand = (psi: number): Stand => {
      const { lift: rise, slope } = liftAt(lift, psi);
      const [c, s] = [Math.cos(psi), Math.sin(psi)];
      const centre = { x: (base + rise) * c, y: (base + rise) * s };
      const touch = { x: centre.x - slope * s, y: centre.y + slope * c };
      return { psi, centre, ahead: psi, normal: psi, touch, stride: radians(0.25) };
    };
    return { stand, aside: Math.acos(base / (base + lift.stroke)) };
  }
  const { prime, nose } = rider;
  if (!(prime > nose)) return undefined;
  const aside = Math.asin(nose / prime);
  const touched = ({ x, y }: Point, normal: number): Point => ({
    x: x - nose * Math.cos(normal),
    y: y - nose * Math.sin(normal),
  });
  if (rider.kind === 'round') {
    const { offset } = rider;
    if (!(prime > Math.abs(offset))) return undefined;
    const rest = Math.sqrt(prime * prime - offset * offset);
    const stand = (psi: number): Stand => {
      const at = liftAt(lift, psi);
      const speed = Math.hypot(at.slope - offset, rest + at.lift);
      const stride = strideOf(at, rider, pitchCurvature(rider, at), speed);
      const normal = psi - pressureAngle(rider, at);
      const centre = pitchPoint(rider, at, psi);
      return { psi, centre, ahead: psi, normal, touch: touched(centre, normal), stride };
    };
    return { stand, nose, aside };
  }
  const start = loweredAngle(rider);
  if (start === undefined || start + lift.stroke / rider.arm >= Math.PI) return undefined;
  const stand = (psi: number): Stand => {
    const at = liftAt(lift, psi);
    const { centre, ahead, normal, speed } = pivotedStand(rider, start, at, psi);
    const stride = strideOf(at, rider, pivotedPitchCurvature(rider, start, at), speed);
    return { psi, centre, ahead, normal, touch: touched(centre, normal), stride };
  };
  return { stand, nose, aside };
}

/** An arc of the profile's radius keeps to the sag over this cam angle; `speed` is that of the nose's centre, mm/rad. */
function strideOf(
  at: Motion,
  { prime, nose }: { prime: number; nose: number },
  curvature: number,
  speed: number,
): number {
  if (at.slope === 0 && at.curve === 0) return Math.sqrt((8 * sagAt(prime)) / (prime + at.lift));
  const bend = Math.abs(curvature);
  const radius = Math.abs(Math.sign(curvature) / Math.max(bend, 1e-6) - nose);
  const fitting = Math.sqrt((8 * sagAt(radius)) / radius) / (bend * speed);
  return Math.min(radians(0.5), Math.max(radians(0.05), fitting || radians(0.5)));
}

const almost = 1e-9;

/** Normals farther apart than this do not belong to one smooth curve. */
const sharp = radians(4);

/** Points of contact, close enough for the outline's sag; round a corner that the nose turns in, an arc of the nose. */
function contacts(lift: FollowedLift, { stand, nose }: Ride): Point[] {
  const points: Point[] = [];
  /** Adds what lies between two contacts whose normals stand wide apart. */
  const bridge = (one: Stand, two: Stand): void => {
    const jump = two.normal - one.normal;
    if (Math.abs(jump) < sharp) return;
    if (two.psi - one.psi > 16 * almost) {
      const middle = stand((one.psi + two.psi) / 2);
      bridge(one, middle);
      points.push(middle.touch);
      bridge(middle, two);
    } else if (nose !== undefined) {
      const round = arc(one.centre, nose, one.normal + Math.PI, two.normal + Math.PI, piecesOf(nose, jump));
      points.push(...round.slice(1, -1));
    }
  };
  const first = stand(almost);
  let last = first;
  const go = (psi: number): void => {
    const next = stand(psi);
    bridge(last, next);
    points.push(next.touch);
    last = next;
  };
  const angles = jointsOf(lift);
  for (let i = 1; i < angles.length; i++) {
    const [from, to] = [angles[i - 1] + almost, angles[i] - almost];
    for (let psi = from; psi < to; psi += last.stride) go(psi);
    go(to);
  }
  bridge(last, { ...first, psi: first.psi + turn, normal: first.normal + turn });
  return points;
}

/**
 * The same profile ray by ray: along each, the nearest that any stand of the follower comes to the centre. For
 * undercut cams, whose contacts run back and forth.
 */
function envelope(lift: FollowedLift, { stand, nose, aside }: Ride): Point[] {
  const angles = jointsOf(lift);
  const stands = angles.slice(1).flatMap((to, i) => {
    const from = angles[i];
    const pieces = Math.max(1, Math.ceil((to - from) / radians(0.1)));
    return Array.from({ length: pieces }, (_, j) => {
      const { x, y } = stand(from + ((to - from) * j) / pieces).centre;
      return { angle: wrapped(Math.atan2(y, x)), distance: Math.hypot(x, y) };
    });
  });
  stands.sort((a, b) => a.angle - b.angle);
  const count = stands.length;
  const at = Float64Array.from(
    { length: 3 * count },
    (_, i) => stands[i % count].angle + (Math.floor(i / count) - 1) * turn,
  );
  const distance = Float64Array.from({ length: 3 * count }, (_, i) => stands[i % count].distance);

  const radiusAt = (angle: number): number => {
    let [low, high] = [0, at.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (at[middle] < angle - aside) low = middle + 1;
      else high = middle;
    }
    let radius = Infinity;
    for (let i = low; i < at.length && at[i] <= angle + aside; i++) {
      const along = distance[i] * Math.cos(at[i] - angle);
      if (nose === undefined) radius = Math.min(radius, (distance[i] * distance[i]) / along);
      else {
        const room = nose * nose - distance[i] * distance[i] + along * along;
        if (room >= 0) radius = Math.min(radius, along - Math.sqrt(room));
      }
    }
    return radius;
  };
  const pointAt = (angle: number): Point => {
    const radius = radiusAt(angle);
    return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
  };

  const points: Point[] = [];
  const sag = sagAt(stands.reduce((most, { distance }) => Math.max(most, distance), 0));
  const fill = (from: number, to: number, start: Point, end: Point) => {
    const angle = (from + to) / 2;
    const middle = pointAt(angle);
    if (to - from < radians(0.01) || offLine(start, end, middle) < sag / 2) return;
    fill(from, angle, start, middle);
    points.push(middle);
    fill(angle, to, middle, end);
  };
  const rays = 720;
  const first = pointAt(0);
  let start = first;
  for (let ray = 0; ray < rays; ray++) {
    const end = ray + 1 < rays ? pointAt(((ray + 1) * turn) / rays) : first;
    points.push(start);
    fill((ray * turn) / rays, ((ray + 1) * turn) / rays, start, end);
    start = end;
  }
  return points;
}

function offLine(from: Point, to: Point, p: Point): number {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  return Math.abs(dx * (p.y - from.y) - dy * (p.x - from.x)) / Math.max(Math.hypot(dx, dy), almost);
}
