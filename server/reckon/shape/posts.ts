/**
 * What stands and slides between the cams and the face: the stem of every follower in the plane of its cam, its post
 * from there to the face, the guide, which hangs on the face, and the pivot of an arm in the plane of its cam; against all that turns or slides at the same depth.
 *
 * A stem reaches from the nose tip to the far end of its guide, or to its post if that lies farther out; its inner
 * end is round. A guide is as wide as the stem with its fit and the process's wall on both sides. Guides may lie on
 * each other, and stems run through those before theirs.
 */
import type { Mechanism, Point, Rectangle, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, Fraction, MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { numberFor } from '../remembering.ts';
import { barOutline, sized } from './bars.ts';
import type { Bodies, Body, BodyName, UnreckonedPart } from './bodies.ts';
import { crestFacing, named, shared } from './clearance.ts';
import { type Box, boxOf, distanceTo, hull, moved, type Polygon, swept } from './convex.ts';
import type { Unreckoned } from './keys.ts';
import { liftAfter, type Motion, motionOf, shiftAround, spansOf, steepness, strokeOf, toldSlide } from './movers.ts';
import { arc, type Outline } from './outline.ts';
import {
  always,
  commonPeriod,
  type Encounter,
  encounterOnce,
  endless,
  type Gap,
  type Grid,
  near,
  overPeriod,
  rateOf,
} from './over-turn.ts';
import { passing } from './passing.ts';
import { encounterOf } from './sliding.ts';
import type { Depth, StackFigure } from './stack.ts';

/** A part of a follower, or the guide it runs in. */
export interface Slider {
  readonly kind: 'post' | 'stem' | 'guide' | 'pivot';
  readonly segment: string;
  readonly depth: Depth;
  /** When lowered. */
  readonly outline: Polygon;
  /** All that it may cover while it moves, and the box round that. */
  readonly region: Polygon;
  readonly box: Box;
  /** A guide and a pivot never move. */
  readonly motion: Motion;
  /** Stands for outline and motion. */
  readonly slide: number;
}

export type SliderName = Pick<Slider, 'kind' | 'segment'>;

export interface PostGapFigure extends Encounter {
  readonly of: SliderName;
  readonly against: SliderName | BodyName;
  /** The depth that both take up. */
  readonly depth: Depth;
  /** `turn` in steps of the count. */
  readonly moment?: number;
  /** A guide and a flange of its shaft that touch because neither states where it begins or ends. */
  readonly byDesign?: true;
}

export interface Posts {
  /** Only what comes nearer than `near`. */
  readonly gaps: readonly PostGapFigure[];
  readonly unreckoned: readonly UnreckonedPart[];
}

/** What enters a cam deeper than this, mm, at every stand is not searched for the deepest. */
const deep = 1;

// ---- what slides ----------------------------------------------------------------------------------------

export interface Sliders {
  readonly sliders: readonly Slider[];
  readonly unreckoned: readonly UnreckonedPart[];
}

export function slidersOf(m: Mechanism, figures: MotionFigures, stack: StackFigure): Sliders {
  const sliders: Slider[] = [];
  const unreckoned: UnreckonedPart[] = [];
  for (const { segment: name, cam, stem: depth } of stack.followers) {
    const segment = m.segments.find((one) => one.name === name);
    const figure = figures.cams.find((one) => one.name === cam);
    if (!segment || !figure) continue;
    const motion = motionOf(m, figures, segment);
    if ('because' in motion) {
      unreckoned.push({ of: name, ...motion });
      continue;
    }
    const reach = { from: 0, to: depth.to };
    const post = segment.post?.value;
    if (post && sized(post)) {
      sliders.push(sliderOf('post', name, reach, postOutline(post), motion));
    } else if (post) {
      unreckoned.push({ of: name, because: `the post of ${name} has no size` });
    }
    if (figure.segments[0] !== name) continue;
    const still = { segment: name, along: motion.along, rate: 0 };
    const pivot = pivotOutline(segment);
    if (pivot) sliders.push(sliderOf('pivot', name, depth, pivot, still));
    const wide = widthOf(segment, figure);
    const slide = slideOf(m, figure.shaft, segment, motion, m.cams.find((one) => one.name === cam)?.base?.value);
    if ('because' in slide) {
      unreckoned.push({ of: name, ...slide });
      continue;
    }
    const [stem, guide] = [stemOutline(segment, wide, slide, post), guideOutline(segment, wide, slide)];
    if (stem) sliders.push(sliderOf('stem', name, depth, stem, motion));
    if (guide) sliders.push(sliderOf('guide', name, reach, guide, still));
  }
  return { sliders, unreckoned };
}

function sliderOf(kind: Slider['kind'], segment: string, depth: Depth, outline: Polygon, motion: Motion): Slider {
  const stroke = strokeOf(motion);
  const region = stroke > 0 ? swept(outline, stroke * motion.along.x, stroke * motion.along.y) : outline;
  return {
    kind,
    segment,
    depth,
    outline,
    region,
    box: boxOf(region) ?? nowhere,
    motion,
    slide: numberFor(toldSlide(outline, motion)),
  };
}

/** The box of what has no place: it is near nothing. */
const nowhere: Box = { left: Number.NaN, right: Number.NaN, bottom: Number.NaN, top: Number.NaN };

/** Where a follower slides: along a line from `tip`, the nose tip when lowered. */
export interface Slide {
  readonly tip: Point;
  readonly along: Point;
}

/** The slide of a follower that rides on a cam of a base. */
export function slideOf(
  m: Mechanism,
  shaft: string,
  segment: Segment,
  { along }: Motion,
  base: number | undefined,
): Slide | Unreckoned {
  const at = m.shafts.find((one) => one.name === shaft)?.at?.value;
  const { kind } = segment.follower.value;
  if (!at) return { because: `${shaft} does not say where it stands` };
  if (!(base! > 0)) return { because: `the cam of ${segment.name} does not say its base` };
  if (kind === 'pivoted') return { because: `the follower of ${segment.name} is pivoted` };
  if (kind === 'round' && !segment.nose) return { because: `${segment.name} does not say its nose` };
  const nose = kind === 'round' ? segment.nose!.value : 0;
  const offset = segment.offset.value;
  const rest = Math.sqrt((base! + nose) ** 2 - offset ** 2) - nose;
  if (Number.isNaN(rest)) return { because: `the slide of ${segment.name} passes beside the prime circle` };
  return { tip: { x: at.x + rest * along.x - offset * along.y, y: at.y + rest * along.y + offset * along.x }, along };
}

export const postOutline = (post: Rectangle): Polygon =>
  barOutline({ ...post, tilt: post.tilt ?? 0, plane: 1, ends: 'square' }, post.at);

/** A strip along a slide, between two distances from the nose tip. */
function strip({ tip, along }: Slide, from: number, to: number, half: number): Point[] {
  const place = (out: number, left: number): Point => ({
    x: tip.x + out * along.x - left * along.y,
    y: tip.y + out * along.y + left * along.x,
  });
  return [place(from, -half), place(to, -half), place(to, half), place(from, half)];
}

/** Of what slides in the guide; a flat face that states none is as wide as its cam touches it. */
export const widthOf = ({ stem, nose }: Segment, { faceReach }: CamFigure): number =>
  stem?.value ?? 2 * (faceReach?.value ?? nose?.value ?? 0);

/** How far from the nose tip a stem reaches: to the end of its guide, or to its post. */
export function stemEnd(segment: Segment, width: number, { tip, along }: Slide, post: Rectangle | undefined): number {
  const posted = post ? (post.at.x - tip.x) * along.x + (post.at.y - tip.y) * along.y : 0;
  return Math.max(guideOf(segment)?.to ?? 0, posted, width);
}

function stemOutline(segment: Segment, width: number, slide: Slide, post: Rectangle | undefined): Polygon | undefined {
  const half = width / 2;
  const { tip, along } = slide;
  const end = stemEnd(segment, width, slide, post);
  if (!(half > 0) || !Number.isFinite(end)) return undefined;
  if (segment.follower.value.kind === 'flat') return strip(slide, 0, end, half);
  const centre = { x: tip.x + half * along.x, y: tip.y + half * along.y };
  const inward = Math.atan2(-along.y, -along.x);
  const round = arc(centre, half, inward - Math.PI / 2, inward + Math.PI / 2, 16);
  return hull([...strip(slide, half, end, half), ...round]);
}

/** The pin of a swinging arm: as round as its nose, at its pivot; the arm itself has no outline. */
function pivotOutline({ follower: { value: follower }, nose }: Segment): Polygon | undefined {
  if (follower.kind !== 'pivoted' || !(nose && nose.value > 0)) return undefined;
  return hull(arc(follower.at, nose.value, 0, turn, 32));
}

/** Where the guide begins and ends, along the slide from the nose tip when lowered. */
export function guideOf({ guide, overhang, stroke, nose, follower }: Segment): Depth | undefined {
  const tip = follower.value.kind === 'flat' ? 0 : nose?.value;
  const from = overhang?.value ?? (stroke && tip !== undefined ? stroke.value + tip : undefined);
  return guide && guide.value > 0 && from !== undefined ? { from, to: from + guide.value } : undefined;
}

function guideOutline(segment: Segment, width: number, slide: Slide): Polygon | undefined {
  const along = guideOf(segment);
  const half = width / 2 + segment.fit.value + segment.process.wall.value;
  return along && half > 0 ? strip(slide, along.from, along.to, half) : undefined;
}

// ---- what they meet ---------------------------------------------------------------------------------------

/** Every encounter of posts, stems and guides nearer than `near`; pauses often. */
export function* postGapsOf(
  m: Mechanism,
  figures: MotionFigures,
  { sliders, unreckoned }: Sliders,
  { bodies }: Bodies,
  grid: Grid,
): Generator<void, Posts> {
  const gaps: PostGapFigure[] = [];
  const add = (of: Slider, against: SliderName | BodyName, depth: Depth, found: Encounter) => {
    if (found.gap >= near) return;
    const moment = found.turn !== undefined && figures.step ? { moment: found.turn / figures.step } : {};
    const byDesign = touchByDefault(m, of, against, found) && { byDesign: true as const };
    gaps.push({ of: slidName(of), against, depth, ...found, ...moment, ...byDesign });
  };
  const axes = axesOf(m, figures, bodies);
  for (const [i, slider] of sliders.entries()) {
    for (const axis of axes) {
      const away = distanceTo(slider.region, axis.at.x, axis.at.y);
      for (const body of axis.bodies) {
        const depth = shared(slider.depth, body.depth);
        if (!depth || belongs(slider, body) || away - body.outline.greatest >= near) continue;
        const told = `${slider.slide} ${numberFor(body.outline)} ${axis.told} ${grid}`;
        add(
          slider,
          named(body),
          depth,
          yield* encounterOnce(told, () => bodyEncounter(slider, body.outline, axis, grid)),
        );
      }
    }
    for (const other of sliders.slice(i + 1)) {
      const depth = shared(slider.depth, other.depth);
      if (!depth || !crosses(slider, other) || !nearEachOther(slider, other)) continue;
      const told = `${slider.slide} ${other.slide} ${grid}`;
      add(slider, slidName(other), depth, yield* encounterOnce(told, () => encounterOf(slider, other, grid)));
    }
  }
  return { gaps, unreckoned };
}

/**
 * A guide and a flange that state neither overhang nor radius begin and end at one distance from the shaft, but that a
 * slide beside the shaft begins a little nearer: nothing that the maker drew.
 */
function touchByDefault(m: Mechanism, of: Slider, against: SliderName | BodyName, { gap }: Encounter): boolean {
  if (of.kind !== 'guide' || against.kind !== 'flange' || 'segment' in against) return false;
  const segment = m.segments.find(({ name }) => name === of.segment);
  const own = m.cams.find(({ segments }) => segments[0]?.name === of.segment);
  const radius = m.cams.find(({ name }) => name === against.name)?.flangeRadius;
  const stated = [segment?.overhang, radius].some((given) => given && given.by !== 'default');
  if (stated || !segment || !own?.base || own.shaft?.name !== against.shaft) return false;
  const prime = own.base.value + (segment.nose?.value ?? 0);
  const nearer = prime - Math.sqrt(Math.max(0, prime ** 2 - segment.offset.value ** 2));
  return Math.abs(gap) <= nearer + 1e-3;
}

const slidName = ({ kind, segment }: Slider): SliderName => ({ kind, segment });

/** A stem rides on its own cam, over its shaft. */
const belongs = ({ kind, motion }: Slider, { kind: what, name, shaft }: Body): boolean =>
  kind === 'stem' && (what === 'shaft' ? shaft === motion.cam?.shaft : name === motion.cam?.name);

/**
 * Whether two sliders could be in each other's way: of different pieces, and a guide only in that of a post. Arms may
 * share a pin.
 */
function crosses(one: Slider, two: Slider): boolean {
  const onePiece = one.motion.cam !== undefined && one.motion.cam === two.motion.cam;
  if (onePiece || one.segment === two.segment) return false;
  const kinds = [one.kind, two.kind];
  if (kinds.includes('guide')) return kinds.includes('post');
  return kinds[0] !== 'pivot' || kinds[1] !== 'pivot';
}

function nearEachOther({ box: a }: Slider, { box: b }: Slider): boolean {
  return a.left - b.right < near && b.left - a.right < near && a.bottom - b.top < near && b.bottom - a.top < near;
}

/** A shaft that stands somewhere, and what turns with it. */
interface Axis {
  readonly at: Point;
  readonly rate: number;
  readonly ratio?: Fraction;
  /** Tells place and turn. */
  readonly told: string;
  readonly bodies: readonly Body[];
}

function axesOf(m: Mechanism, figures: MotionFigures, bodies: readonly Body[]): Axis[] {
  return [...new Set(bodies.map(({ shaft }) => shaft))].flatMap((name) => {
    const at = m.shafts.find((shaft) => shaft.name === name)?.at?.value;
    const figure = figures.shafts.find((shaft) => shaft.name === name);
    if (!at || !figure) return [];
    const { ratio } = figure;
    const rate = rateOf(figure);
    const told = `${at.x} ${at.y} ${rate} ${ratio?.num} ${ratio?.den}`;
    return [{ at, rate, ...(ratio && { ratio }), told, bodies: bodies.filter(({ shaft }) => shaft === name) }];
  });
}

/** The encounter of a slider with what turns; a gap of `near` where it stays farther off. */
function* bodyEncounter(slider: Slider, outline: Outline, axis: Axis, grid: Grid): Generator<void, Encounter> {
  const { motion } = slider;
  const here = moved(slider.outline, -axis.at.x, -axis.at.y);
  const floor = distanceTo(slider.region, axis.at.x, axis.at.y) - outline.greatest;
  const period = turn * commonPeriod([...(motion.cam ? [motion.ratio] : []), ...(outline.round ? [] : [axis.ratio])]);
  if (endless(period)) return { gap: floor, within: 0, touching: [], anyStand: true };
  const { x, y } = motion.along;
  if (outline.round) {
    const gap: Gap = (at) => {
      const lift = liftAfter(motion, at);
      return distanceTo(here, -lift * x, -lift * y) - outline.greatest;
    };
    const spans = spansOf([motion], period);
    return yield* overPeriod(gap, period, grid, { spans, steepest: steepness(motion), floor, ceiling: near });
  }
  const stroke = strokeOf(motion);
  const raised = distanceTo(here, -stroke * motion.along.x, -stroke * motion.along.y);
  const farthest = Math.max(distanceTo(here, 0, 0), raised);
  if (farthest < outline.least - deep) return { ...always(floor, period), within: farthest - floor - outline.least };
  const { gap: gapAt, bound, azimuth } = passing(here, outline);
  const shift = shiftAround(motion);
  const speed = Math.abs(axis.rate);
  const gap: Gap = (at, cutoff) => {
    const lift = liftAfter(motion, at);
    return gapAt(lift * x, lift * y, axis.rate * at, cutoff);
  };
  return yield* overPeriod(gap, period, grid, {
    spans: [[0, period]],
    likely: [crestFacing(outline, axis.rate, azimuth)],
    steepest: steepness(motion) + speed * outline.greatest,
    share: 0.05,
    floor,
    ceiling: near,
    bound: (at, half, cutoff) => {
      const lift = liftAfter(motion, at);
      return bound(lift * x, lift * y, axis.rate * at, shift(at, half), speed * half, cutoff);
    },
  });
}
