/** Convex polygons, counter-clockwise: what they sweep, how near they come, what of one another covers. */
import type { Point } from '../../../language/mechanism.ts';
import { shareAlong, squareToEdge } from './outline.ts';

export type Polygon = readonly Point[];

/** The convex hull of points (monotone chain). */
export function hull(points: readonly Point[]): Point[] {
  if (points.length < 2) return [...points];
  const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y);
  const chain = (list: readonly Point[]): Point[] => {
    const kept: Point[] = [];
    for (const p of list) {
      while (kept.length > 1 && !left(kept[kept.length - 2], kept[kept.length - 1], p)) kept.pop();
      kept.push(p);
    }
    return kept.slice(0, -1);
  };
  return [...chain(sorted), ...chain(sorted.reverse())];
}

const left = (a: Point, b: Point, p: Point): boolean => (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0;

export const moved = (polygon: Polygon, x: number, y: number): Point[] =>
  polygon.map((p) => ({ x: p.x + x, y: p.y + y }));

/** What a polygon covers while it moves straight on. */
export const swept = (polygon: Polygon, x: number, y: number): Point[] => hull([...polygon, ...moved(polygon, x, y)]);

/** A polygon turned about a point, counter-clockwise. */
export function turnedAbout(polygon: Polygon, { x, y }: Point, by: number): Point[] {
  const [c, s] = [Math.cos(by), Math.sin(by)];
  return polygon.map((p) => ({ x: x + (p.x - x) * c - (p.y - y) * s, y: y + (p.x - x) * s + (p.y - y) * c }));
}

/** What a polygon covers while it turns about a point, to less than a micrometre more. */
export function sweptRound(polygon: Polygon, pivot: Point, by: number): Point[] {
  const reach = Math.max(0, ...polygon.map(({ x, y }) => Math.hypot(x - pivot.x, y - pivot.y)));
  // Chords of arcs, moved out so far that none of the arc lies beyond them.
  const pieces = Math.max(1, Math.ceil(Math.abs(by) / Math.sqrt(8e-3 / Math.max(reach, 8e-3))));
  const out = 1 / Math.cos(by / pieces / 2);
  const middles = Array.from({ length: pieces }, (_, i) =>
    turnedAbout(
      polygon.map(({ x, y }) => ({ x: pivot.x + (x - pivot.x) * out, y: pivot.y + (y - pivot.y) * out })),
      pivot,
      ((i + 0.5) * by) / pieces,
    ),
  );
  return hull([...polygon, ...middles.flat(), ...turnedAbout(polygon, pivot, by)]);
}

/** The shifts of the first polygon at which it meets the second: all b − a (Minkowski). */
export const meetings = (a: Polygon, b: Polygon): Point[] =>
  hull(b.flatMap((q) => a.map((p) => ({ x: q.x - p.x, y: q.y - p.y }))));

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** The least box round the points; undefined round nothing. */
export function boxOf(points: readonly Point[]): Box | undefined {
  const sound = points.filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
  if (sound.length === 0) return undefined;
  const box = { left: Infinity, right: -Infinity, bottom: Infinity, top: -Infinity };
  for (const { x, y } of sound) {
    box.left = Math.min(box.left, x);
    box.right = Math.max(box.right, x);
    box.bottom = Math.min(box.bottom, y);
    box.top = Math.max(box.top, y);
  }
  return box;
}

/** Distance of a point from a polygon; negative inside: the shortest way out. One or two points have no inside. */
export function distanceTo(polygon: Polygon, x: number, y: number): number {
  let square = Infinity;
  let inside = polygon.length > 2;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[j];
    const b = polygon[i];
    square = Math.min(square, squareToEdge(x, y, a.x, a.y, b.x, b.y));
    if ((b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x) < 0) inside = false;
  }
  return inside ? -Math.sqrt(square) : Math.sqrt(square);
}

/**
 * How far two polygons, points and straight edges among them, lie apart; negative where they overlap: the shortest way
 * out. One edge of either then lies between them (separating axes).
 */
export function apart(one: Polygon, two: Polygon): number {
  let square = Infinity;
  let deepest = -Infinity;
  const look = (edges: Polygon, points: Polygon) => {
    for (let i = 0, j = edges.length - 1; i < edges.length; j = i++) {
      const [a, b] = [edges[j], edges[i]];
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      const length = Math.hypot(dx, dy);
      let least = Infinity;
      for (const { x, y } of points) {
        square = Math.min(square, squareToEdge(x, y, a.x, a.y, b.x, b.y));
        least = Math.min(least, (x - a.x) * dy - (y - a.y) * dx);
      }
      if (length > 0) deepest = Math.max(deepest, least / length);
    }
  };
  look(one, two);
  look(two, one);
  // Points and edges in one line lie beside no edge.
  return deepest > -1e-12 || deepest === -Infinity ? Math.sqrt(square) : deepest;
}

/** The points of two polygons that lie apart nearest to each other. */
export function nearest(one: Polygon, two: Polygon): readonly [Point, Point] {
  let best: readonly [Point, Point] = [one[0], two[0]];
  let least = Infinity;
  const look = (from: Polygon, to: Polygon, inOrder: boolean) => {
    for (const p of from) {
      for (let i = 0, j = to.length - 1; i < to.length; j = i++) {
        const q = onEdge(p, to[j], to[i]);
        const apart = Math.hypot(q.x - p.x, q.y - p.y);
        if (apart >= least - 1e-9) continue;
        least = apart;
        best = inOrder ? [p, q] : [q, p];
      }
    }
  };
  look(one, two, true);
  look(two, one, false);
  return best;
}

/** The point of a straight edge that is nearest to another. */
function onEdge(p: Point, a: Point, b: Point): Point {
  const share = shareAlong(p.x - a.x, p.y - a.y, b.x - a.x, b.y - a.y);
  return { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y) };
}

export function area(polygon: Polygon): number {
  let twice = 0;
  polygon.forEach((p, i) => {
    const next = polygon[(i + 1) % polygon.length];
    twice += p.x * next.y - next.x * p.y;
  });
  return twice / 2;
}

/** What two convex polygons have in common (clipping by half-planes). */
export function common(polygon: Polygon, convex: Polygon): Point[] {
  let rest = [...polygon];
  convex.forEach((from, i) => {
    rest = leftOf(rest, from, convex[(i + 1) % convex.length]);
  });
  return rest;
}

/** The part of a convex polygon to the left of the line through two points. */
export function leftOf(polygon: Polygon, from: Point, to: Point): Point[] {
  const side = (p: Point) => (to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x);
  return polygon.flatMap((p, i) => {
    const before = polygon[(i + polygon.length - 1) % polygon.length];
    const [here, there] = [side(p), side(before)];
    const kept = here >= 0 ? [p] : [];
    if (here >= 0 === there >= 0) return kept;
    const share = there / (there - here);
    return [{ x: before.x + share * (p.x - before.x), y: before.y + share * (p.y - before.y) }, ...kept];
  });
}

/** What of a polygon a convex one does not cover, as convex pieces. */
export function without(polygon: Polygon, cover: Polygon): Point[][] {
  const pieces: Point[][] = [];
  let rest: Point[] = [...polygon];
  for (let i = 0; i < cover.length && rest.length > 2; i++) {
    const [a, b] = [cover[i], cover[(i + 1) % cover.length]];
    const outside = leftOf(rest, b, a);
    if (outside.length > 2) pieces.push(outside);
    rest = leftOf(rest, a, b);
  }
  return pieces.filter((piece) => area(piece) > 0);
}
