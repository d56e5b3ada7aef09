/**
 * The surface of a union of upright prisms: level faces, and walls on straight lines and arcs, that share their edges.
 *
 * Where material touches itself along a line only, four faces meet in one edge: there each two that bound the same
 * material share an edge of their own, so that every edge has two faces and every shell is closed.
 */
import type { Point } from '../../../language/mechanism.ts';
import { edgesOf, loopArea } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism } from '../../reckon/parts/part.ts';
import { type ArrangedEdge, type Arrangement, arrange, encloses, enlist, middleOf } from './arrangement.ts';
import { commonReach, directionAt, type Face, facesOf, regionOf, type Walk, walked } from './faces.ts';

/** One edge of the surface. Level ones run along the arrangement's edge, upright ones from one level up to another. */
export type ShellEdge =
  | { readonly kind: 'level'; readonly edge: number; readonly level: number }
  | { readonly kind: 'upright'; readonly point: number; readonly from: number; readonly to: number };

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
  const level = levelEdges(arrangement);
  const upright = uprightEdges(arrangement, walls);
  const faces = [
    ...levelFaces(arrangement, level),
    ...walls.all.map((wall) => wallFace(arrangement, wall, level, upright)),
  ];
  return { arrangement, solids: solidsOf(arrangement, closedShells(arrangement, faces)) };
}

// ---- walls and edges ---------------------------------------------------------------------------------

/** Over neighbouring slabs in which the same side of an edge is filled. */
interface Wall {
  readonly walk: Walk;
  /** The slabs it stands in, the last one not included: levels, too. */
  readonly first: number;
  readonly last: number;
}

interface Walls {
  readonly all: readonly Wall[];
  /** By edge and slab. */
  readonly at: readonly (readonly (Wall | undefined)[])[];
}

function wallsOf({ edges }: Arrangement): Walls {
  const at = edges.map(({ left, right }, edge) => {
    const row: (Wall | undefined)[] = left.map(() => undefined);
    for (let first = 0; first < left.length; ) {
      let last = first + 1;
      while (last < left.length && left[last] === left[first] && right[last] === right[first]) last++;
      if (left[first] !== right[first]) row.fill({ walk: { edge, along: left[first] }, first, last }, first, last);
      first = last;
    }
    return row;
  });
  return { all: [...new Set(at.flat())].filter((wall) => wall !== undefined), at };
}

/** The four quarters round an edge at a level, filled or not. */
function quarters({ left, right }: ArrangedEdge, level: number) {
  return {
    leftBelow: left[level - 1] ?? false,
    leftAbove: left[level] ?? false,
    rightBelow: right[level - 1] ?? false,
    rightAbove: right[level] ?? false,
  };
}

interface LevelEdges {
  readonly ofWall: (wall: Wall, level: number) => ShellEdge;
  /** Of the level face to the left of a walk. */
  readonly ofFace: (walk: Walk, level: number) => ShellEdge;
}

function levelEdges({ edges, heights }: Arrangement): LevelEdges {
  const made = new Map<number, ShellEdge>();
  const edge = (index: number, level: number, twin: boolean): ShellEdge => {
    const key = 2 * (index * heights.length + level) + (twin ? 1 : 0);
    const one = made.get(key) ?? { kind: 'level', edge: index, level };
    made.set(key, one);
    return one;
  };
  /** Filled quarters lie across: the material below has the first edge, the material above its twin. */
  const across = (index: number, level: number): ReturnType<typeof quarters> | undefined => {
    const q = quarters(edges[index], level);
    const opposed = q.leftBelow === q.rightAbove && q.leftAbove === q.rightBelow && q.leftBelow !== q.rightBelow;
    return opposed ? q : undefined;
  };
  return {
    ofWall: ({ walk, first }, level) =>
      edge(walk.edge, level, across(walk.edge, level) !== undefined && level === first),
    ofFace: (walk, level) => {
      const q = across(walk.edge, level);
      return edge(walk.edge, level, q !== undefined && !(walk.along ? q.leftBelow : q.rightBelow));
    },
  };
}

/** The upright edges at either end of a wall, from below to above. */
type UprightEdges = (wall: Wall, point: number) => readonly ShellEdge[];

function uprightEdges(arrangement: Arrangement, { at }: Walls): UprightEdges {
  const { heights, edges, points } = arrangement;
  const around: Walk[][] = points.map(() => []);
  for (const [edge, { from, to }] of edges.entries()) {
    around[from].push({ edge, along: true });
    around[to].push({ edge, along: false });
  }
  const made = new Map<Wall, Map<number, ShellEdge[]>>();
  const add = (wall: Wall, point: number, edge: ShellEdge) => {
    const ends = made.get(wall) ?? new Map<number, ShellEdge[]>();
    made.set(wall, ends);
    enlist(ends, point, edge);
  };
  for (const [point, walks] of around.entries()) {
    const inOrder = walks.length > 2 ? counterClockwise(arrangement, walks) : walks;
    /** Pairs of walls that the slab below ended with, and from where they meet. */
    let open: { pair: readonly [Wall, Wall]; from: number }[] = [];
    for (let slab = 0; slab < heights.length; slab++) {
      const pairs = pairsRound(inOrder, at, slab);
      const goesOn = ([a, b]: readonly [Wall, Wall]) => pairs.some(([c, d]) => a === c && b === d);
      for (const { pair, from } of open.filter(({ pair }) => !goesOn(pair))) {
        const edge: ShellEdge = { kind: 'upright', point, from, to: slab };
        for (const wall of pair) add(wall, point, edge);
      }
      open = pairs.map((pair) => ({
        pair,
        from: open.find((one) => one.pair[0] === pair[0] && one.pair[1] === pair[1])?.from ?? slab,
      }));
    }
  }
  return (wall, point) => made.get(wall)?.get(point) ?? [];
}

/** Walls that bound the same material round a point: one with it on the left as it leaves, and the next one. */
function pairsRound(inOrder: readonly Walk[], at: Walls['at'], slab: number): [Wall, Wall][] {
  const here = inOrder.flatMap(({ edge, along }) => {
    const wall = at[edge][slab];
    return wall ? [{ wall, filledLeft: wall.walk.along === along }] : [];
  });
  return here.flatMap(({ wall, filledLeft }, i): [Wall, Wall][] =>
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
  return arrangement.heights.flatMap((_, level) =>
    [true, false].flatMap((up) => {
      const shows = (below: boolean, above: boolean) => (up ? below && !above : above && !below);
      const faces = facesOf(arrangement, (edge) => {
        const q = quarters(edge, level);
        return { left: shows(q.leftBelow, q.leftAbove), right: shows(q.rightBelow, q.rightAbove) };
      });
      return faces.map((face): ShellFace => {
        const bounds = [face.outer, ...face.holes].map((walks) => {
          const sides = walks.map((walk): Side => ({ edge: ofFace(walk, level), along: walk.along === up }));
          return up ? sides : sides.reverse();
        });
        return { kind: 'level', level, up, bounds, face };
      });
    }),
  );
}

function wallFace(arrangement: Arrangement, wall: Wall, { ofWall }: LevelEdges, upright: UprightEdges): ShellFace {
  const { walk, first, last } = wall;
  const { from, to } = walked(arrangement, walk);
  const sides: Side[] = [
    { edge: ofWall(wall, first), along: walk.along },
    ...upright(wall, to).map((edge) => ({ edge, along: true })),
    { edge: ofWall(wall, last), along: !walk.along },
    ...upright(wall, from)
      .map((edge) => ({ edge, along: false }))
      .reverse(),
  ];
  return { kind: 'wall', walk, from: first, to: last, bounds: [sides] };
}

// ---- shells ----------------------------------------------------------------------------------------------

/** Faces that hang together by their edges. Throws where an edge has not two faces: then the outlines crossed themselves. */
function closedShells({ heights }: Arrangement, faces: readonly ShellFace[]): ShellFace[][] {
  const users = new Map<ShellEdge, { face: number; along: boolean }[]>();
  for (const [face, { bounds }] of faces.entries())
    for (const { edge, along } of bounds.flat()) enlist(users, edge, { face, along });
  const shell = faces.map((_, i) => i);
  const root = (i: number): number => {
    while (shell[i] !== i) i = shell[i] = shell[shell[i]];
    return i;
  };
  for (const [edge, [one, other, ...more]] of users) {
    if (!other || more.length > 0 || one.along === other.along)
      throw new Error(`the surface is open at z = ${heights[edge.kind === 'level' ? edge.level : edge.from]} mm`);
    const [a, b] = [root(one.face), root(other.face)];
    shell[Math.max(a, b)] = Math.min(a, b);
  }
  const shells = new Map<number, ShellFace[]>();
  for (const [i, face] of faces.entries()) enlist(shells, root(i), face);
  return [...shells.values()];
}

/** Volume inside a shell, by the divergence of (0, 0, z); negative for a void's. */
const volumeIn = (arrangement: Arrangement, shell: readonly ShellFace[]): number =>
  shell.reduce((sum, face) => {
    if (face.kind !== 'level') return sum;
    const { outer, holes } = regionOf(arrangement, face.face);
    const area = holes.reduce((rest, hole) => rest + loopArea(hole), loopArea(outer));
    return sum + (face.up ? area : -area) * arrangement.heights[face.level];
  }, 0);

function solidsOf(arrangement: Arrangement, shells: readonly ShellFace[][]): Solid[] {
  const solids = shells
    .filter((shell) => volumeIn(arrangement, shell) > 0)
    .map((outer) => ({ outer, voids: [] as ShellFace[][] }));
  for (const empty of shells.filter((shell) => volumeIn(arrangement, shell) <= 0)) {
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
