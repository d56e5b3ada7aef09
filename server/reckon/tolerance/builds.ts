/**
 * Random builds: how many of many prints of one design read right at every position.
 *
 * Of every build each clearance and each printed edge is drawn. An edge is normal, ± 3σ its process's `spread` (or the
 * tolerance that the text states). The gap between two printed edges is as wide as the text says, more or less by both of
 * them; where a part stands in its gap is uniform from one side to the other, and once for the build; a shaft stands in its
 * bearing in any direction, as far out as its bearing lets it, uniformly. Parts are independent of each other. What a push leaves the
 * train ahead is a shift of all builds alike, told apart from the spread.
 */
import type { Mechanism, Process } from '../../../language/mechanism.ts';
import type { CamFigure, Figures } from '../figures.ts';
import { liftAt } from '../motion/lift.ts';
import { spans } from './margins.ts';
import { type Said, shiftOn } from './play.ts';
import { Random } from './random.ts';

export interface Builds {
  readonly count: number;
  readonly seed: number;
  /** Share of the builds that read right at every position. */
  readonly readRight: number;
  /** The same, did the push leave nothing ahead; where it does. */
  readonly readRightWithoutShift?: number;
  /** Share of the builds in which a symbol is read right wherever it is counted. */
  readonly bySymbol: Readonly<Record<string, number>>;
  /** The number that costs most: without its play (or spread), most of those that fail would read right. */
  readonly costliest?: string;
}

/** What is drawn, and what it does to each cam; plain data. */
export interface BuildModel {
  /** Half-width of each gap and its standard deviation; an edge has no width. */
  readonly size: readonly number[];
  readonly sigma: readonly number[];
  /** Values drawn within the gaps: of which gap, and how. A `disc` gives two, one after the other. */
  readonly seats: readonly { readonly of: number; readonly as: 'line' | 'disc' | 'edge' }[];
  readonly cams: readonly CamModel[];
  readonly symbols: readonly string[];
  /** The symbol, as an index, at each position. */
  readonly symbolAt: readonly number[];
  /** Positions that no build reads right. */
  readonly hopeless: readonly number[];
  /** Numbers of the text that may cost, and which values each would take away or make as wide as it says. */
  readonly causes: readonly {
    readonly words: string;
    readonly seats: readonly number[];
    readonly gaps: readonly number[];
  }[];
}

interface CamModel {
  /** Turn ahead of its place, rad: sum of coefficient × value. */
  readonly turn: readonly (readonly [seat: number, coefficient: number])[];
  /** Lift beside its place, mm. */
  readonly lift: readonly (readonly [seat: number, coefficient: number])[];
  readonly shift: number;
  /** Tables of the lift over the turn ahead, from −reach to reach, one for each position; then what may be read as it is. */
  readonly reach: number;
  readonly lifts: readonly Float64Array[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** Steps of a table of lifts; between them it is taken as straight, which is right to some 1e-4 mm. */
const steps = 128;
/** Failing builds that are looked at again, to see what they fail for. */
const studied = 1000;
/** Builds between two pauses. */
const stretch = 250;

export const usualBuilds = 100_000;
export const usualSeed = 1;

/** The model; undefined where no cam has rests and something that plays. Pauses at each cam. */
export function* modelling(m: Mechanism, f: Figures): Generator<void, BuildModel | undefined> {
  const size: number[] = [];
  const sigma: number[] = [];
  const seats: BuildModel['seats'][number][] = [];
  const gaps = new Map<string, number>();
  const places = new Map<string, number>();
  const causes = new Map<string, { words: string; seats: Set<number>; gaps: Set<number> }>();
  const causeOf = ({ of, property }: Said) => {
    const words = `${property === 'bearing' ? 'bearing clearance' : property} of ${of}`;
    const cause = causes.get(words) ?? { words, seats: new Set(), gaps: new Set() };
    causes.set(words, cause);
    return cause;
  };
  const spread = ({ name }: Process) => causeOf({ of: name, property: 'spread' });
  const seat = (name: string, gap: number, as: 'line' | 'disc' | 'edge', by: Said) => {
    const known = places.get(name);
    if (known !== undefined) return known;
    const at = seats.push({ of: gap, as }) - 1;
    if (as === 'disc') seats.push({ of: gap, as });
    places.set(name, at);
    const { seats: theirs } = causeOf(by);
    theirs.add(at);
    if (as === 'disc') theirs.add(at + 1);
    return at;
  };
  const gap = (name: string, half: number, tolerance: number | undefined, process: Process | undefined) => {
    const known = gaps.get(name);
    if (known !== undefined) return known;
    const at = size.push(half) - 1;
    gaps.set(name, at);
    sigma.push(tolerance !== undefined ? tolerance / 3 : process ? (process.spread.value * Math.SQRT2) / 3 : 0);
    if (tolerance === undefined && process) spread(process).gaps.add(at);
    return at;
  };
  const cams: CamModel[] = [];
  for (const cam of f.cams) {
    yield;
    const turns = (cam.restError?.from ?? []).map((share): [number, number] => {
      const { what, own, perUnit, ratio, cause, by, process } = share;
      const each = perUnit > 0 ? perUnit : 1;
      const of = gap(what, own / each, cause.tolerance, process);
      return [seat(`${what}, turned`, of, 'line', by), each * ratio];
    });
    const lifts = (cam.liftError?.from ?? []).flatMap(
      ({ what, length, kind, cause, by, process }): [number, number][] => {
        if (kind === 'edge') {
          const at = size.push(0) - 1;
          sigma.push(length / 3);
          return [[seat(what, at, 'edge', by), 1]];
        }
        const of = gap(what, length, cause.tolerance, process);
        if (kind === 'key') return [[seat(`${what}, aside`, of, 'line', by), 1]];
        const at = seat(what, of, 'disc', by);
        return [
          [at, Math.cos(cam.azimuth)],
          [at + 1, Math.sin(cam.azimuth)],
        ];
      },
    );
    cams.push(...camModel(m, f, cam, turns, lifts, size, sigma, seats));
  }
  if (!cams.some(({ turn, lift }) => turn.length + lift.length > 0)) return undefined;
  const symbols = [...new Set(f.positions.map(({ symbol }) => symbol))];
  return {
    size,
    sigma,
    seats,
    cams,
    symbols,
    symbolAt: f.positions.map(({ symbol }) => symbols.indexOf(symbol)),
    hopeless: f.positions.flatMap(({ wrong, index }) => (wrong.length > 0 ? [index] : [])),
    causes: [...causes.values()].map(({ words, seats, gaps }) => ({ words, seats: [...seats], gaps: [...gaps] })),
  };
}

function camModel(
  m: Mechanism,
  f: Figures,
  cam: CamFigure,
  turn: CamModel['turn'],
  lift: CamModel['lift'],
  size: readonly number[],
  sigma: readonly number[],
  seats: BuildModel['seats'],
): CamModel[] {
  const bars = m.segments.filter(({ name, window }) => cam.segments.includes(name) && !(window && cam.lift.relative));
  if (!cam.rests.length || !bars.length) return [];
  const ahead = shiftOn(cam, f, f.forwardRest) * (m.runs.value === 'reverse' ? -1 : 1);
  const reach =
    Math.abs(ahead) +
    turn.reduce((sum, [at, each]) => sum + Math.abs(each) * (size[seats[at].of] + 5 * sigma[seats[at].of]), 1e-9);
  const spansOf = bars.map((bar) => spans(m, bar, cam.lift));
  const heights = cam.rests.map((rest) => liftAt(cam.lift, rest).lift);
  // A cam angle under its follower falls as the cam turns counter-clockwise.
  const sense = cam.step > 0 ? -1 : 1;
  return [
    {
      turn,
      lift,
      shift: ahead,
      reach,
      lifts: cam.rests.map((rest) =>
        Float64Array.from(
          { length: steps + 1 },
          (_, i) => liftAt(cam.lift, rest + sense * reach * ((2 * i) / steps - 1)).lift,
        ),
      ),
      low: heights.map((height) => Math.max(...spansOf.map((spanAt) => spanAt(height).low))),
      high: heights.map((height) => Math.min(...spansOf.map((spanAt) => spanAt(height).high))),
    },
  ];
}

/** Draws so many builds of a mechanism and reads them; pauses often. The same seed gives the same to the last bit. */
export function* buildsOf(
  m: Mechanism,
  f: Figures,
  count = usualBuilds,
  seed = usualSeed,
): Generator<void, Builds | undefined> {
  const model = yield* modelling(m, f);
  return model && (yield* drawn(model, count, seed));
}

/** Draws builds of a model and reads them. */
export function* drawn(model: BuildModel, count: number, seed: number): Generator<void, Builds> {
  const maker = new Maker(model, seed);
  const reader = new Reader(model);
  const { values } = maker;
  const kept: (readonly [Float64Array, Float64Array])[] = [];
  const isShifted = model.cams.some(({ shift }) => shift !== 0);
  const symbolFails = new Uint32Array(model.symbols.length);
  let [right, rightUnshifted] = [0, 0];
  for (let build = 0; build < count; build++) {
    if (build % stretch === 0) yield;
    maker.draw();
    if (isShifted && reader.reads(values, false)) rightUnshifted++;
    if (reader.reads(values, true)) {
      right++;
      continue;
    }
    reader.countSymbols(symbolFails);
    if (kept.length < studied) kept.push([values.slice(), maker.nominal()]);
  }
  yield;
  const hopeless = new Set(model.hopeless.map((position) => model.symbolAt[position]));
  const share = (fails: number) => (count > 0 ? (count - fails) / count : 0);
  const costliest = yield* costliestOf(model, reader, kept);
  return {
    count,
    seed,
    readRight: hopeless.size > 0 ? 0 : share(count - right),
    ...(isShifted && { readRightWithoutShift: hopeless.size > 0 ? 0 : share(count - rightUnshifted) }),
    bySymbol: Object.fromEntries(
      model.symbols.map((symbol, i) => [symbol, hopeless.has(i) ? 0 : share(symbolFails[i])]),
    ),
    ...(costliest !== undefined && { costliest }),
  };
}

const [line, disc, edge] = [0, 1, 2];

/** Draws builds, a stretch at a time. */
class Maker {
  /** Of the latest build, by seat. */
  readonly values: Float64Array;
  /** Where each seat lies in its gap, −1 to 1. */
  private readonly within: Float64Array;
  private readonly size: Float64Array;
  private readonly sigma: Float64Array;
  private readonly gapOf: Int32Array;
  private readonly kinds: Uint8Array;
  private readonly random: Random;
  /** For each build of the stretch one for each gap, and one for each seat. */
  private readonly normals: Float64Array;
  private readonly uniforms: Float64Array;
  private build = stretch;

  constructor({ size, sigma, seats }: BuildModel, seed: number) {
    this.random = new Random(seed);
    this.size = Float64Array.from(size);
    this.sigma = Float64Array.from(sigma);
    this.normals = new Float64Array(stretch * size.length);
    this.uniforms = new Float64Array(stretch * seats.length);
    this.values = new Float64Array(seats.length);
    this.within = new Float64Array(seats.length);
    this.gapOf = Int32Array.from(seats, ({ of }) => of);
    this.kinds = Uint8Array.from(seats, ({ as }) => (as === 'line' ? line : as === 'disc' ? disc : edge));
  }

  draw(): void {
    const { size, sigma, normals, uniforms, values, within, gapOf, kinds, random } = this;
    if (this.build === stretch) {
      random.normals(normals);
      random.uniforms(uniforms);
      this.build = 0;
    }
    const gaps = this.build * size.length;
    const seats = this.build * values.length;
    this.build++;
    for (let at = 0; at < values.length; at++) {
      const gap = gapOf[at];
      const wide = size[gap] + sigma[gap] * normals[gaps + gap];
      const kind = kinds[at];
      if (kind === edge) {
        values[at] = wide;
        continue;
      }
      const open = Math.max(0, wide);
      const share = uniforms[seats + at];
      if (kind === line) {
        within[at] = 2 * share - 1;
        values[at] = open * within[at];
        continue;
      }
      const towards = 2 * Math.PI * uniforms[seats + at + 1];
      within[at] = share * Math.cos(towards);
      within[at + 1] = share * Math.sin(towards);
      values[at] = open * within[at];
      values[at + 1] = open * within[at + 1];
      at++;
    }
  }

  /** Where everything in the latest build would stand were every gap as wide as the text says. */
  nominal(): Float64Array {
    return this.values.map((value, at) =>
      this.kinds[at] === edge ? value : this.size[this.gapOf[at]] * this.within[at],
    );
  }
}

/** Reads builds: per cam first by the narrowest of all its positions, then, where that fails, position by position. */
class Reader {
  private readonly model: BuildModel;
  private readonly cams: readonly Compiled[];
  private readonly failing: Uint8Array;
  private readonly failed: Uint8Array;

  constructor(model: BuildModel) {
    this.model = model;
    this.cams = model.cams.map(compiled);
    this.failing = new Uint8Array(model.symbolAt.length);
    this.failed = new Uint8Array(model.symbols.length);
  }

  /** Whether every bar is read right at every position; if not, `failing` says at which. */
  reads(values: Float64Array, shifted: boolean): boolean {
    let right = true;
    for (let i = 0; i < this.cams.length; i++) {
      const cam = this.cams[i];
      let turn = shifted ? cam.shift : 0;
      for (let k = 0; k < cam.turnSeats.length; k++) turn += cam.turnEach[k] * values[cam.turnSeats[k]];
      let lift = 0;
      for (let k = 0; k < cam.liftSeats.length; k++) lift += cam.liftEach[k] * values[cam.liftSeats[k]];
      const at = Math.min(steps, Math.max(0, (turn / cam.reach + 1) * (steps / 2)));
      const step = Math.min(steps - 1, Math.floor(at));
      const part = at - step;
      const least = cam.least[step] + part * (cam.least[step + 1] - cam.least[step]);
      const most = cam.most[step] + part * (cam.most[step + 1] - cam.most[step]);
      if (lift >= least && lift <= most) continue;
      if (right) this.failing.fill(0);
      if (this.failsOf(cam, step, part, lift)) right = false;
    }
    return right;
  }

  private failsOf({ lifts, low, high }: Compiled, step: number, part: number, beside: number): boolean {
    let fails = false;
    for (let position = 0; position < lifts.length; position++) {
      const table = lifts[position];
      const lift = table[step] + part * (table[step + 1] - table[step]) + beside;
      if (lift >= low[position] && lift <= high[position]) continue;
      this.failing[position] = 1;
      fails = true;
    }
    return fails;
  }

  /** Counts each symbol of which some position failed when last read. */
  countSymbols(fails: Uint32Array): void {
    const { symbolAt } = this.model;
    this.failed.fill(0);
    for (let position = 0; position < symbolAt.length; position++) {
      const symbol = symbolAt[position];
      if (!this.failing[position] || this.failed[symbol]) continue;
      this.failed[symbol] = 1;
      fails[symbol]++;
    }
  }
}

interface Compiled {
  readonly turnSeats: Int32Array;
  readonly turnEach: Float64Array;
  readonly liftSeats: Int32Array;
  readonly liftEach: Float64Array;
  readonly shift: number;
  readonly reach: number;
  readonly lifts: readonly Float64Array[];
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Least and most lift beside its place at which all positions are read right, over the turn. */
  readonly least: Float64Array;
  readonly most: Float64Array;
}

function compiled({ turn, lift, shift, reach, lifts, low, high }: CamModel): Compiled {
  const over = Array.from({ length: steps + 1 }, (_, i) => i);
  return {
    turnSeats: Int32Array.from(turn, ([at]) => at),
    turnEach: Float64Array.from(turn, ([, each]) => each),
    liftSeats: Int32Array.from(lift, ([at]) => at),
    liftEach: Float64Array.from(lift, ([, each]) => each),
    shift,
    reach,
    lifts,
    low: Float64Array.from(low),
    high: Float64Array.from(high),
    least: Float64Array.from(over, (i) => lifts.reduce((most, table, at) => Math.max(most, low[at] - table[i]), -1e9)),
    most: Float64Array.from(over, (i) => lifts.reduce((least, table, at) => Math.min(least, high[at] - table[i]), 1e9)),
  };
}

/** The cause without which most of the builds that failed would read right. */
function* costliestOf(
  { causes, seats }: BuildModel,
  reader: Reader,
  kept: readonly (readonly [Float64Array, Float64Array])[],
): Generator<void, string | undefined> {
  let best: { words: string; saved: number } | undefined;
  const values = new Float64Array(seats.length);
  for (const { words, seats: theirs, gaps } of causes) {
    yield;
    const widened = seats.flatMap(({ of }, at) => (gaps.includes(of) ? [at] : []));
    let saved = 0;
    for (const [drawn, nominal] of kept) {
      values.set(drawn);
      for (const at of widened) values[at] = nominal[at];
      for (const at of theirs) values[at] = 0;
      if (reader.reads(values, true)) saved++;
    }
    if (saved > (best?.saved ?? 0)) best = { words, saved };
  }
  return best?.words;
}
