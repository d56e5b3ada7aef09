import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { fingerprintOf, labelsOf } from '../../../../server/reckon/parts/fingerprint.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example, mechanismsIn } from '../../../designs.ts';

const prints = (m: Mechanism): Record<string, string> =>
  Object.fromEntries(partsOf(m, reckon(m)).parts.map((part) => [part.name, fingerprintOf(part)]));
const text = readFileSync(new URL('../../../../examples/berth-sign.lobe', import.meta.url), 'utf8');
const [plain] = mechanismsIn(text);
const before = prints(plain);
/** The text with something in place of another that must be there. */
const edited = (...changes: readonly (readonly [string | RegExp, string])[]): Record<string, string> => {
  const after = changes.reduce((now, [from, to]) => {
    const next = now.replaceAll(from instanceof RegExp ? new RegExp(from, 'g') : from, to);
    expect(next, `${from}`).not.toBe(now);
    return next;
  }, text);
  return prints(mechanismsIn(after)[0]);
};

describe('a fingerprint', () => {
  it('is sixteen hexadecimal digits, and tells unlike cams apart', () => {
    const cams = ['camA', 'camB', 'camC', 'camD', 'camE', 'camF', 'camG'].map((name) => before[name]);
    for (const print of cams) expect(print).toMatch(/^[0-9a-f]{16}$/);
    expect(new Set(cams).size).toBe(7);
  });

  it('is one for parts alike', () => expect(before.f).toBe(before.e));

  it('stays under another layout and other comments', () =>
    expect(edited([/\/\/.*\n/, '\n'], [/ {2,}/, '\n\n'], [/every cam/, '/* all */ every cam'])).toEqual(before));

  it('stays under other names', () => {
    const named = edited([/camE/, 'cause'], [/\bdee\b/, 'halfRound'], [/\bupper\b/, 'top']);
    expect(named.cause).toBe(before.camE);
    expect(named.camA).toBe(before.camA);
    expect(named.top).toBe(before.upper);
  });

  it('stays where the same numbers are reckoned another way', () =>
    expect(
      edited(
        [/base 22 mm/, 'base 66 mm / 3'],
        [/travel 25 deg/, 'travel (0.1 + 0.2) * 250 deg / 3'],
        [/stroke 3\.5 mm/, 'stroke sqrt(12.25) * 1 mm'],
        [/outer 18 mm/, 'outer 1.8 cm'],
        [/thickness 3 mm/, 'thickness 0.1 mm + 0.2 mm + 2.7 mm'],
      ),
    ).toEqual(before));

  it('stays where a part is moved with all that it meets', () => {
    const moved = edited(
      [/at 0 mm, centres \/ 2/, 'at 100 mm, centres / 2'],
      [/at 0 mm, -centres \/ 2/, 'at 100 mm, -centres / 2'],
    );
    const turning = (prints: Record<string, string>) => Object.entries(prints).filter(([name]) => name.length > 1);
    expect(turning(moved)).toEqual(turning(before));
  });

  it('changes for a shape that is another by a few micrometres, and for no other part', () => {
    const wider = edited([
      'cam camA on upper level 1 drives a',
      'cam camA on upper level 1 drives a { base 22.003 mm }',
    ]);
    expect(wider.camA).not.toBe(before.camA);
    // its bar stands farther out from its nose by as much less
    expect({ ...wider, camA: before.camA, a: before.a }).toEqual(before);
  });

  it('stays where a number lies just between two steps of rounding', () => {
    const half = (flange: string) => edited([/flange 1\.2 mm/, `flange ${flange}`]);
    // 0.1 + 0.5005 is a little less than 0.6005
    expect(half('0.1 mm + 0.5005 mm')).toEqual(half('0.6005 mm'));
  });

  it('withstands noise in the last digits of every length and angle', () => {
    const fields = new Set(['base', 'travel', 'stroke', 'nose', 'outer', 'thickness', 'flange', 'azimuth', 'at', 'module', 'width', 'pressureAngle', 'clearance', 'bearing', 'backlash']); // biome-ignore format: a list
    const shaken = (value: unknown, noise: () => number, inside = false): unknown => {
      if (typeof value === 'number') return inside ? value * (1 + noise()) : value;
      if (Array.isArray(value)) return value.map((one) => shaken(one, noise, inside));
      if (value === null || typeof value !== 'object') return value;
      return Object.fromEntries(
        Object.entries(value).map(([key, one]) => [
          key,
          key === 'place' || key === 'whole' ? one : shaken(one, noise, inside || fields.has(key)),
        ]),
      );
    };
    const designs = ['berth-sign', 'lock-countdown', 'score-tally'].map((name) => example(name)[0]);
    const unshaken = designs.map(prints);
    fc.assert(
      fc.property(fc.infiniteStream(fc.double({ min: -1e-13, max: 1e-13, noNaN: true })), (stream) => {
        designs.forEach((m, i) => {
          expect(prints(shaken(m, () => stream.next().value) as Mechanism)).toEqual(unshaken[i]);
        });
      }),
      { numRuns: 20 },
    );
  });

  it('says nothing of what is engraved, which has a hash of its own', () => {
    const [part] = partsOf(plain, reckon(plain)).parts;
    const engraved = { ...part, engraved: part.prisms };
    expect(fingerprintOf(engraved)).toBe(fingerprintOf(part));
    expect(labelsOf(engraved)).not.toBe(labelsOf({ ...part, engraved: [] }));
  });
});
