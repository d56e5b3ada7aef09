/** All that may meet while the mechanism turns. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { bodiesOf, type UnreckonedPart } from './bodies.ts';
import { type ClearanceFigure, clearancesOf } from './clearance.ts';
import { type BarGapFigure, faceOf, type WindowFigure } from './face.ts';
import type { Grid } from './over-turn.ts';
import { type PostGapFigure, postGapsOf, slidersOf } from './posts.ts';
import type { StackFigure } from './stack.ts';

export interface Encounters {
  /** On the coarse one gaps are right to `within`, and narrow clashes may be missed. */
  readonly grid: Grid;
  /** Between what turns with different shafts. */
  readonly clearances: readonly ClearanceFigure[];
  /** Of posts, stems and guides with what turns and with each other. */
  readonly posts: readonly PostGapFigure[];
  /** Between bars on one plane. */
  readonly bars: readonly BarGapFigure[];
  /** What shows through each window at rest. */
  readonly windows: readonly WindowFigure[];
  /** Parts that no encounter was reckoned for, and why. */
  readonly unreckoned: readonly UnreckonedPart[];
}

/** Pauses before each pair. */
export function* encountersOf(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  grid: Grid,
): Generator<void, Encounters> {
  const bodies = bodiesOf(m, figures, stack);
  const sliders = slidersOf(m, figures, stack);
  const turning = yield* clearancesOf(m, figures, bodies, grid);
  const sliding = yield* postGapsOf(m, figures, sliders, bodies, grid);
  const face = yield* faceOf(m, figures, grid);
  return {
    grid,
    clearances: turning.clearances,
    posts: sliding.gaps,
    bars: face.gaps,
    windows: face.windows,
    unreckoned: [...turning.unreckoned, ...sliding.unreckoned, ...face.unreckoned],
  };
}
