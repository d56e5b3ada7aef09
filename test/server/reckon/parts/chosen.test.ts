import { describe, expect, it } from 'vitest';
import { pushedBoard } from '../../../../server/checks/examples.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { boxOf } from '../../../../server/reckon/parts/loop.ts';
import { blanksOf } from '../../../../server/reckon/parts/parts.ts';
import { example, mechanismsIn } from '../../../designs.ts';

describe('sizes of parts that the text leaves open', () => {
  it('are told as defaults, and are those of the parts', () => {
    const [m] = example('lock-countdown');
    const figures = reckon(m!);
    const told = Object.fromEntries(figures.defaults.map(({ of, value }) => [of, value]));
    const { blanks } = blanksOf(m!, figures);
    const named = (name: string) => blanks.find((blank) => blank.name === name)!;
    const wheel = named('click');
    expect(told['click.wheel radius']).toBe(`${boxOf([wheel.prisms[0]!.regions[0]!.outer]).right} mm`);
    expect(told['click.wheel width']).toBe(`${wheel.prisms[0]!.to} mm`);
    expect(told['click.wheel tooth']).toBe('1.6 mm');
    const arm = named('lever arm').prisms;
    expect(told['lever.arm width']).toBe(`${Number((arm.at(-1)!.to - arm.at(-1)!.from).toFixed(3))} mm`);
    const pin = boxOf([arm[0]!.regions[0]!.outer]);
    expect(told['lever.pin radius']).toBe(`${Number(((pin.top - pin.bottom) / 2).toFixed(3))} mm`);
    const shaft = named('drum').prisms;
    expect(told['drum.journal']).toBe(`${shaft[0]!.to - shaft[0]!.from} mm`);
    const cap = boxOf([named('lever').prisms.at(-1)!.regions[0]!.outer]);
    expect(told['lever.cap']).toBe(`${Number((cap.right - cap.left).toFixed(3))} mm`);
  });

  it('are not told where the text gives them, or too little for the part', () => {
    const defaults = (push: string, ratchet?: string) =>
      reckon(
        mechanismsIn(pushedBoard(push, ratchet).replace('turns clockwise', 'turns clockwise   bearing 6 mm'))[0]!,
      ).defaults.map(({ of }) => of);
    const given = defaults(
      'push button turns axle { arm 14 mm }',
      'ratchet click on axle { teeth 12   arm 20 mm by 1 mm by 3 mm   deflection 1 mm }',
    );
    expect(given.filter((of) => of.startsWith('click.') || of.startsWith('button.'))).toEqual(['click.wheel radius']);
  });
});
