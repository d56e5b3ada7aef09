import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../language/mechanism.ts';
import { findingsOf } from '../../../server/checks/index.ts';
import { newlyGrave } from '../../../server/checks/tally.ts';
import { motionFigures, reckon, refined } from '../../../server/reckon/figures.ts';
import { forcesOf } from '../../../server/reckon/force/steps.ts';
import { finished } from '../../../server/reckon/pausing.ts';
import { chosen, easyCams, laws, shownOtherwise, triesTurning, windows } from '../../../server/search/candidates.ts';
import { type Eased, easing } from '../../../server/search/ease.ts';
import { effortOf } from '../../../server/search/effort.ts';
import { example, mechanismsIn } from '../../designs.ts';

/** A signal arm of three bars over four symbols. */
const signal = (more = '', returns = 'spring coils { returns a b c   rate 0.1 N/mm   preload 1 N }') => `
mechanism Signal {
  made with filament
  assembled greased
  glyphs lamps
  count 1 2 3 4
  shaft axle { at 0 mm, 0 mm   turns clockwise   key dee   bearing 8 mm }
  key dee { shape flat   outer 14 mm   clearance 0.1 mm }
  every cam { base 20 mm   travel 60 deg }
  every segment { stroke 3 mm   nose 1.5 mm   guide 12 mm   shown raised }
  segment a { azimuth 90 deg   bar 20 mm by 6 mm at 0 mm, 40 mm }
  segment b { azimuth 0 deg   bar 6 mm by 20 mm at 40 mm, 0 mm }
  segment c { azimuth 180 deg   bar 6 mm by 20 mm at -40 mm, 0 mm }
  cam camA on axle level 1 drives a
  cam camB on axle level 2 drives b
  cam camC on axle level 3 drives c
  ${returns}
  ${more}
}
glyphs lamps { segments a b c   1 = a b c   2 = c   3 = a b   4 = b }
`;
const [plain] = mechanismsIn(signal());
const ease = (m: Mechanism) => finished(easing(m));
const eased = (m: Mechanism): Eased => {
  const found = ease(m);
  if ('because' in found) throw new Error(found.because);
  return found;
};
const peak = (m: Mechanism) => {
  const figures = reckon(m);
  return effortOf(m, figures, figures.forces).peak;
};

/** The least peak of all combinations of the grid in which no error and no warning is new, one by one. */
function bruteForce(m: Mechanism): number {
  const given = reckon(m);
  const { easy } = easyCams(m, given.cams);
  const before = findingsOf(m, given);
  let least = peak(m);
  const configs = [undefined, ...laws].flatMap((law) =>
    [undefined, ...windows].flatMap((window) =>
      (triesTurning(m, []) ? [false, true] : [false]).map((turned) => ({
        ...(law && { law }),
        ...(window && { window }),
        ...(turned && { turned }),
      })),
    ),
  );
  for (const config of configs) {
    for (let mask = 0; mask < 2 ** easy.length; mask++) {
      const flipped = new Set(easy.flatMap((_, i) => (mask & (1 << i) ? [i] : [])));
      const changed = chosen(m, easy, { ...config, flipped });
      const told = { defaults: [], missing: [] };
      const motion = motionFigures(changed, told);
      const there = effortOf(changed, motion, forcesOf(changed, motion, told, 'in use')).peak;
      if (there < least && !newlyGrave(before, findingsOf(changed, reckon(changed))).length) least = there;
    }
  }
  return least;
}

describe('ease', () => {
  it('finds what trying everything finds', () => {
    const { before, after, proved } = eased(plain);
    expect(proved).toBe(true);
    expect(after!.peak).toBeLessThan(before.peak);
    expect(after!.peak).toBeCloseTo(bruteForce(plain), 9);
  }, 120_000);

  it('finds it with a push', () => {
    const pushed = mechanismsIn(signal('push button turns axle { arm 14 mm   start -45 deg   stroke 19.8 mm }'))[0];
    const { measure, after } = eased(pushed);
    expect(measure).toBe('push');
    expect(after!.peak).toBeCloseTo(bruteForce(pushed), 9);
  }, 120_000);

  it('finds it where followers stand beside their shaft, turning the other way; and does not turn what is straight', () => {
    const [beside] = mechanismsIn(signal().replace('every segment {', 'every segment { offset -6 mm  '));
    const { after, mechanism, grid, words, proved } = eased(beside!);
    expect([proved, grid.turned]).toEqual([true, true]);
    expect(after!.peak).toBeCloseTo(bruteForce(beside!), 9);
    expect(mechanism!.shafts[0]!.turns!.value).toBe('counterclockwise');
    expect(words.join()).toContain('axle turns counterclockwise');
    expect(eased(plain!).grid.turned).toBe(false);
  }, 120_000);

  it('says what it takes the other way, as running the other way says', () => {
    const { backwards, mechanism } = eased(plain!);
    const back = (m: Mechanism): Mechanism => ({ ...m, runs: { ...m.runs, value: 'reverse' } });
    expect(backwards!.before).toBeCloseTo(peak(back(plain!)), 9);
    expect(backwards!.after).toBeCloseTo(peak(back(mechanism!)), 9);
    expect(eased(mechanismsIn(signal('runs either'))[0]!).backwards).toBeUndefined();
  }, 60_000);

  it('finds it under a band, which couples all bars', () => {
    const band = `post heel { at 0 mm, -30 mm   radius 3 mm }
      band loop { around heel, b, a, c   section 1 mm by 1 mm   loop 110 mm   shear 0.4 MPa }`;
    const hooked = signal('', band)
      .replace('at 0 mm, 40 mm', 'at 0 mm, 40 mm   hook at 0 mm, 30 mm')
      .replace('at 40 mm, 0 mm', 'at 40 mm, 0 mm   hook at 30 mm, 0 mm')
      .replace('at -40 mm, 0 mm', 'at -40 mm, 0 mm   hook at -30 mm, 0 mm');
    const [banded] = mechanismsIn(hooked);
    expect(reckon(banded).forces.cases.length).toBeGreaterThan(0);
    const { after, proved, grid } = eased(banded);
    expect([proved, grid.flips]).toEqual([true, ['a', 'b', 'c']]);
    expect(after!.peak).toBeCloseTo(bruteForce(banded), 9);
  }, 120_000);

  it('halves the push of a numeral of twelve symbols, ends its running on, and raises no finding', () => {
    const [sign] = example('berth-sign');
    const { before, after, mechanism, grid, proved } = eased(sign);
    expect(proved).toBe(true);
    expect(grid.flips).toHaveLength(7);
    expect(before.runningOn).toBeGreaterThan(10);
    expect(after!.runningOn).toBeLessThan(1);
    expect(after!.peak).toBeLessThan(before.peak / 2);
    expect(peak(mechanism!)).toBeCloseTo(after!.peak, 9);
    const fine = (m: Mechanism) => findingsOf(m, finished(refined(m, reckon(m))));
    expect(newlyGrave(fine(sign), fine(mechanism!))).toEqual([]);
    const shown = (m: Mechanism) => reckon(m).positions.map((position) => [...position.shown].sort());
    expect(shown(mechanism!)).toEqual(shown(sign));
  }, 60_000);

  it('leaves stated lobes alone and says so', () => {
    const [stated] = mechanismsIn(
      signal()
        .replace('drives a', 'drives a { raised at 1 3 }')
        .replace('drives b', 'drives b { lobe from 0 deg to 40 deg flank 45 deg }'),
    );
    const { leftAlone, grid, mechanism } = eased(stated);
    expect(grid.flips).toEqual(['c']);
    expect(leftAlone.map(({ cam }) => cam)).toEqual(['camA', 'camB']);
    expect(leftAlone[0]!.because).toContain('stated');
    expect(mechanism!.cams[1]).toEqual(stated.cams[1]);
    expect(mechanism!.segments.slice(0, 2)).toEqual(stated.segments.slice(0, 2));
  }, 60_000);

  it('keeps a bar behind a window where it covers as much', () => {
    const [boxed] = mechanismsIn(
      signal().replace(
        'bar 20 mm by 6 mm at 0 mm, 40 mm',
        'bar 20 mm by 6 mm at 0 mm, 40 mm   window 20 mm by 3 mm at 0 mm, 44.5 mm',
      ),
    );
    const a = boxed.segments[0]!;
    const turned = { ...boxed, segments: [shownOtherwise(a), ...boxed.segments.slice(1)] };
    const shares = (m: Mechanism) => reckon(m).positions.map(({ bars }) => bars[0]!.share);
    for (const [i, share] of shares(turned).entries()) expect(share).toBeCloseTo(shares(boxed)[i]!, 9);
    expect(shownOtherwise(shownOtherwise(a)).bar!.value.at).toEqual(a.bar!.value.at);
  });

  it('pauses and tells how far it is, and can be left at any time', () => {
    const shares: number[] = [];
    const steps = easing(plain);
    for (let i = 0; i < 40; i++) {
      const { value, done } = steps.next();
      if (!done) shares.push(value);
    }
    expect(shares).toHaveLength(40);
    expect(shares.every((share) => share >= 0 && share <= 1)).toBe(true);
    expect(steps.return({ because: 'left' }).done).toBe(true);
  });

  it('says why there is nothing to ease', () => {
    const because = (text: string) => {
      const found = ease(mechanismsIn(text)[0]!);
      return 'because' in found ? found.because : undefined;
    };
    expect(because(signal('', ''))).toContain('spring');
    expect(because(signal().replace('count 1 2 3 4', ''))).toContain('count');
    expect(because(signal().replace('base 20 mm', ''))).toContain('base');
    expect(because(signal().replace(/cam cam. on.*/g, ''))).toContain('no cams');
    expect(because(signal().replace(/drives (.)/g, 'drives $1 { lobe from 0 deg to 40 deg flank 45 deg }'))).toContain(
      'stated',
    );
    expect(because('mechanism Nothing { }')).toContain('count');
  });
});
