import { describe, expect, it } from 'vitest';
import { reckon } from '../../../server/reckon/figures.ts';
import { digits, mechanism, numeral } from '../../mechanisms.ts';

describe('a ten-digit numeral', () => {
  const figures = reckon(numeral());

  it('shows every digit', () => {
    expect(figures.positions.map((position) => position.symbol)).toEqual(digits);
    for (const position of figures.positions) expect(position.wrong).toEqual([]);
    expect(figures.positions[4].shown).toEqual(['b', 'f', 'g', 'c']);
  });

  it('says what it took for granted', () => {
    expect(figures.defaults).toContainEqual({ of: 'camA.travel', value: '30 deg', because: '5/6 of the step' });
    expect(figures.missing).toEqual([]);
  });
});

it('reckons nothing of nothing', () => {
  const figures = reckon(mechanism({}));
  expect(figures.positions).toEqual([]);
  expect(figures.cams).toEqual([]);
});
