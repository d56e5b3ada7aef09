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
  /** What every build stands beside its place, rad: of its making, and what a push leaves it ahead. */
  readonly lean: number;
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
/** Builds between two pauses: so many that all their columns fit into a processor's nearest store. */
const stretch = 128;

const usualBuilds = 100_000;
const usualSeed = 1;

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
    const behind = m.runs.value === 'reverse' ? 1 : -1;
    let lean = 0;
    const turns = (cam.restError?.from ?? []).map((share): [number, number] => {
      const { what, own, perUnit, ratio, cause, by, process, sense } = share;
      if (sense && m.runs.value !== 'either') {
        // Anywhere from its place to so far behind: half of it as a lean of all builds, and half of it either way.
        lean += (behind * own * ratio) / 2;
        return [seat(`${what}, turned`, gap(what, own / 2, 0, undefined), 'line', by), ratio];
      }
      if (sense) return [seat(`${what}, turned`, gap(what, own, 0, undefined), 'line', by), ratio];
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
    cams.push(...camModel(m, f, cam, turns, lean, lifts, size, sigma, seats));
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
  lean: number,
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
    Math.abs(lean) +
    turn.reduce((sum, [at, each]) => sum + Math.abs(each) * (size[seats[at].of] + 5 * sigma[seats[at].of]), 1e-9);
  const spansOf = bars.map((bar) => spans(m, bar, cam.lift));
  const heights = cam.rests.map((rest) => liftAt(cam.lift, rest).lift);
  // A cam angle under its follower falls as the cam turns counter-clockwise.
  const sense = cam.step > 0 ? -1 : 1;
  return [
    {
      turn,
      lift,
      lean,
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

/** Draws builds of a model and reads them, a stretch at a time. */
export function* drawn(model: BuildModel, count: number, seed: number): Generator<void, Builds> {
  const maker = new Maker(model, seed);
  const reader = new Reader(model);
  const kept: KeptBuild[] = [];
  const isShifted = model.cams.some(({ shift }) => shift !== 0);
  const symbolFails = new Uint32Array(model.symbols.length);
  let [wrong, wrongUnshifted] = [0, 0];
  for (let build = 0; build < count; build += stretch) {
    yield;
    const many = Math.min(stretch, count - build);
    maker.draw();
    if (isShifted) wrongUnshifted += reader.read(maker.values, many, false);
    wrong += reader.read(maker.values, many, true);
    for (let at = 0; at < many; at++) {
      if (!reader.wrong[at]) continue;
      reader.countSymbols(at, symbolFails);
      if (kept.length < studied) kept.push(maker.kept(at));
    }
  }
  const hopeless = new Set(model.hopeless.map((position) => model.symbolAt[position]));
  const share = (fails: number) => (count > 0 ? (count - fails) / count : 0);
  const costliest = yield* costliestOf(model, reader, kept);
  return {
    count,
    seed,
    readRight: hopeless.size > 0 ? 0 : share(wrong),
    ...(isShifted && { readRightWithoutShift: hopeless.size > 0 ? 0 : share(wrongUnshifted) }),
    bySymbol: Object.fromEntries(
      model.symbols.map((symbol, i) => [symbol, hopeless.has(i) ? 0 : share(symbolFails[i])]),
    ),
    ...(costliest !== undefined && { costliest }),
  };
}

/** One build by itself: where everything stands, and where it would were every gap as wide as the text says. */
interface KeptBuild {
  readonly values: Float64Array;
  readonly nominal: Float64Array;
}

/** Draws builds, a stretch at a time; everything in columns, one value for each build of the stretch. */
class Maker {
  /** A column for each seat. */
  readonly values: Float64Array;
  /** Where each seat lies in its gap, −1 to 1; first as they are drawn, 0 to 1. */
  private readonly within: Float64Array;
  /** A column for each gap. */
  private readonly widths: Float64Array;
  private readonly model: BuildModel;
  private readonly random: Random;

  constructor(model: BuildModel, seed: number) {
    this.model = model;
    this.random = new Random(seed);
    this.widths = new Float64Array(stretch * model.size.length);
    this.values = new Float64Array(stretch * model.seats.length);
    this.within = new Float64Array(stretch * model.seats.length);
  }

  draw(): void {
    const { size, sigma, seats } = this.model;
    const { widths, values, within, random } = this;
    random.normals(widths);
    for (let gap = 0; gap < size.length; gap++) {
      const [half, each, end] = [size[gap], sigma[gap], (gap + 1) * stretch];
      for (let i = gap * stretch; i < end; i++) widths[i] = half + each * widths[i];
    }
    random.uniforms(within);
    for (let seat = 0; seat < seats.length; seat++) {
      const { of, as } = seats[seat];
      const [column, width] = [seat * stretch, of * stretch];
      if (as === 'edge') {
        for (let i = 0; i < stretch; i++) values[column + i] = widths[width + i];
      } else if (as === 'line') {
        for (let i = 0; i < stretch; i++) within[column + i] = 2 * within[column + i] - 1;
        inGaps(values, within, widths, column, width);
      } else {
        const next = column + stretch;
        for (let i = 0; i < stretch; i++) {
          const far = within[column + i];
          const towards = 2 * Math.PI * within[next + i];
          within[column + i] = far * Math.cos(towards);
          within[next + i] = far * Math.sin(towards);
        }
        inGaps(values, within, widths, column, width);
        inGaps(values, within, widths, next, width);
        seat++;
      }
    }
  }

  kept(build: number): KeptBuild {
    const { size, seats } = this.model;
    const values = new Float64Array(seats.length);
    const nominal = new Float64Array(seats.length);
    for (let seat = 0; seat < seats.length; seat++) {
      const { of, as } = seats[seat];
      const at = seat * stretch + build;
      values[seat] = this.values[at];
      nominal[seat] = as === 'edge' ? values[seat] : size[of] * this.within[at];
    }
    return { values, nominal };
  }
}

/** A column of places from a column of shares and one of widths, none of them less than nothing. */
function inGaps(values: Float64Array, within: Float64Array, widths: Float64Array, column: number, width: number): void {
  for (let i = 0; i < stretch; i++) {
    const wide = widths[width + i];
    values[column + i] = wide > 0 ? wide * within[column + i] : 0;
  }
}

/** Reads builds: per cam first by the narrowest of all its positions, then, where that fails, position by position. */
class Reader {
  /** Of the stretch last read: the builds that fail, and at which positions. */
  readonly wrong = new Uint8Array(stretch);
  private readonly failing: Uint8Array;
  private readonly model: BuildModel;
  private readonly cams: readonly Compiled[];
  private readonly turns = new Float64Array(stretch);
  private readonly lifts = new Float64Array(stretch);
  private readonly failed: Uint8Array;

  constructor(model: BuildModel) {
    this.model = model;
    this.cams = model.cams.map(compiled);
    this.failing = new Uint8Array(stretch * model.symbolAt.length);
    this.failed = new Uint8Array(model.symbols.length);
  }

  /** How many of the first `many` builds in these columns are read wrong at some position. */
  read(values: Float64Array, many: number, shifted: boolean): number {
    const { wrong, turns, lifts } = this;
    wrong.fill(0);
    this.failing.fill(0);
    this.model.cams.forEach(({ turn, lift, lean, shift }, i) => {
      summed(turns, values, turn, many, shifted ? lean + shift : lean);
      summed(lifts, values, lift, many, 0);
      this.readCam(this.cams[i], many);
    });
    let fails = 0;
    for (let i = 0; i < many; i++) fails += wrong[i];
    return fails;
  }

  private readCam(cam: Compiled, many: number): void {
    const { turns, lifts } = this;
    const { least, most } = cam;
    const each = steps / 2 / cam.reach;
    for (let i = 0; i < many; i++) {
      const at = Math.min(steps, Math.max(0, turns[i] * each + steps / 2));
      const step = Math.min(steps - 1, Math.floor(at));
      const part = at - step;
      const lift = lifts[i];
      if (
        lift < least[step] + part * (least[step + 1] - least[step]) ||
        lift > most[step] + part * (most[step + 1] - most[step])
      ) {
        this.readPositions(cam, i, step, part, lift);
      }
    }
  }

  private readPositions({ lifts, low, high }: Compiled, build: number, step: number, part: number, beside: number) {
    const row = build * lifts.length;
    for (let position = 0; position < lifts.length; position++) {
      const table = lifts[position];
      const lift = table[step] + part * (table[step + 1] - table[step]) + beside;
      if (lift >= low[position] && lift <= high[position]) continue;
      this.failing[row + position] = 1;
      this.wrong[build] = 1;
    }
  }

  /** Counts each symbol of which some position fails in a build of the stretch last read. */
  countSymbols(build: number, fails: Uint32Array): void {
    const { symbolAt } = this.model;
    const row = build * symbolAt.length;
    this.failed.fill(0);
    for (let position = 0; position < symbolAt.length; position++) {
      const symbol = symbolAt[position];
      if (!this.failing[row + position] || this.failed[symbol]) continue;
      this.failed[symbol] = 1;
      fails[symbol]++;
    }
  }
}

/** Sums columns, each by its coefficient. */
function summed(
  into: Float64Array,
  values: Float64Array,
  terms: readonly (readonly [seat: number, coefficient: number])[],
  many: number,
  start: number,
): void {
  into.fill(start);
  for (const [seat, each] of terms) {
    const column = seat * stretch;
    for (let i = 0; i < many; i++) into[i] += each * values[column + i];
  }
}

interface Compiled {
  readonly reach: number;
  readonly lifts: readonly Float64Array[];
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Least and most lift beside its place at which all positions are read right, over the turn. */
  readonly least: Float64Array;
  readonly most: Float64Array;
}

function compiled({ reach, lifts, low, high }: CamModel): Compiled {
  const over = Array.from({ length: steps + 1 }, (_, i) => i);
  return {
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
  kept: readonly KeptBuild[],
): Generator<void, string | undefined> {
  let best: { words: string; saved: number } | undefined;
  const columns = new Float64Array(stretch * seats.length);
  for (const { words, seats: theirs, gaps } of causes) {
    let saved = 0;
    for (let from = 0; from < kept.length; from += stretch) {
      yield;
      const some = kept.slice(from, from + stretch);
      seats.forEach(({ of }, seat) => {
        const [none, narrowed] = [theirs.includes(seat), gaps.includes(of)];
        some.forEach(({ values, nominal }, i) => {
          columns[seat * stretch + i] = none ? 0 : (narrowed ? nominal : values)[seat];
        });
      });
      saved += some.length - reader.read(columns, some.length, true);
    }
    if (saved > (best?.saved ?? 0)) best = { words, saved };
  }
  return best?.words;
}
