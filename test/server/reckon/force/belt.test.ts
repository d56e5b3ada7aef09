import { describe, expect, it } from 'vitest';
import { type Anchor, beltAround } from '../../../../server/reckon/force/belt.ts';

const circle = (x: number, y: number, radius: number): Anchor => ({ x, y, radius });

describe('a belt over two pulleys', () => {
  it('runs straight and half round each where they are alike', () => {
    const { length, pull } = beltAround([circle(0, 0, 5), circle(40, 0, 5)]);
    expect(length).toBeCloseTo(80 + 10 * Math.PI, 9);
    expect(pull[0]).toEqual({ x: expect.closeTo(2, 9), y: expect.closeTo(0, 9) });
    expect(pull[1]).toEqual({ x: expect.closeTo(-2, 9), y: expect.closeTo(0, 9) });
  });

  it('is as long as the textbook says of an open belt: √(4C² − (D − d)²) + (Dθ + dΘ)/2 (Shigley ch. 17, from memory)', () => {
    const [C, D, d] = [60, 40, 16];
    const half = Math.asin((D - d) / (2 * C));
    const expected = Math.sqrt(4 * C * C - (D - d) ** 2) + (D * (Math.PI + 2 * half) + d * (Math.PI - 2 * half)) / 2;
    expect(beltAround([circle(0, 0, D / 2), circle(C, 0, d / 2)]).length).toBeCloseTo(expected, 9);
    expect(beltAround([circle(C, 0, d / 2), circle(0, 0, D / 2)]).length).toBeCloseTo(expected, 9);
  });
});

describe('hooks', () => {
  it('make a polygon', () => {
    const square = [circle(10, 10, 0), circle(-10, 10, 0), circle(-10, -10, 0), circle(10, -10, 0)];
    const { length, pull, runs } = beltAround(square);
    expect(length).toBeCloseTo(80, 9);
    expect(runs).toHaveLength(4);
    expect(pull[0]).toEqual({ x: expect.closeTo(-1, 9), y: expect.closeTo(-1, 9) });
  });

  it('that lie within the hull are left out', () => {
    const hooks = [circle(10, 10, 0), circle(0, 4, 0), circle(-10, 10, 0), circle(-10, -10, 0), circle(10, -10, 0)];
    const { length, pull, runs } = beltAround(hooks);
    expect(length).toBeCloseTo(80, 9);
    expect(pull[1]).toEqual({ x: 0, y: 0 });
    expect(runs.flatMap(({ from, to }) => [from, to])).not.toContain(1);
  });

  it('on a run bear nothing, whether it touches them or not', () => {
    for (const y of [10 - 1e-9, 10, 10 + 1e-9]) {
      const { length, pull } = beltAround([circle(10, 10, 0), circle(0, y, 0), circle(-10, 10, 0), circle(0, -10, 0)]);
      expect(length).toBeCloseTo(20 + 2 * Math.hypot(10, 20), 6);
      expect(Math.hypot(pull[1].x, pull[1].y)).toBeLessThan(1e-6);
    }
  });

  it('passed on the other side (radius −0) bend the belt inwards, and are left out where it does not reach them', () => {
    const around = (y: number) =>
      beltAround([circle(10, 10, 0), circle(0, y, -0), circle(-10, 10, 0), circle(-10, -10, 0), circle(10, -10, 0)]);
    expect(around(4).length).toBeCloseTo(60 + 2 * Math.hypot(10, 6), 9);
    expect(around(4).pull[1].y).toBeCloseTo((2 * 6) / Math.hypot(10, 6), 9);
    expect(around(14).length).toBeCloseTo(80, 9);
    expect(around(14).pull[1]).toEqual({ x: 0, y: 0 });
  });
});

it('posts passed on the other side add their arc', () => {
  // A straight run from (±20, 0) pressed down by a circle of radius 3 at the middle, and back along a far hook.
  const { length } = beltAround([circle(20, 0, 0), circle(0, 0, -3), circle(-20, 0, 0), circle(0, -50, 0)]);
  const run = Math.sqrt(400 - 9);
  const bend = 2 * Math.asin(3 / 20);
  expect(length).toBeCloseTo(2 * run + 3 * bend + 2 * Math.hypot(20, 50), 9);
});

it('a circle within another is left out', () => {
  const { length, pull } = beltAround([circle(0, 0, 10), circle(2, 0, 3), circle(30, 0, 5)]);
  expect(length).toBeCloseTo(beltAround([circle(0, 0, 10), circle(30, 0, 5)]).length, 9);
  expect(pull[1]).toEqual({ x: 0, y: 0 });
});

it('one circle alone is gone round; nothing and nowhere are nothing', () => {
  expect(beltAround([circle(3, 4, 2)]).length).toBeCloseTo(4 * Math.PI, 9);
  expect(beltAround([])).toEqual({ length: 0, runs: [], pull: [] });
  expect(beltAround([circle(1, 1, 0), circle(1, 1, 0)]).length).toBe(0);
});

it('the pull is the slope of the length: what a hook is moved, the belt grows by less the pull', () => {
  const at = (x: number, y: number) =>
    beltAround([circle(30, 20, 4), circle(x, y, 0), circle(-25, 10, 6), circle(-3, 2, -2), circle(0, -30, 3)]);
  const { pull } = at(4, 40);
  const by = 1e-5;
  expect((at(4 + by, 40).length - at(4 - by, 40).length) / (2 * by)).toBeCloseTo(-pull[1].x, 6);
  expect((at(4, 40 + by).length - at(4, 40 - by).length) / (2 * by)).toBeCloseTo(-pull[1].y, 6);
});

it('the pulls cancel: a belt pulls on nothing but its anchors', () => {
  const { pull } = beltAround([circle(30, 20, 4), circle(4, 40, 0), circle(-25, 10, 6), circle(0, -30, 3)]);
  expect(pull.reduce((sum, { x }) => sum + x, 0)).toBeCloseTo(0, 9);
  expect(pull.reduce((sum, { y }) => sum + y, 0)).toBeCloseTo(0, 9);
});

it('is fast: a thousand belts over nine anchors in a few milliseconds', () => {
  const anchors = Array.from({ length: 9 }, (_, i) =>
    circle(40 * Math.cos((i * 2 * Math.PI) / 9), 40 * Math.sin((i * 2 * Math.PI) / 9), i % 3 ? 0 : 2),
  );
  // The best of some rounds: others may be busy on the same machine.
  const rounds = Array.from({ length: 10 }, () => {
    const since = process.cpuUsage();
    for (let i = 0; i < 1000; i++) beltAround(anchors);
    return process.cpuUsage(since).user / 1000;
  });
  expect(Math.min(...rounds)).toBeLessThan(10);
});
