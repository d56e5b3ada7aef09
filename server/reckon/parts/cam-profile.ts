/** The profile of a cam as lines and arcs, true to the follower's envelope. */
import type { Point } from '../../../language/mechanism.ts';
import type { FollowedLift } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { liftAt } from '../motion/lift.ts';
import { camOutline, type Ride, type Rider, rideOf, type Stand } from '../shape/cutting.ts';
import { jointsOf } from '../shape/flanks.ts';
import { outlineThrough } from '../shape/outline.ts';
import { biarcs, type OnCurve, simplified } from './biarcs.ts';
import { arcAbout, circle, flattened, placed, polygon } from './loop.ts';
import type { Loop, Vertex } from './part.ts';

const almost = 1e-9;

/**
 * Counter-clockwise from cam angle 0; undefined where the follower does not reach the prime circle. Between the joints
 * of the lift the points of contact are fitted with biarcs; while the follower dwells the profile is an arc about the
 * shaft; in a hollow corner of its path the nose leaves an arc of itself.
 */
export function camProfile(lift: FollowedLift, rider: Rider): Loop | undefined {
  const ride = rideOf(lift, rider);
  if (!ride) return undefined;
  if (lift.lobes.length === 0) {
    const { x, y } = ride.stand(0).touch;
    return circle(Math.hypot(x, y));
  }
  const loop = simplified(contactArcs(lift, ride));
  if (outlineThrough(flattened(loop, 1e-3))) return loop;
  // Contacts that run back and forth although the lift knows of no corner: the outline cut ray by ray, true to its sag.
  const outline = camOutline(lift, rider);
  return outline && polygon(Array.from(outline.x, (x, i) => ({ x, y: outline.y[i] })));
}

function contactArcs(lift: FollowedLift, ride: Ride): Vertex[] {
  const joints = jointsOf(lift);
  const pieces = joints.slice(1).map((to, i) => [joints[i] + almost, to - almost] as const);
  const firstStand = ride.stand(pieces[0][0]);
  const vertices: Vertex[] = [];
  const fitted: Fitted[] = [];
  pieces.forEach(([from, to], i) => {
    const motion = motionOn(lift, from, to);
    const alike = fitted.find((other) => isOneMotion(other.motion, motion));
    const arcs = alike ? placed(alike.arcs, { x: 0, y: 0 }, from - alike.from) : pieceArcs(lift, ride, from, to);
    if (!alike) fitted.push({ from, motion, arcs });
    vertices.push(...arcs);
    const next = i + 1 < pieces.length ? ride.stand(pieces[i + 1][0]) : beyond(firstStand);
    vertices.push(bridge(ride.stand(to), next, ride.nose));
  });
  return vertices;
}

/** The arcs of a piece: wherever the follower moves the same way they are the same, turned. */
interface Fitted {
  readonly from: number;
  readonly motion: Float64Array;
  readonly arcs: readonly Vertex[];
}

const samples = 16;

/** How long a piece is, and lift and slope evenly along it. */
function motionOn(lift: FollowedLift, from: number, to: number): Float64Array {
  const motion = new Float64Array(2 * samples + 3);
  for (let i = 0; i <= samples; i++) {
    const at = liftAt(lift, from + ((to - from) * i) / samples);
    motion[2 * i] = at.lift;
    motion[2 * i + 1] = at.slope;
  }
  motion[2 * samples + 2] = to - from;
  return motion;
}

/** Far less than a fingerprint tells, and more than the noise of angles. */
const isOneMotion = (a: Float64Array, b: Float64Array): boolean => a.every((value, i) => Math.abs(value - b[i]) < 1e-8);

const beyond = (stand: Stand): Stand => ({ ...stand, psi: stand.psi + turn, normal: stand.normal + turn });

/** From one contact to the next across a joint: round a corner that the nose turns in, an arc of the nose. */
function bridge({ touch, normal }: Stand, next: Stand, nose: number | undefined): Vertex {
  const jump = next.normal - normal;
  const apart = Math.hypot(next.touch.x - touch.x, next.touch.y - touch.y);
  const rounds = nose !== undefined && jump < -1e-6 && Math.abs(apart - 2 * nose * Math.sin(-jump / 2)) < 1e-6 * nose;
  return { ...touch, bulge: rounds ? Math.tan(jump / 4) : 0 };
}

function pieceArcs(lift: FollowedLift, { stand, nose }: Ride, from: number, to: number): Vertex[] {
  const [start, middle, end] = [from, (from + to) / 2, to].map((psi) => stand(psi).touch);
  const same = (p: Point, q: Point) => Math.hypot(p.x - q.x, p.y - q.y) < 1e-6;
  // The follower turns on a corner of an undercut profile.
  if (same(start, middle) && same(middle, end)) return [{ ...start, bulge: 0 }];
  const { slope, curve } = liftAt(lift, (from + to) / 2);
  if (slope === 0 && curve === 0) {
    const angle = Math.atan2(start.y, start.x);
    return arcAbout(Math.hypot(start.x, start.y), angle, angle + (to - from)).slice(0, -1);
  }
  const at = (psi: number): OnCurve => {
    const { touch, normal } = stand(psi);
    return { ...touch, ahead: normal + Math.PI / 2 };
  };
  return biarcs(at, from, to, (a, b) => bridge(stand(a), stand(b), nose));
}
