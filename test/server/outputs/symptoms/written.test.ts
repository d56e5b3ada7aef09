import { describe, expect, it } from 'vitest';
import { symptomsHtml } from '../../../../server/outputs/symptoms/files.tsx';
import { symptomsJson } from '../../../../server/outputs/symptoms/json.ts';
import {
  clicked,
  faceTold,
  nothingTold,
  observationsOf,
  standingOf,
  told,
  toldOf,
} from '../../../../server/outputs/symptoms/looks.ts';
import { pageOf } from '../../../../server/outputs/symptoms/page-data.ts';
import { faceInShort, faceInWords, labelOf } from '../../../../server/outputs/symptoms/words.ts';
import { symptomsMarkdown, symptomsText } from '../../../../server/outputs/symptoms/written.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { type SymptomTable, symptomsOf } from '../../../../server/search/symptoms.ts';
import { cam, count, glyphs, mechanism, segment, shaft } from '../../../mechanisms.ts';
import { examples, reckonedExample } from '../chart/designs.ts';

function tableOf(name: string): SymptomTable {
  const { mechanism, figures } = reckonedExample(name);
  const table = symptomsOf(mechanism, figures);
  if ('because' in table) throw new Error(table.because);
  return table;
}
const sign = tableOf('berth-sign');

describe('faces in words', () => {
  it('are symbols where they are some, else bars', () => {
    expect(faceInWords(sign, sign.right[3]!)).toBe('3');
    expect(faceInWords(sign, '1010000')).toBe('no symbol: a f');
    expect(faceInWords(sign, '10100-0')).toBe('no symbol: a f, c half-way');
    expect(faceInWords(sign, '0000000')).toBe('no symbol: no bar');
    expect(faceInShort(sign, '10100-0')).toBe('(a f c½)');
  });

  it('name a position by its number where its symbol is counted twice', () => {
    const tally = tableOf('score-tally');
    expect(labelOf(tally, 9)).toBe('3 (#9)');
    expect(labelOf(sign, 9)).toBe('9');
  });
});

describe('the table', () => {
  it.each(examples)('of %s is told in every form, the same each time', (name) => {
    const { mechanism, figures } = reckonedExample(name);
    for (const form of [
      symptomsText,
      symptomsMarkdown,
      (table: ReturnType<typeof symptomsOf>) => JSON.stringify(symptomsJson(table)),
    ]) {
      const once = form(symptomsOf(mechanism, figures));
      expect(form(symptomsOf(mechanism, figures))).toBe(once);
      expect(once).not.toMatch(/undefined|NaN|\[object/);
    }
  });

  it('tells every fault once in the text, with the caution of what is stored', () => {
    const text = symptomsText(sign);
    for (const { faults } of sign.groups)
      for (const { what } of faults) expect(text.split(what).length, what).toBeGreaterThan(1);
    for (const { what } of sign.impossible) expect(text).toContain(what);
    expect(text).toContain('relieve the springs before opening');
    expect(
      Math.max(
        ...text
          .split('\n')
          .filter((line) => line.startsWith('    '))
          .map((line) => line.length),
      ),
    ).toBeLessThanOrEqual(100);
  });

  it('has as many rows in markdown as there are looks', () => {
    const rows = symptomsMarkdown(sign)
      .split('\n')
      .filter((line) => line.startsWith('| '));
    expect(rows).toHaveLength(2 + sign.groups.length - 1);
  });
});

describe('names that are markup', () => {
  const hostile = `<script>alert(1)</script>|*_`;
  const m = mechanism({
    name: hostile,
    about: { title: `</title></script>${hostile}` },
    glyphs: glyphs({ [hostile]: hostile, b: '' }),
    count: count([hostile, 'b']),
    shafts: [shaft('s', [0, 0], 'clockwise')],
    segments: [segment(hostile, 90)],
    cams: [cam(`${hostile}cam`, 's', hostile)],
  });
  const figures = reckon(m);

  it('stay text in a page and in markdown', () => {
    const html = symptomsHtml([pageOf({ mechanism: m, figures })], { script: 'let x = "</script>"' });
    expect(html.match(/<script/g)).toHaveLength(2);
    expect(html.match(/<\/script>/g)).toHaveLength(2);
    expect(html).not.toContain('<script>alert');
    expect(symptomsMarkdown(symptomsOf(m, figures))).not.toMatch(/<script>|[^\\]\|\*/);
  });
});

describe('what is told on the page', () => {
  it('a click turns a bar over, then half-way, then as it should be', () => {
    const bar = 0;
    const faces = [0, 1, 2, 3].map((clicks) => {
      let looks = nothingTold.looks;
      for (let i = 0; i < clicks; i++) looks = clicked(sign, looks, 4, bar);
      return faceTold(sign, looks, 4)[bar];
    });
    expect(faces).toEqual(['0', '1', '-', '0']);
    const shown = clicked(sign, {}, 0, 0);
    expect(faceTold(sign, shown, 0)[0]).toBe('0');
    expect(standingOf(sign, shown, 0)).toBe('wrong');
    expect(standingOf(sign, clicked(sign, clicked(sign, shown, 0, 0), 0, 0), 0)).toBe('right');
  });

  it('becomes what was seen', () => {
    const looks = told(told(clicked(sign, {}, 4, 0), 0, 'right'), 6, 'wrong');
    expect(observationsOf(looks, (at) => labelOf(sign, at))).toEqual([
      { said: '0', at: [0], everywhere: true, sees: 'right' },
      { said: '4', at: [4], everywhere: true, sees: { face: '1111010' } },
      { said: '6', at: [6], everywhere: true, sees: 'wrong' },
    ]);
    expect(told(looks, 6, undefined)).not.toHaveProperty('6');
  });

  it('kept from another text, only what can be told of this one stays', () => {
    expect(
      toldOf(sign, { looks: { 0: 'right', 40: 'right', 2: { face: '11' }, 3: 'nonsense' }, homeKnown: false }),
    ).toEqual({
      looks: { 0: 'right' },
      homeKnown: false,
    });
    for (const odd of [undefined, null, 3, { looks: null }, { looks: { 0: null } }])
      expect(toldOf(sign, odd)).toEqual(nothingTold);
  });
});
