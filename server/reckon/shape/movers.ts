/** What followers carry: outlines that slide or swing to and fro while the leading shaft turns. */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift, Fraction, MotionFigures } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { peaks } from '../motion/laws.ts';
import { endOf, liftAt, startOf, wholeWidth } from '../motion/lift.ts';
import { numberFor } from '../remembering.ts';
import { moved, type Polygon, turnedAbout } from './convex.ts';
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
  /** Of what does not slide but swings: its pivot, and how far for a mm of lift, rad, counter-clockwise positive. */
  readonly swing?: { readonly pivot: Point; readonly each: number };
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

/** What slides or swings, as a text that tells its outline and its motion. */
export function toldSlide(outline: Polygon, { along, swing, cam, rate, ratio }: Motion): string {
  const moving = cam ? `${numberFor(cam.lift)} ${cam.azimuth} ${rate} ${ratio?.num} ${ratio?.den}` : 'still';
  const way = swing ? `round ${swing.pivot.x} ${swing.pivot.y} ${swing.each}` : `along ${along.x} ${along.y}`;
  return `${outline.map(({ x, y }) => `${x} ${y}`).join()} ${way} ${moving}`;
}

/** An outline, as it lies when lowered, at some lift. */
export const carried = (outline: Polygon, { along, swing }: Motion, lift: number): Point[] =>
  swing ? turnedAbout(outline, swing.pivot, swing.each * lift) : moved(outline, lift * along.x, lift * along.y);

/** A mover at a lift in the frame of an axis that turns with it: shifted by x, y, the frame turned by `turned`. */
interface Seen extends Point {
  readonly turned: number;
}

/** What swings by δ about p is, in a frame that swings with it, only shifted: by R(−δ)·p − p. */
export function seenFrom(axis: Point, { along, swing }: Motion): (lift: number) => Seen {
  if (!swing) return (lift) => ({ x: lift * along.x, y: lift * along.y, turned: 0 });
  const [x, y] = [swing.pivot.x - axis.x, swing.pivot.y - axis.y];
  return (lift) => {
    const turned = swing.each * lift;
    const [c, s] = [Math.cos(turned), Math.sin(turned)];
    return { x: x * (c - 1) + y * s, y: y * (c - 1) - x * s, turned };
  };
}

/** For each mm of lift: by how much that frame turns, and at most shifts what lies in it. */
export function swayOf(axis: Point, { swing }: Motion): { readonly each: number; readonly reach: number } {
  if (!swing) return { each: 0, reach: 1 };
  const each = Math.abs(swing.each);
  return { each, reach: each * Math.hypot(swing.pivot.x - axis.x, swing.pivot.y - axis.y) };
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
  const moving = movingOf(cam.lift);
  if (moving.length === 0) return () => 0;
  const [first, last] = [moving[0], moving[moving.length - 1]];
  return (at, half) => {
    const reach = Math.abs(rate) * half;
    const from = wrapped(cam.azimuth - rate * at - reach);
    let [low, high] = [0, moving.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (moving[middle][1] < from) low = middle + 1;
      else high = middle;
    }
    const next = low < moving.length ? moving[low][0] : first[0] + turn;
    const meets = next <= from + 2 * reach || last[1] - turn >= from;
    return meets ? Math.min(stroke, slope * half) : 0;
  };
}

/** More stretches than this are not told apart: shafts that drift have lobes by the hundred, over many turns. */
const mostSpans = 2048;

/** The stretches of a period in which any of these moves; one empty stretch where none does. */
export function spansOf(motions: readonly Motion[], period: number): [number, number][] {
  const turning = motions.flatMap(({ cam, rate }) => (cam && rate !== 0 ? [{ cam, rate }] : []));
  const many = turning.reduce((sum, { cam, rate }) => sum + movingOf(cam.lift).length * Math.abs(rate) * period, 0);
  if (many > mostSpans * turn) return [[0, period]];
  const stretches = turning.flatMap(({ cam, rate }) => {
    const speed = Math.abs(rate);
    const home = turn / speed;
    return movingOf(cam.lift).flatMap(([from, to]) => {
      const first = wrapped(rate > 0 ? cam.azimuth - to : from - cam.azimuth) / speed;
      const long = (to - from) / speed;
      return Array.from({ length: Math.round(period / home) }, (_, i): [number, number] => [
        first + i * home,
        first + i * home + long,
      ]);
    });
  });
  return stretches.length > 0 ? merged(stretches) : [[0, 0]];
}

const movings = new WeakMap<FollowedLift, readonly (readonly [number, number])[]>();

/** Cam angles between which a follower rises or falls, counter-clockwise and ascending; the last may reach past the turn. */
function movingOf(lift: FollowedLift): readonly (readonly [number, number])[] {
  const known = movings.get(lift);
  if (known) return known;
  const flanks = lift.lobes.flatMap((lobe): [number, number][] => [
    [startOf(lobe), lobe.from],
    [lobe.to, endOf(lobe)],
  ]);
  const within = flanks.map(([from, to]): [number, number] => [wrapped(from), wrapped(from) + to - from]);
  const moving = merged(within);
  movings.set(lift, moving);
  return moving;
}

function merged(stretches: [number, number][]): [number, number][] {
  const sorted = stretches.filter(([from, to]) => to > from).sort(([a], [b]) => a - b);
  const found: [number, number][] = [];
  for (const [from, to] of sorted) {
    const last = found.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else found.push([from, to]);
  }
  return found;
}
