/**
 * What every follower does in every step, looked at moment by moment. A piece whose flanks lie between two neighbouring
 * rests does one of four things in a step (stays down, rises, falls, stays up): each is looked at once, and shared by all
 * steps in which it does that.
 */
import { wrapped } from '../motion/angles.ts';
import type { Motion } from '../motion/laws.ts';
import { camAngle, endOf, liftAt, startOf } from '../motion/lift.ts';
import { driveTorque, type Load, type Stand } from './contact.ts';
import { type Direction, type ForceModel, type Friction, type Piece, turningOf } from './model.ts';
import type { Pull } from './returns.ts';
import { standOn } from './stands.ts';

// ---- one moment ----------------------------------------------------------------------------

/** All followers at a moment, `t` steps from home, whatever turns or rubs. */
export interface Moment {
  readonly stands: readonly Stand[];
  readonly loads: readonly Load[];
}

export function momentAt(model: ForceModel, t: number): Moment {
  const stands = model.pieces.map((piece) => standOf(piece, motionAt(piece, t)));
  const pulls = pullsOn(model, stands);
  return { stands, loads: model.pieces.map((piece) => loadUnder(piece, pulls)) };
}

/** Torque of each piece at the leading shaft, N·mm; `friction` as of the material, or a number for all. */
export function torquesAt(
  { pieces }: ForceModel,
  { stands, loads }: Moment,
  friction: Friction | number,
  direction: Direction,
): number[] {
  return pieces.map((piece, p) => {
    const mu = typeof friction === 'number' ? friction : piece.friction[friction];
    return piece.ratio * driveTorque(stands[p], loads[p], mu, turningOf(piece, direction));
  });
}

const motionAt = ({ cam }: Piece, t: number): Motion => liftAt(cam.lift, camAngle(cam.azimuth, cam.step, t));

const standOf = ({ rider, guide }: Piece, motion: Motion): Stand => standOn(rider, motion, guide)!;

/** Lift of every segment, mm, with each piece at its stand. */
export function liftsOn({ pieces, segments }: ForceModel, stands: readonly Stand[]): number[] {
  const lifts = Array<number>(segments).fill(0);
  for (let p = 0; p < pieces.length; p++) for (const i of pieces[p].members) lifts[i] = stands[p].lift;
  return lifts;
}

const pullsOn = (model: ForceModel, stands: readonly Stand[]): readonly Pull[] =>
  model.returns.pullsAt(liftsOn(model, stands));

export function loadUnder({ members, weight, drag }: Piece, pulls: readonly Pull[]): Load {
  let [back, across] = [weight.back, weight.across];
  for (const i of members) {
    back += pulls[i].back;
    across += pulls[i].across;
  }
  return { back, across: Math.abs(across), drag };
}

function loadAlone({ returns }: ForceModel, { members, weight, drag }: Piece, { lift }: Stand): Load {
  const back = members.reduce((sum, i) => sum + returns.sprungBack(i, lift), weight.back);
  return { back, across: Math.abs(weight.across), drag };
}

// ---- whole steps -----------------------------------------------------------------------------

/** What a piece does in a step: stays down (0), rises (1), falls (2), stays up (3); beyond, what no other step is like. */
export type Deed = number;

export function deedIn({ cam: { raisedAt }, restToRest }: Piece, step: number): Deed {
  if (!restToRest) return 4 + step;
  return (raisedAt[step] ? 2 : 0) + (raisedAt[(step + 1) % raisedAt.length] ? 1 : 0);
}

/** What a piece does instead whose bars are shown the other way. */
export const otherDeed = (deed: Deed): Deed => 3 - deed;

/** Where a piece stands in a step. */
export interface Track {
  readonly piece: Piece;
  /** At even moments, from rest to rest. */
  readonly even: readonly Stand[];
  /** Shares of the step gone just within and just beside the ends of its flanks, sorted. */
  readonly edges: readonly number[];
  readonly at: (share: number) => Stand;
}

/** Moments beside the ends of flanks stand this much within them, in steps. */
const within = 1e-6;

/** Of a deed, and a step in which the piece does it; of a rest no step is wanted. Looked at in so many even stretches. */
export function trackOf(piece: Piece, deed: Deed, step: number, each: number): Track {
  if (deed === 0 || deed === 3) {
    const stand = standOf(piece, { lift: deed === 0 ? 0 : piece.cam.lift.stroke, slope: 0, curve: 0 });
    return { piece, even: Array.from({ length: each + 1 }, () => stand), edges: [], at: () => stand };
  }
  const at = kept((share: number) => standOf(piece, motionAt(piece, step + share)));
  return {
    piece,
    even: Array.from({ length: each + 1 }, (_, i) => at(i / each)),
    edges: edgesIn(piece, step),
    at,
  };
}

function edgesIn({ cam: { lift, azimuth, step } }: Piece, index: number): number[] {
  const rest = azimuth - step * index;
  const shares = lift.lobes.flatMap((lobe) =>
    [startOf(lobe), lobe.from, lobe.to, endOf(lobe)].flatMap((psi) => {
      const share = wrapped(Math.sign(step) * (rest - psi)) / Math.abs(step);
      return share < 1 ? [share - within, share + within] : [];
    }),
  );
  return shares.filter((share) => share > 0 && share < 1).sort((a, b) => a - b);
}

/** A piece in a step under its load; one for all steps in which it does the same under the same. */
export interface Course {
  readonly piece: Piece;
  readonly even: readonly Look[];
  readonly edges: readonly number[];
  readonly at: (share: number) => Look;
}

/** A follower at one moment under its load. */
export interface Look {
  readonly piece: Piece;
  readonly stand: Stand;
  readonly load: Load;
}

/** The course of a piece that is tied to no other. */
export function courseAlone(model: ForceModel, track: Track): Course {
  const { piece } = track;
  const look = kept((stand: Stand): Look => ({ piece, stand, load: loadAlone(model, piece, stand) }));
  return courseOn(track, track.even.map(look), (share) => look(track.at(share)));
}

/** All pieces at one moment, each at its stand. */
function looksOn(model: ForceModel, stands: readonly Stand[]): Look[] {
  const pulls = pullsOn(model, stands);
  return model.pieces.map((piece, p) => ({ piece, stand: stands[p], load: loadUnder(piece, pulls) }));
}

/** Of every step, the course of every piece. */
export function coursesOf(model: ForceModel, steps: number, each: number): Course[][] {
  const tracks = model.pieces.map((piece) => {
    const known = new Map<Deed, Track>();
    return (step: number): Track => {
      const deed = deedIn(piece, step);
      const track = known.get(deed) ?? trackOf(piece, deed, step, each);
      known.set(deed, track);
      return track;
    };
  });
  const alone = kept((track: Track) => courseAlone(model, track));
  return Array.from({ length: steps }, (_, step) => {
    const here = tracks.map((trackIn) => trackIn(step));
    if (!model.coupled) return here.map(alone);
    // Far the most looks are at the even moments, and each of those is taken once: nothing to keep by its share.
    const even =
      here[0]?.even.map((_, i) =>
        looksOn(
          model,
          here.map((track) => track.even[i]),
        ),
      ) ?? [];
    const between = kept((share: number) =>
      looksOn(
        model,
        here.map(({ at }) => at(share)),
      ),
    );
    return here.map((track, p) =>
      courseOn(
        track,
        even.map((looks) => looks[p]),
        (share) => between(share)[p],
      ),
    );
  });
}

const courseOn = ({ piece, edges }: Track, even: readonly Look[], at: Course['at']): Course => ({
  piece,
  even,
  edges,
  at,
});

/** A function that reckons the same only once; what it gives may be undefined. */
export function kept<From, To>(reckoned: (from: From) => To): (from: From) => To {
  const known = new Map<From, To>();
  return (from) => {
    const before = known.get(from);
    if (before !== undefined || known.has(from)) return before as To;
    const now = reckoned(from);
    known.set(from, now);
    return now;
  };
}

/** Just beside the ends of all flanks in a step, each once. */
export function edgesOf(courses: readonly Course[]): number[] {
  return courses
    .flatMap(({ edges }) => edges)
    .sort((a, b) => a - b)
    .filter((share, i, all) => i === 0 || share - all[i - 1] > within / 2);
}
