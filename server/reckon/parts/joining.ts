/** The union of loops of lines and arcs, as lines and arcs; and of pieces of various heights, as slabs. */
import type { Point } from '../../../language/mechanism.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { simplified } from './biarcs.ts';
import { type Box, boxOf, distanceToEdge, type Edge, edgeBetween, edgesOf, loopArea, reversed } from './loop.ts';
import type { Loop, Prism, Region, Vertex } from './part.ts';

/** Points nearer to each other than this, mm, are one. */
const one = 1e-6;

/**
 * What some counter-clockwise loops enclose together. Edges are cut where they meet others; of the pieces those stay
 * that lie in no other loop, and of pieces that lie on each other one.
 */
export function joined(loops: readonly Loop[]): Region[] {
  const distinct = loops.filter((loop, i) => loop.length > 1 && !loops.slice(0, i).some((other) => same(loop, other)));
  if (distinct.length === 1) return [{ outer: distinct[0], holes: [] }];
  const edges = distinct.map((loop) => edgesOf(loop).map(boxed));
  const boxes = edges.map((own) => own.map(({ box }) => box).reduce(around));
  const kept = edges.flatMap((own, i) =>
    own
      .flatMap((edge) =>
        cutAt(
          edge,
          edges.flatMap((others, j) =>
            j === i || !overlap(edge.box, boxes[j]) ? [] : others.filter((other) => overlap(edge.box, other.box)),
          ),
        ),
      )
      .filter((piece) => {
        const middle = along(piece, 0.5);
        return edges.every((others, j) => {
          if (j === i || !isIn(boxes[j], middle)) return true;
          const beside = others.find((other) => isIn(other.box, middle) && distanceToEdge(middle, other) < one);
          if (beside) return j > i && goesWith(piece, beside, middle);
          return !isWithin(middle, others);
        });
      }),
  );
  return nested(
    chained(kept)
      .map((chain) => simplified(chain))
      .filter((loop) => Math.abs(loopArea(loop)) > one),
  );
}

interface Boxed extends Edge {
  /** Round the edge, a little wider. */
  readonly box: Box;
}

function boxed(edge: Edge): Boxed {
  const { from, to, arc } = edge;
  const box = arc
    ? boxOf([[from, { ...to, bulge: 0 }]])
    : {
        left: Math.min(from.x, to.x),
        right: Math.max(from.x, to.x),
        bottom: Math.min(from.y, to.y),
        top: Math.max(from.y, to.y),
      };
  return {
    ...edge,
    box: { left: box.left - one, right: box.right + one, bottom: box.bottom - one, top: box.top + one },
  };
}

const around = (a: Box, b: Box): Box => ({
  left: Math.min(a.left, b.left),
  right: Math.max(a.right, b.right),
  bottom: Math.min(a.bottom, b.bottom),
  top: Math.max(a.top, b.top),
});

const overlap = (a: Box, b: Box): boolean =>
  a.left <= b.right && b.left <= a.right && a.bottom <= b.top && b.bottom <= a.top;

const isIn = (box: Box, { x, y }: Point): boolean => x >= box.left && x <= box.right && y >= box.bottom && y <= box.top;

const same = (a: Loop, b: Loop): boolean =>
  a.length === b.length && a.every((p, i) => p.x === b[i].x && p.y === b[i].y && p.bulge === b[i].bulge);

/** A point on an edge, by its share of the way. */
function along({ from, to, arc }: Edge, share: number): Point {
  if (!arc) return { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
  const angle = arc.start + share * arc.sweep;
  return { x: arc.centre.x + arc.radius * Math.cos(angle), y: arc.centre.y + arc.radius * Math.sin(angle) };
}

/** The share of the way at which a point of an edge lies, 0 to 1. */
function shareOf({ from, to, arc }: Edge, p: Point): number {
  if (!arc) {
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    return ((p.x - from.x) * dx + (p.y - from.y) * dy) / (dx * dx + dy * dy);
  }
  const angle = Math.atan2(p.y - arc.centre.y, p.x - arc.centre.x);
  const gone = arc.sweep > 0 ? wrapped(angle - arc.start) : wrapped(arc.start - angle);
  const share = gone / Math.abs(arc.sweep);
  // A little before the start is the start.
  return (turn - gone) * arc.radius < one ? 0 : share;
}

/** Which way an edge goes at a point of it. */
function aheadAt({ from, to, arc }: Edge, p: Point): Point {
  if (!arc) return { x: to.x - from.x, y: to.y - from.y };
  const sense = Math.sign(arc.sweep);
  return { x: -sense * (p.y - arc.centre.y), y: sense * (p.x - arc.centre.x) };
}

function goesWith(a: Edge, b: Edge, p: Point): boolean {
  const [one, other] = [aheadAt(a, p), aheadAt(b, p)];
  return one.x * other.x + one.y * other.y > 0;
}

/** The pieces of an edge between the points at which others meet it. */
function cutAt(edge: Edge, others: readonly Edge[]): Edge[] {
  const points = others
    .flatMap((other) => [...crossings(edge, other), other.from, other.to])
    .filter((p) => distanceToEdge(p, edge) < one);
  const shares = points
    .map((p) => shareOf(edge, p))
    .filter((share) => apart(edge, share, 0) && apart(edge, share, 1))
    .sort((a, b) => a - b);
  const cuts = [0, ...shares.filter((share, i) => i === 0 || apart(edge, share, shares[i - 1])), 1];
  return cuts.slice(1).map((end, i) => {
    const bulge = edge.arc ? Math.tan((edge.arc.sweep * (end - cuts[i])) / 4) : 0;
    const from = i === 0 ? edge.from : along(edge, cuts[i]);
    const to = end === 1 ? edge.to : along(edge, end);
    return edgeBetween({ x: from.x, y: from.y, bulge }, { x: to.x, y: to.y, bulge: 0 });
  });
}

function apart(edge: Edge, a: number, b: number): boolean {
  const [p, q] = [along(edge, a), along(edge, b)];
  return Math.hypot(q.x - p.x, q.y - p.y) > one;
}

/** Where the lines or circles of two edges cross; some of these points may lie beyond the edges. */
function crossings(a: Edge, b: Edge): Point[] {
  if (a.arc && b.arc) return circlesCross(a.arc, b.arc);
  if (a.arc) return lineCrosses(b, a.arc);
  if (b.arc) return lineCrosses(a, b.arc);
  const [ax, ay] = [a.to.x - a.from.x, a.to.y - a.from.y];
  const [bx, by] = [b.to.x - b.from.x, b.to.y - b.from.y];
  const area = ax * by - ay * bx;
  if (Math.abs(area) < 1e-12) return [];
  const share = ((b.from.x - a.from.x) * by - (b.from.y - a.from.y) * bx) / area;
  return [along(a, share)];
}

interface Circle {
  readonly centre: Point;
  readonly radius: number;
}

function lineCrosses(line: Edge, { centre, radius }: Circle): Point[] {
  const { from, to } = line;
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = Math.hypot(dx, dy);
  if (length === 0) return [];
  const foot = ((centre.x - from.x) * dx + (centre.y - from.y) * dy) / length;
  const off = ((centre.x - from.x) * dy - (centre.y - from.y) * dx) / length;
  const square = radius * radius - off * off;
  if (square < -one * radius) return [];
  const half = Math.sqrt(Math.max(0, square));
  return [foot - half, foot + half].map((way) => along(line, way / length));
}

function circlesCross(a: Circle, b: Circle): Point[] {
  const [dx, dy] = [b.centre.x - a.centre.x, b.centre.y - a.centre.y];
  const distance = Math.hypot(dx, dy);
  if (distance < one) return [];
  const foot = (distance * distance + a.radius * a.radius - b.radius * b.radius) / (2 * distance);
  const square = a.radius * a.radius - foot * foot;
  if (square < -one * a.radius) return [];
  const half = Math.sqrt(Math.max(0, square));
  return [half, -half].map((aside) => ({
    x: a.centre.x + (foot * dx - aside * dy) / distance,
    y: a.centre.y + (foot * dy + aside * dx) / distance,
  }));
}

/** Whether a closed chain of edges winds round a point that does not lie on it. */
export function isWithin(p: Point, edges: readonly Edge[]): boolean {
  let wound = 0;
  for (const { from, to, arc } of edges) {
    const ax = from.x - p.x;
    const ay = from.y - p.y;
    const bx = to.x - p.x;
    const by = to.y - p.y;
    const seen = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    // From within its circle an arc is seen to go on one way, however far round.
    const inCircle = arc && Math.hypot(p.x - arc.centre.x, p.y - arc.centre.y) < arc.radius;
    wound += !inCircle ? seen : arc.sweep > 0 ? wrapped(seen) : -wrapped(-seen);
  }
  return Math.abs(wound) > Math.PI;
}

/** Closed chains of the pieces; where several go on, the one that turns off most to the right, which keeps chains apart. */
function chained(pieces: readonly Edge[]): Vertex[][] {
  const left = new Set(pieces);
  const chains: Vertex[][] = [];
  for (const first of pieces) {
    if (!left.delete(first)) continue;
    const chain = [first];
    for (let last = first; !meets(last.to, first.from); ) {
      const next = following(last, left) ?? (gapTo(last, first) < touching ? undefined : nearestTo(last, left));
      if (!next) break;
      left.delete(next);
      chain.push(next);
      last = next;
    }
    chains.push(chain.map(({ from }) => from));
  }
  return chains;
}

/** Curves that touch lie on each other for a little way, mm; what was taken from between them leaves such a gap. */
const touching = 1e-3;

function following(last: Edge, left: ReadonlySet<Edge>): Edge | undefined {
  const next = [...left].filter(({ from }) => meets(last.to, from));
  return next.sort((a, b) => turned(last, a) - turned(last, b))[0];
}

function nearestTo(last: Edge, left: ReadonlySet<Edge>): Edge | undefined {
  const next = [...left].filter((piece) => gapTo(last, piece) < touching);
  return next.sort((a, b) => gapTo(last, a) - gapTo(last, b))[0];
}

const gapTo = ({ to }: Edge, { from }: Edge): number => Math.hypot(from.x - to.x, from.y - to.y);
const meets = (p: Point, q: Point): boolean => Math.hypot(p.x - q.x, p.y - q.y) < 4 * one;

function turned(last: Edge, next: Edge): number {
  const [a, b] = [aheadAt(last, last.to), aheadAt(next, next.from)];
  return Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y);
}

/** Loops that run counter-clockwise with the others that lie in them. */
function nested(loops: readonly Loop[]): Region[] {
  const outer = loops.filter((loop) => loopArea(loop) > 0);
  const holes = loops.filter((loop) => loopArea(loop) < 0);
  return outer.map((loop) => {
    const edges = edgesOf(loop);
    return { outer: loop, holes: holes.filter((hole) => isWithin(along(edgesOf(hole)[0], 0.5), edges)) };
  });
}

/** An upright piece of a body over a loop. */
export interface Piece {
  readonly from: number;
  readonly to: number;
  readonly loop: Loop;
}

/**
 * The union of pieces, less holes that go through all of it and cuts that go from one height to another, as slabs from
 * back to front. What is cut lies within what it is cut from.
 */
export function slabsOf(pieces: readonly Piece[], holes: readonly Loop[] = [], cuts: readonly Piece[] = []): Prism[] {
  const ends = [...pieces, ...cuts].flatMap(({ from, to }) => [from, to]).sort((a, b) => a - b);
  const heights = ends.filter((height, i) => i === 0 || height - ends[i - 1] > one);
  const slabs: Prism[] = [];
  for (const [i, to] of heights.slice(1).entries()) {
    const from = heights[i];
    const here = pieces.filter((piece) => piece.from < to - one && piece.to > from + one);
    if (to - from < one || here.length === 0) continue;
    const cut = joined(cuts.filter((piece) => piece.from < to - one && piece.to > from + one).map(({ loop }) => loop));
    const through = [...holes, ...cut.map(({ outer }) => outer)];
    const regions = joined(here.map(({ loop }) => loop)).map((region) => holed(region, through));
    const last = slabs.at(-1);
    const goesOn = last && from - last.to < one && JSON.stringify(last.regions) === JSON.stringify(regions);
    if (goesOn) slabs[slabs.length - 1] = { ...last, to };
    else slabs.push({ from, to, regions });
  }
  return slabs;
}

function holed({ outer, holes }: Region, more: readonly Loop[]): Region {
  const inside = edgesOf(outer);
  const cut = more.filter((hole) => isWithin(along(edgesOf(hole)[0], 0.5), inside));
  return { outer, holes: [...holes, ...cut.map(reversed)] };
}
