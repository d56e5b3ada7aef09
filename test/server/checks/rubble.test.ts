/** Half-written and mangled designs: every check answers, in whole sentences and with real numbers. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { pages } from '../../../server/checks/index.ts';
import { findingsIn } from './findings.ts';

const designs = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => readFileSync(`examples/${name}`, 'utf8'));
const codes = new Set(pages.map(({ code }) => code));
const severities = ['error', 'warning', 'information', 'hint'];

/** A design with some of its lines left out, some of its words changed for others, or cut off. */
const rubble = fc
  .record({
    design: fc.constantFrom(...designs),
    without: fc.array(fc.nat(), { maxLength: 6 }),
    swaps: fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 4 }),
    end: fc.oneof(
      { weight: 3, arbitrary: fc.constant(1) },
      { weight: 1, arbitrary: fc.double({ min: 0, max: 1, noNaN: true }) },
    ),
  })
  .map(({ design, without, swaps, end }) => {
    const lines = design.split('\n');
    for (const at of without) lines.splice(at % lines.length, 1);
    const words = lines.join('\n').split(/(\s+)/);
    for (const [one, other] of swaps) {
      // Words lie at even places, what is between them at odd ones.
      const [i, j] = [one, other].map((n) => 2 * (n % Math.ceil(words.length / 2)));
      [words[i], words[j]] = [words[j], words[i]];
    }
    const text = words.join('');
    return text.slice(0, Math.ceil(text.length * end));
  });

it('every check answers whatever the text', () => {
  fc.assert(
    fc.property(rubble, (text) => {
      for (const { code, severity, message, from, to, about, figures, related, fixes } of findingsIn(text)) {
        if (!codes.has(code)) continue;
        expect(severities).toContain(severity);
        expect(message).not.toMatch(/undefined|NaN|Infinity|\[object|\.$/);
        expect(about.every((name) => name !== undefined)).toBe(true);
        expect(from).toBeLessThanOrEqual(to);
        expect(to).toBeLessThanOrEqual(text.length);
        for (const figure of Object.values(figures))
          expect(
            typeof figure === 'number' ? Number.isFinite(figure) : figure !== undefined,
            `${code} ${message}`,
          ).toBe(true);
        for (const { place } of related) expect(place.to).toBeGreaterThanOrEqual(place.from);
        for (const { title } of fixes) expect(title).not.toMatch(/undefined|NaN/);
      }
    }),
    { numRuns: 150 },
  );
}, 120_000);
