/** How a part that is built in moves while the mechanism turns, as plain data, and how it then stands. */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { FollowedLift, MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { liftAt } from '../motion/lift.ts';
import { motionOf } from '../shape/movers.ts';
import { rateOf } from '../shape/over-turn.ts';
import { pinOf } from './behind.ts';
import type { PrintedPart, Seat } from './part.ts';

/** What moves a part. All rates are for a unit of forward turn of the leading shaft. */
export type Way =
  /** Nothing, or nothing that is known. */
  | { readonly by: 'nothing' }
  /** It turns with its shaft. */
  | { readonly by: 'shaft'; readonly rate: number }
  /** It slides `along` (a unit vector) by the lift of a cam whose follower stands at `azimuth`. */
  | {
      readonly by: 'cam';
      readonly along: Point;
      readonly lift: FollowedLift;
      readonly azimuth: number;
      readonly rate: number;
    }
  /**
   * The hand pushes it, once a step, and lets it go: an arm sweeps on, a button goes down as its pin does. `rate` counts
   * steps; it is negative where the mechanism is stepped in reverse.
   */
  | {
      readonly by: 'push';
      readonly part: 'arm' | 'button';
      readonly arm: number;
      readonly azimuth: number;
      readonly sweep: number;
      readonly rate: number;
    };

/** Where the origin of a part's frame stands on the face, and how far the frame is turned. */
export interface Stand extends Point {
  readonly turned: number;
}

export function wayOf(m: Mechanism, figures: MotionFigures, { kind }: Pick<PrintedPart, 'kind'>, { moves }: Seat): Way {
  switch (moves.with) {
    case 'shaft': {
      const figure = figures.shafts.find(({ name }) => name === moves.name);
      return figure ? { by: 'shaft', rate: rateOf(figure) } : { by: 'nothing' };
    }
    case 'segment': {
      const segment = m.segments.find(({ name }) => name === moves.name);
      const motion = segment && motionOf(m, figures, segment);
      if (!motion || 'because' in motion || !motion.cam) return { by: 'nothing' };
      const { along, cam, rate } = motion;
      return { by: 'cam', along, lift: cam.lift, azimuth: cam.azimuth, rate };
    }
    case 'push': {
      const push = m.pushes.find(({ name }) => name === moves.name);
      const pin = push && pinOf(m, figures, push);
      const shaft = figures.shafts.find(({ name }) => name === push?.shaft?.name);
      if (!pin || !shaft?.step) return { by: 'nothing' };
      const { arm, azimuth, sweep } = pin;
      const rate = (rateOf(shaft) / shaft.step) * (m.runs.value === 'reverse' ? -1 : 1);
      return { by: 'push', part: kind === 'push arm' ? 'arm' : 'button', arm, azimuth, sweep, rate };
    }
    case 'nothing':
      return { by: 'nothing' };
  }
}

/** How a part stands after a forward turn of the leading shaft from home, rad. */
export function standAfter(way: Way, { x, y, turn: turned }: Pick<Seat, 'x' | 'y' | 'turn'>, at: number): Stand {
  switch (way.by) {
    case 'nothing':
      return { x, y, turned };
    case 'shaft':
      return { x, y, turned: turned + way.rate * at };
    case 'cam': {
      const lift = liftAfterTurn(way, at);
      return { x: x + lift * way.along.x, y: y + lift * way.along.y, turned };
    }
    case 'push': {
      const swept = way.sweep * shareOfStep(way.rate * at);
      if (way.part === 'arm') return { x, y, turned: turned + swept };
      return { x, y: y + way.arm * (Math.sin(way.azimuth + swept) - Math.sin(way.azimuth)), turned };
    }
  }
}

const liftAfterTurn = ({ lift, azimuth, rate }: Way & { readonly by: 'cam' }, at: number): number =>
  liftAt(lift, azimuth - rate * at).lift;

/** How far a step has come; at rest the hand has let go, whatever the last digits say. */
function shareOfStep(steps: number): number {
  const share = steps - Math.floor(steps + 1e-9);
  return Math.max(0, share);
}

/** The fastest that any point of a part moves, as far as `reach` from its origin: mm a radian of the leading shaft. */
export function speedOf(way: Way, reach: number): number {
  switch (way.by) {
    case 'nothing':
      return 0;
    case 'shaft':
      return Math.abs(way.rate) * reach;
    case 'cam':
      // Sampled: no lift of a followed program is steeper than this by much.
      return 1.2 * steepestOf((at) => liftAfterTurn(way, at));
    case 'push':
      return (way.part === 'arm' ? reach : way.arm) * Math.abs(way.sweep * way.rate);
  }
}

function steepestOf(lift: (at: number) => number): number {
  const step = turn / 720;
  let [most, last] = [0, lift(0)];
  for (let at = step; at <= turn; at += step) {
    const here = lift(at);
    most = Math.max(most, Math.abs(here - last) / step);
    last = here;
  }
  return most;
}
