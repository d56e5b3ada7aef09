/** The lift curve of a cam across one turn, as points and as paths. */
import type { CamFigure } from '../../reckon/figures.ts';
import { acrossOfAngle, flanksOf, liftOf, stepsAt, type View } from './view.ts';
import { px } from './words.ts';

export interface CurvePoint {
  readonly across: number;
  /** Share of the stroke, 0 to 1. */
  readonly share: number;
}

/** Beyond so many flanks the curve is sampled evenly instead of flank by flank. */
const manyFlanks = 300;

/** A flank as it lies across the turn; `from` < `to`, parts of it may lie beyond the ends. */
export interface Flank {
  readonly from: number;
  readonly to: number;
  readonly lobe: number;
  /** Before or after the lobe, counter-clockwise. */
  readonly side: 0 | 1;
  readonly rises: boolean;
}

/** Every flank of a cam that begins within one turn, in order. */
export function flanksAcross(view: Pick<View, 'rests' | 'direction'>, cam: CamFigure): Flank[] {
  const turning = -Math.sign(cam.step) * view.direction;
  return flanksOf(cam.lift)
    .flatMap(({ lobe, side, from, to }) => {
      const width = (to - from) / Math.abs(cam.step);
      const rises = (side === 0) === turning > 0;
      return acrossOfAngle(view, cam, turning > 0 ? from : to)
        .flatMap((start) => (start + width > view.rests ? [start, start - view.rests] : [start]))
        .map((start) => ({ from: start, to: start + width, lobe, side, rises }));
    })
    .sort((one, other) => one.from - other.from);
}

/** The curve from `first` to `last` across, dense on flanks and sparse between. */
export function curvePoints(
  view: Pick<View, 'rests' | 'direction'>,
  cam: CamFigure,
  [first, last]: readonly [number, number],
  lap = 0,
  evenly = 600,
): CurvePoint[] {
  const flanks = flanksAcross(view, cam);
  const at = new Set<number>([first, last]);
  if (flanks.length > manyFlanks) {
    for (let i = 0; i <= evenly; i++) at.add(first + ((last - first) * i) / evenly);
  } else {
    for (const flank of flanks) {
      for (const lapped of [-view.rests, 0, view.rests]) {
        for (let i = 0; i <= 20; i++) {
          const across = lapped + flank.from + ((flank.to - flank.from) * i) / 20;
          if (across > first && across < last) at.add(across);
        }
      }
    }
  }
  return [...at]
    .sort((one, other) => one - other)
    .map((across) => ({
      across,
      share: cam.lift.stroke > 0 ? liftOf(cam, stepsAt(view, across, lap)) / cam.lift.stroke : 0,
    }));
}

/** The curve's path; closed along the floor where `filled`. */
export function curvePath(
  points: readonly CurvePoint[],
  x: (across: number) => number,
  floor: number,
  height: number,
  filled: boolean,
): string {
  const line = points.map(({ across, share }) => `${px(x(across))} ${px(floor - share * height)}`).join('L');
  if (!filled) return `M${line}`;
  return `M${px(x(points[0]!.across))} ${px(floor)}L${line}L${px(x(points.at(-1)!.across))} ${px(floor)}Z`;
}
