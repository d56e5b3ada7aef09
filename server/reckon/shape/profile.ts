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
import type { Law, Point } from '../../../language/mechanism.ts';
import type { Extreme, FollowedLift, Lobe, LobeFlank } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { type Motion, motion, stretches } from '../motion/laws.ts';
import { endOf, liftAt, startOf, tangled, wholeWidth } from '../motion/lift.ts';
import { greatest } from './search.ts';

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
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  return { x: q * c - offset * s, y: q * s + offset * c };
}

/** Where the cam touches the nose, in the cam's frame. */
export function contactPoint(rider: RoundNose, at: Motion, psi: number): Point {
  const centre = pitchPoint(rider, at, psi);
  const normal = psi - pressureAngle(rider, at);
  return { x: centre.x - rider.nose * Math.cos(normal), y: centre.y - rider.nose * Math.sin(normal) };
}

/** `count` points of the profile, evenly spaced in cam angle, counter-clockwise from cam angle 0; not trimmed. */
export function profileOutline(lift: FollowedLift, rider: RoundNose, count = 360): Point[] {
  return Array.from({ length: count }, (_, i) => {
    const psi = (i * turn) / count;
    return contactPoint(rider, liftAt(lift, psi), psi);
  });
}

// ---- flanks -------------------------------------------------------------------------------

/**
 * A flank as it is followed: x grows from 0 where the follower is down. `sense` +1: rises counter-clockwise.
 * Where others overlap it, only the spans of x in which it is the higher one count.
 */
interface Run {
  readonly law: Law;
  readonly width: number;
  readonly sense: 1 | -1;
  readonly spans: readonly (readonly [number, number])[];
}

/** The two runs of every lobe (before, after); those alike are one object, so that they are reckoned once. */
function runsOf(lift: FollowedLift, offset: number): (readonly [Run, Run])[] {
  const { lobes } = lift;
  const alike = { 1: new Map<LobeFlank, Run>(), [-1]: new Map<LobeFlank, Run>() };
  const free = (flank: LobeFlank, sense: 1 | -1): Run => {
    const side = offset === 0 ? 1 : sense;
    let run = alike[side].get(flank);
    if (!run) {
      const width = wholeWidth(flank);
      run = { law: flank.law, width, sense: side, spans: [[0, flank.width / width]] };
      alike[side].set(flank, run);
    }
    return run;
  };
  const count = lobes.length;
  const almost = 1e-9;
  const touched = lobes.map((lobe, i) => {
    const next = lobes[(i + 1) % count];
    return endOf(lobe) > startOf(next) + (i + 1 === count ? turn : 0) + almost;
  });
  const deep = tangled(lobes);
  return lobes.map((lobe, i) => {
    const before = deep || touched[(i + count - 1) % count];
    const after = deep || touched[i];
    return [
      before ? overlain(lift, lobe, 1) : free(lobe.before, 1),
      after ? overlain(lift, lobe, -1) : free(lobe.after, -1),
    ] as const;
  });
}

/** The run of a flank that others overlap. */
function overlain(lift: FollowedLift, lobe: Lobe, sense: 1 | -1): Run {
  const flank = sense > 0 ? lobe.before : lobe.after;
  const width = wholeWidth(flank);
  const law = stretches(flank.law);
  const foot = sense > 0 ? startOf(lobe) : endOf(lobe);
  const highest = (x: number) =>
    lift.stroke * motion(law, x).lift >= liftAt(lift, foot + sense * x * width).lift - 1e-9 * lift.stroke;
  const end = flank.width / width;
  const samples = 128;
  const spans: [number, number][] = [];
  let since = highest(0) ? 0 : undefined;
  for (let i = 1; i <= samples; i++) {
    const x = (end * i) / samples;
    const now = highest(x);
    if (now === (since !== undefined)) continue;
    let [from, to] = [(end * (i - 1)) / samples, x];
    for (let j = 0; j < 40; j++) {
      const middle = (from + to) / 2;
      if (highest(middle) === now) to = middle;
      else from = middle;
    }
    if (since === undefined) since = to;
    else {
      spans.push([since, from]);
      since = undefined;
    }
  }
  if (since !== undefined) spans.push([since, end]);
  return { law: flank.law, width, sense, spans };
}

/** The greatest of `value` over what is followed of a run, from either side of its joints; `at` is x. */
function greatestOf(run: Run, stroke: number, value: (at: Motion) => number): Extreme | undefined {
  let best: Extreme | undefined;
  const slope = (run.sense * stroke) / run.width;
  const curve = stroke / (run.width * run.width);
  for (const part of stretches(run.law)) {
    const f = (x: number) => {
      const at = part.at(x);
      return value({ lift: stroke * at.lift, slope: slope * at.slope, curve: curve * at.curve });
    };
    for (const [from, to] of run.spans) {
      const [a, b] = [Math.max(from, part.from), Math.min(to, part.to)];
      if (a > b) continue;
      const peak = greatest(f, a, b);
      if (!best || peak.value > best.value) best = peak;
    }
  }
  return best;
}

// ---- the shape of a cam ----------------------------------------------------------------------

export interface CamShape {
  readonly pressureAngle: Extreme;
  readonly flankAngles: readonly (readonly [number, number])[];
  readonly pitchCurvature: { readonly convexMin?: Extreme; readonly concaveMin?: Extreme };
  readonly profileCurvature: { readonly convexMin?: Extreme };
}

interface RunShape {
  readonly pressure?: Extreme;
  readonly convex?: Extreme;
  readonly concave?: Extreme;
}

/** Pressure angles and curvatures over the whole turn. Undefined where the slide passes beside the prime circle. */
export function shapeOf(lift: FollowedLift, rider: RoundNose): CamShape | undefined {
  const { prime, offset, nose } = rider;
  if (!(prime > Math.abs(offset))) return undefined;
  const shapes = new Map<Run, RunShape>();
  const shape = (run: Run): RunShape => {
    let known = shapes.get(run);
    if (!known) {
      known = {
        pressure: greatestOf(run, lift.stroke, (at) => Math.abs(pressureAngle(rider, at))),
        convex: greatestOf(run, lift.stroke, (at) => pitchCurvature(rider, at)),
        concave: greatestOf(run, lift.stroke, (at) => -pitchCurvature(rider, at)),
      };
      shapes.set(run, known);
    }
    return known;
  };

  let pressure: Extreme | undefined;
  let convex: Extreme | undefined;
  let concave: Extreme | undefined;
  const flankAngles = runsOf(lift, offset).map((runs, i) => {
    const lobe = lift.lobes[i];
    const angles = runs.map((run, side) => {
      const psi = (x: number) => wrapped(side === 0 ? startOf(lobe) + x * run.width : endOf(lobe) - x * run.width);
      const better = (best: Extreme | undefined, found: Extreme | undefined): Extreme | undefined =>
        found && (!best || found.value > best.value) ? { value: found.value, at: psi(found.at) } : best;
      const found = shape(run);
      pressure = better(pressure, found.pressure);
      convex = better(convex, found.convex);
      concave = better(concave, found.concave);
      return found.pressure?.value ?? 0;
    });
    return [angles[0], angles[1]] as const;
  });

  for (const { lift: height, at } of dwells(lift)) {
    const still: Motion = { lift: height, slope: 0, curve: 0 };
    const angle = Math.abs(pressureAngle(rider, still));
    const curvature = pitchCurvature(rider, still);
    if (!pressure || angle > pressure.value) pressure = { value: angle, at };
    if (!convex || curvature > convex.value) convex = { value: curvature, at };
  }

  const radius = (curvature: Extreme | undefined): Extreme | undefined =>
    curvature && curvature.value > 0 ? { value: 1 / curvature.value, at: curvature.at } : undefined;
  const convexMin = radius(convex);
  const concaveMin = radius(concave);
  return {
    pressureAngle: pressure!,
    flankAngles,
    pitchCurvature: { ...(convexMin && { convexMin }), ...(concaveMin && { concaveMin }) },
    profileCurvature: convexMin ? { convexMin: { ...convexMin, value: Math.max(0, convexMin.value - nose) } } : {},
  };
}

/** The heights at which the follower stays for an angle, each with the middle of one such angle. */
function dwells(lift: FollowedLift): { lift: number; at: number }[] {
  const { lobes, stroke, always } = lift;
  if (lobes.length === 0) return [{ lift: always ? stroke : 0, at: 0 }];
  const almost = 1e-9;
  const raised = lobes.find((lobe) => lobe.to - lobe.from > almost);
  const gap = (lobe: Lobe, i: number) =>
    startOf(lobes[(i + 1) % lobes.length]) + (i + 1 === lobes.length ? turn : 0) - endOf(lobe);
  const last = lobes.findIndex((lobe, i) => gap(lobe, i) > almost);
  return [
    ...(last >= 0 ? [{ lift: 0, at: wrapped(endOf(lobes[last]) + gap(lobes[last], last) / 2) }] : []),
    ...(raised ? [{ lift: stroke, at: wrapped((raised.from + raised.to) / 2) }] : []),
  ];
}

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
  const distance = (at: Motion) => Math.abs(at.slope - offset) / tan - at.lift;
  const runs = new Set(runsOf(lift, offset).flat());
  let reach = lift.always ? Math.abs(offset) / tan - lift.stroke : Math.abs(offset) / tan;
  for (const run of runs) reach = Math.max(reach, greatestOf(run, lift.stroke, distance)?.value ?? 0);
  const byPressure = Math.max(nose, Math.hypot(Math.max(0, reach), offset));
  const round = (at: Motion, prime: number) => pitchCurvature({ prime, offset, nose }, at) * nose <= 1;
  let prime = byPressure;
  for (const run of runs) {
    const needed = greatestOf(run, lift.stroke, (at) => leastFrom(byPressure, (p) => round(at, p)));
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
  for (const run of new Set(runsOf(lift, offset).flat())) {
    // A run of width 1: slope and curve then scale with 1/width and 1/width².
    const plain: Run = { ...run, width: 1, spans: [[0, 1]] };
    const byPressure = greatestOf(plain, unit, ({ lift: s, slope }) => {
      const room = tan * (rest + s) + run.sense * offset;
      return room > 0 ? Math.abs(slope) / room : Infinity;
    })!.value;
    const byRadius = greatestOf(plain, unit, ({ lift: s, slope, curve }) =>
      leastFrom(
        byPressure,
        (w) => pitchCurvature(rider, { lift: s, slope: slope / w, curve: curve / (w * w) }) * nose <= 1,
      ),
    )!.value;
    travel = Math.max(travel, byPressure, byRadius);
  }
  return travel <= Math.PI ? travel : undefined;
}

/** The least value from `low` up at which `holds`, taken to hold ever after; infinite beyond ten thousand. */
function leastFrom(low: number, holds: (value: number) => boolean): number {
  if (holds(low)) return low;
  let from = low;
  let to = Math.max(2 * low, 1e-3);
  while (!holds(to)) {
    if (to > 1e4) return Infinity;
    from = to;
    to *= 2;
  }
  for (let i = 0; i < 50; i++) {
    const middle = (from + to) / 2;
    if (holds(middle)) to = middle;
    else from = middle;
  }
  return to;
}
