/** Loops of lines and arcs: made, moved, measured, and as points. */
import type { Point } from '../../../language/mechanism.ts';
import { turn, wrapped } from '../motion/angles.ts';
import type { Loop, Region, Vertex } from './part.ts';

/** A circle, counter-clockwise from +x. */
export const circle = (radius: number, at: Point = { x: 0, y: 0 }): Loop => [
  { x: at.x + radius, y: at.y, bulge: 1 },
  { x: at.x - radius, y: at.y, bulge: 1 },
];

/** A polygon, in the order of its points. */
export const polygon = (points: readonly Point[]): Loop => points.map(({ x, y }) => ({ x, y, bulge: 0 }));

export const polar = (radius: number, angle: number): Point => ({
  x: radius * Math.cos(angle),
  y: radius * Math.sin(angle),
});

/** Vertices of an arc about the origin, both ends included, no piece of it more than half a turn; the last has no bulge. */
export function arcAbout(radius: number, from: number, to: number): Vertex[] {
  const pieces = Math.max(1, Math.ceil(Math.abs(to - from) / Math.PI - 1e-9));
  const bulge = Math.tan((to - from) / pieces / 4);
  return Array.from({ length: pieces + 1 }, (_, i) => ({
    ...polar(radius, from + ((to - from) * i) / pieces),
    bulge: i < pieces ? bulge : 0,
  }));
}

/** The same curve the other way round. */
export const reversed = (loop: Loop): Loop =>
  loop.map((_, i) => {
    const { x, y } = loop[(loop.length - i) % loop.length];
    return { x, y, bulge: -loop[loop.length - 1 - i].bulge || 0 };
  });

/** Mirrored at the y axis, and still run the same way round. */
export const mirrored = (loop: Loop): Loop =>
  reversed(loop.map(({ x, y, bulge }) => ({ x: -x || 0, y, bulge: -bulge || 0 })));

/** Mirrored at the x axis, as it is when its part is turned over; its loops still run the same way round. */
export const turnedOver = ({ outer, holes }: Region): Region => ({ outer: overX(outer), holes: holes.map(overX) });

const overX = (loop: Loop): Loop => reversed(loop.map(({ x, y, bulge }) => ({ x, y: -y || 0, bulge: -bulge || 0 })));

/** Turned about the origin, then shifted. */
export function placed(loop: Loop, { x, y }: Point, angle: number): Loop {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return loop.map((at) => ({ x: x + at.x * c - at.y * s, y: y + at.x * s + at.y * c, bulge: at.bulge }));
}

/** What a loop encloses, less what others do; all of them counter-clockwise. */
export const region = (outer: Loop, ...holes: readonly Loop[]): Region => ({ outer, holes: holes.map(reversed) });

/** One edge of a loop. */
export interface Edge {
  readonly from: Vertex;
  readonly to: Vertex;
  /** Absent for a straight line. */
  readonly arc?: Arc;
}

export interface Arc {
  readonly centre: Point;
  readonly radius: number;
  /** Angle at which it starts, and how far it goes, counter-clockwise positive. */
  readonly start: number;
  readonly sweep: number;
}

export const edgesOf = (loop: Loop): Edge[] => loop.map((from, i) => edgeBetween(from, loop[(i + 1) % loop.length]));

export function edgeBetween(from: Vertex, to: Vertex): Edge {
  const arc = arcBetween(from, to);
  return arc ? { from, to, arc } : { from, to };
}

function arcBetween(from: Vertex, to: Vertex): Arc | undefined {
  const { bulge } = from;
  if (bulge === 0) return undefined;
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  if (dx === 0 && dy === 0) return undefined;
  // From the chord's middle to the centre: (1 − bulge²)/(4·bulge) of the chord, to its left.
  const aside = (1 - bulge * bulge) / (4 * bulge);
  const centre = { x: (from.x + to.x) / 2 - aside * dy, y: (from.y + to.y) / 2 + aside * dx };
  return {
    centre,
    radius: Math.hypot(from.x - centre.x, from.y - centre.y),
    start: Math.atan2(from.y - centre.y, from.x - centre.x),
    sweep: 4 * Math.atan(bulge),
  };
}

/** Area inside a loop, counter-clockwise positive. */
export function loopArea(loop: Loop): number {
  let twice = 0;
  for (const { from, to, arc } of edgesOf(loop)) {
    twice += from.x * to.y - to.x * from.y;
    if (arc) twice += arc.radius * arc.radius * (arc.sweep - Math.sin(arc.sweep));
  }
  return twice / 2;
}

export const regionArea = ({ outer, holes }: Region): number =>
  holes.reduce((sum, hole) => sum + loopArea(hole), loopArea(outer));

export const areaOf = (regions: readonly Region[]): number => regions.reduce((sum, one) => sum + regionArea(one), 0);

/** Points of a loop, in its order, on every arc so close that no chord lies farther from it than `sag` (mm). */
export function flattened(loop: Loop, sag: number): Point[] {
  const points: Point[] = [];
  for (let i = 0; i < loop.length; i++) {
    const from = loop[i];
    points.push({ x: from.x, y: from.y });
    const arc = arcBetween(from, loop[i + 1 < loop.length ? i + 1 : 0]);
    if (!arc) continue;
    const { centre, radius, start, sweep } = arc;
    const widest = 2 * Math.acos(Math.max(0, 1 - sag / radius));
    // Of an arc as good as straight, no angle is wide enough to be told from 0.
    const pieces = widest > 0 ? Math.max(1, Math.ceil(Math.abs(sweep) / widest - 1e-9)) : 1;
    for (let piece = 1; piece < pieces; piece++) {
      const angle = start + (sweep * piece) / pieces;
      points.push({ x: centre.x + radius * Math.cos(angle), y: centre.y + radius * Math.sin(angle) });
    }
  }
  return points;
}

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** The box round some loops, arcs and all. */
export function boxOf(loops: readonly Loop[]): Box {
  let left = Infinity;
  let right = -Infinity;
  let bottom = Infinity;
  let top = -Infinity;
  const add = (x: number, y: number) => {
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < bottom) bottom = y;
    if (y > top) top = y;
  };
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) {
      add(loop[i].x, loop[i].y);
      if (loop[i].bulge === 0) continue;
      const arc = arcBetween(loop[i], loop[i + 1 < loop.length ? i + 1 : 0]);
      if (!arc) continue;
      for (let quarter = 0; quarter < 4; quarter++) {
        const angle = (quarter * turn) / 4;
        const along = arc.sweep > 0 ? wrapped(angle - arc.start) : wrapped(arc.start - angle);
        if (along > Math.abs(arc.sweep)) continue;
        add(arc.centre.x + arc.radius * [1, 0, -1, 0][quarter], arc.centre.y + arc.radius * [0, 1, 0, -1][quarter]);
      }
    }
  }
  return { left, right, bottom, top };
}

/** Distance of a point from an edge. */
export function distanceToEdge({ x, y }: Point, { from, to, arc }: Edge): number {
  if (arc) {
    const angle = Math.atan2(y - arc.centre.y, x - arc.centre.x);
    const along = arc.sweep > 0 ? wrapped(angle - arc.start) : wrapped(arc.start - angle);
    if (along <= Math.abs(arc.sweep)) return Math.abs(Math.hypot(x - arc.centre.x, y - arc.centre.y) - arc.radius);
    return Math.min(Math.hypot(x - from.x, y - from.y), Math.hypot(x - to.x, y - to.y));
  }
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const square = dx * dx + dy * dy;
  const share = square > 0 ? Math.min(1, Math.max(0, ((x - from.x) * dx + (y - from.y) * dy) / square)) : 0;
  return Math.hypot(x - from.x - share * dx, y - from.y - share * dy);
}
