/**
 * Ease: what costs nothing (which bars are shown raised and which lowered, the law of motion, the windows of rise and fall)
 * searched for the lowest peak push. Exhaustive over a stated grid. Springs act on each bar by itself, so that the torque of
 * each cam is reckoned once for each of its choices and only summed; one band couples all bars, which are then reckoned together.
 */
import type { Change, Finding, Law, Mechanism } from '../../language/mechanism.ts';
import { findingsOf } from '../checks/index.ts';
import { findingKey, newlyGrave, tally } from '../checks/tally.ts';
import { type Figures, type MotionFigures, motionFigures, reckon, refined } from '../reckon/figures.ts';
import { momentAt, torquesAt } from '../reckon/force/courses.ts';
import {
  type Direction,
  type ForceModel,
  type Friction,
  forceModel,
  frictionInUse,
  runs,
} from '../reckon/force/model.ts';
import { drivenOn, type Forces, forcesOf, looksPerStep, pushAt } from '../reckon/force/steps.ts';
import {
  type Choice,
  chosen,
  type Easy,
  easyCams,
  isGiven,
  type LeftAlone,
  laws,
  type Window,
  windows,
  written,
} from './candidates.ts';

/** What a step takes at most, of the directions in use; torques at the leading shaft, N·mm. */
export interface StepEase {
  readonly index: number;
  readonly from: string;
  readonly to: string;
  /** Absent where bars jam. */
  readonly peakTorque?: number;
  /** Negative where falling bars drive the shaft on. */
  readonly leastTorque?: number;
  /** N. */
  readonly peakPush?: number;
}

export interface Effort {
  /** N of a push, N·mm of the leading shaft where there is no push; infinite where bars jam. */
  readonly peak: number;
  /** With which falling bars drive the ratchet's shaft, else the leading one, on, N·mm. */
  readonly runningOn: number;
  readonly steps: readonly StepEase[];
}

/** What was tried, to the last combination. */
export interface Grid {
  /** Segments that were tried raised and lowered. */
  readonly flips: readonly string[];
  /** Beside those that the design has. */
  readonly laws: readonly Law[];
  readonly windows: readonly Window[];
  readonly combinations: number;
}

export interface Eased {
  /** What `peak` is of. */
  readonly measure: 'push' | 'torque';
  readonly friction: Friction;
  readonly before: Effort;
  /** Absent where nothing in the grid is better and passes all checks. */
  readonly after?: Effort;
  readonly mechanism?: Mechanism;
  readonly changes: readonly Change[];
  /** The changes in a maker's words. */
  readonly words: readonly string[];
  /** What would newly be worth knowing: no errors and no warnings are among it. */
  readonly notes: readonly string[];
  readonly leftAlone: readonly LeftAlone[];
  readonly grid: Grid;
  /** No combination of the grid is better and passes all checks. */
  readonly proved: boolean;
}

/** Why it cannot be searched, and what would allow it. */
export interface Uneasy {
  readonly because: string;
}

/** Most cams whose bars are tried both ways. */
const mostFlips = 16;

/** Work that takes a few seconds at most: sums of torques, and moments with a band. */
const mostSums = 1.5e9;
const mostBandMoments = 2.5e5;

/** Candidates kept for proof, and the most that are proved. */
const mostKept = 4096;
const mostProved = 1500;
const mostChecked = 200;

/** Findings that depend on nothing but the law, the windows, and the flips of the parts they are about. */
const local = new Set([
  'steep-cam',
  'undercut-cam',
  'thin-cam',
  'overlapping-lobes',
  'long-travel',
  'unreachable-symbol',
  'neighbour-clash',
  'post-clash',
  'bar-clash',
  'crowded-window',
]);

/** Of these, those that depend on the flanks alone: no window is wider than the angle between two rests. */
const ofFlanks = new Set(['steep-cam', 'long-travel']);

/** Searches; yields the share done, 0 to 1, and pauses often. Whoever stops asking has cancelled it. */
export function* easing(m: Mechanism): Generator<number, Eased | Uneasy> {
  const given = reckon(m);
  const because = whyNot(m, given);
  if (because !== undefined) return { because };
  const { easy, leftAlone } = easyCams(m, given.cams);
  if (!easy.length)
    return {
      because:
        'the lobes of all cams are stated as angles, so that there is nothing to try; lobes that follow from count can be eased',
    };
  const flipping = yield* flippable(m, given, easy, leftAlone);
  const search = searchOver(m, given, easy, flipping);
  const before = effortOf(m, given, given.forces);
  const kept = new Shortlist(before.peak);
  for (const [i, config] of search.configs.entries()) {
    yield 0.1 + (0.5 * i) / search.configs.length;
    yield* search.try(config, kept);
  }
  const outcome = yield* best(m, given, before, easy, flipping, kept);
  const { changes, words } = outcome.choice ? written(m, easy, outcome.choice) : { changes: [], words: [] };
  return {
    measure: search.measure,
    friction: frictionInUse(m),
    before,
    ...(outcome.found && { after: outcome.found.effort, mechanism: outcome.found.mechanism }),
    changes,
    words,
    notes: outcome.notes ?? [],
    leftAlone,
    grid: {
      flips: flipping.flatMap((i) => easy[i].segments.map(({ name }) => name)),
      laws: search.laws,
      windows: search.windows,
      combinations: search.configs.length * 2 ** flipping.length,
    },
    proved: outcome.proved,
  };
}

/** Numbers of the cams whose bars are tried both ways; notes why the others are not. */
function* flippable(
  m: Mechanism,
  given: Figures,
  easy: readonly Easy[],
  leftAlone: LeftAlone[],
): Generator<number, number[]> {
  const before = findingsOf(m, given);
  const flipping: number[] = [];
  for (const [i, { cam, flips, segments }] of easy.entries()) {
    if (!flips) continue;
    yield (0.1 * i) / easy.length;
    if (flipping.length === mostFlips) {
      leftAlone.push({ cam: cam.name, because: `more than ${mostFlips} cams; only its law and window are tried` });
      continue;
    }
    const turned = chosen(m, easy, { flipped: new Set([i]) });
    const grave = newlyGrave(before, findingsOf(turned, reckon(turned)));
    const own = grave.find(({ code, about }) => local.has(code) && concerned(about, easy).every((one) => one === i));
    if (!own) flipping.push(i);
    else {
      const way = segments[0]?.shown.value === 'raised' ? 'lowered' : 'raised';
      leftAlone.push({
        cam: cam.name,
        because: `shown ${way}, there would be ${own.code}; only its law and window are tried`,
      });
    }
  }
  return flipping;
}

/** Numbers of the cams that a finding is about, by their own names or those of their segments. */
const concerned = (about: readonly string[], easy: readonly Easy[]): number[] =>
  easy.flatMap(({ cam, segments }, i) =>
    about.includes(cam.name) || segments.some(({ name }) => about.includes(name)) ? [i] : [],
  );

function whyNot(m: Mechanism, figures: Figures): string | undefined {
  if (!m.count || figures.positions.length < 2)
    return 'there is no count of two symbols or more, so that there are no steps to ease';
  if (!m.cams.length) return 'there are no cams';
  if (!m.springs.length && !m.bands.length)
    return 'no spring and no band returns the bars, so that no push can be reckoned; give a spring';
  if (figures.forces.cases.length) return undefined;
  const wanted = figures.missing.map(({ figure, wants }) => `${wants} (${figure})`);
  return `the push cannot be reckoned${wanted.length ? `; it wants ${wanted.slice(0, 4).join(', ')}` : '; lobewright check tells why'}`;
}

// ---- what it takes ---------------------------------------------------------------------------------------

const isUsed = ({ usedByFindings }: Forces['cases'][number]): boolean => usedByFindings;

/** What the steps of a mechanism take in the cases in use. */
export function effortOf(m: Mechanism, figures: MotionFigures, forces: Forces): Effort {
  const cases = forces.cases.filter(isUsed);
  const steps = (cases[0]?.steps ?? []).map(({ index }): StepEase => {
    const ways = cases.map(({ steps }) => steps[index]);
    const most = (values: readonly (number | undefined)[]) =>
      values.some((value) => value === undefined) ? undefined : Math.max(...(values as number[]));
    const peakTorque = most(ways.map((way) => way.peakTorque));
    const ease = most(ways.map(({ leastTorque }) => leastTorque && -leastTorque));
    const peakPush = most(ways.map((way) => way.peakPush));
    const [from, to] = [index, (index + 1) % figures.positions.length].map((i) => figures.positions[i].symbol);
    return {
      index,
      from,
      to,
      ...(peakTorque !== undefined && { peakTorque }),
      ...(ease !== undefined && { leastTorque: -ease }),
      ...(peakPush !== undefined && { peakPush }),
    };
  });
  const measure = measureOf(m, figures) === 'push' ? 'peakPush' : 'peakTorque';
  const peak = Math.max(...steps.map((step) => step[measure] ?? Number.POSITIVE_INFINITY));
  return { peak, runningOn: drivenOn(m, figures, forces), steps };
}

/** A push is what is eased, where its lever is known all through the step. */
export function measureOf({ pushes: [push] }: Mechanism, figures: MotionFigures): 'push' | 'torque' {
  return push && [0, 1].every((share) => pushAt(push, figures, 1, share) !== undefined) ? 'push' : 'torque';
}

// ---- the grid --------------------------------------------------------------------------------------------

interface Config {
  readonly law?: Law;
  readonly window?: Window;
}

interface Candidate {
  readonly config: Config;
  /** Bit i: the i-th cam that may be flipped is. */
  readonly mask: number;
  readonly flipped: ReadonlySet<number>;
  /** No more than its true peak. */
  readonly bound: number;
  /** Of its changes. */
  readonly count: number;
}

/** The best candidates, in order; `limit` is what another would have to be under. */
class Shortlist {
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

interface Search {
  readonly measure: 'push' | 'torque';
  readonly laws: readonly Law[];
  readonly windows: readonly Window[];
  readonly configs: readonly Config[];
  /** Notes every way to show the bars that may be better than the limit. */
  readonly try: (config: Config, kept: Shortlist) => Generator<number, void>;
}

function searchOver(m: Mechanism, given: Figures, easy: readonly Easy[], flipping: readonly number[]): Search {
  const coupled = m.bands.length > 0;
  const ways = 2 ** flipping.length;
  const looks = looksPerStep(given.positions.length);
  const coarser = coupled ? 4 : 2;
  const each = looks % coarser === 0 ? looks / coarser : looks;
  const directions = (['forward', 'reverse'] as const).filter((direction) => runs(m, direction));
  const samples = samplesOf(m, given, directions, each);
  const affordable = coupled
    ? mostBandMoments / (ways * given.positions.length * each)
    : mostSums / (2 * ways * samples.length);
  const [tried, spread] = trimmed(
    laws.filter((law) => !isGiven(easy, { law })),
    windows.filter((window) => !isGiven(easy, { window })),
    affordable,
  );
  const configs = [undefined, ...tried].flatMap((law) =>
    [undefined, ...spread].map((window): Config => ({ ...(law && { law }), ...(window && { window }) })),
  );
  const modelOf = (choice: Choice): ForceModel | undefined => {
    const changed = chosen(m, easy, choice);
    const told = { defaults: [], missing: [] };
    return forceModel(changed, motionFigures(changed, told), told);
  };
  const friction = frictionInUse(m);
  const candidate = (config: Config, mask: number, bound: number): Candidate => {
    const flipped = new Set(flipping.filter((_, bit) => mask & (1 << bit)));
    return { config, mask, flipped, bound, count: flipped.size + (config.law ? 1 : 0) + (config.window ? 1 : 0) };
  };
  return {
    measure: measureOf(m, given),
    laws: tried,
    windows: spread,
    configs,
    *try(config, kept) {
      const plain = modelOf({ ...config, flipped: new Set() });
      const turned = modelOf({ ...config, flipped: new Set(flipping) });
      if (!plain || !turned) return;
      // Which of the model's pieces each flip turns over.
      const pieces = flipping.map((i) => plain.pieces.findIndex(({ cam }) => cam.name === easy[i].cam.name));
      if (coupled) {
        for (let mask = 0; mask < ways; mask++) {
          if (mask % 8 === 0) yield 0;
          const mixed = mixedOf(plain, turned, pieces, mask);
          const bound = peakOf(mixed, samples, friction, kept.limit);
          if (bound < kept.limit) kept.add(candidate(config, mask, bound));
        }
        return;
      }
      yield 0;
      const curves = [plain, turned].map((model) => curvesOf(model, samples, friction));
      const still = plain.pieces.flatMap((_, piece) => (pieces.includes(piece) ? [] : [curves[0][piece]]));
      const choices = pieces.map((piece) => [curves[0][piece], curves[1][piece]] as const);
      for (const found of underLimit(still, choices, samples.length, kept)) {
        if (found) kept.add(candidate(config, found.mask, found.peak));
        else yield 0;
      }
    },
  };
}

/** As many laws and windows as can be tried; all laws before any window. */
function trimmed(laws: readonly Law[], windows: readonly Window[], affordable: number): [Law[], Window[]] {
  const some = laws.slice(0, Math.max(0, Math.floor(affordable) - 1));
  return [some, windows.slice(0, Math.max(0, Math.floor(affordable / (some.length + 1)) - 1))];
}

/** A moment that is looked at: of which step and direction, and what a torque at the leading shaft counts there. */
interface Sample {
  readonly t: number;
  readonly direction: Direction;
  readonly weight: number;
}

function samplesOf(m: Mechanism, figures: MotionFigures, directions: readonly Direction[], each: number): Sample[] {
  const [push] = m.pushes;
  const pushed = measureOf(m, figures) === 'push';
  return directions.flatMap((direction) =>
    figures.positions.flatMap((_, step) =>
      Array.from({ length: each + 1 }, (_, i): Sample => {
        const gone = direction === 'forward' ? i / each : 1 - i / each;
        const weight = pushed ? (pushAt(push, figures, 1, gone) ?? 1) : 1;
        return { t: step + i / each, direction, weight };
      }),
    ),
  );
}

/** What each piece adds to the measure at every sample. */
function curvesOf(model: ForceModel, samples: readonly Sample[], friction: Friction): Float64Array[] {
  const curves = model.pieces.map(() => new Float64Array(samples.length));
  for (const [j, { t, direction, weight }] of samples.entries()) {
    const torques = torquesAt(model, momentAt(model, t), friction, direction);
    for (const [i, torque] of torques.entries()) curves[i][j] = weight * torque;
  }
  return curves;
}

function mixedOf(plain: ForceModel, turned: ForceModel, pieces: readonly number[], mask: number): ForceModel {
  const flipped = new Set(pieces.filter((_, bit) => mask & (1 << bit)));
  return { ...plain, pieces: plain.pieces.map((piece, i) => (flipped.has(i) ? turned.pieces[i] : piece)) };
}

/** The greatest measure; given up as soon as it reaches the limit. */
function peakOf(model: ForceModel, samples: readonly Sample[], friction: Friction, limit: number): number {
  let peak = Number.NEGATIVE_INFINITY;
  for (const { t, direction, weight } of samples) {
    const torque = torquesAt(model, momentAt(model, t), friction, direction).reduce((sum, one) => sum + one, 0);
    peak = Math.max(peak, weight * torque);
    if (peak >= limit) return peak;
  }
  return peak;
}

/**
 * Every way to choose one curve of each pair so that the sum with those that stand still has its peak under the limit:
 * depth first, a branch cut where even the lower of both curves of all that is left open stays not under it.
 * Yields nothing now and then, as a pause.
 */
function* underLimit(
  still: readonly Float64Array[],
  choices: readonly (readonly [Float64Array, Float64Array])[],
  length: number,
  kept: Shortlist,
): Generator<{ mask: number; peak: number } | undefined> {
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
  let visits = 0;
  function* visit(k: number, sum: Float64Array, mask: number): Generator<{ mask: number; peak: number } | undefined> {
    if (++visits % 4096 === 0) yield undefined;
    const bound = peak(sum, rest[k]);
    if (!(bound < kept.limit)) return;
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

// ---- proof -----------------------------------------------------------------------------------------------

interface Found {
  readonly effort: Effort;
  readonly mechanism: Mechanism;
  readonly figures: Figures;
}

interface Best {
  readonly notes?: readonly string[];
  readonly found?: Found;
  readonly choice?: Choice;
  readonly proved: boolean;
}

/** A combination, or all with one configuration in which some cams are (not) flipped, that a check forbids. */
interface Forbidden {
  readonly config: Config;
  /** Bits that matter, and what they are. */
  readonly bits: number;
  readonly mask: number;
}

/** The best candidate that passes all checks, finely at last. */
function* best(
  m: Mechanism,
  given: Figures,
  before: Effort,
  easy: readonly Easy[],
  flipping: readonly number[],
  kept: Shortlist,
): Generator<number, Best> {
  const candidates = kept.inOrder();
  const coarse = findingsOf(m, given);
  let fine: Finding[] | undefined;
  const forbidden: Forbidden[] = [];
  const efforts = new Map<Candidate, Effort>();
  const passed = new Map<Candidate, Found>();
  let proofs = 0;
  let checked = 0;
  const choiceOf = ({ config, flipped }: Candidate): Choice => ({ ...config, flipped });
  const isForbidden = ({ config, mask }: Candidate): boolean =>
    forbidden.some((one) => one.config === config && (mask & one.bits) === one.mask);
  const forbid = ({ config, mask }: Candidate, grave: readonly Finding[]): void => {
    const whole = grave.some(({ code }) => ofFlanks.has(code));
    const about = whole ? [] : concerned(grave.find(({ code }) => local.has(code))?.about ?? [], easy);
    const few = flipping.reduce((sum, i, bit) => (about.includes(i) ? sum | (1 << bit) : sum), 0);
    const bits = whole ? 0 : few || 2 ** flipping.length - 1;
    forbidden.push({ config, bits, mask: mask & bits });
  };
  for (;;) {
    let top: { candidate: Candidate; peak: number } | undefined;
    let ranOut = false;
    for (const candidate of candidates) {
      if (top && candidate.bound > top.peak * (1 + 1e-9)) break;
      if (isForbidden(candidate)) continue;
      if (proofs >= mostProved || checked >= mostChecked) {
        ranOut = true;
        break;
      }
      yield 0.6 + (0.35 * proofs) / mostProved;
      const changed = passed.get(candidate)?.mechanism ?? chosen(m, easy, choiceOf(candidate));
      let effort = efforts.get(candidate);
      if (!effort) {
        proofs++;
        const told = { defaults: [], missing: [] };
        const motion = motionFigures(changed, told);
        effort = effortOf(changed, motion, forcesOf(changed, motion, told, 'in use'));
        efforts.set(candidate, effort);
      }
      const better = !top || isBetter(effort.peak, candidate, top.peak, top.candidate);
      if (!(effort.peak < before.peak * (1 - 1e-6)) || !better) continue;
      if (!passed.has(candidate)) {
        checked++;
        const figures = reckon(changed);
        const grave = newlyGrave(coarse, findingsOf(changed, figures));
        if (grave.length) {
          forbid(candidate, grave);
          continue;
        }
        passed.set(candidate, { effort, mechanism: changed, figures });
      }
      top = { candidate, peak: effort.peak };
    }
    // What was not kept is no better than the limit.
    const proved = !ranOut && (!kept.isCut || (top !== undefined && top.peak <= kept.limit));
    if (!top) return { proved };
    const found = passed.get(top.candidate)!;
    fine ??= findingsOf(m, yield* paused(refined(m, given)));
    const after = findingsOf(found.mechanism, yield* paused(refined(found.mechanism, found.figures)));
    const grave = newlyGrave(fine, after);
    if (!grave.length) {
      const known = tally(fine);
      const notes = after.filter(
        ({ code, severity, accepted, about }) =>
          severity === 'information' && accepted === undefined && !known.has(findingKey(code, about[0])),
      );
      return {
        found,
        choice: choiceOf(top.candidate),
        notes: notes.map(({ code, message }) => `${code}: ${message}`),
        proved,
      };
    }
    forbid(top.candidate, grave);
  }
}

/** A lower peak; of two alike, fewer changes. */
function isBetter(peak: number, candidate: Candidate, other: number, than: Candidate): boolean {
  const almost = 1e-9 * Math.abs(other);
  return peak < other - almost || (peak <= other + almost && candidate.count < than.count);
}

function* paused<T>(steps: Generator<void, T>): Generator<number, T> {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
    yield 0.97;
  }
}
