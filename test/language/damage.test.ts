import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editsFor, waysFor } from '../../language/edits.ts';
import type { Change } from '../../language/mechanism.ts';
import { type Resolved, resolveDocument } from '../../language/resolve.ts';
import { read, resolve, uri, whereIs } from './reading.ts';

const examples = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => readFileSync(`examples/${name}`, 'utf8'));

const tokens = (text: string): string[] => text.match(/\s+|\/\/[^\n]*|[\w.]+|"[^"\n]*"|[^\s\w]/g) ?? [];

/** A stretch of tokens taken out, doubled, or changed for another; or the text cut off. */
const damaged: fc.Arbitrary<string> = fc
  .tuple(
    fc.constantFrom(...examples),
    fc.array(fc.tuple(fc.constantFrom('cut', 'double', 'swap', 'end', 'zero'), fc.nat(), fc.nat(4), fc.nat()), {
      minLength: 1,
      maxLength: 4,
    }),
  )
  .map(([text, wounds]) => {
    const all = tokens(text);
    for (const [how, where, size, other] of wounds) {
      const at = where % Math.max(1, all.length);
      if (how === 'cut') all.splice(at, size + 1);
      else if (how === 'double') all.splice(at, 0, ...all.slice(at, at + size + 1));
      else if (how === 'end' && where % 5 === 0) all.splice(at);
      else if (how === 'zero') {
        const number = all.findIndex((token, i) => i >= at && /^[\d.]+$/.test(token));
        if (number >= 0) all[number] = ['0', '-1', '1.5', '99999999999'][other % 4]!;
      } else {
        const from = other % Math.max(1, all.length);
        [all[at], all[from]] = [all[from] ?? '', all[at] ?? ''];
      }
    }
    return all.join('');
  });

/** All that is said of a text, without what only helps the next resolving. */
const meaning = ({ memory: _, ...rest }: Resolved) => JSON.parse(JSON.stringify(rest));

describe('damaged text', () => {
  it('is resolved without a throw, its problems at places that there are', () => {
    fc.assert(
      fc.property(damaged, (text) => {
        const resolved = resolve(text);
        for (const { place, related, message } of resolved.problems) {
          expect(message).not.toMatch(/undefined|NaN|Infinity|object Object/);
          for (const each of [place, ...related.map(({ place }) => place)]) {
            if (each.file !== uri) continue;
            const at = whereIs(each, resolved);
            expect(at && 0 <= at.from && at.from <= at.to && at.to <= text.length).toBe(true);
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it('resolved after another means the same as resolved alone', () => {
    fc.assert(
      fc.property(fc.constantFrom(...examples), damaged, (whole, text) => {
        const before = resolve(whole);
        const after = resolve(text, {}, before);
        const alone = resolve(text);
        expect(meaning(after)).toEqual(meaning(alone));
        const mended = resolve(whole, {}, after);
        expect(meaning(mended)).toEqual(meaning(before));
      }),
      { numRuns: 100 },
    );
  });

  it('is changed without a throw', () => {
    const objects = [
      '',
      'limits',
      'about',
      'every cam',
      'every cam on upper',
      'camA',
      'a',
      'upper',
      'upperGear–lowerGear',
    ];
    const properties = [
      'base',
      'travel',
      'level',
      'on',
      'drives',
      'at x',
      'bar plane',
      'flange radius',
      'count',
      'runs',
    ];
    fc.assert(
      fc.property(
        damaged,
        fc.constantFrom(...objects),
        fc.constantFrom(...properties),
        fc.nat(),
        fc.nat(40),
        (text, object, property, from, size) => {
          const document = read(text);
          const resolved = resolveDocument(document);
          const [mechanism] = resolved.mechanisms;
          const ground = { mechanism, designOf: () => document.parseResult.value };
          const place = { file: uri, top: -1, from: from % (text.length + 1), to: 0 };
          const changes: Change[] = [
            { do: 'set', object, property, value: '1 mm' },
            { do: 'add', statement: 'cam another' },
            { do: 'remove', place: { ...place, to: Math.min(text.length, place.from + size) } },
          ];
          for (const change of changes) {
            for (const { edits } of editsFor([change], ground)) {
              let at = 0;
              for (const edit of edits) {
                expect(at <= edit.from && edit.from <= edit.to && edit.to <= text.length).toBe(true);
                at = edit.to;
              }
            }
          }
          waysFor(changes, ground);
        },
      ),
      { numRuns: 300 },
    );
  });
});
