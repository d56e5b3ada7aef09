/** What each kind of follower makes of a programmed lift: the cam's shape, and the lift that is really followed. */
import type { Cam, Given, Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift } from '../figures.ts';
import { Latest } from '../remembering.ts';
import type { Rider } from './cutting.ts';
import { faceReach, flatShapeOf, shortestFlatTravel, smallestFlatBase } from './flat.ts';
import { pivotedShapeOf, shortestPivotedTravel, smallestPivotedBase } from './pivoted.ts';
import { type CamShape, largestNose, shapeOf, shortestTravel, smallestBase } from './profile.ts';
import { cutOf, lostLift } from './undercut.ts';

/** The followed lift, and what the cam's shape makes of the programmed one. */
export interface Shaped {
  readonly lift: FollowedLift;
  readonly figures: Partial<CamFigure>;
}

/** The latest shapes by all the numbers that go into them: of a numeral's cams a keystroke seldom changes more than one. */
const latest = new Latest<Shaped>(1024);

/** Shapes of a cam as far as base, nose and stroke are given. */
export function shapedBy(m: Mechanism, cam: Cam, follower: Segment, programmed: FollowedLift): Shaped {
  if (programmed.relative) return { lift: programmed, figures: {} };
  const given = givenOf(m, cam, follower);
  const key = JSON.stringify([programmed, given]);
  return latest.get(key) ?? latest.keep(key, shapedAnew(programmed, given));
}

function shapedAnew(programmed: FollowedLift, given: CamGiven): Shaped {
  const { smallest, shortest, prime, shape, shapeUnder, cutter } = sizes(programmed, given);
  const sharp = shape?.profileCurvature.convexMin?.value === 0;
  // A smaller nose on the same base makes a smaller prime radius: where the cam is too steep, it is no remedy.
  const gentle = shape !== undefined && shape.pressureAngle.value <= given.limit;
  const largest = sharp && gentle && shapeUnder ? largestNose(given.nose!, shapeUnder, given.limit) : undefined;
  const cut = shape && cutter ? cutOf(programmed, cutter, sharp) : undefined;
  return {
    lift: cut ? { ...programmed, cut } : programmed,
    figures: {
      ...(smallest !== undefined && { smallestBase: smallest }),
      ...(shortest !== undefined && { shortestTravel: shortest }),
      ...(prime !== undefined && { primeRadius: prime }),
      ...shape,
      ...(given.kind === 'flat' && { faceReach: faceReach(programmed, given.offset) }),
      ...(largest !== undefined && { largestNose: largest }),
      ...(shape && cutter && { lostLift: lostLift(programmed, cut) }),
    },
  };
}

/** The numbers that a cam's shape follows from, beside its lift. */
interface CamGiven {
  readonly kind: Segment['follower']['value']['kind'];
  readonly base: number | undefined;
  readonly nose: number | undefined;
  readonly offset: number;
  readonly limit: number;
  /** Of a swinging arm, as seen along the slide. */
  readonly pivot: Point | undefined;
  readonly arm: number;
}

function givenOf(m: Mechanism, cam: Cam, follower: Segment): CamGiven {
  const kind = follower.follower.value;
  return {
    kind: kind.kind,
    base: positive(cam.base),
    nose: positive(follower.nose),
    offset: follower.offset.value,
    limit: m.limits.pressureAngle.value,
    pivot: kind.kind === 'pivoted' ? inSlideFrame(m, cam.shaft?.name, follower, kind.at) : undefined,
    arm: kind.kind === 'pivoted' ? kind.arm : 0,
  };
}

interface Sizes {
  readonly smallest?: number;
  readonly shortest?: number;
  readonly prime?: number;
  readonly shape?: CamShape;
  /** The shape under another nose on the same base; absent for a flat face. */
  readonly shapeUnder?: (nose: number) => CamShape | undefined;
  readonly cutter?: Rider;
}

function sizes(lift: FollowedLift, { kind, base, nose, offset, limit, pivot, arm: length }: CamGiven): Sizes {
  if (kind === 'flat') {
    const smallest = smallestFlatBase(lift);
    if (base === undefined) return { smallest };
    const cutter = { kind: 'flat', base } as const;
    return { smallest, shortest: shortestFlatTravel(lift, base), shape: flatShapeOf(lift, base), cutter };
  }
  if (nose === undefined) return {};
  if (kind === 'pivoted') {
    if (!pivot || !(length > 0)) return {};
    const arm = { nose, pivot, arm: length };
    const smallest = smallestPivotedBase(lift, arm, limit);
    if (base === undefined) return { smallest };
    const rider = { ...arm, prime: base + nose };
    const shapeUnder = (n: number) => pivotedShapeOf(lift, { ...arm, nose: n, prime: base + n });
    const shape = shapeUnder(nose);
    return {
      smallest,
      shortest: shortestPivotedTravel(lift, rider, limit),
      ...(shape && { shape, shapeUnder, cutter: { kind: 'pivoted', ...rider } as const }),
    };
  }
  const smallest = smallestBase(lift, { offset, nose }, limit);
  if (base === undefined) return { smallest };
  const rider = { prime: base + nose, offset, nose };
  const shapeUnder = (n: number) => shapeOf(lift, { prime: base + n, offset, nose: n });
  return {
    smallest,
    shortest: shortestTravel(lift, rider, limit),
    prime: rider.prime,
    shape: shapeUnder(nose),
    shapeUnder,
    cutter: { kind: 'round', ...rider },
  };
}

/** A point of the face as seen from a cam's shaft, x along the follower's azimuth. */
export function inSlideFrame(
  m: Mechanism,
  shaftName: string | undefined,
  follower: Segment,
  point: Point,
): Point | undefined {
  const shaft = m.shafts.find((one) => one.name === shaftName)?.at?.value;
  if (!shaft || !follower.azimuth) return undefined;
  const [x, y] = [point.x - shaft.x, point.y - shaft.y];
  const [c, s] = [Math.cos(follower.azimuth.value), Math.sin(follower.azimuth.value)];
  return { x: x * c + y * s, y: y * c - x * s };
}

/** The value, where it is given and more than nothing. */
export const positive = (given: Given<number> | undefined): number | undefined =>
  given && given.value > 0 && Number.isFinite(given.value) ? given.value : undefined;
