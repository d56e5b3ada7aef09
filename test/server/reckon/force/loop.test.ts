/** One elastic loop for all outer bars: where it binds first. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { findingsOf } from '../../../../server/checks/index.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { mechanismsIn } from '../../../designs.ts';

const text = readFileSync('examples/weir-gauge.lobe', 'utf8');
const withLoop = (length: number): Mechanism => mechanismsIn(text.replace('loop 125 mm', `loop ${length} mm`))[0]!;
const slackSteps = (m: Mechanism): string[] =>
  findingsOf(m, reckon(m))
    .filter(({ code }) => code === 'slack-return')
    .flatMap(({ message }) => [...message.matchAll(/from "(.)" to "(.)"/g)].map(([, from, to]) => `${from}→${to}`));

describe('with one loop for the outer bars', () => {
  const f = reckon(withLoop(125));
  const [{ tension }] = f.bands as [(typeof f.bands)[number]];

  it('the tension follows how many of them are up, those that pull more on it counting more', () => {
    const up = f.positions.map(({ shown }) => shown.filter((bar) => bar !== 'g').length);
    for (const [i, one] of up.entries())
      for (const [j, other] of up.entries()) if (one < other) expect(tension![i]).toBeLessThan(tension![j]!);
    // 1 shows the fewest, two.
    expect(tension!.indexOf(Math.min(...tension!))).toBe(1);
  });

  it('binding shows first at the digit that leaves it slackest, then at the next (common practice)', () => {
    expect(slackSteps(withLoop(125))).toEqual([]);
    const seen: string[][] = [];
    for (let length = 126; length < 160; length++) {
      const steps = slackSteps(withLoop(length));
      if (steps.length > (seen.at(-1)?.length ?? 0)) seen.push(steps);
    }
    const slackest = f.positions.map(({ symbol, index }) => ({ symbol, tension: tension![index]! }));
    slackest.sort((a, b) => a.tension - b.tension);
    // Where bars fall and come to rest: on to 1, the slackest; on to 7, the next but 4, on to which only a and d fall,
    // on which the loop pulls half as much again.
    expect(slackest.slice(0, 3).map(({ symbol }) => symbol)).toEqual(['1', '4', '7']);
    expect(seen[0]).toEqual(['0→1']);
    expect(seen[1]!.slice(0, 2)).toEqual(['0→1', '6→7']);
  });

  it('its pull on a bar and along it is the belt’s, by hand', () => {
    // At 1 only b and c are up. Bar a is down: its hook lies at (0, 66), between two posts of 2 mm at (±16, 43), which
    // stand outside: the runs to them are inner tangents, at sin β = 2/√(16² + 23²) to the line of centres.
    const beside = Math.atan2(16, 23) - Math.asin(2 / Math.hypot(16, 23));
    const step = f.forces.cases.find(({ usedByFindings }) => usedByFindings)!.steps[3]!;
    // From 3 to 4 a falls; the least return it has is at 4, or on the way to it.
    const pull = 2 * Math.cos(beside) * tension![4]!;
    expect(step.returnMargin!.segment).toMatch(/[ad]/);
    expect(step.returnMargin!.back).toBeCloseTo(pull, 2);
  });
});
