/** What turns with the shafts, each with its outline and its depth. */
import type { Key, Mechanism, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift, MotionFigures } from '../figures.ts';
import { Latest } from '../remembering.ts';
import { camOutline, type Rider } from './cutting.ts';
import { inSlideFrame, positive } from './followers.ts';
import { shaftSection, type Unreckoned } from './keys.ts';
import { disc, type Outline } from './outline.ts';
import type { Depth, StackedPart, StackFigure } from './stack.ts';

/** Something that turns with a shaft; a gear is its tip circle. */
export interface Body {
  readonly kind: 'cam' | 'flange' | 'gear' | 'shaft';
  /** Of the cam for a flange. */
  readonly name: string;
  readonly shaft: string;
  readonly depth: Depth;
  readonly outline: Outline;
}

export type BodyName = Pick<Body, 'kind' | 'name' | 'shaft'>;

/** A part that cannot be reckoned, and why. */
export type UnreckonedPart = Unreckoned & { readonly of: string };

export interface Bodies {
  readonly bodies: readonly Body[];
  /** Parts that could not be given an outline. */
  readonly unreckoned: readonly UnreckonedPart[];
}

export function bodiesOf(m: Mechanism, figures: MotionFigures, stack: StackFigure): Bodies {
  const bodies: Body[] = [];
  const unreckoned: UnreckonedPart[] = [];
  const outlineOf = (kind: Body['kind'], name: string): Outline | Unreckoned => {
    if (kind === 'cam') return profileOf(m, figures, name);
    if (kind === 'flange') return round(flangeRadius(m, name) ?? 0) ?? lacking(name, 'flange radius');
    if (kind === 'shaft') return coreOf(m, name);
    const gear = figures.gears.find((one) => one.name === name);
    return round(gear?.tipRadius ?? 0) ?? lacking(name, 'module and teeth');
  };
  for (const { kind, name, shaft, from, to } of stack.parts.filter(turns)) {
    const outline = outlineOf(kind, name);
    if ('because' in outline) unreckoned.push({ of: name, ...outline });
    else bodies.push({ kind, name, shaft, depth: { from, to }, outline });
  }
  return { bodies, unreckoned };
}

/** Flanges and gears by their radius. */
const discs = new Latest<Outline>(256);

function round(radius: number): Outline | undefined {
  const known = discs.get(String(radius));
  if (known) return known;
  const made = disc(radius);
  return made && discs.keep(String(radius), made);
}

const turns = (part: StackedPart): part is StackedPart & { readonly kind: Body['kind'] } => part.kind !== 'spacer';

const lacking = (name: string, what: string): Unreckoned => ({ because: `${name} does not say its ${what}` });

/** By followed lift: cams whose numbers have not changed share one from keystroke to keystroke. */
const profiles = new WeakMap<FollowedLift, Outline>();

/** The profile of a cam, cut once. */
export function profileOf(m: Mechanism, figures: MotionFigures, name: string): Outline | Unreckoned {
  const figure = figures.cams.find((cam) => cam.name === name);
  const known = figure && profiles.get(figure.lift);
  if (known) return known;
  const rider = riderOn(m, figures, name);
  if ('because' in rider) return rider;
  const { lift, segments } = figure!;
  const outline = camOutline(lift, rider);
  if (!outline) {
    const way = rider.kind === 'pivoted' ? 'the arm' : 'the slide';
    return { because: `${way} of ${segments[0]} passes beside the prime circle of ${name}` };
  }
  profiles.set(lift, outline);
  return outline;
}

/** What rides on a cam. */
export function riderOn(m: Mechanism, figures: MotionFigures, name: string): Rider | Unreckoned {
  const figure = figures.cams.find((cam) => cam.name === name);
  if (!figure || figure.lift.relative) return { because: `the lobes of ${name} are not known` };
  const base = m.cams.find((one) => one.name === name)?.base?.value;
  const follower = m.segments.find((segment) => segment.name === figure.segments[0]);
  if (!(base! > 0) || !follower) return lacking(name, 'base');
  return riderOf(m, figure, base!, follower);
}

/** What rides on a cam, of the sizes in use, or why that is not known. */
export function riderOf(m: Mechanism, figure: CamFigure, base: number, follower: Segment): Rider | Unreckoned {
  const kind = follower.follower.value;
  if (kind.kind === 'flat') return { kind: 'flat', base };
  const nose = positive(follower.nose);
  if (nose === undefined) return lacking(follower.name, 'nose');
  const prime = base + nose;
  if (kind.kind === 'round') return { kind: 'round', prime, nose, offset: follower.offset.value };
  const pivot = inSlideFrame(m, figure.shaft, follower, kind.at);
  return pivot ? { kind: 'pivoted', prime, nose, pivot, arm: kind.arm } : lacking(figure.shaft, 'place');
}

/** As stated; else base + stroke + nose. */
export function flangeRadius(m: Mechanism, name: string): number | undefined {
  const cam = m.cams.find((one) => one.name === name);
  const follower = m.segments.find((segment) => segment.name === cam?.segments[0]?.name);
  if (cam?.flangeRadius) return cam.flangeRadius.value;
  if (!cam?.base || !follower?.stroke) return undefined;
  return cam.base.value + follower.stroke.value + (follower.nose?.value ?? 0);
}

/** A shaft's keyed section; without a key, its bearing's round. */
function coreOf(m: Mechanism, name: string): Outline | Unreckoned {
  const shaft = m.shafts.find((one) => one.name === name);
  const key: Key | undefined = m.keys.find((one) => one.name === shaft?.key?.name);
  if (key) return shaftSection(key);
  return round((shaft?.bearing?.value ?? 0) / 2) ?? lacking(name, 'key or bearing');
}
