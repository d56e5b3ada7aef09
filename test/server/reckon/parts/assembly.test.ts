import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Assembly, assemblyOf, type Way } from '../../../../server/reckon/parts/assembly.ts';
import { circle, polygon, region } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart, Prism, Seat } from '../../../../server/reckon/parts/part.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { nowhere } from '../../../mechanisms.ts';

const moves = { shaft: { with: 'shaft', name: 'axle' }, still: { with: 'nothing' } } as const;

function part(
  name: string,
  kind: PrintedPart['kind'],
  prisms: readonly Prism[],
  seat: Partial<Seat> = {},
): PrintedPart {
  const seats = [{ x: 0, y: 0, z: 0, turn: 0, moves: moves.still, ...seat }];
  return { name, kind, place: nowhere, prisms, engraved: [], bed: 'back', process: 'filament', material: 'pla', seats };
}

const axle = part('axle', 'shaft', [{ from: -30, to: 5, regions: [region(circle(4))] }], { moves: moves.shaft });

/** A disc on the axle, from … to … mm deep. */
const ring = (name: string, from: number, to: number, radius = 12) =>
  part(name, 'cam', [{ from: -to, to: -from, regions: [region(circle(radius), circle(4.2))] }], { moves: moves.shaft });

const box = (left: number, right: number, bottom: number, top: number) =>
  region(polygon([
    { x: left, y: bottom },
    { x: right, y: bottom },
    { x: right, y: top },
    { x: left, y: top },
  ])); // biome-ignore format: a box

const bar = (name: string, prisms: readonly Prism[], turn = 0) =>
  part(name, 'bar', prisms, { turn, moves: { with: 'segment', name } });

const built = (...parts: PrintedPart[]): Assembly => finished(assemblyOf(parts));
const inOrder = ({ order }: Assembly) => order.map(({ part, way }) => `${part} ${way}`);

describe('parts go in', () => {
  it('on their shaft, the deepest first', () => {
    expect(inOrder(built(ring('front', 0, 4), ring('back', 8, 12), axle, ring('middle', 4, 8)))).toEqual([
      'axle front',
      'back front',
      'middle front',
      'front front',
    ]);
  });

  it('before what would lie in their way', () => {
    const [, back] = built(ring('front', 0, 4), ring('back', 8, 12), axle).order;
    expect(back!.before).toEqual(['front']);
  });

  it('past the front journal alone, where the one behind is thicker than their bore', () => {
    const thick = part('axle', 'shaft', [
      { from: -30, to: -25, regions: [region(circle(5))] },
      { from: -25, to: 5, regions: [region(circle(4))] },
    ], { moves: moves.shaft }); // biome-ignore format: slabs
    // A collar in front that nothing passes: the ring goes on from neither side.
    const collar = ring('ring', 10, 14);
    const capped = { ...thick, prisms: [...thick.prisms, { from: 5, to: 7, regions: [region(circle(5))] }] };
    expect(inOrder(built(thick, collar))).toEqual(['axle front', 'ring front']);
    expect(built(capped, collar)).toMatchObject({
      order: [{ part: 'axle' }],
      deadlocks: [{ parts: ['ring', 'axle'] }],
    });
  });

  it('along their slide, where what lies before and behind leaves no other way', () => {
    const stem = bar('a', [{ from: -6, to: -4, regions: [box(8, 30, -1, 1)] }]);
    const [cover, floor] = [ring('cover', 0, 4), ring('floor', 6, 10)];
    expect(inOrder(built(axle, cover, floor, stem))).toEqual(['axle front', 'floor front', 'a front', 'cover front']);
    // With the two in one piece there is but the slide, from either side of the azimuth.
    const reel = { ...cover, prisms: [...floor.prisms, { from: -6, to: -4, regions: [region(circle(7), circle(4.2))] }, ...cover.prisms] }; // biome-ignore format: one piece
    expect(inOrder(built(axle, reel, stem))).toEqual(['axle front', 'cover front', 'a slide']);
    const turned = part('a', 'bar', [{ from: -6, to: -4, regions: [box(8, 30, -1, 1)] }], {
      turn: 2,
      moves: { with: 'segment', name: 'a' },
    });
    expect(inOrder(built(axle, reel, turned))).toEqual(['axle front', 'cover front', 'a slide']);
  });

  it('not at all, where a bar reaches round a cam to before and behind it, and its post is behind the shaft', () => {
    const stirrup = bar('g', [
      { from: -9, to: -7, regions: [box(-30, -8, -1, 1)] },
      { from: -7, to: 0, regions: [box(-30, -20, -1, 1)] },
      { from: 0, to: 3, regions: [box(-30, 30, -3, 3)] },
    ]);
    const short = part('axle', 'shaft', [{ from: -30, to: 0, regions: [region(circle(4))] }], { moves: moves.shaft });
    const { order, deadlocks } = built(short, ring('camA', 0, 4), ring('camB', 9, 13), stirrup);
    expect(order.map(({ part }) => part)).toEqual(['axle', 'camB', 'camA']);
    expect(deadlocks).toEqual([
      {
        parts: ['g', 'camA'],
        closed: [
          { way: 'front', by: ['camA'] },
          { way: 'slide', by: ['axle', 'camA'] },
          { way: 'back', by: ['axle', 'camA'] },
        ],
      },
    ]);
  });

  it('before what covers but an edge of them, and freely past what does not', () => {
    const plate = part('plate', 'gear', [{ from: 0, to: 4, regions: [box(-5, 5, -5, 5)] }]);
    /** A frame beside it, of which a tongue reaches over it so far, along its upper or lower edge. */
    const hook = (by: number, up: 1 | -1, turn: number) => {
      const [low, high] = up > 0 ? [4.5, 5.5] : [-5.5, -4.5];
      const regions = [box(8, 20, -5.5, 5.5), box(5 - by, 8, low, high)];
      return part('hook', 'gear', [{ from: 4, to: 8, regions }], { turn });
    };
    for (const turn of [0, Math.PI / 2, 2, Math.PI])
      for (const up of [1, -1] as const) {
        const covered = (by: number) => {
          const seats = plate.seats.map((seat) => ({ ...seat, turn }));
          const { order } = built({ ...plate, seats }, hook(by, up, turn));
          const before = order.find((one) => one.part === 'plate' && one.way === 'front')?.before;
          return before?.includes('hook');
        };
        expect(covered(0.3)).toBe(true);
        expect(covered(0.02)).toBe(false);
      }
  });

  it('along their slide before what stands in an edge of the way', () => {
    const [cover, floor] = [ring('cover', 0, 4), ring('floor', 6, 10)];
    const middle = { from: -6, to: -4, regions: [region(circle(7), circle(4.2))] };
    const reel = { ...cover, prisms: [...floor.prisms, middle, ...cover.prisms] };
    for (const turn of [0, Math.PI / 2, 2, Math.PI])
      for (const up of [1, -1] as const) {
        const stem = bar('a', [{ from: -6, to: -4, regions: [box(8, 30, -1, 1)] }], turn);
        /** Ahead of it, and so far over its upper or lower edge. */
        const hindered = (by: number) => {
          const [low, high] = up > 0 ? [1 - by, 6] : [-6, by - 1];
          const stop = part('stop', 'gear', [{ from: -6, to: -4, regions: [box(40, 44, low, high)] }], { turn });
          const { order } = built(axle, reel, stem, stop);
          return order.find((one) => one.part === 'a' && one.way === 'slide')?.before.includes('stop');
        };
        expect(hindered(0.3)).toBe(true);
        expect(hindered(0.02)).toBe(false);
      }
  });

  it('each at all of its seats', () => {
    const peg = part('peg', 'spacer', [{ from: 0, to: 4, regions: [region(circle(2))] }]);
    const seats = [0, 10].map((x) => ({ ...peg.seats[0]!, x }));
    expect(built({ ...peg, seats }).order.map(({ part, seat }) => [part, seat])).toEqual([
      ['peg', 0],
      ['peg', 1],
    ]);
  });
});

// ---- against a search through all orders, on a grid of cubes ------------------------------------------------

/** A few cubes of 1 mm, and whether it is a bar, which may go along +x too. */
interface Toy {
  readonly cubes: readonly (readonly [number, number, number])[];
  readonly slides: boolean;
}

const partOf = ({ cubes, slides }: Toy, index: number): PrintedPart => {
  const prisms = cubes.map(([x, y, z]) => ({ from: z, to: z + 1, regions: [box(x, x + 1, y, y + 1)] }));
  return slides ? bar(`p${index}`, prisms) : part(`p${index}`, 'gear', prisms);
};

const size = 5;
const key = (x: number, y: number, z: number) => `${x} ${y} ${z}`;

/** Moves cube by cube till it is out of the grid. */
function goesOut(toy: Toy, others: readonly Toy[], [dx, dz]: readonly [number, number]): boolean {
  const taken = new Set(others.flatMap(({ cubes }) => cubes.map(([x, y, z]) => key(x, y, z))));
  for (let by = 1; by <= size; by++)
    if (toy.cubes.some(([x, y, z]) => taken.has(key(x + by * dx, y, z + by * dz)))) return false;
  return true;
}

const ways: Record<Way, readonly [number, number]> = { front: [0, 1], slide: [1, 0], back: [0, -1] };
const waysOf = ({ slides }: Toy): Way[] => (slides ? ['front', 'slide', 'back'] : ['front', 'back']);

/** Whether some order of taking one after the other leaves nothing. */
function comesApart(toys: readonly Toy[]): boolean {
  if (toys.length === 0) return true;
  return toys.some((toy) => {
    const rest = toys.filter((other) => other !== toy);
    return waysOf(toy).some((way) => goesOut(toy, rest, ways[way])) && comesApart(rest);
  });
}

const coordinate = fc.nat(size - 1);
const toys = fc
  .array(
    fc.record({
      cubes: fc.uniqueArray(fc.tuple(coordinate, coordinate, coordinate), {
        minLength: 1,
        maxLength: 9,
        selector: String,
      }),
      slides: fc.boolean(),
    }),
    { minLength: 2, maxLength: 5 },
  )
  .map((all) => {
    // No cube is in two of them.
    const taken = new Set<string>();
    return all
      .map((toy) => ({
        ...toy,
        cubes: toy.cubes.filter((cube) => !taken.has(String(cube)) && taken.add(String(cube))),
      }))
      .filter(({ cubes }) => cubes.length > 0);
  });

describe('against all orders there are', () => {
  it('an order is found if there is one, and each of its steps can be done', () => {
    let locked = 0;
    fc.assert(
      fc.property(toys, (all) => {
        const { order, deadlocks } = built(...all.map(partOf));
        const isFree = comesApart(all);
        expect(deadlocks.length === 0).toBe(isFree);
        if (!isFree) {
          locked += 1;
          return;
        }
        expect(order).toHaveLength(all.length);
        for (const [i, { part, way }] of order.entries()) {
          const toy = (name: string) => all[Number(name.slice(1))]!;
          const there = order.slice(0, i).map((each) => toy(each.part));
          expect(goesOut(toy(part), there, ways[way])).toBe(true);
        }
      }),
      { numRuns: 300 },
    );
    expect(locked).toBeGreaterThan(3);
  });
});
