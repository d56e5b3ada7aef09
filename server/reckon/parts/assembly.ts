/**
 * The order in which parts go together, reckoned by taking the whole apart: what can be taken out goes in last.
 *
 * A part goes straight: to the front or to the back, and a bar also along its slide. What lies in that way has to be
 * taken out before it, and nothing leaves a shaft that still carries something, nor the face plate of a frame, which all
 * is built into from the back; once out, a part is in nobody's way, so
 * that an order is found wherever there is one of such moves. Each part is taken out as it stands at home. What overlaps
 * at home already is told elsewhere and is no hindrance here.
 */
import { facePlate } from '../frame/parts.ts';
import type { Blank } from './engraving.ts';
import type { PartKind, Seat } from './part.ts';
import {
  boxAlong,
  boxAround,
  type Lines,
  linesOver,
  overlap,
  runsInto,
  type Shadow,
  type Slab,
  shadowOf,
  slabOf,
} from './shadow.ts';

/** From where a part goes in. */
export type Way = 'front' | 'slide' | 'back';

/** One part at one of its seats. */
export interface Placement {
  readonly part: string;
  /** Which of the part's seats, from 0. */
  readonly seat: number;
  readonly way: Way;
  /** Parts that would lie in its way, in the order in which they go in, after it. */
  readonly before: readonly string[];
}

/** A part that goes in neither before nor after another. */
export interface Deadlock {
  readonly parts: readonly [string, string];
  /** Of the first: what closes each of its ways. */
  readonly closed: readonly { readonly way: Way; readonly by: readonly string[] }[];
}

export interface Assembly {
  /** As they go in; what cannot be put in is left out. */
  readonly order: readonly Placement[];
  readonly deadlocks: readonly Deadlock[];
}

interface Piece {
  readonly part: Blank;
  readonly seat: number;
  readonly slabs: readonly Slab[];
  /** Where its back lies, from the face. */
  readonly back: number;
  readonly ways: readonly Way[];
  readonly carrier?: string;
}

/** `liftAtHome` is how far a segment is raised there, mm. Pauses before each part. */
export function* assemblyOf(
  parts: readonly Blank[],
  liftAtHome: (segment: string) => number = () => 0,
): Generator<void, Assembly> {
  const pieces = parts.flatMap((part) =>
    part.seats.map((seat, index) => {
      const { x, y, turn, moves } = seat;
      const lift = moves.with === 'segment' ? liftAtHome(moves.name) : 0;
      return pieceOf(part, { ...seat, x: x + lift * Math.cos(turn), y: y + lift * Math.sin(turn) }, index);
    }),
  );
  const closers = new Map<Piece, Closed[]>();
  const closes = hindrances();
  for (const piece of pieces) {
    yield;
    closers.set(
      piece,
      piece.ways.map((way) => ({
        way,
        by: pieces.filter((other) => other !== piece && closes(other, piece, way)),
      })),
    );
  }
  return takenApart(pieces, closers);
}

interface Closed {
  readonly way: Way;
  readonly by: readonly Piece[];
}

function pieceOf(part: Blank, seat: Seat, index: number): Piece {
  const slabs = part.prisms.map((prism) => slabOf(prism, seat));
  const { moves } = seat;
  return {
    part,
    seat: index,
    slabs,
    back: Math.min(...slabs.map(({ from }) => from)),
    ways: moves.with === 'segment' ? ['front', 'slide', 'back'] : ['front', 'back'],
    ...(moves.with === 'shaft' && part.kind !== 'shaft' && { carrier: moves.name }),
  };
}

/** Depths that differ by less, mm, are one. */
const almost = 1e-6;

/** Whether something that stands in its place closes a way of another; shadows are cast once. */
function hindrances() {
  const shadows = new Map<Slab, Map<number, Shadow[]>>();
  const shadow = (slab: Slab, azimuth: number, lines: Lines): Shadow => {
    const ofSlab = shadows.get(slab) ?? new Map<number, Shadow[]>();
    shadows.set(slab, ofSlab);
    const cast = ofSlab.get(azimuth) ?? [];
    ofSlab.set(azimuth, cast);
    const known = cast.find(({ first, end }) => first <= lines.first && lines.end <= end);
    if (known) return known;
    const anew = shadowOf(slab, azimuth, lines);
    cast.push(anew);
    return anew;
  };
  /** Whether it hits on some of the lines; most often the one in the middle tells. */
  const onLines = (hits: typeof overlap, one: Slab, two: Slab, azimuth: number, { first, end }: Lines): boolean => {
    const middle = Math.floor((first + end) / 2);
    const on = (lines: Lines) => hits(shadow(one, azimuth, lines), shadow(two, azimuth, lines));
    return first < end && (on({ first: middle, end: middle + 1 }) || on({ first, end }));
  };
  const covers = (one: Slab, two: Slab): boolean =>
    one.left < two.right && two.left < one.right && onLines(overlap, one, two, 0, linesOver(one, two));
  const meets = (one: Slab, two: Slab, azimuth: number): boolean => {
    const [own, box] = [boxAlong(one, azimuth), boxAround(two, azimuth)];
    return own.left < box.right && onLines(runsInto, one, two, azimuth, linesOver(own, box));
  };
  /** Whether one part covers another that lies behind it. */
  const before = new Map<Piece, Map<Piece, boolean>>();
  const isBefore = (front: Piece, back: Piece): boolean => {
    const ofFront = before.get(front) ?? new Map<Piece, boolean>();
    before.set(front, ofFront);
    const known = ofFront.get(back);
    if (known !== undefined) return known;
    const answer = back.slabs.some((own) =>
      front.slabs.some((slab) => slab.from >= own.to - almost && covers(own, slab)),
    );
    ofFront.set(back, answer);
    return answer;
  };
  return (other: Piece, piece: Piece, way: Way): boolean => {
    if (way !== 'slide') return way === 'front' ? isBefore(other, piece) : isBefore(piece, other);
    const azimuth = piece.part.seats[piece.seat].turn;
    return piece.slabs.some((own) =>
      other.slabs.some(
        (slab) => slab.from <= own.to - almost && slab.to >= own.from + almost && meets(own, slab, azimuth),
      ),
    );
  };
}

/** Kinds that go in first where nothing else decides. */
const kinds: readonly PartKind[] = ['shaft', 'gear', 'spacer', 'cam'];
const rank = ({ part }: Piece): number => (kinds.indexOf(part.kind) + 1 || kinds.length + 1) - 1;

/** What goes in last comes first: what lies nearest to the face. */
const lastFirst = (pieces: readonly Piece[]): Piece[] =>
  pieces
    .map((piece, index) => ({ piece, index }))
    .sort((a, b) => b.piece.back - a.piece.back || rank(b.piece) - rank(a.piece) || b.index - a.index)
    .map(({ piece }) => piece);

function takenApart(pieces: readonly Piece[], closers: ReadonlyMap<Piece, readonly Closed[]>): Assembly {
  const deadlocks: Deadlock[] = [];
  let free = lastFirst(pieces);
  for (;;) {
    const { out, left } = outOf(free, closers);
    if (left.size === 0) return { order: inOrder(out.reverse(), closers), deadlocks };
    // Without the part that locks it, the rest goes together as if it had never been there.
    const { culprit, deadlock } = deadlockIn(left, closers);
    deadlocks.push(deadlock);
    free = free.filter((piece) => piece !== culprit);
  }
}

interface Taken {
  readonly piece: Piece;
  readonly way: Way;
}

/** Taken out one by one, and what is left where nothing more can be. */
function outOf(pieces: Iterable<Piece>, closers: ReadonlyMap<Piece, readonly Closed[]>) {
  const left = new Set(pieces);
  const out: Taken[] = [];
  for (let next = nextOut(left, closers); next; next = nextOut(left, closers)) {
    out.push(next);
    left.delete(next.piece);
  }
  return { out, left };
}

function inOrder(taken: readonly Taken[], closers: ReadonlyMap<Piece, readonly Closed[]>): Placement[] {
  const ranks = new Map(taken.map(({ piece }, i) => [piece, i]));
  return taken.map(({ piece, way }) => ({
    part: piece.part.name,
    seat: piece.seat,
    way,
    before: closers
      .get(piece)!
      .find((closed) => closed.way === way)!
      .by.filter((other) => ranks.has(other))
      .sort((a, b) => ranks.get(a)! - ranks.get(b)!)
      .map(({ part }) => part.name),
  }));
}

/** Whether others are built on it: on a shaft its parts, into the face plate of a frame all. */
const carries = ({ part }: Piece, left: ReadonlySet<Piece>): boolean =>
  part.name === facePlate
    ? [...left].some(({ part: other }) => !inFront(other, part))
    : part.kind === 'shaft' && [...left].some(({ carrier }) => carrier === part.name);

/** Whether a part lies wholly before another. */
const inFront = (one: Blank, other: Blank): boolean => bottomOf(one) > topOf(other) - almost || one === other;
const bottomOf = ({ seats: [{ z }] }: Blank): number => z;
const topOf = ({ prisms, seats: [{ z }] }: Blank): number => z + prisms[prisms.length - 1].to;

/** What goes to the back: the deepest first, shafts when all else stays. */
const deepestFirst = (left: ReadonlySet<Piece>): Piece[] =>
  [...left].sort((a, b) => Number(a.part.kind === 'shaft') - Number(b.part.kind === 'shaft') || a.back - b.back);

/** What can be taken out; to the back only where nothing goes another way. */
function nextOut(left: ReadonlySet<Piece>, closers: ReadonlyMap<Piece, readonly Closed[]>): Taken | undefined {
  for (const ways of [['front', 'slide'], ['back']]) {
    for (const piece of ways[0] === 'back' ? deepestFirst(left) : left) {
      if (carries(piece, left)) continue;
      const open = closers
        .get(piece)!
        .find(({ way, by }) => ways.includes(way) && !by.some((other) => left.has(other)));
      if (open) return { piece, way: open.way };
    }
  }
  return undefined;
}

/**
 * Of what is left, where nothing can be taken out, the part without which most of the rest comes apart, and the one that
 * it is locked with: best one that closes a way of it and has a way closed by it.
 */
function deadlockIn(left: ReadonlySet<Piece>, closers: ReadonlyMap<Piece, readonly Closed[]>) {
  const stuck = [...left].filter((piece) => !carries(piece, left));
  const remaining = (without: Piece): number =>
    outOf(
      [...left].filter((piece) => piece !== without),
      closers,
    ).left.size;
  const [culprit] = stuck
    .map((piece) => ({ piece, after: remaining(piece) }))
    .sort((a, b) => a.after - b.after || rank(b.piece) - rank(a.piece))
    .map(({ piece }) => piece);
  const closed = closers.get(culprit)!.map(({ way, by }) => ({ way, by: by.filter((other) => left.has(other)) }));
  const partners = closed.flatMap(({ by }) => by);
  const mutual = (other: Piece) => closers.get(other)!.some(({ by }) => by.includes(culprit));
  const partner = partners.find((other) => other.part.kind !== 'shaft' && mutual(other)) ?? partners[0];
  const deadlock: Deadlock = {
    parts: [culprit.part.name, partner.part.name],
    closed: closed.map(({ way, by }) => ({ way, by: by.map(({ part }) => part.name) })),
  };
  return { culprit, deadlock };
}
