/** Fixes are true: whatever is put wrong in a clean design, what is offered mends it and breaks nothing else. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../language/mechanism.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { type Analysis, analyse } from '../../../server/analysis.ts';
import { gearedBoard } from '../../../server/checks/examples.ts';
import { applied, proveFix } from '../../../server/fixes.ts';
import { idealCentreDistance } from '../../../server/reckon/shape/gears.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;
const example = (name: string) => readFileSync(`examples/${name}.lobe`, 'utf8');
const berth = example('berth-sign');
const lock = example('lock-countdown');
const tally = example('score-tally');
const signal = example('signal-box');
const pier = example('pier-flag');

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

/** Two gears that suit the centres, with a cam on the shaft that leads. */
const board = (module: number, first: number, second: number, pressure: number) =>
  gearedBoard({
    lower: `shaft lower { at 0 mm, ${30 - (module * (first + second)) / 2} mm   turns counterclockwise }`,
    upperGear: `gear upperGear on upper { module ${module} mm   teeth ${first}   width 5 mm   mark 270 deg   pressure angle ${pressure} deg }`,
    lowerGear: `gear lowerGear on lower { module ${module} mm   teeth ${second}   width 5 mm   mark 90 deg   pressure angle ${pressure} deg }`,
    camR: '',
    right: '',
    count: 'count off low',
    table: 'glyphs lamps { segments left   off = blank   low = left }',
  });

/** Twelve teeth against twelve, shifted alike, on the centres that suit them. */
const shifted = (shift: number) => {
  const centres = idealCentreDistance(4, 24, Math.PI / 9, 2 * shift);
  return put(board(4, 12, 12, 20), `at 0 mm, ${30 - 48} mm`, `at 0 mm, ${(30 - centres).toFixed(3)} mm`).replaceAll(
    'pressure angle 20 deg',
    `shift ${shift}`,
  );
};

const number = (from: number, to: number, decimals = 0) =>
  fc.integer({ min: from * 10 ** decimals, max: to * 10 ** decimals }).map((n) => String(n / 10 ** decimals));

const damages: Readonly<Record<string, fc.Arbitrary<Damage>>> = {
  'a base of one cam': damage('steep-cam', berth, 'level 2 drives b\n', number(3, 14, 1).map((n) => `level 2 drives b { base ${n} mm }\n`)),
  'the base of every cam': damage('steep-cam', berth, 'base 22 mm', number(4, 17, 1).map((n) => `base ${n} mm`)),
  'a base through a name': damage('steep-cam', put(signal, 'half = 36 mm', 'half = 36 mm\n  let small = 12 mm'), 'base 26.5 mm', fc.constant('base small')),
  'a key': damage('thin-cam', pier, 'outer 8 mm', number(27, 40).map((n) => `outer ${n} mm`)),
  'a base round a key': damage('thin-cam', put(pier, 'outer 8 mm', 'outer 26 mm'), 'base 14 mm', number(126, 138).map((n) => `base ${Number(n) / 10} mm`)),
  'a key with hardly a flat': damage('idle-key', pier, 'outer 8 mm', number(785, 799).map((n) => `outer 8 mm   inner ${Number(n) / 100} mm`)),
  'far too much clearance of a key': damage('idle-key', berth, 'outer 18 mm   clearance 0.1 mm', number(30, 40).map((n) => `outer 18 mm   clearance ${Number(n) / 10} mm`)),
  'joined teeth of a key': damage('key-ambiguous', signal, 'master 2', fc.constant('master 1')),
  'few teeth': number(10, 15).map((n) => ({ code: 'undercut-gear', text: board(4, Number(n), 60 - Number(n), 20) })),
  'a steep mesh': fc.constantFrom(8, 9).map((n) => ({ code: 'weak-mesh', text: board(5, n, n, 30) })),
  'shift that brings tips into roots': number(50, 120).map((n) => ({ code: 'tight-tips', text: shifted(Number(n) / 100) })),
  'a fit': damage('tight-fit', berth, 'fit 0.2 mm', number(0, 19).map((n) => `fit ${Number(n) / 100} mm`)),
  'a clearance of a bearing': damage('tight-fit', berth, 'turns clockwise   key dee   bearing 10 mm clearance 0.2 mm', number(0, 19).map((n) => `turns clockwise   key dee   bearing 10 mm clearance ${Number(n) / 100} mm`)),
  'a clearance of a key': damage('tight-fit', berth, 'outer 18 mm   clearance 0.1 mm', number(0, 9).map((n) => `outer 18 mm   clearance ${Number(n) / 100} mm`)),
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
  'a stroke of the push': damage('short-push', berth, 'stroke 8.2 mm', number(10, 71, 0).map((n) => `stroke ${Number(n) / 10} mm`)),
  'a stroke of two steps': damage('double-step', berth, 'stroke 8.2 mm', number(140, 175, 0).map((n) => `stroke ${Number(n) / 10} mm`)),
  'a stroke past the pin': damage('long-stroke', berth, 'stroke 8.2 mm', number(19, 60).map((n) => `stroke ${n} mm`)),
  'an arm of the push': damage('short-push', berth, 'arm 14 mm', number(16, 40, 1).map((n) => `arm ${n} mm`)),
  'a pawl bent too far': damage('tired-arm', berth, 'hold 60 Nmm', number(1, 5, 1).map((n) => `hold 60 Nmm   arm 14 mm by 1.6 mm by 5 mm   deflection ${n} mm`)),
  'a coil too short': damage('tired-spring', berth, 'rate 0.08 N/mm', number(8, 19, 1).map((n) => `coil compression   wire 0.3 mm   mean 5 mm   turns 10   free ${n} mm`)),
  'a coil too thin': damage('tired-spring', berth, 'rate 0.08 N/mm', number(10, 18).map((n) => `coil extension   wire 0.${n} mm   mean 4 mm   turns 6`)),
  'another rate than that of the coil': damage('contrary-spring', berth, 'rate 0.08 N/mm', number(9, 20).map((n) => `rate 0.${n} N/mm   coil extension   wire 0.3 mm   mean 5 mm   turns 10`)),
  'an accept for nothing': damage('needless-accept', berth, 'bought 4', fc.constantFrom('steep-cam on camA', 'step-mismatch', 'tight-fit').map((s) => `accept ${s} "why not"\n  bought 4`)),
}; // biome-ignore format: a table

const grave = ({ findings }: Analysis) =>
  findings.filter(({ severity }) => severity === 'error' || severity === 'warning').map(key);
const key = ({ code, about }: Finding) => `${code} ${about[0] ?? ''}`;

function look(text: string) {
  const document = readDesign(services, text);
  return { document, analysis: analyse(document, documents) };
}

/** Carries out every fix that is offered for a text and holds it to be true; the findings that one was offered for. */
function mendAll(text: string): { readonly findings: readonly Finding[]; readonly mended: readonly Finding[] } {
  const { document, analysis } = look(text);
  const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
  const before = grave(analysis);
  const mended = analysis.findings.filter((finding) => {
    const proved = finding.fixes.flatMap((fix) => proveFix(finding, fix, scene) ?? []);
    for (const { title, files } of proved) {
      const after = look(applied(text, files[0].edits)).analysis;
      const left = after.findings.filter((one) => key(one) === key(finding) && one.place.from === finding.place.from);
      expect(
        left.map(({ message }) => message),
        title,
      ).toEqual([]);
      expect(
        grave(after).filter((one) => !before.includes(one)),
        title,
      ).toEqual([]);
    }
    return proved.length > 0;
  });
  return { findings: analysis.findings, mended };
}

const inWords = (findings: readonly Finding[]) =>
  findings.map((one) => `${one.code}: ${one.message} [${one.fixes.map(({ title }) => title).join('; ')}]`).join('\n');

describe('every fix that is offered is true', () => {
  it.each(Object.entries(damages))('%s', (_, arbitrary) => {
    fc.assert(
      fc.property(arbitrary, ({ text, code }) => {
        const { findings, mended } = mendAll(text);
        expect(
          mended.map((finding) => finding.code),
          `a fix for ${code} in: ${inWords(findings)}`,
        ).toContain(code);
      }),
      { numRuns: 8, ignoreEqualValues: true, endOnFailure: true },
    );
  });
});

// ---- cams of all sizes -------------------------------------------------------------------------

const laws = [
  'simple harmonic',
  'cycloidal',
  'polynomial 3-4-5',
  'modified sine',
  'constant acceleration',
  'constant velocity blended 25 %',
];

/** A numeral of one cam, often too small for its key, its nose or its travel. */
const cams = fc
  .record({
    rests: fc.integer({ min: 3, max: 12 }),
    base: fc.integer({ min: 4, max: 40 }),
    nose: fc.integer({ min: 1, max: 120 }),
    stroke: fc.integer({ min: 10, max: 60 }),
    travel: fc.option(fc.integer({ min: 40, max: 100 })),
    offset: fc.integer({ min: -15, max: 15 }),
    law: fc.constantFrom(...laws),
    key: fc.constantFrom('', 'shape flat   outer 24 mm', 'shape flat   outer 50 mm', 'shape hexagon   across 34 mm'),
    every: fc.boolean(),
    flat: fc.boolean(),
  })
  .map(({ rests, base, nose, stroke, travel, offset, law, key, every, flat }) => {
    const values = `base ${base} mm   law ${law}${travel === null ? '' : `   travel ${((travel / 100) * 360) / rests} deg`}`;
    return `mechanism Flag {
  glyphs flags
  count ${Array.from({ length: rests }, (_, i) => (i % 3 === 1 ? 'up' : 'down')).join(' ')}
  shaft axle { at 0 mm, 0 mm   turns clockwise${key && '   key round'} }
  ${key && `key round { ${key}   clearance 0.1 mm }`}
  ${every ? `every cam { ${values} }` : ''}
  segment flag { azimuth 90 deg   offset ${offset / 10} mm   stroke ${stroke / 10} mm   nose ${nose / 10} mm${flat ? '   follower flat' : ''} }
  cam lifter on axle level 1 drives flag ${every ? '' : `{ ${values} }`}
}

glyphs flags { segments flag   down = blank   up = flag }
`;
  }); // biome-ignore format: one line a property

it('a base is offered for every cam that is too steep, cut under or thin, and all that is offered is true', () => {
  const codes = ['steep-cam', 'undercut-cam', 'thin-cam'];
  const seen = new Map<string, number>();
  fc.assert(
    fc.property(cams, (text) => {
      const { findings, mended } = mendAll(text);
      for (const finding of findings.filter(
        ({ code, severity }) => codes.includes(code) && severity !== 'information',
      )) {
        seen.set(finding.code, (seen.get(finding.code) ?? 0) + 1);
        expect(mended, inWords(findings)).toContain(finding);
      }
      const own = findings.filter(({ code, severity }) => codes.includes(code) && severity !== 'information');
      expect(own.length, inWords(own)).toBeLessThanOrEqual(1);
    }),
    { numRuns: 80, seed: 7 },
  );
  for (const code of codes) expect(seen.get(code), code).toBeGreaterThan(3);
}, 120_000);
