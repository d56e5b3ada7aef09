/** What a flat drawing of a part shows: the true outlines at every height, and what is engraved. */
import type { PrintedPart, Prism } from '../../reckon/parts/part.ts';
import { slabsOf } from './faces.ts';

export interface Outlines extends Prism {
  /** "cam, z 2 to 6 mm", "engraved, z 5.6 to 6 mm": of a part's name nothing, so that it is safe everywhere. */
  readonly title: string;
  readonly engraved: boolean;
}

const known = new WeakMap<PrintedPart, readonly Outlines[]>();

/** From the part's back to its front, engraving last; worked out once for all drawings. */
export function outlinesOf(part: PrintedPart): readonly Outlines[] {
  const outlines = known.get(part) ?? outlinesAnew(part);
  known.set(part, outlines);
  return outlines;
}

function outlinesAnew({ kind, prisms, engraved }: PrintedPart): Outlines[] {
  const titled = (slab: Prism, what: string): string => `${what}, z ${height(slab.from)} to ${height(slab.to)} mm`;
  return [
    ...slabsOf(prisms).map((slab) => ({ ...slab, title: titled(slab, kind), engraved: false })),
    ...slabsOf(engraved).map((slab) => ({ ...slab, title: titled(slab, 'engraved'), engraved: true })),
  ];
}

const height = (z: number): number => Number(z.toFixed(3)) + 0;
