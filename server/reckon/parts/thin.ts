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
import { Latest } from '../remembering.ts';
import type { Blank } from './engraving.ts';
import { type Box, boxOf, type Edge, edgesOf, flattened, loopArea } from './loop.ts';
import type { Loop, Region, Vertex } from './part.ts';
import { processesOf } from './parts.ts';
import { type Rim, rimOf, type Stretch, turnBetween } from './rims.ts';
import { toldOf } from './same-loop.ts';

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
    const gear = blank.kind === 'gear' ? figures.gears.find(({ name }) => name === blank.name) : undefined;
    const within = gear?.pitchRadius ?? rootsOf(blank);
    for (const [of, least] of [
      ['wall', wall.value],
      ['hollow', nozzle.value],
    ] as const) {
      let thinnest: ThinPlace | undefined;
      for (const { from, to, regions } of blank.prisms) {
        const place = thinnestOnce(
          of === 'wall' ? regions : hollowsOf(blank, regions),
          of,
          (thinnest?.thickness ?? least) - noise,
          within,
          gear?.teeth,
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

/** Tips of teeth may be thin: of a wheel, the radius beyond which they stand. */
const rootsOf = ({ kind, room }: Blank): number | undefined =>
  // What may be engraved ends at the roots of a wheel's teeth.
  kind === 'ratchet wheel' && room ? boxOf([room.region.outer]).right : undefined;

// ---- across a section ------------------------------------------------------------------------------------

interface Across {
  readonly thickness: number;
  readonly at: Point;
}

const latest = new Latest<{ readonly thinnest: Across | undefined }>(1024);

/** The same, reckoned once of the same section. */
const thinnestOnce: typeof thinnestOf = (regions, of, below, within, teeth) => {
  const told = `${of} ${below} ${within} ${teeth} ${toldOf(regions)}`;
  const { thinnest } =
    latest.get(told) ?? latest.keep(told, { thinnest: thinnestOf(regions, of, below, within, teeth) });
  return thinnest;
};

/**
 * The least distance across what regions enclose (or, `hollow`, across what they leave out), where it is below `below`.
 * Outside a circle of radius `within` about the origin nothing is looked at. `teeth`: of a gear, whose outline comes first.
 */
export function thinnestOf(
  regions: readonly Region[],
  of: ThinPlace['of'],
  below: number,
  within = Infinity,
  teeth?: number,
): Across | undefined {
  const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]).filter((loop) => loop.length > 0);
  if (!(below > 0)) return undefined;
  const inward = of === 'wall' ? 1 : -1;
  const rims = loops.map(rimOf);
  const unfaced = new Set(rims.flatMap((rim) => (facesItself(rim, inward) ? [] : [rim.loop])));
  if (teeth && noToothIsThin(loops[0], teeth, inward, below, within)) unfaced.add(loops[0]);
  const runs = rims.flatMap((rim) => rim.runs);
  const near = new Set<Vertex>();
  for (const { loop, start, end } of new Set([...facing(runs, below, unfaced)].flat()))
    for (let i = start; i < end; i++) near.add(loop[i]);
  const sides = loops.flatMap((loop) => sidesOf(loop, inward, near));
  return leastBetween(sides, unfaced, below, within, narrowest(rims, of, below, within));
}

/** Nothing lies straight across outside what turns one way only, and what lies across a circle is told by its width. */
const facesItself = ({ turns, isCircle }: Rim, inward: 1 | -1): boolean => !isCircle && turns !== -inward;

/** The least of what was found and what lies between sides; none between those of one loop that is `unfaced`. */
function leastBetween(
  sides: readonly Side[],
  unfaced: ReadonlySet<Loop>,
  below: number,
  within: number,
  found?: Across,
): Across | undefined {
  const far = (p: Point, q: Point) => Math.min(Math.hypot(p.x, p.y), Math.hypot(q.x, q.y)) > within;
  const spacing = below / looks;
  let best = found;
  for (const [one, other] of facing(sides, below, unfaced)) {
    const least = best?.thickness ?? below;
    if (Math.min(one.nearest, other.nearest) > within || gapBetween(one, other) >= least) continue;
    best = leastAcross(one, other, least, spacing, far) ?? leastAcross(other, one, least, spacing, far) ?? best;
  }
  return best;
}

/**
 * Whether no place of a gear's outline lies across from another: seen at so many of its teeth, all alike, as lie within
 * reach of one. False where they are not told apart by their vertices.
 */
function noToothIsThin(outline: Loop, teeth: number, inward: 1 | -1, below: number, within: number): boolean {
  const each = Math.floor(outline.length / teeth);
  // The first vertex may lie within the root that the last tooth shares with the first.
  if (outline.length - teeth * each > 1 || each < 4) return false;
  const reach = Math.ceil((below * wider) / apart(outline[1], outline[1 + each])) + 2;
  if (reach > teeth / 3) return false;
  const some = outline.slice(0, reach * each + 2);
  const sides = sidesOf(some, inward, new Set(some.slice(0, -1)), false);
  return !leastBetween(sides, new Set(), below + touching, within);
}

/** A chord of up to a third of a turn is no more than so much shorter than the chords of its parts in a row. */
const wider = 1.25;

/** Pieces, or holes, that are small all round: the least width of any. */
function narrowest(rims: readonly Rim[], of: ThinPlace['of'], below: number, within: number): Across | undefined {
  let best: Across | undefined;
  for (const { loop, isCircle } of rims) {
    const [{ x, y }] = loop;
    const isFar = (p: Point) => Math.max(Math.abs(p.x - x), Math.abs(p.y - y)) > smallRound * below;
    if (loop.some(isFar) || (isCircle && apart(loop[0], loop[1]) > below + noise)) continue;
    const { left, right, bottom, top } = boxOf([loop]);
    // Holes run clockwise.
    if (Math.max(right - left, top - bottom) > smallRound * below || loopArea(loop) > 0 !== (of === 'wall')) continue;
    const points = flattened(loop, noise / 4);
    const at = { x: (left + right) / 2, y: (bottom + top) / 2 };
    if (Math.hypot(at.x, at.y) > within) continue;
    for (const [i, p] of points.entries()) {
      const q = points[(i + 1) % points.length];
      const length = apart(p, q);
      if (length === 0) continue;
      const across = points.map(({ x, y }) => ((q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x)) / length);
      const thickness = Math.max(...across) - Math.min(...across);
      if (thickness < (best?.thickness ?? below)) best = { thickness, at };
    }
  }
  return best;
}

const apart = (p: Point, q: Point): number => Math.hypot(q.x - p.x, q.y - p.y);

/** An edge with the way to it along its loop. */
interface Side extends Stretch {
  readonly edge: Edge;
  readonly length: number;
  /** Of the whole loop. */
  readonly around: number;
  /** What is looked across lies on the left of it, +1, or on its right. */
  readonly inward: 1 | -1;
  readonly middle: Point;
  /** No point of it lies nearer to the origin. */
  readonly nearest: number;
}

/** The edges of a loop (not `closed`: of some way) that start from some of its vertices. */
function sidesOf(loop: Loop, inward: 1 | -1, wanted: ReadonlySet<Vertex>, closed = true): Side[] {
  if (!loop.some((vertex) => wanted.has(vertex))) return [];
  const edges = edgesOf(loop).filter(({ from, to }) => from.x !== to.x || from.y !== to.y);
  let [start, turned] = [0, 0];
  let before = edges[edges.length - 1];
  const sides: Omit<Side, 'around' | 'turnedAround'>[] = [];
  for (const edge of edges) {
    const turnedBefore = turned + Math.abs(between(headingAt(before, 1), headingAt(edge, 0)));
    turned = turnedBefore + Math.abs(edge.arc?.sweep ?? 0);
    before = edge;
    const length = lengthOf(edge);
    start += length;
    if (!wanted.has(edge.from)) continue;
    const middle = pointAt(edge, 0.5);
    sides.push({
      edge,
      loop,
      start: start - length,
      length,
      turnedBefore,
      turnedAfter: turned,
      inward,
      middle,
      nearest: Math.hypot(middle.x, middle.y) - length / 2,
      ...edgeBox(edge),
    });
  }
  const [around, turnedAround] = closed ? [start, turned] : [Infinity, Infinity];
  return sides.map((side) => Object.assign(side, { around, turnedAround }));
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

/** Pairs of stretches whose boxes come so near, without neighbours on a smooth edge, and `alone` without any of one loop. */
function* facing<Of extends Stretch>(
  stretches: readonly Of[],
  near: number,
  alone: ReadonlySet<Loop>,
): Generator<readonly [Of, Of]> {
  const sorted = [...stretches].sort((a, b) => a.left - b.left);
  for (let i = 0; i < sorted.length; i++) {
    const one = sorted[i];
    for (let k = i + 1; k < sorted.length && sorted[k].left < one.right + near; k++) {
      const other = sorted[k];
      if (other.bottom > one.top + near || one.bottom > other.top + near) continue;
      if (one.loop !== other.loop || (!alone.has(one.loop) && turnBetween(one, other) > leastTurn)) yield [one, other];
    }
  }
}

/** No less than this lies between two sides: by their boxes, and by their middles. */
function gapBetween(a: Side, b: Side): number {
  const [dx, dy] = [Math.max(0, a.left - b.right, b.left - a.right), Math.max(0, a.bottom - b.top, b.bottom - a.top)];
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
