import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Point } from '../../../../language/mechanism.ts';
import { gearOutlineLoop } from '../../../../server/reckon/parts/gear-outline.ts';
import { joined } from '../../../../server/reckon/parts/joining.ts';
import { circle, flattened, placed, polygon, region } from '../../../../server/reckon/parts/loop.ts';
import type { Loop, Region } from '../../../../server/reckon/parts/part.ts';
import { thinnestOf } from '../../../../server/reckon/parts/thin.ts';
import { gear, given } from '../../../mechanisms.ts';
import { type Kernel, solidKernel } from '../../outputs/parts/solids.ts';

const box = (left: number, bottom: number, right: number, top: number): Loop =>
  polygon([
    { x: left, y: bottom },
    { x: right, y: bottom },
    { x: right, y: top },
    { x: left, y: top },
  ]);

const turnedBy = (angle: number, regions: readonly Region[]): Region[] =>
  regions.map(({ outer, holes }) => ({
    outer: placed(outer, { x: 3, y: -7 }, angle),
    holes: holes.map((hole) => placed(hole, { x: 3, y: -7 }, angle)),
  }));

const wall = (regions: readonly Region[], below = 2) => thinnestOf(regions, 'wall', below)?.thickness;
const hollow = (regions: readonly Region[], below = 2) => thinnestOf(regions, 'hollow', below)?.thickness;

describe('the thinnest of a section', () => {
  it('is the width of a strip, however it lies', () => {
    for (const angle of [0, 0.3, 1, 2.2])
      expect(wall(turnedBy(angle, [region(box(0, 0, 0.7, 20))]))).toBeCloseTo(0.7, 6);
    expect(wall([region(box(0, 0, 2.5, 20))])).toBeUndefined();
  });

  it('is the width of a pin, round or square, and of a hole', () => {
    expect(wall([region(circle(0.3))])).toBeCloseTo(0.6, 3);
    for (const angle of [0, 0.5]) expect(wall(turnedBy(angle, [region(box(0, 0, 0.5, 0.5))]))).toBeCloseTo(0.5, 6);
    expect(wall([region(circle(1.2))])).toBeUndefined();
    const plate = [region(box(-9, -9, 9, 9), circle(0.3))];
    expect(hollow(plate)).toBeCloseTo(0.6, 3);
    expect(wall(plate)).toBeUndefined();
  });

  it('is the least of a ring whose hole lies aside', () => {
    expect(wall([region(circle(10), circle(8, { x: 1.3, y: 0 }))])).toBeCloseTo(0.7, 6);
    expect(wall([region(circle(10), box(-6, -7, 6, 7))])).toBeCloseTo(10 - Math.hypot(6, 7), 6);
    expect(wall([region(circle(10), circle(5))])).toBeUndefined();
  });

  it('is that of a slot, with its mouth open or closed', () => {
    expect(hollow(joined([box(0, 0, 20, 5), box(0, 0, 9.6, 12), box(10, 0, 20, 12)]))).toBeCloseTo(0.4, 6);
    expect(hollow([region(box(0, 0, 20, 12), box(9.6, 3, 10, 9))])).toBeCloseTo(0.4, 6);
  });

  it('leaves corners, steps and blunt tips alone, and tells of long ones', () => {
    const wedge = (half: number) => [
      region(
        polygon([
          { x: 0, y: 0 },
          { x: 20, y: -20 * Math.tan(half) },
          { x: 20, y: 20 * Math.tan(half) },
        ]),
      ),
    ];
    expect(wall(wedge((45 / 2 / 180) * Math.PI))).toBeUndefined();
    expect(wall(wedge((30 / 2 / 180) * Math.PI))).toBeDefined();
    expect(wall(joined([box(0, 0, 20, 5), box(0, 0, 9, 5.2)]))).toBeUndefined();
    // A stub as long as it is thick is a step, one twice as long a wall.
    expect(wall(joined([box(0, 0, 20, 5), box(9, 4, 9.5, 5.4)]))).toBeUndefined();
    expect(wall(joined([box(0, 0, 20, 5), box(9, 4, 9.5, 6)]))).toBeCloseTo(0.5, 6);
  });

  it('does not look beyond the roots of teeth', () => {
    const tooth = placed(box(-0.2, 4, 0.2, 8), { x: 0, y: 0 }, 0);
    const wheel = joined([circle(5), tooth]);
    expect(wall(wheel)).toBeCloseTo(0.4, 6);
    expect(thinnestOf(wheel, 'wall', 2, 4.9)).toBeUndefined();
  });
});

describe('a gear, looked at by some of its teeth', () => {
  it('is as thin as all round, where its teeth are thin or stand close', () => {
    let thin = 0;
    const some = {
      module: fc.constantFrom(0.5, 1, 2),
      teeth: fc.integer({ min: 12, max: 60 }),
      by: fc.double({ min: 0.9, max: 1.3, noNaN: true }),
    };
    fc.assert(
      fc.property(
        fc.record(some),
        fc.constantFrom(1, -1),
        fc.constantFrom(0.4, 0.8, 3),
        ({ module, teeth, by }, sign, below) => {
          const outline = gearOutlineLoop(
            gear('wheel', 'axle', teeth, { module: given(module) }),
            sign * by * module,
            0.3,
          );
          if (!outline) return;
          const regions = [region(outline, circle(module))];
          for (const of of ['wall', 'hollow'] as const)
            for (const within of [(module * teeth) / 2, Infinity]) {
              const whole = thinnestOf(regions, of, below, within);
              expect(thinnestOf(regions, of, below, within, teeth)).toEqual(whole);
              if (whole) thin += 1;
            }
        },
      ),
      { numRuns: 25 },
    );
    expect(thin).toBeGreaterThan(10);
  });
});

/** Two blocks and a neck between them: what shrinks by half of what the neck is thick falls apart there. */
describe('beside polygons shrunk by a kernel', () => {
  let kernel: Kernel;
  beforeAll(async () => {
    kernel = await solidKernel();
  });

  const piecesAfter = (regions: readonly Region[], by: number): number => {
    const outlines = regions.flatMap(({ outer, holes }) =>
      [outer, ...holes].map((loop) => flattened(loop, 1e-4).map(({ x, y }: Point): [number, number] => [x, y])),
    );
    const whole = new kernel.CrossSection(outlines, 'Positive');
    const shrunk = whole.offset(-by, 'Round', 2, 512);
    const pieces = shrunk.decompose();
    const many = pieces.filter((piece) => piece.area() > 1e-3).length;
    for (const one of [whole, shrunk, ...pieces]) one.delete();
    return many;
  };

  it('a neck is as thick as the shrinking that parts it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 1.5, noNaN: true }),
        fc.double({ min: -0.4, max: 0.4, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.boolean(),
        (thick, aside, angle, round) => {
          // A waist between two round bites (farther aside the edges of one would be thin themselves), or a strip.
          const blocks = [box(-12, -5, -4, 5), box(4, -5, 12, 5)];
          const regions = round
            ? joined([box(-12, -5, 12, 5)]).map(({ outer }) => waisted(outer, thick, aside))
            : joined([...blocks, box(-6, aside - thick / 2, 6, aside + thick / 2)]);
          const found = wall(turnedBy(angle, regions))!;
          expect(found).toBeCloseTo(thick, 3);
          expect(piecesAfter(regions, found / 2 - 4e-3)).toBe(1);
          expect(piecesAfter(regions, found / 2 + 4e-3)).toBe(2);
        },
      ),
      { numRuns: 40 },
    );
  });

  /** A block of which two discs are taken, from below and from above, so much apart. */
  function waisted([a, b, c, d]: Loop, thick: number, aside: number): Region {
    const radius = 3;
    const bite = (depth: number) => ({
      half: Math.sqrt(radius * radius - depth * depth),
      bulge: -Math.tan((Math.PI - Math.acos(depth / radius)) / 2),
    });
    const low = bite(5 + aside - thick / 2 - radius);
    const high = bite(5 - aside - thick / 2 - radius);
    return {
      outer: [
        a,
        { x: -low.half, y: -5, bulge: low.bulge },
        { x: low.half, y: -5, bulge: 0 },
        b,
        c,
        { x: high.half, y: 5, bulge: high.bulge },
        { x: -high.half, y: 5, bulge: 0 },
        d,
      ],
      holes: [],
    };
  }
});
