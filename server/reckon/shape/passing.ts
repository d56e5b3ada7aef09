/** A convex polygon, or one or two points, that slides beside an outline that turns: one stand, and a lower bound of those around it. */
import { turn, wrapped } from '../motion/angles.ts';
import type { Polygon } from './convex.ts';
import { greatestBetween, type Outline, signedDistance } from './outline.ts';

export interface Passing {
  /** Of the polygon's point nearest to the origin, where it lies at first. */
  readonly azimuth: number;
  /**
   * The gap with the polygon shifted by x, y and the outline turned about the origin; where it is not below `cutoff`,
   * `cutoff` will do.
   */
  readonly gap: (x: number, y: number, turned: number, cutoff: number) => number;
  /** A lower bound of all gaps while the polygon shifts by at most `shift` and the outline turns by at most `sweep`. */
  readonly bound: (x: number, y: number, turned: number, shift: number, sweep: number, cutoff: number) => number;
}

export function passing(polygon: Polygon, outline: Outline): Passing {
  const count = polygon.length;
  const [homeX, homeY] = [polygon.map((p) => p.x), polygon.map((p) => p.y)];
  const [px, py] = [[...homeX], [...homeY]];
  // Where the polygon comes nearest to the last point asked for.
  let nearX = 0;
  let nearY = 0;

  /** Signed distance of a point from the polygon as it is placed. */
  const distance = (x: number, y: number): number => {
    let square = Infinity;
    // One or two points have no inside.
    let inside = count > 2;
    for (let i = 0, j = count - 1; i < count; j = i++) {
      const dx = px[i] - px[j];
      const dy = py[i] - py[j];
      const ex = x - px[j];
      const ey = y - py[j];
      if (dx * ey - dy * ex < 0) inside = false;
      const share = Math.min(1, Math.max(0, (ex * dx + ey * dy) / (dx * dx + dy * dy || 1)));
      const rx = ex - share * dx;
      const ry = ey - share * dy;
      if (rx * rx + ry * ry < square) {
        square = rx * rx + ry * ry;
        nearX = x - rx;
        nearY = y - ry;
      }
    }
    return inside ? -Math.sqrt(square) : Math.sqrt(square);
  };

  /** Places the polygon in the outline's own frame; its distance from the origin. */
  const place = (x: number, y: number, turned: number): number => {
    const c = Math.cos(turned);
    const s = Math.sin(turned);
    for (let i = 0; i < count; i++) {
      const u = homeX[i] + x;
      const v = homeY[i] + y;
      px[i] = u * c + v * s;
      py[i] = v * c - u * s;
    }
    return distance(0, 0);
  };

  // The polygon lies beyond the line through its nearest point, square to the way there; so must what comes near it.
  const widthOf = (reach: number, room: number): number =>
    reach > 0 ? Math.acos(Math.max(-1, (reach - room) / outline.greatest)) : Math.PI;

  const gap: Passing['gap'] = (x, y, turned, cutoff) => {
    const reach = place(x, y, turned);
    if (reach - outline.greatest >= cutoff) return cutoff;
    const azimuth = Math.atan2(nearY, nearX);
    let best = cutoff;
    for (let i = 0; i < count; i++) {
      const far = outline.greatest + Math.max(best, 0);
      if (px[i] * px[i] + py[i] * py[i] < far * far) best = Math.min(best, signedDistance(outline, px[i], py[i]));
    }
    const room = Math.max(best, 0);
    if (reach - room >= outline.greatest) return best;
    const width = widthOf(reach, room);
    const from = wrapped(azimuth - width);
    const { x: xs, y: ys, radius, angle, after } = outline;
    const size = radius.length;
    let i = after[Math.floor((from * 180) / Math.PI)];
    while (i < size && angle[i] < from) i++;
    for (let asked = 0; asked < size; asked++, i++) {
      const k = i < size ? i : i - size;
      const along = angle[k] - from;
      if ((along < 0 ? along + turn : along) > 2 * width) break;
      if (radius[k] > reach - room) best = Math.min(best, distance(xs[k], ys[k]));
    }
    return best;
  };

  const bound: Passing['bound'] = (x, y, turned, shift, sweep, cutoff) => {
    const reach = place(x, y, turned) - shift;
    const room = Math.max(cutoff, 0);
    if (!(room < Infinity) || reach <= -shift) return -Infinity;
    if (reach - room >= outline.greatest) return cutoff;
    const azimuth = Math.atan2(nearY, nearX);
    const width = widthOf(Math.max(reach, 1e-9), room) + sweep;
    return Math.min(cutoff, reach - greatestBetween(outline, azimuth - width, azimuth + width));
  };

  place(0, 0, 0);
  return { azimuth: Math.atan2(nearY, nearX), gap, bound };
}
