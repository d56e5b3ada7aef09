import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../language/mechanism.ts';
import { lobesInDegrees } from '../../server/outputs/figures.ts';
import { type CamFigure, type Figures, reckon } from '../../server/reckon/figures.ts';
import { rideOf } from '../../server/reckon/shape/cutting.ts';
import { example } from '../designs.ts';
import { cam, count, gear, given, mechanism, mesh, noTails, numeral, segment, shaft, tails } from '../mechanisms.ts';
import { droppedNose, trainTurn } from './turning.ts';

const rad = (degrees: number) => (degrees * Math.PI) / 180;
const fine = 3600;

/** The cam's profile as a polygon, and what rides on it. */
function pieces(m: Mechanism, figure: CamFigure) {
  const rider = m.segments.find((one) => one.name === figure.segments[0])!;
  const nose = rider.nose!.value;
  const offset = rider.offset.value;
  const prime = figure.primeRadius!;
  const { stand } = rideOf(figure.lift, { kind: 'round', prime, offset, nose })!;
  return {
    azimuth: rider.azimuth!.value,
    nose,
    offset,
    lowered: Math.sqrt(prime ** 2 - offset ** 2),
    stroke: rider.stroke!.value,
    shownRaised: rider.shown.value === 'raised',
    polygon: Array.from({ length: fine }, (_, i) => stand((i * 2 * Math.PI) / fine).touch),
  };
}

/** Bars that stand as shown after the shafts have turned, each cam by its own angle. */
function reading(m: Mechanism, figures: Figures, turnOf: (shaft: string) => number): string[] {
  return figures.cams
    .flatMap((figure) => {
      const { polygon, azimuth, offset, nose, lowered, stroke, shownRaised } = pieces(m, figure);
      const lift = droppedNose(polygon, turnOf(figure.shaft), azimuth, offset, nose) - lowered;
      return shownRaised === lift > stroke / 2 ? figure.segments : [];
    })
    .sort();
}

const litIn = (m: Mechanism, symbol: string) =>
  [...m.glyphs!.value.entries.find((entry) => entry.symbol === symbol)!.lit].sort();

describe.each([
  ['ten digits with tails', numeral(), { upper: -36, lower: 36 }],
  ['ten digits without tails', numeral({ glyphs: noTails }), { upper: -36, lower: 36 }],
  ['the berth sign', example('berth-sign')[0]!, { upper: -30, lower: 30 }],
] as const)('%s, turned by brute force', (_, m, steps) => {
  const figures = reckon(m);
  const symbols = m.count!.symbols.map((symbol) => symbol.text);
  const step = (shaft: string) => rad(steps[shaft as keyof typeof steps]);

  it('shows every symbol at its rest, over two counts', () => {
    for (let i = 0; i < 2 * symbols.length; i++) {
      const symbol = symbols[i % symbols.length]!;
      expect(
        reading(m, figures, (shaft) => i * step(shaft)),
        symbol,
      ).toEqual(litIn(m, symbol));
    }
  });

  it('has the lobes that the turned profiles show', () => {
    for (const figure of figures.cams) {
      const { polygon, azimuth, offset, nose, lowered, stroke } = pieces(m, figure);
      // Where the nose stands at full lift, by cam angle (azimuth − turn), every 0.2°.
      const full = Array.from({ length: 1800 }, (_, i) => {
        const turn = azimuth - rad(i / 5);
        return droppedNose(polygon, turn, azimuth, offset, nose) - lowered > stroke - 1e-3;
      });
      const starts = full.flatMap((up, i) => (up && !full[(i + 1799) % 1800] ? [i / 5] : []));
      const lobes = lobesInDegrees(figure);
      expect(lobes.length).toBe(starts.length);
      lobes.forEach(({ from, to }, k) => {
        let end = Math.round(starts[k]! * 5);
        while (full[(end + 1) % 1800]) end++;
        // A harmonic flank of 25° comes within 1 µm of full lift 0.27° before it ends.
        expect(Math.abs(from - starts[k]!)).toBeLessThan(0.55);
        expect(Math.abs(to - end / 5)).toBeLessThan(0.55);
      });
    }
  });

  it('has the lobes that the table of glyphs gives by hand', () => {
    for (const figure of figures.cams) {
      const sense = Math.sign(step(figure.shaft));
      const spacing = 360 / symbols.length;
      const travel = (figure.travel! * 180) / Math.PI;
      const azimuth = Math.round((figure.azimuth * 180) / Math.PI);
      // Rests round the cam in order of cam angle, from the azimuth on.
      const up = symbols.map((_, k) => {
        const position = (((-sense * k) % symbols.length) + symbols.length) % symbols.length;
        return litIn(m, symbols[position]!).includes(figure.segments[0]!);
      });
      const expected = up
        .flatMap((now, k) => {
          if (!now || up.at(k - 1)) return [];
          let last = k;
          while (up[(last + 1) % up.length]) last++;
          const from = (((azimuth + k * spacing - (spacing - travel) / 2) % 360) + 360) % 360;
          return [{ from, to: from + (last - k) * spacing + (spacing - travel) }];
        })
        .sort((a, b) => a.from - b.from);
      const lobes = lobesInDegrees(figure);
      expect(lobes.length).toBe(expected.length);
      lobes.forEach(({ from, to }, k) => {
        expect(from).toBeCloseTo(expected[k]!.from, 5);
        expect(to).toBeCloseTo(expected[k]!.to, 5);
      });
    }
  });
});

// Counts of the ten-step cycle: derived.
describe.each([
  [
    'with tails',
    tails,
    {
      lit: [8, 8, 9, 7, 4, 6, 7],
      rises: [2, 1, 1, 3, 4, 2, 2],
      moves: [4, 5, 2, 3, 3, 1, 5, 4, 1, 2],
      rising: [0, 4, 1, 1, 2, 1, 1, 4, 0, 1],
    },
  ],
  [
    'without tails',
    noTails,
    {
      lit: [7, 8, 9, 6, 4, 6, 7],
      rises: [3, 1, 1, 4, 4, 2, 2],
      moves: [4, 5, 2, 3, 3, 2, 6, 4, 2, 3],
      rising: [0, 4, 1, 1, 2, 1, 2, 4, 0, 2],
    },
  ],
])('the ten-step cycle %s', (_, glyphs, expected) => {
  const { positions, steps } = reckon(numeral({ glyphs }));
  const bars = [...'abcdefg'];

  it('lights every segment as often as it should', () => {
    expect(bars.map((bar) => positions.filter(({ shown }) => shown.includes(bar)).length)).toEqual(expected.lit);
  });

  it('raises every bar as often as it should', () => {
    expect(bars.map((bar) => steps.filter(({ rising }) => rising.includes(bar)).length)).toEqual(expected.rises);
  });

  it('moves as many bars in every step as it should', () => {
    expect(steps.map(({ rising, falling }) => rising.length + falling.length)).toEqual(expected.moves);
    expect(steps.map(({ rising }) => rising.length)).toEqual(expected.rising);
  });
});

/** Two bars on a cam shaft that a train drives; the leading shaft counts 0 to 5 and turns clockwise. */
function trained(teeth: readonly (readonly [number, number])[], symbols = ['0', '1', '2', '3', '4', '5']): Mechanism {
  const shafts = ['leading', ...teeth.slice(1).map((_, i) => `idler${i + 1}`), 'cams'];
  return mechanism({
    glyphs: given({ ...tails.value, segments: ['a', 'd', 'e', 'f'] }),
    count: count(symbols),
    shafts: shafts.map((name, i) => shaft(name, [60 * i, 0], i === 0 ? 'clockwise' : undefined)),
    gears: teeth.flatMap(([driver, driven], i) => [
      gear(`driver${i}`, shafts[i]!, driver),
      gear(`driven${i}`, shafts[i + 1]!, driven),
    ]),
    meshes: teeth.map((_, i) => mesh(`driver${i}`, `driven${i}`)),
    segments: ['a', 'd', 'e', 'f'].map((name, i) => segment(name, 100 * i, { offset: given(i - 1) })),
    cams: ['a', 'd', 'e', 'f'].map((name) => cam(`cam${name}`, 'cams', name, { base: given(60) })),
  });
}

describe('trains, turned by brute force', () => {
  const sixth = -rad(60);
  const shownOf = (m: Mechanism, symbol: string) => litIn(m, symbol).filter((bar) => 'adef'.includes(bar));
  const readingAt = (m: Mechanism, figures: Figures, teeth: readonly (readonly [number, number])[], i: number) =>
    reading(m, figures, () => trainTurn(i * sixth, teeth));

  it.each([
    [
      '30 → idler 20 → 30',
      [
        [30, 20],
        [20, 30],
      ],
      1,
      'clockwise',
    ],
    ['30 → 30', [[30, 30]], 1, 'counterclockwise'],
    ['20 → 40, at half speed', [[20, 40]], 2, 'counterclockwise'],
    ['20 → 60, at a third', [[20, 60]], 3, 'counterclockwise'],
    ['50 → 30, at five thirds', [[50, 30]], 3, 'counterclockwise'],
  ] as const)('%s shows every symbol in every count', (_, teeth, counts, turns) => {
    const m = trained(teeth);
    const figures = reckon(m);
    const camShaft = figures.shafts.at(-1)!;
    expect(camShaft.turns).toBe(turns);
    expect(camShaft.ratio!.den).toBe(counts);
    for (const figure of figures.cams) expect(figure.repeats).toBe(true);
    for (let i = 0; i < 2 * counts * 6; i++) {
      expect(readingAt(m, figures, teeth, i), `position ${i}`).toEqual(shownOf(m, `${i % 6}`));
    }
  });

  it('names the positions that a cam at double speed cannot serve', () => {
    const teeth = [[40, 20]] as const;
    const m = trained(teeth);
    const figures = reckon(m);
    expect(figures.shafts.at(-1)!.ratio).toEqual({ num: -2, den: 1 });
    for (let i = 0; i < 6; i++) {
      const seen = readingAt(m, figures, teeth, i);
      const due = shownOf(m, `${i}`);
      const wrong = ['a', 'd', 'e', 'f'].filter((bar) => seen.includes(bar) !== due.includes(bar));
      expect(figures.positions[i]!.wrong, `position ${i}`).toEqual(wrong);
    }
    expect(figures.positions.some((position) => position.wrong.length > 0)).toBe(true);
    // 0 and 3 rest on one angle of the cam, but want bar e different.
    const conflicts = figures.cams.find((figure) => figure.name === 'came')!.conflicts;
    expect(conflicts).toContainEqual({ positions: [0, 3], counts: [0, 0] });
  });

  it('serves a cam at double speed where the two halves of the count are alike', () => {
    const teeth = [[40, 20]] as const;
    const m = trained(teeth, ['0', '1', '2', '0', '1', '2']);
    const figures = reckon(m);
    for (let i = 0; i < 12; i++) expect(readingAt(m, figures, teeth, i)).toEqual(shownOf(m, `${i % 3}`));
  });

  it('names the counts that a cam which drifts cannot serve', () => {
    // 50 turns of the cam for 51 of the leading shaft: its rests lie 1.2° apart.
    const figures = reckon(trained([[50, 51]]));
    for (const figure of figures.cams) expect((figure.spacing * 180) / Math.PI).toBeCloseTo((360 * 2) / (6 * 51), 9);
    const beyond = reckon(trained([[99_991, 99_989]]));
    for (const figure of beyond.cams) expect(figure.repeats).toBe(false);
    for (const position of beyond.positions) expect(position.wrong).toEqual([]);
  });
});
