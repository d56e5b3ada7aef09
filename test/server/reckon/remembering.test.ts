import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import type { Cam, Mechanism, Segment } from '../../../language/mechanism.ts';
import type { FollowedLift } from '../../../server/reckon/figures.ts';
import { reckon, reckoning, refined } from '../../../server/reckon/figures.ts';
import { radians } from '../../../server/reckon/motion/angles.ts';
import { finished } from '../../../server/reckon/pausing.ts';
import { Latest, numberFor } from '../../../server/reckon/remembering.ts';
import { angle, bar, count, digits, gear, given, numeral, reference, shaft } from '../../mechanisms.ts';
import { programme } from './shape/lifts.ts';

describe('the latest answers', () => {
  it('are kept, and those that are asked for again outlive the others', () => {
    const latest = new Latest<number>(3);
    latest.keep('often', 0);
    for (let i = 1; i <= 20; i++) {
      latest.keep(`${i}`, i);
      expect(latest.get('often')).toBe(0);
    }
    expect([18, 19, 20].map((i) => latest.get(`${i}`))).toEqual([18, 19, 20]);
    expect(latest.get('10')).toBeUndefined();
  });

  it('are told apart by numbers that stand for objects and for texts', () => {
    const [one, other] = [{}, {}];
    expect(numberFor(one)).toBe(numberFor(one));
    expect(numberFor('one')).toBe(numberFor('one'));
    expect(new Set([one, other, 'one', 'other'].map(numberFor)).size).toBe(4);
  });
});

// ---- every number tells ------------------------------------------------------------------------------------

describe('what is kept of other numbers', () => {
  const rider = { prime: 20, offset: 3, nose: 1.5 };
  const arm = { prime: 20, nose: 1.5, pivot: { x: 30, y: 40 }, arm: 45 };
  const limit = radians(30);
  const flat = { base: 18, offset: 2 };
  /** All that is asked of a lift under a nose, an arm and a face. */
  async function asked(lift: FollowedLift, { rider, arm, flat, limit }: typeof numbers) {
    const profile = await import('../../../server/reckon/shape/profile.ts');
    const pivoted = await import('../../../server/reckon/shape/pivoted.ts');
    const face = await import('../../../server/reckon/shape/flat.ts');
    return [
      profile.shapeOf(lift, rider),
      profile.smallestBase(lift, rider, limit),
      profile.shortestTravel(lift, rider, limit),
      pivoted.pivotedShapeOf(lift, arm),
      pivoted.smallestPivotedBase(lift, arm, limit),
      pivoted.shortestPivotedTravel(lift, arm, limit),
      face.faceReach(lift, flat.offset),
      face.smallestFlatBase(lift),
      face.shortestFlatTravel(lift, flat.base),
    ];
  }
  const lobes = [
    [40, 80, 25],
    [200, 210, 25],
  ];
  const lift = programme('simple harmonic', 4, ...lobes);
  const numbers = { rider, arm, flat, limit };
  const cases = {
    'no other': [lift, numbers],
    'another prime radius': [lift, { ...numbers, rider: { ...rider, prime: 21 } }],
    'another offset': [lift, { ...numbers, rider: { ...rider, offset: 2 } }],
    'another nose': [lift, { ...numbers, rider: { ...rider, nose: 9 } }],
    'another limit': [lift, { ...numbers, limit: 0.4 }],
    'another stroke': [programme('simple harmonic', 5, ...lobes), numbers],
    'another law': [programme('cycloidal', 4, ...lobes), numbers],
    'another travel': [programme('simple harmonic', 4, [40, 80, 20], [200, 210, 25]), numbers],
    'lobes that overlap': [programme('simple harmonic', 4, [40, 80, 25], [110, 210, 25]), numbers],
    'another arm': [lift, { ...numbers, arm: { ...arm, arm: 44 } }],
    'an arm of another prime radius': [lift, { ...numbers, arm: { ...arm, prime: 21 } }],
    'an arm about another place': [lift, { ...numbers, arm: { ...arm, pivot: { x: 30, y: 41 } } }],
    'an arm about a place farther along': [lift, { ...numbers, arm: { ...arm, pivot: { x: 31, y: 40 } } }],
    'an arm with another nose': [lift, { ...numbers, arm: { ...arm, nose: 9 } }],
    'another base under a face': [lift, { ...numbers, flat: { ...flat, base: 3 } }],
    'a face that stands elsewhere': [lift, { ...numbers, flat: { ...flat, offset: 1 } }],
  } as const;

  it.each(Object.entries(cases))('is no answer: %s', async (_, [one, of]) => {
    for (const [before, others] of Object.values(cases)) await asked(before, others);
    const here = await asked(one, of);
    vi.resetModules();
    expect(here).toEqual(await asked(one, of));
  });

  it('is no outline of a gear', async () => {
    const plain = gear('wheel', 'axle', 24);
    const others = [{ module: given(1.1) }, { teeth: given(25) }, { pressureAngle: angle(25) }, { shift: given(0.2) }];
    const cut = async () => {
      const { gearOutlineLoop } = await import('../../../server/reckon/parts/gear-outline.ts');
      const by = (thinner: number, at: number, more = {}) => gearOutlineLoop({ ...plain, ...more }, thinner, at)!;
      return [by(0.1, 0), by(0.1, 0), by(0.2, 0), by(0.1, 0.02), ...others.map((more) => by(0.1, 0, more))];
    };
    const [outline, again, ...rest] = await cut();
    expect(again).toBe(outline);
    expect(new Set(rest.map((one) => JSON.stringify(one))).add(JSON.stringify(outline)).size).toBe(rest.length + 1);
  });
});

// ---- figures after any edits are those of a program that has just started ----------------------------------

const post = (x: number, y: number) => given({ width: 4, height: 4, at: { x, y } });
const bars: Readonly<Record<string, readonly number[]>> = {
  a: [44, 6, 0, 66],
  b: [6, 44, 31, 35],
  f: [6, 44, -31, 35],
  g: [44, 6, 0, 3.5],
  d: [44, 6, 0, -66],
  c: [6, 44, 31, -35],
  e: [6, 44, -31, -35],
};
const start: Mechanism = numeral({
  keys: [
    {
      kind: 'key', name: 'dee', place: given(0).place, whole: given(0).place, unclear: [],
      shape: given('flat'), outer: given(18), inner: given(15.3), clearance: given(0.1),
    },
  ], // biome-ignore format: a record
  shafts: numeral().shafts.map((one) => ({ ...one, key: reference('dee') })),
  segments: numeral().segments.map((one) => {
    const [width, height, x, y] = bars[one.name]!;
    return { ...one, bar: given(bar(width!, height!, x!, y!)), post: post(x!, y!) };
  }),
  springs: [
    {
      kind: 'spring', name: 'coils', place: given(0).place, whole: given(0).place, unclear: [],
      returns: [...'abfgdce'].map(reference), rate: given(0.08), preload: given(0.9),
    },
  ], // biome-ignore format: a record
});

type Edit = (m: Mechanism) => Mechanism;

const some = <T>(...values: readonly T[]) => fc.constantFrom(...values);
const onCam = (change: (cam: Cam) => Partial<Cam>) =>
  some(...Array.from({ length: 7 }, (_, i) => i)).map(
    (which): Edit =>
      (m) => ({ ...m, cams: m.cams.map((one, i) => (i === which ? { ...one, ...change(one) } : one)) }),
  );
const onSegment = (change: (segment: Segment) => Partial<Segment>) =>
  some(...Array.from({ length: 7 }, (_, i) => i)).map(
    (which): Edit =>
      (m) => ({ ...m, segments: m.segments.map((one, i) => (i === which ? { ...one, ...change(one) } : one)) }),
  );
const chosen = <T, E>(values: readonly T[], edit: (value: T) => fc.Arbitrary<E>) => some(...values).chain(edit);

/** Few values of each, so that one is often gone back to while others have changed. */
const edits: fc.Arbitrary<Edit> = fc.oneof(
  chosen([22, 22.5, 30, 9], (base) => onCam(() => ({ base: given(base) }))),
  chosen(['simple harmonic', 'cycloidal', 'constant acceleration'] as const, (name) =>
    onCam(() => ({ law: given({ name }) })),
  ),
  chosen([20, 25, 40], (travel) => onCam(() => ({ travel: angle(travel) }))),
  chosen([1, 2, 3], (level) => onCam(() => ({ level: given(level) }))),
  chosen([3, 3.5, 6], (stroke) => onSegment(() => ({ stroke: given(stroke) }))),
  chosen([1.5, 4], (nose) => onSegment(() => ({ nose: given(nose) }))),
  chosen([0, 90, 180, 270], (azimuth) => onSegment(() => ({ azimuth: angle(azimuth) }))),
  chosen([0, 3], (offset) => onSegment(() => ({ offset: given(offset) }))),
  chosen([8, 14], (guide) => onSegment(() => ({ guide: given(guide) }))),
  chosen([2, 6], (stem) => onSegment(() => ({ stem: given(stem) }))),
  chosen(['raised', 'lowered'] as const, (shown) => onSegment(() => ({ shown: given(shown) }))),
  chosen(['round', 'flat'] as const, (kind) => onSegment(() => ({ follower: given({ kind }) }))),
  chosen([0, 4, 30], (x) => onSegment(({ post: old }) => ({ post: post(x, old!.value.at.y) }))),
  chosen([30, 44, 60], (width) => onSegment(({ bar: old }) => ({ bar: given({ ...old!.value, width }) }))),
  some(35, 25.5, 20).map(
    (y): Edit =>
      (m) => ({ ...m, shafts: m.shafts.map((one, i) => ({ ...one, at: given({ x: 0, y: i ? -y : y }) })) }),
  ),
  some(70, 35).map(
    (teeth): Edit =>
      (m) => ({ ...m, gears: [m.gears[0]!, gear('lowerGear', 'lower', teeth)] }),
  ),
  some(0.1, 0.3).map(
    (clearance): Edit =>
      (m) => ({ ...m, keys: m.keys.map((one) => ({ ...one, clearance: given(clearance) })) }),
  ),
  some(0.9, 1.4).map(
    (preload): Edit =>
      (m) => ({ ...m, springs: m.springs.map((one) => ({ ...one, preload: given(preload) })) }),
  ),
  some(1, 2).map(
    (times): Edit =>
      (m) => ({ ...m, count: count(digits, times) }),
  ),
);

it('is not seen in the figures: after any edits they are those of a program that has just started', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(edits, { minLength: 3, maxLength: 6 }), async (list) => {
      let m = start;
      for (const edit of list) {
        m = edit(m);
        finished(refined(m, reckon(m)));
      }
      const coarse = reckon(m);
      const fine = finished(refined(m, coarse));
      vi.resetModules();
      const fresh = await import('../../../server/reckon/figures.ts');
      const again = fresh.reckon(m);
      expect(coarse).toEqual(again);
      expect(fine).toEqual(finished(fresh.refined(m, again)));
      expect(fine).toEqual(finished(refined(m, finished(reckoning(m, 'fine')))));
    }),
    { numRuns: 10 },
  );
}, 120_000);

// ---- nobody waits long -----------------------------------------------------------------------------------

describe('pauses', () => {
  const near = (apart: number) => [shaft('upper', [0, apart / 2], 'clockwise'), shaft('lower', [0, -apart / 2])];
  const cams = numeral().cams.filter(({ level }) => level!.value < 2);
  const wide = cams.map((one) => ({ ...one, base: given(40) }));
  const driven = numeral().segments.filter(({ name }) => cams.some((one) => one.segments[0]!.name === name));
  const barred = driven.map((one, i) => ({
    ...one,
    stem: given(3),
    bar: given(bar(44, 6, i, i)),
    post: post(i, i),
  }));
  const badly: Readonly<Record<string, Mechanism>> = {
    'shafts 10 mm apart under cams of 40 mm': numeral({ shafts: near(10), cams: wide, segments: barred }),
    'gears of 80 and 40 teeth': numeral({
      shafts: near(60),
      cams: wide,
      segments: barred,
      gears: [gear('upperGear', 'upper', 80), gear('lowerGear', 'lower', 40)],
    }),
    'a train that comes home after 79 turns': numeral({
      shafts: near(60),
      cams: wide,
      segments: barred,
      gears: [gear('upperGear', 'upper', 79), gear('lowerGear', 'lower', 41)],
    }),
    'small cams under large noses': numeral({
      shafts: near(40),
      cams: cams.map((one) => ({ ...one, base: given(6) })),
      segments: barred.map((one) => ({ ...one, nose: given(12), stroke: given(20) })),
    }),
  };

  it.each(Object.entries(badly))('lie close together: %s', async (_, m) => {
    // The same stretches each time; the least of three tells each without what else the machine does.
    const runs: number[][] = [];
    for (let run = 0; run < 3; run++) {
      vi.resetModules();
      const fresh = await import('../../../server/reckon/figures.ts');
      const steps = fresh.refined(m, fresh.reckon(m));
      const stretches: number[] = [];
      for (let done = false; !done; ) {
        const since = process.cpuUsage();
        done = steps.next().done === true;
        const { user, system } = process.cpuUsage(since);
        stretches.push((user + system) / 1000);
      }
      runs.push(stretches);
    }
    expect(new Set(runs.map(({ length }) => length)).size).toBe(1);
    expect(runs[0]!.length).toBeGreaterThan(1000);
    const least = runs[0]!.map((_, i) => Math.min(...runs.map((run) => run[i]!)));
    expect(least.reduce((most, spent) => Math.max(most, spent))).toBeLessThan(20);
  });
});
