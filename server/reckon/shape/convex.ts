/** Convex polygons, counter-clockwise: what they sweep, how near they come, what of one another covers. */
import type { Point } from '../../../language/mechanism.ts';
import { shareAlong, squareToEdge } from './outline.ts';

export type Polygon = readonly Point[];

/** The convex hull of points (monotone chain). */
export function hull(points: readonly Point[]): Point[] {
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

/** Distance of a point from a polygon; negative inside: the shortest way out. */
export function distanceTo(polygon: Polygon, x: number, y: number): number {
  let square = Infinity;
  let inside = true;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [a, b] = [polygon[j], polygon[i]];
    square = Math.min(square, squareToEdge(x, y, a.x, a.y, b.x, b.y));
    if ((b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x) < 0) inside = false;
  }
  return inside ? -Math.sqrt(square) : Math.sqrt(square);
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
