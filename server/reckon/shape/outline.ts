/**
 * Closed outlines seen from a centre (star-shaped): cams, keyed sections, discs. Vertices run counter-clockwise;
 * between them the outline is straight, true to a micrometre.
 */
import type { Point } from '../../../language/mechanism.ts';
import { degrees, turn, wrapped } from '../motion/angles.ts';

export interface Outline {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Polar angle of every vertex, 0 ≤ angle < 2π, never falling. */
  readonly angle: Float64Array;
  readonly radius: Float64Array;
  readonly greatest: number;
  readonly least: number;
  /** Of the straight edges from the centre. */
  readonly nearest: number;
  /** The middle of the longest stretch at the greatest radius. */
  readonly crest: number;
  /** A circle about the centre. */
  readonly round: boolean;
  /** For every whole degree, the first vertex at or after it (their number, where there is none). */
  readonly after: Uint32Array;
}

/** Greatest distance between an outline's straight edges and a curve of some radius that they stand for, mm. */
export const sagAt = (radius: number): number => Math.max(1e-3, 1e-5 * radius);
const almost = 1e-9;

/** The outline through points that run counter-clockwise round the origin; undefined where they do not. */
export function outlineThrough(points: readonly Point[], round = false): Outline | undefined {
  const count = points.length;
  if (count < 3) return undefined;
  const angles = points.map(({ x, y }) => wrapped(Math.atan2(y, x)));
  let start = 0;
  let total = 0;
  for (let i = 0; i < count; i++) {
    const ahead = angles[(i + 1) % count] - angles[i];
    const step = ahead < -Math.PI ? ahead + turn : ahead > Math.PI ? ahead - turn : ahead;
    if (!(step >= -almost)) return undefined;
    if (ahead < -Math.PI) start = (i + 1) % count;
    total += step;
  }
  if (Math.abs(total - turn) > 1e-6) return undefined;

  const [x, y, angle, radius] = [0, 1, 2, 3].map(() => new Float64Array(count));
  let greatest = 0;
  let least = Infinity;
  for (let i = 0; i < count; i++) {
    const k = (start + i) % count;
    x[i] = points[k].x;
    y[i] = points[k].y;
    angle[i] = Math.max(angles[k], i > 0 ? angle[i - 1] : 0);
    radius[i] = Math.hypot(x[i], y[i]);
    greatest = Math.max(greatest, radius[i]);
    least = Math.min(least, radius[i]);
  }
  if (!(least > 0) || !Number.isFinite(greatest)) return undefined;
  let square = Infinity;
  for (let i = 0, j = count - 1; i < count; j = i++)
    square = Math.min(square, squareToEdge(0, 0, x[j], y[j], x[i], y[i]));
  const nearest = Math.sqrt(square);
  const after = new Uint32Array(361);
  for (let degree = 0, i = 0; degree <= 360; degree++) {
    while (i < count && degrees(angle[i]) < degree) i++;
    after[degree] = i;
  }
  return { x, y, angle, radius, greatest, least, nearest, crest: crestOf(angle, radius, greatest), round, after };
}

function crestOf(angle: Float64Array, radius: Float64Array, greatest: number): number {
  const count = radius.length;
  const high = (i: number) => radius[i % count] >= greatest - 1e-6;
  const low = radius.findIndex((_, i) => !high(i));
  if (low < 0) return 0;
  let best = { from: 0, width: -1 };
  for (let i = low; i < low + count; i++) {
    if (!high(i)) continue;
    const from = i;
    while (high(i + 1)) i++;
    const width = wrapped(angle[i % count] - angle[from % count]);
    if (width > best.width) best = { from, width };
  }
  return wrapped(angle[best.from % count] + best.width / 2);
}

const crests = new WeakMap<Outline, Float64Array>();

/** The greatest radius between two polar angles, `to` − `from` < 2π; at most a degree beyond them is counted in. */
export function greatestBetween(outline: Outline, from: number, to: number): number {
  const cells = Math.ceil((to - from) * cellsPerRad) + 1;
  if (outline.round || cells >= cellCount) return outline.greatest;
  const table = crests.get(outline) ?? crestTable(outline);
  const first = Math.floor(wrapped(from) * cellsPerRad) % cellCount;
  const level = 31 - Math.clz32(cells);
  const last = (first + cells - (1 << level)) % cellCount;
  return Math.max(table[level * cellCount + first], table[level * cellCount + last]);
}

const cellCount = 360;
const cellsPerRad = cellCount / turn;
const levels = 32 - Math.clz32(cellCount);

/** For every power of two and every degree, the greatest radius in so many degrees from there on. */
function crestTable(outline: Outline): Float64Array {
  const { angle, radius } = outline;
  const count = radius.length;
  const table = new Float64Array(levels * cellCount);
  for (let i = 0; i < count; i++) {
    const next = (i + 1) % count;
    const greatest = Math.max(radius[i], radius[next]);
    const first = Math.floor(angle[i] * cellsPerRad);
    const last = Math.floor((next > i ? angle[next] : angle[next] + turn) * cellsPerRad);
    for (let cell = first; cell <= last; cell++) table[cell % cellCount] = Math.max(table[cell % cellCount], greatest);
  }
  for (let level = 1; level < levels; level++) {
    const half = (level - 1) * cellCount;
    const width = 1 << (level - 1);
    for (let i = 0; i < cellCount; i++)
      table[level * cellCount + i] = Math.max(table[half + i], table[half + ((i + width) % cellCount)]);
  }
  crests.set(outline, table);
  return table;
}

/** A disc. */
export function disc(radius: number): Outline | undefined {
  if (!(radius > 0) || !Number.isFinite(radius)) return undefined;
  const pieces = Math.max(36, piecesOf(radius, turn));
  return outlineThrough(arc({ x: 0, y: 0 }, radius, 0, turn - turn / pieces, pieces - 1), true);
}

/** `pieces` + 1 points on a circle, from one angle to another. */
export function arc(centre: Point, radius: number, from: number, to: number, pieces: number): Point[] {
  return Array.from({ length: pieces + 1 }, (_, i) => {
    const angle = from + ((to - from) * i) / pieces;
    return { x: centre.x + radius * Math.cos(angle), y: centre.y + radius * Math.sin(angle) };
  });
}

/** Pieces of an arc that keep to the outlines' sag. */
export function piecesOf(radius: number, sweep: number): number {
  return Math.max(1, Math.ceil(Math.abs(sweep) / Math.min(turn, Math.sqrt((8 * sagAt(radius)) / radius))));
}

/** Distance of a point from the outline, negative inside it; where it is farther off than `most`, `most` will do. */
export function signedDistance(outline: Outline, px: number, py: number, most = Infinity): number {
  const { x, y, angle, after, nearest } = outline;
  const count = x.length;
  const out = Math.hypot(px, py);
  const at = wrapped(Math.atan2(py, px));
  let next = after[Math.floor(degrees(at))];
  while (next < count && angle[next] <= at) next++;
  const here = (next + count - 1) % count;
  const ahead = next % count;
  const inside = (x[ahead] - x[here]) * (py - y[here]) - (y[ahead] - y[here]) * (px - x[here]) > 0;
  let square = most * most;
  /** What lies farther than this round the centre, and no nearer to it than the outline, is at least so far away. */
  const squareBeyond = (away: number): number => {
    const along = out * Math.cos(away);
    return along > nearest ? out * out - along * along : out * out + nearest * (nearest - 2 * along);
  };
  /** Goes round one way until every edge beyond must be farther than the nearest so far. */
  const search = (sense: 1 | -1) => {
    for (let steps = 0, i = here; steps < count; steps++, i = (i + sense + count) % count) {
      const j = (i + 1) % count;
      square = Math.min(square, squareToEdge(px, py, x[i], y[i], x[j], y[j]));
      const away = Math.abs(wrapped((sense > 0 ? angle[j] : angle[i]) - at + Math.PI) - Math.PI);
      if (steps > 1 && squareBeyond(away) >= square) break;
    }
  };
  search(1);
  search(-1);
  return inside ? -Math.sqrt(square) : Math.sqrt(square);
}

/** How far along an edge dx, dy from the origin the point of it lies that is nearest to ex, ey: 0 to 1. */
export function shareAlong(ex: number, ey: number, dx: number, dy: number): number {
  const length = dx * dx + dy * dy;
  return length > 0 ? Math.min(1, Math.max(0, (ex * dx + ey * dy) / length)) : 0;
}

/** Square of the distance from a point to a straight edge. */
export function squareToEdge(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const dx = bx - ax;
  const dy = by - ay;
  const ex = px - ax;
  const ey = py - ay;
  const share = shareAlong(ex, ey, dx, dy);
  const rx = ex - share * dx;
  const ry = ey - share * dy;
  return rx * rx + ry * ry;
}
