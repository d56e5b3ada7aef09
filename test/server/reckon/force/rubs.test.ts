import { describe, expect, it } from 'vitest';
import type { Mechanism, Segment } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { momentAt, torquesAt } from '../../../../server/reckon/force/courses.ts';
import { forceModel } from '../../../../server/reckon/force/model.ts';
import { rubsOf } from '../../../../server/reckon/force/rubs.ts';
import { example } from '../../../designs.ts';
import { cam, count, given, lobesAt, mechanism, nowhere, reference, segment, shaft } from '../../../mechanisms.ts';

const spring = {
  place: nowhere,
  whole: nowhere,
  unclear: [],
  kind: 'spring' as const,
  name: 'coils',
  returns: [reference('a')],
  rate: given(0.2),
  preload: given(1.5),
};

const single = (follower: Partial<Segment>, more: Partial<Mechanism> = {}): Mechanism =>
  mechanism({
    count: count(Array.from({ length: 8 }, (_, i) => `${i}`)),
    shafts: [shaft('axle', [0, 0], 'clockwise', { bearing: given(8) })],
    segments: [segment('a', 90, { stroke: given(6), drag: given(0.3), guide: given(14), ...follower })],
    cams: [cam('camA', 'axle', 'a', { base: given(30), lobes: lobesAt([90, 150, 45], [240, 300, 40]) })],
    springs: [spring],
    ...more,
  });

/** What turning takes over one turn, by the midpoint rule on many pieces; N·mm. */
function drivenBy(m: Mechanism, direction: 'forward' | 'reverse'): number {
  const figures = reckon(m);
  const model = forceModel(m, figures, { defaults: [], missing: [] })!;
  const steps = figures.positions.length;
  const pieces = 4000;
  let total = 0;
  for (let i = 0; i < pieces; i++)
    for (const torque of torquesAt(
      model,
      momentAt(model, ((i + 0.5) / pieces) * steps),
      m.assembled.value === 'dry' ? 'dry' : 'greased',
      direction,
    ))
      total += torque;
  return (total * 2 * Math.PI) / pieces;
}

const sumOf = (m: Mechanism) =>
  rubsOf(m, reckon(m))
    .filter(({ at }) => at !== 'bearing')
    .reduce((sum, { work }) => sum + work, 0);

describe('over a whole turn nothing is stored, so what turning takes is what friction takes', () => {
  const onArm = (x: number) => ({ follower: given({ kind: 'pivoted' as const, at: { x, y: 20 }, arm: 38 }) });
  const followers: [string, Partial<Segment>][] = [
    ['a round nose', {}],
    ['a nose to the left of the shaft', { offset: given(5) }],
    ['a nose to the right', { offset: given(-4) }],
    ['a flat face', { follower: given({ kind: 'flat' }) }],
    ['a nose on an arm', onArm(40)],
    ['a nose on an arm on the other side', onArm(-40)],
  ];
  it.each(followers)('of %s', (_, follower) => {
    for (const runs of ['forward', 'reverse'] as const) {
      const m = single(follower, { runs: given(runs) });
      const driven = drivenBy(m, runs);
      expect(driven).toBeGreaterThan(100);
      expect(Math.abs(sumOf(m) / driven - 1)).toBeLessThan(0.003);
    }
  });

  it('of the examples', () => {
    for (const name of ['berth-sign', 'lock-countdown', 'signal-box', 'score-tally', 'pier-flag']) {
      const [m] = example(name);
      expect(Math.abs(sumOf(m!) / drivenBy(m!, 'forward') - 1), name).toBeLessThan(0.003);
    }
  });
});

describe('one bar that always rests on a round cam (derived)', () => {
  const m = single({}, { cams: [cam('camA', 'axle', 'a', { base: given(30), lobes: { by: 'angles', lobes: [] } })] });

  it('its nose rubs μF·2π·base, its guide not at all, and the bearing bears its pull and its friction', () => {
    const rubs = rubsOf(m, reckon(m));
    const of = (at: string) => rubs.find((rub) => rub.at === at)?.work ?? 0;
    expect(of('nose')).toBeCloseTo(0.3 * 1.5 * 2 * Math.PI * 30, 9);
    expect(of('guide')).toBe(0);
    expect(of('bearing')).toBeCloseTo(0.3 * 1.5 * Math.hypot(1, 0.3) * 4 * 2 * Math.PI, 9);
    expect(rubs.map(({ at }) => at)).toEqual(['nose', 'bearing']);
  });
});

it('without what returns the bars, or where one jams, nothing is ranked', () => {
  const [sign] = example('berth-sign');
  expect(rubsOf({ ...sign!, springs: [] }, reckon({ ...sign!, springs: [] }))).toEqual([]);
  const stuck = single({ guide: given(1.5), overhang: given(40) });
  expect(rubsOf(stuck, reckon(stuck))).toEqual([]);
});
