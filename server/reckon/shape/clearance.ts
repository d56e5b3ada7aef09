/**
 * How near the cams, flanges, gears and keyed shafts of different shafts come to each other while they turn together.
 * Over the turn a gap cannot change faster than both greatest radii sweep, which rules out all but a few stands
 * (`least.ts`); one stand is compared in `facing.ts`. Discs need no search.
 */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { MotionFigures, ShaftFigure } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { numberFor } from '../remembering.ts';
import type { Bodies, Body, BodyName, UnreckonedPart } from './bodies.ts';
import { facing, facingBound, overlapping } from './facing.ts';
import type { Unreckoned } from './keys.ts';
import type { Outline } from './outline.ts';
import {
  always,
  commonPeriod,
  type Encounter,
  encounterOnce,
  endless,
  type Gap,
  type Grid,
  overPeriod,
  rateOf,
  type Touches,
  touch,
  touchesOf,
} from './over-turn.ts';
import type { Depth } from './stack.ts';

export interface ClearanceFigure extends Encounter {
  readonly between: readonly [BodyName, BodyName];
  /** The depth that both take up. */
  readonly depth: Depth;
  /** `turn` in steps of the count. */
  readonly moment?: number;
}

export interface Clearances {
  readonly clearances: readonly ClearanceFigure[];
  readonly unreckoned: readonly UnreckonedPart[];
}

/** Every pair of bodies on different shafts that share some depth, meshing gears left out; pauses often. */
export function* clearancesOf(
  m: Mechanism,
  figures: MotionFigures,
  { bodies, unreckoned }: Bodies,
  grid: Grid,
): Generator<void, Clearances> {
  const clearances: ClearanceFigure[] = [];
  const untold: UnreckonedPart[] = [...unreckoned];
  const meshed = new Set(figures.meshes.map(({ gears }) => [...gears].sort().join()));
  const shafts = figures.shafts.flatMap((figure) => {
    const at = m.shafts.find((shaft) => shaft.name === figure.name)?.at?.value;
    return at ? [{ figure, at, bodies: bodies.filter((body) => body.shaft === figure.name) }] : [];
  });
  for (const [i, one] of shafts.entries()) {
    for (const two of shafts.slice(i + 1)) {
      const setting = settingOf(one, two);
      if ('because' in setting) {
        untold.push({ of: two.figure.name, ...setting });
        continue;
      }
      const { distance, azimuth, rates, period } = setting;
      const turning = [distance, azimuth, ...rates, period, grid].join(' ');
      for (const a of one.bodies) {
        for (const b of two.bodies) {
          const depth = shared(a.depth, b.depth);
          if (!depth || meshed.has([a.name, b.name].sort().join())) continue;
          const told = `${numberFor(a.outline)} ${numberFor(b.outline)} ${turning}`;
          const found = yield* encounterOnce(told, () => clearanceOf(a, b, setting, grid));
          clearances.push({
            between: [named(a), named(b)],
            depth,
            ...found,
            ...(found.turn !== undefined && figures.step && { moment: found.turn / figures.step }),
          });
        }
      }
    }
  }
  return { clearances, unreckoned: untold };
}

export const named = ({ kind, name, shaft }: Body): BodyName => ({ kind, name, shaft });

/** The depth that two parts share, if any. */
export function shared(a: Depth, b: Depth): Depth | undefined {
  const depth = { from: Math.max(a.from, b.from), to: Math.min(a.to, b.to) };
  return depth.to - depth.from > 1e-9 ? depth : undefined;
}

/** Two shafts that turn together. */
export interface Setting {
  readonly distance: number;
  /** Of the line of centres, from the first to the second. */
  readonly azimuth: number;
  /** Signed turn of each shaft for a unit of forward turn of the leading one. */
  readonly rates: readonly [number, number];
  /** Forward turn of the leading shaft after which both are home again, rad. */
  readonly period: number;
}

interface Placed {
  readonly figure: ShaftFigure;
  readonly at: Point;
}

function settingOf(one: Placed, two: Placed): Setting | Unreckoned {
  const [dx, dy] = [two.at.x - one.at.x, two.at.y - one.at.y];
  const distance = Math.hypot(dx, dy);
  if (!(distance > 1e-6)) return { because: `${one.figure.name} and ${two.figure.name} stand at one place` };
  if (!Number.isFinite(distance)) return { because: `the place of ${two.figure.name} is not a number` };
  return {
    distance,
    azimuth: Math.atan2(dy, dx),
    rates: [rateOf(one.figure), rateOf(two.figure)],
    period: turn * commonPeriod([one.figure.ratio, two.figure.ratio]),
  };
}

/**
 * The least gap of two bodies over the whole period. Bodies that enter each other deeply at
 * every stand are not searched: how deep is then that of their greatest radii. Pauses often.
 */
export function* clearanceOf(
  a: Pick<Body, 'outline'>,
  b: Pick<Body, 'outline'>,
  { distance, azimuth, rates, period }: Setting,
  grid: Grid,
): Generator<void, Encounter> {
  const [one, two] = [a.outline, b.outline];
  const floor = distance - one.greatest - two.greatest;
  if (one.round && two.round) return always(floor, period);
  // However a disc stands, it is the same: all is home again when the other one is.
  const home = one.round ? turn / Math.abs(rates[1]) : two.round ? turn / Math.abs(rates[0]) : period;
  if (endless(home)) return { gap: floor, within: 0, touching: [], anyStand: true };
  const turnOne = (at: number): number => rates[0] * at - azimuth;
  const turnTwo = (at: number): number => rates[1] * at - azimuth - Math.PI;
  const compared = (): Gap => {
    const compare = facing(one, two, distance);
    return (at, cutoff) => compare(turnOne(at), turnTwo(at), cutoff);
  };
  const touched = (): Touches => {
    const overlaps = overlapping(one, two, distance, touch);
    return (at) => overlaps(turnOne(at), turnTwo(at));
  };
  if ((one.round || two.round) && floor > -Math.min(one.least, two.least)) {
    const at = one.round ? crestFacing(two, rates[1], azimuth + Math.PI) : crestFacing(one, rates[0], azimuth);
    const meets = floor < -touch && grid === 'fine';
    return {
      gap: floor,
      within: 0,
      turn: at,
      touching: meets ? yield* touchesOf(touched(), home, { gap: floor, turn: at }) : [],
    };
  }
  if (distance < one.least + two.least - Math.min(one.least, two.least) / 4) {
    return { ...always(floor, home), within: one.greatest + two.greatest - one.least - two.least };
  }
  const bound = facingBound(one, two, distance);
  const speeds = [Math.abs(rates[0]), Math.abs(rates[1])];
  return yield* overPeriod(compared(), home, grid, {
    spans: [[0, home]],
    touches: touched(),
    likely: [crestFacing(one, rates[0], azimuth), crestFacing(two, rates[1], azimuth + Math.PI)],
    steepest: speeds[0] * one.greatest + speeds[1] * two.greatest,
    floor,
    bound: (at, half, cutoff) => bound(turnOne(at), turnTwo(at), speeds[0] * half, speeds[1] * half, cutoff),
  });
}

/** The forward turn at which an outline's crest first faces an azimuth. */
export const crestFacing = ({ crest }: Outline, rate: number, azimuth: number): number =>
  wrapped(Math.sign(rate) * (azimuth - crest)) / Math.abs(rate);
