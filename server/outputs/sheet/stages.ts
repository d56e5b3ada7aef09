/**
 * The stages in which a numeral is put together: the reckoned order cut where something can be tried, and what to try
 * there. A stage of bars ends where every cam that is on has its bar. Into a frame gears go after the bars, which are
 * tried once the last of them is in.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { Figures, StepFigure } from '../../reckon/figures.ts';
import type { Placement } from '../../reckon/parts/assembly.ts';
import type { PrintedPart, Seat } from '../../reckon/parts/part.ts';

/** One part that goes in. */
export interface Step extends Placement {
  readonly kind: PrintedPart['kind'];
  readonly at: Seat;
  /** How many seats its part has. */
  readonly of: number;
}

/** What the bars that are in do in one step, as the build runs. */
export interface Seen {
  readonly from: string;
  readonly to: string;
  readonly rising: readonly string[];
  readonly falling: readonly string[];
  /** Of the bars that are in, those that stand raised after it. */
  readonly raised: readonly string[];
}

export interface Stage {
  readonly kind: 'train' | 'bars' | 'close';
  readonly steps: readonly Step[];
  /** Cams and bars of this stage. */
  readonly cams: readonly string[];
  readonly bars: readonly string[];
  /** Bars that the shafts can be made to move now: those of the stage, and of stages before its gears were in. */
  readonly tries: readonly string[];
  /** From home, until each bar that is tried has moved, or once round. */
  readonly seen: readonly Seen[];
  /** Bars that are in and stand raised at home. */
  readonly raisedAtHome: readonly string[];
}

export function stagesOf(m: Mechanism, figures: Figures, parts: readonly PrintedPart[]): Stage[] {
  const steps = (figures.assembly?.order ?? []).map((placement): Step => {
    const part = parts.find(({ name }) => name === placement.part)!;
    return { ...placement, kind: part.kind, at: part.seats[placement.seat], of: part.seats.length };
  });
  const barsOf = new Map(figures.cams.map(({ name, segments }) => [name, segments]));
  const barred = new Set(steps.filter(({ kind }) => kind === 'bar').map(({ part }) => part));
  const stages: Stage[] = [];
  const inPlace: string[] = [];
  let current: Step[] = [];
  let untried: string[] = [];
  const end = (kind: Stage['kind'], geared = true) => {
    if (current.length === 0) return;
    const cams = current.filter((step) => step.kind === 'cam').map(({ part }) => part);
    const bars = current.filter((step) => step.kind === 'bar').flatMap(({ part }) => pieceWith(figures, part));
    inPlace.push(...bars);
    const tries = geared ? [...untried, ...bars] : [];
    untried = geared ? [] : [...untried, ...bars];
    stages.push({ kind, steps: current, cams, bars, tries, ...tried(m, figures, inPlace, tries) });
    current = [];
  };
  /** Bars that are in without their cam, or the other way about; and bars whose cam is on. */
  const waiting = new Set<string>();
  const on = new Set<string>();
  const meet = (bar: string, both: boolean) => (both ? waiting.delete(bar) : waiting.add(bar));
  for (const [i, step] of steps.entries()) {
    const moves = step.kind === 'cam' || step.kind === 'bar';
    if (moves && stages.length === 0 && waiting.size === 0 && !current.some(({ kind }) => kind === 'cam')) end('train');
    current.push(step);
    const [bar] = step.kind === 'cam' ? (barsOf.get(step.part) ?? []) : [];
    if (bar !== undefined && barred.has(bar))
      meet(bar, inPlace.includes(bar) || current.some(({ part }) => part === bar));
    if (step.kind === 'bar') meet(step.part, !m.frame || on.has(step.part));
    if (bar !== undefined) on.add(bar);
    const geared = !m.frame || !steps.slice(i + 1).some(({ kind }) => kind === 'gear');
    const more = steps.slice(i + 1).some(({ kind }) => kind === 'cam' || kind === 'bar');
    const paired = step.kind === (m.frame ? 'cam' : 'bar') && waiting.size === 0;
    if (paired && !sharesLevel(figures, step, steps[i + 1])) end('bars', geared);
    else if (!more && moves) end('bars', geared);
    else if (m.frame && step.kind === 'gear' && geared) end('train');
  }
  end(stages.length === 0 ? 'train' : 'close');
  return stages;
}

/** All bars of the piece that goes by the name of its first. */
const pieceWith = ({ cams }: Figures, bar: string): readonly string[] =>
  cams.find(({ segments }) => segments[0] === bar)?.segments ?? [bar];

/** Whether what comes next works at the level of this bar or cam, so that both are tried together. */
function sharesLevel(figures: Figures, step: Step, next: Step | undefined): boolean {
  const level = levelOf(figures, step);
  return level !== undefined && level === levelOf(figures, next);
}

function levelOf({ stack: { followers, parts } }: Figures, step: Step | undefined): number | undefined {
  if (step?.kind === 'bar') return followers.find(({ segment }) => segment === step.part)?.level;
  if (step?.kind !== 'cam') return undefined;
  return parts.find(({ kind, name }) => kind === 'cam' && name === step.part)?.level;
}

/** What the bars that are in do from home on; `bars` are those that are to be seen moving. */
function tried(m: Mechanism, figures: Figures, all: readonly string[], bars: readonly string[]) {
  const reverse = m.runs.value === 'reverse';
  const steps = reverse ? [...figures.steps].reverse().map(backwards) : figures.steps;
  const here = (names: readonly string[]) => names.filter((name) => all.includes(name));
  const raised = new Set(here(raisedAt(figures, 0)));
  const raisedAtHome = [...raised];
  const unseen = new Set(bars);
  const seen: Seen[] = [];
  for (const { from, to, rising, falling } of steps) {
    if (unseen.size === 0) break;
    const [up, down] = [here(rising), here(falling)];
    for (const name of up) raised.add(name);
    for (const name of down) raised.delete(name);
    for (const name of [...up, ...down]) unseen.delete(name);
    seen.push({ from, to, rising: up, falling: down, raised: all.filter((name) => raised.has(name)) });
  }
  return { seen, raisedAtHome };
}

const backwards = ({ from, to, rising, falling, ...step }: StepFigure): StepFigure => ({
  ...step,
  from: to,
  to: from,
  rising: falling,
  falling: rising,
});

/** Followers that stand nearer to raised than to lowered at a rest position. */
const raisedAt = ({ positions, cams }: Figures, index: number): string[] =>
  (positions[index]?.bars ?? []).flatMap(({ segment, lift }) => {
    const stroke = cams.find(({ segments }) => segments.includes(segment))?.lift.stroke ?? 0;
    return lift > stroke / 2 ? [segment] : [];
  });
