/**
 * What undercut leaves of a lift. The cutter follows the programmed lift; where its path bends more sharply than the
 * nose is round, it cuts away what it left before, and the profile keeps a corner. On that corner the nose (or the
 * flat face) turns, lower than programmed.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { Corner, Cut, Extreme, FollowedLift, LobeFlank } from '../figures.ts';
import { radians, turn, wrapped } from '../motion/angles.ts';
import { type Motion, peaks, stretches } from '../motion/laws.ts';
import { liftAt, onCorner, startOf, wholeWidth } from '../motion/lift.ts';
import { contactPoint, pitchCurvature, pitchPoint, type RoundNose } from './profile.ts';
import { greatest } from './search.ts';

/** What cuts: a round nose, or a flat face `base` from the shaft when lowered. */
export type Cutter = ({ readonly kind: 'round' } & RoundNose) | { readonly kind: 'flat'; readonly base: number };

/**
 * A contact of the cutter: where it stands, and which way its path goes there. At a hollow corner of the path the
 * cutter stands still while the contact goes round it, from one slope to the other.
 */
interface Contact {
  readonly psi: number;
  readonly at: Motion;
}

const contactAt = (lift: FollowedLift, psi: number): Contact => ({ psi, at: liftAt(lift, psi) });

/** The contact a share of the way from one to the next. */
function between(lift: FollowedLift, from: Contact, to: Contact, share: number): Contact {
  if (from.psi !== to.psi) return contactAt(lift, from.psi + share * (to.psi - from.psi));
  const slope = from.at.slope + share * (to.at.slope - from.at.slope);
  return { psi: from.psi, at: { ...from.at, slope } };
}

/** The point that is touched. */
function touch(cutter: Cutter, { psi, at }: Contact): Point {
  if (cutter.kind === 'round') return contactPoint(cutter, at, psi);
  const height = cutter.base + at.lift;
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  return { x: height * c - at.slope * s, y: height * s + at.slope * c };
}

/** The way of the touched point from one contact to the next, at a contact between them. */
function way(cutter: Cutter, from: Contact, to: Contact, { psi, at }: Contact): Point {
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  const [turned, tilted] = [to.psi - from.psi, to.at.slope - from.at.slope];
  if (cutter.kind === 'flat') {
    const ahead = turned === 0 ? tilted : turned * (cutter.base + at.lift + at.curve);
    return { x: -ahead * s, y: ahead * c };
  }
  const { prime, offset, nose } = cutter;
  const across = at.slope - offset;
  const q = Math.sqrt(prime * prime - offset * offset) + at.lift;
  const length = Math.hypot(across, q);
  const ahead = turned === 0 ? (nose * q * tilted) / length ** 3 : turned * (1 - pitchCurvature(cutter, at) * nose);
  return { x: ahead * (across * c - q * s), y: ahead * (across * s + q * c) };
}

/** How far the cutter in its stand at the contact cuts into a point; negative leaves it. */
function into(cutter: Cutter, { psi, at }: Contact): (p: Point) => number {
  if (cutter.kind === 'flat') {
    const [c, s] = [Math.cos(psi), Math.sin(psi)];
    return ({ x, y }) => x * c + y * s - cutter.base - at.lift;
  }
  const centre = pitchPoint(cutter, at, psi);
  return ({ x, y }) => cutter.nose - Math.hypot(x - centre.x, y - centre.y);
}

/** Whether the contact runs back: the path bends more sharply than the cutter is round. */
const runsBack = (cutter: Cutter, at: Motion): boolean =>
  cutter.kind === 'flat' ? cutter.base + at.lift + at.curve < 0 : pitchCurvature(cutter, at) * cutter.nose > 1;

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
        if (runsBack(cutter, liftAt(lift, psi))) found.push(wrapped(psi));
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
  const far = farthest(lift, cutter);
  const count = Math.round(turn / Math.max(radians(0.2), far / 60));
  const step = turn / count;
  const reach = Math.min(Math.ceil(far / step), (count - 1) >> 1);
  const stands: ((p: Point) => number)[] = new Array(count);
  const stand = (i: number) => {
    const k = ((i % count) + count) % count;
    stands[k] ??= into(cutter, contactAt(lift, k * step));
    return stands[k];
  };
  /** Whether a contact near a stand is cut away from any other. */
  const lost = (contact: Contact, near: number): boolean => {
    const point = touch(cutter, contact);
    for (let j = 0; j <= reach; j++)
      if (stand(near - j)(point) > almost || stand(near + j)(point) > almost) return true;
    return false;
  };
  /** From a lost contact one way to the first that is left: the two last on the way, the one that is left first. */
  const edge = (start: number, way: 1 | -1): readonly [Contact, Contact] | undefined => {
    let last = contactAt(lift, start * step);
    for (let i = start + way; Math.abs(i - start) <= count / 2; i += way) {
      for (const next of hollow(lift, last, contactAt(lift, i * step))) {
        if (!lost(next, i)) return [next, last];
        last = next;
      }
    }
    return undefined;
  };
  const corners: Corner[] = [];
  const tried = new Set<number>();
  for (const spot of spots) {
    const here = Math.floor(spot / step);
    if (tried.has(here)) continue;
    if (corners.some(({ from, to }) => wrapped(spot - from + step) <= to - from + 2 * step)) continue;
    tried.add(here);
    const start = [here, here + 1].find((i) => lost(contactAt(lift, i * step), i));
    const [before, after] = start === undefined ? [] : [edge(start, -1), edge(start, 1)];
    if (before && after) corners.push(crossing(lift, cutter, before, after));
  }
  return corners;
}

const almost = 1e-9;

/** Stands farther apart than this cannot cut each other's contact. */
function farthest({ lobes, stroke }: FollowedLift, cutter: Cutter): number {
  if (cutter.kind === 'round') return 2 * Math.asin(Math.min(1, cutter.nose / cutter.prime));
  const slope = (flank: LobeFlank) => (stroke * peaks(flank.law).velocity) / wholeWidth(flank);
  const aside = Math.max(...lobes.flatMap(({ before, after }) => [slope(before), slope(after)]));
  return Math.acos(cutter.base / Math.hypot(cutter.base + stroke, aside));
}

/** The second of two contacts, and before it those at a hollow corner of the path that lies between them. */
function hollow(lift: FollowedLift, from: Contact, to: Contact): Contact[] {
  const jump = (a: Contact, b: Contact) => Math.sign(b.psi - a.psi) * (b.at.slope - a.at.slope);
  const whole = jump(from, to);
  if (whole < 1e-3 * lift.stroke) return [to];
  let [near, far] = [from, to];
  while (Math.abs(far.psi - near.psi) > almost) {
    const middle = contactAt(lift, (near.psi + far.psi) / 2);
    if (jump(near, middle) > jump(middle, far)) far = middle;
    else near = middle;
  }
  if (jump(near, far) < whole / 4) return [to];
  const corner = { psi: (near.psi + far.psi) / 2, at: { ...near.at, curve: 0 } };
  const held = (at: Motion): Contact => ({ ...corner, at: { ...corner.at, slope: at.slope } });
  const pieces = 16;
  const round = Array.from({ length: pieces + 1 }, (_, i) => between(lift, held(near.at), held(far.at), i / pieces));
  return [near, ...round, far, to];
}

/** Where the profile crosses itself, between two contacts here and two there (by Newton). */
function crossing(
  lift: FollowedLift,
  cutter: Cutter,
  before: readonly [Contact, Contact],
  after: readonly [Contact, Contact],
): Corner {
  let [a, b] = [0, 0];
  const here = () => between(lift, ...before, a);
  const there = () => between(lift, ...after, b);
  const within = (share: number) => Math.min(1, Math.max(-1, share));
  for (let i = 0; i < 30; i++) {
    const [one, two] = [here(), there()];
    const [p, q] = [touch(cutter, one), touch(cutter, two)];
    const [dx, dy] = [q.x - p.x, q.y - p.y];
    const [u, v] = [way(cutter, ...before, one), way(cutter, ...after, two)];
    const area = v.x * u.y - u.x * v.y;
    if (Math.hypot(dx, dy) < 1e-12 || area === 0) break;
    a = within(a + (v.x * dy - v.y * dx) / area);
    b = within(b + (u.x * dy - u.y * dx) / area);
  }
  const [p, q] = [touch(cutter, here()), touch(cutter, there())];
  const from = wrapped(here().psi);
  return { from, to: from + (there().psi - here().psi), x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
}
