/** Level faces in an arrangement: what lies between its edges, traced round. */
import type { Point } from '../../../language/mechanism.ts';
import { type Edge, edgesOf } from '../../reckon/parts/loop.ts';
import type { Loop, Prism, Region } from '../../reckon/parts/part.ts';
import { type Arrangement, arrange, encloses, grain, heightsOf, middleOf } from './arrangement.ts';

/** An edge as it is walked: along its direction, or back. */
export interface Walk {
  readonly edge: number;
  readonly along: boolean;
}

/** One connected level face, on the left of all its walks. */
export interface Face {
  readonly outer: readonly Walk[];
  readonly holes: readonly (readonly Walk[])[];
  /** Less its holes, mm². */
  readonly area: number;
}

/** Where a walk starts and ends, and how it bulges. */
export function walked({ edges }: Arrangement, { edge, along }: Walk): { from: number; to: number; bulge: number } {
  const { from, to, bulge } = edges[edge];
  return along ? { from, to, bulge } : { from: to, to: from, bulge: -bulge };
}

export const loopOf = (arrangement: Arrangement, walks: readonly Walk[]): Loop =>
  walks.map((walk) => {
    const { from, bulge } = walked(arrangement, walk);
    return { ...arrangement.points[from], bulge };
  });

/** Area on the left of walks that go round it once, counter-clockwise positive, mm². */
function areaWithin({ points, edges }: Arrangement, walks: readonly Walk[]): number {
  let twice = 0;
  for (const { edge, along } of walks) {
    const { from, to, bulge } = edges[edge];
    const [a, b] = [points[from], points[to]];
    const own = a.x * b.y - b.x * a.y + twiceBeside(a, b, bulge);
    twice += along ? own : -own;
  }
  return twice / 2;
}

/** Twice the area between a chord and its arc, counter-clockwise positive. */
function twiceBeside(from: Point, to: Point, bulge: number): number {
  if (bulge === 0) return 0;
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const sweep = 4 * Math.atan(bulge);
  const square = ((dx * dx + dy * dy) * (1 + bulge * bulge) ** 2) / (16 * bulge * bulge);
  return square * (sweep - Math.sin(sweep));
}

/** The faces on the left of walks that bound them all. */
export function facesOf(arrangement: Arrangement, walks: readonly Walk[]): Face[] {
  const faces: { outer: readonly Walk[]; holes: (readonly Walk[])[]; area: number }[] = [];
  const holes: { walk: readonly Walk[]; area: number }[] = [];
  for (const walk of tracedRound(arrangement, walks)) {
    const area = areaWithin(arrangement, walk);
    if (area > 0) faces.push({ outer: walk, holes: [], area });
    else holes.push({ walk, area });
  }
  // The first round a hole is the least: they are in order of what they enclose, and it lies in the last if in no other.
  faces.sort((a, b) => a.area - b.area);
  const last = faces.length - 1;
  const outers: (readonly Edge[][] | undefined)[] = new Array(faces.length).fill(undefined);
  for (const { walk, area } of holes) {
    const { from, to, bulge } = walked(arrangement, walk[0]);
    const middle = middleOf(arrangement.points[from], arrangement.points[to], bulge);
    const home = faces.findIndex(({ outer }, i) => {
      outers[i] ??= i < last ? [edgesOf(loopOf(arrangement, outer))] : [];
      return i === last || encloses(outers[i], middle);
    });
    if (home < 0) continue;
    faces[home].holes.push(walk);
    faces[home].area += area;
  }
  return faces;
}

/** Walks put together to loops; where several meet in a point, each goes on by the one that turns most to the left. */
function tracedRound(arrangement: Arrangement, walks: readonly Walk[]): Walk[][] {
  const { edges } = arrangement;
  const leaving = new Map<number, number | number[]>();
  for (let i = 0; i < walks.length; i++) {
    const { edge, along } = walks[i];
    const from = along ? edges[edge].from : edges[edge].to;
    const others = leaving.get(from);
    if (others === undefined) leaving.set(from, i);
    else if (typeof others === 'number') leaving.set(from, [others, i]);
    else others.push(i);
  }
  const next = (walk: Walk): number | undefined => {
    const { from, to } = edges[walk.edge];
    const choices = leaving.get(walk.along ? to : from);
    return typeof choices === 'object' ? leftmost(arrangement, walk, choices, walks) : choices;
  };
  const seen = new Uint8Array(walks.length);
  const loops: Walk[][] = [];
  for (let start = 0; start < walks.length; start++) {
    const loop: Walk[] = [];
    for (let i: number | undefined = start; i !== undefined && seen[i] === 0; i = next(walks[i])) {
      seen[i] = 1;
      loop.push(walks[i]);
    }
    if (loop.length > 1) loops.push(loop);
  }
  return loops;
}

/** Of the walks that leave where one arrives, the first met when its way back is turned clockwise. */
function leftmost(
  arrangement: Arrangement,
  arriving: Walk,
  choices: readonly number[],
  walks: readonly Walk[],
): number {
  const back = { edge: arriving.edge, along: !arriving.along };
  const reach = commonReach(arrangement, [back, ...choices.map((i) => walks[i])]);
  const start = directionAt(arrangement, back, reach);
  const turned = (i: number) => {
    const by = start - directionAt(arrangement, walks[i], reach);
    return by - 2 * Math.PI * Math.floor(by / (2 * Math.PI));
  };
  return choices.reduce((best, i) => (turned(i) < turned(best) ? i : best));
}

/** A distance from a common start at which the walks' directions are compared: within all of them. */
export const commonReach = (arrangement: Arrangement, walks: readonly Walk[]): number =>
  Math.min(
    ...walks.map((walk) => {
      const { from, to } = walked(arrangement, walk);
      const [a, b] = [arrangement.points[from], arrangement.points[to]];
      return Math.hypot(b.x - a.x, b.y - a.y) / 2;
    }),
  );

/**
 * The direction from a walk's start to its point at a distance, rad: where curves touch, their tangents alone would
 * not tell them apart.
 */
export function directionAt(arrangement: Arrangement, walk: Walk, reach: number): number {
  const { from, to, bulge } = walked(arrangement, walk);
  const [a, b]: Point[] = [arrangement.points[from], arrangement.points[to]];
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const chord = Math.atan2(dy, dx);
  if (bulge === 0) return chord;
  const diameter = (Math.hypot(dx, dy) * (1 + bulge * bulge)) / (2 * Math.abs(bulge));
  return chord - 2 * Math.atan(bulge) + Math.sign(bulge) * Math.asin(Math.min(1, reach / diameter));
}

/** The regions of a face of the arrangement, as loops. */
export const regionOf = (arrangement: Arrangement, { outer, holes }: Face): Region => ({
  outer: loopOf(arrangement, outer),
  holes: holes.map((hole) => loopOf(arrangement, hole)),
});

/** A union of prisms less others as slabs one upon another, each with the true outlines at its height. */
export function slabsOf(body: readonly Prism[], cut: readonly Prism[] = []): Prism[] {
  const heights = heightsOf([...body, ...cut]);
  return heights.slice(1).flatMap((to, i): Prism[] => {
    const from = heights[i];
    const here = (prisms: readonly Prism[]) =>
      prisms.filter((one) => one.from <= from + grain && one.to >= to - grain).map((one) => ({ ...one, from, to }));
    const regions = outlined(here(body), here(cut));
    return regions.length > 0 ? [{ from, to, regions }] : [];
  });
}

/** The true outlines of prisms of one height less others. */
function outlined(body: readonly Prism[], cut: readonly Prism[]): readonly Region[] {
  // One region alone has no outlines but its own.
  if (cut.length === 0 && body.length === 1 && body[0].regions.length === 1) return body[0].regions;
  const arrangement = arrange(body, cut);
  const walks = arrangement.edges.flatMap(({ left, right }, edge): Walk[] =>
    left[0] === right[0] ? [] : [{ edge, along: left[0] }],
  );
  return facesOf(arrangement, walks).map((face) => regionOf(arrangement, face));
}
