/** A comparison as text, Markdown and JSON; names that carry markup. */
import { describe, expect, it } from 'vitest';
import { comparisonJson } from '../../../../server/outputs/compare/json.ts';
import { releasesMarkdown, releasesOf } from '../../../../server/outputs/compare/releases.ts';
import { sheetText } from '../../../../server/outputs/compare/sheet-written.ts';
import { comparisonMarkdown, comparisonText, escaped } from '../../../../server/outputs/compare/written.ts';
import { example } from '../chart/designs.ts';
import { compare, design } from './sides.ts';

// The renderer that the editor's preview and many a forge use; it has no types here.
const { default: MarkdownIt } = await import('markdown-it' as string);
const rendered = (markdown: string): string => new MarkdownIt({ html: true, linkify: true }).render(markdown);

const sign = example('berth-sign');
const titles = { old: 'v1', now: 'v2' };
const higher = sign.replace('segment e {', 'segment e { stroke 4 mm  ');

describe('as text', () => {
  it('stands in blocks, and says so where nothing changes', () => {
    const text = comparisonText(compare(sign, higher), titles);
    expect(text).toMatch(/^v1 → v2\n\nBerthSign\n\nChanged\n {2}bar e: stroke 3\.5 → 4 mm\n\nWhat follows\n/);
    expect(text).toMatch(/\n\nParts to make or get again\n/);
    expect(text).toMatch(/\n\nWhere old and new parts do not go together\n {2}camE and bar e: stroke 3\.5 → 4 mm\n/);
    expect(comparisonText(compare(sign, sign), titles)).toBe('Nothing of the mechanism changes.\n');
  });

  it('shortens a long row of words to where it differs', () => {
    const text = comparisonText(compare(sign, sign.replace('C "-"', 'C 0 "-"')), titles);
    expect(text).toContain('count … C - → … C 0 -\n');
  });
});

const markup =
  '<img src=x onerror=alert(1)> **b** `c` [d](https://e.example) | f &amp; #1 @g www.h.example _i_ ~~j~~ $k$';

describe('as Markdown', () => {
  it('is a release note', () => {
    const html = rendered(comparisonMarkdown(compare(sign, higher), titles));
    expect(html).toContain('<h1>What changes from v1 to v2</h1>');
    expect(html).toContain('<h2>BerthSign</h2>');
    expect(html).toContain('<li>bar e: stroke 3.5 → 4 mm</li>');
    expect(comparisonMarkdown(compare(sign, sign), titles)).toContain('Nothing of the mechanism changes.');
  });

  it.each([markup, '- a list', '1. a list', '\\', '<!-- a comment -->', '&lt;b&gt;', '```', '> a quote', ':smile:'])(
    'takes %s for text',
    (text) => {
      const html = rendered(`- x ${escaped(text)}`);
      const plain = html
        .replace(/^<ul>\n<li>x ([\s\S]*)<\/li>\n<\/ul>\n$/, '$1')
        .replaceAll('&lt;', '<')
        .replaceAll('&gt;', '>')
        .replaceAll('&quot;', '"')
        .replaceAll('&amp;', '&');
      expect(html.match(/<\w+/g)).toEqual(['<ul', '<li']);
      expect(plain).toBe(text);
    },
  );

  it('has no markup of the design in it, nor of the names it is called by', () => {
    const wild = sign
      .replace('title "Berth sign"', `title ${JSON.stringify(markup)}`)
      .replace('"M3 x 10 countersunk screw"', JSON.stringify(markup));
    const called = { old: markup, now: 'b|c' };
    const html = rendered(comparisonMarkdown(compare(sign, wild), called));
    expect(html).not.toMatch(/<(img|strong|em|code|a|s|table)\b/);
    const table = rendered(releasesMarkdown(releasesOf([{ name: markup, design: design(sign) }])));
    expect(table).not.toMatch(/<(img|strong|em|code|a|s)\b/);
    expect(table.match(/<th>/g)).toHaveLength(2);
  });
});

describe('as JSON', () => {
  it('keeps its contract', () => {
    const json = comparisonJson(compare(sign, higher), titles);
    expect(Object.keys(json)).toEqual([
      'contract',
      'old',
      'new',
      'partsDiffer',
      'differences',
      'findings',
      'mechanisms',
    ]);
    expect(json).toMatchObject({ contract: 1, old: 'v1', new: 'v2', partsDiffer: true, differences: [] });
    const [one] = json.mechanisms;
    expect(Object.keys(one!)).toEqual(['name', 'differences', 'figures', 'findings', 'parts', 'untold', 'mixing']);
    expect(one!.differences[0]).toEqual({
      what: 'changed',
      kind: 'segment',
      name: 'e',
      property: 'stroke',
      from: 3.5,
      to: 4,
      unit: 'mm',
      by: 'stated',
      text: 'bar e: stroke 3.5 → 4 mm',
    });
    expect(one!.differences[1]).toMatchObject({ property: 'overhang', by: 'follows', because: 'stroke + nose' });
    const push = one!.figures.find(({ property }) => property === 'peak push');
    expect(push).toMatchObject({ kind: 'mechanism', name: 'BerthSign', unit: 'N', by: 'reckoned' });
    expect(push!.from).toBeLessThan(push!.to as number);
    expect(one!.parts.find(({ name }) => name === 'camE')).toMatchObject({
      kind: 'cam',
      made: 'printed',
      fate: 'again',
    });
    expect(one!.mixing).toMatchObject({ free: false });
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
    for (const number of numbers(json)) expect(number).toBe(Math.round(number * 1e6) / 1e6);
  });
});

const numbers = (value: unknown): number[] =>
  typeof value === 'number' ? [value] : value && typeof value === 'object' ? Object.values(value).flatMap(numbers) : [];

describe('line by line', () => {
  it('has each value once, in an order of its own', () => {
    const text = sheetText(design(sign));
    expect(text).toContain('\nbar e: stroke 3.5 mm\n');
    expect(text).toContain('\nglyphs pier: C shows a d e f\n');
    expect(text).toMatch(/\npart camE: shape [0-9a-f]{16}\n/);
    const lines = text.trimEnd().split('\n');
    expect(new Set(lines).size).toBe(lines.length);
    const turned = sign
      .replace('returns a b c d e f g', 'returns g f e d c b a')
      .replace(/( {2}segment a .*\n)([\s\S]*)( {2}segment e .*\n)/, '$3$2$1');
    expect(turned).not.toBe(sign);
    expect(sheetText(design(turned))).toBe(text);
  });
});
