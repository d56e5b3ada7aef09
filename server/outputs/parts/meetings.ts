/**
 * Whether parts as they were generated meet while the mechanism turns: every pair that moves apart, every degree of the
 * leading shaft, and every tenth of one where they come near.
 *
 * All parts turn and slide square to the shafts, so that two of them meet where sections of theirs at one depth do.
 * Heights at which only one of two has material never meet; of parts that pass before each other the gap along the
 * shafts is told.
 */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../../reckon/figures.ts';
import { radians, turn } from '../../reckon/motion/angles.ts';
import { distanceToEdge, edgesOf, placed } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Seat } from '../../reckon/parts/part.ts';
import { speedOf, standAfter, type Way, wayOf } from '../../reckon/parts/standing.ts';
import { commonPeriod } from '../../reckon/shape/over-turn.ts';
import {
  apartByBoxes,
  apartByReach,
  isRoundAbout,
  type Near,
  nearest,
  type Placed,
  placedAt,
  type Section,
} from './sections.ts';

/** Two parts, how near they come at most (negative: so deep one enters the other), and when. */
export interface Meeting {
  readonly parts: readonly [string, string];
  readonly gap: number;
  /** Forward turn of the leading shaft from home, rad. */
  readonly turn: number;
  /** Where on the face. */
  readonly at: Point;
  /** They work on each other there: a cam and its bar, teeth, a pin in its slot. */
  readonly contact: boolean;
  /** One passes before the other: the gap lies along the shafts. */
  readonly along?: true;
}

/** Gaps are looked at more closely below this, mm. */
const close = 0.3;
const coarse = radians(1);
const fine = radians(0.1);
/** Turns of the leading shaft that are followed; a train that comes home later has shown what it does by then. */
const mostTurns = 12;

/** A part with the sections of its solid. */
export interface Sectioned {
  readonly part: PrintedPart;
  readonly sections: readonly Section[];
}

/** A part at one of its seats, and how it moves. */
interface Body {
  readonly name: string;
  readonly sections: readonly Section[];
  readonly seat: Pick<Seat, 'x' | 'y' | 'turn'>;
  readonly way: Way;
  /** What moves together has one mover. */
  readonly mover: string;
  readonly ratios: readonly ({ readonly num: number; readonly den: number } | undefined)[];
  readonly reach: number;
  /** The fastest that any of its points moves, mm a radian of the leading shaft. */
  readonly speed: number;
  /** Of a wheel whose teeth are all alike: the turn of the leading shaft that brings each where the one before it stood. */
  readonly pitch?: number;
}

/** Two parts to look at over the turn. Plain data, which may be handed to another thread. */
export interface Pair {
  readonly bodies: readonly [Body, Body];
  /** Whether they are made to touch. */
  readonly contact: boolean;
  /** What is farther apart, mm, is not told. */
  readonly near: number;
}

/** Every pair of parts that are worth a look; what comes nearer than `near`, mm, is to be told. */
export function pairsOf(m: Mechanism, figures: MotionFigures, made: readonly Sectioned[], near: number): Pair[] {
  const bodies = made.flatMap(({ part, sections }) =>
    part.seats.map((seat) => ({ part, body: bodyOf(m, figures, part, seat, sections) })),
  );
  return bodies.flatMap(({ part, body }, i) =>
    bodies
      .slice(i + 1)
      .filter((other) => !givesWay(part, other.part))
      .map((other): Pair => ({ bodies: [body, other.body], contact: works(m, part, other.part), near }))
      .filter(({ bodies: [one, two] }) => sharedBy(one, two).length > 0 || passing(one, two, near).length > 0),
  );
}

/** How a pair meets, where it comes so near: at one depth, and where one passes before the other. */
export function metBy({ bodies: [one, other], contact, near }: Pair): Meeting[] {
  const parts = [one.name, other.name] as const;
  const before = one.mover === other.mover ? undefined : passesBefore(one, other, near);
  const shared = sharedBy(one, other);
  // What moves together may lie as near as it likes.
  const found = shared.length > 0 && meetingOf(one, other, shared, one.mover === other.mover ? 0 : near);
  return [
    ...(before ? [{ ...before, parts, contact: false, along: true } as const] : []),
    ...(found ? [{ ...found, parts, contact }] : []),
  ];
}

// ---- parts and how they move ---------------------------------------------------------------------------

function bodyOf(
  m: Mechanism,
  figures: MotionFigures,
  part: PrintedPart,
  seat: Seat,
  sections: readonly Section[],
): Body {
  const reach = Math.max(0, ...sections.map((section) => section.reach));
  const way = wayOf(m, figures, part, seat);
  return {
    name: part.name,
    sections: sections.map((section) => ({ ...section, from: section.from + seat.z, to: section.to + seat.z })),
    seat: { x: seat.x, y: seat.y, turn: seat.turn },
    way,
    ...moverOf(figures, part, seat),
    reach,
    speed: speedOf(way, reach),
    ...pitchOf(figures, part, way),
  };
}

/** How it stands after a forward turn of the leading shaft, rad. */
const standOf = ({ way, seat }: Body, at: number): Placed => placedAt(standAfter(way, seat, at));

function pitchOf(figures: MotionFigures, { kind, name, prisms }: PrintedPart, way: Way) {
  const gear = kind === 'gear' ? figures.gears.find((one) => one.name === name) : undefined;
  if (!gear || way.by !== 'shaft' || way.rate === 0) return {};
  const rims = prisms.flatMap(({ regions }) => regions.map(({ outer }) => outer));
  const alike = rims.every((rim) => isOfAlike(rim, gear.teeth));
  return alike ? { pitch: turn / gear.teeth / Math.abs(way.rate) } : {};
}

/** Whether a loop, turned by one of so many equal parts about the origin, lies on itself. */
function isOfAlike(loop: Loop, many: number): boolean {
  const edges = edgesOf(loop);
  const ahead = Math.round(loop.length / many);
  return placed(loop, { x: 0, y: 0 }, turn / many).every((corner, i) => {
    // Where the loop is closed a corner more may stand.
    for (let k = i + ahead - 3; k <= i + ahead + 3; k++)
      if (distanceToEdge(corner, edges[((k % edges.length) + edges.length) % edges.length]) < 1e-5) return true;
    return false;
  });
}

/** What a part moves with, and the ratios of what drives it. */
function moverOf(figures: MotionFigures, { kind }: PrintedPart, { moves }: Seat): Pick<Body, 'mover' | 'ratios'> {
  const ratioOf = (shaft?: string) => figures.shafts.find(({ name }) => name === shaft)?.ratio;
  switch (moves.with) {
    case 'shaft':
      return { mover: `shaft ${moves.name}`, ratios: [ratioOf(moves.name)] };
    case 'segment': {
      const cam = figures.cams.find(({ segments }) => segments.includes(moves.name));
      return { mover: `segment ${cam?.segments[0] ?? moves.name}`, ratios: cam ? [ratioOf(cam.shaft)] : [] };
    }
    case 'push':
      return { mover: `push ${moves.name} ${kind}`, ratios: [undefined] };
    case 'nothing':
      return { mover: 'nothing', ratios: [] };
  }
}

/** A pawl lies between the teeth of its wheel, which lift it: it is drawn as it rests. */
const givesWay = (one: PrintedPart, other: PrintedPart): boolean =>
  [one, other].some(({ kind }) => kind === 'pawl') &&
  [one, other].some(({ kind }) => kind === 'ratchet wheel') &&
  one.place.from === other.place.from &&
  one.place.top === other.place.top;

/** Whether two parts are made to touch. */
function works(m: Mechanism, one: PrintedPart, other: PrintedPart): boolean {
  const kinds = [one.kind, other.kind];
  const has = (kind: PrintedPart['kind']) => [one, other].find((part) => part.kind === kind);
  if (kinds.includes('cam') && kinds.includes('bar'))
    return m.cams.some(({ name, segments }) => name === has('cam')!.name && segments[0]?.name === has('bar')!.name);
  if (one.kind === 'gear' && other.kind === 'gear')
    return m.meshes.some(({ gears }) => gears.every(({ name }) => name === one.name || name === other.name));
  return false;
}

// ---- two parts over the turn ---------------------------------------------------------------------------

type Shared = readonly [Section, Section];

const sharedBy = (one: Body, other: Body): Shared[] =>
  one.sections.flatMap((a) =>
    other.sections.flatMap((b): Shared[] => (Math.min(a.to, b.to) - Math.max(a.from, b.from) > 1e-6 ? [[a, b]] : [])),
  );

function meetingOf(one: Body, other: Body, shared: readonly Shared[], near: number) {
  const whole = turn * Math.min(mostTurns, commonPeriod([...one.ratios, ...other.ratios]));
  // Teeth that are all alike, and come by at one pace, meet as the first ones do.
  const isOnePace = one.pitch !== undefined && Math.abs(one.pitch - (other.pitch ?? 0)) < 1e-9;
  const period = isOnePace ? one.pitch! : whole;
  let best: (Near & { readonly turn: number }) | undefined;
  const keep = (found: Near | undefined, at: number): void => {
    if (found && found.gap < Math.min(near, best?.gap ?? Infinity)) best = { ...found, turn: (at + period) % period };
  };
  const [steady, changing] = partedBy(shared, ([a, b]) => isSteady(one, a, other, b, near));
  if (steady.length > 0) keep(nearAt(steady, standOf(one, 0), standOf(other, 0), near), 0);
  if (changing.length === 0) return best;
  /** How near they are, by how one stands to the other: bars rest for most of a turn. What turns on stands ever anew. */
  const turns = [one, other].some(({ mover }) => mover.startsWith('shaft '));
  const known = new Map<string, { readonly far: number; readonly gap: number; readonly enough: number }>();
  const look = (at: number, a: Placed, b: Placed, far: number, enough = -Infinity): number => {
    const pose = turns ? '' : poseOf(one, a, other, b);
    const before = turns ? undefined : known.get(pose);
    if (before && (before.gap < before.far ? before.gap < enough || before.gap >= before.enough : before.far >= far))
      return Math.min(before.gap, far);
    const found = nearAt(changing, a, b, far, enough);
    keep(found, at);
    if (!turns) known.set(pose, { far, gap: found?.gap ?? far, enough });
    return found?.gap ?? far;
  };
  // Between two looks they can come nearer to each other by so much.
  const speed = one.speed + other.speed;
  const steps = Math.max(1, Math.ceil(period / coarse - 1e-9));
  const step = period / steps;
  const watch = Math.max(close, near, (speed * step) / 2);
  for (let i = 0; i < steps; ) {
    const at = i * step;
    const [a, b] = [standOf(one, at), standOf(other, at)];
    const room = roomBetween(one, changing, a, other, b, watch);
    if (room > 0) {
      // So soon they cannot come near.
      i += 1 + Math.floor(room / (speed * step));
      continue;
    }
    i += 1;
    if (look(at, a, b, watch, watch) >= watch) continue;
    for (let k = -5; k <= 5; k++) {
      const beside = at + k * fine;
      look(beside, standOf(one, beside), standOf(other, beside), Math.min(near, best?.gap ?? near));
    }
  }
  return best;
}

function partedBy<Each>(all: readonly Each[], holds: (each: Each) => boolean): [Each[], Each[]] {
  const [yes, no]: [Each[], Each[]] = [[], []];
  for (const each of all) (holds(each) ? yes : no).push(each);
  return [yes, no];
}

/** Whether it turns about its own origin, and does nothing else. */
const turnsAlone = ({ way }: Body): boolean => way.by === 'shaft' || (way.by === 'push' && way.part === 'arm');

/** Whether two sections are as near as at home however far the mechanism turns: a shaft in its bearing. */
function isSteady(one: Body, a: Section, other: Body, b: Section, near: number): boolean {
  if (one.mover === other.mover || one.speed + other.speed === 0) return true;
  const [standA, standB] = [standOf(one, 0), standOf(other, 0)];
  /** All that the one can meet of the other is round about an axis of the one's. */
  const isRoundFor = (section: Section, stand: Placed, axis: Placed, reach: number): boolean => {
    const { c, s } = stand;
    const [dx, dy] = [axis.x - stand.x, axis.y - stand.y];
    return isRoundAbout(section, { x: c * dx + s * dy, y: c * dy - s * dx }, reach + near);
  };
  const [stillA, stillB] = [one, other].map(
    (body, i) => body.speed === 0 || (turnsAlone(body) && isRoundAbout([a, b][i], { x: 0, y: 0 }, Infinity)),
  );
  if (stillA && stillB) return true;
  if ((!stillA && !turnsAlone(one)) || (!stillB && !turnsAlone(other))) return false;
  const isCoaxial = Math.hypot(standA.x - standB.x, standA.y - standB.y) < 1e-6;
  if (stillA || isCoaxial) if (isRoundFor(a, standA, standB, b.reach)) return true;
  return (stillB || isCoaxial) && isRoundFor(b, standB, standA, a.reach);
}

/** No less than this lies between two parts beyond `watch`, mm; unbounded where it stays so for good. */
function roomBetween(one: Body, shared: readonly Shared[], a: Placed, other: Body, b: Placed, watch: number): number {
  const isFixed = [one, other].every((body) => body.speed === 0 || turnsAlone(body));
  let least = Infinity;
  for (const [sectionA, sectionB] of shared) {
    const byReach = apartByReach(sectionA, a, sectionB, b);
    if (isFixed && byReach > watch) continue;
    least = Math.min(least, Math.max(byReach, apartByBoxes(sectionA, a, sectionB, b)));
  }
  return least - watch;
}

/** Parts lie before each other where they do so by more than this, mm. */
const overlap = 0.05;
/** Looks for that stand so far apart, turn of the leading shaft. */
const seldom = radians(5);

/** Sections that lie one before the other, nearer than `near` along the shafts; the nearest first. */
const passing = (one: Body, other: Body, near: number) =>
  one.sections
    .flatMap((a) => other.sections.map((b) => ({ pair: [a, b] as const, gap: Math.max(b.from - a.to, a.from - b.to) })))
    .filter(({ gap }) => gap > -1e-6 && gap < near - 1e-6)
    .sort((a, b) => a.gap - b.gap);

/** The least gap along the shafts between parts that move apart, below `near`, where one lies before the other. */
function passesBefore(one: Body, other: Body, near: number): Omit<Meeting, 'parts' | 'contact'> | undefined {
  const pairs = passing(one, other, near);
  if (pairs.length === 0) return undefined;
  const period = turn * Math.min(mostTurns, commonPeriod([...one.ratios, ...other.ratios]));
  const steps = one.speed + other.speed === 0 ? 1 : Math.ceil(period / seldom);
  for (const { pair, gap } of pairs) {
    for (let i = 0; i < steps; i++) {
      const at = (i * period) / steps;
      const found = nearAt([pair], standOf(one, at), standOf(other, at), -overlap);
      if (found) return { gap: Math.max(0, gap), turn: at, at: found.at };
    }
  }
  return undefined;
}

/** Stands that differ by less than this, mm, count as one. */
const grain = 0.01;

/** How one stands to another. */
function poseOf(one: Body, a: Placed, other: Body, b: Placed): string {
  const { c, s } = b;
  const [dx, dy] = [a.x - b.x, a.y - b.y];
  const turned = a.turned - b.turned;
  const swept = (turned - turn * Math.floor(turned / turn + 1e-9)) * Math.max(one.reach, other.reach);
  return [c * dx + s * dy, c * dy - s * dx, swept].map((value) => Math.round(value / grain)).join(' ');
}

/** How near two parts come at a stand of each, if nearer than `far`; less exactly where it is less than `enough`. */
function nearAt(
  shared: readonly Shared[],
  standA: Placed,
  standB: Placed,
  far: number,
  enough = -Infinity,
): Near | undefined {
  let best: Near | undefined;
  for (const [a, b] of shared) {
    best = nearest(a, standA, b, standB, best?.gap ?? far, enough) ?? best;
    if (best && best.gap < enough) break;
  }
  return best;
}
