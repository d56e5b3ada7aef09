/**
 * What stands, slides and swings between the cams and the face: the stem of every follower in the plane of its cam, or
 * its arm and the pivot of that, its nose where it is wider; its post from there to the face; the guide, which hangs on
 * the face; against all that turns or moves at the same depth.
 *
 * A stem reaches from the nose tip to the far end of its guide, or to its post if that lies farther out; its inner
 * end is round. An arm reaches from its pivot, which is as round as the nose, to the nose's centre, and is round there.
 * A guide is as wide as the stem with its fit and the process's wall on both sides. Guides may lie on
 * each other, and stems run through those before theirs.
 */
import type { Mechanism, Point, Rectangle, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, Fraction, MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { numberFor } from '../remembering.ts';
import { barOutline, sized } from './bars.ts';
import { type Bodies, type Body, type BodyName, riderOn, type UnreckonedPart } from './bodies.ts';
import { crestFacing, named, shared } from './clearance.ts';
import { type Box, boxOf, distanceTo, hull, moved, type Polygon } from './convex.ts';
import type { Unreckoned } from './keys.ts';
import {
  liftAfter,
  type Motion,
  motionOf,
  seenFrom,
  shiftAround,
  spansOf,
  steepness,
  strokeOf,
  swayOf,
  toldSlide,
} from './movers.ts';
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
  touch,
} from './over-turn.ts';
import { passing } from './passing.ts';
import { armSwing, loweredAngle, noseOnArm } from './pivoted.ts';
import { encounterOf, regionOf, type Sliding } from './sliding.ts';
import type { Depth, StackFigure } from './stack.ts';

/** A part of a follower, or the guide it runs in. A guide and a pivot never move. */
export interface Slider extends Required<Sliding> {
  readonly kind: 'post' | 'stem' | 'nose' | 'guide' | 'pivot' | 'arm';
  readonly segment: string;
  readonly depth: Depth;
  /** Round all that it may cover. */
  readonly box: Box;
  /** Of an arm, when lowered: all but its nose, which alone may touch its own cam. */
  readonly shank?: Polygon;
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
    if (segment.follower.value.kind === 'pivoted') {
      const nose = segment.nose?.value ?? 0;
      const at = segment.follower.value.at;
      if (nose > 0) sliders.push(sliderOf('pivot', name, depth, [at], still, nose));
      const arm = armOf(m, figures, segment, figure);
      if ('because' in arm) unreckoned.push({ of: name, ...arm });
      else sliders.push(...armSliders(name, depth, arm, { ...motion, swing: arm.swing }));
      continue;
    }
    const wide = widthOf(segment, figure);
    const slide = slideOf(m, figure.shaft, segment, motion, m.cams.find((one) => one.name === cam)?.base?.value);
    if ('because' in slide) {
      unreckoned.push({ of: name, ...slide });
      continue;
    }
    const [stem, guide] = [stemOutline(segment, wide, slide, post), guideOutline(segment, wide, slide)];
    if (stem) sliders.push(sliderOf('stem', name, depth, stem, motion));
    const nose = segment.follower.value.kind === 'round' ? segment.nose!.value : 0;
    if (stem && nose > wide / 2 + almost) {
      const { tip, along } = slide;
      const centre = { x: tip.x + nose * along.x, y: tip.y + nose * along.y };
      sliders.push(sliderOf('nose', name, depth, [centre], motion, nose));
    }
    if (guide) sliders.push(sliderOf('guide', name, reach, guide, still));
  }
  return { sliders, unreckoned };
}

function sliderOf(
  kind: Slider['kind'],
  segment: string,
  depth: Depth,
  outline: Polygon,
  motion: Motion,
  round = 0,
): Slider {
  const region = regionOf({ outline, motion });
  const { left, right, bottom, top } = boxOf(region) ?? nowhere;
  return {
    kind,
    segment,
    depth,
    outline,
    round,
    region,
    box: { left: left - round, right: right + round, bottom: bottom - round, top: top + round },
    motion,
    slide: numberFor(`${toldSlide(outline, motion)} ${round}`),
  };
}

/** Lengths that differ by less than this, mm, are one. */
const almost = 1e-6;

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

/** A swinging arm of some width, when lowered. */
export interface Arm {
  readonly pivot: Point;
  /** The nose's centre, and its radius. */
  readonly end: Point;
  readonly nose: number;
  readonly width: number;
  readonly swing: NonNullable<Motion['swing']>;
}

/** The arm of a pivoted follower on the face, or why it is not known. */
export function armOf(m: Mechanism, figures: MotionFigures, segment: Segment, cam: CamFigure): Arm | Unreckoned {
  const { name, stem, azimuth } = segment;
  if (!stem) return { because: `${name} does not say its stem, the width of its pivoted arm` };
  const rider = riderOn(m, figures, cam.name);
  if ('because' in rider) return rider;
  const shaft = m.shafts.find((one) => one.name === cam.shaft)?.at?.value;
  const follower = segment.follower.value;
  if (rider.kind !== 'pivoted' || follower.kind !== 'pivoted' || !shaft || !azimuth) {
    return { because: `${cam.shaft} does not say where it stands` };
  }
  if (loweredAngle(rider) === undefined) return { because: `the arm of ${name} does not reach its cam` };
  const { x, y } = noseOnArm(rider, 0);
  const [c, s] = [Math.cos(azimuth.value), Math.sin(azimuth.value)];
  return {
    pivot: follower.at,
    end: { x: shaft.x + x * c - y * s, y: shaft.y + x * s + y * c },
    nose: rider.nose,
    width: stem.value,
    swing: { pivot: follower.at, each: armSwing(rider).side / rider.arm },
  };
}

function armSliders(name: string, depth: Depth, { pivot, end, nose, width }: Arm, motion: Motion): Slider[] {
  const half = width / 2;
  const arm = sliderOf('arm', name, depth, [pivot, end], motion, half);
  return [
    { ...arm, shank: shankOf(pivot, end, nose, half) },
    ...(nose > half + almost ? [sliderOf('nose', name, depth, [end], motion, nose)] : []),
  ];
}

/** What outlines that are true to a micrometre may feign of a touch, mm, and a little more. */
const feigned = 5e-3;

/**
 * An arm from its pivot to where it leaves the disc of its nose. One that is as wide as the nose counts as a hair
 * narrower: where the nose touches the cam, it would seem to.
 */
function shankOf(pivot: Point, end: Point, nose: number, half: number): Polygon {
  const wide = Math.abs(half - nose) < feigned ? nose - feigned : half;
  const [dx, dy] = [pivot.x - end.x, pivot.y - end.y];
  const length = Math.hypot(dx, dy);
  const along = { x: dx / length, y: dy / length };
  return strip({ tip: end, along }, Math.min(length, Math.sqrt(Math.max(0, nose ** 2 - wide ** 2))), length, wide);
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
  const add = (of: Slider, against: SliderName | BodyName, depth: Depth, met: Encounter) => {
    if (met.gap >= near) return;
    const found = passedThrough(of, met);
    const moment = found.turn !== undefined && figures.step ? { moment: found.turn / figures.step } : {};
    const byDesign = isByDefault(of, against, found) && { byDesign: true as const };
    gaps.push({ of: slidName(of), against, depth, ...found, ...moment, ...byDesign });
  };
  const axes = axesOf(m, figures, bodies);
  const isByDefault = touchingByDefault(m);
  for (const [i, slider] of sliders.entries()) {
    for (const axis of axes) {
      const away = distanceTo(slider.region, axis.at.x, axis.at.y) - slider.round;
      for (const body of axis.bodies) {
        if (away - body.outline.greatest >= near || belongs(slider, body)) continue;
        const depth = shared(slider.depth, body.depth);
        if (!depth) continue;
        const told = `${slider.slide} ${numberFor(body.outline)} ${axis.told} ${grid}`;
        if (isOwnCam(slider, body)) {
          const shank = sliderOf('arm', slider.segment, slider.depth, slider.shank!, slider.motion);
          const look = () => bodyEncounter(shank, body.outline, axis, grid, 0);
          const found = yield* encounterOnce(`${told} ${shank.slide}`, look);
          // Beside its nose an arm is always near.
          if (found.gap < -touch) add(slider, named(body), depth, found);
          continue;
        }
        add(
          slider,
          named(body),
          depth,
          yield* encounterOnce(told, () => bodyEncounter(slider, body.outline, axis, grid)),
        );
      }
    }
    for (const other of sliders.slice(i + 1)) {
      if (!nearEachOther(slider, other) || !crosses(slider, other)) continue;
      const depth = shared(slider.depth, other.depth);
      if (!depth) continue;
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
function touchingByDefault(m: Mechanism): (of: Slider, against: SliderName | BodyName, { gap }: Encounter) => boolean {
  const segments = new Map(m.segments.map((segment) => [segment.name, segment]));
  const cams = new Map(m.cams.map((cam) => [cam.name, cam]));
  const under = new Map([...m.cams].reverse().map((cam) => [cam.segments[0]?.name, cam]));
  return (of, against, { gap }) => {
    if (of.kind !== 'guide' || against.kind !== 'flange' || 'segment' in against) return false;
    const segment = segments.get(of.segment);
    const own = under.get(of.segment);
    const radius = cams.get(against.name)?.flangeRadius;
    const stated = [segment?.overhang, radius].some((given) => given && given.by !== 'default');
    if (stated || !segment || !own?.base || own.shaft?.name !== against.shaft) return false;
    const prime = own.base.value + (segment.nose?.value ?? 0);
    const nearer = prime - Math.sqrt(Math.max(0, prime ** 2 - segment.offset.value ** 2));
    return Math.abs(gap) <= nearer + 1e-3;
  };
}

/** A cam whose edge comes to the middle line of an arm may reach past it by any depth. */
const passedThrough = ({ kind, round }: Slider, met: Encounter): Encounter =>
  kind === 'arm' && Math.abs(met.gap + round) < 0.05 ? { ...met, within: Math.max(met.within, 2 * round) } : met;

const slidName = ({ kind, segment }: Slider): SliderName => ({ kind, segment });

/** Stem and nose ride on their own cam, over its shaft; of an arm only the nose does. */
function belongs({ kind, motion }: Slider, { kind: what, name, shaft }: Body): boolean {
  if (kind !== 'stem' && kind !== 'nose' && kind !== 'arm') return false;
  return what === 'shaft' ? shaft === motion.cam?.shaft : kind !== 'arm' && name === motion.cam?.name;
}

const isOwnCam = ({ kind, motion }: Slider, body: Body): boolean =>
  kind === 'arm' && body.kind === 'cam' && body.name === motion.cam?.name;

/**
 * Whether two sliders could be in each other's way: of different pieces, and a guide only in that of a post and of what
 * swings. Pins may be one.
 */
function crosses(one: Slider, two: Slider): boolean {
  const onePiece = one.motion.cam !== undefined && one.motion.cam === two.motion.cam;
  if (onePiece || one.segment === two.segment) return false;
  const kinds = [one.kind, two.kind];
  const swings = [one, two].some(({ motion }) => motion.swing);
  if (kinds.includes('guide')) return kinds.includes('post') || swings;
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

/** The encounter of a slider with what turns; a gap of the ceiling where it stays farther off. */
function* bodyEncounter(
  slider: Slider,
  outline: Outline,
  axis: Axis,
  grid: Grid,
  ceiling = near,
): Generator<void, Encounter> {
  const { motion, round } = slider;
  const here = moved(slider.outline, -axis.at.x, -axis.at.y);
  const floor = distanceTo(slider.region, axis.at.x, axis.at.y) - round - outline.greatest;
  const period = turn * commonPeriod([...(motion.cam ? [motion.ratio] : []), ...(outline.round ? [] : [axis.ratio])]);
  if (endless(period)) return { gap: floor, within: 0, touching: [], anyStand: true };
  const standing = seenFrom(axis.at, motion);
  if (outline.round) {
    const gap: Gap = (at) => {
      const { x, y } = standing(liftAfter(motion, at));
      return distanceTo(here, -x, -y) - round - outline.greatest;
    };
    const spans = spansOf([motion], period);
    return yield* overPeriod(gap, period, grid, { spans, steepest: steepness(motion), floor, ceiling });
  }
  const { each: swings, reach: swept } = swayOf(axis.at, motion);
  const raised = standing(strokeOf(motion));
  const [low, high] = [distanceTo(here, 0, 0), distanceTo(here, -raised.x, -raised.y)];
  const farthest = motion.swing ? (low + high + swept * strokeOf(motion)) / 2 : Math.max(low, high);
  if (farthest - round < outline.least - deep)
    return { ...always(floor, period), within: farthest - round - floor - outline.least };
  const { gap: gapAt, bound, azimuth } = passing(here, outline);
  // What never moves is met first by the crest, and by nothing else of the outline sooner.
  if (floor >= 0 && strokeOf(motion) === 0 && axis.rate !== 0)
    return { gap: floor, within: 0, turn: crestFacing(outline, axis.rate, azimuth), touching: [] };
  const shift = shiftAround(motion);
  const speed = Math.abs(axis.rate);
  const gap: Gap = (at, cutoff) => {
    const { x, y, turned } = standing(liftAfter(motion, at));
    return gapAt(x, y, axis.rate * at - turned, cutoff + round) - round;
  };
  return yield* overPeriod(gap, period, grid, {
    spans: [[0, period]],
    likely: [crestFacing(outline, axis.rate, azimuth)],
    steepest: steepness(motion) + speed * outline.greatest,
    share: 0.05,
    floor,
    ceiling,
    bound: (at, half, cutoff) => {
      const { x, y, turned } = standing(liftAfter(motion, at));
      const by = shift(at, half);
      const sweep = speed * half + swings * by;
      return bound(x, y, axis.rate * at - turned, swept * by, sweep, cutoff + round) - round;
    },
  });
}

/** What a slider covers when lowered, as drawings show it. */
export const drawnOutline = ({ outline, round }: Pick<Slider, 'outline' | 'round'>): Polygon =>
  round > 0 ? hull(outline.flatMap((centre) => arc(centre, round, 0, turn, 48))) : outline;
