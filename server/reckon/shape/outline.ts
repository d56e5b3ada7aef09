/**
 * Closed outlines seen from a centre (star-shaped): the profile that a follower cuts out of a cam blank, keyed
 * sections, discs. Vertices run counter-clockwise; between them the outline is straight, true to a micrometre.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { FollowedLift } from '../figures.ts';
import { degrees, radians, turn, wrapped } from '../motion/angles.ts';
import { type Motion, stretches } from '../motion/laws.ts';
import { endOf, liftAt, startOf, wholeWidth } from '../motion/lift.ts';
import { contactPoint, pitchCurvature, pitchPoint, pressureAngle, type RoundNose } from './profile.ts';

export interface Outline {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Polar angle of every vertex, 0 ≤ angle < 2π, never falling. */
  readonly angle: Float64Array;
  readonly radius: Float64Array;
  readonly greatest: number;
  readonly least: number;
  /** The middle of the longest stretch at the greatest radius. */
  readonly crest: number;
  /** A circle about the centre. */
  readonly round: boolean;
  /** For every whole degree, the first vertex at or after it (their number, where there is none). */
  readonly after: Uint32Array;
}

/** Greatest distance between an outline's straight edges and the curve it stands for, mm. */
const sag = 1e-3;
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
  const after = new Uint32Array(361);
  for (let degree = 0, i = 0; degree <= 360; degree++) {
    while (i < count && degrees(angle[i]) < degree) i++;
    after[degree] = i;
  }
  return { x, y, angle, radius, greatest, least, crest: crestOf(angle, radius, greatest), round, after };
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

const crests = new WeakMap<Outline, readonly Float64Array[]>();

/** The greatest radius between two polar angles, `to` − `from` < 2π; at most half a degree beyond them is counted in. */
export function greatestBetween(outline: Outline, from: number, to: number): number {
  const table = crests.get(outline) ?? crestTable(outline);
  const first = Math.floor(wrapped(from) * cellsPerRad);
  const cells = Math.ceil((to - from) * cellsPerRad) + 1;
  if (cells >= cellCount) return outline.greatest;
  const level = 31 - Math.clz32(cells);
  const last = (first + cells - (1 << level)) % cellCount;
  return Math.max(table[level][first % cellCount], table[level][last]);
}

const cellCount = 720;
const cellsPerRad = cellCount / turn;

/** For every half degree and power of two, the greatest radius in so many half degrees from there on. */
function crestTable(outline: Outline): readonly Float64Array[] {
  const { angle, radius } = outline;
  const count = radius.length;
  const cells = new Float64Array(cellCount);
  for (let i = 0; i < count; i++) {
    const next = (i + 1) % count;
    const greatest = Math.max(radius[i], radius[next]);
    const first = Math.floor(angle[i] * cellsPerRad);
    const last = Math.floor((next > i ? angle[next] : angle[next] + turn) * cellsPerRad);
    for (let cell = first; cell <= last; cell++) cells[cell % cellCount] = Math.max(cells[cell % cellCount], greatest);
  }
  const table = [cells];
  for (let width = 1; 2 * width <= cellCount; width *= 2) {
    const half = table[table.length - 1];
    const whole = new Float64Array(cellCount);
    for (let i = 0; i < cellCount; i++) whole[i] = Math.max(half[i], half[(i + width) % cellCount]);
    table.push(whole);
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
  return Math.max(1, Math.ceil(Math.abs(sweep) / Math.sqrt((8 * sag) / Math.max(radius, sag))));
}

/** Distance of a point from the outline, negative inside it. */
export function signedDistance(outline: Outline, px: number, py: number): number {
  const { x, y, angle, after } = outline;
  const count = x.length;
  const out = Math.hypot(px, py);
  const at = wrapped(Math.atan2(py, px));
  let next = after[Math.floor(degrees(at))];
  while (next < count && angle[next] <= at) next++;
  const here = (next + count - 1) % count;
  const ahead = next % count;
  const inside = (x[ahead] - x[here]) * (py - y[here]) - (y[ahead] - y[here]) * (px - x[here]) > 0;
  let square = Infinity;
  /** Goes round one way until every edge beyond must be farther than the nearest so far. */
  const search = (sense: 1 | -1) => {
    for (let steps = 0, i = here; steps < count; steps++, i = (i + sense + count) % count) {
      const j = (i + 1) % count;
      square = Math.min(square, squareToEdge(px, py, x[i], y[i], x[j], y[j]));
      const away = Math.abs(wrapped((sense > 0 ? angle[j] : angle[i]) - at + Math.PI) - Math.PI);
      const bound = away < Math.PI / 2 ? out * Math.sin(away) : out;
      if (steps > 1 && bound * bound >= square) break;
    }
  };
  search(1);
  search(-1);
  return inside ? -Math.sqrt(square) : Math.sqrt(square);
}

/** Square of the distance from a point to a straight edge. */
export function squareToEdge(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const [dx, dy, ex, ey] = [bx - ax, by - ay, px - ax, py - ay];
  const length = dx * dx + dy * dy;
  const share = length > 0 ? Math.min(1, Math.max(0, (ex * dx + ey * dy) / length)) : 0;
  const [rx, ry] = [ex - share * dx, ey - share * dy];
  return rx * rx + ry * ry;
}

// ---- the profile of a cam ---------------------------------------------------------------------

/** What rides on the cam: a round nose, or a flat face square to its slide. */
export type Rider = ({ readonly kind: 'round' } & RoundNose) | { readonly kind: 'flat'; readonly base: number };

/** One contact of the follower: where it touches, the direction of the cam's outward normal there. */
interface Contact {
  readonly psi: number;
  readonly touch: Point;
  readonly normal: number;
}

/**
 * The profile that the follower leaves of a blank: what its nose sweeps over is cut away, so that an undercut cam is
 * cut short as it would be on the machine. Undefined where the slide passes beside the prime circle.
 */
export function camOutline(lift: FollowedLift, rider: Rider): Outline | undefined {
  if (rider.kind === 'round' ? !(rider.prime > Math.max(Math.abs(rider.offset), rider.nose)) : !(rider.base > 0)) {
    return undefined;
  }
  if (lift.lobes.length === 0) {
    const { x, y } = contactAt(lift, rider, 0).touch;
    return disc(Math.hypot(x, y));
  }
  return outlineThrough(contacts(lift, rider)) ?? outlineThrough(envelope(lift, rider));
}

function contactAt(lift: FollowedLift, rider: Rider, psi: number): Contact {
  const at = liftAt(lift, psi);
  if (rider.kind === 'round') {
    return { psi, touch: contactPoint(rider, at, psi), normal: psi - pressureAngle(rider, at) };
  }
  const height = rider.base + at.lift;
  const [c, s] = [Math.cos(psi), Math.sin(psi)];
  return { psi, touch: { x: height * c - at.slope * s, y: height * s + at.slope * c }, normal: psi };
}

/** Cam angles at which the motion is not smooth, ascending, with 0 and a whole turn. */
function knots(lift: FollowedLift): number[] {
  const found = lift.lobes.flatMap((lobe) => {
    const joints = (law: typeof lobe.before.law) => stretches(law).map((stretch) => stretch.to);
    const before = joints(lobe.before.law).map((x) => startOf(lobe) + x * wholeWidth(lobe.before));
    const after = joints(lobe.after.law).map((x) => endOf(lobe) - x * wholeWidth(lobe.after));
    return [startOf(lobe), lobe.from, lobe.to, endOf(lobe), ...before, ...after].map(wrapped);
  });
  const sorted = [0, ...found.sort((a, b) => a - b), turn];
  return sorted.filter((angle, i) => i === 0 || angle - sorted[i - 1] > 4 * almost);
}

/** Points of contact, close enough for the outline's sag; round a corner that the nose turns in, an arc of the nose. */
function contacts(lift: FollowedLift, rider: Rider): Point[] {
  const points: Point[] = [];
  /** Adds what lies between two contacts whose normals stand wide apart. */
  const bridge = (one: Contact, two: Contact): void => {
    const jump = two.normal - one.normal;
    if (Math.abs(jump) < sharp) return;
    if (two.psi - one.psi > 16 * almost) {
      const middle = contactAt(lift, rider, (one.psi + two.psi) / 2);
      bridge(one, middle);
      points.push(middle.touch);
      bridge(middle, two);
    } else if (rider.kind === 'round') {
      const corner = pitchPoint(rider, liftAt(lift, one.psi), one.psi);
      const nose = arc(corner, rider.nose, one.normal + Math.PI, two.normal + Math.PI, piecesOf(rider.nose, jump));
      points.push(...nose.slice(1, -1));
    }
  };
  const first = contactAt(lift, rider, almost);
  let last = first;
  const go = (psi: number): void => {
    const next = contactAt(lift, rider, psi);
    bridge(last, next);
    points.push(next.touch);
    last = next;
  };
  const angles = knots(lift);
  for (let i = 1; i < angles.length; i++) {
    const [from, to] = [angles[i - 1] + almost, angles[i] - almost];
    for (let psi = from; psi < to; psi += stride(liftAt(lift, psi), rider)) go(psi);
    go(to);
  }
  bridge(last, { ...first, psi: first.psi + turn, normal: first.normal + turn });
  return points;
}

/** Normals farther apart than this do not belong to one smooth curve. */
const sharp = radians(4);

/** Cam angle to the next contact. */
function stride(at: Motion, rider: Rider): number {
  if (rider.kind === 'flat') return radians(0.25);
  if (at.slope === 0 && at.curve === 0) return Math.sqrt((8 * sag) / Math.max(sag, rider.prime + at.lift));
  const curvature = Math.abs(pitchCurvature(rider, at));
  const q = Math.sqrt(rider.prime ** 2 - rider.offset ** 2) + at.lift;
  const bend = curvature * Math.hypot(at.slope - rider.offset, q);
  const radius = Math.abs(1 / Math.max(curvature, 1e-6) - rider.nose);
  const fitting = Math.sqrt((8 * sag) / Math.max(radius, sag)) / bend;
  return Math.min(radians(0.5), Math.max(radians(0.05), fitting || radians(0.5)));
}

/**
 * The same profile ray by ray: along each, the nearest that any stand of the follower comes to the centre. For
 * undercut cams, whose contacts run back and forth.
 */
function envelope(lift: FollowedLift, rider: Rider): Point[] {
  const angles = knots(lift);
  const stands = angles.slice(1).flatMap((to, i) => {
    const from = angles[i];
    const pieces = Math.max(1, Math.ceil((to - from) / radians(0.1)));
    return Array.from({ length: pieces }, (_, j) => standAt(lift, rider, from + ((to - from) * j) / pieces));
  });
  stands.sort((a, b) => a.angle - b.angle);
  const count = stands.length;
  const at = Float64Array.from(
    { length: 3 * count },
    (_, i) => stands[i % count].angle + (Math.floor(i / count) - 1) * turn,
  );
  const distance = Float64Array.from({ length: 3 * count }, (_, i) => stands[i % count].distance);
  const reach =
    rider.kind === 'flat' ? Math.acos(rider.base / (rider.base + lift.stroke)) : Math.asin(rider.nose / rider.prime);

  const radiusAt = (angle: number): number => {
    let [low, high] = [0, at.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (at[middle] < angle - reach) low = middle + 1;
      else high = middle;
    }
    let radius = Infinity;
    for (let i = low; i < at.length && at[i] <= angle + reach; i++) {
      const along = distance[i] * Math.cos(at[i] - angle);
      if (rider.kind === 'flat') radius = Math.min(radius, (distance[i] * distance[i]) / along);
      else {
        const room = rider.nose * rider.nose - distance[i] * distance[i] + along * along;
        if (room >= 0) radius = Math.min(radius, along - Math.sqrt(room));
      }
    }
    return radius;
  };
  const pointAt = (angle: number): Point => {
    const radius = radiusAt(angle);
    return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
  };

  const points: Point[] = [];
  const fill = (from: number, to: number, start: Point, end: Point) => {
    const angle = (from + to) / 2;
    const middle = pointAt(angle);
    if (to - from < radians(0.01) || offLine(start, end, middle) < sag / 2) return;
    fill(from, angle, start, middle);
    points.push(middle);
    fill(angle, to, middle, end);
  };
  const rays = 720;
  const first = pointAt(0);
  let start = first;
  for (let ray = 0; ray < rays; ray++) {
    const end = ray + 1 < rays ? pointAt(((ray + 1) * turn) / rays) : first;
    points.push(start);
    fill((ray * turn) / rays, ((ray + 1) * turn) / rays, start, end);
    start = end;
  }
  return points;
}

/** Polar place of the nose's centre, or of the foot of the plumb from the shaft to a flat face. */
function standAt(lift: FollowedLift, rider: Rider, psi: number): { angle: number; distance: number } {
  const at = liftAt(lift, psi);
  if (rider.kind === 'flat') return { angle: wrapped(psi), distance: rider.base + at.lift };
  const { x, y } = pitchPoint(rider, at, psi);
  return { angle: wrapped(Math.atan2(y, x)), distance: Math.hypot(x, y) };
}

function offLine(from: Point, to: Point, p: Point): number {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  return Math.abs(dx * (p.y - from.y) - dy * (p.x - from.x)) / Math.max(Math.hypot(dx, dy), almost);
}
