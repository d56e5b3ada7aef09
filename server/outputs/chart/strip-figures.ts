/**
 * What the strips under the rows show of every step and rest: the push, what the returns have to spare, the play
 * against the rest margin. Reckoned once for the figures; as the pointer moves it is only read.
 */
import type { Figures } from '../../reckon/figures.ts';
import { momentAt, torquesAt } from '../../reckon/force/courses.ts';
import { type Direction, forceModel } from '../../reckon/force/model.ts';
import { pushAt, type StepForce } from '../../reckon/force/steps.ts';
import { marginsAtRests } from '../../reckon/tolerance/margins.ts';
import { shiftOn } from '../../reckon/tolerance/play.ts';
import { flanksAcross } from './curve.ts';
import { restAt, symbolAt, type View } from './view.ts';
import { deg, listed, plain } from './words.ts';

/** A moment of the push: infinite while a bar jams. */
export interface PushPoint {
  readonly across: number;
  readonly total: number;
  /** Of every piece, in the order of `PushFigure.pieces`. */
  readonly parts: readonly number[];
}

export interface PushedStep {
  /** It leads from this rest across to the next. */
  readonly across: number;
  readonly peak: number;
  readonly peakAt: number;
  readonly least: number;
  readonly leastAt: number;
  /** Torque with which falling bars drive the leading shaft on, N·mm; 0 where they don't. */
  readonly drives: number;
  /** What each bar takes at the peak, the greatest first; below 0 it drives. */
  readonly shares: readonly Share[];
  readonly rising: readonly string[];
  readonly jammed: readonly string[];
}

export interface Share {
  readonly segment: string;
  readonly value: number;
}

export interface PushFigure {
  /** N at the push's pin, else N·mm at the leading shaft. */
  readonly unit: 'N' | 'N·mm';
  readonly at: string;
  readonly limit?: number;
  /** Segments that ride, one a cam. */
  readonly pieces: readonly string[];
  readonly points: readonly PushPoint[];
  readonly steps: readonly PushedStep[];
  /** Of a design that runs either way: the hardest step of the other way, which is not drawn. */
  readonly back?: PushedBack;
}

/** A step back from one symbol to another; without a peak it locks. */
export interface PushedBack {
  readonly from: string;
  readonly to: string;
  readonly peak?: number;
}

export interface ReturnStep {
  readonly across: number;
  /** Return force over what hinders it; absent where no bar falls. */
  readonly ratio?: number;
  readonly segment?: string;
}

export interface ReturnFigure {
  readonly limit: number;
  readonly steps: readonly ReturnStep[];
}

/** The cam that has the least room at a rest, rad; shares of its margin. */
export interface PlayedRest {
  readonly across: number;
  readonly cam: string;
  readonly margin: number;
  readonly rss: number;
  readonly worst: number;
  readonly share: number;
  readonly worstShare: number;
}

export interface StripFigures {
  readonly push?: PushFigure;
  readonly returns?: ReturnFigure;
  /** Rests at which something is read otherwise within a turn, and something plays. */
  readonly play?: readonly PlayedRest[];
  /** Why push and return are not reckoned. */
  readonly missing?: string;
}

const known = new WeakMap<Figures, StripFigures>();

export function stripFigures(view: View): StripFigures {
  const made = known.get(view.figures) ?? make(view);
  known.set(view.figures, made);
  return made;
}

function make(view: View): StripFigures {
  if (view.rests < 2 || view.rows.length === 0) return {};
  const push = pushOf(view);
  const play = playOf(view);
  return {
    ...(push ? { push, returns: returnsOf(view) } : { missing: missingOf(view) }),
    ...(play.length > 0 && { play }),
  };
}

function missingOf({ figures: { missing }, rows }: View): string {
  const own = missing.filter(({ figure }) => figure === 'push and return').map(({ wants }) => wants);
  const wants = own.length > 0 ? own : [...new Set(rows.flatMap((row) => row.wants))];
  return `push and return are not reckoned${wants.length > 0 ? `: give ${wants.slice(0, 3).join(', ')}` : ' yet'}`;
}

// ---- push and return ----------------------------------------------------------------------

const directionOf = ({ direction }: Pick<View, 'direction'>): Direction => (direction === 1 ? 'forward' : 'reverse');

/** The case that the chart draws: the friction as assembled, in the sense in which its axis runs. */
const caseOf = (view: Pick<View, 'figures' | 'direction'>) =>
  view.figures.forces.cases.find(({ usedByFindings, direction }) => usedByFindings && direction === directionOf(view));

/** The step that begins at this rest across, by its own index. */
const stepAt = (view: View, across: number): number => restAt(view, view.direction === 1 ? across : across + 1);

/** Even moments at which a step is drawn, and the most of all. */
const looks = 24;
const mostLooks = 4000;

function pushOf(view: View): PushFigure | undefined {
  const { mechanism, figures, rests, direction } = view;
  const forces = caseOf(view);
  const model = forces && forceModel(mechanism, figures, { defaults: [], missing: [] });
  if (!forces || !model) return undefined;
  const [push] = mechanism.pushes;
  const scaled = (torque: number, share: number) => (push ? pushAt(push, figures, torque, share) : torque);
  const atPin = push !== undefined && scaled(1, 0) !== undefined && scaled(1, 1) !== undefined;
  const pointAt = (across: number, first: number): PushPoint => {
    const torques = torquesAt(model, momentAt(model, direction * across), forces.friction, forces.direction);
    const parts = atPin ? torques.map((torque) => scaled(torque, across - first)!) : torques;
    return { across, parts, total: parts.reduce((sum, part) => sum + part, 0) };
  };
  const pieces = model.pieces.map(({ segment }) => segment);
  const edges = edgesAcross(view);
  const each = Math.max(4, Math.min(looks, Math.floor(mostLooks / rests)));
  const points: PushPoint[] = [];
  const steps = Array.from({ length: rests }, (_, first): PushedStep => {
    const even = Array.from({ length: each + 1 }, (_, i) => first + i / each);
    const own = [...even, ...edges.filter((at) => at > first && at < first + 1)]
      .sort((one, other) => one - other)
      .map((across) => pointAt(across, first));
    points.push(...own);
    const most = own.reduce((best, point) => (point.total > best.total ? point : best));
    const least = own.reduce((best, point) => (point.total < best.total ? point : best));
    const index = stepAt(view, first);
    const { rising, falling } = figures.steps[index]!;
    const { jammed, leastTorque = 0 } = forces.steps[index]!;
    return {
      across: first,
      peak: most.total,
      peakAt: jammed.length > 0 ? first + 0.5 : most.across,
      least: least.total,
      leastAt: least.across,
      drives: Math.max(0, -leastTorque),
      shares: pieces
        .map((segment, i) => ({ segment, value: most.parts[i]! }))
        .filter(({ value }) => Math.abs(value) > 1e-9)
        .sort((one, other) => other.value - one.value),
      rising: direction === 1 ? rising : falling,
      jammed,
    };
  });
  return {
    unit: atPin ? 'N' : 'N·mm',
    at: atPin ? push.name : (figures.leading ?? 'the leading shaft'),
    ...(atPin && mechanism.limits.push && { limit: mechanism.limits.push.value }),
    pieces,
    points,
    steps,
    ...backOf(view, atPin),
  };
}

function backOf({ figures }: View, atPin: boolean): Pick<PushFigure, 'back'> {
  const steps = figures.forces.cases.find((one) => one.usedByFindings && one.direction === 'reverse')?.steps ?? [];
  const peakOf = ({ jammed, peakPush, peakTorque }: StepForce) =>
    jammed.length > 0 ? Infinity : ((atPin ? peakPush : peakTorque) ?? 0);
  const worst = first(steps, peakOf);
  if (!worst || !figures.forces.cases.some((one) => one.usedByFindings && one.direction === 'forward')) return {};
  const { positions } = figures;
  const symbol = (index: number): string => positions[index % positions.length]!.symbol.trim() || '␣';
  const peak = peakOf(worst);
  return { back: { from: symbol(worst.index + 1), to: symbol(worst.index), ...(peak < Infinity && { peak }) } };
}

/** Moments beside the ends of flanks stand this much within and without them, in steps: friction turns about there. */
const beside = 1e-6;

function edgesAcross(view: View): number[] {
  const flanks = view.rows.flatMap(({ figure }) => (figure ? flanksAcross(view, figure) : []));
  if (flanks.length > mostLooks) return [];
  const ends = [...new Set(flanks.flatMap(({ from, to }) => [from, to]).map((at) => Math.round(at * 1e9) / 1e9))];
  return ends.flatMap((at) => [at - view.rests, at]).flatMap((at) => [at - beside, at + beside]);
}

function returnsOf(view: View): ReturnFigure {
  const forces = caseOf(view)!;
  return {
    limit: view.mechanism.limits.return.value,
    steps: Array.from({ length: view.rests }, (_, across): ReturnStep => {
      const margin = forces.steps[stepAt(view, across)]?.returnMargin;
      return margin ? { across, ratio: margin.back / margin.hindrance, segment: margin.segment } : { across };
    }),
  };
}

// ---- play -------------------------------------------------------------------------------------

/** Beyond so many rests each is told by the least margin of its cam. */
const manyRests = 360;

function playOf(view: View): PlayedRest[] {
  const { mechanism, figures, rests, direction } = view;
  const rooms = figures.cams.flatMap((cam) => {
    const error = cam.restError;
    const segments = mechanism.segments.filter(({ name }) => cam.segments.includes(name));
    if (!error?.from.length || cam.restMargin === undefined) return [];
    const { restMargins } = cam;
    const turns =
      rests > manyRests && restMargins ? cam.rests.map(() => restMargins) : marginsAtRests(mechanism, cam, segments);
    return [{ cam, error, turns, shift: shiftOn(cam, figures, figures.forwardRest) }];
  });
  return Array.from({ length: rests }, (_, across) => {
    let tightest: PlayedRest | undefined;
    for (const { cam, error, shift, turns } of rooms) {
      const { forward, backward } = turns[restAt(view, across)] ?? { forward: Infinity, backward: Infinity };
      const ahead = direction === 1 ? forward : backward;
      const margin = Math.min(forward, backward);
      // Rounded, so that rests that are alike stay so.
      const shareOf = (spread: number) => Math.round(1e9 * Math.max(spread / margin, (shift + spread) / ahead)) / 1e9;
      const share = shareOf(error.rss);
      if (!(share > (tightest?.share ?? 0))) continue;
      const { rss, worst } = error;
      tightest = { across, cam: cam.name, margin, rss, worst, share, worstShare: shareOf(worst) };
    }
    return tightest;
  }).filter((rest) => rest !== undefined);
}

// ---- ranks and words ---------------------------------------------------------------------------

/** The best of all by a measure; the first of those that are alike. */
export function first<One>(all: readonly One[], measure: (one: One) => number): One | undefined {
  return all.reduce<One | undefined>(
    (best, one) => (best === undefined || measure(one) > measure(best) + 1e-9 ? one : best),
    undefined,
  );
}

/** The step that takes the most push, jammed ones left out. */
export const hardest = ({ steps }: PushFigure): PushedStep | undefined =>
  first(
    steps.filter(({ jammed }) => jammed.length === 0),
    ({ peak }) => peak,
  );

/** The step whose falling bars drive the train on the most. */
export const mostDriven = ({ steps }: PushFigure): PushedStep | undefined =>
  first(
    steps.filter(({ drives }) => drives > 1e-6),
    ({ drives }) => drives,
  );

export const slackest = ({ steps }: ReturnFigure): ReturnStep | undefined =>
  first(
    steps.filter(({ ratio }) => ratio !== undefined),
    ({ ratio }) => -ratio!,
  );

export const tightest = (play: readonly PlayedRest[]): PlayedRest | undefined => first(play, ({ share }) => share);

/** Whether there is no first among them. */
export const alike = (values: readonly number[]): boolean =>
  values.length > 1 && Math.max(...values) - Math.min(...values) <= 1e-6;

const named = (view: View, across: number): string => symbolAt(view, across).trim() || '␣';

/** "7→8". */
export const stepName = (view: View, across: number): string => `${named(view, across)}→${named(view, across + 1)}`;

/** The push at a moment: straight between the points that are known. */
export function pushAcross({ points }: PushFigure, across: number): PushPoint {
  let [low, high] = [0, points.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (points[middle]!.across <= across) low = middle;
    else high = middle;
  }
  const [from, to] = [points[low]!, points[high]!];
  const gone = to.across > from.across ? (across - from.across) / (to.across - from.across) : 0;
  const between = (one: number, other: number) => (gone === 0 ? one : gone === 1 ? other : one + gone * (other - one));
  return {
    across,
    total: between(from.total, to.total),
    parts: from.parts.map((part, i) => between(part, to.parts[i]!)),
  };
}

/** "7.2 N", "101 N·mm". */
export const pushText = ({ unit }: Pick<PushFigure, 'unit'>, value: number): string =>
  `${Number.isFinite(value) ? plain(value, unit === 'N' ? 1 : 0) : '∞'} ${unit}`;

/** "back: 8.2 N · 7→6". */
export const backText = ({ unit }: Pick<PushFigure, 'unit'>, { from, to, peak }: PushedBack): string =>
  `back: ${peak === undefined ? 'locks' : pushText({ unit }, peak)} · ${from}→${to}`;

export const ratioText = (ratio: number): string => (ratio === Infinity ? '∞' : plain(ratio, ratio < 10 ? 1 : 0));

// ---- a moment ------------------------------------------------------------------------------------

/** The step that the pointer is in; none at a rest. */
const stepOver = (across: number): number | undefined => (Number.isInteger(across) ? undefined : Math.floor(across));

/** Number of the rest nearest to the pointer, home at both ends. */
const nearestRest = ({ rests }: View, across: number): number => Math.round(across) % rests;

/** What a strip is at a moment: a value, and what it is made of. */
export function pushAtMoment(push: PushFigure, across: number): [string, string] {
  const step = push.steps[stepOver(across) ?? -1];
  const { total, parts } = pushAcross(push, across);
  if (!Number.isFinite(total)) return ['locks', step ? step.jammed.join(' ') : ''];
  const least = push.unit === 'N' ? 0.05 : 0.5;
  const shares = parts
    .map((value, i) => ({ value, segment: push.pieces[i]! }))
    .filter(({ value }) => Math.abs(value) >= least)
    .sort((one, other) => other.value - one.value)
    .map(({ value, segment }) => `${segment} ${plain(value, push.unit === 'N' ? 1 : 0)}`);
  return [pushText(push, total), shares.join(' · ')];
}

export function returnAtMoment({ steps }: ReturnFigure, across: number): [string, string] {
  const over = stepOver(across);
  if (over === undefined) return ['', ''];
  const { ratio, segment } = steps[over] ?? {};
  return ratio === undefined ? ['', 'no bar falls'] : [`${ratioText(ratio)} ×`, `least for ${segment}`];
}

export function playAtMoment(view: View, play: readonly PlayedRest[], across: number): [string, string] {
  const at = nearestRest(view, across);
  const rest = play.find((one) => one.across === at);
  if (!rest) return ['', ''];
  const { cam, rss, worst, margin } = rest;
  return [`${cam} ±${deg(rss)}`, `worst ±${deg(worst)}, of ${deg(margin)}`];
}

/** The strips at a moment, for those who hear them. */
export function forcesSentences(view: View, across: number): string[] {
  const { push, returns, play } = stripFigures(view);
  const ofReturn = returns ? returnAtMoment(returns, across) : [];
  const ofPlay = play ? playAtMoment(view, play, across) : [];
  return [
    ...(push ? [`push ${pushAtMoment(push, across)[0]}`] : []),
    ...(ofReturn.some(Boolean) ? [`return ${ofReturn.filter(Boolean).join(', ')}`] : []),
    ...(ofPlay[0] ? [`play ${ofPlay[0]}`] : []),
  ];
}

// ---- sentences -----------------------------------------------------------------------------------

/** A step's push for those who hear it, and at the mouse. */
export function pushSentence(view: View, push: PushFigure, step: PushedStep): string {
  const name = `step ${stepName(view, step.across)}`;
  if (step.jammed.length > 0) return `${name}: ${listed(step.jammed)} ${step.jammed.length > 1 ? 'lock' : 'locks'}`;
  const shares = step.shares
    .filter(({ value }) => Math.abs(value) > 0.01 * Math.abs(step.peak))
    .map(({ segment, value }) => `${segment} ${plain(value, push.unit === 'N' ? 1 : 0)}`);
  return [
    `${name}: at most ${pushText(push, step.peak)}`,
    ...(shares.length > 0 ? [`of which ${listed(shares)}`] : []),
    ...(step.drives > 1e-6 ? [`runs on with ${plain(step.drives, 0)} N·mm at the leading shaft`] : []),
    ...(push.limit !== undefined && step.peak > push.limit + 1e-9 ? ['past the limit'] : []),
  ].join('; ');
}

export const returnSentence = (view: View, { limit }: ReturnFigure, { across, ratio, segment }: ReturnStep): string =>
  `step ${stepName(view, across)}: ${
    ratio === undefined
      ? 'no bar falls'
      : `${segment} is drawn back with ${ratioText(ratio)} times what hinders it${ratio < limit - 1e-9 ? ', below the limit' : ''}`
  }`;

export const playSentence = (view: View, { across, cam, rss, worst, margin, share }: PlayedRest): string =>
  `rest ${symbolAt(view, across).trim() || 'blank'}: ${cam} rests within ±${deg(rss)} (±${deg(worst)} at worst), read right within ${deg(margin)}${
    share > 1 + 1e-9 ? '; past the margin' : ''
  }`;
