/** Printed parts made by hand, for tests of the files they are written to. */
import { arcAbout, circle, placed, polygon, region } from '../../../../server/reckon/parts/loop.ts';
import type { Loop, PartKind, PrintedPart, Prism, Region } from '../../../../server/reckon/parts/part.ts';
import { nowhere } from '../../../mechanisms.ts';

export const prism = (from: number, to: number, ...regions: readonly Region[]): Prism => ({ from, to, regions });

export function part(
  name: string,
  kind: PartKind,
  prisms: readonly Prism[],
  more: Partial<PrintedPart> = {},
): PrintedPart {
  return {
    name,
    kind,
    place: nowhere,
    prisms,
    engraved: [],
    bed: 'back',
    process: 'filament',
    material: 'pla',
    seats: [{ x: 0, y: 0, z: 0, turn: 0, moves: { with: 'nothing' } }],
    ...more,
  };
}

/** A rectangle about a point. */
export const rectangle = (width: number, height: number, x = 0, y = 0): Loop =>
  polygon([
    { x: x - width / 2, y: y - height / 2 },
    { x: x + width / 2, y: y - height / 2 },
    { x: x + width / 2, y: y + height / 2 },
    { x: x - width / 2, y: y + height / 2 },
  ]);

/** A round bore with a flat at `flat` from the centre. */
export function deeBore(radius: number, flat: number): Loop {
  const half = Math.acos(flat / radius);
  return arcAbout(radius, half, 2 * Math.PI - half);
}

/** A disc with a keyed bore. */
export const keyedDisc = part('disc', 'spacer', [prism(0, 4, region(circle(12), deeBore(4, 3)))]);

/** The lobe of a cam: a base circle, a nose circle about (reach, 0), and the two tangents between them. */
export function lobe(base: number, nose: number, reach: number): Loop {
  const lean = Math.acos((base - nose) / reach);
  const round = arcAbout(base, lean, 2 * Math.PI - lean);
  const tip = placed(arcAbout(nose, -lean, lean), { x: reach, y: 0 }, 0);
  return [...round, ...tip];
}

/** A cam on its flange, with a bore through both, and a mark cut across the edge of the cam. */
export const camOnFlange = part(
  'cam "A"',
  'cam',
  [prism(0, 2, region(circle(25), deeBore(4, 3))), prism(2, 6, region(lobe(14, 5, 11), deeBore(4, 3)))],
  { engraved: [prism(5.6, 6, region(rectangle(1, 6, 7, 0)), region(rectangle(4, 1, 7, 1.5)))], bed: 'back' },
);

/** A bar whose stem lies behind it and whose post sticks out through both, each partly beside the other. */
export const barOnStem = part(
  'bar',
  'bar',
  [
    prism(0, 3, region(rectangle(6, 40, 0, -15))),
    prism(3, 5, region(rectangle(6, 12, 0, 0))),
    prism(5, 8, region(rectangle(30, 8))),
  ],
  { bed: 'front' },
);
