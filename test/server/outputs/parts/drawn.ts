/** Prisms drawn by lot on a grid, so that they coincide, touch and overlap in every way; and what is reckoned of them. */
import fc from 'fast-check';
import { regionOf } from '../../../../server/outputs/parts/faces.ts';
import type { Surface } from '../../../../server/outputs/parts/shells.ts';
import { areaOf, circle, flattened, placed, region } from '../../../../server/reckon/parts/loop.ts';
import type { Prism } from '../../../../server/reckon/parts/part.ts';
import { deeBore, lobe, prism, rectangle } from './made.ts';
import type { Kernel } from './solids.ts';

const whole = (min: number, max: number) => fc.integer({ min, max });
const spot = fc.record({ x: whole(-6, 6), y: whole(-6, 6) });
const angle = fc.oneof(fc.constantFrom(0, Math.PI / 2, Math.PI / 4), fc.double({ min: 0, max: 6, noNaN: true }));

const shape = fc.oneof(
  fc.tuple(whole(1, 5), spot).map(([radius, at]) => region(circle(radius, at))),
  fc
    .tuple(whole(1, 5), whole(1, 5), spot, angle)
    .map(([width, height, at, turn]) => region(placed(rectangle(2 * width, 2 * height), at, turn))),
  fc
    .tuple(whole(3, 6), whole(1, 2), spot, angle)
    .map(([radius, flat, at, turn]) =>
      region(placed(circle(radius), at, turn), placed(deeBore(flat + 0.5, flat), at, turn)),
    ),
  fc.tuple(spot, angle).map(([at, turn]) => region(placed(lobe(4, 2, 3), at, turn), placed(circle(1), at, turn))),
);

const upright = fc
  .tuple(whole(0, 3), whole(1, 3), shape)
  .map(([from, height, drawn]): Prism => prism(from, from + height, drawn));

/** A body of up to six prisms, and up to three that are cut out of it. */
export const bodies = fc.record({
  body: fc.array(upright, { minLength: 1, maxLength: 6 }),
  cut: fc.array(upright, { maxLength: 3 }),
});

/** Of prisms that do not overlap, mm³. */
export const volumeOf = (prisms: readonly Prism[]): number =>
  prisms.reduce((sum, { from, to, regions }) => sum + (to - from) * areaOf(regions), 0);

/** Inside a surface, by its level faces alone: each area times its height, mm³. */
export const volumeInside = ({ arrangement, solids }: Surface): number =>
  solids
    .flatMap(({ outer, voids }) => [outer, ...voids].flat())
    .reduce((sum, face) => {
      if (face.kind !== 'level') return sum;
      return sum + (face.up ? 1 : -1) * arrangement.heights[face.level] * areaOf([regionOf(arrangement, face.face)]);
    }, 0);

/** What a solids library makes of the prisms by its own booleans, mm³, with chords within `sag` of the arcs. */
export function volumeByBooleans(
  { Manifold }: Kernel,
  { body, cut }: { readonly body: readonly Prism[]; readonly cut: readonly Prism[] },
  sag: number,
): number {
  const union = (prisms: readonly Prism[]) =>
    Manifold.union(
      prisms.flatMap(({ from, to, regions }) =>
        regions.map(({ outer, holes }) => {
          const outlines = [outer, ...holes].map((loop) =>
            flattened(loop, sag).map(({ x, y }): [number, number] => [x, y]),
          );
          return Manifold.extrude(outlines, to - from).translate(0, 0, from);
        }),
      ),
    );
  return union(body).subtract(union(cut)).volume();
}
