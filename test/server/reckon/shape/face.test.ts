import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Bar, Mechanism, Segment } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians, turn } from '../../../../server/reckon/motion/angles.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { barOutline } from '../../../../server/reckon/shape/bars.ts';
import { area, distanceTo, hull, meetings, moved, without } from '../../../../server/reckon/shape/convex.ts';
import { type Face, faceOf } from '../../../../server/reckon/shape/face.ts';
import { liftAfter, motionOf } from '../../../../server/reckon/shape/movers.ts';
import { bar, cam, given, lobesAt, mechanism, numeral, segment, shaft } from '../../../mechanisms.ts';
import { gapBetween, region } from './oracle.ts';

const fine = 'fine';
const face = (m: Mechanism): Face => finished(faceOf(m, reckon(m), fine));

/** Two bars on one shaft that turns counter-clockwise; their cams are up where stated. */
function pair(one: Partial<Segment>, two: Partial<Segment>, lobesOne: number[][], lobesTwo: number[][]): Mechanism {
  return mechanism({
    shafts: [shaft('one', [0, 0], 'counterclockwise')],
    segments: [segment('a', 0, one), segment('b', 180, two)],
    cams: [
      cam('camA', 'one', 'a', { lobes: lobesAt(...lobesOne) }),
      cam('camB', 'one', 'b', { lobes: lobesAt(...lobesTwo), level: given(2) }),
    ],
  });
}

describe('gaps between bars by hand', () => {
  it('at rest and moving: bars that slide toward each other', () => {
    // a slides to +x from 0…10, b to −x from 30…40: both up only near 180° of turn
    const up = pair(
      { bar: given(bar(10, 6, 5, 0)) },
      { bar: given(bar(10, 6, 35, 0)) },
      [[150, 200, 20]],
      [[350, 370, 20]],
    );
    const [gap] = face(up).gaps;
    // a is up from 160° to 210° of turn (ψ = −turn), b (under 180°) from 170° to 190°
    expect(gap.gap).toBeCloseTo(20 - 2 * 3.5, 6);
    expect(degrees(gap.turn!)).toBeCloseTo(180, 0);
    expect(gap.touching).toEqual([]);
  });

  it('from when to when they touch', () => {
    const close = pair(
      { bar: given(bar(10, 6, 5, 0)) },
      { bar: given(bar(10, 6, 21, 0)) },
      [[150, 200, 20]],
      [[350, 370, 20]],
    );
    const [gap] = face(close).gaps;
    expect(gap.gap).toBeCloseTo(-1, 6);
    expect(gap.touching).toHaveLength(1);
    const [from, to] = gap.touching[0].map(degrees);
    expect(from).toBeGreaterThan(150);
    expect(from).toBeLessThan(170);
    expect(to).toBeGreaterThan(190);
    expect(to).toBeLessThan(210);
  });

  it('not where one is up only while the other is down', () => {
    const apart = pair(
      { bar: given(bar(10, 6, 5, 0)) },
      { bar: given(bar(10, 6, 21, 0)) },
      [[150, 200, 20]],
      [[170, 190, 20]],
    );
    expect(face(apart).gaps[0].gap).toBeCloseTo(6 - 3.5, 6);
  });

  it('between planes and bars of one piece: none', () => {
    const planes = pair({ bar: given(bar(10, 6, 5, 0)) }, { bar: given({ ...bar(10, 6, 5, 0), plane: 2 }) }, [], []);
    expect(face(planes).gaps).toEqual([]);
    const piece = mechanism({
      ...planes,
      segments: [
        segment('a', 0, { bar: given(bar(10, 6, 5, 0)) }),
        segment('b', 180, { bar: given(bar(10, 6, 5, 0)) }),
      ],
      cams: [cam('camA', 'one', ['a', 'b'], { lobes: lobesAt([150, 200, 20]) })],
    });
    expect(face(piece).gaps).toEqual([]);
    const [a, b] = piece.segments.map((one) => motionOf(piece, reckon(piece), one));
    expect(a).toMatchObject({ along: { x: 1, y: 0 } });
    expect(b).toMatchObject({ along: { x: 1, y: 0 } });
  });

  it('of still bars is the same all round', () => {
    const still = mechanism({
      segments: [segment('a', 0, { bar: given(bar(10, 6, 0, 0)) }), segment('b', 0, { bar: given(bar(10, 6, 9, 0)) })],
    });
    expect(face(still).gaps[0]).toMatchObject({ gap: expect.closeTo(-1, 9), touching: [[0, turn]] });
    expect(face(still).gaps[0].turn).toBeUndefined();
  });
});

describe('gaps between tilted and cut bars', () => {
  const cutBar = (tilt: number, ends: Bar['ends'], x: number, y: number): Bar => ({
    ...bar(30, 6, x, y),
    tilt: radians(tilt),
    ends,
  });

  it('agree with polygon offsets at the least and nowhere fall below it', () => {
    const anyBar = fc.record({
      tilt: fc.double({ min: -90, max: 90, noNaN: true }),
      ends: fc.constantFrom<Bar['ends']>('square', 'mitred', 'pointed'),
      x: fc.double({ min: -12, max: 12, noNaN: true }),
      y: fc.double({ min: -12, max: 12, noNaN: true }),
      azimuth: fc.double({ min: 0, max: 360, noNaN: true }),
      lobe: fc.double({ min: 0, max: 360, noNaN: true }),
    });
    fc.assert(
      fc.property(anyBar, anyBar, (one, two) => {
        const m = mechanism({
          shafts: [shaft('one', [0, 0], 'clockwise')],
          segments: [
            segment('a', one.azimuth, { bar: given(cutBar(one.tilt, one.ends, one.x, one.y)) }),
            segment('b', two.azimuth, { bar: given(cutBar(two.tilt, two.ends, two.x + 20, two.y + 15)) }),
          ],
          cams: [
            cam('camA', 'one', 'a', { lobes: lobesAt([one.lobe, one.lobe + 40, 30]) }),
            cam('camB', 'one', 'b', { lobes: lobesAt([two.lobe, two.lobe + 40, 30]), level: given(2) }),
          ],
        });
        const figures = reckon(m);
        const [least] = finished(faceOf(m, figures, fine)).gaps;
        const bars = m.segments.map((s) => s.bar!.value);
        const centre = { x: (bars[0].at.x + bars[1].at.x) / 2, y: (bars[0].at.y + bars[1].at.y) / 2 };
        const at = (angle: number) =>
          m.segments.map((s) => {
            const motion = motionOf(m, figures, s);
            if ('because' in motion) throw new Error(motion.because);
            const lift = liftAfter(motion, angle);
            return moved(barOutline(s.bar!.value, centre), lift * motion.along.x, lift * motion.along.y);
          });
        const gapAt = (angle: number) => {
          const [a, b] = at(angle);
          return distanceTo(meetings(a, b), 0, 0);
        };
        for (let degree = 0; degree < 360; degree += 0.5) {
          expect(gapAt(radians(degree))).toBeGreaterThan(least.gap - 0.006);
        }
        const [a, b] = at(least.turn ?? 0);
        if (least.gap > 0) expect(Math.abs(gapBetween(region(a), region(b)) - least.gap)).toBeLessThan(2e-3);
        else expect(region(a).intersect(region(b)).area()).toBeGreaterThan(0);
      }),
      { numRuns: 25 },
    );
  }, 120_000);
});

describe('windows', () => {
  const seen = (own: Bar, other: Bar | undefined, up: boolean) => {
    const m = mechanism({
      shafts: [shaft('one', [0, 0], 'clockwise')],
      count: {
        symbols: [{ text: '0', place: { file: '', top: 0, from: 0, to: 0 } }],
        times: 1,
        place: { file: '', top: 0, from: 0, to: 0 },
      },
      segments: [
        segment('a', 90, { bar: given(own), window: given({ width: 10, height: 5, at: { x: 0, y: 10 } }) }),
        ...(other ? [segment('b', 90, { bar: given(other) })] : []),
      ],
      cams: [cam('camA', 'one', 'a', { lobes: lobesAt(up ? [80, 100, 20] : [260, 280, 20]) })],
    });
    return face(m).windows[0].rests[0];
  };

  it('are covered by the share that stands before them', () => {
    expect(seen(bar(10, 5, 0, 10), undefined, false)).toEqual({ own: expect.closeTo(1, 9), others: [] });
    expect(seen(bar(10, 5, 0, 10), undefined, true)).toEqual({ own: expect.closeTo(0.3, 9), others: [] });
    expect(seen(bar(10, 5, 5, 10), undefined, false)).toEqual({ own: expect.closeTo(0.5, 9), others: [] });
  });

  it('show what else stands behind them, unless a bar before it hides it', () => {
    const behind = { ...bar(10, 2, 0, 11), plane: 2 };
    expect(seen(bar(5, 5, -2.5, 10), behind, false).others).toEqual([
      { segment: 'b', share: expect.closeTo((5 * 2) / 50, 9) },
    ]);
    expect(seen({ ...bar(5, 5, -2.5, 10), plane: 3 }, behind, false)).toEqual({
      own: expect.closeTo((25 - 10) / 50, 9),
      others: [{ segment: 'b', share: expect.closeTo(20 / 50, 9) }],
    });
  });
});

describe('convex pieces', () => {
  const anyHull = fc
    .array(fc.record({ x: fc.integer({ min: -10, max: 10 }), y: fc.integer({ min: -10, max: 10 }) }), {
      minLength: 4,
      maxLength: 9,
    })
    .map(hull)
    .filter((points) => points.length > 2 && area(points) > 1);

  it('of what another does not cover add up (polygon booleans)', () => {
    fc.assert(
      fc.property(anyHull, anyHull, (one, two) => {
        const rest = without(one, two).reduce((sum, piece) => sum + area(piece), 0);
        expect(rest).toBeCloseTo(region(one).subtract(region(two)).area(), 6);
      }),
    );
  });

  it('are as far apart as polygon offsets say', () => {
    fc.assert(
      fc.property(anyHull, anyHull, fc.integer({ min: -25, max: 25 }), (one, two, x) => {
        const other = moved(two, x, 3);
        const due = gapBetween(region(one), region(other));
        if (due > 0) expect(distanceTo(meetings(one, other), 0, 0)).toBeCloseTo(due, 2);
        else expect(distanceTo(meetings(one, other), 0, 0)).toBeLessThan(1e-6);
      }),
      { numRuns: 40 },
    );
  });
});

describe('what cannot be reckoned', () => {
  it('zero-length bars, no azimuth', () => {
    const m = mechanism({
      segments: [
        segment('a', 0, { bar: given(bar(0, 6, 0, 0)) }),
        segment('b', 0, { bar: given(bar(10, 6, 0, 0)), azimuth: undefined }),
        segment('d', 0, { bar: given(bar(Number.NaN, 6, 0, 0)) }),
      ],
    });
    expect(face(m)).toEqual({
      gaps: [],
      windows: [],
      unreckoned: [
        { of: 'a', because: 'the bar of a has no size' },
        { of: 'b', because: 'b does not say its azimuth' },
        { of: 'd', because: 'the bar of d has no size' },
      ],
    });
  });

  it('a whole numeral takes a few milliseconds', () => {
    const at: Record<string, Bar> = {
      a: bar(44, 6, 0, 66), b: bar(6, 44, 31, 35), f: bar(6, 44, -31, 35), g: bar(44, 6, 0, 3.5),
      d: bar(44, 6, 0, -66), c: bar(6, 44, 31, -35), e: bar(6, 44, -31, -35),
    }; // biome-ignore format: a face
    const plain = numeral();
    const m = numeral({ segments: plain.segments.map((one) => ({ ...one, bar: given(at[one.name]) })) });
    const figures = reckon(m);
    finished(faceOf(m, figures, fine));
    const since = process.cpuUsage();
    const { gaps } = finished(faceOf(m, figures, fine));
    const { user, system } = process.cpuUsage(since);
    console.log(`a face in motion: ${((user + system) / 1000).toFixed(1)} ms`);
    expect(gaps).toHaveLength(21);
    expect(Math.min(...gaps.map(({ gap }) => gap))).toBeCloseTo(Math.hypot(6, 9.5 - 3.5), 1);
  });
});
