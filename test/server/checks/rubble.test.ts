/** Half-written and mangled designs: every check answers, in whole sentences and with real numbers. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { pages } from '../../../server/checks/index.ts';
import { rubble } from '../../rubble.ts';
import { findingsIn } from './findings.ts';

const codes = new Set(pages.map(({ code }) => code));
const severities = ['error', 'warning', 'information', 'hint'];

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
