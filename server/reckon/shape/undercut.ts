/**
 * What undercut leaves of a lift. The cutter follows the programmed lift; where its path bends more sharply than the
 * nose is round, it cuts away what it left before, and the profile keeps a corner. On that corner the nose (or the
 * flat face) turns, lower than programmed.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { Corner, Cut, Extreme, FollowedLift, LobeFlank } from '../figures.ts';
import { radians, turn, wrapped } from '../motion/angles.ts';
import { type Motion, stretches } from '../motion/laws.ts';
import { liftAt, onCorner, startOf } from '../motion/lift.ts';
import { contactPoint, pitchCurvature, pitchPoint, type RoundNose } from './profile.ts';
import { greatest } from './search.ts';

/** What cuts: a round nose, or a flat face `base` from the shaft when lowered. */
export type Cutter = ({ readonly kind: 'round' } & RoundNose) | { readonly kind: 'flat'; readonly base: number };

/** One stand of the cutter. */
interface Stand {
  readonly touch: Point;
  /** d(touch)/dψ. */
  readonly along: Point;
  /** How far it cuts into the point; negative leaves it. */
  readonly into: (p: Point) => number;
}

/** How the contact goes forward with the cam angle: negative where it runs back. A share of the path, or mm/rad. */
function advance(cutter: Cutter, at: Motion): number {
  return cutter.kind === 'flat' ? cutter.base + at.lift + at.curve : 1 - pitchCurvature(cutter, at) * cutter.nose;
}

function standAt(lift: FollowedLift, cutter: Cutter, psi: number): Stand {
  const at = liftAt(lift, psi);
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  if (cutter.kind === 'flat') {
    const height = cutter.base + at.lift;
    const speed = advance(cutter, at);
    return {
      touch: { x: height * c - at.slope * s, y: height * s + at.slope * c },
      along: { x: -speed * s, y: speed * c },
      into: ({ x, y }) => x * c + y * s - height,
    };
  }
  const { prime, offset, nose } = cutter;
  const centre = pitchPoint(cutter, at, psi);
  const speed = advance(cutter, at);
  const [out, ahead] = [(at.slope - offset) * speed, (Math.sqrt(prime * prime - offset * offset) + at.lift) * speed];
  return {
    touch: contactPoint(cutter, at, psi),
    along: { x: out * c - ahead * s, y: out * s + ahead * c },
    into: ({ x, y }) => nose - Math.hypot(x - centre.x, y - centre.y),
  };
}

/**
 * The corners that the cutter leaves; none where it takes nothing away. `sharp`: somewhere its path bends more sharply
 * than it is round.
 */
export function cutOf(lift: FollowedLift, cutter: Cutter, sharp: boolean): Cut | undefined {
  const corners = cornersOf(lift, cutter, sharp).sort((a, b) => a.from - b.from);
  if (corners.length === 0) return undefined;
  if (cutter.kind === 'flat') return { offset: 0, lowered: cutter.base, corners };
  const { prime, offset, nose } = cutter;
  return { nose, offset, lowered: Math.sqrt(prime * prime - offset * offset), corners };
}

/** The most that the cut takes of the programmed lift. */
export function lostLift(programmed: FollowedLift, cut: Cut | undefined): Extreme {
  let most: Extreme = { value: 0, at: 0 };
  for (const corner of cut?.corners ?? []) {
    const lost = (psi: number) => liftAt(programmed, psi).lift - onCorner(cut!, corner, psi).lift;
    const here = greatest(lost, corner.from, corner.to, 16);
    if (here.value > most.value) most = { value: here.value, at: wrapped(here.at) };
  }
  return most;
}

/** Whether a flank ends at the top without slowing down, so that the cutter's path has a corner there. */
const abrupt = ({ law, whole }: LobeFlank): boolean => whole !== undefined || stretches(law).at(-1)!.at(1).slope > 0;

/** Cam angles at which the cutter takes away what it cuts: corners of its path, and bends sharper than it is round. */
function troubles(lift: FollowedLift, cutter: Cutter, sharp: boolean): number[] {
  const samples = sharp ? 64 : -1;
  return lift.lobes.flatMap((lobe) => {
    const found: number[] = [];
    for (let i = 0; i <= samples; i++) {
      const share = (i + 1e-6) / (samples + 2e-6);
      for (const psi of [startOf(lobe) + share * lobe.before.width, lobe.to + share * lobe.after.width]) {
        if (advance(cutter, liftAt(lift, psi)) < 0) found.push(wrapped(psi));
      }
    }
    if (abrupt(lobe.before)) found.push(wrapped(lobe.from));
    if (abrupt(lobe.after)) found.push(wrapped(lobe.to));
    return found;
  });
}

function cornersOf(lift: FollowedLift, cutter: Cutter, sharp: boolean): Corner[] {
  const spots = troubles(lift, cutter, sharp);
  if (spots.length === 0) return [];
  // Stands farther apart than this cannot cut each other's contact.
  const far =
    cutter.kind === 'flat'
      ? Math.acos(cutter.base / (cutter.base + lift.stroke))
      : 2 * Math.asin(Math.min(1, cutter.nose / cutter.prime));
  const count = Math.round(turn / Math.max(radians(0.2), far / 60));
  const step = turn / count;
  const reach = Math.min(Math.ceil(far / step), (count - 1) >> 1);
  const stands: (Stand | undefined)[] = new Array(count);
  const stand = (i: number): Stand => {
    const k = ((i % count) + count) % count;
    stands[k] ??= standAt(lift, cutter, k * step);
    return stands[k];
  };
  const lost = (i: number): boolean => {
    const { touch } = stand(i);
    for (let j = 1; j <= reach; j++) {
      if (stand(i - j).into(touch) > almost || stand(i + j).into(touch) > almost) return true;
    }
    return false;
  };
  const corners: Corner[] = [];
  for (const spot of spots) {
    if (corners.some(({ from, to }) => wrapped(spot - from + step) <= to - from + 2 * step)) continue;
    const here = Math.floor(spot / step);
    const start = [here, here + 1].find(lost);
    if (start === undefined) continue;
    let [from, to] = [start - 1, start + 1];
    while (to - from < count && lost(from)) from--;
    while (to - from < count && lost(to)) to++;
    if (to - from < count) corners.push(crossing(lift, cutter, from * step, to * step, step));
  }
  return corners;
}

const almost = 1e-9;

/** Where the profile before `from` and after `to` crosses itself, within a step of both (by Newton). */
function crossing(lift: FollowedLift, cutter: Cutter, from: number, to: number, step: number): Corner {
  let [a, b] = [from, to];
  for (let i = 0; i < 30; i++) {
    const [one, two] = [standAt(lift, cutter, a), standAt(lift, cutter, b)];
    const [dx, dy] = [two.touch.x - one.touch.x, two.touch.y - one.touch.y];
    const area = two.along.x * one.along.y - one.along.x * two.along.y;
    if (Math.hypot(dx, dy) < 1e-12 || area === 0) break;
    const within = (value: number, near: number) => Math.min(near + step, Math.max(near - step, value));
    a = within(a + (two.along.x * dy - two.along.y * dx) / area, from);
    b = within(b + (one.along.x * dy - one.along.y * dx) / area, to);
  }
  const [one, two] = [standAt(lift, cutter, a).touch, standAt(lift, cutter, b).touch];
  const start = wrapped(a);
  return { from: start, to: start + (b - a), x: (one.x + two.x) / 2, y: (one.y + two.y) / 2 };
}
