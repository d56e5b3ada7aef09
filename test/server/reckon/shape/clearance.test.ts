import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians, turn } from '../../../../server/reckon/motion/angles.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { bodiesOf } from '../../../../server/reckon/shape/bodies.ts';
import {
  type ClearanceFigure,
  clearanceOf,
  clearancesOf,
  type Setting,
} from '../../../../server/reckon/shape/clearance.ts';
import { camOutline } from '../../../../server/reckon/shape/cutting.ts';
import { facing } from '../../../../server/reckon/shape/facing.ts';
import { disc, type Outline } from '../../../../server/reckon/shape/outline.ts';
import type { Grid } from '../../../../server/reckon/shape/over-turn.ts';
import { commonPeriod } from '../../../../server/reckon/shape/over-turn.ts';
import { stackOf } from '../../../../server/reckon/shape/stack.ts';
import { cam, gear, given, lobesAt, mechanism, mesh, numeral, segment, shaft } from '../../../mechanisms.ts';
import { programme } from './lifts.ts';
import { gapBetween, placed, regionOf, touches } from './oracle.ts';

const camOf = (prime: number, stroke: number, ...lobes: number[][]): Outline =>
  camOutline(programme('simple harmonic', stroke, ...lobes), { kind: 'round', prime, nose: 1.5, offset: 0 })!;

const fine = 'fine';
const geared: Setting = { distance: 50, azimuth: 0, rates: [-1, 1], period: turn };
const ask = (a: Outline, b: Outline, setting: Partial<Setting> = {}, grid: Grid = fine) =>
  finished(clearanceOf({ outline: a }, { outline: b }, { ...geared, ...setting }, grid));

describe('gaps by hand', () => {
  it('of two discs is the distance less their radii', () => {
    expect(ask(disc(20)!, disc(22)!)).toEqual({ gap: expect.closeTo(8, 9), within: 0, touching: [] });
    expect(ask(disc(20)!, disc(32)!)).toMatchObject({ gap: expect.closeTo(-2, 9), touching: [[0, turn]] });
  });

  it('of a disc and a cam is least when the lobe faces the disc', () => {
    // crest at cam angle 60°, the cam turns clockwise: it faces azimuth 0 after 60°
    const found = ask(camOf(23.5, 4, [40, 80, 25]), disc(20)!);
    expect(found.gap).toBeCloseTo(50 - 26 - 20, 9);
    expect(degrees(found.turn!)).toBeCloseTo(60, 2);
  });

  it('tells from where to where a lobe enters a disc', () => {
    const found = ask(camOf(23.5, 4, [40, 80, 25]), disc(25)!);
    expect(found.gap).toBeCloseTo(-1, 6);
    expect(found.touching).toHaveLength(1);
    const [from, to] = found.touching[0].map(degrees);
    expect((from + to) / 2).toBeCloseTo(60, 2);
    expect(from).toBeLessThan(40);
  });

  it('of two cams whose lobes never meet is that of lobe and base', () => {
    const found = ask(camOf(23.5, 3, [160, 200, 25]), camOf(21.5, 3, [60, 100, 25]), { distance: 47 });
    expect(found.gap).toBeCloseTo(47 - 25 - 20, 2);
    expect(found.within).toBeLessThan(0.0051);
  });

  it('wider than 3 mm is told within a fiftieth of what is wider', () => {
    const found = ask(camOf(23.5, 3, [160, 200, 25]), camOf(21.5, 3, [60, 100, 25]), { distance: 75 });
    expect(Math.abs(found.gap - 30)).toBeLessThanOrEqual(found.within);
    expect(found.within).toBeLessThan(0.005 + 0.02 * 27 + 1e-3);
  });

  it('of a disc on a shaft that comes home after fifteen turns are those of the cam alone, and as soon told', () => {
    // 48 teeth drive 45: the disc turns 16/15 times, the cam once
    const deep: Partial<Setting> = { distance: 69.75, rates: [-1, 16 / 15], period: 15 * turn };
    const gaps = () => ask(camOf(32, 5, [40, 80, 25]), disc(46.5)!, deep);
    const found = gaps();
    expect(found.touching).toEqual([[0, turn]]);
    const since = process.cpuUsage();
    gaps();
    const { user, system } = process.cpuUsage(since);
    expect((user + system) / 1000).toBeLessThan(20);
  });

  it('tells the touches of every round within a turn of the leading shaft', () => {
    const found = ask(camOf(23.5, 4, [40, 80, 25]), disc(25)!, { rates: [-2, 1], period: turn });
    expect(found.touching).toHaveLength(2);
    expect(degrees(found.touching[1][0] - found.touching[0][0])).toBeCloseTo(180, 3);
  });
});

describe('a clash at one angle only', () => {
  // The noses of two narrow lobes meet where the leading shaft has turned 217.4°; elsewhere they pass clear.
  const at = 217.4;
  const narrow = (middle: number) => camOf(21.5, 4, [middle - 0.5, middle + 0.5, 24]);
  const setting = { rates: [-1, 1], period: turn } as const;

  it('is found, with its angle to 0.2° and its depth to 0.01 mm', () => {
    const found = ask(narrow(at), narrow(180 - at), { ...setting, distance: 47.6 });
    expect(found.gap).toBeLessThan(0);
    expect(Math.abs(found.gap - -0.4)).toBeLessThan(0.01);
    expect(Math.abs(degrees(found.turn!) - at)).toBeLessThan(0.2);
    expect(found.touching).toHaveLength(1);
    const [from, to] = found.touching[0].map(degrees);
    expect(from).toBeGreaterThan(at - 10);
    expect(to).toBeLessThan(at + 10);
  });

  it('is found where it is no deeper than 0.02 mm', () => {
    const found = ask(narrow(at), narrow(180 - at), { ...setting, distance: 47.98 });
    expect(Math.abs(found.gap - -0.02)).toBeLessThan(0.003);
    expect(Math.abs(degrees(found.turn!) - at)).toBeLessThan(0.2);
  });

  it('is found in the second of two turns where only every other turn brings it', () => {
    // the second cam turns once for two turns of the first
    const slow = { rates: [-1, 0.5], period: 2 * turn, distance: 47.6 } as const;
    const found = ask(narrow(at), narrow(180 - (360 + at) / 2), slow);
    expect(Math.abs(degrees(found.turn!) - 360 - at)).toBeLessThan(0.2);
    expect(found.gap).toBeCloseTo(-0.4, 2);
  });

  it('is already seen, if less exactly, on the coarse grid', () => {
    const found = ask(narrow(at), narrow(180 - at), { ...setting, distance: 47.6 }, 'coarse');
    expect(Math.abs(found.gap - -0.4)).toBeLessThan(0.25);
  });
});

describe('gaps against polygon offsets and booleans', () => {
  const place = (setting: Setting, side: 0 | 1, at: number, outline: Outline) => {
    const turned = setting.rates[side] * at - setting.azimuth;
    return placed(regionOf(outline), turned, { x: side * setting.distance, y: 0 });
  };
  const oracle = (a: Outline, b: Outline, setting: Setting, at: number) =>
    gapBetween(place(setting, 0, at, a), place(setting, 1, at, b));

  const lobes = fc
    .array(
      fc.record({
        gap: fc.double({ min: 2, max: 60, noNaN: true }),
        wide: fc.double({ min: 0, max: 40, noNaN: true }),
      }),
      {
        minLength: 1,
        maxLength: 3,
      },
    )
    .map((list) => {
      let angle = 0;
      return list.map(({ gap, wide }) => {
        const from = angle + gap + 22;
        angle = from + wide + 22;
        return [from, from + wide, 22];
      });
    });
  const anyCam = fc
    .record({
      prime: fc.double({ min: 17, max: 30, noNaN: true }),
      stroke: fc.double({ min: 1, max: 5, noNaN: true }),
      lobes,
    })
    .map(({ prime, stroke, lobes }) => camOf(prime, stroke, ...lobes));

  it('at any stand: to 0.003 mm, touching or not', () => {
    fc.assert(
      fc.property(
        anyCam,
        anyCam,
        fc.double({ min: 40, max: 70, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        (a, b, distance, turnA, turnB) => {
          const here = facing(a, b, distance)(turnA, turnB, Infinity);
          const due = gapBetween(
            placed(regionOf(a), turnA, { x: 0, y: 0 }),
            placed(regionOf(b), turnB + Math.PI, { x: distance, y: 0 }),
          );
          expect(Math.abs(here - due)).toBeLessThan(3e-3);
        },
      ),
      { numRuns: 60 },
    );
  }, 120_000);

  it('over a turn: no stand is nearer than the least by more than 0.01 mm', () => {
    fc.assert(
      fc.property(
        anyCam,
        anyCam,
        fc.double({ min: 44, max: 62, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.constantFrom<readonly [number, number]>([-1, 1], [1, 1], [1, -0.5], [2, -1]),
        (a, b, distance, azimuth, rates) => {
          const setting: Setting = { distance, azimuth, rates, period: rates[1] === -0.5 ? 2 * turn : turn };
          const found = ask(a, b, setting);
          const gap = facing(a, b, distance);
          for (let at = 0; at < setting.period; at += radians(0.2)) {
            const here = gap(rates[0] * at - azimuth, rates[1] * at - azimuth - Math.PI, Infinity);
            expect(here).toBeGreaterThan(found.gap - 0.01);
          }
          if (found.turn !== undefined) {
            expect(Math.abs(oracle(a, b, setting, found.turn) - found.gap)).toBeLessThan(0.01);
          }
        },
      ),
      { numRuns: 8 },
    );
  }, 120_000);

  it('of a cam and a flange over a turn: to 0.01 mm at the least, and no stand is nearer', () => {
    fc.assert(
      fc.property(
        anyCam,
        fc.double({ min: 18, max: 28, noNaN: true }),
        fc.double({ min: 48, max: 62, noNaN: true }),
        (a, radius, distance) => {
          const flange = disc(radius)!;
          const setting: Setting = { ...geared, distance };
          const found = ask(a, flange, setting);
          expect(Math.abs(oracle(a, flange, setting, found.turn!) - found.gap)).toBeLessThan(0.01);
          for (let at = 0; at < turn; at += radians(7)) {
            expect(oracle(a, flange, setting, at)).toBeGreaterThan(found.gap - 0.01);
          }
        },
      ),
      { numRuns: 5 },
    );
  }, 120_000);

  it('the stretches in which they touch are those of polygon booleans', () => {
    const [a, b] = [camOf(23.5, 4, [40, 80, 25], [200, 210, 25]), camOf(25.5, 4, [110, 150, 25])];
    const setting: Setting = { ...geared, distance: 51 };
    const found = ask(a, b, setting);
    expect(found.touching.length).toBeGreaterThan(0);
    for (let degree = 0.25; degree < 360; degree += 1) {
      const at = radians(degree);
      const near = found.touching.some((edges) => edges.some((edge) => Math.abs(edge - at) < radians(0.05)));
      if (near) continue;
      const reckoned = found.touching.some(([from, to]) => (from <= to ? at > from && at < to : at > from || at < to));
      expect([degree, touches(place(setting, 0, at, a), place(setting, 1, at, b))]).toEqual([degree, reckoned]);
    }
  });

  it('a hundred times as fast as booleans at the same resolution', () => {
    const [a, b] = [camOf(23.5, 4, [40, 80, 25], [200, 210, 25]), camOf(23.5, 4, [110, 150, 25])];
    const setting: Setting = { ...geared, distance: 53 };
    const [one, two] = [regionOf(a), regionOf(b)];
    ask(a, b, setting);
    const stands = 40;
    let since = performance.now();
    for (let i = 0; i < stands; i++) {
      const at = (i * turn) / stands;
      touches(placed(one, setting.rates[0] * at, { x: 0, y: 0 }), placed(two, setting.rates[1] * at, { x: 53, y: 0 }));
    }
    // a turn in twentieths of a degree, and only the yes or no of touching
    const booleans = ((performance.now() - since) / stands) * 7200;
    since = performance.now();
    for (let i = 0; i < 5; i++) ask(a, b, setting);
    const own = (performance.now() - since) / 5;
    console.log(`clearance over a turn: ${own.toFixed(2)} ms; polygon booleans ${booleans.toFixed(0)} ms`);
    expect(booleans / own).toBeGreaterThan(100);
  });
});

describe('the numeral', () => {
  const m = numeral();
  const figures = reckon(m);
  const stack = stackOf(m);
  const all = () => finished(clearancesOf(m, figures, bodiesOf(m, figures, stack), fine));
  const pair = (found: readonly ClearanceFigure[], a: string, b: string) =>
    found.find(
      ({ between: [one, two] }) => one.name === a && two.name === b && one.kind === 'cam' && two.kind === 'cam',
    );

  it('is clear all round, by levels', () => {
    const { clearances, unreckoned } = all();
    expect(unreckoned.map(({ of }) => of)).toEqual(['upper', 'lower']); // neither key nor bearing
    expect(Math.min(...clearances.map(({ gap }) => gap))).toBeCloseTo(70 - 27 - 27, 6);
    expect(pair(clearances, 'camA', 'camD')).toBeDefined();
    expect(pair(clearances, 'camA', 'camC')).toBeUndefined();
    for (const { between, depth } of clearances) {
      expect(depth.to).toBeGreaterThan(depth.from);
      expect(between.map(({ kind }) => kind)).not.toContain('gear');
    }
  });

  it('says the angle in turns of the leading shaft and in steps', () => {
    const { clearances } = all();
    const { turn: angle, moment } = pair(clearances, 'camA', 'camD')!;
    expect(moment! * (turn / 10)).toBeCloseTo(angle!, 9);
  });

  it('pauses before each pair and while it looks; pairs that are known are not looked at again', () => {
    const close = numeral({ shafts: [shaft('upper', [0, 26.3], 'clockwise'), shaft('lower', [0, -26.3])] });
    const pausesIn = () => {
      const pairs = clearancesOf(close, figures, bodiesOf(m, figures, stack), fine);
      let pauses = 0;
      while (!pairs.next().done) pauses++;
      return pauses;
    };
    expect(pausesIn()).toBeGreaterThan(5 * all().clearances.length);
    expect(pausesIn()).toBe(0);
  });

  it('takes well under 150 ms for the fine pass and a few for the coarse', () => {
    let y = 25.2;
    const fresh = () => {
      y += 0.001;
      const next = numeral({
        shafts: [shaft('upper', [0, y], 'clockwise'), shaft('lower', [0, -y], 'counterclockwise')],
      });
      return { next, figures: reckon(next) };
    };
    const time = (grid: Grid) => {
      const rounds = 5;
      let spent = 0;
      for (let i = 0; i < rounds + 2; i++) {
        const { next, figures } = fresh();
        const since = process.cpuUsage();
        finished(clearancesOf(next, figures, bodiesOf(next, figures, stackOf(next)), grid));
        const { user, system } = process.cpuUsage(since);
        if (i >= 2) spent += (user + system) / 1000;
      }
      return spent / rounds;
    };
    const [coarse, best] = [time('coarse'), time('fine')];
    console.log(`all pairs of a numeral: coarse ${coarse.toFixed(2)} ms, fine ${best.toFixed(2)} ms`);
    expect(best).toBeLessThan(150);
    expect(coarse).toBeLessThan(25);
  });
});

describe('what cannot be reckoned', () => {
  const askAll = (more: Parameters<typeof numeral>[0]) => {
    const m = numeral(more);
    const figures = reckon(m);
    return finished(clearancesOf(m, figures, bodiesOf(m, figures, stackOf(m)), fine));
  };
  const sound = ({ clearances }: ReturnType<typeof askAll>) => {
    for (const { gap, turn: at } of clearances) {
      expect(gap).not.toBeNaN();
      if (at !== undefined) expect(at).not.toBeNaN();
    }
  };

  it('shafts at one place', () => {
    const found = askAll({ shafts: [shaft('upper', [0, 0], 'clockwise'), shaft('lower', [0, 0], 'counterclockwise')] });
    expect(found.clearances).toEqual([]);
    expect(found.unreckoned).toContainEqual({ of: 'lower', because: 'upper and lower stand at one place' });
  });

  it('shafts inside each other’s cams give a depth', () => {
    const found = askAll({
      shafts: [shaft('upper', [0, 3], 'clockwise'), shaft('lower', [0, -3], 'counterclockwise')],
    });
    sound(found);
    expect(found.clearances[0].gap).toBeLessThan(-5);
  });

  it('a slide beside the prime circle, a nose larger than the lobe, no base, no nose', () => {
    const offset = numeral().segments.map((one) => (one.name === 'a' ? { ...one, offset: given(40) } : one));
    expect(askAll({ segments: offset }).unreckoned).toContainEqual({
      of: 'camA',
      because: 'the slide of a passes beside the prime circle of camA',
    });
    sound(askAll({ segments: numeral().segments.map((one) => ({ ...one, nose: given(30) })) }));
    const noNose = numeral().segments.map((one) => ({ ...one, nose: undefined }));
    expect(askAll({ segments: noNose }).unreckoned).toContainEqual({ of: 'camA', because: 'a does not say its nose' });
    const noBase = numeral().cams.map((one) => ({ ...one, base: undefined }));
    expect(askAll({ cams: noBase }).unreckoned).toContainEqual({ of: 'camA', because: 'camA does not say its base' });
  });

  it('a train that hardly ever comes home takes any stand to meet any other', () => {
    const m = mechanism({
      shafts: [shaft('one', [0, 0], 'clockwise', { leads: given(true) }), shaft('two', [300, 0])],
      gears: [gear('large', 'one', 307), gear('small', 'two', 293)],
      meshes: [mesh('large', 'small')],
      segments: [segment('a', 90), segment('b', 90)],
      cams: [
        cam('first', 'one', 'a', { lobes: lobesAt([0, 40, 25]) }),
        cam('second', 'two', 'b', { lobes: lobesAt([0, 40, 25]) }),
      ],
    });
    const figures = reckon(m);
    const { clearances } = finished(clearancesOf(m, figures, bodiesOf(m, figures, stackOf(m)), fine));
    expect(clearances.find(({ between }) => between.every(({ kind }) => kind === 'cam'))).toMatchObject({
      gap: expect.closeTo(300 - 2 * 25.5, 6),
      anyStand: true,
    });
  });
});

it('finds when all shafts are home again', () => {
  const ratios = (...list: [number, number][]) => commonPeriod(list.map(([num, den]) => ({ num, den })));
  expect(ratios([1, 1], [-1, 1])).toBe(1);
  expect(ratios([1, 1], [-2, 3])).toBe(3);
  expect(ratios([-2, 3], [-4, 3])).toBe(1.5);
  expect(ratios([3, 4], [5, 6])).toBe(12);
});
