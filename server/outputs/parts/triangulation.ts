/**
 * Level faces cut into triangles by clipping ears (G. H. Meisters, “Polygons have ears”, 1975), holes first tied to what
 * is round them by a bridge. Every corner stays one and every side is the side of one triangle, whatever the outlines
 * are like: where they touch, or cross by a hair since chords stand for arcs, the triangles overlap by that hair.
 * Libraries for pictures drop corners that lie straight between others; walls beneath would then stand open.
 */

/**
 * The triangles of a face, appended as numbers of corners, three each, counter-clockwise. `loops` are the numbers of the
 * corners round it, counter-clockwise, then round each hole, clockwise; `corners` the coordinates x, y, z of all.
 */
export function triangulate(
  loops: readonly (readonly number[])[],
  corners: readonly number[],
  triangles: number[],
): void {
  const ring: Ring = { x: [], y: [], corner: [], next: [], before: [] };
  const firsts = loops.map((loop) => added(ring, loop, corners));
  const { x, y } = ring;
  const holes = firsts.slice(1).map((first) => leftmost(ring, first));
  // From the left, so that what lies between a hole and the rim is tied before it.
  holes.sort((a, b) => x[a] - x[b] || y[a] - y[b] || a - b);
  for (const hole of holes) tie(ring, bridgeTo(ring, firsts[0], hole), hole);
  clip(ring, triangles);
}

/** Closed chains of nodes. Where a bridge starts, one corner is several nodes. */
interface Ring {
  readonly x: number[];
  readonly y: number[];
  readonly corner: number[];
  readonly next: number[];
  readonly before: number[];
}

function added({ x, y, corner, next, before }: Ring, loop: readonly number[], corners: readonly number[]): number {
  const first = corner.length;
  for (let i = 0; i < loop.length; i++) {
    x.push(corners[3 * loop[i]]);
    y.push(corners[3 * loop[i] + 1]);
    corner.push(loop[i]);
    next.push(first + (i + 1 < loop.length ? i + 1 : 0));
    before.push(first + (i > 0 ? i : loop.length) - 1);
  }
  return first;
}

/** Twice the area of a triangle of nodes, counter-clockwise positive. */
const twice = ({ x, y }: Ring, a: number, b: number, c: number): number =>
  (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a]);

// ---- bridges to holes --------------------------------------------------------------------------------

function leftmost({ x, y, next }: Ring, first: number): number {
  let least = first;
  for (let node = next[first]; node !== first; node = next[node])
    if (x[node] < x[least] || (x[node] === x[least] && y[node] < y[least])) least = node;
  return least;
}

/** The node of a chain to which a bridge from a hole's leftmost one goes (D. Eberly, “Triangulation by ear clipping”, 2002). */
function bridgeTo(ring: Ring, first: number, hole: number): number {
  const { x, y, next } = ring;
  const [hx, hy] = [x[hole], y[hole]];
  let found = -1;
  /** Where the ray to the left meets the chain. */
  let met = -Infinity;
  let node = first;
  do {
    const to = next[node];
    if (y[node] >= hy && hy >= y[to] && y[node] !== y[to]) {
      const at = x[node] + ((hy - y[node]) * (x[to] - x[node])) / (y[to] - y[node]);
      if (at <= hx && at > met) {
        met = at;
        found = x[node] < x[to] ? node : to;
      }
    }
    node = to;
  } while (node !== first);
  if (found < 0) return nearest(ring, first, hole);

  // What stands before it hides it: of that, and of nodes at one place, the one that is seen.
  const [mx, my] = [x[found], y[found]];
  let least = Infinity;
  do {
    const nx = x[node];
    const ny = y[node];
    if (nx >= mx && nx <= hx && ny >= Math.min(my, hy) && ny <= Math.max(my, hy)) {
      const slope = ny === hy ? 0 : Math.abs(ny - hy) / (hx - nx);
      const seen = my < hy ? isIn(mx, my, hx, hy, met, hy, nx, ny) : isIn(mx, my, met, hy, hx, hy, nx, ny);
      const isFirst = slope < least || (slope === least && nx > x[found]);
      if (seen && isFirst && facesTo(ring, node, hole)) {
        least = slope;
        found = node;
      }
    }
    node = next[node];
  } while (node !== first);
  return found;
}

function nearest({ x, y, next }: Ring, first: number, to: number): number {
  const far = (node: number) => Math.hypot(x[node] - x[to], y[node] - y[to]);
  let found = first;
  for (let node = next[first]; node !== first; node = next[node]) if (far(node) < far(found)) found = node;
  return found;
}

/** Whether a node sees another between its own two sides; one at its own place by what that one leads to. */
function facesTo(ring: Ring, node: number, other: number): boolean {
  const { x, y, next, before } = ring;
  const to = x[node] === x[other] && y[node] === y[other] ? next[other] : other;
  const [ahead, behind] = [twice(ring, node, next[node], to), twice(ring, node, to, before[node])];
  return twice(ring, before[node], node, next[node]) > 0 ? ahead >= 0 && behind >= 0 : ahead > 0 || behind > 0;
}

/** Makes one chain of two, out to a hole by a bridge, round it, and back. */
function tie({ x, y, corner, next, before }: Ring, node: number, hole: number): void {
  const [back, home] = [corner.length, corner.length + 1];
  for (const one of [hole, node]) {
    x.push(x[one]);
    y.push(y[one]);
    corner.push(corner[one]);
  }
  next.push(home, next[node]);
  before.push(before[hole], back);
  next[before[hole]] = back;
  before[next[node]] = home;
  next[node] = hole;
  before[hole] = node;
}

// ---- ears --------------------------------------------------------------------------------------------

/** Clips the one chain that all nodes are in. */
function clip(ring: Ring, triangles: number[]): void {
  const { corner, next, before } = ring;
  const count = corner.length;
  const bent = new Uint8Array(count);
  for (let node = 0; node < count; node++) bent[node] = isBent(ring, node) ? 1 : 0;
  const grid = gridOf(ring, bent);
  let node = 0;
  let passed = 0;
  for (let left = count; left > 2; ) {
    const none = passed === left;
    if (none) node = flattest(ring, node);
    const a = before[node];
    const c = next[node];
    if (!none && (bent[node] === 1 || !isEar(ring, a, node, c, bent, grid))) {
      node = c;
      passed++;
      continue;
    }
    triangles.push(corner[a], corner[node], corner[c]);
    next[a] = c;
    before[c] = a;
    bent[node] = 0;
    bent[a] = isBent(ring, a) ? 1 : 0;
    bent[c] = isBent(ring, c) ? 1 : 0;
    // Not the next: one corner would get all the triangles.
    node = next[c];
    left--;
    passed = 0;
  }
}

const isBent = (ring: Ring, node: number): boolean => !(twice(ring, ring.before[node], node, ring.next[node]) > 0);

/** Where outlines touch or cross there may be no ear: what is clipped then, is off by least. */
function flattest(ring: Ring, first: number): number {
  const size = (node: number) => Math.abs(twice(ring, ring.before[node], node, ring.next[node]));
  let least = first;
  for (let node = ring.next[first]; node !== first; node = ring.next[node]) if (size(node) < size(least)) least = node;
  return least;
}

/** The nodes that are bent the other way, which alone can lie in an ear, by squares. */
interface Grid {
  readonly left: number;
  readonly bottom: number;
  /** Squares a millimetre. */
  readonly fine: number;
  readonly columns: number;
  readonly rows: number;
  /** Where the nodes of each square begin, and end. */
  readonly starts: Int32Array;
  readonly nodes: Int32Array;
}

function gridOf({ x, y }: Ring, bent: Uint8Array): Grid {
  let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
  let many = 0;
  for (let node = 0; node < bent.length; node++) {
    if (bent[node] === 0) continue;
    many++;
    left = Math.min(left, x[node]);
    right = Math.max(right, x[node]);
    bottom = Math.min(bottom, y[node]);
    top = Math.max(top, y[node]);
  }
  // Two nodes a square, and no more squares in a row than nodes.
  const width = Math.max(0, right - left);
  const height = Math.max(0, top - bottom);
  const area = Math.max(width * height, Math.max(width, height) ** 2 / many);
  const fine = area > 0 ? Math.sqrt(many / 2 / area) : 1;
  const columns = Math.floor(width * fine) + 1;
  const rows = Math.floor(height * fine) + 1;
  const square = (node: number) =>
    Math.floor((y[node] - bottom) * fine) * columns + Math.floor((x[node] - left) * fine);
  const starts = new Int32Array(columns * rows + 1);
  const nodes = new Int32Array(many);
  for (let node = 0; node < bent.length; node++) if (bent[node] === 1) starts[square(node)]++;
  for (let i = 1; i < starts.length; i++) starts[i] += starts[i - 1];
  for (let node = 0; node < bent.length; node++) if (bent[node] === 1) nodes[--starts[square(node)]] = node;
  return { left, bottom, fine, columns, rows, starts, nodes };
}

/** Whether nothing lies in the triangle at a node that is bent inwards. */
function isEar(ring: Ring, a: number, b: number, c: number, bent: Uint8Array, grid: Grid): boolean {
  const { x, y, next, before } = ring;
  const ax = x[a];
  const ay = y[a];
  const bx = x[b];
  const by = y[b];
  const cx = x[c];
  const cy = y[c];
  const left = Math.min(ax, bx, cx);
  const right = Math.max(ax, bx, cx);
  const bottom = Math.min(ay, by, cy);
  const top = Math.max(ay, by, cy);
  const firstColumn = Math.max(0, Math.floor((left - grid.left) * grid.fine));
  const lastColumn = Math.min(grid.columns - 1, Math.floor((right - grid.left) * grid.fine));
  const lastRow = Math.min(grid.rows - 1, Math.floor((top - grid.bottom) * grid.fine));
  for (let row = Math.max(0, Math.floor((bottom - grid.bottom) * grid.fine)); row <= lastRow; row++) {
    const end = grid.starts[row * grid.columns + lastColumn + 1];
    for (let i = grid.starts[row * grid.columns + firstColumn]; i < end; i++) {
      const node = grid.nodes[i];
      if (bent[node] === 0) continue;
      const px = x[node];
      const py = y[node];
      if (px < left || px > right || py < bottom || py > top || !isIn(ax, ay, bx, by, cx, cy, px, py)) continue;
      if ((px === ax && py === ay) || (px === cx && py === cy)) continue;
      if (px !== bx || py !== by) return false;
      // At the ear's tip: in the way if it comes out of the ear and goes back into it.
      const isWithin = (to: number) => twice(ring, b, c, to) >= 0 && twice(ring, b, to, a) >= 0;
      if (isWithin(next[node]) && isWithin(before[node])) return false;
    }
  }
  return true;
}

/** Whether a point lies in a triangle or on its sides; a, b, c counter-clockwise. */
const isIn = (
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  px: number,
  py: number,
): boolean =>
  (bx - ax) * (py - ay) - (px - ax) * (by - ay) >= 0 &&
  (cx - bx) * (py - by) - (px - bx) * (cy - by) >= 0 &&
  (ax - cx) * (py - cy) - (px - cx) * (ay - cy) >= 0;
