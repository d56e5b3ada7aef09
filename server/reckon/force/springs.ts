/** Return springs: what their rate is, by statement or by their coil, and how hard they work. */
import type { Mechanism, Spring } from '../../../language/mechanism.ts';
import { type Told, want } from '../missing.ts';
import type { Unreckoned } from '../shape/keys.ts';
import { type CoilAtWork, type CoilFigure, coilAtWork, coilFigure, usualShearModulus } from './coils.ts';

export interface SpringFigure {
  readonly name: string;
  /** N/mm: that of the coil where it is described, else as stated. */
  readonly rate: number;
  /** Force, N, lowered; absent where no preload is given. */
  readonly lowered?: number;
  /** Force, N, at the end of the longest stroke of those it returns. */
  readonly raised?: number;
  readonly coil?: CoilFigure;
  /** The coil at that greatest force. */
  readonly work?: CoilAtWork;
}

export function springsOf(m: Mechanism): SpringFigure[] {
  return m.springs.flatMap((spring) => {
    const coil = coilOf(spring);
    const rate = coil?.rate ?? spring.rate?.value;
    if (rate === undefined) return [];
    const lowered = spring.preload?.value;
    const stroke = longestStroke(m, spring);
    const both = lowered !== undefined && stroke !== undefined;
    return [
      {
        name: spring.name,
        rate,
        ...(lowered !== undefined && { lowered }),
        ...(both && { raised: lowered + rate * stroke }),
        ...(coil && { coil }),
        ...(coil && both && { work: coilAtWork(coil, spring, lowered, stroke) }),
      },
    ];
  });
}

function coilOf(spring: Spring): CoilFigure | undefined {
  const figure = coilFigure(spring);
  return 'because' in figure ? undefined : figure;
}

/** Why a coil that is described with all its sizes is none. */
export function flawOf(spring: Spring): Unreckoned | undefined {
  const figure = isWholeCoil(spring) ? coilFigure(spring) : undefined;
  return figure && 'because' in figure ? figure : undefined;
}

/** Of the working deflection, what should be left to solid (Shigley §10-7; EN 13906-1 asks for the like). */
export const leastReserve = 0.15;

/** The least free length, mm, at which a whole coil works with its reserve (or, of an extension spring, can be wound). */
export function leastFree(m: Mechanism, spring: Spring): number | undefined {
  const coil = coilOf({ ...spring, free: undefined });
  const work = coil && coilAtWork(coil, spring, spring.preload?.value ?? 0, longestStroke(m, spring) ?? 0);
  if (!coil || !work) return undefined;
  return coil.solid + (coil.kind === 'compression' ? (1 + leastReserve) * work.deflection : 0);
}

export function longestStroke({ segments }: Mechanism, { returns }: Spring): number | undefined {
  const names = new Set(returns.map(({ name }) => name));
  const strokes = segments.flatMap(({ name, stroke }) => (stroke && names.has(name) ? [stroke.value] : []));
  return strokes.length ? Math.max(...strokes) : undefined;
}

export const isWholeCoil = ({ coil, wire, mean, turns }: Spring): boolean => Boolean(coil && wire && mean && turns);
export const isCoil = ({ coil, wire, mean, turns }: Spring): boolean => Boolean(coil || wire || mean || turns);

/** What springs lack, and the shear modulus where none is given. */
export function tellSprings(m: Mechanism, told: Told): void {
  for (const spring of m.springs) {
    if (isCoil(spring)) {
      for (const property of ['coil', 'wire', 'mean', 'turns'] as const) {
        if (!spring[property]) want(told, spring, `the rate of ${spring.name} by its coil`, property);
      }
      if (isWholeCoil(spring) && !spring.modulus) {
        told.defaults.push({
          of: `${spring.name}.modulus`,
          value: `${usualShearModulus / 1000} GPa`,
          because: 'the shear modulus of spring wire to EN 10270-1',
        });
      }
    } else if (!spring.rate) want(told, spring, 'return forces', 'rate');
    if (!spring.preload) want(told, spring, 'return forces', 'preload');
  }
}
