import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatText } from '../../language/format.ts';
import { scan } from '../../language/tokens.ts';

const examples = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => [name, readFileSync(`examples/${name}`, 'utf8')] as const);

/** What a text says: its tokens and its comments, without their places. */
function said(text: string): string[] {
  const { tokens, comments } = scan(text);
  return [...tokens, ...comments]
    .sort((a, b) => a.startOffset - b.startOffset)
    .map(({ name, image }) => `${name} ${image.replaceAll('\r\n', '\n').trimEnd()}`);
}

describe('the standard layout', () => {
  test.each([
    ['spaces within a line', 'glyphs  g{0=a   b 1=c}', 'glyphs g { 0 = a b   1 = c }\n'],
    [
      'three spaces between properties',
      'mechanism M {\nkey k { shape   flat outer 18mm }\n}',
      'mechanism M {\n  key k { shape flat   outer 18 mm }\n}\n',
    ],
    [
      'signs, operators, functions',
      'mechanism M {\nlet x=-3mm*( 2-min( 1 ,- 2))+/-0.1 mm\n}',
      'mechanism M {\n  let x = -3 mm * (2 - min(1, -2)) +/- 0.1 mm\n}\n',
    ],
    [
      'laws',
      'mechanism M {\nevery cam { law polynomial 3 - 4 - 5 travel 20deg }\n}',
      'mechanism M {\n  every cam { law polynomial 3-4-5   travel 20 deg }\n}\n',
    ],
    [
      'no alignment across lines',
      'mechanism M {\n  shaft  a  { at  0 mm, 0 mm }\n  shaft bcd { at 10 mm, 0 mm }\n}\n',
      'mechanism M {\n  shaft a { at 0 mm, 0 mm }\n  shaft bcd { at 10 mm, 0 mm }\n}\n',
    ],
    [
      'indentation by blocks, of what goes on one more',
      'mechanism M\n{\ncount 1 2\n3 4\nshaft s {\nat 0 mm,\n0 mm\n}\n}',
      'mechanism M {\n  count 1 2\n    3 4\n  shaft s {\n    at 0 mm,\n      0 mm\n  }\n}\n',
    ],
    [
      'at most one empty line, none inside the braces',
      '\n\nmechanism M {\n\n  shaft s\n\n\n\n  shaft t\n\n}\n\n\n',
      'mechanism M {\n  shaft s\n\n  shaft t\n}\n',
    ],
    [
      'comments',
      'mechanism M { // one\n// two\nshaft s// three\n/* four\n   five */\n// six\n}\n// seven  ',
      'mechanism M {  // one\n  // two\n  shaft s  // three\n  /* four\n   five */\n  // six\n}\n// seven\n',
    ],
    ['line ends of Windows', 'mechanism M {\r\nshaft s\r\n}\r\n', 'mechanism M {\r\n  shaft s\r\n}\r\n'],
    [
      'bare carriage returns',
      'mechanism M {\r// one\rshaft s /* two\rthree */\r\r\rshaft t\r}\r',
      'mechanism M {\n  // one\n  shaft s /* two\nthree */\n\n  shaft t\n}\n',
    ],
    ['only a comment', '  // later\n\n', '// later\n'],
    ['nothing', '', ''],
  ])('%s', (_what, text, expected) => {
    expect(formatText(text)).toBe(expected);
  });

  test.each(['mechanism M { shaft s', 'mechanism M { } }', 'count 1 , 2', 'let x = .5', 'title "open'])(
    'leaves alone what cannot be read: %s',
    (text) => {
      expect(formatText(text)).toBe(text);
    },
  );
});

describe.each(examples)('%s', (_name, text) => {
  const tokens = scan(text).tokens;

  test('says the same after formatting, and formatting again changes nothing', () => {
    const once = formatText(text);
    expect(said(once)).toEqual(said(text));
    expect(formatText(once)).toBe(once);
  });

  test('is laid out alike however its spaces stood', () => {
    // Any spaces and comments that keep the lines between the tokens.
    const gap = fc.constantFrom(' ', '   ', '\t', ' /* x */ ', '  /* a\n b */ ');
    fc.assert(
      fc.property(fc.array(gap, { minLength: 20, maxLength: 20 }), (gaps) => {
        let shuffled = '';
        let end = 0;
        tokens.forEach((token, i) => {
          const between = text.slice(end, token.startOffset);
          shuffled += between.includes('\n') || /\/[/*]/.test(between) || between === '' ? between : gaps[i % 20];
          shuffled += token.image;
          end = token.endOffset + 1;
        });
        const once = formatText(shuffled + text.slice(end));
        expect(said(once)).toEqual(said(shuffled + text.slice(end)));
        expect(formatText(once)).toBe(once);
      }),
      { numRuns: 30 },
    );
  });
});

test('a changed number changes one line', () => {
  const text = formatText(examples.find(([name]) => name === 'berth-sign.lobe')![1]);
  const changed = formatText(text.replace('travel 26 deg', 'travel 26.125 deg'));
  const lines = text.split('\n');
  expect(changed.split('\n').filter((line, i) => line !== lines[i])).toHaveLength(1);
});
