/**
 * A union of upright prisms less others, seen from above: a planar arrangement of straight lines and arcs, each with
 * the slabs (between neighbouring heights) in which material lies to its left or right.
 *
 * All curves are cut where they meet, so that every face of the body, upright or level, is bounded by whole edges of
 * the arrangement; arcs stay arcs. On which side of its own curves a region lies follows from their direction, and of
 * all others from where their middles lie: nothing is asked of a point a little aside, so that slivers do no harm.
 */
import type { Point } from '../../../language/mechanism.ts';
import { wrapped } from '../../reckon/motion/angles.ts';
import { type Box, boxOf, distanceToEdge, type Edge, edgesOf } from '../../reckon/parts/loop.ts';
import type { Loop, Prism } from '../../reckon/parts/part.ts';

/** Points closer than this are one, mm. */
export const grain = 1e-5;

/** One edge; `bulge` from `from` to `to`, which are places in `Arrangement.points`. */
export interface ArrangedEdge {
  readonly from: number;
  readonly to: number;
  readonly bulge: number;
  /** For every slab, whether material lies to the left of it, and to the right. */
  readonly left: readonly boolean[];
  readonly right: readonly boolean[];
}

export interface Arrangement {
  /** One more than slabs; rising. */
  readonly heights: readonly number[];
  readonly points: readonly Point[];
  /** Every edge bounds material in some slab; they meet at their ends only. */
  readonly edges: readonly ArrangedEdge[];
}

/** What `cut` leaves of the union of `body`. Regions may overlap; the loops of one region must not cross. */
export function arrange(body: readonly Prism[], cut: readonly Prism[] = []): Arrangement {
  const heights = heightsOf([...body, ...cut]);
  const members = [...membersOf(body, heights, false), ...membersOf(cut, heights, true)];
  let rings = 0;
  const curves = members.flatMap(({ loops }, member) =>
    loops.flatMap((loop) => {
      const ring = rings++;
      return loop.map((edge): Curve => ({ ...edge, member, ring, box: boxOfEdge(edge) }));
    }),
  );
  const { points, pieces } = cutUp(curves);
  const within = insiders(pieces, points, members, curves);
  const edges = pieces.flatMap((piece): Marked[] => {
    const sides = sidesOf(piece, members, curves, within, heights.length - 1);
    return sides.left.every((left, slab) => left === sides.right[slab]) ? [] : [{ ...piece, ...sides }];
  });
  return { heights, points, edges: joined(edges, points.length) };
}

// ---- regions and their curves ------------------------------------------------------------------

interface Member {
  readonly loops: readonly (readonly Edge[])[];
  readonly box: Box;
  readonly cut: boolean;
  /** The slabs that it fills, the last one not included. */
  readonly first: number;
  readonly last: number;
}

interface Curve extends Edge {
  readonly member: number;
  /** Which loop of all it belongs to. */
  readonly ring: number;
  readonly box: Box;
}

/** Where prisms begin and end, rising. */
export function heightsOf(prisms: readonly Prism[]): number[] {
  const all = prisms.flatMap(({ from, to }) => [from, to]).sort((a, b) => a - b);
  return all.filter((height, i) => i === 0 || height - all[i - 1] > grain);
}

function membersOf(prisms: readonly Prism[], heights: readonly number[], cut: boolean): Member[] {
  const level = (height: number) => heights.findLastIndex((one) => one <= height + grain);
  return prisms.flatMap(({ from, to, regions }) =>
    regions.map(({ outer, holes }) => ({
      loops: [outer, ...holes].map(drawn),
      box: boxOf([outer]),
      cut,
      first: level(from),
      last: level(to),
    })),
  );
}

/** Edges of some length; arcs that leave their chord by less than the grain are straight. */
const drawn = (loop: Loop): Edge[] =>
  edgesOf(loop)
    .filter(({ from, to }) => from.x !== to.x || from.y !== to.y)
    .map((edge) =>
      edge.arc && Math.abs(sagOf(edge.from, edge.to, edge.from.bulge)) < grain / 10
        ? { from: { ...edge.from, bulge: 0 }, to: edge.to }
        : edge,
    );

/** How far an arc bulges from its chord, to the right positive. */
const sagOf = (from: Point, to: Point, bulge: number): number => (bulge * Math.hypot(to.x - from.x, to.y - from.y)) / 2;

/** Of one edge, which is a loop with the chord back. */
const boxOfEdge = ({ from, to }: Edge): Box => boxOf([[from, { ...to, bulge: 0 }]]);

const apart = (one: Box, other: Box): boolean =>
  one.left > other.right + grain ||
  other.left > one.right + grain ||
  one.bottom > other.top + grain ||
  other.bottom > one.top + grain;

// ---- cutting curves where they meet --------------------------------------------------------------

/** A piece of one curve or of several that are the same there. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly sources: readonly Source[];
}

interface Source {
  readonly curve: number;
  /** Whether the curve runs as the piece does. */
  readonly along: boolean;
  /** Of the curve between the piece's ends, in the piece's direction. */
  readonly bulge: number;
}

function cutUp(curves: readonly Curve[]): { points: Point[]; pieces: Piece[] } {
  const { points, at } = pointPool();
  const ends = curves.map(({ from, to }): [number, number] => [at(from), at(to)]);
  const cuts = curves.map(() => new Set<number>());
  const split = (curve: number, point: Point) => {
    const vertex = at(point);
    if (!ends[curve].includes(vertex)) cuts[curve].add(vertex);
  };
  const byLeft = curves.map((_, i) => i).sort((a, b) => curves[a].box.left - curves[b].box.left || a - b);
  for (const [place, i] of byLeft.entries()) {
    for (let next = place + 1; next < byLeft.length; next++) {
      const k = byLeft[next];
      if (curves[k].box.left > curves[i].box.right + grain) break;
      if (apart(curves[i].box, curves[k].box)) continue;
      // Neighbours of a loop meet where they are joined.
      if (curves[i].ring === curves[k].ring && ends[k].some((end) => ends[i].includes(end))) continue;
      for (const point of meetings(curves[i], curves[k])) {
        if (distanceToEdge(point, curves[i]) > grain || distanceToEdge(point, curves[k]) > grain) continue;
        split(i, point);
        split(k, point);
      }
    }
  }
  // Where two curves meet, others may pass within the grain.
  for (const point of points.slice(new Set(ends.flat()).size)) {
    const box = { left: point.x, right: point.x, bottom: point.y, top: point.y };
    for (let i = 0; i < curves.length; i++)
      if (!apart(curves[i].box, box) && distanceToEdge(point, curves[i]) <= grain) split(i, point);
  }

  const found = new Map<number, Piece[]>();
  for (const [i, curve] of curves.entries()) {
    const [from, to] = ends[i];
    const inner = [...cuts[i]].map((vertex) => ({ vertex, share: shareAlong(curve, points[vertex]) }));
    inner.sort((a, b) => a.share - b.share);
    const stops = [{ vertex: from, share: 0 }, ...inner, { vertex: to, share: 1 }];
    for (let k = 1; k < stops.length; k++) {
      const [a, b] = [stops[k - 1], stops[k]];
      if (a.vertex === b.vertex) continue;
      const along = a.vertex < b.vertex;
      const bulge = curve.arc ? Math.tan(((b.share - a.share) * curve.arc.sweep) / 4) : 0;
      const [low, high] = along ? [a, b] : [b, a];
      add(found, points, low.vertex, high.vertex, { curve: i, along, bulge: along ? bulge : -bulge });
    }
  }
  return { points, pieces: [...found.values()].flat() };
}

/** Adds a piece of a curve to those between the same points; what lies on another within the grain is the same. */
function add(found: Map<number, Piece[]>, points: readonly Point[], from: number, to: number, source: Source): void {
  const key = from * points.length + to;
  const rivals = found.get(key) ?? [];
  const sag = (bulge: number) => sagOf(points[from], points[to], bulge);
  const same = rivals.findIndex(({ sources }) => Math.abs(sag(sources[0].bulge) - sag(source.bulge)) < 4 * grain);
  if (same < 0) enlist(found, key, { from, to, sources: [source] });
  else rivals[same] = { ...rivals[same], sources: [...rivals[same].sources, source] };
}

/** Points by their numbers, those within the grain of one another taken for one. */
function pointPool(): { points: Point[]; at: (point: Point) => number } {
  const points: Point[] = [];
  const cells = new Map<number, number[]>();
  const size = 16 * grain;
  const key = (x: number, y: number) => Math.floor(x / size) * 2 ** 26 + Math.floor(y / size);
  const at = ({ x, y }: Point): number => {
    for (const cell of new Set([
      key(x - grain, y - grain),
      key(x + grain, y - grain),
      key(x - grain, y + grain),
      key(x + grain, y + grain),
    ]))
      for (const i of cells.get(cell) ?? []) if (Math.hypot(points[i].x - x, points[i].y - y) <= grain) return i;
    enlist(cells, key(x, y), points.length);
    return points.push({ x, y }) - 1;
  };
  return { points, at };
}

/** Adds to the list under a key. */
export function enlist<K, V>(lists: Map<K, V[]>, key: K, value: V): void {
  const list = lists.get(key);
  if (list) list.push(value);
  else lists.set(key, [value]);
}

/** How far along a curve a point of it lies, 0 to 1. */
function shareAlong({ from, to, arc }: Edge, { x, y }: Point): number {
  if (arc) {
    const angle = Math.atan2(y - arc.centre.y, x - arc.centre.x);
    return wrapped(arc.sweep > 0 ? angle - arc.start : arc.start - angle) / Math.abs(arc.sweep);
  }
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  return ((x - from.x) * dx + (y - from.y) * dy) / (dx * dx + dy * dy);
}

/** Where two curves may meet: the ends of either, and where the lines and circles that they lie on cross or touch. */
function meetings(one: Edge, other: Edge): Point[] {
  const ends = [one.from, one.to, other.from, other.to];
  if (!one.arc && !other.arc) return [...ends, ...linesMeet(one, other)];
  if (one.arc && other.arc) return [...ends, ...circlesMeet(one.arc, other.arc)];
  return [...ends, ...(one.arc ? lineMeetsCircle(other, one.arc) : lineMeetsCircle(one, other.arc!))];
}

function linesMeet(one: Edge, other: Edge): Point[] {
  const [ax, ay] = [one.to.x - one.from.x, one.to.y - one.from.y];
  const [bx, by] = [other.to.x - other.from.x, other.to.y - other.from.y];
  const cross = ax * by - ay * bx;
  if (Math.abs(cross) <= 1e-12 * Math.hypot(ax, ay) * Math.hypot(bx, by)) return [];
  const share = ((other.from.x - one.from.x) * by - (other.from.y - one.from.y) * bx) / cross;
  return [{ x: one.from.x + share * ax, y: one.from.y + share * ay }];
}

interface Circle {
  readonly centre: Point;
  readonly radius: number;
}

function lineMeetsCircle({ from, to }: Edge, { centre, radius }: Circle): Point[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [ux, uy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const along = (centre.x - from.x) * ux + (centre.y - from.y) * uy;
  const foot = { x: from.x + along * ux, y: from.y + along * uy };
  return besideFoot(foot, { x: ux, y: uy }, radius, Math.hypot(foot.x - centre.x, foot.y - centre.y));
}

function circlesMeet(one: Circle, other: Circle): Point[] {
  const [dx, dy] = [other.centre.x - one.centre.x, other.centre.y - one.centre.y];
  const distance = Math.hypot(dx, dy);
  if (distance < grain) return [];
  const [ux, uy] = [dx / distance, dy / distance];
  const along = (distance * distance + one.radius * one.radius - other.radius * other.radius) / (2 * distance);
  const foot = { x: one.centre.x + along * ux, y: one.centre.y + along * uy };
  return besideFoot(foot, { x: -uy, y: ux }, one.radius, Math.abs(along));
}

/** The two points of a circle on a line whose foot lies `away` from the centre; the foot itself where it only touches. */
function besideFoot(foot: Point, { x, y }: Point, radius: number, away: number): Point[] {
  if (away > radius + grain) return [];
  const half = Math.sqrt(Math.max(0, radius * radius - away * away));
  if (half <= grain) return [foot];
  return [
    { x: foot.x + half * x, y: foot.y + half * y },
    { x: foot.x - half * x, y: foot.y - half * y },
  ];
}

// ---- where the material lies ---------------------------------------------------------------------

type Sides = Pick<ArrangedEdge, 'left' | 'right'>;
type Marked = Piece & Sides;

function sidesOf(
  piece: Piece,
  members: readonly Member[],
  curves: readonly Curve[],
  within: (piece: Piece, member: number) => boolean,
  slabs: number,
): Sides {
  const filled = [new Array<boolean>(slabs).fill(false), new Array<boolean>(slabs).fill(false)];
  const emptied = [new Array<boolean>(slabs).fill(false), new Array<boolean>(slabs).fill(false)];
  for (const [index, { cut, first, last }] of members.entries()) {
    let turns = 0;
    for (const { curve, along } of piece.sources) if (curves[curve].member === index) turns += along ? 1 : -1;
    // Of a loop's edge the region lies to the left; two that cancel are a slit or a spike of no width.
    const inside = turns === 0 && within(piece, index);
    if (inside || turns > 0) (cut ? emptied : filled)[0].fill(true, first, last);
    if (inside || turns < 0) (cut ? emptied : filled)[1].fill(true, first, last);
  }
  const [left, right] = filled.map((side, i) => side.map((full, slab) => full && !emptied[i][slab]));
  return { left, right };
}

/** Whether a piece lies in a region that it is no edge of. All pieces of a loop that does not meet the region do, or none. */
function insiders(
  pieces: readonly Piece[],
  points: readonly Point[],
  members: readonly Member[],
  curves: readonly Curve[],
): (piece: Piece, member: number) => boolean {
  const through: Set<number>[] = points.map(() => new Set());
  for (const { from, to, sources } of pieces)
    for (const { curve } of sources) for (const end of [from, to]) through[end].add(curves[curve].member);
  const met = new Set<number>();
  const key = (ring: number, member: number) => ring * members.length + member;
  for (const { from, to, sources } of pieces)
    for (const { curve } of sources)
      for (const end of [from, to]) for (const member of through[end]) met.add(key(curves[curve].ring, member));

  const known = new Map<number, boolean>();
  return ({ from, to, sources }, member) => {
    const ring = key(curves[sources[0].curve].ring, member);
    const before = known.get(ring);
    if (before !== undefined) return before;
    const { box, loops } = members[member];
    const middle = middleOf(points[from], points[to], sources[0].bulge);
    const inside = inBox(box, middle) && encloses(loops, middle);
    if (!met.has(ring)) known.set(ring, inside);
    return inside;
  };
}

const inBox = ({ left, right, bottom, top }: Box, { x, y }: Point): boolean =>
  x >= left && x <= right && y >= bottom && y <= top;

/** The middle of an arc: its sag to the right of the chord's middle. */
export const middleOf = (from: Point, to: Point, bulge: number): Point => ({
  x: (from.x + to.x) / 2 + (bulge * (to.y - from.y)) / 2,
  y: (from.y + to.y) / 2 - (bulge * (to.x - from.x)) / 2,
});

/**
 * Whether a region's loops, on none of which the point lies, run round it: by the polygons of their chords (crossings of
 * the ray to +x), and the segments between chords and arcs.
 */
export function encloses(loops: readonly (readonly Edge[])[], point: Point): boolean {
  let turns = 0;
  for (const edges of loops) {
    for (const { from, to, arc } of edges) {
      const onLeft = isLeft(from, to, point);
      if (from.y <= point.y && to.y > point.y && onLeft) turns++;
      if (to.y <= point.y && from.y > point.y && !onLeft) turns--;
      if (!arc || Math.hypot(point.x - arc.centre.x, point.y - arc.centre.y) >= arc.radius) continue;
      if (arc.sweep > 0 && !onLeft) turns++;
      if (arc.sweep < 0 && onLeft) turns--;
    }
  }
  return turns > 0;
}

/** Whether a point lies left of a chord; one on its line is taken a little higher, then a very little to the right. */
function isLeft(from: Point, to: Point, { x, y }: Point): boolean {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const cross = dx * (y - from.y) - dy * (x - from.x);
  return cross !== 0 ? cross > 0 : dx !== 0 ? dx > 0 : dy < 0;
}

// ---- taking needless points out ------------------------------------------------------------------

/** Joins what was cut where nothing of the body's surface meets any more. */
function joined(edges: readonly Marked[], count: number): ArrangedEdge[] {
  const all: (Marked | undefined)[] = [...edges];
  const at: number[][] = Array.from({ length: count }, () => []);
  for (const [i, { from, to }] of edges.entries()) {
    at[from].push(i);
    at[to].push(i);
  }
  for (let vertex = 0; vertex < count; vertex++) {
    if (at[vertex].length !== 2) continue;
    const [first, second] = at[vertex];
    const into = all[first]!.to === vertex ? all[first]! : reversed(all[first]!);
    const out = all[second]!.from === vertex ? all[second]! : reversed(all[second]!);
    const sources = into.sources.flatMap((source): Source[] => {
      const next = out.sources.find(({ curve, along }) => curve === source.curve && along === source.along);
      return next ? [{ ...source, bulge: Math.tan(Math.atan(source.bulge) + Math.atan(next.bulge)) }] : [];
    });
    if (sources.length === 0 || into.from === out.to || !alike(into, out)) continue;
    all[first] = { ...into, to: out.to, sources };
    all[second] = undefined;
    at[out.to][at[out.to].indexOf(second)] = first;
  }
  return all.flatMap((edge): ArrangedEdge[] => {
    if (!edge) return [];
    const { from, to, sources, left, right } = edge;
    return [{ from, to, bulge: sources[0].bulge, left, right }];
  });
}

const reversed = ({ from, to, left, right, sources }: Marked): Marked => ({
  from: to,
  to: from,
  left: right,
  right: left,
  sources: sources.map(({ curve, along, bulge }) => ({ curve, along: !along, bulge: -bulge })),
});

const alike = (one: Sides, other: Sides): boolean =>
  one.left.every((left, slab) => left === other.left[slab] && one.right[slab] === other.right[slab]);
