import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { type Mesh, meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { circle, region } from '../../../../server/reckon/parts/loop.ts';
import { bodies, volumeOf } from './drawn.ts';
import { barOnStem, camOnFlange, keyedDisc, part, prism, rectangle } from './made.ts';
import { type Kernel, solidKernel, solidOf } from './solids.ts';
import { checked } from './surface-check.ts';

let kernel: Kernel;
beforeAll(async () => {
  kernel = await solidKernel();
});

const triangles = (
  { corners, triangles: all }: Mesh,
  name = (i: number): number[] => [...corners.subarray(3 * i, 3 * i + 3)],
) => Array.from({ length: all.length / 3 }, (_, i) => [0, 1, 2].map((k) => name(all[3 * i + k])));

describe('the mesh of a part', () => {
  it('lies within 10 µm of the arcs, and on them at its corners', () => {
    const { corners, triangles: all } = meshOf(keyedDisc);
    const radii = Array.from({ length: corners.length / 3 }, (_, i) => Math.hypot(corners[3 * i], corners[3 * i + 1]));
    for (const radius of radii) expect(Math.min(Math.abs(radius - 12), Math.abs(radius - 4))).toBeLessThan(1e-9);
    let deepest = 0;
    for (const [i, corner] of all.entries()) {
      const next = all[i % 3 === 2 ? i - 2 : i + 1];
      if (radii[corner] < 11 || radii[next] < 11 || corners[3 * corner + 2] !== corners[3 * next + 2]) continue;
      const [mx, my] = [0, 1].map((k) => (corners[3 * corner + k] + corners[3 * next + k]) / 2);
      // Chords across the face are many times longer than those of the rim.
      const chord = Math.hypot(
        corners[3 * corner] - corners[3 * next],
        corners[3 * corner + 1] - corners[3 * next + 1],
      );
      if (chord < 1.2) deepest = Math.max(deepest, 12 - Math.hypot(mx, my));
    }
    expect(deepest).toBeGreaterThan(0.008);
    expect(deepest).toBeLessThan(0.0100001);
  });

  it('is closed and holds what the prisms hold, however they lie', () =>
    fc.assert(
      fc.property(bodies, ({ body, cut }) => {
        const mesh = meshOf(part('drawn', 'cam', body, { engraved: cut }), 2e-3);
        // By the numbers of corners: a body that touches itself has two at one place.
        expect(checked(triangles(mesh, (i) => [i])).openEdges).toBe(0);
        expect(Math.abs(checked(triangles(mesh)).volume - volumeOf(slabsOf(body, cut)))).toBeLessThan(0.5);
      }),
      { numRuns: 100 },
    ));

  it('is a solid to a solids library, in one piece or in as many as it falls into', () => {
    const two = part('two', 'spacer', [prism(0, 1, region(rectangle(2, 2, -1, -1)), region(rectangle(2, 2, 1, 1)))]);
    const disc = region(circle(5));
    const hollow = part('hollow', 'spacer', [
      prism(0, 1, disc),
      prism(1, 2, region(circle(5), circle(2))),
      prism(2, 3, disc),
    ]);
    for (const [made, pieces] of [
      [keyedDisc, 1],
      [camOnFlange, 1],
      [barOnStem, 1],
      [two, 2],
      [hollow, 2],
    ] as const) {
      const solid = solidOf(kernel, made);
      expect(solid.status(), made.name).toBe('NoError');
      expect(solid.decompose(), made.name).toHaveLength(pieces);
      expect(Math.abs(solid.volume() / volumeOf(slabsOf(made.prisms, made.engraved)) - 1), made.name).toBeLessThan(
        3e-3,
      );
      solid.delete();
    }
  });
});
