/** Convex polygons, counter-clockwise: what they sweep, how near they come, what of one another does not cover. */
import type { Point } from '../../../language/mechanism.ts';
import { area, leftOf } from './bars.ts';
import { squareToEdge } from './outline.ts';

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
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const length = dx * dx + dy * dy;
  const share = length > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length)) : 0;
  return { x: a.x + share * dx, y: a.y + share * dy };
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
