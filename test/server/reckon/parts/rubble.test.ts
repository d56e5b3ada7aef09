/** Half-written and mangled designs: their parts are made or told, and nothing is thrown. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { reckon } from '../../../../server/reckon/figures.ts';
import { fingerprintOf } from '../../../../server/reckon/parts/fingerprint.ts';
import { areaOf } from '../../../../server/reckon/parts/loop.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { mechanismsIn } from '../../../designs.ts';
import { rubble } from '../../../rubble.ts';

it('every part is whole, or why not is said', () => {
  fc.assert(
    fc.property(rubble, (text) => {
      for (const m of mechanismsIn(text)) {
        const { parts, missing, unmarked } = partsOf(m, reckon(m));
        for (const part of parts) {
          expect(fingerprintOf(part), part.name).toMatch(/^[0-9a-f]{16}$/);
          const numbers = JSON.stringify(part.prisms).match(/null/);
          expect(numbers, `${part.name} has numbers that are none`).toBeNull();
          for (const { from, to, regions } of part.prisms) {
            expect(to - from, part.name).toBeGreaterThan(0);
            expect(areaOf(regions), part.name).toBeGreaterThan(0);
          }
        }
        expect(new Set(parts.map(({ name }) => name)).size).toBe(parts.length);
        for (const { because } of [...missing, ...unmarked])
          expect(because).not.toMatch(/undefined|NaN|Infinity|\[object|\.$/);
      }
    }),
    { numRuns: 100 },
  );
}, 120_000);
