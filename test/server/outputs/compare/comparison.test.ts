/** What a comparison tells, and what it does not. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { laidOut } from '../../../../language/format.ts';
import type { Mechanism, Part } from '../../../../language/mechanism.ts';
import { scalars } from '../../../../language/properties.ts';
import { partsOf } from '../../../../server/checks/check.ts';
import { partsDiffer } from '../../../../server/outputs/compare/comparison.ts';
import { differencesInWords } from '../../../../server/outputs/compare/wording.ts';
import { changesNothing } from '../../../../server/outputs/compare/written.ts';
import { example, examples } from '../chart/designs.ts';
import { brief, compare, compareOne, design, withValue } from './sides.ts';

const sign = example('berth-sign');
const readable = examples.filter((name) => name !== 'wrong-on-purpose');

/** The statements of the first mechanism, one a line, in another order; those that continue another stay behind it. */
function reordered(text: string, by: readonly number[]): string {
  const lines = text.split('\n');
  const first = lines.findIndex((line) => line.startsWith('mechanism'));
  const last = lines.findIndex((line, i) => i > first && line === '}');
  const statements: string[] = [];
  for (const line of lines.slice(first + 1, last)) {
    if (/^ {2}\S/.test(line) && !line.startsWith('  }')) statements.push(line);
    else if (statements.length) statements[statements.length - 1] += `\n${line}`;
  }
  // What a `let` names has to stand somewhere, and a kind that is told by its order keeps it.
  const keys = new Map(statements.map((statement, i) => [statement, by[i % by.length]!]));
  const sorted = [...statements].sort((a, b) => keys.get(a)! - keys.get(b)!);
  return [...lines.slice(0, first + 1), ...sorted, ...lines.slice(last)].join('\n');
}

describe('layout, comments and order', () => {
  it.each(examples)('of %s: the same text changes nothing', (name) => {
    const comparison = compare(example(name), example(name));
    expect(changesNothing(comparison)).toBe(true);
    expect(partsDiffer(comparison)).toBe(false);
  });

  it.each(readable)('of %s change nothing', (name) => {
    const text = example(name);
    const wide = text
      .replace(/\/\/.*/g, '')
      .replace(/ {2,}/g, ' /* so */ ')
      .replace(/\{ /g, '{\n\n  // a word\n ');
    expect(changesNothing(compare(text, wide))).toBe(true);
    expect(changesNothing(compare(wide, laidOut(wide)!))).toBe(true);
  });

  it.each(readable)('of statements of %s: whatever the order, nothing changes', (name) => {
    const text = example(name);
    const order = fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 40, maxLength: 40 });
    fc.assert(
      fc.property(order, (by) => {
        const comparison = compare(text, reordered(text, by));
        expect(comparison.mechanisms.flatMap(({ stated, follows }) => brief([...stated, ...follows]))).toEqual([]);
        expect(comparison.mechanisms.flatMap(({ parts }) => parts.filter(({ fate }) => fate !== 'keeps'))).toEqual([]);
        expect(changesNothing(comparison)).toBe(true);
      }),
      { numRuns: 4 },
    );
  });

  it('does not mind how a value is said', () => {
    const otherwise = sign
      .replace('at 0 mm, centres / 2', 'at 0 cm, 35 mm')
      .replace('azimuth 270 deg', 'azimuth -90 deg')
      .replace('travel 26 deg', 'rise 26 deg   fall 26 deg')
      .replace('every segment {', 'every segment { follower flat   follower flat')
      .replace(' follower flat   follower flat', ' overhang 5 mm')
      .replace('returns a b c d e f g', 'returns g f e d c b a')
      .replace('C = a d e f', 'C = f e d a')
      .replace('drives a', 'drives a { law simple harmonic }')
      .replace('mesh upperGear lowerGear', 'mesh lowerGear upperGear');
    expect(otherwise).not.toBe(sign);
    expect(changesNothing(compare(sign, otherwise))).toBe(true);
  });

  it('does not mind from which anchor a band is followed, but does which way round', () => {
    const loop = (around: string) =>
      `${example('pier-flag').replace(
        /\n}\n\nglyphs/,
        `\n  post left { at -20 mm, 0 mm   radius 3 mm }
  post right { at 20 mm, 0 mm   radius 3 mm }
  post low { at 0 mm, -20 mm   radius 3 mm }
  band rubber { around ${around}   loop 120 mm   section 1.5 mm by 1.5 mm   shear 0.4 MPa }\n}\n\nglyphs`,
      )}`;
    expect(changesNothing(compare(loop('left, low, right'), loop('low, right, left')))).toBe(true);
    expect(brief(compareOne(loop('left, low, right'), loop('low, left, right')).stated)).toEqual([
      'band rubber around',
    ]);
  });
});

/** Every value of every part that one number sets, by the name that `--set` knows it by. */
function settable(m: Mechanism): { readonly part: Part; readonly property: string; readonly written: string }[] {
  const units: Readonly<Record<string, string>> = {
    mm: 'mm',
    deg: 'deg',
    N: 'N',
    'N/mm': 'N/mm',
    Nmm: 'Nmm',
    '%': '%',
  };
  return partsOf(m).flatMap((part) =>
    Object.entries(scalars[part.kind] ?? {}).flatMap(([word, { wants, range }]) => {
      const property = word === 'pressure' ? 'pressure angle' : word;
      const given = (part as unknown as Record<string, { value?: number; by?: string } | undefined>)[
        word === 'pressure' ? 'pressureAngle' : word
      ];
      if (typeof given?.value !== 'number' || given.by === 'default' || given.by === 'process') return [];
      const unit = wants.unit === '' ? '' : units[wants.unit];
      if (unit === undefined) return [];
      const inUnit = given.value * (unit === 'deg' ? 180 / Math.PI : 1);
      const value = range.whole ? inUnit + 1 : Number((inUnit * 1.05 + (inUnit === 0 ? 1 : 0)).toFixed(6));
      return [{ part, property, written: `${value} ${unit}`.trim() }];
    }),
  );
}

describe('one value', () => {
  it.each(readable)('of %s set otherwise is just that value, and what follows', (name) => {
    const text = example(name);
    const all = settable(design(text).mechanisms[0]!.mechanism);
    expect(all.length).toBeGreaterThan(10);
    fc.assert(
      fc.property(fc.constantFrom(...all), ({ part, property, written }) => {
        const after = withValue(text, () => ({ object: part.name, property, value: written }));
        expect(after, `${part.name} ${property}`).toBeDefined();
        const { stated, follows, figures } = compareOne(text, after!);
        // Lengths that a maker gives to one flank are of both.
        expect(brief(stated)).toEqual([`${part.kind} ${part.name} ${property}`]);
        for (const one of follows) expect(one).toMatchObject({ what: 'changed', by: 'follows' });
        for (const one of figures) expect(one).toMatchObject({ what: 'changed', by: 'reckoned' });
      }),
      { numRuns: 8 },
    );
  });

  it('is told in the maker’s words, with its figures', () => {
    const one = compareOne(sign, sign.replace('segment e {', 'segment e { stroke 4.5 mm  '));
    expect(differencesInWords(one.stated)).toEqual(['bar e: stroke 3.5 → 4.5 mm']);
    expect(differencesInWords(one.follows)).toEqual([
      'bar e: overhang 5 → 6 mm (stroke + nose)',
      'camE: flange radius 27 → 28 mm (base + stroke + nose)',
    ]);
    expect(differencesInWords(one.figures).find((line) => line.startsWith('camE: pressure angle'))).toMatch(
      /^camE: pressure angle 26\.6 → 32\.\d° \(at \d+°\)$/,
    );
  });

  it('that many parts share is told once', () => {
    const { stated, figures } = compareOne(sign, sign.replace('base 22 mm', 'base 24 mm'));
    expect(differencesInWords(stated)).toEqual(['every cam: base 22 → 24 mm']);
    expect(differencesInWords(figures)[0]).toMatch(
      /^camA, camB, camF, camD, camC and camE: pressure angle 26\.6 → 2\d/,
    );
  });

  it('of the count, the glyphs and the train is told with what the cams do then', () => {
    const short = compareOne(sign, sign.replace('9 C "-"', '9 C'));
    expect(differencesInWords(short.stated)).toEqual(['count 0 1 2 3 4 5 6 7 8 9 C - → 0 1 2 3 4 5 6 7 8 9 C']);
    expect(differencesInWords(short.follows)).toContain(
      'camG: raised at 2 3 4 5 6 8 9 - → 2 3 4 5 6 8 9 (from count and glyphs)',
    );
    expect(differencesInWords(short.figures)).toContain('rests a turn 12 → 11');
    const face = compareOne(sign, sign.replace('C = a d e f', 'C = a d e'));
    expect(differencesInWords(face.stated)).toEqual(['glyphs pier: C shows a d e f → a d e']);
    const train = compareOne(sign, sign.replace('lower { module 1 mm   teeth 70', 'lower { module 1 mm   teeth 35'));
    expect(differencesInWords(train.stated)).toEqual(['gear lowerGear: teeth 70 → 35']);
    expect(differencesInWords(train.figures)).toContain('shaft lower: turns for one of the leading shaft -1 → -2');
  });

  it('of a table is told with the mechanism that stands on it, of another table with the file', () => {
    const own = `${sign}\nprocess mill { spread 0.02 mm   clearance 0.1 mm }\n`;
    const used = own.replace('made with filament', 'made with mill');
    const finer = compare(used, used.replace('spread 0.02 mm', 'spread 0.01 mm'));
    expect(differencesInWords(finer.mechanisms[0]!.stated)).toEqual(['process mill: spread 0.02 → 0.01 mm']);
    expect(finer.differences).toEqual([]);
    const loose = compare(own, own.replace('spread 0.02 mm', 'spread 0.01 mm'));
    expect(differencesInWords(loose.differences)).toEqual(['process mill: spread 0.02 → 0.01 mm']);
    expect(loose.mechanisms[0]!.stated).toEqual([]);
    expect(differencesInWords(compare(sign, used).mechanisms[0]!.stated)).toEqual([
      'made with filament → mill',
      'process mill: spread 0.1 → 0.02 mm',
      'process mill: clearance 0.2 → 0.1 mm',
    ]);
  });

  it('that appears or is no longer given is told as that', () => {
    const heavy = sign.replace('segment e {', 'segment e { mass 4 g  ');
    expect(differencesInWords(compareOne(sign, heavy).stated)).toEqual(['bar e: mass 4 g (not given before)']);
    expect(differencesInWords(compareOne(heavy, sign).stated)).toEqual(['bar e: mass no longer given (4 g before)']);
  });
});

describe('names', () => {
  const renamable = (m: Mechanism): string[] =>
    [m.shafts, m.keys, m.gears, m.cams, m.springs, m.ratchets, m.pushes].flat().map(({ name }) => name);

  it.each(readable)('of parts of %s: a rename is a rename and nothing else', (name) => {
    const text = example(name);
    const { mechanism } = design(text).mechanisms[0]!;
    const names = renamable(mechanism);
    fc.assert(
      fc.property(fc.uniqueArray(fc.constantFrom(...names), { minLength: 1, maxLength: 3 }), (chosen) => {
        const after = chosen.reduce((all, one) => all.replace(new RegExp(`\\b${one}\\b`, 'g'), `${one}Renamed`), text);
        const one = compareOne(text, after);
        const kinds = new Map(partsOf(mechanism).map((part) => [part.name, part.kind]));
        expect(brief(one.stated).sort()).toEqual(
          chosen.map((each) => `${kinds.get(each)} ${each}Renamed renamed ${each}`).sort(),
        );
        expect([...one.follows, ...one.figures]).toEqual([]);
        expect(one.findings).toEqual({ came: [], went: [], changed: [] });
        expect(one.parts.filter(({ fate }) => fate !== 'keeps')).toEqual([]);
        expect(one.mixing.free).toBe(true);
      }),
      { numRuns: 5 },
    );
  });

  it('of bars go through glyphs, cams and springs', () => {
    const flag = example('pier-flag');
    const one = compareOne(flag, flag.replace(/(?<!Pier )\bflag\b/g, 'banner'));
    expect(differencesInWords(one.stated)).toEqual(['bar banner was called flag']);
    expect([...one.follows, ...one.figures]).toEqual([]);
  });

  it('of tables and mechanisms are renames too', () => {
    const one = compareOne(sign, sign.replace(/\bpier\b/g, 'quay').replaceAll('BerthSign', 'QuaySign'));
    expect(one).toMatchObject({ name: 'QuaySign', was: 'BerthSign' });
    expect(differencesInWords(one.stated)).toEqual(['glyphs quay was called pier']);
  });

  it('of a cam that differs in more is a rename where it drives the same bars', () => {
    const after = sign.replace('cam camE on lower level 3 drives e', 'cam camX on lower level 5 drives e');
    expect(brief(compareOne(sign, after).stated)).toEqual(['cam camX renamed camE', 'cam camX level']);
  });

  it('of parts that differ in more, with other work, are a part taken out and another added', () => {
    const posts = (name: string, y: number) =>
      sign.replace('limits {', `post ${name} { at 0 mm, ${y} mm   radius 2 mm }\n  limits {`);
    expect(brief(compareOne(posts('peg', 1), posts('pin', 2)).stated)).toEqual(['post pin added', 'post peg removed']);
  });

  it('of a process tell its bed as width by depth', () => {
    const own = (bed: string) => sign.replace('made with filament', 'made with shed').concat(`process shed { ${bed} }`);
    expect(differencesInWords(compareOne(own(''), own('bed 300 mm by 210 mm')).stated)).toEqual([
      'process shed: bed 220 by 220 mm → 300 by 210 mm',
    ]);
  });

  it('of mechanisms that came and went are told', () => {
    const flag = example('pier-flag');
    const two = `${sign}\n${flag}`;
    expect(differencesInWords(compare(sign, two).differences)).toContain('mechanism PierFlag added');
    expect(differencesInWords(compare(two, sign).differences)).toContain('mechanism PierFlag taken out');
    expect(partsDiffer(compare(sign, two))).toBe(true);
    const renamed = compare(two, two.replace('PierFlag', 'QuayFlag'));
    expect(renamed.mechanisms.map(({ name, was }) => [name, was])).toEqual([
      ['BerthSign', undefined],
      ['QuayFlag', 'PierFlag'],
    ]);
  });
});

describe('findings', () => {
  const steep = sign.replace('segment e {', 'segment e { stroke 5 mm  ');

  it('come and go by code and part', () => {
    expect(compareOne(sign, steep).findings).toMatchObject({ came: [{ code: 'steep-cam' }], went: [], changed: [] });
    expect(compareOne(steep, sign).findings).toMatchObject({ came: [], went: [{ code: 'steep-cam' }], changed: [] });
  });

  it('that stand on the same part with other numbers are neither', () => {
    const steeper = steep.replace('stroke 5 mm', 'stroke 5.2 mm');
    const { findings } = compareOne(steep, steeper);
    expect(findings).toEqual({ came: [], went: [], changed: [] });
  });

  it('of which another part is the worst now are the same', () => {
    const parts = (one: string, other: string) =>
      [one, other].reduce(
        (text, bar, i) => text.replace(`segment ${bar} {`, `segment ${bar} { stroke ${5 + i / 10} mm  `),
        sign,
      );
    const [before, after] = [parts('b', 'c'), parts('c', 'b')].map((text) =>
      text.replace('every cam     {', 'every cam     { rise 24 deg  '),
    );
    const found = design(before).mechanisms[0]!.findings;
    const now = design(after).mechanisms[0]!.findings;
    expect(found.map(({ about }) => about[0])).not.toEqual(now.map(({ about }) => about[0]));
    expect(found.map(({ code }) => code)).toEqual(now.map(({ code }) => code));
    expect(compareOne(before, after).findings).toEqual({ came: [], went: [], changed: [] });
  });

  it('that are accepted now are told as that, with the acceptance', () => {
    const accepted = steep.replace('  limits {', '  accept steep-cam on camE "it is greased"\n  limits {');
    const one = compareOne(steep, accepted);
    expect(one.findings.changed.map(({ from, to }) => [from.accepted, to.accepted])).toEqual([
      [undefined, 'it is greased'],
    ]);
    expect(differencesInWords(one.stated)).toEqual(['new: accept steep-cam on camE']);
  });

  it('follow a part through its rename', () => {
    const one = compareOne(steep, steep.replace(/\bcamE\b/g, 'camEast'));
    expect(one.findings).toEqual({ came: [], went: [], changed: [] });
  });

  it('of the text itself stand with the file', () => {
    const unknown = `${sign}\nglyphs other { 0 = }\n`;
    const { findings, mechanisms } = compare(sign, unknown);
    expect(findings.came.length).toBeGreaterThan(0);
    expect(mechanisms[0]!.findings.came).toEqual([]);
  });
});
