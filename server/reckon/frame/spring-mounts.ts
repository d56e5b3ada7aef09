/**
 * Where return springs sit in a frame: a seat or a peg on the bar, its counterpart on a plate, and the room that the coil
 * takes between them, parallel to the slide, clear of all that moves over a whole turn and of all that goes in past it.
 *
 * A spring of compression pushes its bar back from outside, between two seats with a nib each; one of extension draws it
 * back between two pegs, each with a groove for its hook. The place nearest to the slide is taken: beside it a spring
 * leans the bar in its guide. All in the frame of the bar: +x the way it rises, y to its left, z from the face.
 */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { type CoilSize, coilSizeOf } from '../force/coil-size.ts';
import { frictionInUse } from '../force/model.ts';
import { withPegs } from '../parts/bar.ts';
import type { Blank } from '../parts/engraving.ts';
import type { Piece } from '../parts/joining.ts';
import { type Box, circle, flattened, placed, polygon } from '../parts/loop.ts';
import { boxOf, common, distanceTo } from '../shape/convex.ts';
import { positive } from '../shape/followers.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { Depth } from '../shape/stack.ts';
import type { Plate } from './plan.ts';
import {
  type BarPiece,
  barPieces,
  type Cover,
  cornersOfRect,
  type Mover,
  meets,
  meetsPolygon,
  widened,
} from './room.ts';

export interface SpringMount {
  readonly spring: string;
  readonly segment: string;
  /** The bar that it draws back, by the name of its part. */
  readonly bar: string;
  readonly size: CoilSize;
  /** On the face: its end at the bar, when that is lowered, and its end at the frame. */
  readonly moving: Point;
  readonly fixed: Point;
  /** Of its axis, from the face backwards; and how far it lies beside the slide, to its left positive, mm. */
  readonly depth: number;
  readonly aside: number;
  readonly plate: Plate;
}

/** What stands on a plate: from there to `end`, z from the face, and what is of it between other heights. */
export interface Stand {
  readonly plate: Plate;
  readonly end: number;
  /** On the face; without heights it reaches from the plate to `end`. */
  readonly pieces: readonly (Partial<Depth> & { readonly loop: Piece['loop'] })[];
}

export interface SpringMounts {
  readonly mounts: readonly SpringMount[];
  readonly stands: readonly Stand[];
  /** The room of every coil. */
  readonly coils: readonly Mover[];
  /** Springs that find no place, and why. */
  readonly unsprung: readonly { readonly spring: string; readonly segment: string; readonly because: string }[];
  /** All parts, the bars with their seats and pegs. */
  readonly parts: readonly Blank[];
}

interface Solid extends Depth {
  readonly rect: Box;
}

/** Something in the way, in the frame of a bar. */
interface Obstacle extends Depth {
  readonly cover: Cover;
  readonly box: Box;
}

interface Candidate {
  /** The spring's end at the bar when that is lowered, and at the frame, along the slide; beside it; its axis. */
  readonly at: number;
  readonly to: number;
  readonly aside: number;
  readonly axis: number;
  /** What the bar gets, as solids to be kept clear and as pieces. */
  readonly own: readonly Solid[];
  readonly pieces: readonly Piece[];
  /** What stands on a plate, from it to `end`. */
  readonly foot: Box;
  readonly end: (plate: Plate) => number;
  readonly stand: (plate: Plate) => Stand['pieces'];
  readonly coil: Solid;
}

const almost = 1e-6;
/** Places are tried so far apart, and so far beside the slide and beyond the bar at most, mm. */
const step = 0.5;
const farthest = { aside: 40, beyond: 80 };
/** Of a spring's pull, friction in the guide may take so much because it stands beside the slide. */
const leaning = 0.5;
/** Of the coil when it is shortest, a nib is so long; and no longer than this, mm. */
const nib = { share: 0.3, most: 2 };
/** Thickness of seats on a bar and on a plate, and radius of a peg at most, in walls. */
const inWalls = { seat: 2, stand: 4, peg: 2 };
/** Before its groove a peg is so many walls long. */
const headInWalls = 1.5;

export function springMountsOf(
  m: Mechanism,
  figures: MotionFigures,
  parts: readonly Blank[],
  faceFrom: number,
  turningParts: readonly Mover[],
  guides: readonly Mover[],
  shafts: readonly { readonly at: Point; readonly round: number }[],
): SpringMounts {
  const { frame } = m;
  const clearance = frame!.process.clearance.value;
  const mounts: SpringMount[] = [];
  const stands: Stand[] = [];
  const coils: Mover[] = [];
  const unsprung: SpringMounts['unsprung'][number][] = [];
  const bars = new Map(parts.flatMap((part) => (part.kind === 'bar' ? [[part.name, part]] : [])));
  const still = stillIn(m, shafts);
  const known = new Map<Blank, readonly BarPiece[]>();
  const pieces = (bar: Blank): readonly BarPiece[] => {
    const own = known.get(bar) ?? barPieces(m, figures, [bar], clearance);
    known.set(bar, own);
    return own;
  };
  for (const spring of m.springs) {
    const size = coilSizeOf(m, spring);
    if (!size) continue;
    for (const { name } of spring.returns) {
      const cam = figures.cams.find(({ segments }) => segments.includes(name));
      const segment = m.segments.find((one) => one.name === name);
      const slid = m.segments.find((one) => one.name === cam?.segments[0]);
      const bar = slid && bars.get(slid.name);
      // What is lacking there is told elsewhere.
      if (!segment || !slid || !bar?.pieces || slid.follower.value.kind === 'pivoted') continue;
      const not = (because: string) => unsprung.push({ spring: spring.name, segment: name, because });
      if ('because' in size) {
        not(size.because);
        continue;
      }
      const others = [...bars.values()].filter((one) => one !== bar);
      const room: Room = {
        clearance,
        faceFrom,
        around: [
          ...[...turningParts, ...coils, ...still].map((one) => seenFrom(bar, one)),
          ...piecesSeenFrom(bar, others.flatMap(pieces)),
        ],
        guides: guides.map((one) => seenFrom(bar, one)),
        own: piecesSeenFrom(bar, pieces(bar)),
        stands: stands.flatMap((one) => standSeenFrom(bar, one, faceFrom)),
      };
      const hook = m.bands.some(({ around }) => around.some((one) => one.name === name)) ? undefined : segment.hook;
      const context: Context = {
        size,
        bar,
        wall: slid.process.wall.value,
        standWall: frame!.process.wall.value,
        clearance,
        stroke: slid.stroke?.value ?? 0,
        most: Math.min(farthest.aside, leaningLimit(m, slid)),
        ...(hook && { hook: into(bar, hook.value) }),
      };
      const placedAt = size.kind === 'compression' ? seats(context) : pegs(context);
      if ('because' in placedAt) {
        not(placedAt.because);
        continue;
      }
      const found = bestThatFits(placedAt, asidesOf(context), room, context.stroke);
      if (!found) {
        not('there is no room for it, its seats and its pegs beside what moves');
        continue;
      }
      const { candidate, plate } = found;
      const out = (p: Point) => outOf(bar, p);
      bars.set(bar.name, withPegs(bar, candidate.pieces));
      stands.push({
        plate,
        end: candidate.end(plate),
        pieces: candidate
          .stand(plate)
          .map((piece) => ({ ...piece, loop: placed(piece.loop, bar.seats[0], bar.seats[0].turn) })),
      });
      const { rect } = candidate.coil;
      coils.push({
        name: `the spring of ${name}`,
        from: candidate.coil.from,
        to: candidate.coil.to,
        cover: { kind: 'polygon', points: cornersOfRect(rect).map(out) },
      });
      mounts.push({
        spring: spring.name,
        segment: name,
        bar: bar.name,
        size,
        moving: out({ x: candidate.at, y: candidate.aside }),
        fixed: out({ x: candidate.to, y: candidate.aside }),
        depth: -candidate.axis,
        aside: candidate.aside,
        plate,
      });
    }
  }
  return { mounts, stands, coils, unsprung, parts: parts.map((part) => bars.get(part.name) ?? part) };
}

/** Bearings, posts of bands and screws that have their place, from face to back. */
function stillIn(m: Mechanism, shafts: readonly { readonly at: Point; readonly round: number }[]): Mover[] {
  const disc = (at: Point, outer: number): Mover => ({
    name: '',
    from: -Infinity,
    to: Infinity,
    cover: { kind: 'ring', at, inner: 0, outer },
  });
  const { at, screws } = m.frame!;
  return [
    ...shafts.map((one) => disc(one.at, one.round)),
    ...m.posts.flatMap((post) => (post.at && positive(post.radius) ? [disc(post.at.value, post.radius!.value)] : [])),
    ...at.map(({ value }) => disc(value, 1.25 * screws.value.diameter)),
  ];
}

/** How far beside the slide a spring may stand: there friction in the guide, 2·μ·s/L of its pull, takes too much. */
function leaningLimit(m: Mechanism, { guide, process }: Segment): number {
  const { friction, greased } = process.material;
  const used = (frictionInUse(m) === 'greased' ? (greased ?? friction) : friction)?.value;
  return used && guide ? (leaning * guide.value) / (2 * used) : farthest.aside;
}

// ---- frames ------------------------------------------------------------------------------------------

/** A place on the face in the frame of a bar, and the other way about. */
function into({ seats: [{ x, y, turn }] }: Blank, p: Point): Point {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return { x: c * (p.x - x) + s * (p.y - y), y: c * (p.y - y) - s * (p.x - x) };
}

function outOf({ seats: [{ x, y, turn }] }: Blank, p: Point): Point {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return { x: x + c * p.x - s * p.y, y: y + s * p.x + c * p.y };
}

function seenFrom(bar: Blank, { from, to, cover }: Mover): Obstacle {
  const seen: Cover =
    cover.kind === 'ring'
      ? { ...cover, at: into(bar, cover.at) }
      : { kind: 'polygon', points: cover.points.map((p) => into(bar, p)) };
  return { from, to, cover: seen, box: boxRound(seen) };
}

function boxRound(cover: Cover): Box {
  if (cover.kind === 'polygon') return boxOf(cover.points) ?? { left: 0, right: 0, bottom: 0, top: 0 };
  const { at, outer } = cover;
  return { left: at.x - outer, right: at.x + outer, bottom: at.y - outer, top: at.y + outer };
}

/** Whether something has more in common with an obstacle than edges. */
const hits = (rect: Box, { cover, box }: Obstacle): boolean =>
  rect.left < box.right &&
  box.left < rect.right &&
  rect.bottom < box.top &&
  box.bottom < rect.top &&
  meets(rect, cover);

const piecesSeenFrom = (bar: Blank, pieces: readonly BarPiece[]): Obstacle[] =>
  pieces.flatMap(({ from, to, swept, home }) =>
    [swept, home].map((points) => seenFrom(bar, { name: '', from, to, cover: { kind: 'polygon', points } })),
  );

function standSeenFrom(bar: Blank, { plate, end, pieces }: Stand, faceFrom: number): Obstacle[] {
  const whole = plate === 'face plate' ? { from: end, to: faceFrom } : { from: -Infinity, to: end };
  return pieces.map(({ loop, ...own }) =>
    seenFrom(bar, { name: '', ...whole, ...own, cover: { kind: 'polygon', points: flattened(loop, 0.01) } }),
  );
}

const rectPiece = (rect: Box): Piece['loop'] => polygon(cornersOfRect(rect));

// ---- what keeps clear --------------------------------------------------------------------------------

interface Room {
  readonly clearance: number;
  readonly faceFrom: number;
  /** What turns, what stands anywhere, and the other bars over their strokes and on their way in. */
  readonly around: readonly Obstacle[];
  /** Of all stems, on the face plate. */
  readonly guides: readonly Obstacle[];
  /** Pieces of its own bar. */
  readonly own: readonly Obstacle[];
  /** What stands on plates for springs that have their place. */
  readonly stands: readonly Obstacle[];
}

/** The best of those candidates for which there is room, and the plate that it stands on. */
function bestThatFits(
  { beside, least }: Candidates,
  asides: readonly (readonly number[])[],
  room: Room,
  stroke: number,
): { readonly candidate: Candidate; readonly plate: Plate } | undefined {
  let best: { readonly candidate: Candidate; readonly plate: Plate } | undefined;
  for (const both of asides) {
    if (best && costOf(best.candidate) <= Math.abs(both[0]) + least / 2) break;
    for (const candidate of both.flatMap(beside).sort(byCost)) {
      if (best && costOf(best.candidate) <= costOf(candidate) + almost) break;
      if (!coilFits(candidate, room) || !ownFits(candidate, room, stroke)) continue;
      const plate = (['face plate', 'back plate'] as const).find((one) => standFits(candidate, one, room));
      if (plate) best = { candidate, plate };
    }
  }
  return best;
}

const overlaps = (a: Depth, b: Depth, by: number): boolean =>
  a.from < b.to + by - almost && a.to > b.from - by + almost;

function coilFits({ coil }: Candidate, { clearance, faceFrom, around, guides, stands }: Room): boolean {
  if (coil.to > faceFrom - clearance + almost) return false;
  const rect = widened(coil.rect, clearance - almost);
  const isClear = (one: Obstacle) => !overlaps(coil, one, clearance) || !hits(rect, one);
  return around.every(isClear) && guides.every(isClear) && stands.every(isClear);
}

function ownFits({ own }: Candidate, { clearance, faceFrom, around, guides, stands }: Room, stroke: number): boolean {
  return own.every((solid) => {
    if (solid.to > faceFrom - clearance + almost) return false;
    const rect = widened({ ...solid.rect, right: solid.rect.right + stroke }, clearance - almost);
    const isClear = (one: Obstacle) => !overlaps(solid, one, clearance) || !hits(rect, one);
    return (
      around.every(isClear) &&
      guides.every(isClear) &&
      // Past what stands on the face plate it goes in from the back.
      stands.every((one) => one.from >= solid.to - almost || !hits(rect, one))
    );
  });
}

function standFits(
  { foot, end, own }: Candidate,
  plate: Plate,
  { clearance, around, guides, own: bar }: Room,
): boolean {
  const rect = widened(foot, clearance - almost);
  const tip = end(plate);
  const isInTheWay = (one: Depth) =>
    plate === 'face plate' ? one.to > tip - clearance + almost : one.from < tip + clearance - almost;
  const isClear = (one: Obstacle) => !isInTheWay(one) || !hits(rect, one);
  return (
    own.every((one) => !isInTheWay(one) || !meetsPolygon(rect, cornersOfRect(one.rect))) &&
    around.every(isClear) &&
    bar.every(isClear) &&
    // On the face plate it may be one with the wall of a guide.
    (plate === 'face plate' || guides.every(isClear))
  );
}

// ---- candidates --------------------------------------------------------------------------------------

interface Context {
  readonly size: CoilSize;
  readonly bar: Blank;
  readonly wall: number;
  readonly standWall: number;
  readonly clearance: number;
  readonly stroke: number;
  /** Farthest beside the slide. */
  readonly most: number;
  /** Where the text hooks it. */
  readonly hook?: Point;
}

/** The candidates so far beside the slide, and the least that any of them reaches out. */
interface Candidates {
  readonly beside: (aside: number) => readonly Candidate[];
  readonly least: number;
}

/** Nearest to the slide, and half as much least far out, is best. */
const costOf = ({ aside, at, to }: Candidate): number => Math.abs(aside) + Math.max(at, to) / 2;

/** The best first, of those alike the one nearer to the face; what differs by noise alone stays in its order. */
const byCost = (a: Candidate, b: Candidate): number =>
  [costOf(a) - costOf(b), b.axis - a.axis].find((by) => Math.abs(by) > almost) ?? 0;

/** From the slide outwards, left before right. */
function asidesOf({ hook, most }: Context): number[][] {
  if (hook) return [[hook.y]];
  return Array.from({ length: Math.floor(most / step + almost) + 1 }, (_, i) =>
    i === 0 ? [0] : [i * step, -i * step],
  );
}

/** The pieces of a bar, its heights from the face. */
const piecesOf = ({ pieces = [], seats: [{ z }] }: Blank) =>
  pieces.map(({ from, to, loop }) => ({ from: from + z, to: to + z, points: flattened(loop, 0.01) }));

function seats(context: Context): Candidates | Unreckoned {
  const { size, bar, wall, standWall, clearance } = context;
  const radius = (size.mean + size.wire) / 2;
  const half = (size.mean - size.wire - 2 * clearance) / (2 * Math.SQRT2);
  if (2 * half < wall - almost)
    return {
      because: `a nib of one wall does not go into a coil that is ${written(size.mean - size.wire)} mm wide inside`,
    };
  const long = Math.min(nib.most, nib.share * size.raised);
  const [thick, stand] = [inWalls.seat * wall, inWalls.stand * standWall];
  const pieces = piecesOf(bar);
  const beside = (aside: number): Candidate[] => {
    const strip = { left: -1e4, right: 1e4, bottom: aside - radius + almost, top: aside + radius - almost };
    const here = pieces.flatMap((piece) => {
      const within = common(piece.points, cornersOfRect(strip));
      return within.length > 2 ? [{ ...piece, out: Math.max(...within.map(({ x }) => x)) }] : [];
    });
    const axes = new Set(here.flatMap(({ from, to }) => [Math.min(to, 0) - radius, Math.min(from + radius, -radius)]));
    return [...axes].flatMap((axis): Candidate[] => {
      const coiled: Depth = { from: axis - radius, to: axis + radius };
      const beside = here.filter((piece) => overlaps(piece, coiled, 0));
      const last = beside.reduce<(typeof here)[number] | undefined>(
        (a, b) => (a && a.out >= b.out - almost ? a : b),
        undefined,
      );
      if (!last || Math.min(last.to, coiled.to) - Math.max(last.from, coiled.from) < 2 * wall - almost) return [];
      const at = last.out + thick;
      const to = at + size.lowered;
      const wide = (left: number, right: number): Box => ({ left, right, bottom: aside - radius, top: aside + radius });
      const narrow = (left: number, right: number): Box => ({ left, right, bottom: aside - half, top: aside + half });
      const peg: Depth = { from: axis - half, to: axis + half };
      const seat: Solid = { ...coiled, rect: wide(last.out - thick, at) };
      const own = [seat, { ...peg, rect: narrow(at, at + long) }];
      return [
        {
          at,
          to,
          aside,
          axis,
          own,
          pieces: own.map(({ rect, ...depth }) => ({ ...depth, loop: rectPiece(rect) })),
          foot: wide(to - long, to + stand),
          end: (plate) => (plate === 'face plate' ? axis - radius : axis + radius),
          stand: () => [
            { loop: rectPiece(wide(to, to + stand)) },
            { ...peg, loop: rectPiece(narrow(to - long, to + almost)) },
          ],
          coil: { ...coiled, rect: wide(at, to) },
        },
      ];
    });
  };
  const nearest = Math.min(...pieces.map(({ points }) => Math.max(...points.map(({ x }) => x))));
  return { beside, least: nearest + thick + size.lowered };
}

const written = (value: number): string => `${Number(value.toFixed(2))}`;

function pegs(context: Context): Candidates | Unreckoned {
  const { size, bar, wall, clearance, stroke, hook } = context;
  const inside = size.mean - size.wire;
  const head = Math.min(inWalls.peg * wall, inside / 2 - clearance);
  const lip = Math.min(size.wire, head / 4);
  const neck = head - lip;
  if (2 * neck < wall - almost)
    return { because: `its hooks, ${written(inside)} mm wide inside, go over no peg of one wall` };
  const radius = (size.mean + size.wire) / 2;
  const groove = size.wire / 2 + clearance;
  const tip = groove + headInWalls * wall;
  const deep = Math.max(radius, tip);
  const pieces = piecesOf(bar);
  // The stem lies deepest, and on the slide; the bar's pieces before it reach no deeper.
  const from = Math.min(...pieces.map((piece) => piece.from));
  const plane = pieces.filter((piece) => piece.from < from + almost);
  const to = Math.min(...plane.map((piece) => piece.to));
  const onSlide = plane.filter(
    ({ points }) => Math.min(...points.map(({ y }) => y)) < 0 && Math.max(...points.map(({ y }) => y)) > 0,
  );
  const end = Math.max(0, ...onSlide.flatMap(({ points }) => points.map(({ x }) => x)));
  const half = Math.max(wall, ...onSlide.slice(0, 1).flatMap(({ points }) => points.map(({ y }) => Math.abs(y))));
  // The walls of guides end a clearance deeper than stems.
  const axis = from - 2 * clearance - radius;
  const reach = Math.ceil(end + farthest.beyond);
  const outs = hook ? [hook.x] : Array.from({ length: reach }, (_, i) => i + 1);
  const beside = (aside: number): Candidate[] =>
    outs.map((at): Candidate => {
      const fixed = at - size.lowered;
      const square = (x: number, by: number): Box => ({
        left: x - by,
        right: x + by,
        bottom: aside - by,
        top: aside + by,
      });
      const isOn = plane.some(({ points }) => distanceTo(points, at, aside) <= -head + almost);
      const stem = { left: end - wall, right: at + head, bottom: -Math.min(half, head), top: Math.min(half, head) };
      const across = {
        left: at - head,
        right: at + head,
        bottom: Math.min(0, aside) - head,
        top: Math.max(0, aside) + head,
      };
      const arm: Solid[] = isOn
        ? []
        : [
            ...(at + head > end ? [{ from, to, rect: stem }] : []),
            ...(aside !== 0 ? [{ from, to, rect: across }] : []),
          ];
      const own: Solid[] = [...arm, { from: axis - tip, to: from, rect: square(at, head) }];
      const peg = (x: number, ahead: 1 | -1, base?: number): Stand['pieces'] => {
        const [near, far] = [axis + ahead * groove, axis - ahead * groove];
        const ends = (a: number, b: number): Depth => ({ from: Math.min(a, b), to: Math.max(a, b) });
        const middle = { x, y: aside };
        return [
          {
            ...(base === undefined ? (ahead > 0 ? { from: near } : { to: near }) : ends(base, near)),
            loop: circle(head, middle),
          },
          { ...ends(near, far), loop: circle(neck, middle) },
          { ...ends(far, axis - ahead * tip), loop: circle(head, middle) },
        ];
      };
      return {
        at,
        to: fixed,
        aside,
        axis,
        own,
        pieces: [
          ...arm.map(({ rect, ...depth }) => ({ ...depth, loop: rectPiece(rect) })),
          ...peg(at, 1, to).map(({ from: low, to: high, loop }) => ({ from: low!, to: high!, loop })),
        ],
        foot: square(fixed, head),
        end: (plate) => (plate === 'face plate' ? axis - tip : axis + tip),
        stand: (plate) => peg(fixed, plate === 'face plate' ? 1 : -1),
        coil: {
          from: axis - deep,
          to: axis + radius,
          rect: { left: fixed, right: at + stroke, bottom: aside - radius, top: aside + radius },
        },
      };
    });
  return { beside, least: 0 };
}
