import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { regionOf } from '../../../../server/outputs/parts/faces.ts';
import { surfaceOf } from '../../../../server/outputs/parts/shells.ts';
import { triangulate } from '../../../../server/outputs/parts/triangulation.ts';
import { flattened } from '../../../../server/reckon/parts/loop.ts';
import { bodies } from './drawn.ts';

type Polygon = readonly (readonly [x: number, y: number])[];

/** What is wrong with a face's triangles: sides of it that none has, inner ones that not two have; and their areas. */
function cut(loops: readonly Polygon[]) {
  const corners = loops.flatMap((loop) => loop.flatMap(([x, y]) => [x, y, 0]));
  let next = 0;
  const numbered = loops.map((loop) => loop.map(() => next++));
  const triangles: number[] = [];
  triangulate(numbered, corners, triangles);
  const open = new Map<string, number>();
  const count = (from: number, to: number, by: number) =>
    open.set(`${from} ${to}`, (open.get(`${from} ${to}`) ?? 0) + by);
  for (const loop of numbered) for (const [i, from] of loop.entries()) count(from, loop[(i + 1) % loop.length], -1);
  let [area, covered] = [0, 0];
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = triangles.slice(i, i + 3);
    for (const [from, to] of [
      [a, b],
      [b, c],
      [c, a],
    ])
      count(from, to, 1);
    const [ax, ay, bx, by, cx, cy] = [a, b, c].flatMap((one) => corners.slice(3 * one, 3 * one + 2));
    const own = ((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2;
    area += own;
    covered += Math.abs(own);
  }
  const unmet = [...open].filter(([side, times]) => {
    const [from, to] = side.split(' ');
    return times !== 0 && times !== (open.get(`${to} ${from}`) ?? 0);
  });
  const due = loops.reduce((sum, loop) => sum + areaOf(loop), 0);
  return { many: triangles.length / 3, unmet: unmet.length, area: area - due, twice: covered - area };
}

const areaOf = (loop: Polygon): number =>
  loop.reduce((sum, [x, y], i) => {
    const [nx, ny] = loop[(i + 1) % loop.length];
    return sum + (x * ny - nx * y) / 2;
  }, 0);

const square = (half: number, x = 0, y = 0): Polygon => [
  [x - half, y - half],
  [x + half, y - half],
  [x + half, y + half],
  [x - half, y + half],
];
const hole = (loop: Polygon): Polygon => [...loop].reverse();
const spike = (x: number, y: number, wide: number): Polygon => [
  [x, y],
  [x + wide, y - 0.5],
  [x + wide, y + 0.5],
];
const sound = (many: number) => ({
  many,
  unmet: 0,
  area: expect.closeTo(0, 9),
  twice: expect.closeTo(0, 9),
});

describe('the triangles of a face', () => {
  it('cover it once, whatever lies in it', () => {
    const spiral: Polygon = [
      ...Array.from(
        { length: 200 },
        (_, i) => [(9 - i / 30) * Math.cos(i / 8), (9 - i / 30) * Math.sin(i / 8)] as const,
      ),
      ...Array.from({ length: 200 }, (_, k) => {
        const i = 199 - k;
        return [(8 - i / 30) * Math.cos(i / 8), (8 - i / 30) * Math.sin(i / 8)] as const;
      }),
    ];
    expect(areaOf(spiral)).toBeGreaterThan(0);
    expect(cut([spiral])).toEqual(sound(398));
    const grid = Array.from({ length: 49 }, (_, i) => hole(square(0.4, (i % 7) - 3, Math.floor(i / 7) - 3)));
    expect(cut([square(4), ...grid])).toEqual(sound(4 + 49 * 6 - 2));
  });

  it('keep corners on straight sides', () => {
    const notched: Polygon = Array.from({ length: 40 }, (_, i) => {
      const [side, along] = [Math.floor(i / 10), (i % 10) / 10];
      const [[ax, ay], [bx, by]] = [square(1)[side], square(1)[(side + 1) % 4]];
      return [ax + along * (bx - ax), ay + along * (by - ay)];
    });
    expect(cut([notched])).toEqual(sound(38));
    expect(cut([notched, hole(square(0.5))])).toEqual(sound(44 - 2 + 2));
  });

  it('are closed where holes touch the rim, and one another', () => {
    const diamond = (x: number): Polygon => [
      [x - 1, 0],
      [x, -1],
      [x + 1, 0],
      [x, 1],
    ];
    expect(cut([square(6), hole(diamond(-1)), hole(diamond(1))])).toEqual(sound(12 - 2 + 4));
    // With their points on the rim's left side, on its corner, and on a hole's side.
    const rim: Polygon = [...square(4), [-4, 0]];
    expect(cut([rim, hole(spike(-4, 0, 2))])).toEqual(sound(8 - 2 + 2));
    const cornered: Polygon = [
      [-4, -4],
      [-2, -3.5],
      [-2.5, -3],
    ];
    expect(cut([rim, hole(cornered)])).toEqual(sound(8 - 2 + 2));
    const post = hole([...square(1, -2, 0), [-3, 0]].map(([x, y]) => [x, y] as const));
    expect(cut([square(4), post, hole(spike(-1, -1, 2)), hole(spike(-1, 1, 2))])).toEqual(sound(15 - 2 + 6));
  });

  it('leave free what goes into a face from its corner', () => {
    const wedge: Polygon = [
      [4, 4],
      [-3, -2],
      [-2, -3],
    ];
    for (let first = 0; first < 4; first++) {
      const rim = [...square(4).slice(first), ...square(4).slice(0, first)];
      expect(cut([rim, hole(wedge)])).toEqual(sound(7 - 2 + 2));
    }
  });

  it('are tied to holes on the side from which these are seen', () => {
    // Both holes see the tip of a spike best: one from the right, one from below.
    const rim: Polygon = [
      [-5, 4],
      [-4, -4],
      [4, -4],
      [4, 4],
      [0.5, 4],
      [0, 0.5],
      [-0.5, 4],
    ];
    const holes = [square(0.2, 1.2, 2), square(0.2, 2.2, 0.2)];
    const over = (loop: Polygon): Polygon => [...loop].reverse().map(([x, y]) => [x, -y]);
    expect(cut([rim, ...holes.map(hole)])).toEqual(sound(15 - 2 + 4));
    expect(cut([over(rim), ...holes.map(over).map(hole)])).toEqual(sound(15 - 2 + 4));
  });

  it('are closed even where outlines cross', () => {
    const beyond: Polygon = [
      [3, -1],
      [5, -1],
      [5, 1],
      [3, 1],
    ];
    for (const turned of [beyond, beyond.map(([x, y]) => [-x, -y] as const)]) {
      const { many, unmet, area } = cut([square(4), hole(turned)]);
      expect({ many, unmet, area }).toEqual({ many: 8, unmet: 0, area: expect.closeTo(0, 9) });
    }
  });

  it('are closed and overlap by no more than chords cross, on faces drawn by lot', () =>
    fc.assert(
      fc.property(bodies, ({ body, cut: away }) => {
        const { arrangement, solids } = surfaceOf(body, away);
        for (const face of solids.flatMap(({ outer, voids }) => [outer, ...voids].flat())) {
          if (face.kind !== 'level') continue;
          const { outer, holes } = regionOf(arrangement, face.face);
          const loops = [outer, ...holes].map((loop) => flattened(loop, 2e-3).map(({ x, y }) => [x, y] as const));
          const { many, unmet, area, twice } = cut(loops);
          expect(many).toBe(loops.flat().length - 2 + 2 * holes.length);
          expect(unmet).toBe(0);
          expect(Math.abs(area)).toBeLessThan(1e-9);
          expect(twice).toBeLessThan(0.02);
        }
      }),
      { numRuns: 100 },
    ));
});
