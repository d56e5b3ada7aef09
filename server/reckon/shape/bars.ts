/** Outlines of bars and windows on the face, as convex polygons, counter-clockwise. */
import type { Bar, Point, Rectangle } from '../../../language/mechanism.ts';

/** The middle of a face: that of the box round the centres of its bars. */
export function faceCentre(bars: readonly Bar[]): Point {
  const middle = (values: number[]) => (values.length > 0 ? (Math.min(...values) + Math.max(...values)) / 2 : 0);
  return { x: middle(bars.map((bar) => bar.at.x)), y: middle(bars.map((bar) => bar.at.y)) };
}

/**
 * The bar's outline when lowered. Ends are cut at 45°: `pointed` ones from both edges, `mitred` ones from the edge
 * that looks to the face's `centre`, so that bars round a face leave even gaps; a mitred bar through the centre is
 * cut from both.
 */
export function barOutline(bar: Bar, centre: Point): Point[] {
  const upright = bar.ends !== 'square' && bar.height > bar.width;
  const tilt = bar.tilt + (upright ? Math.PI / 2 : 0);
  const [long, thick] = upright ? [bar.height / 2, bar.width / 2] : [bar.width / 2, bar.height / 2];
  const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
  const place = (points: readonly (readonly [number, number])[]): Point[] =>
    points.map(([along, across]) => ({
      x: bar.at.x + along * c - across * s,
      y: bar.at.y + along * s + across * c,
    }));
  if (bar.ends === 'square') return place(corners(long, thick, long));
  const towards = (bar.at.x - centre.x) * s - (bar.at.y - centre.y) * c;
  if (bar.ends === 'pointed' || Math.abs(towards) < thick) {
    const neck = Math.max(0, long - thick);
    return place([
      [-long, 0],
      [-neck, -thick],
      [neck, -thick],
      [long, 0],
      [neck, thick],
      [-neck, thick],
    ]);
  }
  const short = Math.max(0, long - 2 * thick);
  return place(towards > 0 ? corners(long, thick, short) : corners(short, thick, long));
}

/** A rectangle, or a trapezoid of two half lengths, counter-clockwise from its lower left. */
const corners = (lower: number, thick: number, upper: number): [number, number][] => [
  [-lower, -thick],
  [lower, -thick],
  [upper, thick],
  [-upper, thick],
];

export function rectangleOutline({ width, height, at }: Rectangle): Point[] {
  return corners(width / 2, height / 2, width / 2).map(([x, y]) => ({ x: at.x + x, y: at.y + y }));
}

export function area(polygon: readonly Point[]): number {
  let twice = 0;
  polygon.forEach((p, i) => {
    const next = polygon[(i + 1) % polygon.length];
    twice += p.x * next.y - next.x * p.y;
  });
  return twice / 2;
}

/** What two convex polygons have in common (clipping by half-planes). */
export function common(polygon: readonly Point[], convex: readonly Point[]): Point[] {
  let rest = [...polygon];
  convex.forEach((from, i) => {
    rest = leftOf(rest, from, convex[(i + 1) % convex.length]);
  });
  return rest;
}

/** The part of a convex polygon to the left of the line through two points. */
export function leftOf(polygon: readonly Point[], from: Point, to: Point): Point[] {
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

/** Share of the window that the bar (its outline when lowered) covers when it is lifted along the azimuth. */
export function covered(window: Rectangle, bar: readonly Point[], azimuth: number, lift: number): number {
  const [x, y] = [lift * Math.cos(azimuth), lift * Math.sin(azimuth)];
  const pane = rectangleOutline(window);
  const lifted = bar.map((p) => ({ x: p.x + x, y: p.y + y }));
  return area(common(lifted, pane)) / area(pane);
}
