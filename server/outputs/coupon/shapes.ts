/**
 * The coupon as parts to print: a plate with all rungs, and a trial piece for each row. The first rung of every row lies
 * at the plate's cut corner.
 *
 *   pegs  o o o o     stand on the plate
 *   bores o o o o
 *   slots ▯ ▯ ▯ ▯
 *   gaps  ∨ ∨ ∨ ∨     spaces of a rack in the plate's lower edge; the cut corner lies at their left end
 */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import { circle, placed, polygon, region } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Prism } from '../../reckon/parts/part.ts';
import { type Ladder, type Row, type RowName, rungs } from './ladder.ts';

/** Of the plate, and how high pegs and trial pieces stand on theirs: as thick as most printed parts, mm. */
const thickness = 4;
/** Material between rungs and to the edges, mm. */
const land = 3;
/** Profile angle of the basic rack (ISO 53). */
const flank = (20 * Math.PI) / 180;

/** The plate, and the trial pieces: a peg, a ring, a tongue and a tooth. */
export function couponParts(m: Mechanism, ladder: Ladder): PrintedPart[] {
  const rows = Object.fromEntries(ladder.rows.map((row) => [row.name, row])) as Record<RowName, Row>;
  const depth = slotDepth(rows.slots);
  const part = (name: string, ...prisms: readonly Prism[]): PrintedPart => ({
    name: `coupon ${name}`,
    kind: 'coupon',
    place: m.place,
    prisms,
    engraved: [],
    bed: 'back',
    process: m.process.name,
    material: m.process.material.name,
    seats: [],
  });
  const prism = (from: number, to: number, ...loops: readonly [Loop, ...Loop[]]): Prism => ({
    from,
    to,
    regions: [region(...loops)],
  });
  const grip = (width: number) => circle(width / 2 + land);
  const trial = 2 * thickness;
  return [
    part('plate', ...plateOf(rows)),
    part(
      'peg',
      prism(0, thickness, grip(rows.bores.size)),
      prism(thickness, thickness + trial, circle(rows.bores.size / 2)),
    ),
    part('ring', prism(0, thickness, grip(rows.pegs.size), circle(rows.pegs.size / 2))),
    part(
      'tongue',
      prism(0, thickness, box(0, 0, rows.slots.size + 2 * land, depth)),
      prism(thickness, thickness + trial, box(0, 0, rows.slots.size, depth - 2 * land)),
    ),
    part('tooth', prism(0, thickness, toothLoop(rows.gaps.size))),
  ];
}

/** Long enough to guide the tongue. */
const slotDepth = ({ size }: Row): number => 2 * land + Math.max(8, 2 * size);

function plateOf({ bores, pegs, slots, gaps }: Record<RowName, Row>): Prism[] {
  const widest = ({ rungs }: Row) => Math.max(...rungs.map(({ nominal }) => nominal));
  const space = spaceLoop(gaps.size, widest(gaps));
  const pitch = land + Math.max(widest(bores), widest(slots), 2 * Math.abs(space[0].x));
  const width = rungs * pitch + land;
  const across = (i: number): number => land + (i + 0.5) * pitch - land / 2;
  const high = (row: Row) => (row === slots ? slotDepth(slots) - 2 * land : Math.max(widest(row), row.size));
  let y = 2.25 * gaps.size + land;
  const [slotsAt, boresAt, pegsAt] = [slots, bores, pegs].map((row) => {
    const middle = y + high(row) / 2;
    y += high(row) + land;
    return middle;
  });
  const notched = polygon([
    // From the cut corner along the lower edge, round every space of the rack.
    { x: land, y: 0 },
    ...gaps.rungs.flatMap(({ nominal }, i) =>
      spaceLoop(gaps.size, nominal).map((at) => ({ x: at.x + across(i), y: at.y })),
    ),
    { x: width, y: 0 },
    { x: width, y },
    { x: 0, y },
    { x: 0, y: land },
  ]);
  const clearance = slots.rungs.map(({ clearance }) => 2 * clearance);
  const holes = [
    ...bores.rungs.map(({ nominal }, i) => circle(nominal / 2, { x: across(i), y: boresAt })),
    ...slots.rungs.map(({ nominal }, i) => box(across(i), slotsAt, nominal, high(slots) + clearance[i])),
  ];
  const feet = pegs.rungs.map(({ nominal }, i) => region(circle(nominal / 2, { x: across(i), y: pegsAt })));
  return [
    { from: 0, to: thickness, regions: [region(notched, ...holes)] },
    { from: thickness, to: 2 * thickness, regions: feet },
  ];
}

/** A rectangle about its middle, counter-clockwise. */
const box = (x: number, y: number, width: number, height: number): Loop =>
  polygon([
    { x: x - width / 2, y: y - height / 2 },
    { x: x + width / 2, y: y - height / 2 },
    { x: x + width / 2, y: y + height / 2 },
    { x: x - width / 2, y: y + height / 2 },
  ]);

/**
 * A space of the basic rack (ISO 53: flanks of 20°, one module above and 1.25 below the pitch line) that opens at y = 0,
 * so wide on the pitch line, as a path from left to right.
 */
function spaceLoop(module: number, wide: number): Point[] {
  const half = (below: number): number => wide / 2 - (below - module) * Math.tan(flank);
  return [
    { x: -half(0), y: 0 },
    { x: -half(2.25 * module), y: 2.25 * module },
    { x: half(2.25 * module), y: 2.25 * module },
    { x: half(0), y: 0 },
  ];
}

/** A tooth of the same rack on a piece to hold it by, counter-clockwise. */
function toothLoop(module: number): Loop {
  const half = (above: number): number => (Math.PI * module) / 4 - above * Math.tan(flank);
  const hold = { wide: half(-1.25 * module) + land, high: 3 * land };
  return placed(
    polygon([
      { x: -hold.wide, y: -hold.high },
      { x: hold.wide, y: -hold.high },
      { x: hold.wide, y: 0 },
      { x: half(-1.25 * module), y: 0 },
      { x: half(module), y: 2.25 * module },
      { x: -half(module), y: 2.25 * module },
      { x: -half(-1.25 * module), y: 0 },
      { x: -hold.wide, y: 0 },
    ]),
    { x: 0, y: 0 },
    0,
  );
}
