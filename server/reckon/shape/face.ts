/**
 * The face in motion: how near bars on one plane come to each other, and what shows through the windows.
 *
 * Planes count from the reader backwards, like levels: a bar on a lower plane covers those behind it.
 */
import type { Bar, Mechanism, Segment } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { liftAt } from '../motion/lift.ts';
import { numberFor } from '../remembering.ts';
import { barOutline, faceCentre, rectangleOutline, sized } from './bars.ts';
import type { UnreckonedPart } from './bodies.ts';
import { area, common, moved, type Polygon, without } from './convex.ts';
import { type Motion, motionOf, toldSlide } from './movers.ts';
import { type Encounter, encounterOnce, type Grid } from './over-turn.ts';
import { encounterOf } from './sliding.ts';

export interface BarGapFigure extends Encounter {
  readonly segments: readonly [string, string];
  readonly plane: number;
  /** `turn` in steps of the count. */
  readonly moment?: number;
}

export interface WindowFigure {
  readonly segment: string;
  /** One for each rest position of the first count. */
  readonly rests: readonly WindowAtRest[];
}

export interface WindowAtRest {
  /** Share of the window that its own bar covers, as the reader sees it, 0 to 1. */
  readonly own: number;
  /** Shares of other bars that show through it. */
  readonly others: readonly { readonly segment: string; readonly share: number }[];
}

export interface Face {
  readonly gaps: readonly BarGapFigure[];
  readonly windows: readonly WindowFigure[];
  readonly unreckoned: readonly UnreckonedPart[];
}

/** A bar with its outline when lowered. */
interface FacedBar {
  readonly segment: Segment;
  readonly bar: Bar;
  readonly motion: Motion;
  readonly outline: Polygon;
  /** Stands for outline and motion. */
  readonly slide: number;
}

/** All bars of a face in motion; pauses often. */
export function* faceOf(m: Mechanism, figures: MotionFigures, grid: Grid): Generator<void, Face> {
  const { bars, unreckoned } = barsOf(m, figures);
  const gaps: BarGapFigure[] = [];
  for (const [i, one] of bars.entries()) {
    for (const two of bars.slice(i + 1)) {
      const onePiece = one.motion.cam !== undefined && one.motion.cam === two.motion.cam;
      if (one.bar.plane !== two.bar.plane || onePiece) continue;
      const found = yield* encounterOnce(`${one.slide} ${two.slide} ${grid}`, () => encounterOf(one, two, grid));
      gaps.push({
        segments: [one.segment.name, two.segment.name],
        plane: one.bar.plane,
        ...found,
        ...(found.turn !== undefined && figures.step && { moment: found.turn / figures.step }),
      });
    }
  }
  return { gaps, windows: windowsOf(bars, figures), unreckoned };
}

function barsOf(m: Mechanism, figures: MotionFigures): { bars: FacedBar[]; unreckoned: UnreckonedPart[] } {
  const centre = faceCentre(m.segments.flatMap(({ bar }) => bar?.value ?? []));
  const unreckoned: UnreckonedPart[] = [];
  const bars = m.segments.flatMap((segment): FacedBar[] => {
    const bar = segment.bar?.value;
    if (!bar) return [];
    const motion = motionOf(m, figures, segment);
    const outline = sized(bar) ? barOutline(bar, centre) : undefined;
    if ('because' in motion) unreckoned.push({ of: segment.name, ...motion });
    else if (!outline) unreckoned.push({ of: segment.name, because: `the bar of ${segment.name} has no size` });
    else return [{ segment, bar, motion, outline, slide: numberFor(toldSlide(outline, motion)) }];
    return [];
  });
  return { bars, unreckoned };
}

// ---- windows ------------------------------------------------------------------------------------------

/** Shares below this do not show. */
const specks = 1e-9;

function windowsOf(bars: readonly FacedBar[], figures: MotionFigures): WindowFigure[] {
  return bars.flatMap(({ segment }): WindowFigure[] => {
    const window = segment.window?.value;
    if (!window || !sized(window)) return [];
    const pane = rectangleOutline(window);
    const rests = figures.positions.map(({ index }): WindowAtRest => {
      const shares = sharesOf(pane, bars, index);
      const own = shares.find((share) => share.segment === segment.name)?.share ?? 0;
      return { own, others: shares.filter((share) => share.segment !== segment.name && share.share > specks) };
    });
    return [{ segment: segment.name, rests }];
  });
}

/** What shows of every bar through a pane at a rest position: what no bar before it covers. */
function sharesOf(pane: Polygon, bars: readonly FacedBar[], index: number): { segment: string; share: number }[] {
  const there = bars.map(({ segment, bar, motion, outline }) => {
    const lift = motion.cam ? liftAt(motion.cam.lift, motion.cam.rests[index]).lift : 0;
    return {
      name: segment.name,
      plane: bar.plane,
      seen: common(moved(outline, lift * motion.along.x, lift * motion.along.y), pane),
    };
  });
  const whole = area(pane);
  return there.map(({ name, plane, seen }) => {
    let pieces = [seen];
    for (const cover of there) {
      // One that only touches the pane covers nothing, and would cut nothing off.
      if (cover.plane < plane && area(cover.seen) > specks)
        pieces = pieces.flatMap((piece) => without(piece, cover.seen));
    }
    return { segment: name, share: pieces.reduce((sum, piece) => sum + area(piece), 0) / whole };
  });
}
