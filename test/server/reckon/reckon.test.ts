import { describe, expect, it } from 'vitest';
import type { Cam } from '../../../language/mechanism.ts';
import { figuresText } from '../../../server/outputs/figures.ts';
import { type Figures, reckon } from '../../../server/reckon/figures.ts';
import { angle, digits, given, mechanism, nowhere, numeral } from '../../mechanisms.ts';

describe('a ten-digit numeral', () => {
  const figures = reckon(numeral());

  it('shows every digit', () => {
    expect(figures.positions.map((position) => position.symbol)).toEqual(digits);
    for (const position of figures.positions) expect(position.wrong).toEqual([]);
    expect(figures.positions[4].shown).toEqual(['b', 'f', 'g', 'c']);
  });

  it('says what it took for granted', () => {
    expect(figures.defaults).toContainEqual({ of: 'camA.travel', value: '30 deg', because: '5/6 of the step' });
    // Nothing returns its bars.
    expect(figures.missing.map(({ wants }) => wants)).toEqual(['spring']);
  });
});

describe('the travel of a cam', () => {
  const flat = (change: Partial<Cam>) =>
    reckon(numeral({ cams: numeral().cams.map((one) => (one.name === 'camA' ? { ...one, ...change } : one)) }));
  const travelOf = (figures: Figures) => ({
    travel: figures.cams[0]!.travel,
    taken: figures.defaults.some(({ of }) => of === 'camA.travel'),
  });
  const lobes = (...own: boolean[]): Cam['lobes'] => ({
    by: 'angles',
    lobes: own.map((states, i) => ({
      from: angle(120 * i),
      to: angle(120 * i + 40),
      place: nowhere,
      ...(states && { before: angle(25), after: angle(20 + i) }),
    })),
  });

  it('is said only where a flank leans on it', () => {
    const none = { travel: undefined, taken: false };
    const some = { travel: expect.closeTo(Math.PI / 6), taken: true };
    expect(travelOf(flat({}))).toEqual(some);
    expect(travelOf(flat({ lobes: lobes(true, true) }))).toEqual(none);
    expect(travelOf(flat({ lobes: lobes(true, false) }))).toEqual(some);
    expect(travelOf(flat({ rise: { width: angle(20) } }))).toEqual(some);
    expect(travelOf(flat({ rise: { width: angle(20) }, fall: { width: angle(24) } }))).toEqual(none);
    const shapes = figuresText(flat({ lobes: lobes(true, true) })).split('Cam shapes')[1]!;
    expect(shapes).toMatch(/camA {2,}\d+\.\d+ +\d/);
    expect(shapes).toMatch(/camB +30 /);
  });
});

describe('a segment that no cam drives', () => {
  const without = (shown: 'raised' | 'lowered') =>
    reckon(
      numeral({
        cams: numeral().cams.filter(({ name }) => name !== 'camE'),
        segments: numeral().segments.map((one) => (one.name === 'e' ? { ...one, shown: given(shown) } : one)),
      }),
    );

  it('is wrong wherever a symbol wants it otherwise than lowered', () => {
    const wrong = (figures: Figures) =>
      figures.positions.filter(({ wrong }) => wrong.includes('e')).map(({ symbol }) => symbol);
    expect(wrong(without('raised'))).toEqual(['0', '2', '6', '8']);
    expect(wrong(without('lowered'))).toEqual(['1', '3', '4', '5', '7', '9']);
  });

  it('stays out as long as its cam may still be written', () => {
    const half = reckon(
      numeral({ cams: numeral().cams.map((one) => (one.name === 'camE' ? { ...one, segments: [] } : one)) }),
    );
    expect(half.positions[0]!.bars.map(({ segment }) => segment)).not.toContain('e');
  });
});

it('reckons nothing of nothing', () => {
  const figures = reckon(mechanism({}));
  expect(figures.positions).toEqual([]);
  expect(figures.cams).toEqual([]);
});
