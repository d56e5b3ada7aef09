/** What each kind of follower makes of a programmed lift: the cam's shape, and the lift that is really followed. */
import type { Cam, Given, Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift } from '../figures.ts';
import { flatShapeOf, shortestFlatTravel, smallestFlatBase } from './flat.ts';
import { pivotedShapeOf, shortestPivotedTravel, smallestPivotedBase } from './pivoted.ts';
import { type CamShape, shapeOf, shortestTravel, smallestBase } from './profile.ts';
import { type Cutter, cutOf, lostLift } from './undercut.ts';

/** The followed lift, and what the cam's shape makes of the programmed one. */
export interface Shaped {
  readonly lift: FollowedLift;
  readonly figures: Partial<CamFigure>;
}

/** Shapes of a cam as far as base, nose and stroke are given. */
export function shapedBy(m: Mechanism, cam: Cam, follower: Segment, programmed: FollowedLift): Shaped {
  if (programmed.relative) return { lift: programmed, figures: {} };
  const { smallest, shortest, prime, shape, cutter } = sizes(m, cam, follower, programmed);
  const sharp = shape?.profileCurvature.convexMin?.value === 0;
  const cut = shape && cutter ? cutOf(programmed, cutter, sharp) : undefined;
  return {
    lift: cut ? { ...programmed, cut } : programmed,
    figures: {
      ...(smallest !== undefined && { smallestBase: smallest }),
      ...(shortest !== undefined && { shortestTravel: shortest }),
      ...(prime !== undefined && { primeRadius: prime }),
      ...shape,
      ...(shape && cutter && { lostLift: lostLift(programmed, cut) }),
    },
  };
}

interface Sizes {
  readonly smallest?: number;
  readonly shortest?: number;
  readonly prime?: number;
  readonly shape?: CamShape;
  /** Absent for an arm: what its nose loses to undercut is not followed. */
  readonly cutter?: Cutter;
}

function sizes(m: Mechanism, cam: Cam, follower: Segment, lift: FollowedLift): Sizes {
  const base = positive(cam.base);
  const nose = positive(follower.nose);
  const limit = m.limits.pressureAngle.value;
  const kind = follower.follower.value;
  if (kind.kind === 'flat') {
    const smallest = smallestFlatBase(lift);
    if (base === undefined) return { smallest };
    const cutter = { kind: 'flat', base } as const;
    return { smallest, shortest: shortestFlatTravel(lift, base), shape: flatShapeOf(lift, base), cutter };
  }
  if (nose === undefined) return {};
  if (kind.kind === 'pivoted') {
    const pivot = inSlideFrame(m, cam, follower, kind.at);
    if (!pivot || !(kind.arm > 0)) return {};
    const arm = { nose, pivot, arm: kind.arm };
    const smallest = smallestPivotedBase(lift, arm, limit);
    if (base === undefined) return { smallest };
    const rider = { ...arm, prime: base + nose };
    return { smallest, shortest: shortestPivotedTravel(lift, rider, limit), shape: pivotedShapeOf(lift, rider) };
  }
  const offset = follower.offset.value;
  const smallest = smallestBase(lift, { offset, nose }, limit);
  if (base === undefined) return { smallest };
  const rider = { prime: base + nose, offset, nose };
  return {
    smallest,
    shortest: shortestTravel(lift, rider, limit),
    prime: rider.prime,
    shape: shapeOf(lift, rider),
    cutter: { kind: 'round', ...rider },
  };
}

/** A point of the face as seen from the cam's shaft, x along the follower's azimuth. */
function inSlideFrame(m: Mechanism, cam: Cam, follower: Segment, point: Point): Point | undefined {
  const shaft = m.shafts.find((one) => one.name === cam.shaft?.name)?.at?.value;
  if (!shaft || !follower.azimuth) return undefined;
  const [x, y] = [point.x - shaft.x, point.y - shaft.y];
  const [c, s] = [Math.cos(follower.azimuth.value), Math.sin(follower.azimuth.value)];
  return { x: x * c + y * s, y: y * c - x * s };
}

/** The value, where it is given and more than nothing. */
export const positive = (given: Given<number> | undefined): number | undefined =>
  given && given.value > 0 && Number.isFinite(given.value) ? given.value : undefined;
