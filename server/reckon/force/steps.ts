/**
 * What every step asks of the hand and leaves to the returns. Hand-pushed, so quasi-static; the friction of meshes,
 * bearings and the pawl is neglected. A step is looked at at even moments, its peak taken from a parabola between them,
 * and where followers start and stop, as friction turns about there.
 */
import type { Material, Mechanism, Push } from '../../../language/mechanism.ts';
import type { CamFigure, MotionFigures } from '../figures.ts';
import { type Told, want } from '../missing.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { camAngle, endOf, liftAt, startOf } from '../motion/lift.ts';
import { riderOf } from '../shape/bodies.ts';
import type { Rider } from '../shape/cutting.ts';
import { positive } from '../shape/followers.ts';
import { driveTorque, jamFriction, type Load, moving, normalForce, type Stand, type Turning } from './contact.ts';
import { type Returns, returnsOf } from './returns.ts';
import { type Guide, standOn } from './stands.ts';

export const frictions = ['greased', 'dry', 'pessimistic'] as const;
export type Friction = (typeof frictions)[number];
export type Direction = 'forward' | 'reverse';

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

// ---- the model --------------------------------------------------------------------------

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
}

export interface ForceModel {
  readonly pieces: readonly Piece[];
  readonly returns: Returns;
  readonly segments: number;
}

/** Standard gravity, N/g. */
const gravity = 9.80665e-3;

/** Everything that bears on the steps; undefined where nothing returns the bars, or a cam has no known shape. */
export function forceModel(m: Mechanism, figures: MotionFigures, told: Told): ForceModel | undefined {
  const returns = returnsOf(m);
  if (m.springs.length === 0 && m.bands.length === 0) {
    if (m.cams.length > 0) want(told, m, 'push and return', 'spring');
    return undefined;
  }
  if (returns.returned.size === 0) return undefined;
  const pieces = figures.cams.map((cam) => pieceOf(m, figures, cam, told));
  return pieces.every((piece) => piece !== undefined) ? { pieces, returns, segments: m.segments.length } : undefined;
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
  };
}

/** Where nose and cam are of two materials, the rougher counts. */
function frictionOf(one: Material, other: Material): Record<Friction, number> {
  const greater = (property: 'friction' | 'greased' | 'pessimistic', usual: number): number =>
    Math.max(...[one, other].map((material) => material[property]?.value ?? usual));
  return {
    greased: greater('greased', 0.1),
    dry: greater('friction', 0.3),
    pessimistic: greater('pessimistic', 0.6),
  };
}

// ---- one moment ----------------------------------------------------------------------------

/** All followers at a moment, `t` steps from home, whatever turns or rubs. */
export interface Moment {
  readonly stands: readonly Stand[];
  readonly loads: readonly Load[];
}

export function momentAt({ pieces, returns, segments }: ForceModel, t: number): Moment {
  const lifts = new Float64Array(segments);
  const stands = pieces.map(({ cam, rider, guide, members }) => {
    const at = liftAt(cam.lift, camAngle(cam.azimuth, cam.step, t));
    for (const i of members) lifts[i] = at.lift;
    return standOn(rider, at, guide)!;
  });
  const pulls = returns.pullsAt(lifts);
  const loads = pieces.map(({ members, weight, drag }): Load => {
    let [back, across] = [weight.back, weight.across];
    for (const i of members) {
      back += pulls[i].back;
      across += pulls[i].across;
    }
    return { back, across: Math.abs(across), drag };
  });
  return { stands, loads };
}

/** Torque of each piece at the leading shaft, N·mm; `friction` as of the material, or a number for all. */
export function torquesAt(
  { pieces }: ForceModel,
  { stands, loads }: Moment,
  friction: Friction | number,
  direction: Direction,
): number[] {
  return pieces.map((piece, i) => {
    const mu = typeof friction === 'number' ? friction : piece.friction[friction];
    return piece.ratio * driveTorque(stands[i], loads[i], mu, turningOf(piece, direction));
  });
}

const turningOf = ({ turning }: Piece, direction: Direction): Turning =>
  direction === 'forward' ? turning : (-turning as Turning);

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

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
export function forcesOf(m: Mechanism, figures: MotionFigures, told: Told, which: 'in use' | 'all'): Forces {
  const model = forceModel(m, figures, told);
  const steps = figures.positions.length;
  if (!model || steps < 2) return { cases: [], jamFriction: [], pressed: [], stored: [] };
  const each = looksPerStep(steps);
  const even = Array.from({ length: steps * each + 1 }, (_, i) => momentAt(model, i / each));
  const views = Array.from({ length: steps }, (_, i): StepView => {
    const edges = each < looks ? [] : edgesIn(model, i);
    return { index: i, even: even.slice(i * each, (i + 1) * each + 1), edges };
  });
  const moments = views.flatMap(({ even, edges }) => [...even, ...edges.map(({ moment }) => moment)]);
  return {
    stored: Array.from({ length: steps }, (_, i) => storedAt(model, i)),
    cases: (['forward', 'reverse'] as const).flatMap((direction) =>
      frictions.flatMap((friction) => {
        const usedByFindings = friction === frictionInUse(m) && runs(m, direction);
        if (which === 'in use' && !usedByFindings) return [];
        const steps = views.map((view) => stepForce(m, figures, model, view, friction, direction));
        return [{ friction, direction, usedByFindings, steps }];
      }),
    ),
    jamFriction: model.pieces.map(({ segment }, i) => {
      let friction: number | undefined;
      for (const { stands } of moments) {
        for (const way of [1, -1] as const) friction = jamFriction(stands[i], way, friction) ?? friction;
      }
      return { segment, ...(friction !== undefined && { friction }) };
    }),
    pressed: model.pieces.map((piece, i) => {
      const friction = piece.friction[frictionInUse(m)];
      let force = 0;
      for (const direction of (['forward', 'reverse'] as const).filter((way) => runs(m, way))) {
        const turning = turningOf(piece, direction);
        for (const { stands, loads } of moments)
          force = Math.max(force, normalForce(stands[i], loads[i], friction, turning));
      }
      return { segment: piece.segment, cam: piece.cam.name, ...(force < Number.POSITIVE_INFINITY && { force }) };
    }),
  };
}

export const frictionInUse = ({ assembled }: Mechanism): Friction =>
  assembled.value === 'greased' ? 'greased' : 'dry';

export const runs = ({ runs: { value } }: Mechanism, direction: Direction): boolean =>
  value === 'either' || value === direction;

function storedAt({ pieces, returns, segments }: ForceModel, t: number): number {
  const lifts = new Float64Array(segments);
  for (const { cam, members } of pieces) {
    const { lift } = liftAt(cam.lift, camAngle(cam.azimuth, cam.step, t));
    for (const i of members) lifts[i] = lift;
  }
  return returns.storedAt(lifts);
}

/** A step as it is looked at: at even moments from rest to rest, and just within the ends of flanks. */
interface StepView {
  readonly index: number;
  readonly even: readonly Moment[];
  readonly edges: readonly { readonly share: number; readonly moment: Moment }[];
}

/** Moments beside the ends of flanks stand this much within them, in steps. */
const within = 1e-6;

function edgesIn(model: ForceModel, index: number): StepView['edges'] {
  const shares = model.pieces.flatMap(({ cam: { lift, azimuth, step } }) => {
    const rest = azimuth - step * index;
    const reach = Math.abs(step);
    return lift.lobes.flatMap((lobe) =>
      [startOf(lobe), lobe.from, lobe.to, endOf(lobe)].flatMap((psi) => {
        const share = wrapped(Math.sign(step) * (rest - psi)) / reach;
        return share < 1 ? [share - within, share + within] : [];
      }),
    );
  });
  const inside = shares.filter((share) => share > 0 && share < 1).sort((a, b) => a - b);
  return inside
    .filter((share, i) => i === 0 || share - inside[i - 1] > within / 2)
    .map((share) => ({ share, moment: momentAt(model, index + share) }));
}

function stepForce(
  m: Mechanism,
  figures: MotionFigures,
  model: ForceModel,
  { index, even, edges }: StepView,
  friction: Friction,
  direction: Direction,
): StepForce {
  const last = even.length - 1;
  const torquesIn = (moment: Moment) => torquesAt(model, moment, friction, direction);
  const torques = [...even.map(torquesIn), ...edges.map(({ moment }) => torquesIn(moment))];
  const shares = [...even.map((_, i) => i / last), ...edges.map(({ share }) => share)];
  const totals = torques.map(sum);
  const falling = returnMarginOf(model, even, friction, direction);
  const returnMargin = falling && { returnMargin: falling };
  const jammed = model.pieces.flatMap(({ segment }, i) =>
    torques.some((all) => all[i] === Infinity) ? [segment] : [],
  );
  if (jammed.length > 0) return { index, shares: [], ...returnMargin, jammed };
  const peak = extreme(totals, shares, last, 1);
  const least = extreme(totals, shares, last, -1);
  const there = torques[peak.nearest];
  const push = m.pushes[0];
  const pushes =
    push && totals.map((total, i) => pushAt(push, figures, total, direction === 'forward' ? shares[i] : 1 - shares[i]));
  return {
    index,
    peakTorque: peak.value,
    leastTorque: least.value,
    meanTorque: (sum(totals.slice(0, last + 1)) - (totals[0] + totals[last]) / 2) / last,
    peakAt: peak.share,
    leastAt: least.share,
    shares: model.pieces
      .map(({ segment }, i) => ({ segment, torque: there[i] }))
      .filter(({ torque }) => Math.abs(torque) > 1e-9)
      .sort((a, b) => b.torque - a.torque),
    ...(pushes?.every((force) => force !== undefined) && { peakPush: Math.max(0, ...pushes) }),
    ...returnMargin,
    jammed: [],
  };
}

/**
 * The most (sense +1) or least of a step from its values: at the even shares, up to number `last`, on a parabola through
 * the neighbours; beyond, as they are.
 */
function extreme(
  values: readonly number[],
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

/** The falling piece with the least return to spare over the closed step. */
function returnMarginOf(
  { pieces }: ForceModel,
  moments: readonly Moment[],
  friction: Friction,
  direction: Direction,
): ReturnMargin | undefined {
  let worst: ReturnMargin | undefined;
  for (const [i, piece] of pieces.entries()) {
    const turning = turningOf(piece, direction);
    if (!moments.some(({ stands }) => moving(stands[i], turning) === -1)) continue;
    for (const { loads, stands } of moments) {
      const { back, hindrance } = returning(loads[i], piece.weight.back, piece.friction[friction]);
      const ratio = back / hindrance;
      if (worst && ratio >= worst.ratio) continue;
      const lift = Math.max(0, piece.guide.overhang - stands[i].overhang);
      worst = { segment: piece.segment, ratio, back, hindrance, lift };
    }
  }
  return worst;
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
