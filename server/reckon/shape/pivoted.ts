/**
 * Plate cams under a round nose on a swinging arm. The lift is the way of the nose's centre along its arc.
 *
 * In the frame of the azimuth (x along it, y to its left, the shaft at the origin) the nose's centre is F(s), its
 * direction D = dF/ds. On the cam the pitch curve is F turned by ψ, with the tangent T = s′D + z×F, the second
 * derivative s″D + s′²D′ + 2s′ z×D − F, and the outward normal N = −z×T/|T|; the pressure angle lies between N and D.
 * Derived; for a rise it is tan α = (C cos φ − A(1 ± φ′))/(C sin φ) of the handbooks.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { FollowedLift, Swing } from '../figures.ts';
import type { Motion } from '../motion/laws.ts';
import { holdsHereAndThere, type Measure, survey } from './flanks.ts';
import { type CamShape, roundShape } from './profile.ts';

/** A round nose on an arm (mm) about a pivot in the frame of the azimuth, `prime` from the shaft when lowered. */
export interface PivotedNose {
  readonly prime: number;
  readonly nose: number;
  readonly pivot: Point;
  readonly arm: number;
}

/** Where the nose's centre is, and which way it goes. */
interface Place {
  readonly at: Point;
  readonly ahead: Point;
}

/** The angle at the pivot between the arm and the line to the shaft, lowered; undefined where the arm cannot reach. */
export function loweredAngle({ prime, pivot, arm }: PivotedNose): number | undefined {
  const centres = Math.hypot(pivot.x, pivot.y);
  const cosine = (arm * arm + centres * centres - prime * prime) / (2 * arm * centres);
  return Math.abs(cosine) < 1 ? Math.acos(cosine) : undefined;
}

/** Of the two places on the prime circle the one nearer the azimuth is taken; rising leads away from the shaft. */
function placeAt({ pivot, arm }: PivotedNose, start: number, lift: number): Place {
  const side = pivot.y >= 0 ? 1 : -1;
  const angle = Math.atan2(-pivot.y, -pivot.x) + side * (start + lift / arm);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return { at: { x: pivot.x + arm * c, y: pivot.y + arm * s }, ahead: { x: -side * s, y: side * c } };
}

/** The nose's centre in the frame of the azimuth; the arm must reach the prime circle. */
export const noseOnArm = (rider: PivotedNose, lift: number): Point => placeAt(rider, loweredAngle(rider)!, lift).at;

/** The arm as its swing; it must reach the prime circle. */
export function armSwing(rider: PivotedNose): Swing {
  const { pivot, arm } = rider;
  const { x, y } = noseOnArm(rider, 0);
  return { pivot, arm, start: Math.atan2(y - pivot.y, x - pivot.x), side: pivot.y >= 0 ? 1 : -1 };
}

const tangentOf = ({ at, ahead }: Place, slope: number): Point => ({
  x: slope * ahead.x - at.y,
  y: slope * ahead.y + at.x,
});

/** Signed pressure angle, rad, as for a slide: positive where the push leans clockwise from the nose's direction. */
export function pivotedPressureAngle(rider: PivotedNose, start: number, { lift, slope }: Motion): number {
  const place = placeAt(rider, start, lift);
  const tangent = tangentOf(place, slope);
  const { ahead } = place;
  return Math.atan2(ahead.x * tangent.x + ahead.y * tangent.y, ahead.x * tangent.y - ahead.y * tangent.x);
}

/** 1/ρ of the pitch curve, convex positive. */
export function pivotedPitchCurvature(rider: PivotedNose, start: number, { lift, slope, curve }: Motion): number {
  const place = placeAt(rider, start, lift);
  const { at, ahead } = place;
  const { x, y } = tangentOf(place, slope);
  const bend = (slope * slope) / (rider.arm * rider.arm);
  const second = {
    x: curve * ahead.x + bend * (rider.pivot.x - at.x) - 2 * slope * ahead.y - at.x,
    y: curve * ahead.y + bend * (rider.pivot.y - at.y) + 2 * slope * ahead.x - at.y,
  };
  const square = x * x + y * y;
  return (x * second.y - y * second.x) / (square * Math.sqrt(square));
}

/** One stand of the nose in the cam's frame. */
export interface NoseStand {
  readonly centre: Point;
  /** Which way the centre goes as the nose rises, rad. */
  readonly ahead: number;
  /** Direction of the pitch curve's outward normal, rad. */
  readonly normal: number;
  /** How fast the centre goes along the pitch curve, mm/rad. */
  readonly speed: number;
}

/** Where the nose stands when the cam angle `psi` lies at the azimuth. */
export function pivotedStand(rider: PivotedNose, start: number, { lift, slope }: Motion, psi: number): NoseStand {
  const place = placeAt(rider, start, lift);
  const tangent = tangentOf(place, slope);
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  return {
    centre: { x: place.at.x * c - place.at.y * s, y: place.at.x * s + place.at.y * c },
    ahead: psi + Math.atan2(place.ahead.y, place.ahead.x),
    normal: psi + Math.atan2(-tangent.x, tangent.y),
    speed: Math.hypot(tangent.x, tangent.y),
  };
}

/** Pressure angles and curvatures over the whole turn; undefined where the arm does not reach the prime circle. */
export function pivotedShapeOf(lift: FollowedLift, rider: PivotedNose): CamShape | undefined {
  const start = loweredAngle(rider);
  if (start === undefined || start + lift.stroke / rider.arm >= Math.PI) return undefined;
  const told = toldOf(rider);
  return roundShape(
    rider.nose,
    survey(lift, true, [
      { told: `pressure angle ${told}`, of: (at) => Math.abs(pivotedPressureAngle(rider, start, at)) },
      { told: `convex ${told}`, of: (at) => pivotedPitchCurvature(rider, start, at) },
      { told: `concave ${told}`, of: (at) => -pivotedPitchCurvature(rider, start, at) },
    ]),
  );
}

/** All that the place of the nose's centre follows from, beside the lift. */
const toldOf = ({ prime, pivot, arm }: PivotedNose): string => `on an arm ${prime} ${pivot.x} ${pivot.y} ${arm}`;

function keeps(lift: FollowedLift, rider: PivotedNose, limit: number): boolean {
  const start = loweredAngle(rider);
  if (start === undefined || start + lift.stroke / rider.arm >= Math.PI) return false;
  const lean: Measure = {
    told: `pressure angle ${toldOf(rider)}`,
    of: (at) => Math.abs(pivotedPressureAngle(rider, start, at)),
  };
  const bend: Measure = {
    told: `convex in noses ${rider.nose} ${toldOf(rider)}`,
    of: (at) => pivotedPitchCurvature(rider, start, at) * rider.nose,
  };
  const within = (measure: Measure, most: number) => survey(lift, true, [measure])[0].most.value <= most;
  return (
    holdsHereAndThere(lift, true, (at) => lean.of(at) <= limit && bend.of(at) <= 1) &&
    within(lean, limit) &&
    within(bend, 1)
  );
}

/** The least base radius that keeps the pressure angle and the convex radius; undefined where the arm reaches none. */
export function smallestPivotedBase(
  lift: FollowedLift,
  { nose, pivot, arm }: Omit<PivotedNose, 'prime'>,
  limit: number,
): number | undefined {
  const centres = Math.hypot(pivot.x, pivot.y);
  const holds = (prime: number) => keeps(lift, { prime, nose, pivot, arm }, limit);
  const found = firstOf(Math.max(nose, Math.abs(centres - arm)), centres + arm, holds);
  return found === undefined ? undefined : found - nose;
}

/** The least angle of all rises and falls that keeps the same two limits; undefined where half a turn would not do. */
export function shortestPivotedTravel(lift: FollowedLift, rider: PivotedNose, limit: number): number | undefined {
  if (lift.lobes.length === 0) return undefined;
  return firstOf(0, Math.PI, (width) => width > 0 && keeps(withTravel(lift, width), rider, limit));
}

/** The lift's laws on one lobe whose flanks take another angle. */
function withTravel(lift: FollowedLift, width: number): FollowedLift {
  const { before, after } = lift.lobes[0];
  const lobe = { from: 0, to: 1, before: { law: before.law, width }, after: { law: after.law, width } };
  return { stroke: lift.stroke, always: false, lobes: [lobe] };
}

/** The least value from `low` to `high` at which `holds`, to a millionth of the range; looks at 100 places first. */
function firstOf(low: number, high: number, holds: (value: number) => boolean): number | undefined {
  const places = 100;
  for (let i = 1; i < places; i++) {
    let to = low + ((high - low) * i) / places;
    if (!holds(to)) continue;
    let from = to - (high - low) / places;
    for (let j = 0; j < 14; j++) {
      const middle = (from + to) / 2;
      if (holds(middle)) to = middle;
      else from = middle;
    }
    return to;
  }
  return undefined;
}
