/** What the keys do to the parts on them: the wall left round the bore, and the ways on that make another part of it. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { Extreme, FollowedLift, GearFigure, MotionFigures } from '../figures.ts';
import { radians, turn, wrapped } from '../motion/angles.ts';
import { endOf, liftAt, startOf } from '../motion/lift.ts';
import { Latest, numberFor } from '../remembering.ts';
import { profileOf, type UnreckonedPart } from './bodies.ts';
import { radiusAt } from './facing.ts';
import { boreSection, type KeyFigure, keyFigure, type Unreckoned } from './keys.ts';
import { type Outline, signedDistance } from './outline.ts';

export interface KeyedPartFigure {
  readonly kind: 'cam' | 'gear';
  readonly name: string;
  readonly key: string;
  /** Least material between the bore with its clearance and the profile (a gear's root), mm, at which cam angle. */
  readonly wall?: Extreme;
  /** Turns, rad, by which the part goes onto its key and is then another part. */
  readonly wrongTurns: readonly number[];
  /** The same for a cam turned over: its cam angle ψ then lies where angle − ψ was. */
  readonly wrongFlips: readonly number[];
}

export interface KeyedParts {
  readonly keys: readonly KeyFigure[];
  readonly parts: readonly KeyedPartFigure[];
  readonly unreckoned: readonly UnreckonedPart[];
}

/** Every key, and every cam and gear on a keyed shaft. */
export function keyedPartsOf(m: Mechanism, figures: MotionFigures): KeyedParts {
  const keys: KeyFigure[] = [];
  const parts: KeyedPartFigure[] = [];
  const unreckoned: UnreckonedPart[] = [];
  for (const key of m.keys) {
    const figure = keyFigure(key, m.process);
    const bore = boreSection(key);
    if ('because' in figure || 'because' in bore) {
      unreckoned.push({ of: key.name, ...('because' in figure ? figure : (bore as Unreckoned)) });
      continue;
    }
    keys.push(figure);
    const shafts = m.shafts.flatMap((shaft) => (shaft.key?.name === key.name ? [shaft.name] : []));
    const { turned, flipped } = figure.waysOn;
    for (const { name, lift } of figures.cams.filter((cam) => shafts.includes(cam.shaft))) {
      const profile = profileOf(m, figures, name);
      if ('because' in profile) unreckoned.push({ of: name, ...profile });
      parts.push({
        kind: 'cam',
        name,
        key: key.name,
        ...(!('because' in profile) && { wall: wallOf(bore, profile) }),
        ...wrongWays(lift, turned, flipped, figure.mirror),
      });
    }
    for (const gear of figures.gears.filter((one) => shafts.includes(one.shaft))) {
      parts.push({
        kind: 'gear',
        name: gear.name,
        key: key.name,
        wall: { value: gear.rootRadius - figure.boreRadius, at: 0 },
        wrongTurns: wrongGearTurns(gear, turned),
        wrongFlips: [],
      });
    }
  }
  return { keys, parts, unreckoned };
}

/** Turns by which a gear goes on wrongly: its teeth or its timing marks then stand elsewhere. */
export function wrongGearTurns({ teeth, marks }: GearFigure, ways: number): number[] {
  const marked = (angle: number) => marks.some((mark) => Math.abs(wrapped(angle - mark + Math.PI) - Math.PI) < 1e-6);
  return waysRound(ways).filter((angle) => {
    const pitches = (angle / turn) * teeth;
    return Math.abs(pitches - Math.round(pitches)) > 1e-6 || !marks.every((mark) => marked(mark + angle));
  });
}

/** The turns by which a part with so many ways on goes on, other than its own. */
const waysRound = (ways: number): number[] =>
  Array.from({ length: Math.max(0, ways - 1) }, (_, i) => ((i + 1) * turn) / ways);

const ways = new Latest<Pick<KeyedPartFigure, 'wrongTurns' | 'wrongFlips'>>(1024);

function wrongWays(lift: FollowedLift, turned: number, flipped: number, mirror: number) {
  const told = `${numberFor(lift)} ${turned} ${flipped} ${mirror}`;
  return (
    ways.get(told) ??
    ways.keep(told, { wrongTurns: wrongTurns(lift, turned), wrongFlips: wrongFlips(lift, flipped, mirror) })
  );
}

/** The turns (rad, 0 < turn < 2π) by which a cam goes onto its key wrongly and is then another cam. */
export function wrongTurns(lift: FollowedLift, ways: number): number[] {
  return waysRound(ways).filter((angle) => !isImage(lift, (psi) => psi + angle));
}

/** The angles of a cam turned over (its cam angle ψ lies where angle − ψ was; see `KeyFigure.mirror`) that make another cam of it. */
export function wrongFlips(lift: FollowedLift, ways: number, mirror = 0): number[] {
  return [0, ...waysRound(ways)]
    .map((angle) => wrapped(mirror + angle))
    .filter((angle) => !isImage(lift, (psi) => angle - psi));
}

/** Whether a lift is that of another (itself) at every angle’s image, to a thousandth of the stroke. */
export function isImage(lift: FollowedLift, image: (psi: number) => number, other = lift): boolean {
  const here = (psi: number) => Math.abs(liftAt(lift, psi).lift - liftAt(other, image(psi)).lift) <= 1e-3 * lift.stroke;
  const telling = lift.lobes.flatMap((lobe) => [
    (startOf(lobe) + lobe.from) / 2,
    lobe.from,
    (lobe.from + lobe.to) / 2,
    lobe.to,
    (lobe.to + endOf(lobe)) / 2,
  ]);
  return telling.every(here) && telling.every((psi) => here(image(psi))) && even.every(here);
}

const even = Array.from({ length: 360 }, (_, i) => radians(i + 0.5));

const walls = new Latest<Extreme>(1024);

/** The wall of a profile round a key's bore, reckoned once for the two. */
function wallOf(bore: Outline, profile: Outline): Extreme {
  const told = `${numberFor(bore)} ${numberFor(profile)}`;
  return walls.get(told) ?? walls.keep(told, wallBetween(bore, profile));
}

/** Material left between a bore and the outline round it: the least distance, negative where the bore breaks out. */
export function wallBetween(bore: Outline, outside: Outline): Extreme {
  let best: Extreme = { value: Infinity, at: 0 };
  const reach = () => (best.value > 0 ? best.value : Infinity);
  const boreWall = (i: number): void => {
    if (outside.nearest - bore.radius[i] >= best.value) return;
    const value = -signedDistance(outside, bore.x[i], bore.y[i], reach());
    if (value < best.value) best = { value, at: bore.angle[i] };
  };
  const outsideWall = (i: number): void => {
    if (outside.radius[i] - bore.greatest >= best.value) return;
    const value = signedDistance(bore, outside.x[i], outside.y[i], reach());
    if (value < best.value) best = { value, at: outside.angle[i] };
  };
  // The thinnest along a ray is most often the thinnest, and leaves little else to ask.
  boreWall(leastOn(bore, (angle, radius) => radiusAt(outside, angle) - radius));
  outsideWall(leastOn(outside, (angle, radius) => radius - radiusAt(bore, angle)));
  for (let i = 0; i < bore.radius.length; i++) boreWall(i);
  for (let i = 0; i < outside.radius.length; i++) outsideWall(i);
  return { value: best.value, at: wrapped(best.at) };
}

function leastOn({ angle, radius }: Outline, wall: (angle: number, radius: number) => number): number {
  let [best, least] = [0, Infinity];
  for (let i = 0; i < radius.length; i++) {
    const here = wall(angle[i], radius[i]);
    if (here < least) [best, least] = [i, here];
  }
  return best;
}
