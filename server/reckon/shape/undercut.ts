/**
 * What undercut leaves of a lift. The cutter follows the programmed lift; where its path bends more sharply than the
 * nose is round, it cuts away what it left before, and the profile keeps a corner. On that corner the nose (or the
 * flat face) turns, lower than programmed.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { Corner, Cut, Extreme, FollowedLift, LobeFlank } from '../figures.ts';
import { radians, turn, wrapped } from '../motion/angles.ts';
import { type Motion, peaks, stretches } from '../motion/laws.ts';
import { liftAt, onCorner, wholeWidth } from '../motion/lift.ts';
import type { Rider } from './cutting.ts';
import { jointsOf } from './flanks.ts';
import { armSwing, loweredAngle, noseOnArm, pivotedStand } from './pivoted.ts';
import { pitchPoint, pressureAngle } from './profile.ts';
import { greatest } from './search.ts';

const almost = 1e-9;
/** What is cut less deep than this is left, mm. */
const skin = 1e-8;

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

/** The cutter at a contact: its nose's centre (of a flat face the foot of the plumb from the shaft) and what it touches. */
interface Stand {
  readonly centre: Point;
  readonly touch: Point;
}

function standing(cutter: Rider): (contact: Contact) => Stand {
  if (cutter.kind === 'flat') {
    return ({ psi, at }) => {
      const [c, s] = [Math.cos(psi), Math.sin(psi)];
      const height = cutter.base + at.lift;
      const centre = { x: height * c, y: height * s };
      return { centre, touch: { x: centre.x - at.slope * s, y: centre.y + at.slope * c } };
    };
  }
  const { nose } = cutter;
  const touching = (centre: Point, normal: number): Stand => ({
    centre,
    touch: { x: centre.x - nose * Math.cos(normal), y: centre.y - nose * Math.sin(normal) },
  });
  if (cutter.kind === 'round') {
    return ({ psi, at }) => touching(pitchPoint(cutter, at, psi), psi - pressureAngle(cutter, at));
  }
  const start = loweredAngle(cutter)!;
  return ({ psi, at }) => {
    const { centre, normal } = pivotedStand(cutter, start, at, psi);
    return touching(centre, normal);
  };
}

/**
 * The corners that the cutter leaves; none where it takes nothing away. `sharp`: somewhere its path bends more sharply
 * than it is round.
 */
export function cutOf(lift: FollowedLift, cutter: Rider, sharp: boolean): Cut | undefined {
  if (!sharp && !lift.lobes.some(({ before, after }) => abrupt(before) || abrupt(after))) return undefined;
  if (cutter.kind === 'pivoted' && loweredAngle(cutter) === undefined) return undefined;
  const corners = cornersOf(lift, cutter);
  if (corners.length === 0) return undefined;
  if (cutter.kind === 'flat') return { offset: 0, lowered: cutter.base, corners };
  const { prime, nose } = cutter;
  if (cutter.kind === 'pivoted') return { nose, offset: 0, lowered: prime, swing: armSwing(cutter), corners };
  const { offset } = cutter;
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
const abrupt = ({ law, whole }: LobeFlank): boolean =>
  whole !== undefined || stretches(law).at(-1)!.at(1).slope > almost;

/** Every stretch of contacts that is cut away from elsewhere leaves a corner between those on its two sides. */
function cornersOf(lift: FollowedLift, cutter: Rider): Corner[] {
  const far = farthest(lift, cutter);
  const contacts = contactsOf(lift, Math.max(radians(0.2), far / 60));
  const stand = standing(cutter);
  const lost = lostOf(contacts, stand, cutter, far);
  const count = lost.length;
  const left = lost.indexOf(0);
  if (left < 0) return [];
  const at = (i: number): Contact => contactIn(contacts, i % count, Math.floor(i / count) * turn);
  const corners: Corner[] = [];
  for (let i = left + 1; i <= left + count; i++) {
    if (!lost[i % count]) continue;
    const first = i;
    while (lost[(i + 1) % count]) i++;
    const corner = crossing(lift, stand, [at(first - 1), at(first)], [at(i + 1), at(i)]);
    if (corner) corners.push(corner);
  }
  return corners.sort((a, b) => a.from - b.from);
}

/** Contacts in columns: of hundreds of lobes there are many. */
interface Contacts {
  readonly psi: number[];
  readonly lift: number[];
  readonly slope: number[];
}

const contactIn = ({ psi, lift, slope }: Contacts, i: number, ahead = 0): Contact => ({
  psi: psi[i] + ahead,
  at: { lift: lift[i], slope: slope[i], curve: 0 },
});

/** Contacts round the turn, no farther apart than `step`, on either side of every joint and round hollow corners. */
function contactsOf(lift: FollowedLift, step: number): Contacts {
  const joints = jointsOf(lift);
  const contacts: Contacts = { psi: [], lift: [], slope: [] };
  const push = (psi: number, height: number, slope: number) => {
    contacts.psi.push(psi);
    contacts.lift.push(height);
    contacts.slope.push(slope);
  };
  let last: Contact | undefined;
  const add = (psi: number) => {
    const next = contactAt(lift, psi);
    const corner = last && hollow(lift, last, next);
    if (corner) {
      const pieces = 16;
      const tilted = corner.to - corner.from;
      for (let i = 0; i <= pieces; i++) push(corner.psi, corner.lift, corner.from + (i / pieces) * tilted);
    }
    push(psi, next.at.lift, next.at.slope);
    last = next;
  };
  for (let i = 1; i < joints.length; i++) {
    const [from, to] = [joints[i - 1] + almost, joints[i] - almost];
    const { slope, curve } = liftAt(lift, (2 * from + to) / 3);
    const pieces = Math.max(slope === 0 && curve === 0 ? 1 : 3, Math.ceil((to - from) / step));
    for (let j = 0; j <= pieces; j++) add(from + ((to - from) * j) / pieces);
  }
  add(turn + almost);
  for (const column of [contacts.psi, contacts.lift, contacts.slope]) column.pop();
  return contacts;
}

/** For every contact 1 where the cutter's stand at another, at most `far` round the turn, cuts it away, else 0. */
function lostOf(contacts: Contacts, stand: (contact: Contact) => Stand, cutter: Rider, far: number): Uint8Array {
  const angle = contacts.psi;
  const count = angle.length;
  const [x, y, px, py, nearest] = Array.from({ length: 5 }, () => new Float64Array(count));
  const nose = cutter.kind === 'flat' ? 0 : cutter.nose;
  for (let i = 0; i < count; i++) {
    const { centre, touch } = stand(contactIn(contacts, i));
    x[i] = centre.x;
    y[i] = centre.y;
    px[i] = touch.x;
    py[i] = touch.y;
    // Nothing nearer to the shaft than this is cut there.
    nearest[i] = Math.hypot(centre.x, centre.y) - nose;
  }
  const inside = (nose - skin) ** 2;
  const cuts = (i: number, j: number): boolean => {
    if (nose === 0) return px[i] * x[j] + py[i] * y[j] > (nearest[j] + skin) * nearest[j];
    const dx = px[i] - x[j];
    const dy = py[i] - y[j];
    return dx * dx + dy * dy < inside;
  };
  const lost = new Uint8Array(count);
  for (let i = 0; i < count; i++) {
    const out = Math.hypot(px[i], py[i]) - skin;
    for (let k = i + 1 < count ? i + 1 : 0; k !== i; k = k + 1 < count ? k + 1 : 0) {
      if (angle[k] - angle[i] + (k < i ? turn : 0) > far) break;
      if (nearest[k] < out && cuts(i, k)) {
        lost[i] = 1;
        break;
      }
    }
    for (let k = i > 0 ? i - 1 : count - 1; k !== i && lost[i] === 0; k = k > 0 ? k - 1 : count - 1) {
      if (angle[i] - angle[k] + (k > i ? turn : 0) > far) break;
      if (nearest[k] < out && cuts(i, k)) lost[i] = 1;
    }
  }
  return lost;
}

/** Stands farther apart than this cannot cut each other's contact. */
function farthest({ lobes, stroke }: FollowedLift, cutter: Rider): number {
  if (cutter.kind !== 'flat') {
    const { prime, nose } = cutter;
    const azimuth = (lift: number): number => {
      if (cutter.kind === 'round') return Math.atan2(cutter.offset, Math.sqrt(prime ** 2 - cutter.offset ** 2) + lift);
      const { x, y } = noseOnArm(cutter, lift);
      return Math.atan2(y, x);
    };
    return 2 * Math.asin(Math.min(1, nose / prime)) + Math.abs(azimuth(stroke) - azimuth(0));
  }
  const slope = (flank: LobeFlank) => (stroke * peaks(flank.law).velocity) / wholeWidth(flank);
  const aside = Math.max(...lobes.flatMap(({ before, after }) => [slope(before), slope(after)]));
  // From a stand to the ray of what it touches, and from there to any stand that comes nearer than that to the shaft.
  return Math.atan2(aside, cutter.base) + Math.acos(cutter.base / Math.hypot(cutter.base + stroke, aside));
}

/** A hollow corner of the path: where it is, and the slopes on its two sides. */
interface Hollow {
  readonly psi: number;
  readonly lift: number;
  readonly from: number;
  readonly to: number;
}

/** The hollow corner that lies between two contacts, if any. */
function hollow(lift: FollowedLift, from: Contact, to: Contact): Hollow | undefined {
  const jump = (a: Contact, b: Contact) => b.at.slope - a.at.slope;
  const whole = jump(from, to);
  const smooth = ((from.at.curve + to.at.curve) / 2) * (to.psi - from.psi);
  if (whole < 1e-3 * lift.stroke || whole - smooth < whole / 2) return undefined;
  let [near, far] = [from, to];
  while (far.psi - near.psi > 4 * almost) {
    const middle = contactAt(lift, (near.psi + far.psi) / 2);
    if (jump(near, middle) > jump(middle, far)) far = middle;
    else near = middle;
  }
  const sharp = jump(near, far);
  if (sharp < whole / 4) return undefined;
  // Both sides go on straight to where they meet.
  const ahead = (near.at.lift + far.at.slope * (far.psi - near.psi) - far.at.lift) / sharp;
  const height = near.at.lift + ahead * near.at.slope;
  return { psi: near.psi + ahead, lift: height, from: near.at.slope, to: far.at.slope };
}

/** Where the profile crosses itself, between two contacts here and two there (by Newton). */
function crossing(
  lift: FollowedLift,
  stand: (contact: Contact) => Stand,
  before: readonly [Contact, Contact],
  after: readonly [Contact, Contact],
): Corner | undefined {
  const here = (share: number) => stand(between(lift, ...before, share)).touch;
  const there = (share: number) => stand(between(lift, ...after, share)).touch;
  const within = (share: number) => Math.min(1, Math.max(-1, share));
  const tiny = 1e-5;
  let [a, b] = [0, 0];
  for (let i = 0; i < 30; i++) {
    const [p, q] = [here(a), there(b)];
    const [dx, dy] = [q.x - p.x, q.y - p.y];
    if (Math.hypot(dx, dy) < 1e-11) break;
    const [p2, q2] = [here(a + tiny), there(b + tiny)];
    const [u, v] = [
      { x: (p2.x - p.x) / tiny, y: (p2.y - p.y) / tiny },
      { x: (q2.x - q.x) / tiny, y: (q2.y - q.y) / tiny },
    ];
    const area = v.x * u.y - u.x * v.y;
    if (area === 0) break;
    a = within(a + (v.x * dy - v.y * dx) / area);
    b = within(b + (u.x * dy - u.y * dx) / area);
  }
  const [one, two] = [between(lift, ...before, a), between(lift, ...after, b)];
  const [p, q] = [stand(one).touch, stand(two).touch];
  const from = wrapped(one.psi);
  return two.psi > one.psi
    ? { from, to: from + (two.psi - one.psi), x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
    : undefined;
}
