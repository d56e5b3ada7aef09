/** Level faces in an arrangement: what lies between its edges, traced round. */
import type { Point } from '../../../language/mechanism.ts';
import { type Edge, edgesOf, loopArea } from '../../reckon/parts/loop.ts';
import type { Loop, Prism, Region } from '../../reckon/parts/part.ts';
import {
  type ArrangedEdge,
  type Arrangement,
  arrange,
  encloses,
  enlist,
  grain,
  heightsOf,
  middleOf,
} from './arrangement.ts';

/** An edge as it is walked: along its direction, or back. */
export interface Walk {
  readonly edge: number;
  readonly along: boolean;
}

/** One connected level face, on the left of all its walks. */
export interface Face {
  readonly outer: readonly Walk[];
  readonly holes: readonly (readonly Walk[])[];
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

/** The faces of the area that lies to the left of edges where `inside` says so, and to their right. */
export function facesOf(
  arrangement: Arrangement,
  inside: (edge: ArrangedEdge) => { readonly left: boolean; readonly right: boolean },
): Face[] {
  const walks = arrangement.edges.flatMap((edge, i): Walk[] => {
    const { left, right } = inside(edge);
    return left === right ? [] : [{ edge: i, along: left }];
  });
  const outers: { face: { outer: Walk[]; holes: Walk[][] }; edges: readonly Edge[]; area: number }[] = [];
  const holes: Walk[][] = [];
  for (const walk of tracedRound(arrangement, walks)) {
    const loop = loopOf(arrangement, walk);
    const area = loopArea(loop);
    if (area > 0) outers.push({ face: { outer: walk, holes: [] }, edges: edgesOf(loop), area });
    else holes.push(walk);
  }
  outers.sort((a, b) => a.area - b.area);
  for (const hole of holes) {
    const { from, to, bulge } = walked(arrangement, hole[0]);
    const middle = middleOf(arrangement.points[from], arrangement.points[to], bulge);
    outers.find(({ edges }) => encloses([edges], middle))?.face.holes.push(hole);
  }
  return outers.map(({ face }) => face);
}

/** Walks put together to loops; where several meet in a point, each goes on by the one that turns most to the left. */
function tracedRound(arrangement: Arrangement, walks: readonly Walk[]): Walk[][] {
  const leaving = new Map<number, number[]>();
  for (const [i, walk] of walks.entries()) {
    const { from } = walked(arrangement, walk);
    enlist(leaving, from, i);
  }
  const next = walks.map((walk) => {
    const { to } = walked(arrangement, walk);
    const choices = leaving.get(to) ?? [];
    return choices.length < 2 ? choices[0] : leftmost(arrangement, walk, choices, walks);
  });
  const seen = new Set<number>();
  const loops: Walk[][] = [];
  for (const start of walks.keys()) {
    const loop: Walk[] = [];
    for (let i: number | undefined = start; i !== undefined && !seen.has(i); i = next[i]) {
      seen.add(i);
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
    const arrangement = arrange(here(body), here(cut));
    const faces = facesOf(arrangement, ({ left, right }) => ({ left: left[0], right: right[0] }));
    return faces.length > 0 ? [{ from, to, regions: faces.map((face) => regionOf(arrangement, face)) }] : [];
  });
}
