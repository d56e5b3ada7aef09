/**
 * What guides a button along its stroke: the back plate behind it, a rail on either side that stands on that plate, and
 * before it a stop that hangs on the face plate, so that they close round it when the plates do.
 */
import type { Point } from '../../../language/mechanism.ts';
import type { Blank } from '../parts/engraving.ts';
import { type Box, boxOf, placed } from '../parts/loop.ts';
import type { Polygon } from '../shape/convex.ts';
import type { Depth } from '../shape/stack.ts';
import { type Cover, cornersOfRect, free, meets, spanIn } from './room.ts';

export interface Rail {
  readonly push: string;
  /** On the back plate; heights from the face. */
  readonly walls: readonly (Depth & { readonly outline: Polygon })[];
  /** On the face plate, before the button; absent where nothing of it finds room. */
  readonly stop?: Depth & { readonly outline: Polygon };
  /** How long the shorter side guides, and how wide what slides there is, mm. */
  readonly long: number;
  readonly wide: number;
}

/** A rail before the plates have their size. */
interface OpenRail {
  /** What both sides may cover. */
  readonly beside: readonly Cover[];
  /** Cut off at the plates' edge, with a stop clear of the pillars. */
  readonly within: (box: Box, pillars: readonly Cover[]) => Rail;
}

interface Measures {
  readonly clearance: number;
  readonly wall: number;
  readonly back: Depth;
  readonly face: Depth;
}

/** Thickness of a rail, and how long a stop is along the way of the button, in walls. */
const inWalls = { rail: 2, stop: 4 };
/** Beyond the plates nothing is built. */
const far = 1e4;
/** Stops are tried so far apart, mm. */
const step = 0.5;

/** `barred` is what moves, a clearance round it, and where it ends in front. */
export function railsOf(
  blanks: readonly Blank[],
  barred: readonly { readonly name: string; readonly points: Polygon; readonly from: number; readonly to: number }[],
  bearings: readonly { readonly at: Point; readonly round: number }[],
  { clearance, wall, back, face }: Measures,
): OpenRail[] {
  return blanks.flatMap(({ name, kind, pieces = [], seats: [seat] }): OpenRail[] => {
    if (kind !== 'button') return [];
    // Yoke, rod and cap.
    const [yoke, rod] = pieces.map(({ loop }) => boxOf([placed(loop, seat, 0)]));
    const front = seat.z + pieces[1].to;
    const thick = inWalls.rail * wall;
    const whole = { from: yoke.top + clearance, to: far };
    const sides = [
      { left: rod.left - clearance - thick, right: rod.left - clearance },
      { left: rod.right + clearance, right: rod.right + clearance + thick },
    ];
    const behind = barred.filter((one) => one.name !== name && one.from < front - 1e-6);
    const spans = sides.map(({ left, right }) =>
      free(whole, [
        ...behind.flatMap(
          ({ points }) =>
            spanIn(
              points.map(({ x, y }) => ({ x: y, y: -x })),
              -right,
              -left,
            ) ?? [],
        ),
        ...bearings.flatMap(({ at, round }) =>
          meets({ left, right, ...whole, bottom: -far, top: far }, { kind: 'ring', at, inner: 0, outer: round })
            ? [{ from: at.y - round, to: at.y + round }]
            : [],
        ),
      ]),
    );
    const along = (side: number, { from, to }: Depth): Box => ({ ...sides[side], bottom: from, top: to });
    const polygonAt = (side: number, span: Depth): Cover => ({
      kind: 'polygon',
      points: cornersOfRect(along(side, span)),
    });
    return [
      {
        beside: spans.flatMap((side, i) => side.map((span) => polygonAt(i, span))),
        within: (box, pillars) => {
          const cut = spans.map((side) =>
            side.flatMap(({ from, to }) => (from < box.top - wall ? [{ from, to: Math.min(to, box.top) }] : [])),
          );
          const lengths = cut.map((side) => side.reduce((sum, { from, to }) => sum + to - from, 0));
          const passing = barred.filter((one) => one.name !== name && one.to > front + 1e-6);
          const stop = highest(rod, { from: whole.from, to: box.top }, inWalls.stop * wall, [
            ...passing.map(({ points }): Cover => ({ kind: 'polygon', points })),
            ...pillars,
          ]);
          return {
            push: name,
            walls: cut.flatMap((side, i) =>
              side.map((span) => ({ from: back.to, to: front, outline: cornersOfRect(along(i, span)) })),
            ),
            ...(stop && { stop: { from: front + clearance, to: face.from, outline: cornersOfRect(stop) } }),
            long: Math.min(...lengths),
            wide: rod.right - rod.left,
          };
        },
      },
    ];
  });
}

/** The highest rectangle across a rod, as high as `high`, that lies clear of others. */
function highest({ left, right }: Box, { from, to }: Depth, high: number, others: readonly Cover[]): Box | undefined {
  for (let top = to; top - high >= from; top -= step) {
    const tried = { left, right, bottom: top - high, top };
    if (others.every((cover) => !meets(tried, cover))) return tried;
  }
  return undefined;
}
