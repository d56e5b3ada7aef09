/** The parts of a mechanism as its figures list them. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { StackFigure } from '../shape/stack.ts';
import { fingerprintOf, labelsOf } from './fingerprint.ts';
import type { PartKind } from './part.ts';
import { partsInSteps } from './parts.ts';

export interface PartFigure {
  readonly name: string;
  /** Of a bought part its name says what it is. */
  readonly kind: PartKind | 'bought';
  readonly count: number;
  readonly made: 'printed' | 'bought';
  /** Hashes of a printed part's shape, and of what is engraved on it. */
  readonly fingerprint?: string;
  readonly labels?: string;
}

/** Pauses often. */
export function* partFiguresOf(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
): Generator<void, PartFigure[]> {
  const { parts, bought } = yield* partsInSteps(m, figures, stack);
  return [
    ...parts.map((part) => ({
      name: part.name,
      kind: part.kind,
      count: part.seats.length,
      made: 'printed' as const,
      fingerprint: fingerprintOf(part),
      labels: labelsOf(part),
    })),
    ...bought.map(({ what, count }) => ({ name: what, kind: 'bought' as const, count, made: 'bought' as const })),
  ];
}
