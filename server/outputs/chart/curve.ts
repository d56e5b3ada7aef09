/** The lift curve of a cam across one turn, as points and as paths. */
import type { CamFigure } from '../../reckon/figures.ts';
import { turn } from '../../reckon/motion/angles.ts';
import { acrossOfAngle, flanksOf, liftOf, stepsAt, type View } from './view.ts';
import { px } from './words.ts';

export interface CurvePoint {
  readonly across: number;
  /** Share of the stroke, 0 to 1. */
  readonly share: number;
}

/** Straight pieces that a flank is drawn with. */
const chords = 16;

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

/** Where the nose turns on a corner that undercut has left, across the turn. */
function cornersAcross(view: Pick<View, 'rests' | 'direction'>, cam: CamFigure): { from: number; to: number }[] {
  const backwards = cam.step * view.direction > 0;
  return (cam.lift.cut?.corners ?? []).flatMap((corner) => {
    const width = ((((corner.to - corner.from) % turn) + turn) % turn) / Math.abs(cam.step);
    return acrossOfAngle(view, cam, backwards ? corner.to : corner.from).map((from) => ({ from, to: from + width }));
  });
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
    for (const { from, to } of [...flanks, ...cornersAcross(view, cam)]) {
      for (const lapped of [-view.rests, 0, view.rests]) {
        if (lapped + to < first || lapped + from > last) continue;
        for (let i = 0; i <= chords; i++) {
          const across = lapped + from + ((to - from) * i) / chords;
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

export interface CurvePaths {
  readonly line: string;
  /** The same, closed along the floor. */
  readonly ground: string;
}

/** The curve as paths: `x` in px of a place across, `floor` the height of no lift, `height` of full lift. */
export function curvePaths(
  points: readonly CurvePoint[],
  x: (across: number) => number,
  floor: number,
  height: number,
): CurvePaths {
  const line = points.map(({ across, share }) => `${px(x(across))} ${px(floor - share * height)}`).join('L');
  const [first, last] = [points[0]!, points.at(-1)!].map(({ across }) => px(x(across)));
  return { line: `M${line}`, ground: `M${first} ${px(floor)}L${line}L${last} ${px(floor)}Z` };
}
