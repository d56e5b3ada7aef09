import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatText } from '../../language/format.ts';
import { stretchOf } from '../../language/places.ts';
import { textFindings } from '../../language/problems.ts';
import { createLobeServices, openDesign, readDesign } from '../../language/services.ts';
import { scan } from '../../language/tokens.ts';

const services = createLobeServices();

/** Codes told of a text, each once. Reading, telling and formatting must neither throw nor take long. */
function codes(text: string): string[] {
  const document = readDesign(services, text);
  const found = textFindings(document, services.shared.workspace.LangiumDocuments);
  for (const { place, message } of found) {
    expect(message).toBeTruthy();
    expect(place.from).toBeLessThanOrEqual(place.to);
  }
  formatText(text);
  return [...new Set(found.map(({ code }) => code))].sort();
}

const within = (statements: string) => `mechanism M {\n  ${statements}\n  shaft z\n}\n`;
const many = (piece: string, count = 10_000) => piece.repeat(count);

/** Characters of all kinds, the same at each run. */
function noise(length: number, most: number): string {
  let state = 1;
  return Array.from({ length }, () => {
    state = (state * 48271) % 2147483647;
    return String.fromCharCode(state % most);
  }).join('');
}

describe('bad input is told at once', () => {
  const texts: Readonly<Record<string, readonly [text: string, ...codes: string[]]>> = {
    nothing: ['', 'nothing-here'],
    bytes: [noise(200_000, 256), 'unreadable-text'],
    'any characters': [noise(200_000, 65_536), 'unexpected-text', 'unreadable-text'],
    '1 MB of words': [many('word ', 200_000), 'unexpected-text'],
    '1 MB of one word': [many('a', 1_000_000), 'unexpected-text'],
    '1 MB of digits': [many('1', 1_000_000), 'unexpected-text'],
    '1 MB of marks': [many('= ', 500_000), 'unexpected-text', 'unreadable-text'],
    '1 MB of empty lines': [many('\n', 1_000_000), 'nothing-here'],
    '1 MB of comments': [many('/* c */ // d\n', 80_000), 'nothing-here'],
    'text that is not closed': [many('"\n', 200_000), 'unexpected-text'],
    parentheses: [within(`let x = ${many('(')}1${many(')')}`), 'deep-nesting'],
    'open parentheses': [within(`let x = ${many('(')}`), 'deep-nesting'],
    functions: [within(`let x = ${many('min(')}1${many(')')}`), 'deep-nesting'],
    signs: [within(`let x = ${many('- ')}1`), 'deep-nesting'],
    'a long sum': [within(`let x = ${many('1 mm + ')}1 mm`), 'deep-nesting'],
    'a long product of names': [within(`let y = 1 let x = ${many('y * ')}y`), 'deep-nesting'],
    braces: [many('{'), 'unexpected-text'],
    'braces in a mechanism': [within(`cam c ${many('{')}${many('}')}`), 'unexpected-text'],
    'closing braces': [many('}'), 'unexpected-text'],
    'open mechanisms': [many('mechanism M { '), 'name-taken', 'unexpected-text'],
    'shafts of one name': [`mechanism M { ${many('shaft a ')} }`, 'name-taken'],
    'names of nothing': [within(`spring s { returns ${many('a ')} }`), 'unknown-name'],
    'mistyped properties': [within(`cam c { ${many('bse 3 mm ')} }`), 'unexpected-text'],
    'more mistyped properties than are told': [
      within(many('cam c { bse 3 mm   base 3 mm }\n', 1000)),
      'name-taken',
      'unexpected-text',
    ],
    'imports of nothing': [many('import "none.lobe"\n', 1000), 'missing-file', 'said-twice'],
    'marks for symbols': [within(`count ${many('- , ')}`), 'unexpected-text'],
  };

  test.each(Object.entries(texts))('%s', (_name, [text, ...expected]) => {
    const before = process.cpuUsage();
    expect(codes(text)).toEqual(expected);
    const { user, system } = process.cpuUsage(before);
    expect((user + system) / 1e6).toBeLessThan(4);
  });
});

test('a value that is too deep leaves the other statements as they are', () => {
  const document = readDesign(services, within(`let x = ${many('(')}`));
  const [mechanism] = document.parseResult.value.statements;
  expect(mechanism?.$type === 'Mechanism' ? mechanism.members.map(({ $type }) => $type) : []).toEqual(['Let', 'Shaft']);
});

test('files that import one another in a ring are read once each', () => {
  const read = (uri: string) => {
    const number = Number(/f(\d+)\.lobe$/.exec(uri)?.[1]);
    const next = (number + 1) % 500;
    return `import "f${next}.lobe"\nglyphs g${number} like g${next} { 0 = a }`;
  };
  const fresh = createLobeServices();
  const document = openDesign(fresh, 'file:///f0.lobe', read);
  const found = textFindings(document, fresh.shared.workspace.LangiumDocuments);
  expect(found.map(({ code }) => code)).toEqual(['circular-import']);
});

const examples = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => [name, readFileSync(`examples/${name}`, 'utf8')] as const);

/** Where each block of a text opens and closes. */
function blocks(text: string): { opened: number; closed: number }[] {
  const open: number[] = [];
  return scan(text).tokens.flatMap(({ name, startOffset }) => {
    if (name === '{') open.push(startOffset);
    return name === '}' ? [{ opened: open.pop()!, closed: startOffset }] : [];
  });
}

function expectOneUnclosed(text: string, opened: number, closed: number): void {
  const without = text.slice(0, closed) + text.slice(closed + 1);
  const document = readDesign(services, without);
  const found = textFindings(document, services.shared.workspace.LangiumDocuments);
  const where = `line ${text.slice(0, closed).split('\n').length}`;
  expect(
    found.map(({ code, message }) => `${code}: ${message}`),
    where,
  ).toEqual([expect.stringMatching(/^unexpected-text: a '}' is missing: the block of /)]);
  const [{ place, fixes }] = found;
  expect(stretchOf(document.parseResult.value, place)?.from, where).toBe(opened);
  const [change] = fixes[0]!.changes;
  const put = change!.do === 'replace' ? change! : undefined;
  const { from, to } = stretchOf(document.parseResult.value, put!.place)!;
  const mended = without.slice(0, from) + put!.text + without.slice(to);
  const words = (of: string) => scan(of).tokens.map(({ image }) => image);
  expect(words(mended), where).toEqual(words(text));
}

test('a block is closed where a word that it knows begins a statement around it', () => {
  const text = `mechanism A {
  shaft axle {
    at 0 mm, 0 mm
    key round
    turns clockwise
  }
  key round { shape flat   outer 10 mm }
  segment left {
    azimuth 180 deg
  }
  post pin { at 0 mm, 0 mm }
  limits {
    return 1.5
  }
  push button turns axle { arm 14 mm }
  cam camL on axle level 1 drives left {
    base 20 mm
  }
}
glyphs lamps like decimal { off = blank }
process mine {
  wall 1 mm
}
material stuff { modulus 3 GPa }
`;
  for (const { opened, closed } of blocks(text)) expectOneUnclosed(text, opened, closed);
});

test('where no block lacks its brace, such a word is the one that the block knows', () => {
  const document = readDesign(services, 'mechanism A { shaft axle { at 0 mm, 0 mm   key round { shape flat } } }');
  const [finding] = textFindings(document, services.shared.workspace.LangiumDocuments);
  expect(finding!.message).not.toContain("a '}' is missing");
});

const scraps = fc.constantFrom(...'{ } ( ) " /* // = - , cam at 3 mm é'.split(' '), ' ', '\n', '\0');

describe.each(examples)('%s', (_name, text) => {
  test('cut off anywhere, is read up to there', () => {
    fc.assert(
      fc.property(fc.nat(text.length), (at) => {
        codes(text.slice(0, at));
      }),
      { numRuns: 50 },
    );
  });

  test('with pieces taken out and scraps put in, is read all the same', () => {
    const wound = fc.tuple(fc.nat(text.length), fc.nat(40), fc.array(scraps, { maxLength: 3 }));
    fc.assert(
      fc.property(fc.array(wound, { minLength: 1, maxLength: 5 }), (wounds) => {
        let damaged = text;
        for (const [at, length, put] of wounds) {
          damaged = damaged.slice(0, at) + put.join('') + damaged.slice(at + length);
        }
        codes(damaged);
      }),
      { numRuns: 100 },
    );
  });

  test('without one of its closing braces, is told so once, at the block that lacks it', () => {
    for (const { opened, closed } of blocks(text)) expectOneUnclosed(text, opened, closed);
  });

  test('without one of its words or marks, has at most one mistake to read', () => {
    // A code without its `accept` is taken for several words.
    const tokens = scan(text).tokens.filter(({ name }) => name !== 'accept');
    fc.assert(
      fc.property(fc.nat(tokens.length - 1), (i) => {
        const { startOffset, endOffset } = tokens[i]!;
        const document = readDesign(services, text.slice(0, startOffset) + text.slice(endOffset + 1));
        const found = textFindings(document, services.shared.workspace.LangiumDocuments);
        const mistakes = found.filter(({ code }) => code === 'unreadable-text' || code === 'unexpected-text');
        expect(mistakes.map(({ message }) => message).slice(1)).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});
