/** What a builder has to know of one mechanism, as plain data: what to print and buy, how it stands, how it goes together. */
import type { Finding, Mechanism, Sense } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { Figures } from '../../reckon/figures.ts';
import { coilSizeOf } from '../../reckon/force/coil-size.ts';
import { type RubFigure, rubsOf } from '../../reckon/force/rubs.ts';
import type { Deadlock } from '../../reckon/parts/assembly.ts';
import { type LargePart, largePartsOf } from '../../reckon/parts/bed.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { type BoughtPart, partsOf, processesOf } from '../../reckon/parts/parts.ts';
import type { UnreckonedPart } from '../../reckon/shape/bodies.ts';
import type { StackedPart } from '../../reckon/shape/stack.ts';
import { type View, viewOf } from '../chart/view.ts';
import { type LaidBed, laidOut } from '../parts/beds.ts';
import { type Print, printsOf } from './prints.ts';
import { type Route, routesOf } from './route.tsx';
import { type Stage, stagesOf } from './stages.ts';

export interface Sheet {
  readonly view: View;
  readonly parts: readonly PrintedPart[];
  readonly errors: readonly Finding[];
  readonly prints: readonly Print[];
  /** As export lays them. */
  readonly beds: readonly LaidBed[];
  readonly large: readonly LargePart[];
  readonly bought: readonly BoughtPart[];
  /** Parts of which no shape is made, and marks that find no room on their part. */
  readonly unmade: readonly UnreckonedPart[];
  readonly unmarked: readonly UnreckonedPart[];
  readonly stacks: readonly ShaftStack[];
  readonly stages: readonly Stage[];
  readonly deadlocks: readonly Deadlock[];
  readonly springs: readonly FittedSpring[];
  readonly routes: readonly Route[];
  readonly grease: readonly Greased[];
  readonly steps: readonly WorkedStep[];
}

/** What is stacked on one shaft, from the face backwards. */
export interface ShaftStack {
  readonly shaft: string;
  readonly parts: readonly Stacked[];
}

export interface Stacked extends StackedPart {
  /** Of a cam: how thick its flange is, which lies behind it, mm. */
  readonly flange?: number;
  /** Turns by which it goes on too, and is then another part, rad; whether it does turned over. */
  readonly wrongTurns: readonly number[];
  readonly wrongOver: boolean;
}

export interface FittedSpring {
  readonly name: string;
  readonly bars: readonly string[];
  /** N/mm, N; lowered is the preload, raised that of the longest stroke. */
  readonly rate?: number;
  readonly lowered?: number;
  readonly raised?: number;
  /** Of a described coil, or of one that a frame is laid out for: how long it is free, lowered and raised, mm. */
  readonly lengths?: { readonly free: number; readonly lowered: number; readonly raised: number };
}

export interface Greased extends RubFigure {
  /** Of all friction work, 0 to 1. */
  readonly share: number;
}

/** One step as the build runs, with what findings reckon of it. */
export interface WorkedStep {
  readonly from: string;
  readonly to: string;
  /** N·mm at the leading shaft; N at the push. */
  readonly torque?: number;
  readonly push?: number;
  /** The falling bar with the least to spare: return force over what hinders it. */
  readonly slackest?: { readonly bar: string; readonly ratio: number };
}

/** Of a mechanism reckoned finely. */
export function sheetOf(reckoned: Reckoned): Sheet {
  const { mechanism: m, figures, findings } = reckoned;
  const view = viewOf(reckoned);
  const { parts, bought, missing, unmarked } = partsOf(m, figures, figures.stack);
  const beds = laidOut(parts, processesOf(m));
  const rubs = rubsOf(m, figures);
  const whole = rubs.reduce((sum, { work }) => sum + work, 0);
  return {
    view,
    parts,
    errors: findings.filter(({ severity, accepted }) => severity === 'error' && accepted === undefined),
    prints: printsOf(m, parts, beds),
    beds,
    large: largePartsOf(m, parts),
    bought,
    unmade: missing,
    unmarked,
    stacks: stacksOf(m, figures),
    stages: stagesOf(m, figures, parts),
    deadlocks: figures.assembly?.deadlocks ?? [],
    springs: springsIn(m, figures),
    routes: routesOf(view),
    grease: rubs.map((rub) => ({ ...rub, share: rub.work / whole })),
    steps: stepsOf(m, figures),
  };
}

function stacksOf(m: Mechanism, { stack, keyed }: Figures): ShaftStack[] {
  return m.shafts.flatMap(({ name: shaft }) => {
    const here = stack.parts.filter((part) => part.shaft === shaft && part.kind !== 'shaft');
    const parts = here
      .filter(({ kind }) => kind !== 'flange')
      .map((part): Stacked => {
        const flange = here.find((one) => one.kind === 'flange' && one.name === part.name);
        const ways = keyed.parts.find(({ kind, name }) => kind === part.kind && name === part.name);
        return {
          ...part,
          ...(flange && part.kind === 'cam' && { to: flange.to, flange: flange.to - flange.from }),
          wrongTurns: ways?.wrongTurns ?? [],
          wrongOver: (ways?.wrongFlips.length ?? 0) > 0,
        };
      });
    return parts.length > 0 ? [{ shaft, parts }] : [];
  });
}

function springsIn(m: Mechanism, figures: Figures): FittedSpring[] {
  return m.springs.map((spring) => {
    const { name, returns, free } = spring;
    const figure = figures.springs.find((one) => one.name === name);
    const bars = returns.map((segment) => segment.name);
    if (!figure) return { name, bars };
    const { rate, lowered, raised, coil } = figure;
    const laidOut = m.frame || (coil && free) ? coilSizeOf(m, spring) : undefined;
    const size = laidOut && !('because' in laidOut) ? laidOut : undefined;
    return {
      name,
      bars,
      rate,
      ...(lowered !== undefined && { lowered }),
      ...(raised !== undefined && { raised }),
      ...(size && { lengths: { free: size.free, lowered: size.lowered, raised: size.raised } }),
    };
  });
}

function stepsOf(m: Mechanism, figures: Figures): WorkedStep[] {
  const direction = m.runs.value === 'reverse' ? 'reverse' : 'forward';
  const used = figures.forces.cases.find((one) => one.usedByFindings && one.direction === direction);
  const steps = figures.steps.map(({ index, from, to }): WorkedStep => {
    const [start, end] = direction === 'forward' ? [from, to] : [to, from];
    const force = used?.steps.find((one) => one.index === index);
    return {
      from: start,
      to: end,
      ...(force?.peakTorque !== undefined && { torque: force.peakTorque }),
      ...(force?.peakPush !== undefined && { push: force.peakPush }),
      ...(force?.returnMargin && { slackest: { bar: force.returnMargin.segment, ratio: force.returnMargin.ratio } }),
    };
  });
  return direction === 'forward' ? steps : steps.reverse();
}

/** The sense in which a shaft turns as the build runs. */
export const senseOf = (
  { mechanism: { runs }, figures: { shafts } }: View,
  name: string | undefined,
): Sense | undefined => {
  const turns = shafts.find((shaft) => shaft.name === name)?.turns;
  if (!turns || runs.value !== 'reverse') return turns;
  return turns === 'clockwise' ? 'counterclockwise' : 'clockwise';
};
