/**
 * What every step asks of the hand and leaves to the returns. Hand-pushed, so quasi-static; the friction of meshes,
 * bearings and the pawl is neglected. A step is looked at at even moments, its peak taken from a parabola between them,
 * and where followers start and stop, as friction turns about there.
 */
import type { Mechanism, Push } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { Told } from '../missing.ts';
import { turn } from '../motion/angles.ts';
import { liftAt } from '../motion/lift.ts';
import { finished } from '../pausing.ts';
import { positive } from '../shape/followers.ts';
import { jamFriction, type Load, moving, normalForce, type Stand, torqueUnder } from './contact.ts';
import { type Course, coursesOf, edgesOf, kept, type Look, liftsOn } from './courses.ts';
import {
  barsOf,
  type Direction,
  type Friction,
  forceModel,
  frictionInUse,
  frictions,
  type Piece,
  runs,
  turningOf,
} from './model.ts';
import { standOn } from './stands.ts';

/** What one step takes, from rest to rest, at the leading shaft. */
export interface StepForce {
  /** Of the step from this rest position to the next; a reverse step leads back over it. */
  readonly index: number;
  /** Torque that turns the leading shaft, N·mm; where it is negative the falling bars drive it. Absent where bars jam. */
  readonly peakTorque?: number;
  readonly leastTorque?: number;
  readonly meanTorque?: number;
  /** Share of the step gone at the peak and the least. */
  readonly peakAt?: number;
  readonly leastAt?: number;
  /** Each moving bar's share of the peak, by the segment that rides, the greatest first. */
  readonly shares: readonly { readonly segment: string; readonly torque: number }[];
  /** Force at the push's pin, N. */
  readonly peakPush?: number;
  /** The falling bar that its return moves with the least to spare: return force / what hinders it. */
  readonly returnMargin?: ReturnMargin;
  /** Segments that can no longer be lifted. */
  readonly jammed: readonly string[];
}

export interface ReturnMargin {
  readonly segment: string;
  /** back / hindrance. */
  readonly ratio: number;
  /** What draws it back along its slide, and what hinders it: drag, friction of what lies across, opposing weight, N. */
  readonly back: number;
  readonly hindrance: number;
  /** Its lift there, mm. */
  readonly lift: number;
}

export interface CaseFigure {
  readonly friction: Friction;
  readonly direction: Direction;
  readonly usedByFindings: boolean;
  readonly steps: readonly StepForce[];
}

export interface JamFigure {
  readonly segment: string;
  /** The least friction at which it can no longer be lifted somewhere on the turn, either way; absent up to 3. */
  readonly friction?: number;
}

export interface Forces {
  readonly cases: readonly CaseFigure[];
  readonly jamFriction: readonly JamFigure[];
  readonly pressed: readonly PressedFigure[];
  readonly resting: readonly RestingFigure[];
  /** Energy stored in springs and bands at each rest position, N·mm: where it is least, the numeral is best left standing. */
  readonly stored: readonly number[];
}

/** The greatest force between a follower and its cam in any step and direction in use, with the friction in use. */
export interface PressedFigure {
  readonly segment: string;
  readonly cam: string;
  /** N; absent where it jams. */
  readonly force?: number;
}

/** What the friction of a follower at rest bears before its cam turns on. */
export interface RestingFigure {
  readonly segment: string;
  readonly cam: string;
  /** N·mm at the leading shaft, at each rest position, the most in the cases in use. */
  readonly torque: readonly number[];
}

// ---- whole counts -----------------------------------------------------------------------------

/** Moments at which a step is looked at, and the fewest where a count has very many steps. */
const looks = 32;
const fewestLooks = 4;
const mostMoments = 6000;

/** Even moments, from rest to rest, at which each of so many steps is looked at. */
export const looksPerStep = (steps: number): number =>
  Math.max(fewestLooks, Math.min(looks, Math.floor(mostMoments / steps)));

/**
 * Steps in the cases that the findings use, or in every case of friction and direction. Without a count, or what
 * forceModel needs, nothing.
 */
export const forcesOf = (m: Mechanism, figures: MotionFigures, told: Told, which: 'in use' | 'all'): Forces =>
  finished(forcing(m, figures, told, which));

/** The same; pauses before each case. */
export function* forcing(
  m: Mechanism,
  figures: MotionFigures,
  told: Told,
  which: 'in use' | 'all',
): Generator<void, Forces> {
  const model = forceModel(m, figures, told);
  const steps = figures.positions.length;
  if (!model || steps < 2) return { cases: [], jamFriction: [], pressed: [], resting: [], stored: [] };
  const each = looksPerStep(steps);
  const views = coursesOf(model, steps, each).map((courses, index): StepView => {
    const edges = each < looks ? [] : edgesOf(courses);
    return { index, courses, edges, shares: [...Array.from({ length: each + 1 }, (_, i) => i / each), ...edges] };
  });
  const cases: CaseFigure[] = [];
  /** The hardest press of each piece, N, in the cases in use. */
  const pressed = new Map<Piece, number>();
  const resting = model.pieces.map(() => new Float64Array(steps));
  for (const direction of ['forward', 'reverse'] as const) {
    for (const friction of frictions) {
      const usedByFindings = friction === frictionInUse(m) && runs(m, direction);
      if (which === 'in use' && !usedByFindings) continue;
      yield;
      const acts = new Acts(friction, direction);
      cases.push({
        friction,
        direction,
        usedByFindings,
        steps: views.map((view) => stepForce(m, figures, acts, view)),
      });
      if (!usedByFindings) continue;
      for (const [piece, force] of acts.pressed) pressed.set(piece, Math.max(pressed.get(piece) ?? 0, force));
      // Where a step has come to its end: at the next rest, or, in reverse, at its own.
      for (const { index, courses } of views) {
        const [rest, at] = direction === 'forward' ? [(index + 1) % steps, each] : [index, 0];
        for (const [p, course] of courses.entries())
          resting[p][rest] = Math.max(resting[p][rest], acts.even(course)[at]);
      }
    }
  }
  yield;
  const jams = jamsOf(views);
  return {
    stored: views.map(({ courses }) =>
      model.returns.storedAt(
        liftsOn(
          model,
          courses.map(({ even: [{ stand }] }) => stand),
        ),
      ),
    ),
    cases,
    jamFriction: model.pieces.map((piece) => {
      const friction = jams.get(piece);
      return { segment: piece.segment, ...(friction !== undefined && { friction }) };
    }),
    resting: model.pieces.map(({ segment, cam }, p) => ({ segment, cam: cam.name, torque: [...resting[p]] })),
    pressed: model.pieces.map((piece) => {
      const force = pressed.get(piece) ?? 0;
      return { segment: piece.segment, cam: piece.cam.name, ...(force < Number.POSITIVE_INFINITY && { force }) };
    }),
  };
}

/** A step as it is looked at: at even moments from rest to rest, then just beside the ends of flanks. */
interface StepView {
  readonly index: number;
  readonly courses: readonly Course[];
  readonly edges: readonly number[];
  /** Shares of the step gone at all of these moments. */
  readonly shares: readonly number[];
}

/** The least friction at which each piece can no longer be lifted, either way. */
function jamsOf(views: readonly StepView[]): ReadonlyMap<Piece, number> {
  const jams = new Map<Piece, number>();
  const seen = new Set<Stand>();
  const look = ({ piece, stand }: Look): void => {
    if (seen.has(stand)) return;
    seen.add(stand);
    for (const way of [1, -1] as const) {
      const friction = jamFriction(stand, way, jams.get(piece));
      if (friction !== undefined) jams.set(piece, friction);
    }
  };
  for (const { courses, edges } of views)
    for (const { even, at } of courses) {
      even.forEach(look);
      for (const share of edges) look(at(share));
    }
  return jams;
}

/** Of one case, what each look takes at the leading shaft, N·mm: reckoned once for all steps that share a course. */
class Acts {
  /** How hard each follower has pressed on its cam so far, N. */
  readonly pressed = new Map<Piece, number>();
  readonly direction: Direction;
  private readonly friction: Friction;

  constructor(friction: Friction, direction: Direction) {
    this.friction = friction;
    this.direction = direction;
  }

  private torqueOf({ piece, stand, load }: Look): number {
    const [mu, turning] = [piece.friction[this.friction], turningOf(piece, this.direction)];
    const pressed = normalForce(stand, load, mu, turning);
    if (pressed > (this.pressed.get(piece) ?? 0)) this.pressed.set(piece, pressed);
    return piece.ratio * torqueUnder(stand, pressed, mu, turning);
  }

  /** Torques at the even moments. */
  readonly even = kept(({ even }: Course) => Float64Array.from(even, (look) => this.torqueOf(look)));

  private readonly beside = kept((look: Look) => this.torqueOf(look));

  /** Torques at the even moments, and then at the edges. */
  along(course: Course, edges: readonly number[]): Float64Array {
    const even = this.even(course);
    const torques = new Float64Array(even.length + edges.length);
    torques.set(even);
    for (let i = 0; i < edges.length; i++) torques[even.length + i] = this.beside(course.at(edges[i]));
    return torques;
  }

  /** The least that its return has to spare in a course in which it falls. */
  readonly margin = kept(({ even }: Course): ReturnMargin | undefined => {
    const [{ piece }] = even;
    const turning = turningOf(piece, this.direction);
    if (!even.some(({ stand }) => moving(stand, turning) === -1)) return undefined;
    let worst: ReturnMargin | undefined;
    for (const { stand, load } of even) {
      const { back, hindrance } = returning(load, piece.weight.back, piece.friction[this.friction]);
      const ratio = back / hindrance;
      if (!worst || ratio < worst.ratio) worst = { segment: piece.segment, ratio, back, hindrance, lift: stand.lift };
    }
    return worst;
  });
}

function stepForce(m: Mechanism, figures: MotionFigures, acts: Acts, view: StepView): StepForce {
  const { index, courses, edges, shares } = view;
  const last = shares.length - edges.length - 1;
  const torques = courses.map((course) => acts.along(course, edges));
  const totals = new Float64Array(shares.length);
  for (const own of torques) for (let i = 0; i < totals.length; i++) totals[i] += own[i];
  let falling: ReturnMargin | undefined;
  for (const course of courses) {
    const margin = acts.margin(course);
    if (margin && !(falling && margin.ratio >= falling.ratio)) falling = margin;
  }
  const returnMargin = falling && { returnMargin: falling };
  if (totals.includes(Infinity)) {
    const jammed = courses.filter((_, p) => torques[p].includes(Infinity));
    return { index, shares: [], ...returnMargin, jammed: jammed.map(({ piece }) => piece.segment) };
  }
  const peak = extreme(totals, shares, last, 1);
  const least = extreme(totals, shares, last, -1);
  const [push] = m.pushes;
  const pushes =
    push &&
    shares.map((share, i) => pushAt(push, figures, totals[i], acts.direction === 'forward' ? share : 1 - share));
  return {
    index,
    peakTorque: peak.value,
    leastTorque: least.value,
    meanTorque: (sum(totals.subarray(0, last + 1)) - (totals[0] + totals[last]) / 2) / last,
    peakAt: peak.share,
    leastAt: least.share,
    shares: courses
      .map(({ piece }, p) => ({ segment: piece.segment, torque: torques[p][peak.nearest] }))
      .filter(({ torque }) => Math.abs(torque) > 1e-9)
      .sort((a, b) => b.torque - a.torque),
    ...(pushes?.every((force) => force !== undefined) && { peakPush: Math.max(0, ...pushes) }),
    ...returnMargin,
    jammed: [],
  };
}

/**
 * The least return force over what hinders it, of every follower that falls in some step, with the friction and in the
 * directions in use: below 1 it stays up. Reckoned where nothing returns a bar too. Undefined where a cam has no known shape.
 */
export function leastReturns(m: Mechanism, figures: MotionFigures): ReadonlyMap<string, number> | undefined {
  const model = barsOf(m, figures, { defaults: [], missing: [] });
  if (!model) return undefined;
  const least = new Map<string, number>();
  const courses = coursesOf(model, figures.positions.length, fewestLooks).flat();
  for (const direction of (['forward', 'reverse'] as const).filter((way) => runs(m, way))) {
    const acts = new Acts(frictionInUse(m), direction);
    for (const course of courses) {
      const margin = acts.margin(course);
      if (margin) least.set(margin.segment, Math.min(margin.ratio, least.get(margin.segment) ?? Infinity));
    }
  }
  return least;
}

const sum = (values: Float64Array): number => values.reduce((total, value) => total + value, 0);

/**
 * The most (sense +1) or least of a step from its values: at the even shares, up to number `last`, on a parabola through
 * the neighbours; beyond, as they are.
 */
function extreme(
  values: Float64Array,
  shares: readonly number[],
  last: number,
  sense: 1 | -1,
): { value: number; share: number; nearest: number } {
  const nearest = values.reduce((most, value, i) => (sense * value > sense * values[most] ? i : most), 0);
  const value = values[nearest];
  const plain = { value, share: shares[nearest], nearest };
  if (nearest < 2 || nearest > last - 2) return plain;
  const bendAt = (i: number): number => sense * (values[i - 1] + values[i + 1] - 2 * values[i]);
  const bend = bendAt(nearest);
  // Where friction turns about, the values jump: no parabola there.
  if (![-1, 0, 1].every((i) => bendAt(nearest + i) < 0 && bendAt(nearest + i) > 4 * bend)) return plain;
  const rise = sense * (values[nearest - 1] - values[nearest + 1]);
  const aside = rise / (2 * bend);
  return { value: value - (sense * rise * aside) / 4, share: (nearest + aside) / last, nearest };
}

/** Force at the push's pin: the torque over the lever square to its stroke; undefined where it has none. */
export function pushAt(push: Push, figures: MotionFigures, torque: number, share: number): number | undefined {
  const shaft = figures.shafts.find(({ name }) => name === push.shaft?.name);
  const arm = positive(push.arm);
  if (!shaft?.ratio || arm === undefined || !push.start) return undefined;
  const lever = arm * Math.cos(push.start.value + share * Math.abs(shaft.step));
  return lever > 0 ? torque / (Math.abs(shaft.ratio.num) / shaft.ratio.den) / lever : undefined;
}

/** Return force along the slide; drag + μ · what of it stands across the slide + the weight where that opposes. */
function returning({ back, across, drag }: Load, weight: number, friction: number) {
  const opposing = Math.max(0, -weight);
  return { back: Math.max(0, back + opposing), hindrance: drag + friction * across + opposing };
}

/** Guides tried for one that frees a follower reach up to this, mm. */
const longestGuide = 200;

/**
 * The shortest guide (mm) at which no stand of a follower locks with the friction in use, from a scan of its turn;
 * undefined where none up to 200 mm does.
 */
export function freeingGuide(m: Mechanism, figures: MotionFigures, segment: string): number | undefined {
  const model = forceModel(m, figures, { defaults: [], missing: [] });
  const piece = model?.pieces.find((one) => one.segment === segment);
  if (!piece || piece.rider.kind === 'pivoted') return undefined;
  const friction = piece.friction[frictionInUse(m)];
  const motions = Array.from({ length: 1440 }, (_, i) => liftAt(piece.cam.lift, (i * turn) / 1440));
  const locks = (guide: number): boolean =>
    motions.some((at) => {
      const stand = standOn(piece.rider, at, { ...piece.guide, guide })!;
      return ([1, -1] as const).some((way) => jamFriction(stand, way, friction) !== undefined);
    });
  if (locks(longestGuide)) return undefined;
  let [short, long] = [0.1, longestGuide];
  while (long - short > 0.01) {
    const middle = (short + long) / 2;
    if (locks(middle)) short = middle;
    else long = middle;
  }
  return long;
}

/** The most torque, N·mm, with which falling bars drive the ratchet's shaft on in the cases in use; 0 where they don't. */
export function drivenOn({ ratchets: [ratchet] }: Mechanism, { shafts }: MotionFigures, { cases }: Forces): number {
  const ratio = shafts.find(({ name }) => name === ratchet?.shaft?.name)?.ratio;
  const used = cases.filter(({ usedByFindings }) => usedByFindings).flatMap(({ steps }) => steps);
  const least = used.reduce((low, { leastTorque = 0 }) => Math.min(low, leastTorque), 0);
  return ratio ? (-least * ratio.den) / Math.abs(ratio.num) : -least;
}
