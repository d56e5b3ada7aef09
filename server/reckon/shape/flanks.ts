/** A lift flank by flank: what is greatest on each, and over the whole turn. Flanks alike are reckoned once. */
import type { Law } from '../../../language/mechanism.ts';
import type { Extreme, FollowedLift, Lobe, LobeFlank } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { type Motion, motion, stretches } from '../motion/laws.ts';
import { endOf, liftAt, startOf, tangled, wholeWidth } from '../motion/lift.ts';
import { Latest } from '../remembering.ts';
import { greatest } from './search.ts';

/**
 * A flank as it is followed: x grows from 0 where the follower is down. `sense` +1: rises counter-clockwise.
 * Where others overlap it, only the spans of x in which it is the higher one count.
 */
export interface Run {
  readonly law: Law;
  readonly width: number;
  readonly sense: 1 | -1;
  readonly spans: readonly (readonly [number, number])[];
}

/**
 * The two runs of every lobe (before, after); those alike are one object, so that they are reckoned once. `handed`: a
 * flank that rises counter-clockwise differs from its mirror image.
 */
export function runsOf(lift: FollowedLift, handed: boolean): Runs {
  const known = handed ? knownHanded : knownAlike;
  let runs = known.get(lift);
  if (!runs) {
    runs = runsAnew(lift, handed);
    known.set(lift, runs);
  }
  return runs;
}

type Runs = readonly (readonly [Run, Run])[];
const knownHanded = new WeakMap<FollowedLift, Runs>();
const knownAlike = new WeakMap<FollowedLift, Runs>();

function runsAnew(lift: FollowedLift, handed: boolean): Runs {
  const { lobes } = lift;
  const alike = { 1: new Map<LobeFlank, Run>(), [-1]: new Map<LobeFlank, Run>() };
  const free = (flank: LobeFlank, sense: 1 | -1): Run => {
    const side = handed ? sense : 1;
    let run = alike[side].get(flank);
    if (!run) {
      const width = wholeWidth(flank);
      run = { law: flank.law, width, sense: side, spans: [[0, flank.width / width]] };
      alike[side].set(flank, run);
    }
    return run;
  };
  const count = lobes.length;
  const almost = 1e-9;
  const touched = lobes.map((lobe, i) => {
    const next = lobes[(i + 1) % count];
    return endOf(lobe) > startOf(next) + (i + 1 === count ? turn : 0) + almost;
  });
  const deep = tangled(lobes);
  return lobes.map((lobe, i) => {
    const before = deep || touched[(i + count - 1) % count];
    const after = deep || touched[i];
    return [
      before ? overlain(lift, lobe, 1) : free(lobe.before, 1),
      after ? overlain(lift, lobe, -1) : free(lobe.after, -1),
    ] as const;
  });
}

/** The run of a flank that others overlap. */
function overlain(lift: FollowedLift, lobe: Lobe, sense: 1 | -1): Run {
  const flank = sense > 0 ? lobe.before : lobe.after;
  const width = wholeWidth(flank);
  const law = stretches(flank.law);
  const foot = sense > 0 ? startOf(lobe) : endOf(lobe);
  const highest = (x: number) =>
    lift.stroke * motion(law, x).lift >= liftAt(lift, foot + sense * x * width).lift - 1e-9 * lift.stroke;
  const end = flank.width / width;
  const samples = 128;
  const spans: [number, number][] = [];
  let since = highest(0) ? 0 : undefined;
  for (let i = 1; i <= samples; i++) {
    const x = (end * i) / samples;
    const now = highest(x);
    if (now === (since !== undefined)) continue;
    let [from, to] = [(end * (i - 1)) / samples, x];
    for (let j = 0; j < 40; j++) {
      const middle = (from + to) / 2;
      if (highest(middle) === now) to = middle;
      else from = middle;
    }
    if (since === undefined) since = to;
    else {
      spans.push([since, from]);
      since = undefined;
    }
  }
  if (since !== undefined) spans.push([since, end]);
  return { law: flank.law, width, sense, spans };
}

/** What is followed of a run, from joint to joint: from x … to x, with its motion there. */
function* smoothOn(run: Run, stroke: number): Generator<[from: number, to: number, at: (x: number) => Motion]> {
  const slope = (run.sense * stroke) / run.width;
  const curve = stroke / (run.width * run.width);
  for (const part of stretches(run.law)) {
    const motionAt = (x: number): Motion => {
      const at = part.at(x);
      return { lift: stroke * at.lift, slope: slope * at.slope, curve: curve * at.curve };
    };
    for (const [from, to] of run.spans) {
      const [a, b] = [Math.max(from, part.from), Math.min(to, part.to)];
      if (a <= b) yield [a, b, motionAt];
    }
  }
}

/** What is measured on a run. `told`: the same text stands for the same measure, with the same numbers in it. */
export interface Measure {
  readonly told: string;
  readonly of: (at: Motion) => number;
}

const latest = new Latest<{ readonly greatest: Extreme | undefined }>(1024);

/** The greatest of a measure over what is followed of a run, from either side of its joints; `at` is x. */
export function greatestOf(run: Run, stroke: number, { told, of }: Measure): Extreme | undefined {
  const key = `${told} ${stroke} ${run.width} ${run.sense} ${JSON.stringify([run.law, run.spans])}`;
  return (latest.get(key) ?? latest.keep(key, { greatest: greatestAnew(run, stroke, of) })).greatest;
}

function greatestAnew(run: Run, stroke: number, value: (at: Motion) => number): Extreme | undefined {
  let best: Extreme | undefined;
  for (const [from, to, at] of smoothOn(run, stroke)) {
    const peak = greatest((x) => value(at(x)), from, to);
    if (!best || peak.value > best.value) best = peak;
  }
  return best;
}

/** Whether something holds here and there on every flank: where it does not, there is no need to look closer. */
export function holdsHereAndThere(lift: FollowedLift, handed: boolean, holds: (at: Motion) => boolean): boolean {
  const places = 8;
  for (const run of new Set(runsOf(lift, handed).flat()))
    for (const [from, to, at] of smoothOn(run, lift.stroke))
      for (let i = 0; i <= places; i++) if (!holds(at(from + ((to - from) * i) / places))) return false;
  return true;
}

/** The greatest value of a measure over the whole turn, and on each flank of each lobe (before, after). */
export interface Survey {
  readonly most: Extreme;
  readonly flanks: readonly (readonly [number, number])[];
}

/** Surveys a lift for several measures at once; on a flank that others lie over entirely a measure is 0. */
export function survey(lift: FollowedLift, handed: boolean, measures: readonly Measure[]): readonly Survey[] {
  const runs = runsOf(lift, handed);
  const still = dwells(lift);
  return measures.map((measure): Survey => {
    const known = new Map<Run, Extreme | undefined>();
    const on = (run: Run): Extreme | undefined => {
      if (!known.has(run)) known.set(run, greatestOf(run, lift.stroke, measure));
      return known.get(run);
    };
    let most: Extreme = { value: -Infinity, at: 0 };
    const flanks = runs.map(([before, after], i) => {
      const lobe = lift.lobes[i];
      const [first, second] = [on(before), on(after)];
      if (first && first.value > most.value) most = { value: first.value, at: startOf(lobe) + first.at * before.width };
      if (second && second.value > most.value)
        most = { value: second.value, at: endOf(lobe) - second.at * after.width };
      return [first?.value ?? 0, second?.value ?? 0] as const;
    });
    for (const { lift: height, at } of still) {
      const value = measure.of({ lift: height, slope: 0, curve: 0 });
      if (value > most.value) most = { value, at };
    }
    return { most: { value: most.value, at: wrapped(most.at) }, flanks };
  });
}

/** Cam angles at which the followed lift is not smooth, ascending, with 0 and a whole turn. */
export function jointsOf(lift: FollowedLift): number[] {
  const found = lift.lobes.flatMap((lobe) => {
    const joints = (law: Law) => stretches(law).map((stretch) => stretch.to);
    const before = joints(lobe.before.law).map((x) => startOf(lobe) + x * wholeWidth(lobe.before));
    const after = joints(lobe.after.law).map((x) => endOf(lobe) - x * wholeWidth(lobe.after));
    return [startOf(lobe), lobe.from, lobe.to, endOf(lobe), ...before, ...after];
  });
  const corners = lift.cut?.corners.flatMap(({ from, to }) => [from, to]) ?? [];
  const sorted = Float64Array.from([0, turn, ...found.map(wrapped), ...corners.map(wrapped)]).sort();
  return Array.from(sorted.filter((angle, i) => i === 0 || angle - sorted[i - 1] > 4e-9));
}

/** The heights at which the follower stays for an angle, each with the middle of one such angle. */
function dwells(lift: FollowedLift): { lift: number; at: number }[] {
  const { lobes, stroke, always } = lift;
  if (lobes.length === 0) return [{ lift: always ? stroke : 0, at: 0 }];
  const almost = 1e-9;
  const raised = lobes.find((lobe) => lobe.to - lobe.from > almost);
  const gap = (lobe: Lobe, i: number) =>
    startOf(lobes[(i + 1) % lobes.length]) + (i + 1 === lobes.length ? turn : 0) - endOf(lobe);
  const last = lobes.findIndex((lobe, i) => gap(lobe, i) > almost);
  return [
    ...(last >= 0 ? [{ lift: 0, at: wrapped(endOf(lobes[last]) + gap(lobes[last], last) / 2) }] : []),
    ...(raised ? [{ lift: stroke, at: wrapped((raised.from + raised.to) / 2) }] : []),
  ];
}
