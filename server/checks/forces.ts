/** What the checks of forces share. */
import type { Figures } from '../reckon/figures.ts';
import type { CaseFigure, StepForce } from '../reckon/force/steps.ts';
import { symbols } from './check.ts';

/** The cases that the findings speak of: with the friction as assembled, in the directions that this build steps. */
export const casesInUse = ({ forces }: Figures): readonly CaseFigure[] =>
  forces.cases.filter(({ usedByFindings }) => usedByFindings);

/** "from "3" to "4"", of a reverse step the other way round. */
export function stepInWords({ positions }: Figures, { index }: StepForce, direction: CaseFigure['direction']): string {
  const ends = [positions[index], positions[(index + 1) % positions.length]].map(({ symbol }) => symbols([symbol]));
  const [from, to] = direction === 'forward' ? ends : ends.reverse();
  return `from ${from} to ${to}`;
}

/** The rest position that a step leads to. */
export const positionAfter = (
  { positions }: Figures,
  { index }: StepForce,
  direction: CaseFigure['direction'],
): number => (direction === 'forward' ? (index + 1) % positions.length : index);
