/**
 * The surface of a union of upright prisms: level faces, and walls on straight lines and arcs, that share their edges.
 *
 * Where material touches itself along a line only, four faces meet in one edge: there each two that bound the same
 * material share an edge of their own, so that every edge has two faces and every shell is closed.
 */
import type { Point } from '../../../language/mechanism.ts';
import { edgesOf } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism } from '../../reckon/parts/part.ts';
import { type ArrangedEdge, type Arrangement, arrange, encloses, enlist, middleOf } from './arrangement.ts';
import { commonReach, directionAt, type Face, facesOf, regionOf, type Walk, walked } from './faces.ts';

/** One edge of the surface. Level ones run along the arrangement's edge, upright ones from one level up to another. */
export type ShellEdge =
  | { readonly kind: 'level'; readonly id: number; readonly edge: number; readonly level: number }
  | {
      readonly kind: 'upright';
      readonly id: number;
      readonly point: number;
      readonly from: number;
      readonly to: number;
    };

/** An edge as a face runs along it. */
export interface Side {
  readonly edge: ShellEdge;
  readonly along: boolean;
}

/** Levels are places in the arrangement's heights. */
export type ShellFace =
  | {
      readonly kind: 'level';
      readonly level: number;
      /** Which way its outside is. */
      readonly up: boolean;
      /** Round the face as seen from outside: counter-clockwise first, then its holes. */
      readonly bounds: readonly (readonly Side[])[];
      readonly face: Face;
    }
  | {
      readonly kind: 'wall';
      /** With the material on its left. */
      readonly walk: Walk;
      readonly from: number;
      readonly to: number;
      readonly bounds: readonly (readonly Side[])[];
    };

/** A closed surface, and the closed surfaces of the voids in it. */
export interface Solid {
  readonly outer: readonly ShellFace[];
  readonly voids: readonly (readonly ShellFace[])[];
}

export interface Surface {
  readonly arrangement: Arrangement;
  /** Of the shells, by their id. */
  readonly edges: readonly ShellEdge[];
  /** One, unless the body falls apart. */
  readonly solids: readonly Solid[];
}

const known = new WeakMap<PrintedPart, Surface>();

/** The surface of a part, worked out once for all formats. Throws as `surfaceOf` does. */
export function partSurface(part: PrintedPart): Surface {
  const surface = known.get(part) ?? surfaceOf(part.prisms, part.engraved);
  known.set(part, surface);
  return surface;
}

/** The surface of what `cut` leaves of the union of `body`. Throws an Error where it is not closed: where loops cross themselves. */
export function surfaceOf(body: readonly Prism[], cut: readonly Prism[] = []): Surface {
  const arrangement = arrange(body, cut);
  const walls = wallsOf(arrangement);
  const edges: ShellEdge[] = [];
  standUp(arrangement, walls, edges);
  const level = levelEdges(arrangement, edges);
  const faces = levelFaces(arrangement, level);
  for (const wall of walls.all) faces.push(wallFace(wall, level));
  return { arrangement, edges, solids: solidsOf(arrangement, closedShells(arrangement, faces, edges)) };
}

// ---- walls and edges ---------------------------------------------------------------------------------

/** Over neighbouring slabs in which the same side of an edge is filled. */
interface Wall {
  readonly walk: Walk;
  /** The slabs it stands in, the last one not included: levels, too. */
  readonly first: number;
  readonly last: number;
  /** The upright edges where the arrangement's edge starts and where it ends, from below to above. */
  readonly starting: ShellEdge[];
  readonly ending: ShellEdge[];
}

interface Walls {
  readonly all: readonly Wall[];
  /** By edge and slab. */
  readonly at: readonly (readonly (Wall | undefined)[])[];
}

function wallsOf({ edges }: Arrangement): Walls {
  const all: Wall[] = [];
  const at = edges.map(({ left, right }, edge) => {
    const row: (Wall | undefined)[] = new Array(left.length).fill(undefined);
    for (let first = 0; first < left.length; ) {
      let last = first + 1;
      while (last < left.length && left[last] === left[first] && right[last] === right[first]) last++;
      if (left[first] !== right[first]) {
        const wall: Wall = { walk: { edge, along: left[first] }, first, last, starting: [], ending: [] };
        row.fill(wall, first, last);
        all.push(wall);
      }
      first = last;
    }
    return row;
  });
  return { all, at };
}

interface LevelEdges {
  readonly ofWall: (wall: Wall, level: number) => ShellEdge;
  /** Of the level face to the left of a walk. */
  readonly ofFace: (walk: Walk, level: number) => ShellEdge;
}

function levelEdges({ edges, heights }: Arrangement, made: ShellEdge[]): LevelEdges {
  const known = new Map<number, ShellEdge>();
  const edgeAt = (edge: number, level: number, twin: boolean): ShellEdge => {
    const key = 2 * (edge * heights.length + level) + (twin ? 1 : 0);
    let one = known.get(key);
    if (!one) {
      one = { kind: 'level', id: made.length, edge, level };
      made.push(one);
      known.set(key, one);
    }
    return one;
  };
  /** Filled quarters lie across: the material below has the first edge, the material above its twin. */
  const liesAcross = ({ left, right }: ArrangedEdge, level: number): boolean => {
    if (level === 0 || level === left.length) return false;
    const [below, above] = [left[level - 1], left[level]];
    return below !== above && below === right[level] && above === right[level - 1];
  };
  return {
    ofWall: ({ walk: { edge }, first }, level) =>
      edgeAt(edge, level, level === first && liesAcross(edges[edge], level)),
    ofFace: ({ edge, along }, level) => {
      const { left, right } = edges[edge];
      return edgeAt(edge, level, liesAcross(edges[edge], level) && !(along ? left : right)[level - 1]);
    },
  };
}

/** Gives walls the upright edges at either end, which they share with their neighbours. */
function standUp(arrangement: Arrangement, { at }: Walls, made: ShellEdge[]): void {
  const { heights, edges, points } = arrangement;
  const around: Walk[][] = points.map(() => []);
  for (let edge = 0; edge < edges.length; edge++) {
    around[edges[edge].from].push({ edge, along: true });
    around[edges[edge].to].push({ edge, along: false });
  }
  const add = (point: number, one: Wall, other: Wall, from: number, to: number) => {
    const edge: ShellEdge = { kind: 'upright', id: made.length, point, from, to };
    made.push(edge);
    (edges[one.walk.edge].from === point ? one.starting : one.ending).push(edge);
    (edges[other.walk.edge].from === point ? other.starting : other.ending).push(edge);
  };
  for (let point = 0; point < points.length; point++) {
    const walks = around[point];
    if (walks.length === 2) {
      const [a, b] = [at[walks[0].edge], at[walks[1].edge]];
      for (let from = 0; from < a.length; ) {
        const [one, other] = [a[from], b[from]];
        let to = from + 1;
        while (to < a.length && a[to] === one && b[to] === other) to++;
        if (one && other) add(point, one, other, from, to);
        else if (one || other) throw openAt(heights[from]);
        from = to;
      }
      continue;
    }
    const inOrder = counterClockwise(arrangement, walks);
    /** Pairs of walls that the slab below ended with, and from where they meet. */
    let open: { pair: Pair; from: number }[] = [];
    for (let slab = 0; slab < heights.length; slab++) {
      const pairs = pairsRound(inOrder, at, slab);
      const isSame = (pair: Pair) => (one: Pair) => one[0] === pair[0] && one[1] === pair[1];
      for (const { pair, from } of open) if (!pairs.some(isSame(pair))) add(point, ...pair, from, slab);
      open = pairs.map((pair) => ({ pair, from: open.find((one) => isSame(pair)(one.pair))?.from ?? slab }));
    }
  }
}

/** What is thrown where faces do not close: then the outlines crossed themselves. */
const openAt = (height: number): Error => new Error(`the surface is open at z = ${height} mm`);

type Pair = readonly [Wall, Wall];

/** Walls that bound the same material round a point: one with it on the left as it leaves, and the next one. */
function pairsRound(inOrder: readonly Walk[], at: Walls['at'], slab: number): Pair[] {
  const here = inOrder.flatMap(({ edge, along }) => {
    const wall = at[edge][slab];
    return wall ? [{ wall, filledLeft: wall.walk.along === along }] : [];
  });
  return here.flatMap(({ wall, filledLeft }, i): Pair[] =>
    filledLeft ? [[wall, here[(i + 1) % here.length].wall]] : [],
  );
}

function counterClockwise(arrangement: Arrangement, walks: readonly Walk[]): Walk[] {
  const reach = commonReach(arrangement, walks);
  const turned = (angle: number) => angle - 2 * Math.PI * Math.floor(angle / (2 * Math.PI));
  return walks
    .map((walk) => ({ walk, angle: turned(directionAt(arrangement, walk, reach)) }))
    .sort((a, b) => a.angle - b.angle)
    .map(({ walk }) => walk);
}

// ---- faces -----------------------------------------------------------------------------------------------

function levelFaces(arrangement: Arrangement, { ofFace }: LevelEdges): ShellFace[] {
  const { edges, heights } = arrangement;
  /** Walks round what shows of material from above and from below, by level. */
  const rims = heights.map((): { readonly above: Walk[]; readonly below: Walk[] } => ({ above: [], below: [] }));
  for (let edge = 0; edge < edges.length; edge++) {
    const { left, right } = edges[edge];
    let [leftBelow, rightBelow] = [false, false];
    for (let level = 0; level < heights.length; level++) {
      const last = level === left.length;
      const leftAbove = !last && left[level];
      const rightAbove = !last && right[level];
      const topOnLeft = leftBelow && !leftAbove;
      if (topOnLeft !== (rightBelow && !rightAbove)) rims[level].above.push({ edge, along: topOnLeft });
      const bottomOnLeft = leftAbove && !leftBelow;
      if (bottomOnLeft !== (rightAbove && !rightBelow)) rims[level].below.push({ edge, along: bottomOnLeft });
      leftBelow = leftAbove;
      rightBelow = rightAbove;
    }
  }
  const made: ShellFace[] = [];
  for (let level = 0; level < heights.length; level++)
    for (const up of [true, false])
      for (const face of facesOf(arrangement, up ? rims[level].above : rims[level].below)) {
        const bounds = [face.outer, ...face.holes].map((walks) => {
          const sides = walks.map((walk): Side => ({ edge: ofFace(walk, level), along: walk.along === up }));
          return up ? sides : sides.reverse();
        });
        made.push({ kind: 'level', level, up, bounds, face });
      }
  return made;
}

function wallFace(wall: Wall, { ofWall }: LevelEdges): ShellFace {
  const { walk, first, last, starting, ending } = wall;
  const sides: Side[] = [{ edge: ofWall(wall, first), along: walk.along }];
  for (const edge of walk.along ? ending : starting) sides.push({ edge, along: true });
  sides.push({ edge: ofWall(wall, last), along: !walk.along });
  const down = walk.along ? starting : ending;
  for (let i = down.length - 1; i >= 0; i--) sides.push({ edge: down[i], along: false });
  return { kind: 'wall', walk, from: first, to: last, bounds: [sides] };
}

// ---- shells ----------------------------------------------------------------------------------------------

/** Faces that hang together by their edges. Throws where an edge has not two faces. */
function closedShells(
  { heights }: Arrangement,
  faces: readonly ShellFace[],
  edges: readonly ShellEdge[],
): ShellFace[][] {
  const parent = Int32Array.from(faces, (_, i) => i);
  const root = (i: number): number => {
    while (parent[i] !== i) i = parent[i] = parent[parent[i]];
    return i;
  };
  /** The face that runs along each edge, and the one that runs back. */
  const along = new Int32Array(edges.length).fill(-1);
  const back = new Int32Array(edges.length).fill(-1);
  for (let face = 0; face < faces.length; face++)
    for (const sides of faces[face].bounds)
      for (const side of sides) {
        const users = side.along ? along : back;
        if (users[side.edge.id] >= 0) throw openAt(heightOf(side.edge, heights));
        users[side.edge.id] = face;
      }
  for (let id = 0; id < edges.length; id++) {
    if (along[id] < 0 || back[id] < 0) throw openAt(heightOf(edges[id], heights));
    const [a, b] = [root(along[id]), root(back[id])];
    parent[Math.max(a, b)] = Math.min(a, b);
  }
  const shells = new Map<number, ShellFace[]>();
  for (let face = 0; face < faces.length; face++) enlist(shells, root(face), faces[face]);
  return [...shells.values()];
}

const heightOf = (edge: ShellEdge, heights: readonly number[]): number =>
  heights[edge.kind === 'level' ? edge.level : edge.from];

/** Volume inside a shell, by the divergence of (0, 0, z); negative for a void's. */
function volumeIn({ heights }: Arrangement, shell: readonly ShellFace[]): number {
  let sum = 0;
  for (const face of shell)
    if (face.kind === 'level') sum += (face.up ? face.face.area : -face.face.area) * heights[face.level];
  return sum;
}

function solidsOf(arrangement: Arrangement, shells: readonly ShellFace[][]): Solid[] {
  const solids: { outer: readonly ShellFace[]; voids: (readonly ShellFace[])[] }[] = [];
  const empties: (readonly ShellFace[])[] = [];
  for (const shell of shells) {
    if (volumeIn(arrangement, shell) > 0) solids.push({ outer: shell, voids: [] });
    else empties.push(shell);
  }
  for (const empty of empties) {
    const home = solids.find(({ outer }) => surrounds(arrangement, outer, empty)) ?? solids[0];
    home?.voids.push(empty);
  }
  return solids;
}

/** Whether the material beside a void lies in a shell: an odd number of the shell's faces above a point of it. */
function surrounds(arrangement: Arrangement, shell: readonly ShellFace[], empty: readonly ShellFace[]): boolean {
  const wall = empty.find((face) => face.kind === 'wall');
  if (wall?.kind !== 'wall') return false;
  const { from, to, bulge } = walked(arrangement, wall.walk);
  const [a, b] = [arrangement.points[from], arrangement.points[to]];
  const middle = middleOf(a, b, bulge);
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const beside: Point = {
    x: middle.x - ((b.y - a.y) / length) * 1e-3,
    y: middle.y + ((b.x - a.x) / length) * 1e-3,
  };
  const above = shell.filter((face) => {
    if (face.kind !== 'level' || face.level <= wall.from) return false;
    const { outer, holes } = regionOf(arrangement, face.face);
    return encloses([outer, ...holes].map(edgesOf), beside);
  });
  return above.length % 2 === 1;
}
