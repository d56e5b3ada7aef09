/**
 * The one followed lift of a cam: how a program of lobes is read at any cam angle, and where its flanks collide.
 *
 * Where lobes overlap the lift is their maximum; where the profile is undercut, the nose turns on the corner that is
 * left. A lobe whose fall starts before its rise has ended is cut short:
 * its flanks meet at `from` = `to`, below the full stroke.
 */
import type { Law } from '../../../language/mechanism.ts';
import type { Corner, Cut, FollowedLift, Lobe, LobeFlank, Swing } from '../figures.ts';
import { turn, wrapped } from './angles.ts';
import { type Motion, motion, type Stretch, stretches } from './laws.ts';

/** The cam angle under a follower, `t` steps from home, in 0 ≤ ψ < 2π. */
export const camAngle = (azimuth: number, step: number, t: number): number => wrapped(azimuth - step * t);

/** The angle that the whole motion of a flank would take; more than its width where it is cut short. */
export const wholeWidth = (flank: LobeFlank): number => flank.whole ?? flank.width;

/** Share of the stroke that a lobe reaches: 1 unless its flanks meet before. */
export const reach = ({ before }: Lobe): number =>
  before.whole === undefined ? 1 : motion(stretches(before.law), before.width / before.whole).lift;

/** Where a lobe begins to rise and has fallen, counter-clockwise. */
export const startOf = (lobe: Lobe): number => lobe.from - lobe.before.width;
export const endOf = (lobe: Lobe): number => lobe.to + lobe.after.width;

/** Whether a flank reaches past its neighbour's, so that any lobe may lie over any other. */
export function tangled(lobes: readonly Lobe[]): boolean {
  return (
    lobes.length > 1 &&
    lobes.some((lobe, i) => {
      const next = lobes[(i + 1) % lobes.length];
      const ahead = i + 1 === lobes.length ? turn : 0;
      return endOf(lobe) > next.from + ahead || startOf(next) + ahead < lobe.to;
    })
  );
}

/** The followed lift (mm) at `psi`, slope (mm/rad) and curve (mm/rad²); at a joint the curve of one of its sides. */
export function liftAt(lift: FollowedLift, psi: number): Motion {
  const corner = lift.cut && cornerUnder(lift.cut, psi);
  return corner ? onCorner(lift.cut!, corner, psi) : programmedAt(lift, psi);
}

const cornerStarts = new WeakMap<Cut, Float64Array>();

/** The corner of an undercut profile that is ridden on, if any. */
function cornerUnder(cut: Cut, psi: number): Corner | undefined {
  let starts = cornerStarts.get(cut);
  if (!starts) {
    starts = Float64Array.from(cut.corners, (corner) => corner.from);
    cornerStarts.set(cut, starts);
  }
  const angle = wrapped(psi);
  const corner = cut.corners[precedent(starts, angle)];
  return wrapped(angle - corner.from) <= corner.to - corner.from ? corner : undefined;
}

/** A round nose's centre stands `nose` from the corner, on its slide or arm; a flat face lies on the corner. */
export function onCorner({ nose, offset, lowered, swing }: Cut, { x, y }: Corner, psi: number): Motion {
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  const along = x * c + y * s;
  const left = y * c - x * s;
  if (swing) return swungOnCorner(swing, nose!, along, left);
  if (nose === undefined) return { lift: along - lowered, slope: left, curve: -along };
  const aside = left - offset;
  const rise = Math.sqrt(Math.max(0, nose * nose - aside * aside)) || Number.MIN_VALUE;
  const turned = (along * aside) / rise;
  return {
    lift: along + rise - lowered,
    slope: left + turned,
    curve: -along + (aside * left - along * along - turned * turned) / rise,
  };
}

/**
 * The nose's centre F lies `arm` from the pivot and `nose` from the corner P, on the outer side. From |F − P| = nose,
 * with F′ = s′D, F″ = s″D + s′²(pivot − F)/arm², P′ = −z×P, P″ = −P; derived.
 */
function swungOnCorner({ pivot, arm, start, side }: Swing, nose: number, x: number, y: number): Motion {
  const [dx, dy] = [x - pivot.x, y - pivot.y];
  const reach = Math.hypot(dx, dy);
  const cosine = (arm * arm + reach * reach - nose * nose) / (2 * arm * reach);
  const angle = Math.atan2(dy, dx) + side * Math.acos(Math.min(1, Math.max(-1, cosine)));
  const swung = wrapped(side * (angle - start) + Math.PI) - Math.PI;
  const [ax, ay] = [Math.cos(angle), Math.sin(angle)];
  const [nx, ny] = [pivot.x + arm * ax - x, pivot.y + arm * ay - y];
  const [aheadX, aheadY] = [-side * ay, side * ax];
  const push = nx * aheadX + ny * aheadY || Number.MIN_VALUE;
  const slope = (nx * y - ny * x) / push;
  const [vx, vy] = [slope * aheadX - y, slope * aheadY + x];
  const bend = (slope * slope) / arm;
  const curve = (bend * (nx * ax + ny * ay) - nx * x - ny * y - vx * vx - vy * vy) / push;
  return { lift: arm * swung, slope, curve };
}

function programmedAt(lift: FollowedLift, psi: number): Motion {
  if (lift.always) return { lift: lift.stroke, slope: 0, curve: 0 };
  const { lobes, froms, sectors } = programOf(lift);
  if (lobes.length === 0) return down;
  const angle = wrapped(psi);
  if (sectors) {
    let best = down;
    for (const lobe of sectors[sectorOf(angle, sectors.length)]) best = higher(best, ofLobe(lobe, angle));
    return scaled(best, lift.stroke);
  }
  const last = lobes.length - 1;
  const before = precedent(froms, angle);
  const next = before === last ? 0 : before + 1;
  const here = ofLobe(lobes[before], angle);
  return scaled(next === before ? here : higher(here, ofLobe(lobes[next], angle)), lift.stroke);
}

// ---- the program of a lift, worked out once ------------------------------------------

interface CompiledLobe {
  readonly start: number;
  readonly rest: number;
  readonly fall: number;
  readonly length: number;
  readonly before: { readonly whole: number; readonly law: readonly Stretch[] };
  readonly after: { readonly whole: number; readonly law: readonly Stretch[] };
}

interface Program {
  readonly lobes: readonly CompiledLobe[];
  readonly froms: Float64Array;
  /** Where any lobe may lie over any other: those that reach into each of the turn's equal sectors. */
  readonly sectors?: readonly (readonly CompiledLobe[])[];
}

const programs = new WeakMap<FollowedLift, Program>();

function programOf(lift: FollowedLift): Program {
  let program = programs.get(lift);
  if (!program) {
    const lobes = lift.lobes.map(compiled);
    program = {
      lobes,
      froms: Float64Array.from(lift.lobes, (lobe) => lobe.from),
      ...(tangled(lift.lobes) && !nextIsHighest(lift.lobes) && { sectors: sectorsOf(lobes) }),
    };
    programs.set(lift, program);
  }
  return program;
}

const sectorOf = (angle: number, count: number): number => Math.min(count - 1, Math.floor((angle / turn) * count));

function sectorsOf(lobes: readonly CompiledLobe[]): CompiledLobe[][] {
  const sectors = Array.from({ length: 4 * lobes.length }, (): CompiledLobe[] => []);
  for (const lobe of lobes) {
    const first = sectorOf(lobe.start, sectors.length);
    // One more at the end, for what rounding puts across a border.
    const reached = Math.min(sectors.length, Math.ceil((lobe.length / turn) * sectors.length) + 2);
    for (let i = 0; i < reached; i++) sectors[(first + i) % sectors.length].push(lobe);
  }
  return sectors;
}

/**
 * Where all lobes have flanks alike and their full parts lie apart, however long the flanks are: between two full
 * parts none rises above the next one's flank or falls slower than that of the last.
 */
function nextIsHighest(lobes: readonly Lobe[]): boolean {
  const alike = (one: LobeFlank, other: LobeFlank) =>
    Math.abs(one.width - other.width) < 1e-12 && one.whole === other.whole && sameLaw(one.law, other.law);
  return lobes.every((lobe, i) => {
    const wraps = i + 1 === lobes.length;
    const next = lobes[wraps ? 0 : i + 1];
    const apart = lobe.to <= next.from + (wraps ? turn : 0);
    return apart && alike(lobe.before, next.before) && alike(lobe.after, next.after);
  });
}

const sameLaw = (one: Law, other: Law): boolean => one === other || JSON.stringify(one) === JSON.stringify(other);

function compiled(lobe: Lobe): CompiledLobe {
  const fall = lobe.before.width + (lobe.to - lobe.from);
  return {
    start: wrapped(startOf(lobe)),
    rest: lobe.before.width,
    fall,
    length: fall + lobe.after.width,
    before: { whole: wholeWidth(lobe.before), law: stretches(lobe.before.law) },
    after: { whole: wholeWidth(lobe.after), law: stretches(lobe.after.law) },
  };
}

const down: Motion = { lift: 0, slope: 0, curve: 0 };

const higher = (a: Motion, b: Motion): Motion => (b.lift > a.lift ? b : a);

const scaled = ({ lift, slope, curve }: Motion, stroke: number): Motion => ({
  lift: lift * stroke,
  slope: slope * stroke,
  curve: curve * stroke,
});

/** Index of the last of the sorted angles at or before this one, round the turn. */
function precedent(froms: Float64Array, angle: number): number {
  let low = 0;
  let high = froms.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (froms[middle] <= angle) low = middle + 1;
    else high = middle;
  }
  return low === 0 ? froms.length - 1 : low - 1;
}

function ofLobe(lobe: CompiledLobe, angle: number): Motion {
  const along = angle - lobe.start + (angle < lobe.start ? turn : 0);
  const first = alongLobe(lobe, along);
  return lobe.length > turn ? higher(first, alongLobe(lobe, along + turn)) : first;
}

function alongLobe(lobe: CompiledLobe, along: number): Motion {
  if (along <= 0 || along >= lobe.length) return down;
  if (along < lobe.rest) {
    const { whole, law } = lobe.before;
    const { lift, slope, curve } = motion(law, along / whole);
    return { lift, slope: slope / whole, curve: curve / (whole * whole) };
  }
  if (along > lobe.fall) {
    const { whole, law } = lobe.after;
    const { lift, slope, curve } = motion(law, (lobe.length - along) / whole);
    return { lift, slope: -slope / whole, curve: curve / (whole * whole) };
  }
  const { whole, law } = lobe.before;
  return lobe.rest < whole ? { lift: motion(law, lobe.rest / whole).lift, slope: 0, curve: 0 } : up;
}

const up: Motion = { lift: 1, slope: 0, curve: 0 };
