/** Where the plates of a frame lie; z from the face, positive towards the reader. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { Depth } from '../shape/stack.ts';

/** The plate before the cams, on which the bars slide; all that turns keeps the process's clearance from it. */
export function facePlateAt({ frame }: Mechanism): Depth | undefined {
  if (!frame) return undefined;
  const from = frame.process.clearance.value;
  return { from, to: from + frame.thickness.value };
}

/** Where bars begin: at the face, or before its plate. */
export const frontOf = (m: Mechanism): number => facePlateAt(m)?.to ?? 0;
