/**
 * Smooth curves as arcs that meet with one tangent (biarcs), true to a few micrometres.
 *
 * Between two points with tangents t₀ and t₁, v from one to the other, two arcs meet with one tangent at
 * (p₀ + p₁ + d(t₀ − t₁))/2, where 2(1 − t₀·t₁)d² + 2d·v·(t₀ + t₁) − v² = 0 (both arms of equal length, as is usual
 * for biarcs; derived).
 */
import type { Point } from '../../../language/mechanism.ts';
import { wrapped } from '../motion/angles.ts';
import { type Arc, distanceToEdge, edgeBetween } from './loop.ts';
import type { Vertex } from './part.ts';

/** The fitted arcs keep so near to the curve, mm, at the places looked at. */
const nearness = 0.004;

/** A point of a curve, and the direction in which the curve goes on, rad. */
export interface OnCurve extends Point {
  readonly ahead: number;
}

/** Each pair of arcs is compared with the curve at so many places. */
const places = 12;
/** Pieces shorter than this share of the whole are not halved again: there the direction jumps. */
const shortest = 2 ** -24;

/**
 * Vertices of arcs along a curve, from one parameter to another; the end's own vertex is left out. Where its place or
 * its direction jumps, `across` gives the vertex before the jump; a straight line unless given.
 */
export function biarcs(
  at: (t: number) => OnCurve,
  from: number,
  to: number,
  across: (a: number, b: number) => Vertex = (a) => ({ x: at(a).x, y: at(a).y, bulge: 0 }),
): Vertex[] {
  const vertices: Vertex[] = [];
  const least = Math.abs(to - from) * shortest;
  const go = (a: number, b: number, start: OnCurve, end: OnCurve): void => {
    if (Math.abs(b - a) <= least) {
      vertices.push(across(a, b));
      return;
    }
    const pair = biarc(start, end);
    if (pair && isNear(pair, end, at, a, b)) {
      vertices.push(...pair);
      return;
    }
    const middle = (a + b) / 2;
    const here = at(middle);
    go(a, middle, start, here);
    go(middle, b, here, end);
  };
  go(from, to, at(from), at(to));
  return vertices;
}

/** The two arcs between two points of a curve, as the vertices at which they start; undefined where none suit. */
function biarc(p: OnCurve, q: OnCurve): Vertex[] | undefined {
  const [vx, vy] = [q.x - p.x, q.y - p.y];
  const square = vx * vx + vy * vy;
  if (square === 0 || Math.abs(between(p.ahead, q.ahead)) > Math.PI / 2) return undefined;
  const [px, py] = [Math.cos(p.ahead), Math.sin(p.ahead)];
  const [qx, qy] = [Math.cos(q.ahead), Math.sin(q.ahead)];
  const along = vx * (px + qx) + vy * (py + qy);
  const apart = 2 * (1 - (px * qx + py * qy));
  const length = square / (along + Math.sqrt(along * along + apart * square));
  if (!(length > 0) || !Number.isFinite(length)) return undefined;
  const joint = { x: (p.x + q.x + length * (px - qx)) / 2, y: (p.y + q.y + length * (py - qy)) / 2 };
  return [
    { x: p.x, y: p.y, bulge: bulgeTo(p, p.ahead, joint) },
    { ...joint, bulge: -bulgeTo(q, q.ahead + Math.PI, joint) },
  ];
}

/** Of the arc that leaves a point in a direction and ends at another: the tangent of half the angle to the chord. */
function bulgeTo({ x, y }: Point, ahead: number, to: Point): number {
  const bulge = Math.tan(between(ahead, Math.atan2(to.y - y, to.x - x)) / 2);
  return Math.abs(bulge) < straight ? 0 : bulge;
}

/** An arc of less bulge is a line: it stands off by less than half its chord times this. */
const straight = 1e-9;

/** From one direction to another, −π to π. */
const between = (from: number, to: number): number => wrapped(to - from + Math.PI) - Math.PI;

function isNear(
  [first, second]: readonly Vertex[],
  end: Point,
  at: (t: number) => OnCurve,
  a: number,
  b: number,
): boolean {
  const [one, other] = [edgeBetween(first, second), edgeBetween(second, { ...end, bulge: 0 })];
  for (let i = 1; i < places; i++) {
    const here = at(a + ((b - a) * i) / places);
    if (distanceToEdge(here, one) > nearness && distanceToEdge(here, other) > nearness) return false;
  }
  return true;
}

/** The same loop without vertices that lie on another, and with neighbouring arcs of one circle and lines of one line as one. */
export function simplified(loop: readonly Vertex[]): Vertex[] {
  const distinct = loop.filter((vertex, i) => {
    const next = loop[(i + 1) % loop.length];
    return Math.hypot(next.x - vertex.x, next.y - vertex.y) > nothing;
  });
  const kept: Vertex[] = [];
  for (const [i, vertex] of distinct.entries()) {
    const last = kept.at(-1);
    const next = distinct[(i + 1) % distinct.length];
    const joined = last && oneEdge(last, vertex, next);
    if (joined === undefined) kept.push(vertex);
    else kept[kept.length - 1] = { ...last!, bulge: joined };
  }
  return kept;
}

/** Points nearer to each other than this, mm, are one. */
const nothing = 1e-7;

/** The bulge of the one edge that two make; undefined where they are of two curves, or more than half a turn. */
function oneEdge(from: Vertex, over: Vertex, to: Vertex): number | undefined {
  const [one, other] = [edgeBetween(from, over), edgeBetween(over, to)];
  if (!one.arc !== !other.arc) return undefined;
  if (!one.arc || !other.arc) {
    const turned = between(Math.atan2(over.y - from.y, over.x - from.x), Math.atan2(to.y - over.y, to.x - over.x));
    return Math.abs(turned) < 1e-9 ? 0 : undefined;
  }
  const sweep = one.arc.sweep + other.arc.sweep;
  if (Math.abs(sweep) > Math.PI + 1e-9 || !isOneCircle(one.arc, other.arc)) return undefined;
  return Math.tan(sweep / 4);
}

const isOneCircle = (one: Arc, other: Arc): boolean =>
  one.sweep > 0 === other.sweep > 0 &&
  Math.abs(one.radius - other.radius) < 1e-5 &&
  Math.hypot(one.centre.x - other.centre.x, one.centre.y - other.centre.y) < 1e-5;
