/** Fixes are true: whatever is put wrong in a clean design, what is offered mends it and breaks nothing else. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../language/mechanism.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { type Analysis, analyse } from '../../../server/analysis.ts';
import { applied, proveFix } from '../../../server/fixes.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;
const example = (name: string) => readFileSync(`examples/${name}.lobe`, 'utf8');
const berth = example('berth-sign');
const lock = example('lock-countdown');
const tally = example('score-tally');
const signal = example('signal-box');

/** A text with something put wrong, and the code of the finding that must offer a fix. */
interface Damage {
  readonly text: string;
  readonly code: string;
}

const put = (text: string, from: string, to: string): string => {
  if (text.split(from).length !== 2) throw new Error(`"${from}" does not stand once`);
  return text.replace(from, to);
};

const damage = (code: string, text: string, from: string, to: fc.Arbitrary<string>): fc.Arbitrary<Damage> =>
  to.map((instead) => ({ code, text: put(text, from, instead) }));

const number = (from: number, to: number, decimals = 0) =>
  fc.integer({ min: from * 10 ** decimals, max: to * 10 ** decimals }).map((n) => String(n / 10 ** decimals));

const damages: Readonly<Record<string, fc.Arbitrary<Damage>>> = {
  'a base of one cam': damage('steep-cam', berth, 'level 2 drives b\n', number(3, 14, 1).map((n) => `level 2 drives b { base ${n} mm }\n`)),
  'the base of every cam': damage('steep-cam', berth, 'base 22 mm', number(4, 17, 1).map((n) => `base ${n} mm`)),
  'a base through a name': damage('steep-cam', put(signal, 'half = 36 mm', 'half = 36 mm\n  let small = 12 mm'), 'base 26.5 mm', fc.constant('base small')),
  'a travel': damage('long-travel', berth, 'level 2 drives b\n', number(31, 59).map((n) => `level 2 drives b { travel ${n} deg }\n`)),
  'the travel of every cam': damage('overlapping-lobes', tally, 'travel 25 deg', number(31, 60).map((n) => `travel ${n} deg`)),
  'a travel that overlaps': damage('overlapping-lobes', berth, 'travel 26 deg', number(31, 80).map((n) => `travel ${n} deg`)),
  'late flanks that are too wide': damage('overlapping-lobes', berth, '{ travel 26 deg }', number(4, 9).map((n) => `{ base 26 mm   rise 33 deg late -${n} deg   fall 35 deg late ${n} deg }`)),
  'late flanks': damage('overlapping-lobes', berth, '{ travel 26 deg }', number(4, 9).map((n) => `{ base 26 mm   rise 24 deg late -${n} deg   fall 24 deg late ${n} deg }`)),
  'teeth of the ratchet': damage('step-mismatch', berth, 'teeth 12', number(2, 60).filter((n) => n !== '12').map((n) => `teeth ${n}`)),
  'a ratchet with a tooth for every other count': damage('step-mismatch', put(tally, ' times 2', ''), 'runs either', fc.constant('runs either')),
  'teeth of a gear': damage('shaft-drift', berth, 'lowerGear on lower { module 1 mm   teeth 70', number(61, 90).filter((n) => n !== '70').map((n) => `lowerGear on lower { module 1 mm   teeth ${n}`)),
  'teeth of the leading gear': damage('shaft-drift', berth, 'upperGear on upper { module 1 mm   teeth 70', number(50, 90).filter((n) => n !== '70').map((n) => `upperGear on upper { module 1 mm   teeth ${n}`)),
  'a mark': damage('marks-apart', berth, 'mark 90 deg', number(0, 359, 1).filter((n) => Math.abs(Number(n) - 90) > 0.2).map((n) => `mark ${n} deg`)),
  'a mark of two': damage('marks-apart', lock, 'mark 0 deg, 180 deg', number(1, 359).filter((n) => n !== '180').map((n) => `mark 0 deg, ${n} deg`)),
  'teeth that meet': damage('teeth-clash', berth, 'mark 270 deg', number(1, 34).map((n) => `mark ${270 + Number(n) * (360 / 70) + 2.5} deg`)),
  'a level': damage('level-clash', berth, 'cam camF on upper level 3', fc.constantFrom(1, 2, 4).map((n) => `cam camF on upper level ${n}`)),
  'a symbol in the wrong case': damage('unknown-symbol', berth, '8 9 C "-"', fc.constant('8 9 c "-"')),
  'a symbol that looks like another': damage('unknown-symbol', berth, 'count 0 1 2', fc.constantFrom('O', 'o').map((s) => `count ${s} 1 2`)),
  'a long dash': damage('unknown-symbol', berth, '9 C "-"', fc.constantFrom('–', '—', '−', '_').map((s) => `9 C "${s}"`)),
  'a symbol stated by mistake': damage('uncounted-symbol', tally, 'raised at 1 3 4 5', fc.constantFrom('6', '7', '"l"').map((s) => `raised at 1 3 4 5 ${s}`)),
  'symbols stated wrong': damage('unreachable-symbol', tally, 'raised at 1 3 4 5', fc.constantFrom('1 3 4', '1 2 3 4 5', '0 1 3 4 5', '3 5').map((s) => `raised at ${s}`)),
  'a turning direction': damage('turn-direction', berth, 'turns counterclockwise', fc.constant('turns clockwise')),
  'a module': damage('unlike-gears', berth, 'lowerGear on lower { module 1 mm', fc.constantFrom('0.8', '1.25', '2').map((n) => `lowerGear on lower { module ${n} mm`)),
  'a shaft': damage('centre-distance', berth, 'at 0 mm, -centres / 2', number(20, 60, 1).filter((n) => n !== '35').map((n) => `at 0 mm, -${n} mm`)),
  'a shaft aside': damage('centre-distance', berth, 'at 0 mm, -centres / 2', number(2, 30).map((n) => `at ${n} mm, -centres / 2`)),
  'an azimuth turned about': damage('bar-astray', berth, 'segment g { azimuth 270 deg', fc.constant('segment g { azimuth 90 deg')),
  'no base': damage('missing-value', berth, 'base 22 mm   ', fc.constant('')),
  'no level': damage('missing-value', berth, 'cam camA on upper level 1', fc.constant('cam camA on upper')),
  'a cam left out': damage('undriven-segment', berth, '  cam camE on lower level 3 drives e\n', fc.constant('')),
  'a cam of its own base left out': damage('undriven-segment', put(berth, 'base 22 mm', ''), '  cam camE on lower level 3 drives e\n', fc.constant('')),
  'a mesh left out': damage('unmeshed-shaft', berth, 'mesh upperGear lowerGear { backlash 0.12 mm }', fc.constant('')),
  'a segment driven twice': damage('twice-driven-segment', berth, 'level 4 drives g', fc.constantFrom('a', 'b', 'c').map((s) => `level 4 drives g ${s}`)),
  'a second ratchet': damage('second-driver', berth, 'bought 4', fc.constant('ratchet other on lower { teeth 12 }\n  bought 4')),
  'an accept for nothing': damage('needless-accept', berth, 'bought 4', fc.constantFrom('steep-cam on camA', 'step-mismatch', 'tight-fit').map((s) => `accept ${s} "why not"\n  bought 4`)),
}; // biome-ignore format: a table

const grave = ({ findings }: Analysis) =>
  findings.filter(({ severity }) => severity === 'error' || severity === 'warning').map(key);
const key = ({ code, about }: Finding) => `${code} ${about[0] ?? ''}`;

function look(text: string) {
  const document = readDesign(services, text);
  return { document, analysis: analyse(document, documents) };
}

describe('every fix that is offered is true', () => {
  it.each(Object.entries(damages))('%s', (_, arbitrary) => {
    fc.assert(
      fc.property(arbitrary, ({ text, code }) => {
        const { document, analysis } = look(text);
        const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
        const before = grave(analysis);
        let offered = 0;
        for (const finding of analysis.findings) {
          for (const fix of finding.fixes) {
            const proved = proveFix(finding, fix, scene);
            if (!proved) continue;
            if (finding.code === code) offered++;
            const after = look(applied(text, proved.files[0].edits)).analysis;
            const left = after.findings.filter(
              (one) => key(one) === key(finding) && one.place.from === finding.place.from,
            );
            expect(
              left.map(({ message }) => message),
              fix.title,
            ).toEqual([]);
            expect(
              grave(after).filter((one) => !before.includes(one)),
              fix.title,
            ).toEqual([]);
          }
        }
        expect(
          offered,
          `a fix for ${code} in: ${analysis.findings.map((one) => `${one.code}: ${one.message} [${one.fixes.map(({ title }) => title).join('; ')}]`).join('\n')}`,
        ).toBeGreaterThan(0);
      }),
      { numRuns: 10, endOnFailure: true },
    );
  });
});
