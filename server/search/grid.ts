/**
 * Every combination of a stated grid, and of each a bound that its true peak does not fall below. Where nothing ties the
 * bars together, what each adds to a step is reckoned once for each thing that it may do there, and only summed; under a
 * band all bars are reckoned together.
 */
import type { Law, Mechanism } from '../../language/mechanism.ts';
import { type Figures, type MotionFigures, motionFigures } from '../reckon/figures.ts';
import { driveTorque, type Load, type Stand } from '../reckon/force/contact.ts';
import {
  courseAlone,
  type Deed,
  deedIn,
  kept,
  loadUnder,
  otherDeed,
  type Track,
  trackOf,
} from '../reckon/force/courses.ts';
import {
  type Direction,
  type ForceModel,
  type Friction,
  forceModel,
  frictionInUse,
  type Piece,
  runs,
  turningOf,
} from '../reckon/force/model.ts';
import { looksPerStep, pushAt } from '../reckon/force/steps.ts';
import { type Choice, chosen, type Easy, laws, type Window, windows } from './candidates.ts';
import { measureOf } from './effort.ts';
import { isGiven } from './written.ts';

export type Config = Omit<Choice, 'flipped'>;

export interface Candidate {
  readonly config: Config;
  /** Bit i: the i-th cam that may be flipped is. */
  readonly mask: number;
  readonly flipped: ReadonlySet<number>;
  /** No more than its true peak. */
  readonly bound: number;
  /** Of its changes. */
  readonly count: number;
}

/** Work that takes a few seconds at most: sums of torques, and moments with a band. */
const mostSums = 1.5e9;
const mostBandMoments = 1e6;

/** Candidates kept for proof. */
const mostKept = 4096;

/** The best candidates, in order; `limit` is what another would have to be under. */
export class Shortlist {
  limit: number;
  /** Some that are better than the design were not kept. */
  isCut = false;
  private all: Candidate[] = [];

  constructor(limit: number) {
    this.limit = limit;
  }

  add(candidate: Candidate): void {
    this.all.push(candidate);
    if (this.all.length < 2 * mostKept) return;
    this.all = this.inOrder().slice(0, mostKept);
    this.limit = this.all[mostKept - 1].bound;
    this.isCut = true;
  }

  inOrder(): Candidate[] {
    return this.all.sort((a, b) => a.bound - b.bound || a.count - b.count);
  }
}

export interface Search {
  readonly laws: readonly Law[];
  readonly windows: readonly Window[];
  readonly configs: readonly Config[];
  /** Notes every way to show the bars that may be better than the limit; pauses often. */
  readonly try: (config: Config, kept: Shortlist) => Generator<void, void>;
}

/** The grid over the cams that may be changed, those numbered in `flipping` both ways, and both senses if `turning`. */
export function searchOver(
  m: Mechanism,
  given: Figures,
  easy: readonly Easy[],
  flipping: readonly number[],
  turning: boolean,
): Search {
  const coupled = m.bands.length > 0;
  const ways = 2 ** flipping.length;
  const looks = looksPerStep(given.positions.length);
  const coarser = coupled ? 4 : 2;
  const each = looks % coarser === 0 ? looks / coarser : looks;
  const sampling = samplingOf(m, given, each);
  const moments = sampling.steps * sampling.directions.length * (each + 1) * (turning ? 2 : 1);
  const affordable = coupled ? mostBandMoments / (ways * moments) : mostSums / (2 * ways * moments);
  const [tried, spread] = trimmed(
    laws.filter((law) => !isGiven(easy, { law })),
    windows.filter((window) => !isGiven(easy, { window })),
    affordable,
  );
  const configs = [undefined, ...tried].flatMap((law) =>
    [undefined, ...spread].flatMap((window) =>
      (turning ? [false, true] : [false]).map(
        (turned): Config => ({ ...(law && { law }), ...(window && { window }), ...(turned && { turned }) }),
      ),
    ),
  );
  const friction = frictionInUse(m);
  const cut = new Set(given.cams.filter(({ lift }) => lift.cut).map(({ name }) => name));
  const modelOf = (choice: Choice): ForceModel | undefined => {
    const changed = chosen(m, easy, choice);
    const told = { defaults: [], missing: [] };
    return forceModel(changed, motionFigures(changed, told), told);
  };
  const candidate = (config: Config, mask: number, bound: number): Candidate => {
    const flipped = new Set(flipping.filter((_, bit) => mask & (1 << bit)));
    return { config, mask, flipped, bound, count: flipped.size + Object.keys(config).length };
  };
  return {
    laws: tried,
    windows: spread,
    configs,
    *try(config, list) {
      const plain = modelOf({ ...config, flipped: new Set() });
      if (!plain) return;
      yield;
      /** What a bar does that is shown the other way follows from what it does now, unless its cam is, or was, undercut. */
      const isTold = ({ restToRest, cam }: Piece) => restToRest && !cut.has(cam.name);
      // Which of the model's pieces each flip turns over.
      const pieces = flipping.map((i) => plain.pieces.findIndex(({ cam }) => cam.name === easy[i].cam.name));
      const turned = pieces.every((p) => isTold(plain.pieces[p]))
        ? plain
        : modelOf({ ...config, flipped: new Set(flipping) });
      if (!turned) return;
      yield;
      const waysOf = plain.pieces.map((piece, p): readonly [Doing, Doing] => {
        const asIs = doingOf(piece, each, false);
        return [asIs, isTold(piece) ? doingOf(piece, each, true) : doingOf(turned.pieces[p], each, false)];
      });
      const found = plain.coupled
        ? tied(plain, waysOf, pieces, sampling, friction, list)
        : apart(plain, waysOf, pieces, sampling, friction, list);
      for (const one of found) {
        if (one) list.add(candidate(config, one.mask, one.peak));
        else yield;
      }
    },
  };
}

/** As many laws and windows as can be tried; all laws before any window. */
function trimmed(laws: readonly Law[], windows: readonly Window[], affordable: number): [Law[], Window[]] {
  const some = laws.slice(0, Math.max(0, Math.floor(affordable) - 1));
  return [some, windows.slice(0, Math.max(0, Math.floor(affordable / (some.length + 1)) - 1))];
}

// ---- moments that are looked at ------------------------------------------------------------------------

/** Every step is looked at in so many even stretches, in each direction in use. */
interface Sampling {
  readonly steps: number;
  readonly each: number;
  readonly directions: readonly { readonly direction: Direction; readonly weights: Float64Array }[];
}

/** With what a torque at the leading shaft counts at each moment of a step. */
function samplingOf(m: Mechanism, figures: MotionFigures, each: number): Sampling {
  const [push] = m.pushes;
  const pushed = measureOf(m, figures) === 'push';
  const directions = (['forward', 'reverse'] as const).filter((direction) => runs(m, direction));
  return {
    steps: figures.positions.length,
    each,
    directions: directions.map((direction) => ({
      direction,
      weights: Float64Array.from({ length: each + 1 }, (_, i) => {
        const gone = direction === 'forward' ? i / each : 1 - i / each;
        return pushed ? (pushAt(push, figures, 1, gone) ?? 1) : 1;
      }),
    })),
  };
}

/** Where a piece stands in every step, as its bars are shown or shown the other way. */
interface Doing {
  readonly piece: Piece;
  readonly deedAt: (step: number) => Deed;
  readonly trackAt: (deed: Deed) => Track;
}

function doingOf(piece: Piece, each: number, otherwise: boolean): Doing {
  const steps = piece.cam.raisedAt.length;
  const stepOf = (deed: Deed): number => {
    for (let step = 0; step < steps; step++) if (deedIn(piece, step) === deed) return step;
    return 0;
  };
  return {
    piece,
    deedAt: (step) => (otherwise ? otherDeed(deedIn(piece, step)) : deedIn(piece, step)),
    trackAt: kept((deed: Deed) => trackOf(piece, deed, stepOf(deed), each)),
  };
}

const torqueOf = (piece: Piece, stand: Stand, load: Load, friction: Friction, direction: Direction): number =>
  piece.ratio * driveTorque(stand, load, piece.friction[friction], turningOf(piece, direction));

interface Under {
  readonly mask: number;
  readonly peak: number;
}

// ---- bars that nothing ties together -----------------------------------------------------------------

/** Every way to show the bars whose peak is under the limit; nothing now and then, as a pause. */
function* apart(
  model: ForceModel,
  waysOf: readonly (readonly [Doing, Doing])[],
  flipping: readonly number[],
  sampling: Sampling,
  friction: Friction,
  list: Shortlist,
): Generator<Under | undefined> {
  const curveOf = (doing: Doing) => curve(model, doing, sampling, friction);
  const still: Float64Array[] = [];
  for (const [p, [doing]] of waysOf.entries()) if (!flipping.includes(p)) still.push(curveOf(doing));
  yield undefined;
  const choices: (readonly [Float64Array, Float64Array])[] = [];
  for (const p of flipping) {
    choices.push([curveOf(waysOf[p][0]), curveOf(waysOf[p][1])]);
    yield undefined;
  }
  yield* underLimit(still, choices, list);
}

/** What a piece adds to the measure at every moment. */
function curve(
  model: ForceModel,
  { piece, deedAt, trackAt }: Doing,
  { steps, each, directions }: Sampling,
  friction: Friction,
): Float64Array {
  const stretch = each + 1;
  const values = new Float64Array(directions.length * steps * stretch);
  const courseOf = kept((deed: Deed) => courseAlone(model, trackAt(deed)));
  for (const [d, { direction, weights }] of directions.entries()) {
    const rowOf = kept((deed: Deed) =>
      Float64Array.from(
        courseOf(deed).even,
        ({ stand, load }, i) => weights[i] * torqueOf(piece, stand, load, friction, direction),
      ),
    );
    for (let step = 0; step < steps; step++) values.set(rowOf(deedAt(step)), (d * steps + step) * stretch);
  }
  return values;
}

/**
 * Every way to choose one curve of each pair so that the sum with those that stand still has its peak under the limit:
 * depth first, a branch cut where even the lower of both curves of all that is left open stays not under it.
 */
function* underLimit(
  still: readonly Float64Array[],
  choices: readonly (readonly [Float64Array, Float64Array])[],
  list: Shortlist,
): Generator<Under | undefined> {
  const length = (still[0] ?? choices[0][0]).length;
  const sums = choices.map(() => new Float64Array(length));
  const start = new Float64Array(length);
  for (const curve of still) for (let j = 0; j < length; j++) start[j] += curve[j];
  /** The least that the curves from number k on can add. */
  const rest = [...choices, undefined].map(() => new Float64Array(length));
  for (let k = choices.length - 1; k >= 0; k--) {
    const [one, other] = choices[k];
    for (let j = 0; j < length; j++) rest[k][j] = rest[k + 1][j] + Math.min(one[j], other[j]);
  }
  const peak = (sum: Float64Array, least: Float64Array): number => {
    let most = Number.NEGATIVE_INFINITY;
    for (let j = 0; j < length; j++) most = Math.max(most, sum[j] + least[j]);
    return most;
  };
  let work = 0;
  function* visit(k: number, sum: Float64Array, mask: number): Generator<Under | undefined> {
    work += length;
    if (work > 5e5) {
      work = 0;
      yield undefined;
    }
    const bound = peak(sum, rest[k]);
    if (!(bound < list.limit)) return;
    if (k === choices.length) {
      yield { mask, peak: bound };
      return;
    }
    const next = sums[k];
    for (const flip of [0, 1] as const) {
      const curve = choices[k][flip];
      for (let j = 0; j < length; j++) next[j] = sum[j] + curve[j];
      yield* visit(k + 1, next, flip ? mask | (1 << k) : mask);
    }
  }
  yield* visit(0, start, 0);
}

// ---- bars that a band ties together ------------------------------------------------------------------

/** The same where what returns one bar depends on where the others stand. */
function* tied(
  model: ForceModel,
  waysOf: readonly (readonly [Doing, Doing])[],
  flipping: readonly number[],
  { steps, directions }: Sampling,
  friction: Friction,
  list: Shortlist,
): Generator<Under | undefined> {
  const { pieces, returns, segments } = model;
  const lifts = new Float64Array(segments);
  /** The measure at a moment of a step, with each piece at its stand. */
  const measured = (stands: readonly Stand[], direction: Direction): number => {
    for (const [p, { members }] of pieces.entries()) for (const i of members) lifts[i] = stands[p].lift;
    const pulls = returns.pullsAt(lifts);
    let torque = 0;
    for (const [p, piece] of pieces.entries())
      torque += torqueOf(piece, stands[p], loadUnder(piece, pulls), friction, direction);
    return torque;
  };
  const moments = directions.flatMap(({ direction, weights }) =>
    Array.from({ length: steps }, (_, step) =>
      Array.from(weights, (weight, i) => ({
        direction,
        weight,
        // Where every piece stands then, either way.
        stands: waysOf.map((ways) => ways.map(({ deedAt, trackAt }) => trackAt(deedAt(step)).even[i])),
      })),
    ).flat(),
  );
  yield undefined;
  let work = 0;
  for (let mask = 0; mask < 2 ** flipping.length; mask++) {
    const ways = pieces.map((_, p) => (mask & (1 << flipping.indexOf(p)) && flipping.includes(p) ? 1 : 0));
    let peak = Number.NEGATIVE_INFINITY;
    for (let at = 0; at < moments.length; at++) {
      if (++work % 256 === 0) yield undefined;
      const { direction, weight, stands } = moments[at];
      peak = Math.max(
        peak,
        weight *
          measured(
            stands.map((either, p) => either[ways[p]]),
            direction,
          ),
      );
      if (peak < list.limit) continue;
      // What is too hard one way is likely so another way: looked at first from now on.
      moments.unshift(...moments.splice(at, 1));
      break;
    }
    if (peak < list.limit) yield { mask, peak };
  }
}
