/**
 * Where a part is thin: the least distance across its material, and across the hollows in it, in every slab.
 *
 * Two places of the edge face each other where the way between them along the edge is more than three times as long
 * as the straight way: less is a corner, a tip or a notch that comes out blunt. (Along an edge that turns by T the way is at most
 * 1/cos(T/2) of the chord, Schur's comparison of arcs: neighbours on a smooth edge are told apart without a look.)
 * A piece, or a hole, that is small all round faces itself: its width counts.
 */
import type { Mechanism, Place, Point, Process } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { Blank } from './engraving.ts';
import { type Box, boxOf, type Edge, edgesOf, flattened, loopArea } from './loop.ts';
import type { Loop, Region } from './part.ts';
import { processesOf } from './parts.ts';

/** The thinnest place of a part's material, or of the holes in it (of a gear the gaps between its teeth too). */
export interface ThinPlace {
  readonly part: string;
  readonly kind: Blank['kind'];
  /** The name in the text that the part comes from. */
  readonly place: Place;
  readonly of: 'wall' | 'hollow';
  readonly thickness: number;
  /** What the process can make: its wall, or, of a hollow, its nozzle; mm. */
  readonly least: number;
  readonly nozzle: number;
  /** The middle of it, in the part's frame, and the slab's heights there. */
  readonly at: Point;
  readonly from: number;
  readonly to: number;
}

/** The way along the edge in straight ways between two places that face each other. */
const farRound = 3;
/** Along an edge that turns by less the way is never so long. */
const leastTurn = 2 * Math.acos(1 / farRound);
/** What is thinner by less, mm, is as thick. */
const noise = 1e-3;
/** Edges nearer to each other than this, mm, touch: there nothing lies between them. */
const touching = 1e-6;
/** A piece is small all round where its edge is no longer than so many times what can be made. */
const smallRound = 8;

/** The thin places of parts, at most one of each kind a part. Pauses after each. */
export function* thinPlacesOf(
  m: Mechanism,
  figures: MotionFigures,
  blanks: readonly Blank[],
): Generator<void, ThinPlace[]> {
  const processes = processesOf(m);
  const found: ThinPlace[] = [];
  for (const blank of blanks) {
    const { wall, nozzle }: Process = processes.get(blank.process)!;
    const within = rootsOf(figures, blank);
    for (const [of, least] of [
      ['wall', wall.value],
      ['hollow', nozzle.value],
    ] as const) {
      let thinnest: ThinPlace | undefined;
      for (const { from, to, regions } of blank.prisms) {
        const place = thinnestOf(
          of === 'wall' ? regions : hollowsOf(blank, regions),
          of,
          (thinnest?.thickness ?? least) - noise,
          within,
        );
        if (place)
          thinnest = {
            part: blank.name,
            kind: blank.kind,
            place: blank.place,
            of,
            least,
            nozzle: nozzle.value,
            from,
            to,
            ...place,
          };
      }
      if (thinnest) found.push(thinnest);
    }
    yield;
  }
  return found;
}

/** A notch in the rim that closes takes nothing away, unless a tooth is to go in. */
const hollowsOf = ({ kind }: Blank, regions: readonly Region[]): readonly Region[] =>
  kind === 'gear' ? regions : regions.map(({ holes }) => ({ outer: [], holes }));

/** Tips of teeth may be thin: the radius beyond which they stand. */
function rootsOf(figures: MotionFigures, { kind, name, room }: Blank): number | undefined {
  if (kind === 'gear') return figures.gears.find((gear) => gear.name === name)?.pitchRadius;
  // What may be engraved ends at the roots of a wheel's teeth.
  return kind === 'ratchet wheel' && room ? boxOf([room.region.outer]).right : undefined;
}

// ---- across a section ------------------------------------------------------------------------------------

interface Across {
  readonly thickness: number;
  readonly at: Point;
}

/**
 * The least distance across what regions enclose (or, `hollow`, across what they leave out), where it is below `below`.
 * Outside a circle of radius `within` about the origin nothing is looked at.
 */
export function thinnestOf(
  regions: readonly Region[],
  of: ThinPlace['of'],
  below: number,
  within = Infinity,
): Across | undefined {
  const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]).filter((loop) => loop.length > 0);
  if (!(below > 0)) return undefined;
  let best = narrowest(loops, of, below, within);
  const sides = loops.flatMap((loop, i) => sidesOf(loop, i, of));
  const far = (p: Point, q: Point) => Math.min(Math.hypot(p.x, p.y), Math.hypot(q.x, q.y)) > within;
  for (const [one, other] of facing(sides, below)) {
    const least = best?.thickness ?? below;
    if (Math.min(one.nearest, other.nearest) > within || gapBetween(one, other) >= least) continue;
    const spacing = below / looks;
    const found = leastAcross(one, other, least, spacing, far) ?? leastAcross(other, one, least, spacing, far);
    if (found) best = found;
  }
  return best;
}

/** Pieces, or holes, that are small all round: the least width of any. */
function narrowest(loops: readonly Loop[], of: ThinPlace['of'], below: number, within: number): Across | undefined {
  let best: Across | undefined;
  for (const loop of loops) {
    const { left, right, bottom, top } = boxOf([loop]);
    // Holes run clockwise.
    if (Math.max(right - left, top - bottom) > smallRound * below || loopArea(loop) > 0 !== (of === 'wall')) continue;
    const points = flattened(loop, noise / 4);
    const at = { x: (left + right) / 2, y: (bottom + top) / 2 };
    if (Math.hypot(at.x, at.y) > within) continue;
    for (const [i, p] of points.entries()) {
      const q = points[(i + 1) % points.length];
      const length = Math.hypot(q.x - p.x, q.y - p.y);
      if (length === 0) continue;
      const across = points.map(({ x, y }) => ((q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x)) / length);
      const thickness = Math.max(...across) - Math.min(...across);
      if (thickness < (best?.thickness ?? below)) best = { thickness, at };
    }
  }
  return best;
}

/** An edge with the way to it along its loop, and the turns that the loop has made before it and by its end. */
interface Side {
  readonly edge: Edge;
  readonly loop: number;
  readonly start: number;
  readonly length: number;
  /** Of the whole loop. */
  readonly around: number;
  readonly turnedBefore: number;
  readonly turnedAfter: number;
  readonly turnedAround: number;
  /** What is looked across lies on the left of it, +1, or on its right. */
  readonly inward: 1 | -1;
  readonly middle: Point;
  /** No point of it lies nearer to the origin. */
  readonly nearest: number;
  readonly box: Box;
}

function sidesOf(loop: Loop, number: number, of: ThinPlace['of']): Side[] {
  const edges = edgesOf(loop).filter(({ from, to }) => from.x !== to.x || from.y !== to.y);
  let [start, turned] = [0, 0];
  const sides = edges.map((edge, i): Omit<Side, 'around' | 'turnedAround'> => {
    const before = edges[(i + edges.length - 1) % edges.length];
    const turnedBefore = turned + Math.abs(between(headingAt(before, 1), headingAt(edge, 0)));
    turned = turnedBefore + Math.abs(edge.arc?.sweep ?? 0);
    const length = lengthOf(edge);
    const middle = pointAt(edge, 0.5);
    start += length;
    return {
      edge,
      loop: number,
      start: start - length,
      length,
      turnedBefore,
      turnedAfter: turned,
      inward: of === 'wall' ? 1 : -1,
      middle,
      nearest: Math.hypot(middle.x, middle.y) - length / 2,
      box: edgeBox(edge),
    };
  });
  return sides.map((side) => Object.assign(side, { around: start, turnedAround: turned }));
}

const lengthOf = ({ from, to, arc }: Edge): number =>
  arc ? arc.radius * Math.abs(arc.sweep) : Math.hypot(to.x - from.x, to.y - from.y);

/** Which way an edge goes at a share of it, rad. */
const headingAt = ({ from, to, arc }: Edge, share: number): number =>
  arc ? arc.start + share * arc.sweep + (Math.sign(arc.sweep) * Math.PI) / 2 : Math.atan2(to.y - from.y, to.x - from.x);

const between = (from: number, to: number): number => {
  const turned = to - from;
  return turned - 2 * Math.PI * Math.round(turned / (2 * Math.PI));
};

function edgeBox({ from, to, arc }: Edge): Box {
  if (arc) return boxOf([[from, { ...to, bulge: 0 }]]);
  return {
    left: Math.min(from.x, to.x),
    right: Math.max(from.x, to.x),
    bottom: Math.min(from.y, to.y),
    top: Math.max(from.y, to.y),
  };
}

/** Pairs of sides whose boxes come so near, without neighbours on a smooth edge. */
function* facing(sides: readonly Side[], near: number): Generator<readonly [Side, Side]> {
  const sorted = [...sides].sort((a, b) => a.box.left - b.box.left);
  for (const [i, one] of sorted.entries()) {
    for (let k = i + 1; k < sorted.length && sorted[k].box.left < one.box.right + near; k++) {
      const other = sorted[k];
      if (other.box.bottom > one.box.top + near || one.box.bottom > other.box.top + near) continue;
      if (one.loop !== other.loop || turnBetween(one, other) > leastTurn) yield [one, other];
    }
  }
}

/** How much the loop turns from one side to another, both included, the way round on which it turns less. */
function turnBetween(a: Side, b: Side): number {
  const [first, last] = a.start < b.start ? [a, b] : [b, a];
  return Math.min(last.turnedAfter - first.turnedBefore, a.turnedAround - last.turnedBefore + first.turnedAfter);
}

/** No less than this lies between two sides: by their boxes, and by their middles. */
function gapBetween(a: Side, b: Side): number {
  const [one, other] = [a.box, b.box];
  const [dx, dy] = [
    Math.max(0, one.left - other.right, other.left - one.right),
    Math.max(0, one.bottom - other.top, other.bottom - one.top),
  ];
  const middles = Math.hypot(a.middle.x - b.middle.x, a.middle.y - b.middle.y) - (a.length + b.length) / 2;
  return Math.max(Math.hypot(dx, dy), middles);
}

/** The shorter way along their loop. */
function wayBetween(one: Side, share: number, other: Side, onOther: number): number {
  const ahead = Math.abs(one.start + share * one.length - other.start - onOther * other.length);
  return Math.min(ahead, one.around - ahead);
}

/** Looks along an edge stand so close, in what is looked for. */
const looks = 8;

/** The least distance from a side straight to another, both of which it leaves inwards. */
function leastAcross(
  one: Side,
  other: Side,
  below: number,
  spacing: number,
  far: (p: Point, q: Point) => boolean,
): Across | undefined {
  interface Way {
    /** Infinite where the two places do not face each other. */
    readonly gap: number;
    readonly straight: number;
    readonly p: Point;
    readonly q: Point;
  }
  const at = (share: number): Way => {
    const p = pointAt(one.edge, share);
    const onOther = nearestShare(other.edge, p);
    const q = pointAt(other.edge, onOther);
    const straight = Math.hypot(q.x - p.x, q.y - p.y);
    const isWall =
      straight < below &&
      straight > touching &&
      goesIn(one, share, p, q, straight) &&
      goesIn(other, onOther, q, p, straight) &&
      !far(p, q) &&
      (one.loop !== other.loop || wayBetween(one, share, other, onOther) >= farRound * straight);
    return { gap: isWall ? straight : Infinity, straight, p, q };
  };
  if (at(0.5).straight - one.length / 2 >= below) return undefined;
  let [best, where] = [at(0), 0];
  const look = (here: Way, share: number): void => {
    if (here.gap < best.gap) [best, where] = [here, share];
  };
  look(at(1), 1);
  /** Halves stretches that may come so near, as no point of one lies farther from its middle than half its length. */
  const halve = (from: number, to: number): void => {
    const middle = (from + to) / 2;
    const half = ((to - from) * one.length) / 2;
    const here = at(middle);
    look(here, middle);
    if (here.straight - half >= Math.min(below, best.gap) || half < spacing / 2) return;
    halve(from, middle);
    halve(middle, to);
  };
  halve(0, 1);
  if (best.gap >= below) return undefined;
  const step = spacing / one.length;
  let [from, to] = [Math.max(0, where - step), Math.min(1, where + step)];
  for (let i = 0; i < 24; i++) {
    const [a, b] = [from + (to - from) / 3, to - (to - from) / 3];
    const [left, right] = [at(a), at(b)];
    for (const here of [left, right]) if (here.gap < best.gap) best = here;
    if (left.gap <= right.gap) to = b;
    else from = a;
  }
  const { gap, p, q } = best;
  return { thickness: gap, at: { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 } };
}

function pointAt({ from, to, arc }: Edge, share: number): Point {
  if (!arc) return { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
  const angle = arc.start + share * arc.sweep;
  return { x: arc.centre.x + arc.radius * Math.cos(angle), y: arc.centre.y + arc.radius * Math.sin(angle) };
}

/** The share of an edge at which it is nearest to a point. */
function nearestShare({ from, to, arc }: Edge, p: Point): number {
  if (!arc) {
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    return Math.min(1, Math.max(0, ((p.x - from.x) * dx + (p.y - from.y) * dy) / (dx * dx + dy * dy)));
  }
  const angle = Math.atan2(p.y - arc.centre.y, p.x - arc.centre.x);
  // Of the angles beyond both ends, the half next to the end belongs to it.
  const share = 0.5 + between(arc.start + arc.sweep / 2, angle) / arc.sweep;
  return Math.min(1, Math.max(0, share));
}

/** Steeper to the edge than this a straight way does not lead in: the sine of the angle. */
const steep = 0.2;

function goesIn({ edge, inward }: Side, share: number, p: Point, q: Point, gap: number): boolean {
  const heading = headingAt(edge, share);
  const aside = Math.cos(heading) * (q.y - p.y) - Math.sin(heading) * (q.x - p.x);
  return gap > 0 && inward * aside > steep * gap;
}
