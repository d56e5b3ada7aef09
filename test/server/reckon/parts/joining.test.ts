import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joined, slabsOf } from '../../../../server/reckon/parts/joining.ts';
import { areaOf, circle, flattened, loopArea, placed, polygon } from '../../../../server/reckon/parts/loop.ts';
import type { Loop } from '../../../../server/reckon/parts/part.ts';
import { region as outlined } from '../shape/oracle.ts';

const box = (width: number, height: number): Loop =>
  polygon([
    { x: -width / 2, y: -height / 2 },
    { x: width / 2, y: -height / 2 },
    { x: width / 2, y: height / 2 },
    { x: -width / 2, y: height / 2 },
  ]);
const capsule = (length: number, radius: number): Loop => [
  { x: 0, y: -radius, bulge: 0 },
  { x: length, y: -radius, bulge: 1 },
  { x: length, y: radius, bulge: 0 },
  { x: 0, y: radius, bulge: 1 },
];

/** The area of the union as polygons, by a library that shares no code with ours. */
const oracle = (loops: readonly Loop[]): number =>
  loops
    .map((loop) => outlined(flattened(loop, 1e-5)))
    .reduce((all, one) => all.add(one))
    .area();

describe('the union of loops', () => {
  it('keeps arcs as arcs', () => {
    const [union, ...more] = joined([circle(2), placed(box(10, 2), { x: 5, y: 0 }, 0)]);
    expect(more).toEqual([]);
    expect(union.holes).toEqual([]);
    expect(union.outer.filter(({ bulge }) => bulge !== 0).length).toBeLessThanOrEqual(2);
    // derived: a disc of 2 and a strip of 2 by 10 that starts at its centre share a rectangle and a cap
    const half = Math.asin(1 / 2);
    const shared = 2 * (Math.sqrt(3) - 0) + 4 * (half - Math.sin(2 * half) / 2);
    expect(loopArea(union.outer)).toBeCloseTo(Math.PI * 4 + 20 - shared, 9);
  });

  it('finds the hole that four strips leave', () => {
    const strip = (x: number, y: number, angle: number) => placed(box(12, 2), { x, y }, angle);
    const [union] = joined([strip(0, 5, 0), strip(0, -5, 0), strip(5, 0, Math.PI / 2), strip(-5, 0, Math.PI / 2)]);
    expect(union.holes).toHaveLength(1);
    expect(loopArea(union.holes[0])).toBeCloseTo(-64, 9);
  });

  it('is of two pieces where two lie apart', () =>
    expect(joined([circle(1), circle(1, { x: 5, y: 0 })])).toHaveLength(2));

  const pieces = fc.record({
    kind: fc.constantFrom('disc', 'box', 'capsule'),
    // a grid, so that edges and corners often lie on each other
    x: fc.integer({ min: -4, max: 4 }),
    y: fc.integer({ min: -4, max: 4 }),
    angle: fc.oneof(fc.constantFrom(0, Math.PI / 2, Math.PI / 4), fc.double({ min: 0, max: 6, noNaN: true })),
    a: fc.integer({ min: 1, max: 5 }),
    b: fc.integer({ min: 1, max: 3 }),
  });
  const made = ({
    kind,
    x,
    y,
    angle,
    a,
    b,
  }: {
    kind: string;
    x: number;
    y: number;
    angle: number;
    a: number;
    b: number;
  }) => placed(kind === 'disc' ? circle(b) : kind === 'box' ? box(2 * a, 2 * b) : capsule(a, b), { x, y }, angle);

  it('has the area that another library finds', () => {
    fc.assert(
      fc.property(fc.array(pieces, { minLength: 1, maxLength: 6 }), (all) => {
        const loops = all.map(made);
        expect(areaOf(joined(loops))).toBeCloseTo(oracle(loops), 2);
      }),
      { numRuns: 500 },
    );
  });
});

describe('slabs', () => {
  it('share faces and never lie in one another', () => {
    const slabs = slabsOf([
      { from: 0, to: 3, loop: box(10, 4) },
      { from: 0, to: 8, loop: placed(box(4, 4), { x: 5, y: 0 }, 0) },
      { from: 6, to: 8, loop: placed(box(20, 4), { x: 5, y: 0 }, 0) },
    ]);
    expect(slabs.map(({ from, to, regions }) => [from, to, areaOf(regions)])).toEqual([
      [0, 3, expect.closeTo(48)],
      [3, 6, expect.closeTo(16)],
      [6, 8, expect.closeTo(80)],
    ]);
  });
});
