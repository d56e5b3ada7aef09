/**
 * Whether parts as they were generated meet while the mechanism turns: every pair that moves apart, every degree of the
 * leading shaft, and every tenth of one where they come near.
 *
 * All parts turn and slide square to the shafts, so that two of them meet where sections of theirs at one depth do:
 * the solids are cut at the middle of each slab, and the sections compared as outlines. Heights at which only one of
 * two has material never meet; of parts that pass before each other the gap along the shafts is told.
 */
import type { Manifold } from 'manifold-3d';
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../../reckon/figures.ts';
import { radians, turn } from '../../reckon/motion/angles.ts';
import { distanceToEdge, edgesOf, placed } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Seat } from '../../reckon/parts/part.ts';
import { type Stand, speedOf, standAfter, type Way, wayOf } from '../../reckon/parts/standing.ts';
import { squareToEdge } from '../../reckon/shape/outline.ts';
import { commonPeriod } from '../../reckon/shape/over-turn.ts';

/** Two parts, how near they come at most (negative: so deep one enters the other), and when. */
export interface Meeting {
  readonly parts: readonly [string, string];
  readonly gap: number;
  /** Forward turn of the leading shaft from home, rad. */
  readonly turn: number;
  /** Where on the face. */
  readonly at: Point;
  /** They work on each other there: a cam and its bar, teeth, a pin in its slot. */
  readonly contact: boolean;
  /** One passes before the other: the gap lies along the shafts. */
  readonly along?: true;
}

/** Gaps are looked at more closely below this, mm. */
const close = 0.3;
const coarse = radians(1);
const fine = radians(0.1);
/** Turns of the leading shaft that are followed; a train that comes home later has shown what it does by then. */
const mostTurns = 12;

/** A section of a part at the depths from … to, counted from the face to the reader. */
interface Section {
  readonly from: number;
  readonly to: number;
  readonly grid: Grid;
}

/** Points of a closed outline in the part's frame, no two farther apart than `spacing`. */
interface Outline {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Circles round every so many points: middle and radius, three numbers each. */
  readonly circles: Float64Array;
}

const chunk = 16;

const spacing = 0.5;

/** A part at one of its seats, and how it stands after a turn. */
interface Body {
  readonly part: PrintedPart;
  readonly sections: readonly Section[];
  readonly stand: (at: number) => Stand;
  /** What moves together has one mover. */
  readonly mover: string;
  readonly ratios: readonly ({ readonly num: number; readonly den: number } | undefined)[];
  /** The fastest that any of its points moves, mm a radian of the leading shaft. */
  readonly speed: number;
  /** Of a wheel whose teeth are all alike: the turn of the leading shaft that brings each where the one before it stood. */
  readonly pitch?: number;
}

/** What has been looked at, 0 to 1. */
export type Progress = number;

/** Every pair that comes nearer than `near`, mm; yields before each pair. */
export function* meetingsOf(
  m: Mechanism,
  figures: MotionFigures,
  made: readonly { readonly part: PrintedPart; readonly solid: Manifold }[],
  near: number,
): Generator<Progress, Meeting[]> {
  const bodies = made.flatMap(({ part, solid }) => {
    const sections = sectionsOf(part, solid);
    return part.seats.map((seat) => bodyOf(m, figures, part, seat, sections));
  });
  const pairs = bodies.flatMap((one, i) => bodies.slice(i + 1).map((other) => [one, other] as const));
  const met: Meeting[] = [];
  for (const [i, [one, other]] of pairs.entries()) {
    if (givesWay(one.part, other.part)) continue;
    const shared = sharedBy(one, other);
    const before = one.mover === other.mover ? undefined : passesBefore(one, other, near);
    if (before) met.push({ ...before, parts: [one.part.name, other.part.name], contact: false, along: true });
    if (shared.length === 0) continue;
    yield i / pairs.length;
    // What moves together may lie as near as it likes.
    const found = meetingOf(one, other, shared, one.mover === other.mover ? 0 : near);
    if (found) met.push({ ...found, parts: [one.part.name, other.part.name], contact: works(m, one.part, other.part) });
  }
  return met;
}

// ---- parts and how they move ---------------------------------------------------------------------------

function sectionsOf({ prisms, engraved }: PrintedPart, solid: Manifold): Section[] {
  return prisms.map(({ from, to }) => {
    const free = [0.5, 0.35, 0.65, 0.2, 0.8]
      .map((share) => from + share * (to - from))
      .find((height) => !engraved.some((cut) => cut.from <= height && height <= cut.to));
    const cut = solid.slice(free ?? (from + to) / 2);
    const outlines = cut.toPolygons().map(closelySpaced);
    cut.delete();
    return { from, to, grid: gridOf(outlines) };
  });
}

function closelySpaced(polygon: readonly (readonly [number, number])[]): Outline {
  const points = polygon.flatMap(([x, y], i) => {
    const [nx, ny] = polygon[(i + 1) % polygon.length];
    const pieces = Math.max(1, Math.ceil(Math.hypot(nx - x, ny - y) / spacing));
    return Array.from({ length: pieces }, (_, k) => [x + ((nx - x) * k) / pieces, y + ((ny - y) * k) / pieces]);
  });
  const circles = Array.from({ length: Math.ceil(points.length / chunk) }, (_, i) => {
    const few = points.slice(i * chunk, (i + 1) * chunk);
    const [mx, my] = [0, 1].map((axis) => few.reduce((sum, point) => sum + point[axis], 0) / few.length);
    return [mx, my, Math.max(...few.map(([x, y]) => Math.hypot(x - mx, y - my)))];
  });
  return {
    x: Float64Array.from(points, ([x]) => x),
    y: Float64Array.from(points, ([, y]) => y),
    circles: Float64Array.from(circles.flat()),
  };
}

function bodyOf(
  m: Mechanism,
  figures: MotionFigures,
  part: PrintedPart,
  seat: Seat,
  sections: readonly Section[],
): Body {
  const reach = Math.max(0, ...sections.map(({ grid }) => grid.reach));
  const way = wayOf(m, figures, part, seat);
  return {
    part,
    sections: sections.map((section) => ({ ...section, from: section.from + seat.z, to: section.to + seat.z })),
    stand: (at) => standAfter(way, seat, at),
    ...moverOf(figures, part, seat),
    speed: speedOf(way, reach),
    ...pitchOf(figures, part, way),
  };
}

function pitchOf(figures: MotionFigures, { kind, name, prisms }: PrintedPart, way: Way) {
  const gear = kind === 'gear' ? figures.gears.find((one) => one.name === name) : undefined;
  if (!gear || way.by !== 'shaft' || way.rate === 0) return {};
  const rims = prisms.flatMap(({ regions }) => regions.map(({ outer }) => outer));
  const alike = rims.every((rim) => isOfAlike(rim, gear.teeth));
  return alike ? { pitch: turn / gear.teeth / Math.abs(way.rate) } : {};
}

/** Whether a loop, turned by one of so many equal parts about the origin, lies on itself. */
function isOfAlike(loop: Loop, many: number): boolean {
  const edges = edgesOf(loop);
  const ahead = Math.round(loop.length / many);
  return placed(loop, { x: 0, y: 0 }, turn / many).every((corner, i) => {
    // Where the loop is closed a corner more may stand.
    for (let k = i + ahead - 3; k <= i + ahead + 3; k++)
      if (distanceToEdge(corner, edges[((k % edges.length) + edges.length) % edges.length]) < 1e-5) return true;
    return false;
  });
}

/** What a part moves with, and the ratios of what drives it. */
function moverOf(figures: MotionFigures, { kind }: PrintedPart, { moves }: Seat): Pick<Body, 'mover' | 'ratios'> {
  const ratioOf = (shaft?: string) => figures.shafts.find(({ name }) => name === shaft)?.ratio;
  switch (moves.with) {
    case 'shaft':
      return { mover: `shaft ${moves.name}`, ratios: [ratioOf(moves.name)] };
    case 'segment': {
      const cam = figures.cams.find(({ segments }) => segments.includes(moves.name));
      return { mover: `segment ${cam?.segments[0] ?? moves.name}`, ratios: cam ? [ratioOf(cam.shaft)] : [] };
    }
    case 'push':
      return { mover: `push ${moves.name} ${kind}`, ratios: [undefined] };
    case 'nothing':
      return { mover: 'nothing', ratios: [] };
  }
}

/** A pawl lies between the teeth of its wheel, which lift it: it is drawn as it rests. */
const givesWay = (one: PrintedPart, other: PrintedPart): boolean =>
  [one, other].some(({ kind }) => kind === 'pawl') &&
  [one, other].some(({ kind }) => kind === 'ratchet wheel') &&
  one.place.from === other.place.from &&
  one.place.top === other.place.top;

/** Whether two parts are made to touch. */
function works(m: Mechanism, one: PrintedPart, other: PrintedPart): boolean {
  const kinds = [one.kind, other.kind];
  const has = (kind: PrintedPart['kind']) => [one, other].find((part) => part.kind === kind);
  if (kinds.includes('cam') && kinds.includes('bar'))
    return m.cams.some(({ name, segments }) => name === has('cam')!.name && segments[0]?.name === has('bar')!.name);
  if (one.kind === 'gear' && other.kind === 'gear')
    return m.meshes.some(({ gears }) => gears.every(({ name }) => name === one.name || name === other.name));
  return false;
}

// ---- two parts over the turn ---------------------------------------------------------------------------

type Shared = readonly [Section, Section];

const sharedBy = (one: Body, other: Body): Shared[] =>
  one.sections.flatMap((a) =>
    other.sections.flatMap((b): Shared[] => (Math.min(a.to, b.to) - Math.max(a.from, b.from) > 1e-6 ? [[a, b]] : [])),
  );

interface Near {
  readonly gap: number;
  readonly at: Point;
}

function meetingOf(one: Body, other: Body, shared: readonly Shared[], near: number) {
  const whole = turn * Math.min(mostTurns, commonPeriod([...one.ratios, ...other.ratios]));
  // Teeth that are all alike, and come by at one pace, meet as the first ones do.
  const isOnePace = one.pitch !== undefined && Math.abs(one.pitch - (other.pitch ?? 0)) < 1e-9;
  const period = isOnePace ? one.pitch! : whole;
  // Between two looks they can come nearer to each other by so much.
  const speed = one.mover === other.mover ? 0 : one.speed + other.speed;
  let best: (Near & { readonly turn: number }) | undefined;
  /** How near they are, by how one stands to the other: bars rest for most of a turn. What turns on stands ever anew. */
  const turns = [one, other].some(({ mover }) => mover.startsWith('shaft '));
  const known = new Map<string, { readonly far: number; readonly gap: number }>();
  const look = (at: number, far: number): number => {
    const [a, b] = [one.stand(at), other.stand(at)];
    const pose = turns ? '' : poseOf(a, b);
    const before = turns ? undefined : known.get(pose);
    if (before && (before.gap < before.far || before.far >= far)) return Math.min(before.gap, far);
    const found = nearAt(shared, a, b, far);
    if (found && found.gap < Math.min(near, best?.gap ?? Infinity)) best = { ...found, turn: (at + period) % period };
    if (!turns) known.set(pose, { far, gap: found?.gap ?? far });
    return found?.gap ?? far;
  };
  const still = speed === 0;
  const watch = speed === 0 ? near : Math.max(close, near, (speed * coarse) / 2);
  const steps = still ? 1 : Math.max(1, Math.ceil(period / coarse - 1e-9));
  for (let i = 0; i < steps; i++) {
    const at = (i * period) / steps;
    if (look(at, watch) >= watch || still) continue;
    for (let k = -5; k <= 5; k++) if (k !== 0) look(at + k * fine, Math.min(near, best?.gap ?? near));
  }
  return best;
}

/** Parts lie before each other where they do so by more than this, mm. */
const overlap = 0.05;
/** Looks for that stand so far apart, turn of the leading shaft. */
const seldom = radians(5);

/** The least gap along the shafts between parts that move apart, below `near`, where one lies before the other. */
function passesBefore(one: Body, other: Body, near: number): Omit<Meeting, 'parts' | 'contact'> | undefined {
  const pairs = one.sections
    .flatMap((a) => other.sections.map((b) => ({ pair: [a, b] as const, gap: Math.max(b.from - a.to, a.from - b.to) })))
    .filter(({ gap }) => gap > -1e-6 && gap < near - 1e-6)
    .sort((a, b) => a.gap - b.gap);
  if (pairs.length === 0) return undefined;
  const period = turn * Math.min(mostTurns, commonPeriod([...one.ratios, ...other.ratios]));
  const steps = one.speed + other.speed === 0 ? 1 : Math.ceil(period / seldom);
  for (const { pair, gap } of pairs) {
    for (let i = 0; i < steps; i++) {
      const at = (i * period) / steps;
      const found = nearAt([pair], one.stand(at), other.stand(at), -overlap);
      if (found) return { gap: Math.max(0, gap), turn: at, at: found.at };
    }
  }
  return undefined;
}

/** How one stands to another, to a nanometre. */
function poseOf(a: Stand, b: Stand): string {
  const [c, s] = [Math.cos(b.turned), Math.sin(b.turned)];
  const [dx, dy] = [a.x - b.x, a.y - b.y];
  const turned = a.turned - b.turned;
  const grains = [c * dx + s * dy, c * dy - s * dx, turned - turn * Math.floor(turned / turn + 1e-9)];
  return grains.map((value) => Math.round(value * 1e6)).join(' ');
}

/** How near two parts come at a stand of each, if nearer than `far`. */
function nearAt(shared: readonly Shared[], standA: Stand, standB: Stand, far: number): Near | undefined {
  let best: Near | undefined;
  for (const [{ grid: a }, { grid: b }] of shared) {
    if (!boxesMeet(a, standA, b, standB, best?.gap ?? far)) continue;
    best = nearestPoint(a, standA, b, standB, best?.gap ?? far) ?? best;
    best = nearestPoint(b, standB, a, standA, best?.gap ?? far) ?? best;
  }
  return best;
}

/** Outlines with their edges sorted into square cells. */
interface Grid {
  readonly outlines: readonly Outline[];
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
  readonly columns: number;
  readonly rows: number;
  /** Of each cell, its edges: four numbers each, the material to their left. */
  readonly cells: readonly (Float64Array | undefined)[];
  /** 1 where a cell without edges is full of material. */
  readonly full: Uint8Array;
  readonly reach: number;
}

const cell = 1;

function gridOf(outlines: readonly Outline[]): Grid {
  let [left, right, bottom, top, square] = [Infinity, -Infinity, Infinity, -Infinity, 0];
  for (const { x, y } of outlines) {
    for (let i = 0; i < x.length; i++) {
      left = Math.min(left, x[i]);
      right = Math.max(right, x[i]);
      bottom = Math.min(bottom, y[i]);
      top = Math.max(top, y[i]);
      square = Math.max(square, x[i] * x[i] + y[i] * y[i]);
    }
  }
  const columns = Math.max(1, Math.ceil((right - left) / cell));
  const rows = Math.max(1, Math.ceil((top - bottom) / cell));
  const lists: number[][] = [];
  const columnOf = (x: number) => Math.min(columns - 1, Math.floor((x - left) / cell));
  const rowOf = (y: number) => Math.min(rows - 1, Math.floor((y - bottom) / cell));
  for (const { x, y } of outlines) {
    for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
      const lastColumn = columnOf(Math.max(x[i], x[j]));
      const lastRow = rowOf(Math.max(y[i], y[j]));
      for (let column = columnOf(Math.min(x[i], x[j])); column <= lastColumn; column++) {
        for (let row = rowOf(Math.min(y[i], y[j])); row <= lastRow; row++) {
          const at = row * columns + column;
          lists[at] ??= [];
          lists[at].push(x[j], y[j], x[i], y[i]);
        }
      }
    }
  }
  const cells = Array.from({ length: columns * rows }, (_, i) => lists[i] && Float64Array.from(lists[i]));
  const full = new Uint8Array(columns * rows);
  const grid = { outlines, left, right, bottom, top, columns, rows, cells, full, reach: Math.sqrt(square) };
  for (let row = 0; row < rows; row++) {
    for (let column = 0, before: number | undefined; column < columns; column++) {
      const at = row * columns + column;
      if (cells[at]) before = undefined;
      else {
        before ??= isInside(grid, left + (column + 0.5) * cell, bottom + (row + 0.5) * cell) ? 1 : 0;
        full[at] = before;
      }
    }
  }
  return grid;
}

function boxesMeet(a: Grid, standA: Stand, b: Grid, standB: Stand, far: number): boolean {
  if (Math.hypot(standA.x - standB.x, standA.y - standB.y) > a.reach + b.reach + far) return false;
  const [one, other] = [boxAt(a, standA), boxAt(b, standB)];
  return (
    one.left - far <= other.right &&
    other.left - far <= one.right &&
    one.bottom - far <= other.top &&
    other.bottom - far <= one.top
  );
}

function boxAt({ left, right, bottom, top }: Grid, { x, y, turned }: Stand) {
  const [c, s] = [Math.cos(turned), Math.sin(turned)];
  const [w, h] = [(right - left) / 2, (top - bottom) / 2];
  const [mx, my] = [(left + right) / 2, (bottom + top) / 2];
  const [dx, dy] = [Math.abs(c * w) + Math.abs(s * h), Math.abs(s * w) + Math.abs(c * h)];
  const [px, py] = [x + c * mx - s * my, y + s * mx + c * my];
  return { left: px - dx, right: px + dx, bottom: py - dy, top: py + dy };
}

/** The point of one that is nearest to (or deepest in) the other, if nearer than `far`. */
function nearestPoint(points: Grid, standP: Stand, edges: Grid, standE: Stand, far: number): Near | undefined {
  const turned = standP.turned - standE.turned;
  const [c, s] = [Math.cos(turned), Math.sin(turned)];
  const [ce, se] = [Math.cos(standE.turned), Math.sin(standE.turned)];
  const [dx, dy] = [standP.x - standE.x, standP.y - standE.y];
  const [ox, oy] = [ce * dx + se * dy, ce * dy - se * dx];
  let least = far;
  let [bestX, bestY] = [0, 0];
  /** Whether something so large at a point is out of reach of what could still be nearer. */
  const isFar = (px: number, py: number, radius: number): boolean => {
    const room = Math.max(least, 0) + radius;
    if (px < edges.left - room || px > edges.right + room || py < edges.bottom - room || py > edges.top + room)
      return true;
    return px * px + py * py > (edges.reach + room) * (edges.reach + room);
  };
  for (const { x, y, circles } of points.outlines) {
    for (let k = 0; k < circles.length; k += 3) {
      if (isFar(ox + c * circles[k] - s * circles[k + 1], oy + s * circles[k] + c * circles[k + 1], circles[k + 2]))
        continue;
      const first = (k / 3) * chunk;
      const last = Math.min(x.length, first + chunk);
      for (let i = first; i < last; i++) {
        const px = ox + c * x[i] - s * y[i];
        const py = oy + s * x[i] + c * y[i];
        if (isFar(px, py, 0)) continue;
        const gap = signedDistance(edges, px, py, least);
        if (gap >= least) continue;
        least = gap;
        [bestX, bestY] = [px, py];
      }
    }
  }
  if (least >= far) return undefined;
  return { gap: least, at: { x: standE.x + ce * bestX - se * bestY, y: standE.y + se * bestX + ce * bestY } };
}

/**
 * Distance of a point from outlines, negative in the material; where it is not below `far`, any such number. In a cell
 * with edges the side of the nearest one tells; at a corner, of the one whose line lies farther off.
 */
function signedDistance(
  { left, bottom, columns, rows, cells, full }: Grid,
  px: number,
  py: number,
  far: number,
): number {
  const column = Math.floor((px - left) / cell);
  const row = Math.floor((py - bottom) / cell);
  const own = column >= 0 && column < columns && row >= 0 && row < rows ? row * columns + column : -1;
  const mixed = own >= 0 && cells[own] !== undefined;
  const deep = own >= 0 && full[own] === 1;
  if (!mixed && !deep && far <= 0) return far;
  let square = mixed || deep ? Infinity : far * far;
  let [aside, off] = [deep ? 1 : -1, 0];
  // Rings of cells outwards, until nothing beyond can be nearer.
  for (let ring = 0; ring <= columns + rows; ring++) {
    const beyond = (ring - 1) * cell;
    if (beyond > 0 && beyond * beyond >= square) break;
    for (let r = Math.max(0, row - ring); r <= Math.min(rows - 1, row + ring); r++) {
      const across = r === row - ring || r === row + ring ? 1 : Math.max(1, 2 * ring);
      for (let k = column - ring; k <= column + ring; k += across) {
        const list = k < 0 || k >= columns ? undefined : cells[r * columns + k];
        if (!list || squareToCell(px - left - k * cell, py - bottom - r * cell) >= square) continue;
        for (let i = 0; i < list.length; i += 4) {
          const ax = list[i];
          const ay = list[i + 1];
          const bx = list[i + 2];
          const by = list[i + 3];
          const here = squareToEdge(px, py, ax, ay, bx, by);
          if (here > square + 1e-12) continue;
          const across = (bx - ax) * (py - ay) - (by - ay) * (px - ax);
          const far = (across * across) / ((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
          if (here < square - 1e-12 || far > off) {
            off = far;
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
function isInside({ left, bottom, top, columns, rows, cells }: Grid, px: number, py: number): boolean {
  if (py < bottom || py > top || columns === 0) return false;
  const row = Math.min(rows - 1, Math.floor((py - bottom) / cell));
  let inside = false;
  for (let column = Math.max(0, Math.floor((px - left) / cell)); column < columns; column++) {
    const list = cells[row * columns + column];
    if (!list) continue;
    for (let i = 0; i < list.length; i += 4) {
      const [ax, ay, bx, by] = [list[i], list[i + 1], list[i + 2], list[i + 3]];
      if (ay > py === by > py) continue;
      const at = ax + ((bx - ax) * (py - ay)) / (by - ay);
      if (at <= px) continue;
      // An edge lies in several cells; it counts where it crosses.
      const crossed = Math.min(columns - 1, Math.max(0, Math.floor((at - left) / cell)));
      if (crossed !== column) continue;
      inside = !inside;
    }
  }
  return inside;
}
