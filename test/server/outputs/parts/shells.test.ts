import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { surfaceOf } from '../../../../server/outputs/parts/shells.ts';
import { areaOf, circle, region } from '../../../../server/reckon/parts/loop.ts';
import type { Prism } from '../../../../server/reckon/parts/part.ts';
import { bodies, volumeByBooleans, volumeInside, volumeOf } from './drawn.ts';
import { barOnStem, camOnFlange, prism, rectangle } from './made.ts';
import { solidKernel } from './solids.ts';

/** How many solids, and the faces of each. */
const told = (body: readonly Prism[], cut: readonly Prism[] = []) =>
  surfaceOf(body, cut).solids.map(({ outer, voids }) => ({ faces: outer.length, voids: voids.length }));

describe('slabs of a union of prisms', () => {
  it('keep arcs as arcs, and merge what lies on and beside one another', () => {
    const [flange, cam, engraved] = slabsOf(camOnFlange.prisms, camOnFlange.engraved);
    expect([flange.from, flange.to, cam.to, engraved.to]).toEqual([0, 2, 5.6, 6]);
    expect(cam.regions).toHaveLength(1);
    expect(cam.regions[0].outer.filter(({ bulge }) => bulge !== 0)).toHaveLength(3);
    // Two strokes of 6 and 4 mm² that cross in 1 mm².
    expect(areaOf(cam.regions) - areaOf(engraved.regions)).toBeCloseTo(9, 9);
  });

  it('cut arcs where they cross: two discs as a lens less than both', () => {
    // The lens of two circles of radius r at a distance d: 2r² acos(d/2r) − (d/2)√(4r² − d²).
    const lens = 2 * 25 * Math.acos(0.6) - 3 * 8;
    const [both] = slabsOf([prism(0, 1, region(circle(5)), region(circle(5, { x: 6, y: 0 })))]);
    expect(both.regions).toHaveLength(1);
    expect(areaOf(both.regions)).toBeCloseTo(50 * Math.PI - lens, 9);
    const [left] = slabsOf([prism(0, 1, region(circle(5)))], [prism(0, 1, region(circle(5, { x: 6, y: 0 })))]);
    expect(areaOf(left.regions)).toBeCloseTo(25 * Math.PI - lens, 9);
    expect(left.regions[0].outer.every(({ bulge }) => bulge !== 0)).toBe(true);
  });

  it('are none where everything is cut away', () =>
    expect(slabsOf([prism(0, 1, region(circle(3)))], [prism(-1, 2, region(circle(4)))])).toEqual([]));
});

describe('the surface of a union of prisms', () => {
  it('runs a wall through all slabs that share it', () => {
    // The bore's three walls through both, the flange's two, the cam's five; three level faces.
    expect(told(camOnFlange.prisms)).toEqual([{ faces: 13, voids: 0 }]);
    expect(told(barOnStem.prisms)).toEqual([{ faces: 30, voids: 0 }]);
  });

  it('has a shell for a void inside', () => {
    const closed = [
      prism(0, 1, region(circle(5))),
      prism(1, 2, region(circle(5), circle(2))),
      prism(2, 3, region(circle(5))),
    ];
    expect(told(closed)).toEqual([{ faces: 4, voids: 1 }]);
  });

  it('falls apart where material touches along a line only', () => {
    const [one, other] = [rectangle(2, 2, -1, -1), rectangle(2, 2, 1, 1)];
    expect(told([prism(0, 1, region(one), region(other))])).toEqual([
      { faces: 6, voids: 0 },
      { faces: 6, voids: 0 },
    ]);
    const [low, high] = [rectangle(2, 2, -1, 0), rectangle(2, 2, 1, 0)];
    expect(told([prism(0, 1, region(low)), prism(1, 2, region(high))])).toHaveLength(2);
    expect(told([prism(0, 1, region(circle(2)), region(circle(3, { x: 5, y: 0 })))])).toHaveLength(2);
  });

  it('is closed, and holds what the slabs hold, however prisms lie', () =>
    fc.assert(
      fc.property(bodies, ({ body, cut }) => {
        const surface = surfaceOf(body, cut);
        expect(Math.abs(volumeInside(surface) - volumeOf(slabsOf(body, cut)))).toBeLessThan(1e-3);
      }),
      { numRuns: 400 },
    ));

  it('holds what a solids library finds in the same prisms', async () => {
    const kernel = await solidKernel();
    fc.assert(
      fc.property(bodies, (drawn) => {
        const volume = volumeByBooleans(kernel, drawn, 1e-3);
        // Chords: a thousandth along at most 12 circles of 5 mm and 3 mm height.
        expect(Math.abs(volumeInside(surfaceOf(drawn.body, drawn.cut)) - volume)).toBeLessThan(0.2);
      }),
      { numRuns: 60 },
    );
  });
});
