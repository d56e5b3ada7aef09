import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { turn, wrapped } from '../../../../server/reckon/motion/angles.ts';
import { circle, edgesOf, flattened, placed, polygon, reversed } from '../../../../server/reckon/parts/loop.ts';
import type { Loop } from '../../../../server/reckon/parts/part.ts';
import { rimOf } from '../../../../server/reckon/parts/rims.ts';
import { toldOf } from '../../../../server/reckon/parts/same-loop.ts';

const square: Loop = polygon([
  { x: 0, y: 0 },
  { x: 9, y: 0 },
  { x: 9, y: 9 },
  { x: 0, y: 9 },
]);

/** Points in some order round the origin, between them lines and arcs of up to three quarters of a turn. */
const loops = fc
  .array(
    fc.record({
      ahead: fc.double({ min: 0.1, max: 1, noNaN: true }),
      radius: fc.double({ min: 2, max: 9, noNaN: true }),
      bulge: fc
        .integer({ min: -30, max: 30 })
        .map((share) => (Math.max(0, Math.abs(share) - 10) * Math.sign(share)) / 14),
    }),
    { minLength: 3, maxLength: 40 },
  )
  .map((steps): Loop => {
    const whole = steps.reduce((sum, { ahead }) => sum + ahead, 0);
    let angle = 0;
    return steps.map(({ ahead, radius, bulge }) => {
      angle += (ahead / whole) * turn;
      return { x: radius * Math.cos(angle), y: radius * Math.sin(angle), bulge };
    });
  });

/** How much a loop turns along so many edges from one on, by the headings of their ends. */
function turnedAlong(loop: Loop, from: number, to: number): number {
  const edges = edgesOf(loop);
  const headings = ({ from, to, arc }: (typeof edges)[number]) => {
    const chord = Math.atan2(to.y - from.y, to.x - from.x);
    const half = (arc?.sweep ?? 0) / 2;
    return [chord - half, chord + half] as const;
  };
  return edges.slice(from, to).reduce((sum, edge, i) => {
    const [start] = headings(edge);
    const corner = i === 0 ? 0 : Math.abs(wrapped(start - headings(edges[from + i - 1]!)[1] + Math.PI) - Math.PI);
    return sum + corner + Math.abs(edge.arc?.sweep ?? 0);
  }, 0);
}

describe('the runs of a rim', () => {
  it('hold all their edges in their boxes, and turn by as much', () => {
    fc.assert(
      fc.property(loops, (loop) => {
        const { runs } = rimOf(loop);
        expect(runs.map(({ start }) => start)).toEqual([0, ...runs.slice(0, -1).map(({ end }) => end)]);
        expect(runs.at(-1)!.end).toBe(loop.length);
        for (const { start, end, left, right, bottom, top } of runs) {
          const edges = loop.slice(start, end);
          const way = flattened([...edges, { ...loop[end % loop.length]!, bulge: 0 }], 1e-3);
          expect(Math.min(...way.map(({ x }) => x))).toBeGreaterThanOrEqual(left);
          expect(Math.max(...way.map(({ x }) => x))).toBeLessThanOrEqual(right);
          expect(Math.min(...way.map(({ y }) => y))).toBeGreaterThanOrEqual(bottom);
          expect(Math.max(...way.map(({ y }) => y))).toBeLessThanOrEqual(top);
        }
        for (const first of runs)
          for (const last of runs.slice(runs.indexOf(first)))
            expect(last.turnedAfter - first.turnedBefore).toBeGreaterThanOrEqual(
              turnedAlong(loop, first.start, last.end) - 1e-9,
            );
      }),
    );
  });

  it('tell what turns one way only, and circles', () => {
    expect(rimOf(square)).toMatchObject({ turns: 1, isCircle: false });
    expect(rimOf(reversed(square)).turns).toBe(-1);
    expect(rimOf(placed(circle(3), { x: 1, y: 2 }, 1))).toMatchObject({ turns: 1, isCircle: true });
    const [a, b, ...rest] = square;
    expect(rimOf([a!, { x: 4, y: 0.01, bulge: 0 }, b!, ...rest]).turns).toBeUndefined();
    expect(rimOf([a!, { ...b!, bulge: -0.1 }, ...rest]).turns).toBeUndefined();
    expect(rimOf([{ ...circle(3)[0]!, bulge: 0.9 }, circle(3)[1]!]).isCircle).toBe(false);
  });
});

describe('what tells sections apart', () => {
  const told = (outer: Loop, ...holes: Loop[]) => toldOf([{ outer, holes }]);

  it('is the same of copies, and another where a digit is', () => {
    expect(told(structuredClone(square))).toBe(told(square));
    expect(told(square.map((vertex, i) => (i === 2 ? { ...vertex, x: 9 + 1e-12 } : vertex)))).not.toBe(told(square));
    expect(told(square.map((vertex, i) => (i === 2 ? { ...vertex, bulge: 0.1 } : vertex)))).not.toBe(told(square));
    expect(told(square, reversed(circle(1)))).not.toBe(told(square));
    expect(
      toldOf([
        { outer: square, holes: [] },
        { outer: circle(1), holes: [] },
      ]),
    ).not.toBe(told(square, circle(1)));
  });

  it('is not fooled by vertices that weigh the same', () => {
    const [a, b, c, d] = square;
    const swapped = [{ ...a!, x: 2 }, { ...b!, x: 8 }, c!, d!];
    expect(told(swapped)).not.toBe(told(square));
  });
});
