/**
 * Sections of parts as they were generated, square to the shafts: outlines as points, their edges sorted into square cells, and how near two of
 * them come. Lengths mm, angles rad; a section lies in its part's frame.
 *
 * Written for speed, and as flat arrays that are cheaply handed on: a framed numeral is looked at some ten thousand
 * times.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import type { Stand } from '../../reckon/parts/standing.ts';
import { squareToEdge } from '../../reckon/shape/outline.ts';
import type { Mesh } from './mesh.ts';

/** A section of a part between two of its heights. */
export interface Section {
  readonly from: number;
  readonly to: number;
  /** Points of all outlines, x and y by turns, no two neighbours farther apart than `spacing`; each ends where it begins. */
  readonly points: Float64Array;
  /** Where each outline begins among the points (counted in points), and where the last one ends. */
  readonly outlines: Int32Array;
  /** Stretches of neighbouring points: where each begins, and where the last one ends. */
  readonly stretches: Int32Array;
  /** The circle round each stretch: middle and radius, three numbers each. */
  readonly circles: Float64Array;
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
  /** The farthest from the origin that there is material. */
  readonly reach: number;
  readonly columns: number;
  readonly rows: number;
  /** Where each cell's edges begin among `edges`, row by row, and where the last ones end. */
  readonly cells: Int32Array;
  /**
   * By the place of their first coordinate among the points, where the next three follow; the material lies to their
   * left. An edge stands in every cell that its box meets.
   */
  readonly edges: Int32Array;
  /** How many cells from each the nearest one with edges lies, diagonal steps allowed; 0 where it has edges itself. */
  readonly away: Uint8Array;
  /** 1 where a cell without edges is full of material. */
  readonly full: Uint8Array;
}

/** How near, mm (negative: so deep one enters the other), and where on the face. */
export interface Near {
  readonly gap: number;
  readonly at: Point;
}

const spacing = 0.5;
const stretch = 8;
const cell = 1;

/** The sections of a part's surface, one for each of its slabs, cut where nothing is engraved if there is such a height. */
export function sectionsOf({ prisms, engraved }: PrintedPart, mesh: Mesh): Section[] {
  return prisms.map(({ from, to }) => {
    const free = [0.5, 0.35, 0.65, 0.2, 0.8]
      .map((share) => from + share * (to - from))
      .find((height) => !engraved.some((cut) => cut.from <= height && height <= cut.to));
    return sectionOf(from, to, cutAt(mesh, free ?? (from + to) / 2));
  });
}

type Polygon = readonly Point[];

/** The outlines of a closed surface at a height, the material to their left. */
function cutAt({ corners, triangles }: Mesh, height: number): Polygon[] {
  const many = corners.length / 3;
  /** Edges that cross the height, by their ends, each with the one that the outline goes on to. */
  const ahead = new Map<number, number>();
  for (let i = 0; i < triangles.length; i += 3) {
    let [up, down] = [-1, -1];
    for (let k = 0; k < 3; k++) {
      const a = triangles[i + k];
      const b = triangles[i + ((k + 1) % 3)];
      const isAbove = corners[3 * b + 2] > height;
      if (corners[3 * a + 2] > height === isAbove) continue;
      const edge = Math.min(a, b) * many + Math.max(a, b);
      if (isAbove) up = edge;
      else down = edge;
    }
    // Seen from outside a triangle is run through counter-clockwise: what it leaves upwards lies ahead.
    if (up >= 0) ahead.set(down, up);
  }
  const pointOn = (edge: number): Point => {
    const [a, b] = [3 * Math.floor(edge / many), 3 * (edge % many)];
    const share = (height - corners[a + 2]) / (corners[b + 2] - corners[a + 2]);
    return {
      x: corners[a] + share * (corners[b] - corners[a]),
      y: corners[a + 1] + share * (corners[b + 1] - corners[a + 1]),
    };
  };
  const outlines: Polygon[] = [];
  for (const start of ahead.keys()) {
    const points: Point[] = [];
    for (let edge = start; ; ) {
      const next = ahead.get(edge);
      if (next === undefined) break;
      ahead.delete(edge);
      points.push(pointOn(edge));
      edge = next;
    }
    if (points.length > 0) outlines.push(withoutBetween(points));
  }
  return outlines;
}

/** Without the points that lie straight between their neighbours: where an upright wall's triangles meet. */
const withoutBetween = (points: readonly Point[]): Polygon =>
  points.filter(({ x, y }, i) => {
    const before = points[i > 0 ? i - 1 : points.length - 1];
    const after = points[i + 1 < points.length ? i + 1 : 0];
    const [dx, dy] = [after.x - before.x, after.y - before.y];
    return Math.abs(dx * (y - before.y) - dy * (x - before.x)) > 1e-9 * Math.hypot(dx, dy);
  });

function sectionOf(from: number, to: number, polygons: readonly Polygon[]): Section {
  const outlined = closelySpaced(polygons);
  const { points } = outlined;
  let [left, right, bottom, top, square] = [Infinity, -Infinity, Infinity, -Infinity, 0];
  for (let i = 0; i < points.length; i += 2) {
    const x = points[i];
    const y = points[i + 1];
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < bottom) bottom = y;
    if (y > top) top = y;
    square = Math.max(square, x * x + y * y);
  }
  const columns = Math.max(1, Math.ceil((right - left) / cell));
  const rows = Math.max(1, Math.ceil((top - bottom) / cell));
  const box = { left, right, bottom, top, columns, rows, reach: Math.sqrt(square) };
  const { cells, edges } = inCells(outlined, box);
  const full = new Uint8Array(columns * rows);
  const section = { from, to, ...outlined, ...box, cells, edges, away: awayFrom(cells, box), full };
  for (let row = 0; row < rows; row++) {
    for (let column = 0, before = -1; column < columns; column++) {
      const at = row * columns + column;
      if (cells[at] < cells[at + 1]) before = -1;
      else {
        if (before < 0) before = isInside(section, left + (column + 0.5) * cell, bottom + (row + 0.5) * cell) ? 1 : 0;
        full[at] = before;
      }
    }
  }
  return section;
}

type Outlined = Pick<Section, 'points' | 'outlines' | 'stretches' | 'circles'>;

function closelySpaced(polygons: readonly Polygon[]): Outlined {
  const outlines = new Int32Array(polygons.length + 1);
  const points: number[] = [];
  const stretches: number[] = [];
  const circles: number[] = [];
  for (const [k, polygon] of polygons.entries()) {
    const first = points.length;
    for (let i = 0; i < polygon.length; i++) {
      const { x, y } = polygon[i];
      const { x: nextX, y: nextY } = polygon[i + 1 < polygon.length ? i + 1 : 0];
      const pieces = Math.max(1, Math.ceil(Math.hypot(nextX - x, nextY - y) / spacing));
      for (let piece = 0; piece < pieces; piece++)
        points.push(x + ((nextX - x) * piece) / pieces, y + ((nextY - y) * piece) / pieces);
    }
    points.push(polygon[0].x, polygon[0].y);
    for (let at = first; at < points.length; at += 2 * stretch) {
      stretches.push(at / 2);
      circleRound(points, at, Math.min(points.length, at + 2 * stretch), circles);
    }
    outlines[k + 1] = points.length / 2;
  }
  stretches.push(points.length / 2);
  return {
    points: Float64Array.from(points),
    outlines,
    stretches: Int32Array.from(stretches),
    circles: Float64Array.from(circles),
  };
}

function circleRound(points: readonly number[], first: number, end: number, circles: number[]): void {
  let [x, y, square] = [0, 0, 0];
  for (let i = first; i < end; i += 2) {
    x += (2 * points[i]) / (end - first);
    y += (2 * points[i + 1]) / (end - first);
  }
  for (let i = first; i < end; i += 2)
    square = Math.max(square, (points[i] - x) * (points[i] - x) + (points[i + 1] - y) * (points[i + 1] - y));
  circles.push(x, y, Math.sqrt(square));
}

type Box = Pick<Section, 'left' | 'right' | 'bottom' | 'top' | 'columns' | 'rows' | 'reach'>;

/** The edges, sorted into cells: counted, then put in. */
function inCells({ points, outlines }: Outlined, { left, bottom, columns, rows }: Box) {
  const cells = new Int32Array(columns * rows + 1);
  const each = (meet: (at: number, edge: number) => void): void => {
    for (let k = 0; k + 1 < outlines.length; k++) {
      for (let i = 2 * outlines[k]; i < 2 * (outlines[k + 1] - 1); i += 2) {
        const [x, y, nextX, nextY] = [points[i], points[i + 1], points[i + 2], points[i + 3]];
        const toColumn = Math.min(columns - 1, Math.floor((Math.max(x, nextX) - left) / cell));
        const toRow = Math.min(rows - 1, Math.floor((Math.max(y, nextY) - bottom) / cell));
        const fromColumn = Math.min(columns - 1, Math.floor((Math.min(x, nextX) - left) / cell));
        for (let row = Math.min(rows - 1, Math.floor((Math.min(y, nextY) - bottom) / cell)); row <= toRow; row++)
          for (let column = fromColumn; column <= toColumn; column++) meet(row * columns + column, i);
      }
    }
  };
  each((at) => {
    cells[at + 1] += 1;
  });
  for (let i = 0; i < columns * rows; i++) cells[i + 1] += cells[i];
  const edges = new Int32Array(cells[columns * rows]);
  const filled = cells.slice();
  each((at, edge) => {
    edges[filled[at]++] = edge;
  });
  return { cells, edges };
}

/** How far each cell is from one with edges: swept once forward, once back. */
function awayFrom(cells: Int32Array, { columns, rows }: Box): Uint8Array {
  const most = 255;
  const away = new Uint8Array(columns * rows);
  const lowest = (at: number, column: number, row: number, way: 1 | -1): number => {
    const [beside, above] = [way > 0 ? column > 0 : column + 1 < columns, way > 0 ? row > 0 : row + 1 < rows];
    let least = most - 1;
    if (beside) least = Math.min(least, away[at - way]);
    if (!above) return least + 1;
    const up = at - way * columns;
    least = Math.min(least, away[up]);
    if (column > 0) least = Math.min(least, away[up - 1]);
    if (column + 1 < columns) least = Math.min(least, away[up + 1]);
    return least + 1;
  };
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const at = row * columns + column;
      away[at] = cells[at] < cells[at + 1] ? 0 : lowest(at, column, row, 1);
    }
  for (let row = rows - 1; row >= 0; row--)
    for (let column = columns - 1; column >= 0; column--) {
      const at = row * columns + column;
      away[at] = Math.min(away[at], lowest(at, column, row, -1));
    }
  return away;
}

/** Radii of what is round differ by no more than this, mm: chords lie a hundredth from their arc. */
const roundness = 0.015;

/** Whether all that a section has within `reach` of a point is round about it. */
export function isRoundAbout({ points, outlines }: Section, { x, y }: Point, reach: number): boolean {
  for (let k = 0; k + 1 < outlines.length; k++) {
    let [least, most] = [Infinity, 0];
    for (let i = 2 * outlines[k]; i < 2 * outlines[k + 1]; i += 2) {
      const radius = Math.hypot(points[i] - x, points[i + 1] - y);
      if (radius < least) least = radius;
      if (radius > most) most = radius;
    }
    if (least <= reach + spacing && most - least > roundness) return false;
  }
  return true;
}

/** How a part stands, with cosine and sine of its turn: asked for by every section. */
export interface Placed extends Stand {
  readonly c: number;
  readonly s: number;
}

export const placedAt = (stand: Stand): Placed => ({
  x: stand.x,
  y: stand.y,
  turned: stand.turned,
  c: Math.cos(stand.turned),
  s: Math.sin(stand.turned),
});

/** No less than this lies between two sections, mm, however each is turned about its own origin. */
export const apartByReach = (a: Section, standA: Stand, b: Section, standB: Stand): number =>
  Math.hypot(standA.x - standB.x, standA.y - standB.y) - a.reach - b.reach;

/** No less than this lies between two sections as they stand, mm: by the boxes round them. */
export function apartByBoxes(a: Section, standA: Placed, b: Section, standB: Placed): number {
  const ax = (a.left + a.right) / 2;
  const ay = (a.bottom + a.top) / 2;
  const aw = a.right - ax;
  const ah = a.top - ay;
  const bx = (b.left + b.right) / 2;
  const by = (b.bottom + b.top) / 2;
  const bw = b.right - bx;
  const bh = b.top - by;
  const dx = Math.abs(standA.x + standA.c * ax - standA.s * ay - standB.x - standB.c * bx + standB.s * by);
  const dy = Math.abs(standA.y + standA.s * ax + standA.c * ay - standB.y - standB.s * bx - standB.c * by);
  const ca = Math.abs(standA.c);
  const sa = Math.abs(standA.s);
  const cb = Math.abs(standB.c);
  const sb = Math.abs(standB.s);
  return Math.max(dx - ca * aw - sa * ah - cb * bw - sb * bh, dy - sa * aw - ca * ah - sb * bw - cb * bh);
}

/** How near two sections come at a stand of each, if nearer than `far`; less exactly where it is less than `enough`. */
export function nearest(
  a: Section,
  standA: Placed,
  b: Section,
  standB: Placed,
  far: number,
  enough = -Infinity,
): Near | undefined {
  if (apartByReach(a, standA, b, standB) > far || apartByBoxes(a, standA, b, standB) > far) return undefined;
  const one = nearestPoint(a, standA, b, standB, far, enough);
  if (one && one.gap < enough) return one;
  return nearestPoint(b, standB, a, standA, one?.gap ?? far, enough) ?? one;
}

/** The point of one section that is nearest to (or deepest in) the other, if nearer than `far`; or one that is near enough. */
function nearestPoint(
  one: Section,
  standP: Placed,
  other: Section,
  standE: Placed,
  far: number,
  enough: number,
): Near | undefined {
  const { points, stretches, circles } = one;
  const ce = standE.c;
  const se = standE.s;
  const c = standP.c * ce + standP.s * se;
  const s = standP.s * ce - standP.c * se;
  const dx = standP.x - standE.x;
  const dy = standP.y - standE.y;
  const ox = ce * dx + se * dy;
  const oy = ce * dy - se * dx;
  let least = far;
  let bestX = 0;
  let bestY = 0;
  for (let k = 0; k + 1 < stretches.length && least >= enough; k++) {
    const room = Math.max(least, 0);
    const mx = circles[3 * k];
    const my = circles[3 * k + 1];
    if (isClear(other, ox + c * mx - s * my, oy + s * mx + c * my, room + circles[3 * k + 2])) continue;
    for (let i = 2 * stretches[k]; i < 2 * stretches[k + 1]; i += 2) {
      const px = ox + c * points[i] - s * points[i + 1];
      const py = oy + s * points[i] + c * points[i + 1];
      if (isClear(other, px, py, Math.max(least, 0))) continue;
      const gap = signedDistance(other, px, py, least);
      if (gap >= least) continue;
      least = gap;
      bestX = px;
      bestY = py;
    }
  }
  if (least >= far) return undefined;
  return { gap: least, at: { x: standE.x + ce * bestX - se * bestY, y: standE.y + se * bestX + ce * bestY } };
}

/** Whether no edge and no material lies within `room` of a point; false where that is not sure without a look. */
function isClear(section: Section, px: number, py: number, room: number): boolean {
  const { left, bottom, columns } = section;
  if (px < left - room || px > section.right + room || py < bottom - room || py > section.top + room) return true;
  const beyond = section.reach + room;
  if (px * px + py * py > beyond * beyond) return true;
  const column = Math.floor((px - left) / cell);
  const row = Math.floor((py - bottom) / cell);
  if (column < 0 || column >= columns || row < 0 || row >= section.rows) return false;
  const at = row * columns + column;
  return section.full[at] === 0 && (section.away[at] - 1) * cell >= room;
}

/**
 * Distance of a point from outlines, negative in the material; where it is not below `far`, any such number. In a cell
 * with edges the side of the nearest one tells; at a corner, of the one whose line lies farther off.
 */
function signedDistance(section: Section, px: number, py: number, far: number): number {
  const { points, left, bottom, columns, rows, cells, edges } = section;
  const column = Math.floor((px - left) / cell);
  const row = Math.floor((py - bottom) / cell);
  const own = column >= 0 && column < columns && row >= 0 && row < rows ? row * columns + column : -1;
  const mixed = own >= 0 && cells[own] < cells[own + 1];
  const deep = own >= 0 && section.full[own] === 1;
  if (!mixed && !deep && far <= 0) return far;
  let square = mixed || deep ? Infinity : far * far;
  let aside = deep ? 1 : -1;
  let off = 0;
  // Rings of cells outwards, until nothing beyond can be nearer.
  for (let ring = own < 0 || mixed ? 0 : section.away[own]; ring <= columns + rows; ring++) {
    const beyond = (ring - 1) * cell;
    if (beyond > 0 && beyond * beyond >= square) break;
    const lastRow = Math.min(rows - 1, row + ring);
    for (let r = Math.max(0, row - ring); r <= lastRow; r++) {
      const step = r === row - ring || r === row + ring ? 1 : Math.max(1, 2 * ring);
      for (let k = column - ring; k <= column + ring; k += step) {
        if (k < 0 || k >= columns) continue;
        const first = cells[r * columns + k];
        const end = cells[r * columns + k + 1];
        if (first === end || squareToCell(px - left - k * cell, py - bottom - r * cell) >= square) continue;
        for (let i = first; i < end; i++) {
          const ax = points[edges[i]];
          const ay = points[edges[i] + 1];
          const bx = points[edges[i] + 2];
          const by = points[edges[i] + 3];
          const here = squareToEdge(px, py, ax, ay, bx, by);
          if (here > square + 1e-12) continue;
          const across = (bx - ax) * (py - ay) - (by - ay) * (px - ax);
          const line = (across * across) / ((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
          if (here < square - 1e-12 || line > off) {
            off = line;
            if (mixed) aside = across;
          }
          square = Math.min(square, here);
        }
      }
    }
  }
  return aside > 0 ? -Math.sqrt(square) : Math.sqrt(square);
}

/** Square of the distance of a point from the cell at the origin. */
function squareToCell(x: number, y: number): number {
  const dx = x < 0 ? x : x > cell ? x - cell : 0;
  const dy = y < 0 ? y : y > cell ? y - cell : 0;
  return dx * dx + dy * dy;
}

/** Whether a point lies in the material: by the edges to the right of it in its row of cells. */
function isInside(section: Pick<Section, 'points' | 'edges' | 'cells'> & Box, px: number, py: number): boolean {
  const { points, left, bottom, top, columns, rows, cells, edges } = section;
  if (py < bottom || py > top) return false;
  const row = Math.min(rows - 1, Math.floor((py - bottom) / cell));
  let inside = false;
  for (let column = Math.max(0, Math.floor((px - left) / cell)); column < columns; column++) {
    const end = cells[row * columns + column + 1];
    for (let i = cells[row * columns + column]; i < end; i++) {
      const at = edges[i];
      const [ax, ay, bx, by] = [points[at], points[at + 1], points[at + 2], points[at + 3]];
      if (ay > py === by > py) continue;
      const x = ax + ((bx - ax) * (py - ay)) / (by - ay);
      if (x <= px) continue;
      // An edge lies in several cells; it counts where it crosses.
      const crossed = Math.min(columns - 1, Math.max(0, Math.floor((x - left) / cell)));
      if (crossed === column) inside = !inside;
    }
  }
  return inside;
}
