import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../language/mechanism.ts';
import { lobesInDegrees } from '../../../server/outputs/figures.ts';
import { reckon } from '../../../server/reckon/figures.ts';
import { degrees } from '../../../server/reckon/motion/angles.ts';
import {
  angle,
  bar,
  cam,
  count,
  given,
  glyphs,
  lobesAt,
  mechanism,
  numeral,
  raisedAt,
  segment,
  shaft,
} from '../../mechanisms.ts';

const table = glyphs({ 0: '', 1: 'a' }, ['a']);

/** One bar at azimuth 0 on one shaft; `shown` as a string of 0 and 1. */
function one(shown: string, turns: 'clockwise' | 'counterclockwise', camMore = {}, segmentMore = {}): Mechanism {
  return mechanism({
    glyphs: table,
    count: count([...shown]),
    shafts: [shaft('only', [0, 0], turns)],
    segments: [segment('a', 0, { stroke: given(4), ...segmentMore })],
    cams: [cam('camA', 'only', 'a', camMore)],
  });
}

const camOf = (m: Mechanism) => reckon(m).cams[0]!;

describe('derived lobes', () => {
  it('lie with the turn: position m at the azimuth less m steps', () => {
    // Twelve rests, up at 1 and 2. Clockwise the cam turns by −30°, so that position 1 lies at cam angle 30°.
    const up = '011000000000';
    expect(lobesInDegrees(camOf(one(up, 'clockwise')))).toEqual([{ from: 27.5, to: 62.5 }]);
    expect(lobesInDegrees(camOf(one(up, 'counterclockwise')))).toEqual([{ from: 297.5, to: 332.5 }]);
  });

  it('turn over where the bar is shown lowered', () => {
    const m = one('011000000000', 'clockwise', {}, { shown: given('lowered') });
    expect(lobesInDegrees(camOf(m))).toEqual([{ from: 87.5, to: 362.5 }]);
    expect(reckon(m).positions.map(({ shown }) => shown.length)).toEqual([0, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
  });

  it('are none for a bar never shown, the whole turn for one always shown', () => {
    expect(lobesInDegrees(camOf(one('0000', 'clockwise')))).toEqual([]);
    expect(lobesInDegrees(camOf(one('1111', 'clockwise')))).toEqual([{ from: 0, to: 360 }]);
  });

  it('have rise and fall of their own, late in the sense of a forward step', () => {
    const split = { rise: { width: angle(10), late: angle(4) }, fall: { width: angle(20), late: angle(-2) } };
    // Clockwise: the rise before the lobe, centred at 15° + 4°, the fall at 75° − 2°.
    const cw = camOf(one('011000000000', 'clockwise', split)).lift.lobes[0]!;
    expect(degrees(cw.from)).toBeCloseTo(24, 9);
    expect(degrees(cw.to)).toBeCloseTo(63, 9);
    // Counter-clockwise: the rise after the lobe, centred at −15° − 4°, the fall at −75° + 2°.
    const ccw = camOf(one('011000000000', 'counterclockwise', split)).lift.lobes[0]!;
    expect(degrees(ccw.to - 2 * Math.PI)).toBeCloseTo(-24 - 360 + 360, 9);
    expect(degrees(ccw.from)).toBeCloseTo(360 - 63, 9);
  });

  it('keep still at a symbol that the table does not know', () => {
    const m = one('0110', 'clockwise');
    const strange = { ...m, count: count(['0', '1', '?', '1']) };
    expect(camOf(strange).raisedAt).toEqual([false, true, true, true]);
    expect(reckon(strange).positions[2]!.wrong).toEqual([]);
  });
});

describe('stated lobes', () => {
  it('by symbols are up wherever the symbol is shown', () => {
    const figure = camOf(one('0110', 'clockwise', { lobes: raisedAt('0') }));
    expect(figure.raisedAt).toEqual([true, false, false, true]);
    expect(figure.wanted).toEqual([false, true, true, false]);
    expect(reckon(one('0110', 'clockwise', { lobes: raisedAt('0') })).positions.map(({ wrong }) => wrong)).toEqual([
      ['a'],
      ['a'],
      ['a'],
      ['a'],
    ]);
  });

  it('by angles run counter-clockwise, with flanks of their own or the cam’s travel', () => {
    const figure = camOf(one('0110', 'clockwise', { travel: angle(12), lobes: lobesAt([350, 20], [100, 140, 8, 16]) }));
    expect(lobesInDegrees(figure)).toEqual([
      { from: 100, to: 140 },
      { from: 350, to: 380 },
    ]);
    const [first, second] = figure.lift.lobes;
    expect(degrees(first!.before.width)).toBeCloseTo(8, 9);
    expect(degrees(first!.after.width)).toBeCloseTo(16, 9);
    expect(degrees(second!.before.width)).toBeCloseTo(12, 9);
  });

  it('that touch are one, and a whole turn is a whole turn', () => {
    const lobes = (...list: number[][]) => lobesInDegrees(camOf(one('01', 'clockwise', { lobes: lobesAt(...list) })));
    expect(lobes([10, 40], [40, 70])).toEqual([{ from: 10, to: 70 }]);
    expect(lobes([300, 10], [5, 60])).toEqual([{ from: 300, to: 420 }]);
    expect(lobes([0, 360])).toEqual([{ from: 0, to: 360 }]);
    expect(lobes([0, 200], [150, 360])).toEqual([{ from: 0, to: 360 }]);
    expect(lobes([30, 30])).toEqual([{ from: 30, to: 30 }]);
  });
});

describe('overlaps', () => {
  it('of neighbouring lobes: the valley that is left, and whom it spoils', () => {
    // Up at 1 and 3 with 45° of travel over 30° steps: two flanks of 45° centred 15° beside the rest of 2.
    const figure = camOf(
      one('010100000000', 'clockwise', { law: given({ name: 'constant velocity' }), travel: angle(45) }),
    );
    const valley = figure.overlaps.find((overlap) => !overlap.crest)!;
    expect(degrees(valley.at)).toBeCloseTo(60, 6);
    expect(degrees(valley.by)).toBeCloseTo(15, 6);
    expect(valley.valley).toBeCloseTo((4 * 7.5) / 45, 6);
    expect(valley.positions).toEqual([2]);
  });

  it('within a lobe: the height that is still reached', () => {
    const figure = camOf(
      one('010000000000', 'clockwise', { law: given({ name: 'constant velocity' }), travel: angle(45) }),
    );
    const [crest] = figure.overlaps;
    expect(crest!.crest).toBe(true);
    expect(degrees(crest!.at)).toBeCloseTo(30, 6);
    expect(crest!.valley).toBeCloseTo((4 * 37.5) / 45, 6);
    expect(crest!.positions).toEqual([1]);
    expect(lobesInDegrees(figure)).toEqual([]);
  });

  it('are none where flanks only meet', () => {
    expect(camOf(one('010100000000', 'clockwise', { travel: angle(30) })).overlaps).toEqual([]);
  });
});

describe('what the reader sees', () => {
  it('is half-way between the shares of shown and hidden', () => {
    const m = one('01', 'clockwise', { lobes: lobesAt([90, 150, 60, 60]), law: given({ name: 'constant velocity' }) });
    // At cam angle 180°, position 1, the follower is half down.
    const { positions } = reckon(m);
    expect(positions.map(({ bars }) => bars[0]!.seen)).toEqual(['hidden', 'between']);
    expect(positions[1]!.bars[0]!.lift).toBeCloseTo(2, 9);
  });

  it('with a window is the share of it that the bar covers', () => {
    // A window 10 by 4; the bar covers it all when raised by 4 mm, and half of it at 2 mm.
    const m = one(
      '01',
      'clockwise',
      {},
      {
        azimuth: angle(90),
        bar: given(bar(10, 4, 0, 0)),
        window: given({ width: 10, height: 4, at: { x: 0, y: 4 } }),
      },
    );
    expect(reckon(m).positions.map(({ shown }) => shown)).toEqual([[], ['a']]);
    const narrow = one(
      '01',
      'clockwise',
      {},
      { azimuth: angle(90), bar: given(bar(10, 4, 0, 0)), window: given({ width: 10, height: 4, at: { x: 0, y: 2 } }) },
    );
    expect(reckon(narrow).positions.map(({ bars }) => bars[0]!.seen)).toEqual(['between', 'between']);
  });
});

describe('long and short counts', () => {
  it('reckons 3,600 positions, and of more only the train', () => {
    const m = (times: number) => numeral({ count: { ...numeral().count!, times } });
    expect(reckon(m(360)).positions.length).toBe(3600);
    expect(reckon(m(361)).positions).toEqual([]);
    expect(reckon(m(1e9)).positions).toEqual([]);
  });

  it('reckons a count of one', () => {
    expect(reckon(one('1', 'clockwise')).positions).toHaveLength(1);
  });

  it('reckons a thousand positions of sixteen bars well within the time a maker waits', () => {
    const names = Array.from({ length: 16 }, (_, i) => `s${i}`);
    const entries = Array.from({ length: 97 }, (_, k) => [
      `g${k}`,
      names.filter((_, i) => (k * (i + 3)) % 7 < 3).join(' '),
    ]);
    const m = mechanism({
      glyphs: glyphs(Object.fromEntries(entries), names),
      count: count(Array.from({ length: 1000 }, (_, i) => `g${i % 97}`)),
      shafts: [shaft('only', [0, 0], 'clockwise')],
      segments: names.map((name, i) => segment(name, i * 22)),
      cams: names.map((name) => cam(`cam${name}`, 'only', name)),
    });
    const start = process.cpuUsage();
    expect(reckon(m).positions).toHaveLength(1000);
    expect(process.cpuUsage(start).user / 1000).toBeLessThan(1600);
  });
});

describe('a thousand rests', () => {
  const decimals = [...'0123456789'.repeat(100)].map((digit) => ('14'.includes(digit) ? '0' : '1')).join('');
  it.each([
    ['flanks alike, far longer than the step', '01'.repeat(500), { travel: angle(25) }],
    ['lobes of every length, far longer than the step', decimals, { travel: angle(25) }],
    ['flanks too steep for any nose', decimals, {}],
  ])('%s: reckoned well within the time a maker waits', (_, shown, more) => {
    const before = process.cpuUsage();
    const { lift } = camOf(one(shown, 'clockwise', more));
    const { user, system } = process.cpuUsage(before);
    expect(lift.lobes.length).toBeGreaterThanOrEqual(200);
    expect((user + system) / 1000).toBeLessThan(1000);
  });
});
