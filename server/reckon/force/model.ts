/** What bears on the steps: every cam's follower with its guide, its weight and friction, and what returns the bars. */
import type { Material, Mechanism } from '../../../language/mechanism.ts';
import type { CamFigure, MotionFigures } from '../figures.ts';
import { type Told, want } from '../missing.ts';
import { liftAt } from '../motion/lift.ts';
import { riderOf } from '../shape/bodies.ts';
import type { Rider } from '../shape/cutting.ts';
import { positive } from '../shape/followers.ts';
import type { Turning } from './contact.ts';
import { type Returns, returnsOf } from './returns.ts';
import { type Guide, standOn } from './stands.ts';

export const frictions = ['greased', 'dry', 'pessimistic'] as const;
export type Friction = (typeof frictions)[number];
export type Direction = 'forward' | 'reverse';

export const frictionInUse = ({ assembled }: Mechanism): Friction =>
  assembled.value === 'greased' ? 'greased' : 'dry';

export const runs = ({ runs: { value } }: Mechanism, direction: Direction): boolean =>
  value === 'either' || value === direction;

/** All bars that one cam drives: one piece, which its first segment's follower carries. */
export interface Piece {
  readonly segment: string;
  /** Indices of its segments in the mechanism, that of the follower first. */
  readonly members: readonly number[];
  readonly cam: CamFigure;
  readonly rider: Rider;
  readonly guide: Guide;
  readonly drag: number;
  /** Weight along the slide towards the shaft, and across it, N. */
  readonly weight: { readonly back: number; readonly across: number };
  /** Of its cam in a forward step. */
  readonly turning: Turning;
  /** Turns of its cam for one of the leading shaft. */
  readonly ratio: number;
  readonly friction: Readonly<Record<Friction, number>>;
  /** What it does in a step follows from where it rests before and after: its flanks lie between two neighbouring rests. */
  readonly restToRest: boolean;
}

export interface ForceModel {
  readonly pieces: readonly Piece[];
  readonly returns: Returns;
  readonly segments: number;
  /** What returns one piece depends on where others stand, too: a band, or a segment that two cams drive. */
  readonly coupled: boolean;
}

/** Standard gravity, N/g. */
const gravity = 9.80665e-3;

/** Everything that bears on the steps; undefined where nothing returns the bars, or a cam has no known shape. */
export function forceModel(m: Mechanism, figures: MotionFigures, told: Told): ForceModel | undefined {
  if (m.springs.length === 0 && m.bands.length === 0) {
    if (m.cams.length > 0) want(told, m, 'push and return', 'spring');
    return undefined;
  }
  const returns = returnsOf(m);
  return returns.returned.size > 0 ? barsOf(m, figures, told, returns) : undefined;
}

/** The same whether anything returns the bars or not. */
export function barsOf(
  m: Mechanism,
  figures: MotionFigures,
  told: Told,
  returns: Returns = returnsOf(m),
): ForceModel | undefined {
  const pieces = figures.cams.map((cam) => pieceOf(m, figures, cam, told));
  if (!pieces.every((piece) => piece !== undefined)) return undefined;
  const driven = pieces.flatMap(({ members }) => members);
  const coupled = returns.coupled || new Set(driven).size < driven.length;
  return { pieces, returns, segments: m.segments.length, coupled };
}

function pieceOf(m: Mechanism, figures: MotionFigures, cam: CamFigure, told: Told): Piece | undefined {
  const statement = m.cams.find(({ name }) => name === cam.name);
  const shaft = figures.shafts.find(({ name }) => name === cam.shaft);
  const members = cam.segments.map((name) => m.segments.findIndex((one) => one.name === name));
  const follower = m.segments[members[0]];
  const base = positive(statement?.base);
  if (!statement || !follower?.azimuth || !shaft || base === undefined || cam.lift.relative) return undefined;
  const rider = riderOf(m, cam, base, follower);
  if ('because' in rider || !standOn(rider, liftAt(cam.lift, 0), { guide: 1, stem: 0, overhang: 0 })) return undefined;
  if (!positive(follower.guide) && rider.kind !== 'pivoted') want(told, follower, 'friction in its guide', 'guide');
  const nose = follower.nose?.value ?? 0;
  const mass = members.reduce((sum, i) => sum + (m.segments[i]?.mass?.value ?? 0), 0);
  const azimuth = follower.azimuth.value;
  return {
    segment: follower.name,
    members: members.filter((i) => i >= 0),
    cam,
    rider,
    guide: {
      guide: positive(follower.guide) ?? Number.POSITIVE_INFINITY,
      stem: follower.stem?.value ?? 2 * (cam.faceReach?.value ?? nose),
      overhang: follower.overhang?.value ?? (follower.stroke?.value ?? cam.lift.stroke) + nose,
    },
    drag: Math.max(0, follower.drag.value),
    weight: { back: gravity * mass * Math.sin(azimuth), across: gravity * mass * Math.cos(azimuth) },
    turning: cam.step > 0 ? -1 : 1,
    ratio: shaft.ratio ? Math.abs(shaft.ratio.num) / shaft.ratio.den : 1,
    friction: frictionOf(follower.process.material, statement.process.material),
    restToRest: statement.lobes.by !== 'angles' && isRestToRest(cam),
  };
}

/** Of lobes that were made from positions: no flank reaches past a rest, and each step goes from one rest to the next. */
function isRestToRest({ lift, rests, raisedAt, repeats, step, spacing }: CamFigure): boolean {
  const almost = 1e-12 * lift.stroke;
  return (
    !lift.cut &&
    repeats &&
    Math.abs(Math.abs(step) - spacing) < 1e-9 &&
    rests.every((rest, i) => Math.abs(liftAt(lift, rest).lift - (raisedAt[i] ? lift.stroke : 0)) <= almost)
  );
}

/** Where nose and cam are of two materials, the rougher counts. */
export function frictionOf(one: Material, other: Material): Record<Friction, number> {
  const greater = (property: 'friction' | 'greased' | 'pessimistic', usual: number): number =>
    Math.max(...[one, other].map((material) => material[property]?.value ?? usual));
  return {
    greased: greater('greased', 0.1),
    dry: greater('friction', 0.3),
    pessimistic: greater('pessimistic', 0.6),
  };
}

export const turningOf = ({ turning }: Piece, direction: Direction): Turning =>
  direction === 'forward' ? turning : (-turning as Turning);
