import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Law, Mechanism } from '../../../language/mechanism.ts';
import { figuresJson, figuresText } from '../../../server/outputs/figures.ts';
import { type FollowedLift, reckon } from '../../../server/reckon/figures.ts';
import { radians } from '../../../server/reckon/motion/angles.ts';
import { camAngle, liftAt } from '../../../server/reckon/motion/lift.ts';
import { lobesByAngles, overlapsOf } from '../../../server/reckon/motion/lobes.ts';
import {
  pitchCurvature,
  pressureAngle,
  shapeOf,
  shortestTravel,
  smallestBase,
} from '../../../server/reckon/shape/profile.ts';
import {
  angle,
  cam,
  count,
  gear,
  given,
  glyphs,
  lobesAt,
  mechanism,
  mesh,
  numeral,
  raisedAt,
  segment,
  shaft,
} from '../../mechanisms.ts';

const laws: readonly Law[] = [
  { name: 'constant velocity' },
  { name: 'constant velocity', blended: 0.25 },
  { name: 'constant acceleration' },
  { name: 'simple harmonic' },
  { name: 'cycloidal' },
  { name: 'polynomial 3-4-5' },
  { name: 'polynomial 4-5-6-7' },
  { name: 'modified trapezoid' },
  { name: 'modified sine' },
];
const law = fc.constantFrom(...laws);

/** Any count over any glyphs: a table of up to nine symbols, counted in any order, again and again. */
const counted = fc
  .record({
    bars: fc.integer({ min: 1, max: 4 }),
    patterns: fc.array(fc.integer({ min: 0, max: 15 }), { minLength: 1, maxLength: 9 }),
    order: fc.array(fc.nat(), { minLength: 1, maxLength: 14 }),
    times: fc.integer({ min: 1, max: 3 }),
  })
  .map(({ bars, patterns, order, times }) => {
    const names = [...'abcd'].slice(0, bars);
    const entries = patterns.map((bits, i): [string, string] => [
      `s${i}`,
      names.filter((_, b) => bits & (1 << b)).join(' '),
    ]);
    return {
      names,
      table: glyphs(Object.fromEntries(entries), names),
      count: count(
        order.map((i) => `s${i % patterns.length}`),
        times,
      ),
      lit: new Map(entries),
    };
  });

const toothed = fc.array(fc.tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 12 })), { maxLength: 3 });

const driven = fc.record({
  counted,
  teeth: toothed,
  turns: fc.constantFrom('clockwise' as const, 'counterclockwise' as const),
  lowered: fc.boolean(),
  azimuth: fc.double({ min: -400, max: 400, noNaN: true }),
  law,
  /** Shares: of the spacing, and of what is left beside it. */
  travel: fc.double({ min: 0.05, max: 1, noNaN: true }),
  rise: fc.option(fc.tuple(fc.double({ min: 0.05, max: 1, noNaN: true }), fc.double({ min: -1, max: 1, noNaN: true }))),
  bySymbols: fc.boolean(),
});

type Driven = typeof driven extends fc.Arbitrary<infer T> ? T : never;

function built({ counted, teeth, turns, lowered, azimuth, law, bySymbols }: Driven, flanks: object): Mechanism {
  const shafts = ['leading', ...teeth.map((_, i) => `shaft${i}`)];
  const on = shafts.at(-1)!;
  return mechanism({
    glyphs: counted.table,
    count: counted.count,
    shafts: shafts.map((name, i) => shaft(name, [i * 50, 0], i === 0 ? turns : undefined)),
    gears: teeth.flatMap(([a, b], i) => [gear(`a${i}`, shafts[i]!, a), gear(`b${i}`, shafts[i + 1]!, b)]),
    meshes: teeth.map((_, i) => mesh(`a${i}`, `b${i}`)),
    segments: counted.names.map((name) => segment(name, azimuth, { shown: given(lowered ? 'lowered' : 'raised') })),
    cams: counted.names.map((name) =>
      cam(`cam${name}`, on, name, {
        base: undefined,
        law: given(law),
        ...flanks,
        ...(bySymbols && {
          lobes: raisedAt(
            ...[...counted.lit]
              .filter(([, lit]) => lit.split(' ').includes(name) !== lowered)
              .map(([symbol]) => symbol),
          ),
        }),
      }),
    ),
  });
}

it('derived lobes show the counted symbols at every rest of every count, or the figures say why not', () => {
  fc.assert(
    fc.property(driven, (d) => {
      const spacing = reckon(built(d, {})).cams[0]!.spacing;
      const [share, late] = d.rise ?? [d.travel, 0];
      const m = built(d, {
        travel: given(d.travel * spacing),
        rise: { width: given(share * spacing), late: given((late * (1 - share) * spacing) / 2) },
      });
      const figures = reckon(m);
      const symbols = Array.from({ length: d.counted.count.times }, () => d.counted.count.symbols).flat();
      const n = symbols.length;
      for (const figure of figures.cams) {
        const counts = figures.shafts.at(-1)!.ratio!.den;
        const angleAt = (i: number) => camAngle(figure.azimuth, figure.step, i);
        const fought = figure.conflicts.map((c) => angleAt(c.positions[0] + n * c.counts[0]));
        const served = (i: number) => !fought.some((at) => Math.abs(Math.sin((at - angleAt(i)) / 2)) < 1e-6);
        for (let i = 0; i < Math.min(n * counts, 2000); i++) {
          const lit = d.counted.lit
            .get(symbols[i % n]!.text)!
            .split(' ')
            .includes(figure.segments[0]!);
          if (!served(i)) continue;
          const share = liftAt(figure.lift, angleAt(i)).lift / figure.lift.stroke;
          expect(Math.abs(share - (lit !== d.lowered ? 1 : 0))).toBeLessThan(1e-6);
        }
        if (figure.conflicts.length === 0) expect(figure.repeats).toBe(true);
      }
      for (const position of figures.positions) {
        for (const name of position.wrong) {
          const figure = figures.cams.find((one) => one.segments[0] === name)!;
          expect(figure.conflicts.length).toBeGreaterThan(0);
        }
      }
    }),
    { numRuns: 300 },
  );
});

/** Degrees to a thousandth, which is finer than anything made: lobes stand apart by that or not at all. */
const thousandths = (min: number, max: number) =>
  fc.integer({ min: min * 1000, max: max * 1000 }).map((count) => count / 1000);

/** Any program of lobes, overlapping or not. */
const program = fc
  .record({
    stroke: fc.double({ min: 0.5, max: 20, noNaN: true }),
    law,
    lobes: fc.array(
      fc.record({
        from: thousandths(0, 360),
        wide: thousandths(0, 80),
        before: thousandths(4, 90),
        after: thousandths(4, 90),
      }),
      { minLength: 1, maxLength: 6 },
    ),
  })
  .map(({ stroke, law, lobes }): FollowedLift => {
    const planned = lobes.map(({ from, wide, before, after }) => ({
      from: radians(from),
      to: radians(from + wide),
      before: radians(before),
      after: radians(after),
    }));
    return { stroke, ...lobesByAngles(planned, law) };
  });

/** Lobes of a count whose travel may be longer than the step, so that they are cut short. */
const counting = fc
  .record({
    law,
    ups: fc.array(fc.boolean(), { minLength: 2, maxLength: 8 }),
    travel: fc.double({ min: 0.1, max: 5, noNaN: true }),
    rise: fc.double({ min: 0.1, max: 1.9, noNaN: true }),
    late: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
    turns: fc.constantFrom('clockwise' as const, 'counterclockwise' as const),
  })
  .map(({ law, ups, travel, rise, late, turns }): FollowedLift => {
    const step = 360 / ups.length;
    const m = mechanism({
      glyphs: glyphs({ 0: '', 1: 'a' }),
      count: count(ups.map((up) => (up ? '1' : '0'))),
      shafts: [shaft('only', [0, 0], turns)],
      segments: [segment('a', 90)],
      cams: [
        cam('camA', 'only', 'a', {
          base: undefined,
          law: given(law),
          travel: angle(travel * step),
          rise: { width: angle(rise * step), late: angle(late * step) },
        }),
      ],
    });
    return reckon(m).cams[0]!.lift;
  });

const anyLift = fc.oneof(program, counting);

describe('the followed lift', () => {
  it('stays between nothing and the stroke, and has its finite difference for slope', () => {
    fc.assert(
      fc.property(anyLift, fc.double({ min: -10, max: 10, noNaN: true }), (lift, psi) => {
        const tiny = 1e-7;
        const { lift: here, slope } = liftAt(lift, psi);
        expect(here).toBeGreaterThanOrEqual(0);
        expect(here).toBeLessThanOrEqual(lift.stroke * (1 + 1e-12));
        const [before, after] = [liftAt(lift, psi - tiny), liftAt(lift, psi + tiny)];
        // Beside a joint the slope may jump; then the two sides differ.
        if (Math.abs(before.slope - after.slope) > 1e-2 * lift.stroke) return;
        expect(Math.abs((after.lift - before.lift) / (2 * tiny) - slope)).toBeLessThan(2e-2 * lift.stroke);
      }),
      { numRuns: 2000 },
    );
  });

  it('is the maximum of its lobes, each alone', () => {
    fc.assert(
      fc.property(anyLift, fc.double({ min: 0, max: 7, noNaN: true }), (lift, psi) => {
        const alone = lift.lobes.map((lobe) => liftAt({ ...lift, lobes: [lobe] }, psi).lift);
        const most = lift.always ? lift.stroke : Math.max(0, ...alone);
        expect(liftAt(lift, psi).lift).toBeCloseTo(most, 9);
      }),
      { numRuns: 2000 },
    );
  });

  it('tells the least lift between neighbouring lobes that overlap', () => {
    fc.assert(
      fc.property(anyLift, (lift) => {
        for (const overlap of overlapsOf(lift, [], () => false)) {
          expect(liftAt(lift, overlap.at).lift).toBeCloseTo(overlap.valley, 6);
          expect(overlap.by).toBeGreaterThan(0);
        }
      }),
    );
  });
});

describe('the shape', () => {
  const riding = fc.record({
    lift: anyLift,
    base: fc.double({ min: 5, max: 60, noNaN: true }),
    offset: fc.double({ min: -4, max: 4, noNaN: true }),
    nose: fc.double({ min: 0.3, max: 4, noNaN: true }),
  });
  const step = (2 * Math.PI) / 7200;
  /** The whole turn evenly, and every stretch between two joints of the lobes, however short. */
  const angles = (lift: FollowedLift) => {
    const even = Array.from({ length: 7200 }, (_, i) => i * step);
    const joints = lift.lobes
      .flatMap(({ from, to, before, after }) => [from - before.width, from, to, to + after.width])
      .sort((one, other) => one - other);
    const between = joints
      .slice(1)
      .flatMap((joint, i) => [0.01, 0.5, 0.99].map((share) => joints[i] + share * (joint - joints[i])));
    return [...even, ...between];
  };
  const most = (where: readonly number[], value: (psi: number) => number) =>
    where.reduce((greatest, psi) => Math.max(greatest, value(psi)), -Infinity);
  /** The same, with a second look beside every peak that comes near: where one flank takes over from another. */
  const mostOfAll = (where: readonly number[], value: (psi: number) => number) => {
    const values = where.map(value);
    const near = Math.max(...values) - 0.2;
    const isPeak = (i: number) => [values.at(i - 1)!, values[(i + 1) % values.length]].every((one) => one <= values[i]);
    const fine = Array.from({ length: 81 }, (_, i) => (i / 40 - 1) * step);
    return most(
      where.filter((_, i) => values[i] > near && isPeak(i)).flatMap((psi) => fine.map((by) => psi + by)),
      value,
    );
  };

  it('has the greatest pressure angle and curvature that a scan of the whole turn finds, or a little more', () => {
    fc.assert(
      fc.property(riding, ({ lift, base, offset, nose }) => {
        const rider = { prime: base + nose, offset, nose };
        const shape = shapeOf(lift, rider)!;
        const where = angles(lift);
        const scanned = mostOfAll(where, (psi) => Math.abs(pressureAngle(rider, liftAt(lift, psi))));
        expect(shape.pressureAngle.value).toBeGreaterThanOrEqual(scanned - 1e-9);
        expect(shape.pressureAngle.value - scanned).toBeLessThan(0.01);
        const convex = most(where, (psi) => pitchCurvature(rider, liftAt(lift, psi)));
        const concave = most(where, (psi) => -pitchCurvature(rider, liftAt(lift, psi)));
        if (convex > 1e-6)
          expect(1 / shape.pitchCurvature.convexMin!.value).toBeGreaterThanOrEqual(convex * (1 - 1e-6));
        if (concave > 1e-6)
          expect(1 / shape.pitchCurvature.concaveMin!.value).toBeGreaterThanOrEqual(concave * (1 - 1e-6));
        lift.lobes.forEach((_, i) => {
          for (const flank of shape.flankAngles[i]!)
            expect(flank).toBeLessThanOrEqual(shape.pressureAngle.value + 1e-12);
        });
      }),
      { numRuns: 200 },
    );
  });

  it('has a smallest base that keeps both limits, while a smaller one does not', () => {
    fc.assert(
      fc.property(riding, ({ lift, offset, nose }) => {
        const limit = radians(30);
        const base = smallestBase(lift, { offset, nose }, limit);
        fc.pre(base !== undefined && base > 0.01 && lift.lobes.length > 0);
        const keeps = (b: number) => {
          const shape = shapeOf(lift, { prime: b + nose, offset, nose });
          const convex = shape?.pitchCurvature.convexMin?.value ?? Infinity;
          return shape !== undefined && shape.pressureAngle.value <= limit + 1e-7 && convex >= nose * (1 - 1e-7);
        };
        expect(keeps(base!)).toBe(true);
        expect(keeps(base! + 5)).toBe(true);
        expect(keeps(base! - 0.001)).toBe(false);
      }),
      { numRuns: 300 },
    );
  });

  it('has a shortest travel that keeps both limits, while a shorter one does not', () => {
    fc.assert(
      fc.property(
        law,
        fc.double({ min: 12, max: 50, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 0.5, max: 3, noNaN: true }),
        (law, base, offset, nose) => {
          const rider = { prime: base + nose, offset, nose };
          const limit = radians(30);
          const withTravel = (width: number): FollowedLift => ({
            stroke: 4,
            ...lobesByAngles([{ from: 0, to: 0.5, before: width, after: width }], law),
          });
          const travel = shortestTravel(withTravel(0.5), rider, limit);
          fc.pre(travel !== undefined && travel < 2);
          const keeps = (width: number) => {
            const shape = shapeOf(withTravel(width), rider)!;
            const convex = shape.pitchCurvature.convexMin?.value ?? Infinity;
            return shape.pressureAngle.value <= limit + 1e-7 && convex >= nose * (1 - 1e-7);
          };
          expect(keeps(travel!)).toBe(true);
          expect(keeps(travel! * 0.999)).toBe(false);
        },
      ),
      { numRuns: 200 },
    );
  });
});

it('reckons whatever is left of a mechanism, and prints it', () => {
  const whole = numeral({
    cams: numeral().cams.map((one, i) => (i === 2 ? { ...one, lobes: lobesAt([10, 90, 20], [120, 200]) } : one)),
  });
  const kinds = ['shafts', 'gears', 'meshes', 'segments', 'cams'] as const;
  const kept = ['name', 'kind', 'place', 'whole', 'unclear', 'process', 'limits'];
  const required = [
    ...['bearingClearance', 'marks', 'pressureAngle', 'shift', 'gears', 'backlash', 'offset', 'fit', 'shown'],
    ...['follower', 'drag', 'law', 'thickness', 'flange', 'lobes', 'segments'],
  ];
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(fc.constantFrom(...kinds), fc.nat(), fc.nat(), fc.constantFrom('drop', 'part', 'zero', 'huge')),
        {
          maxLength: 12,
        },
      ),
      fc.subarray(['count', 'glyphs'] as const),
      (cuts, gone) => {
        const m = structuredClone(whole) as unknown as Record<string, Record<string, unknown>[]>;
        for (const [kind, at, field, how] of cuts) {
          const parts = m[kind]!;
          if (parts.length === 0) continue;
          const part = parts[at % parts.length]!;
          if (how === 'part') {
            parts.splice(at % parts.length, 1);
            continue;
          }
          const fields = Object.keys(part).filter((key) => !kept.includes(key));
          const key = fields[field % fields.length]!;
          const value = part[key] as { value?: unknown };
          if (how === 'drop' && !required.includes(key)) delete part[key];
          else if (typeof value?.value === 'number') part[key] = { ...value, value: how === 'zero' ? 0 : 1e9 };
        }
        for (const property of gone) delete m[property];
        const figures = reckon(m as unknown as Mechanism);
        expect(JSON.stringify(figuresJson([figures])).length).toBeGreaterThan(0);
        expect(figuresText(figures).length).toBeGreaterThan(0);
      },
    ),
    { numRuns: 500 },
  );
});
