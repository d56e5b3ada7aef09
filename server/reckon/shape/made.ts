/** What printing makes of a drawn fit. */
import type { Process } from '../../../language/mechanism.ts';

/** The clearance a side, mm, that is left on the mean of one that is drawn: a printed hole comes out undersize. */
export const clearanceMade = (drawn: number, { undersize }: Process): number =>
  Math.max(0, Math.max(0, drawn) - undersize.value / 2);
