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
import { type Box, distanceToEdge, type Edge, edgeBetween } from '../../reckon/parts/loop.ts';
import type { Loop, Prism, Vertex } from '../../reckon/parts/part.ts';

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
  const curves: Curve[] = [];
  let rings = 0;
  for (let member = 0; member < members.length; member++)
    for (const loop of members[member].loops) {
      const ring = rings++;
      for (const { from, to, arc } of loop) curves.push({ from, to, arc, member, ring, box: boxOfEdge(from, to) });
    }
  const { points, pieces, cuts } = cutUp(curves);
  const edges = marked(pieces, points, members, curves, rings, heights.length - 1);
  return { heights, points, edges: joined(edges, cuts) };
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
    regions.map(({ outer, holes }) => {
      const rim = drawn(outer);
      const loops = holes.length > 0 ? [rim, ...holes.map(drawn)] : [rim];
      return { loops, box: boxRound(rim), cut, first: level(from), last: level(to) };
    }),
  );
}

/** Edges of some length; arcs that leave their chord by less than the grain are straight. */
function drawn(loop: Loop): Edge[] {
  const edges: Edge[] = [];
  for (let i = 0; i < loop.length; i++) {
    const from = loop[i];
    const to = loop[i + 1 < loop.length ? i + 1 : 0];
    if (from.x === to.x && from.y === to.y) continue;
    if (from.bulge === 0) edges.push({ from, to, arc: undefined });
    else if (Math.abs(sagOf(from, to, from.bulge)) >= grain / 10) edges.push(edgeBetween(from, to));
    else edges.push({ from: { x: from.x, y: from.y, bulge: 0 }, to, arc: undefined });
  }
  return edges;
}

/** How far an arc bulges from its chord, to the right positive. */
const sagOf = (from: Point, to: Point, bulge: number): number => (bulge * Math.hypot(to.x - from.x, to.y - from.y)) / 2;

/** Round an edge, and hardly wider: no point of an arc is farther from its chord than the sag. */
function boxOfEdge(from: Vertex, to: Point): Box {
  const sag = from.bulge === 0 ? 0 : Math.abs(sagOf(from, to, from.bulge));
  return {
    left: Math.min(from.x, to.x) - sag,
    right: Math.max(from.x, to.x) + sag,
    bottom: Math.min(from.y, to.y) - sag,
    top: Math.max(from.y, to.y) + sag,
  };
}

function boxRound(edges: readonly Edge[]): Box {
  let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { from, to } of edges) {
    const box = boxOfEdge(from, to);
    left = Math.min(left, box.left);
    right = Math.max(right, box.right);
    bottom = Math.min(bottom, box.bottom);
    top = Math.max(top, box.top);
  }
  return { left, right, bottom, top };
}

// ---- cutting curves where they meet --------------------------------------------------------------

/** A piece of one curve or of several that are the same there. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly sources: Source[];
}

interface Source {
  readonly curve: number;
  /** Whether the curve runs as the piece does. */
  readonly along: boolean;
  /** Of the curve between the piece's ends, in the piece's direction. */
  readonly bulge: number;
}

interface CutUp {
  readonly points: readonly Point[];
  readonly pieces: readonly Piece[];
  /** Points at which some curve was cut, each once. */
  readonly cuts: ReadonlySet<number>;
}

function cutUp(curves: readonly Curve[]): CutUp {
  const { points, at } = pointPool();
  const count = curves.length;
  const starts = new Int32Array(count);
  const ends = new Int32Array(count);
  for (let i = 0; i < count; i++) {
    const { from, to } = curves[i];
    starts[i] = i > 0 && curves[i - 1].to === from ? ends[i - 1] : at(from);
    ends[i] = at(to);
  }
  const own = points.length;
  const { distinct, first } = distinctOf(curves, starts, ends);
  /** Of distinct curves: where they are cut. */
  const cuts: (number[] | undefined)[] = new Array(count).fill(undefined);
  const isEnd = (curve: number, vertex: number) => vertex === starts[curve] || vertex === ends[curve];
  const isOn = (point: Point, curve: number) => distanceToEdge(point, curves[curve]) <= grain;
  const split = (curve: number, vertex: number) => {
    const list = cuts[curve];
    if (!list) cuts[curve] = [vertex];
    else if (!list.includes(vertex)) list.push(vertex);
  };
  const splitWhereOn = (curve: number, vertex: number, point: Point) => {
    if (!isEnd(curve, vertex) && isOn(point, curve)) split(curve, vertex);
  };
  const meet = (i: number, k: number) => {
    const [one, other] = [curves[i], curves[k]];
    const [starting, ending] = [isEnd(i, starts[k]), isEnd(i, ends[k])];
    // Neighbours of a loop meet where they are joined; curves with the same ends, there alone.
    if ((starting || ending) && (one.ring === other.ring || (starting && ending))) return;
    if (one.arc && passesBy(one.arc, other.box)) return;
    if (other.arc && passesBy(other.arc, one.box)) return;
    splitWhereOn(i, starts[k], other.from);
    splitWhereOn(i, ends[k], other.to);
    splitWhereOn(k, starts[i], one.from);
    splitWhereOn(k, ends[i], one.to);
    for (const point of crossings(one, other)) {
      if (!isOn(point, i) || !isOn(point, k)) continue;
      const vertex = at(point);
      if (!isEnd(i, vertex)) split(i, vertex);
      if (!isEnd(k, vertex)) split(k, vertex);
    }
  };
  eachPairNear(curves, distinct, meet);
  // Where two curves meet, others may pass within the grain.
  for (let vertex = own; vertex < points.length; vertex++) {
    const point = points[vertex];
    for (const i of distinct) if (isNear(curves[i].box, point)) splitWhereOn(i, vertex, point);
  }

  const pieces: Piece[] = [];
  /** By their ends; few have the same. */
  const found = new Map<number, Piece[]>();
  const add = (curve: number, a: number, b: number, bulge: number) => {
    if (a === b) return;
    const along = a < b;
    const source: Source = { curve, along, bulge: along ? bulge : -bulge };
    const [from, to] = along ? [a, b] : [b, a];
    const rivals = found.get(from * points.length + to);
    const sag = (one: Source) => sagOf(points[from], points[to], one.bulge);
    // What lies on another within the grain is the same.
    const same = rivals?.find(({ sources }) => Math.abs(sag(sources[0]) - sag(source)) < 4 * grain);
    if (same) {
      same.sources.push(source);
      return;
    }
    const piece = { from, to, sources: [source] };
    pieces.push(piece);
    if (rivals) rivals.push(piece);
    else found.set(from * points.length + to, [piece]);
  };
  for (let i = 0; i < count; i++) {
    const curve = curves[i];
    const inner = cuts[first[i]];
    if (!inner) {
      add(i, starts[i], ends[i], curve.arc ? curve.from.bulge : 0);
      continue;
    }
    const stops = inner.map((vertex) => ({ vertex, share: shareAlong(curve, points[vertex]) }));
    stops.sort((a, b) => a.share - b.share);
    stops.push({ vertex: ends[i], share: 1 });
    let last = { vertex: starts[i], share: 0 };
    for (const stop of stops) {
      const bulge = curve.arc ? Math.tan(((stop.share - last.share) * curve.arc.sweep) / 4) : 0;
      add(i, last.vertex, stop.vertex, bulge);
      last = stop;
    }
  }
  return { points, pieces, cuts: new Set(cuts.flatMap((list) => list ?? [])) };
}

/** The curves that are not the same as one before them, whichever way they run; and the first that each is the same as. */
function distinctOf(curves: readonly Curve[], starts: Int32Array, ends: Int32Array) {
  const distinct: number[] = [];
  const first = new Int32Array(curves.length);
  const between = new Map<number, number[]>();
  for (let i = 0; i < curves.length; i++) {
    const { bulge } = curves[i].from;
    const key = Math.min(starts[i], ends[i]) * 2 ** 26 + Math.max(starts[i], ends[i]);
    const others = between.get(key);
    const same = others?.find((k) => curves[k].from.bulge === (starts[k] === starts[i] ? bulge : -bulge));
    first[i] = same ?? i;
    if (same !== undefined) continue;
    distinct.push(i);
    if (others) others.push(i);
    else between.set(key, [i]);
  }
  return { distinct, first };
}

/** Calls with every two of some curves whose boxes touch. */
function eachPairNear(
  curves: readonly Curve[],
  some: readonly number[],
  call: (one: number, other: number) => void,
): void {
  const order = [...some].sort((a, b) => curves[a].box.left - curves[b].box.left || a - b);
  const row = (of: (box: Box) => number) => Float64Array.from(order, (i) => of(curves[i].box));
  const [left, right] = [row((box) => box.left), row((box) => box.right + grain)];
  const [bottom, top] = [row((box) => box.bottom), row((box) => box.top + grain)];
  for (let one = 0; one < order.length; one++)
    for (let other = one + 1; other < order.length && left[other] <= right[one]; other++)
      if (bottom[other] <= top[one] && bottom[one] <= top[other]) call(order[one], order[other]);
}

const isNear = ({ left, right, bottom, top }: Box, { x, y }: Point): boolean =>
  x >= left - grain && x <= right + grain && y >= bottom - grain && y <= top + grain;

/** Points by their numbers, those within the grain of one another taken for one. */
function pointPool(): { points: Point[]; at: (point: Point) => number } {
  const points: Point[] = [];
  const cells = new Map<number, number[]>();
  const size = 16 * grain;
  const within = (column: number, row: number, x: number, y: number): number => {
    for (const i of cells.get(column * 2 ** 26 + row) ?? [])
      if (Math.hypot(points[i].x - x, points[i].y - y) <= grain) return i;
    return -1;
  };
  const at = ({ x, y }: Point): number => {
    const [right, high] = [Math.floor((x + grain) / size), Math.floor((y + grain) / size)];
    for (let column = Math.floor((x - grain) / size); column <= right; column++)
      for (let row = Math.floor((y - grain) / size); row <= high; row++) {
        const known = within(column, row, x, y);
        if (known >= 0) return known;
      }
    enlist(cells, Math.floor(x / size) * 2 ** 26 + Math.floor(y / size), points.length);
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

/** Where the lines and circles that two curves lie on cross or touch. */
function crossings(one: Edge, other: Edge): Point[] {
  if (!one.arc && !other.arc) return linesMeet(one, other);
  if (one.arc && other.arc) return circlesMeet(one.arc, other.arc);
  return one.arc ? lineMeetsCircle(other, one.arc) : lineMeetsCircle(one, other.arc!);
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

/** Whether a box lies within a circle, or outside it. */
function passesBy({ centre, radius }: Circle, { left, right, bottom, top }: Box): boolean {
  const nearX = Math.max(left - centre.x, 0, centre.x - right);
  const nearY = Math.max(bottom - centre.y, 0, centre.y - top);
  if (nearX * nearX + nearY * nearY > (radius + grain) ** 2) return true;
  const farX = Math.max(centre.x - left, right - centre.x);
  const farY = Math.max(centre.y - bottom, top - centre.y);
  return radius > grain && farX * farX + farY * farY < (radius - grain) ** 2;
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

/** What members make of slabs on one side of a piece: full of material, cut empty. */
interface Filling {
  readonly full: boolean[];
  readonly empty: boolean[];
}

const filledBy = ({ full, empty }: Filling, { cut, first, last }: Member): boolean[] =>
  (cut ? empty : full).fill(true, first, last);

const copied = ({ full, empty }: Filling): Filling => ({ full: [...full], empty: [...empty] });

const material = ({ full, empty }: Filling): boolean[] => full.map((filled, slab) => filled && !empty[slab]);

/** The pieces that have material on one side of them in some slab, with where it lies. */
function marked(
  pieces: readonly Piece[],
  points: readonly Point[],
  members: readonly Member[],
  curves: readonly Curve[],
  rings: number,
  slabs: number,
): Marked[] {
  const met = metBy(pieces, points.length, curves, rings);
  const inside = ({ from, to, sources }: Piece, { box, loops }: Member): boolean => {
    const middle = middleOf(points[from], points[to], sources[0].bulge);
    return isNear(box, middle) && encloses(loops, middle);
  };
  /** In what regions a loop lies that it does not meet: all of it, or nothing. */
  const round = new Map<number, Filling>();
  const fillingRound = (ring: number, piece: Piece): Filling => {
    let filling = round.get(ring);
    if (filling) return filling;
    filling = { full: new Array<boolean>(slabs).fill(false), empty: new Array<boolean>(slabs).fill(false) };
    for (let member = 0; member < members.length; member++)
      if (!met[ring].includes(member) && inside(piece, members[member])) filledBy(filling, members[member]);
    round.set(ring, filling);
    return filling;
  };
  const sidesOf = (piece: Piece, ring: number): Sides => {
    const filling = fillingRound(ring, piece);
    const [left, right] = [copied(filling), copied(filling)];
    for (const member of met[ring]) {
      let turns = 0;
      for (const { curve, along } of piece.sources) if (curves[curve].member === member) turns += along ? 1 : -1;
      // Of a loop's edge the region lies to the left; two that cancel are a slit or a spike of no width.
      const within = turns === 0 && inside(piece, members[member]);
      if (within || turns > 0) filledBy(left, members[member]);
      if (within || turns < 0) filledBy(right, members[member]);
    }
    return { left: material(left), right: material(right) };
  };
  /** Of loops that meet no other: the same for all their pieces that run one way. */
  const alone = new Map<number, Sides>();
  const edges: Marked[] = [];
  for (const piece of pieces) {
    const { from, to, sources } = piece;
    const [{ curve, along }] = sources;
    const { ring } = curves[curve];
    const known = met[ring].length === 1 && sources.length === 1 ? 2 * ring + (along ? 1 : 0) : undefined;
    let sides = known === undefined ? undefined : alone.get(known);
    if (!sides) {
      sides = sidesOf(piece, ring);
      if (known !== undefined) alone.set(known, sides);
    }
    const { left, right } = sides;
    if (left.some((full, slab) => full !== right[slab])) edges.push({ from, to, sources, left, right });
  }
  return edges;
}

/** By loop, the members of which some loop goes through a point of it, its own among them. */
function metBy(pieces: readonly Piece[], points: number, curves: readonly Curve[], rings: number): number[][] {
  const met: number[][] = Array.from({ length: rings }, () => []);
  const add = (ring: number, member: number) => {
    if (!met[ring].includes(member)) met[ring].push(member);
  };
  /** A loop through each point; those where there are others, too. */
  const first = new Int32Array(points).fill(-1);
  const more = new Map<number, Set<number>>();
  for (const { from, to, sources } of pieces)
    for (const { curve } of sources) {
      const { ring, member } = curves[curve];
      add(ring, member);
      for (let vertex = from; ; vertex = to) {
        if (first[vertex] < 0) first[vertex] = curve;
        else if (curves[first[vertex]].ring !== ring) {
          const others = more.get(vertex) ?? new Set([first[vertex]]);
          more.set(vertex, others.add(curve));
        }
        if (vertex === to) break;
      }
    }
  for (const others of more.values())
    for (const one of others) for (const other of others) add(curves[one].ring, curves[other].member);
  return met;
}

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
  const { x, y } = point;
  let turns = 0;
  for (const edges of loops) {
    for (const { from, to, arc } of edges) {
      const rises = from.y <= y && to.y > y;
      const falls = to.y <= y && from.y > y;
      const inCircle = arc !== undefined && (x - arc.centre.x) ** 2 + (y - arc.centre.y) ** 2 < arc.radius ** 2;
      if (!rises && !falls && !inCircle) continue;
      const onLeft = isLeft(from, to, point);
      if (rises && onLeft) turns++;
      if (falls && !onLeft) turns--;
      if (!inCircle) continue;
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
function joined(edges: readonly Marked[], cuts: ReadonlySet<number>): ArrangedEdge[] {
  const all: (Marked | undefined)[] = [...edges];
  const at = new Map<number, number[]>();
  if (cuts.size > 0)
    for (let i = 0; i < edges.length; i++) {
      if (cuts.has(edges[i].from)) enlist(at, edges[i].from, i);
      if (cuts.has(edges[i].to)) enlist(at, edges[i].to, i);
    }
  for (const [vertex, meeting] of at) {
    if (meeting.length !== 2) continue;
    const [first, second] = meeting;
    const into = all[first]!.to === vertex ? all[first]! : reversed(all[first]!);
    const out = all[second]!.from === vertex ? all[second]! : reversed(all[second]!);
    const sources = into.sources.flatMap((source): Source[] => {
      const next = out.sources.find(({ curve, along }) => curve === source.curve && along === source.along);
      return next ? [{ ...source, bulge: Math.tan(Math.atan(source.bulge) + Math.atan(next.bulge)) }] : [];
    });
    if (sources.length === 0 || into.from === out.to || !alike(into, out)) continue;
    all[first] = { ...into, to: out.to, sources };
    all[second] = undefined;
    const beyond = at.get(out.to);
    if (beyond) beyond[beyond.indexOf(second)] = first;
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
