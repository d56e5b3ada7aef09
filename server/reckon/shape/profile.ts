/**
 * Plate cams with a translating round-nose follower: pitch curve, profile, pressure angle, curvature.
 *
 * With r₀ the prime radius (base + nose), e the offset (positive to the left of the slide), q = √(r₀² − e²) + s and
 * ′ = d/dψ, the pitch point in the cam's frame is q·u + e·l, u = (cos ψ, sin ψ), l = (−sin ψ, cos ψ);
 *   tan α = (s′ − e)/q;
 *   ρ = [(s′ − e)² + q²]^(3/2) / [(s′ − e)(2s′ − e) + q² − q·s″], convex positive;
 * and the cam touches the nose at the pitch point less nose·(cos α·u − sin α·l). Derived from the pitch curve's
 * first and second derivatives; the same as any handbook of cam design gives.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { Extreme, FollowedLift } from '../figures.ts';
import type { Motion } from '../motion/laws.ts';
import { greatestOf, type Measure, type Run, runsOf, type Survey, survey } from './flanks.ts';
import { leastFrom } from './search.ts';

/** What rides on a cam: a round nose (mm) on a slide at `offset`, whose centre stands at `prime` when lowered. */
export interface RoundNose {
  readonly prime: number;
  readonly offset: number;
  readonly nose: number;
}

/** Distance of the nose's centre along its slide when lowered. */
const lowered = (prime: number, offset: number): number => Math.sqrt(prime * prime - offset * offset);

/** Signed pressure angle, rad; positive where s′ > e. */
export function pressureAngle({ prime, offset }: RoundNose, { lift, slope }: Motion): number {
  return Math.atan2(slope - offset, lowered(prime, offset) + lift);
}

/** 1/ρ of the pitch curve, convex positive. */
export function pitchCurvature({ prime, offset }: RoundNose, { lift, slope, curve }: Motion): number {
  const q = lowered(prime, offset) + lift;
  const across = slope - offset;
  const square = across * across + q * q;
  return (square + across * slope - q * curve) / (square * Math.sqrt(square));
}

/** The nose's centre in the cam's frame when `psi` lies under it. */
export function pitchPoint({ prime, offset }: RoundNose, { lift }: Motion, psi: number): Point {
  const q = lowered(prime, offset) + lift;
  const c = Math.cos(psi);
  const s = Math.sin(psi);
  return { x: q * c - offset * s, y: q * s + offset * c };
}

// ---- the shape of a cam ----------------------------------------------------------------------

export interface CamShape {
  readonly pressureAngle: Extreme;
  readonly flankAngles: readonly (readonly [number, number])[];
  readonly pitchCurvature: { readonly convexMin?: Extreme; readonly concaveMin?: Extreme };
  readonly profileCurvature: { readonly convexMin?: Extreme };
}

/** Pressure angles and curvatures over the whole turn. Undefined where the slide passes beside the prime circle. */
export function shapeOf(lift: FollowedLift, rider: RoundNose): CamShape | undefined {
  if (!(rider.prime > Math.abs(rider.offset))) return undefined;
  const told = `under a round nose ${rider.prime} ${rider.offset}`;
  return roundShape(
    rider.nose,
    survey(lift, rider.offset !== 0, [
      { told: `pressure angle ${told}`, of: (at) => Math.abs(pressureAngle(rider, at)) },
      { told: `convex ${told}`, of: (at) => pitchCurvature(rider, at) },
      { told: `concave ${told}`, of: (at) => -pitchCurvature(rider, at) },
    ]),
  );
}

/** The shape that surveys of |pressure angle|, curvature and its negative make, under a round nose. */
export function roundShape(nose: number, [pressure, convex, concave]: readonly Survey[]): CamShape {
  const convexMin = radiusOf(convex.most);
  const concaveMin = radiusOf(concave.most);
  return {
    pressureAngle: pressure.most,
    flankAngles: pressure.flanks,
    pitchCurvature: { ...(convexMin && { convexMin }), ...(concaveMin && { concaveMin }) },
    profileCurvature: convexMin ? { convexMin: { ...convexMin, value: Math.max(0, convexMin.value - nose) } } : {},
  };
}

const radiusOf = ({ value, at }: Extreme): Extreme | undefined => (value > 0 ? { value: 1 / value, at } : undefined);

// ---- what would do ------------------------------------------------------------------------------

/**
 * The least base radius of the profile at which the pressure angle nowhere exceeds `limit` and every convex radius
 * of the pitch curve is above the nose. Undefined where none up to 10 m would do.
 */
export function smallestBase(
  lift: FollowedLift,
  { offset, nose }: Omit<RoundNose, 'prime'>,
  limit: number,
): number | undefined {
  const tan = Math.tan(limit);
  if (!(tan > 0)) return undefined;
  const distance: Measure = {
    told: `distance for pressure ${offset} ${tan}`,
    of: (at) => Math.abs(at.slope - offset) / tan - at.lift,
  };
  const runs = new Set(runsOf(lift, offset !== 0).flat());
  let reach = lift.always ? Math.abs(offset) / tan - lift.stroke : Math.abs(offset) / tan;
  for (const run of runs) reach = Math.max(reach, greatestOf(run, lift.stroke, distance)?.value ?? 0);
  const byPressure = Math.max(nose, Math.hypot(Math.max(0, reach), offset));
  const round = (at: Motion, prime: number) => pitchCurvature({ prime, offset, nose }, at) * nose <= 1;
  let prime = byPressure;
  for (const run of runs) {
    const needed = greatestOf(run, lift.stroke, {
      told: `prime for radius ${byPressure} ${offset} ${nose}`,
      of: (at) => leastFrom(byPressure, (p) => round(at, p)),
    });
    prime = Math.max(prime, needed?.value ?? 0);
  }
  return Number.isFinite(prime) ? prime - nose : undefined;
}

/**
 * The least angle of all rises and falls that keeps the same two limits at the given prime radius. Undefined where
 * even half a turn would not do, or the follower never moves.
 */
export function shortestTravel(lift: FollowedLift, rider: RoundNose, limit: number): number | undefined {
  const { prime, offset, nose } = rider;
  const tan = Math.tan(limit);
  if (!(tan > 0) || !(prime > Math.abs(offset)) || lift.lobes.length === 0) return undefined;
  const rest = Math.sqrt(prime * prime - offset * offset);
  if (Math.abs(offset) > tan * rest) return undefined;
  const unit = lift.stroke;
  let travel = 0;
  for (const run of new Set(runsOf(lift, offset !== 0).flat())) {
    // A run of width 1: slope and curve then scale with 1/width and 1/width².
    const plain: Run = { ...run, width: 1, spans: [[0, 1]] };
    const byPressure = greatestOf(plain, unit, {
      told: `travel for pressure ${prime} ${offset} ${tan}`,
      of: ({ lift: s, slope }) => {
        const room = tan * (rest + s) + run.sense * offset;
        return room > 0 ? Math.abs(slope) / room : Infinity;
      },
    })!.value;
    const byRadius = greatestOf(plain, unit, {
      told: `travel for radius ${byPressure} ${prime} ${offset} ${nose}`,
      of: ({ lift: s, slope, curve }) =>
        leastFrom(
          byPressure,
          (w) => pitchCurvature(rider, { lift: s, slope: slope / w, curve: curve / (w * w) }) * nose <= 1,
        ),
    })!.value;
    travel = Math.max(travel, byPressure, byRadius);
  }
  return travel <= Math.PI ? travel : undefined;
}

/**
 * The greatest nose below `nose` under which no convex radius of the pitch curve is smaller, to a thousandth of it, by
 * the shape that each nose makes. Undefined where it would be steeper than `limit`, as the prime radius shrinks with it.
 */
export function largestNose(
  nose: number,
  shapeUnder: (nose: number) => CamShape | undefined,
  limit: number,
): number | undefined {
  const isWhole = (shape: CamShape | undefined) => shape?.profileCurvature.convexMin?.value !== 0;
  let [fits, tooLarge] = [0, nose];
  for (let i = 0; i < 10; i++) {
    const middle = (fits + tooLarge) / 2;
    if (isWhole(shapeUnder(middle))) fits = middle;
    else tooLarge = middle;
  }
  const shape = fits > 0 ? shapeUnder(fits) : undefined;
  return shape && shape.pressureAngle.value <= limit ? fits : undefined;
}
