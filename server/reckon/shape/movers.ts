/** What followers carry: outlines that slide to and fro while the leading shaft turns. */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift, Fraction, MotionFigures } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { peaks } from '../motion/laws.ts';
import { endOf, liftAt, startOf, wholeWidth } from '../motion/lift.ts';
import type { Unreckoned } from './keys.ts';
import { commonPeriod, rateOf } from './over-turn.ts';

/**
 * How a segment moves: along its azimuth by its lift, whatever follower works it. All bars that one cam drives are one
 * piece and move as its first one does.
 */
export interface Motion {
  readonly segment: string;
  /** Direction of the slide, away from the shaft. */
  readonly along: Point;
  /** The cam that moves it; without one it never moves. */
  readonly cam?: CamFigure;
  /** Turn of its cam for a unit of forward turn of the leading shaft. */
  readonly rate: number;
  readonly ratio?: Fraction;
}

/** The motion of a segment, or why it is not known. */
export function motionOf(m: Mechanism, figures: MotionFigures, segment: Segment): Motion | Unreckoned {
  const cam = figures.cams.find((one) => one.segments.includes(segment.name));
  const first = cam ? m.segments.find((one) => one.name === cam.segments[0]) : segment;
  const azimuth = first?.azimuth?.value;
  if (azimuth === undefined || !Number.isFinite(azimuth)) {
    return { because: `${first?.name ?? segment.name} does not say its azimuth` };
  }
  if (cam?.lift.relative) return { because: `${first!.name} does not say its stroke` };
  const shaft = figures.shafts.find((one) => one.name === cam?.shaft);
  return {
    segment: segment.name,
    along: { x: Math.cos(azimuth), y: Math.sin(azimuth) },
    ...(cam && { cam }),
    rate: shaft ? rateOf(shaft) : 0,
    ...(shaft?.ratio && { ratio: shaft.ratio }),
  };
}

/** Lift at a forward turn of the leading shaft. */
export const liftAfter = ({ cam, rate }: Motion, at: number): number =>
  cam ? liftAt(cam.lift, cam.azimuth - rate * at).lift : 0;

/** The greatest lift that a segment reaches. */
export const strokeOf = ({ cam }: Motion): number =>
  cam && (cam.lift.always || cam.lift.lobes.length > 0) ? cam.lift.stroke : 0;

export const moves = ({ cam }: Motion): boolean => cam !== undefined && !cam.lift.always && cam.lift.lobes.length > 0;

const slopes = new WeakMap<FollowedLift, number>();

/** No lift changes faster than this for a unit of forward turn of the leading shaft, mm. */
export function steepness({ cam, rate }: Motion): number {
  if (!cam) return 0;
  let slope = slopes.get(cam.lift);
  if (slope === undefined) {
    slope = steepest(cam.lift);
    slopes.set(cam.lift, slope);
  }
  return Math.abs(rate) * slope;
}

/** The laws' greatest slopes in closed form; on the corners of an undercut profile, by sampling. */
function steepest(lift: FollowedLift): number {
  const flanks = lift.lobes.flatMap(({ before, after }) => [before, after]);
  const programmed = Math.max(
    0,
    ...flanks.map((flank) => (lift.stroke * peaks(flank.law).velocity) / wholeWidth(flank)),
  );
  const corners = lift.cut?.corners ?? [];
  const samples = 32;
  const cut = corners.flatMap(({ from, to }) =>
    Array.from({ length: samples + 1 }, (_, i) => Math.abs(liftAt(lift, from + ((to - from) * i) / samples).slope)),
  );
  return cut.reduce((most, slope) => Math.max(most, 1.1 * slope), programmed);
}

/** Forward turn of the leading shaft after which all of these are home again. */
export const periodOf = (motions: readonly Motion[]): number =>
  turn * commonPeriod(motions.filter(({ cam }) => cam).map(({ ratio }) => ratio));

/**
 * How far a segment can at most shift within `half` of a forward turn of the leading shaft: nothing while its
 * follower dwells.
 */
export function shiftAround(motion: Motion): (at: number, half: number) => number {
  const { cam, rate } = motion;
  if (!cam || rate === 0 || cam.lift.lobes.length === 0) return () => 0;
  const slope = steepness(motion);
  const stroke = strokeOf(motion);
  const flanks = flanksOf(cam.lift);
  return (at, half) => {
    const psi = cam.azimuth - rate * at;
    const reach = Math.abs(rate) * half;
    const meets = flanks.some(([from, to]) => {
      const [middle, width] = [(from + to) / 2, (to - from) / 2];
      return Math.abs(wrapped(psi - middle + Math.PI) - Math.PI) <= width + reach;
    });
    return meets ? Math.min(stroke, slope * half) : 0;
  };
}

/** The stretches of a period in which any of these moves; one empty stretch where none does. */
export function spansOf(motions: readonly Motion[], period: number): [number, number][] {
  const stretches = motions.flatMap(({ cam, rate }) => {
    if (!cam || rate === 0) return [];
    const speed = Math.abs(rate);
    const home = turn / speed;
    return flanksOf(cam.lift).flatMap(([from, to]) => {
      const first = wrapped(rate > 0 ? cam.azimuth - to : from - cam.azimuth) / speed;
      const long = (to - from) / speed;
      return Array.from({ length: Math.round(period / home) }, (_, i): [number, number] => [
        first + i * home,
        first + i * home + long,
      ]);
    });
  });
  const sorted = stretches.filter(([from, to]) => to > from).sort(([a], [b]) => a - b);
  const spans: [number, number][] = [];
  for (const [from, to] of sorted) {
    const last = spans.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else spans.push([from, to]);
  }
  return spans.length > 0 ? spans : [[0, 0]];
}

/** Cam angles between which a follower rises or falls, counter-clockwise. */
function flanksOf({ lobes }: FollowedLift): (readonly [number, number])[] {
  return lobes.flatMap((lobe) => [
    [startOf(lobe), lobe.from],
    [lobe.to, endOf(lobe)],
  ]);
}
