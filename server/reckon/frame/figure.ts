/** What of a frame's layout is told: sizes, screws, bearings, guides, and what finds no room. */
import type { Point, Screw } from '../../../language/mechanism.ts';
import { type Box, flattened } from '../parts/loop.ts';
import { distanceTo, type Polygon } from '../shape/convex.ts';
import type { Pawls } from './pawls.ts';
import type { FramePlan, Plate } from './plan.ts';

export interface FrameFigure
  extends Pick<FramePlan, 'screws' | 'springs' | 'clashes' | 'wide' | 'unheld' | 'unsprung' | 'guides' | 'seatDepth'> {
  /** Of the plates, and from the face plate to the back plate, mm. */
  readonly plate: { readonly width: number; readonly height: number; readonly thickness: number };
  readonly between: number;
  /** The plates on the face, how round their corners are, and of what radius the heads of the screws lie in them, mm. */
  readonly outline: Box & { readonly corner: number; readonly seat: number };
  /** What its plate before the bars leaves open. */
  readonly windows: readonly Polygon[];
  readonly windowed: boolean;
  readonly screw: Pick<Screw, 'diameter' | 'head'>;
  /** Lengths of the screws from the front and from the back; absent where none is of a length that holds. */
  readonly lengths: { readonly front?: number; readonly back?: number };
  /** What guides each button: how long, how wide what slides there is, mm, and whether something stands before it. */
  readonly rails: readonly {
    readonly push: string;
    readonly long: number;
    readonly wide: number;
    readonly stopped: boolean;
  }[];
  /** Where the pawl of each ratchet is screwed on, and how long its arm and its screw are, mm; those that find no place. */
  readonly pawls: readonly {
    readonly ratchet: string;
    readonly at: Point;
    readonly arm: number;
    readonly length: number;
  }[];
  readonly unseated: Pawls['unseated'];
  /** The plates that carry each shaft. */
  readonly bearings: readonly { readonly shaft: string; readonly plates: readonly Plate[] }[];
}

/** Convex polygons without those that lie in another. */
const outermost = (all: readonly Polygon[]): Polygon[] =>
  all.filter((one, i) =>
    all.every((other, j) => {
      const isWithin = one.every(({ x, y }) => distanceTo(other, x, y) < 0.1);
      return i === j || !isWithin || (j > i && other.every(({ x, y }) => distanceTo(one, x, y) < 0.1));
    }),
  );

export function frameFigureOf(plan: FramePlan): FrameFigure {
  const { frame, box, face, back, window, bearings, front, behind } = plan;
  const { screws, springs, rails, clashes, wide, unheld, unsprung, guides, seatDepth } = plan;
  const { diameter, head } = frame.screws.value;
  return {
    plate: { width: box.right - box.left, height: box.top - box.bottom, thickness: frame.thickness.value },
    between: face.from - back.to,
    outline: { ...box, corner: plan.pillar, seat: plan.seat },
    windows: outermost(plan.windows.map((loop) => flattened(loop, 0.05))),
    windowed: window !== undefined,
    screw: { diameter, head },
    screws,
    lengths: { ...(front && { front: front.length }), ...(behind && { back: behind.length }) },
    seatDepth,
    bearings: bearings.map(({ shaft, bores }) => ({ shaft, plates: bores.map(({ plate }) => plate) })),
    springs,
    pawls: plan.pawls.seats.map(({ ratchet, at, arm, length }) => ({ ratchet, at, arm, length })),
    unseated: plan.pawls.unseated,
    rails: rails.map(({ push, long, wide: across, stop }) => ({
      push,
      long,
      wide: across,
      stopped: stop !== undefined,
    })),
    guides,
    clashes,
    wide,
    unheld,
    unsprung,
  };
}
