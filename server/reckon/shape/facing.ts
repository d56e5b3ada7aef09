/**
 * Two outlines that face each other across their centre distance C, at one stand: compared as polygons within the
 * angle from the line of centres in which they can come nearer than what is known already; outside it no point of one
 * reaches the other (law of cosines).
 */
import { turn, wrapped } from '../motion/angles.ts';
import { greatestBetween, type Outline, signedDistance, squareToEdge } from './outline.ts';

/**
 * The gap of two outlines whose centres stand `distance` apart, as a function of the angles by which each is turned
 * from facing the other, and of a cutoff: where the gap is not smaller, the cutoff is the answer.
 */
export function facing(
  a: Outline,
  b: Outline,
  distance: number,
): (turnA: number, turnB: number, cutoff: number) => number {
  const [near, far] = [windowOf(a, distance, false), windowOf(b, distance, true)];
  return (turnA, turnB, cutoff) => {
    const onLine = distance - radiusAt(a, -turnA) - radiusAt(b, -turnB);
    const most = onLine >= 0 ? Math.min(cutoff, onLine + 1e-9) : Math.min(cutoff, 0);
    if (distance - a.greatest - b.greatest >= most) return cutoff;
    const room = Math.max(most, 0);
    near.open(turnA, reachOf(distance, a.greatest, b.greatest + room));
    far.open(turnB, reachOf(distance, b.greatest, near.greatest + room));
    if (distance - near.greatest - far.greatest >= most) return cutoff;
    const found = Math.min(nearest(near, far, distance, 1, most), nearest(far, near, 0, -1, most));
    return onLine >= 0 ? Math.min(found, onLine, cutoff) : Math.min(found, cutoff);
  };
}

/** Whether they enter each other by more than `depth` at a stand; on the line of centres that is soon seen. */
export function overlapping(
  a: Outline,
  b: Outline,
  distance: number,
  depth: number,
): (turnA: number, turnB: number) => boolean {
  const gap = facing(a, b, distance);
  return (turnA, turnB) =>
    distance - radiusAt(a, -turnA) - radiusAt(b, -turnB) < -clearly || gap(turnA, turnB, 0) < -depth;
}

/** What lies so deep in another along the line of centres, mm, enters it whichever way one measures. */
const clearly = 0.1;

/**
 * A lower bound of the gap at all stands that are turned by at most `sweepA` and `sweepB` from one: the distance less
 * what can come near the line of centres.
 */
export function facingBound(
  a: Outline,
  b: Outline,
  distance: number,
): (turnA: number, turnB: number, sweepA: number, sweepB: number, cutoff: number) => number {
  return (turnA, turnB, sweepA, sweepB, cutoff) => {
    const room = Math.max(cutoff, 0);
    if (!Number.isFinite(room)) return -Infinity;
    let [greatestA, greatestB] = [a.greatest, b.greatest];
    for (let narrowed = 0; narrowed < 2; narrowed++) {
      const widthA = reachOf(distance, greatestA, greatestB + room) + sweepA;
      greatestA = greatestBetween(a, -turnA - widthA, -turnA + widthA);
      const widthB = reachOf(distance, greatestB, greatestA + room) + sweepB;
      greatestB = greatestBetween(b, -turnB - widthB, -turnB + widthB);
    }
    return Math.min(cutoff, distance - greatestA - greatestB);
  };
}

/** The greatest angle from the line of centres at which a point within `radius` of one centre is within `reach` of the other. */
function reachOf(distance: number, radius: number, reach: number): number {
  if (reach >= distance) return Math.PI;
  if (radius * radius >= distance * distance - reach * reach) return Math.asin(reach / distance);
  return Math.acos(Math.min(1, (distance * distance + radius * radius - reach * reach) / (2 * distance * radius)));
}

/** Radius of an outline at a polar angle. */
export function radiusAt({ x, y, angle, after }: Outline, at: number): number {
  const count = x.length;
  const here = wrapped(at);
  let next = after[Math.floor((here * 180) / Math.PI)];
  while (next < count && angle[next] <= here) next++;
  const i = next > 0 ? next - 1 : count - 1;
  const j = next < count ? next : 0;
  const c = Math.cos(here);
  const s = Math.sin(here);
  const cross = x[i] * y[j] - x[j] * y[i];
  const along = c * (y[j] - y[i]) - s * (x[j] - x[i]);
  return along > 0 ? cross / along : Math.hypot(x[i], y[i]);
}

/** The vertices of an outline that lie toward the other centre, in a frame with x along the line of centres. */
interface Window {
  readonly x: Float64Array;
  /** Rising, unless a flank is so steep that it turns back. */
  readonly y: Float64Array;
  count: number;
  rising: boolean;
  greatest: number;
  /** Signed distance of a point of the common frame from the outline. */
  readonly signed: (x: number, y: number) => number;
  readonly open: (turned: number, width: number) => void;
}

/** Room for the vertices in a window, on either side; one for all pairs, as no two stands are compared at once. */
const rooms = { near: sharedRoom(), far: sharedRoom() };

function sharedRoom(): (count: number) => Pick<Window, 'x' | 'y'> {
  let [x, y] = [new Float64Array(1024), new Float64Array(1024)];
  return (count) => {
    if (x.length < count) [x, y] = [new Float64Array(2 * count), new Float64Array(2 * count)];
    return { x, y };
  };
}

function windowOf(outline: Outline, distance: number, far: boolean): Window {
  const size = outline.x.length;
  const { x, y } = rooms[far ? 'far' : 'near'](size + 3);
  let [c, s] = [1, 0];
  const window: Window = {
    x,
    y,
    count: 0,
    rising: true,
    greatest: 0,
    signed(px, py) {
      const [u, v] = far ? [distance - px, -py] : [px, py];
      return signedDistance(outline, u * c + v * s, v * c - u * s);
    },
    open(turned, width) {
      c = Math.cos(turned);
      s = Math.sin(turned);
      const all = width >= Math.PI - 1e-6;
      const from = wrapped(-width - turned);
      let i = all ? 0 : outline.after[Math.floor((from * 180) / Math.PI)];
      if (!all) while (i < size && outline.angle[i] < from) i++;
      i = (i + size - 1) % size;
      let count = 0;
      let greatest = 0;
      let rising = true;
      for (let last = false; !last && count <= size; i = i + 1 < size ? i + 1 : 0) {
        const along = outline.angle[i] - from;
        last = !all && count > 0 && (along < 0 ? along + turn : along) > 2 * width;
        const u = outline.x[i] * c - outline.y[i] * s;
        const v = outline.x[i] * s + outline.y[i] * c;
        x[count] = far ? distance - u : u;
        y[count] = v;
        if (count > 0 && v < y[count - 1]) rising = false;
        if (outline.radius[i] > greatest) greatest = outline.radius[i];
        count++;
      }
      if (far) {
        x.subarray(0, count).reverse();
        y.subarray(0, count).reverse();
        for (let k = 0; k < count; k++) y[k] = -y[k];
      }
      window.count = count;
      window.rising = rising;
      window.greatest = greatest;
    },
  };
  return window;
}

/**
 * The least signed distance, below `most`, of the vertices in one window from the edges in the other, whose body lies
 * on the `side` (of x) of them and has its centre at `centre`.
 */
function nearest(points: Window, edges: Window, centre: number, side: 1 | -1, most: number): number {
  const { x: ex, y: ey, count, rising } = edges;
  const inner = edges.greatest * edges.greatest;
  let best = most;
  let level = 1;
  for (let i = 0; i < points.count; i++) {
    const px = points.x[i];
    const py = points.y[i];
    const out = (px - centre) * (px - centre) + py * py;
    const reach = edges.greatest + Math.max(best, 0);
    if (out >= reach * reach) continue;
    if (!rising) {
      best = Math.min(best, edges.signed(px, py));
      continue;
    }
    while (level + 1 < count && ey[level] < py) level++;
    while (level > 1 && ey[level - 1] > py) level--;
    const inside =
      out < inner &&
      side * ((px - ex[level]) * (ey[level] - ey[level - 1]) - (py - ey[level]) * (ex[level] - ex[level - 1])) > 0;
    if (!inside && best <= 0) continue;
    let square = inside ? Infinity : best * best;
    let limit = inside ? Infinity : best;
    let up = level;
    let down = level - 1;
    for (; up < count && ey[up - 1] - py <= limit; up++) {
      const here = squareToEdge(px, py, ex[up - 1], ey[up - 1], ex[up], ey[up]);
      if (here < square) {
        square = here;
        limit = Math.sqrt(here);
      }
    }
    for (; down >= 1 && py - ey[down] <= limit; down--) {
      const here = squareToEdge(px, py, ex[down - 1], ey[down - 1], ex[down], ey[down]);
      if (here < square) {
        square = here;
        limit = Math.sqrt(here);
      }
    }
    if (!inside) best = limit;
    else best = Math.min(best, up === count || down === 0 ? edges.signed(px, py) : -limit);
  }
  return best;
}
