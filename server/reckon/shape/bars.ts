/** Outlines of bars and windows on the face, as convex polygons, counter-clockwise. */
import type { Bar, Point, Rectangle } from '../../../language/mechanism.ts';
import { area, common, moved } from './convex.ts';

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

/** Whether a rectangle has a size and a place. */
export const sized = ({ width, height, at }: Pick<Rectangle, 'width' | 'height' | 'at'>): boolean =>
  width > 0 && height > 0 && [width, height, at.x, at.y].every(Number.isFinite);

/** Share of the window that the bar (its outline when lowered) covers when it is lifted along the azimuth. */
export function covered(window: Rectangle, bar: readonly Point[], azimuth: number, lift: number): number {
  const [x, y] = [lift * Math.cos(azimuth), lift * Math.sin(azimuth)];
  const pane = rectangleOutline(window);
  return area(common(moved(bar, x, y), pane)) / area(pane);
}
