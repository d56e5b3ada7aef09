import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reckon } from '../../../server/reckon/figures.ts';
import { leading, nextLook, weighed } from '../../../server/search/seen.ts';
import { seenIn } from '../../../server/search/seen-text.ts';
import { type SymptomTable, symptomsOf } from '../../../server/search/symptoms.ts';
import { example } from '../../designs.ts';

function tableOf(name: string): SymptomTable {
  const m = example(name)[0]!;
  const table = symptomsOf(m, reckon(m));
  if ('because' in table) throw new Error(table.because);
  return table;
}
const sign = tableOf('berth-sign');
const box = tableOf('signal-box');
const tally = tableOf('score-tally');

const read = (text: string, table = sign) => {
  const seen = seenIn(text, table);
  if ('because' in seen) throw new Error(seen.because);
  return seen.map(({ at, sees }) => [at.length === table.symbols.length ? 'all' : at.join(' '), sees]);
};
/** The face with these bars told of; * others hidden. */
const face = (bars: string, rest = '?', table = sign) => ({
  face: table.segments.map((name) => new RegExp(`(?:^| )${name}(.)`).exec(bars)?.[1] ?? rest).join(''),
});

describe('what was seen, as text', () => {
  it.each<[string, unknown[]]>([
    ['0 ok', [['0', 'right']]],
    [
      '0 ok, 4 shows 9, 6 wrong, 7 e stuck up',
      [
        ['0', 'right'],
        ['4', face('a1 b1 c1 d1 f1 g1', '0')],
        ['6', 'wrong'],
        ['7', face('e1')],
      ],
    ],
    ['4 and 6 wrong', [['4 6', 'wrong']]],
    [
      '4 6 wrong; 8 OK\n9 is fine',
      [
        ['4 6', 'wrong'],
        ['8', 'right'],
        ['9', 'right'],
      ],
    ],
    [
      '0 ok and 4 wrong but 6 right',
      [
        ['0', 'right'],
        ['4', 'wrong'],
        ['6', 'right'],
      ],
    ],
    ['0 to 3 ok', [['0 1 2 3', 'right']]],
    ['4 is not ok', [['4', 'wrong']]],
    ['4: 9', [['4', face('a1 b1 c1 d1 f1 g1', '0')]]],
    ['4=9', [['4', face('a1 b1 c1 d1 f1 g1', '0')]]],
    ['4 -> 9', [['4', face('a1 b1 c1 d1 f1 g1', '0')]]],
    ['4 is 9', [['4', face('a1 b1 c1 d1 f1 g1', '0')]]],
    ['4: ok', [['4', 'right']]],
    ['c shows "-"', [['10', face('g1', '0')]]],
    ['"-" ok', [['11', 'right']]],
    ['- wrong', [['11', 'wrong']]],
    ['4 bars a b c', [['4', face('a1 b1 c1', '0')]]],
    ['4 bars a b and c shown', [['4', face('a1 b1 c1', '0')]]],
    ['4 bars none', [['4', face('', '0')]]],
    ['4 shows nothing', [['4', face('', '0')]]],
    ['4 shows nonsense', [['4', 'no symbol']]],
    ['4 a b hidden', [['4', face('a0 b0')]]],
    ['4 bar e is half-way', [['4', face('e-')]]],
    ['4 e not shown', [['4', face('e0')]]],
    ['4 6 e stays up', [['4 6', face('e1')]]],
    ['#3 wrong', [['3', 'wrong']]],
    ['all ok', [['all', 'right']]],
    [
      '0 wrong, others ok',
      [
        ['0', 'wrong'],
        ['1 2 3 4 5 6 7 8 9 10 11', 'right'],
      ],
    ],
    [
      'everything else is ok, 5 wrong',
      [
        ['5', 'wrong'],
        ['0 1 2 3 4 6 7 8 9 10 11', 'right'],
      ],
    ],
  ])('%j', (text, expected) => {
    expect(read(text)).toEqual(expected);
  });

  it('tells symbols and bars of one spelling apart by where they stand', () => {
    // Sixteen symbols: b at 11, d at 13; seven bars a to g.
    expect(read('b d up', box)).toEqual([['11', face('d1', '?', box)]]);
    expect(read('d b wrong', box)).toEqual([['13 11', 'wrong']]);
    expect(read('d shows b', box)).toEqual([['13', face('f1 g1 d1 c1 e1', '0', box)]]);
    expect(read('B ok', box)).toEqual([['11', 'right']]);
  });

  it('of a symbol that is counted twice asks one place to be wrong, both to be right', () => {
    const seen = seenIn('3 wrong, 4 ok, #9 ok', tally);
    expect(seen).toMatchObject([
      { at: [3, 9], everywhere: false },
      { at: [4, 10], everywhere: true },
      { at: [9], everywhere: true },
    ]);
  });

  it('up and down speak of followers: what is shown lowered is hidden when up', () => {
    expect(tally.lowered).toEqual(tally.segments);
    expect(read('1 a up', tally)).toEqual([['1 7', face('a0', '?', tally)]]);
    expect(read('1 a down', tally)).toEqual([['1 7', face('a1', '?', tally)]]);
    expect(read('1 a shown', tally)).toEqual([['1 7', face('a1', '?', tally)]]);
  });

  it.each<[string, RegExp]>([
    ['', /^nothing is said; write such as/],
    [' , ;\n', /^nothing is said/],
    ['11 ok', /^11 ok: "11" is not counted; did you mean 1\?$/],
    ['zebra wrong', /"zebra" is not counted; it counts 0 1 2 3 4 5 6 7 8 9 C -/],
    ['4 shows Q', /no symbol of the glyphs is "Q"/],
    ['4 shows', /which symbol does it show\?/],
    ['4', /this says not what was seen/],
    ['ok', /at which position\?/],
    ['e up', /at which position\?/],
    ['4 h up', /which bar is up\? its bars are a b f g d c e/],
    ['4 bars a h', /no bar is called h/],
    ['4 bars', /name the bars that are shown/],
    ['#12 ok', /there is no rest #12; they are #0 to #11/],
    ['4 ok, 4 wrong', /“4 ok” and “4 wrong” cannot both be seen/],
    ['4 ok, 4 shows 9', /cannot both be seen/],
    ['4 a shown, 4 a hidden', /cannot both be seen/],
    ['4 shows 9, all ok', /cannot both be seen/],
    ['all ok, others wrong', /every position is told of already/],
    ['6 to 3 ok', /6 comes after 3 in the count/],
    ['4 "ok', /a quotation mark " has no partner/],
  ])('%j is refused in one sentence', (text, why) => {
    const seen = seenIn(text, sign);
    expect('because' in seen && seen.because).toMatch(why);
    expect('because' in seen && seen.because).not.toContain('\n\n');
  });

  it('never throws, whatever is said', () => {
    const words = fc.constantFrom(
      '0',
      '4',
      '9',
      'C',
      '-',
      'e',
      'a',
      'ok',
      'wrong',
      'shows',
      'bars',
      'up',
      'not',
      'to',
      'all',
      'others',
      ',',
      ';',
      '"',
      "'",
      '#3',
      'and',
      '=',
      ':',
      '__proto__',
      'constructor',
      '\n',
      '\u0000',
    );
    fc.assert(
      fc.property(fc.array(fc.oneof(words, fc.string()), { maxLength: 12 }), (parts) => {
        const seen = seenIn(parts.join(' '), sign);
        if ('because' in seen) expect(seen.because.length).toBeGreaterThan(5);
        else weighed(sign, seen);
      }),
    );
  });
});

describe('what fits', () => {
  const ask = (text: string, homeKnown = true, table = sign) => {
    const seen = seenIn(text, table);
    if ('because' in seen) throw new Error(seen.because);
    const candidates = weighed(table, seen, homeKnown);
    const fit = leading(candidates);
    const whats = fit.flatMap(({ groups }) =>
      groups.flatMap((group) => table.groups[group]!.faults.map(({ what }) => what)),
    );
    return { seen, candidates, fit, whats, next: nextLook(table, fit, seen) };
  };

  it('names the cam that is upside down from two symbols', () => {
    const { whats, fit } = ask('4 wrong, 8 shows 9, others ok');
    expect(whats).toEqual(['camE is upside down']);
    expect(fit[0]!.fits).toHaveLength(3);
  });

  it('with nothing wrong seen, names what no face tells of', () => {
    const { fit, whats } = ask('all ok');
    expect(fit.map(({ groups }) => groups)).toEqual([[0]]);
    expect(whats).toContain('bars b and c are exchanged');
  });

  it('ranks by what fits the most where nothing fits all', () => {
    const { fit, seen } = ask('0 shows 8, 1 ok, 2 ok, 3 ok, 4 shows 1');
    expect(fit[0]!.fits.length).toBeLessThan(seen.length);
    expect(fit[0]!.fits.length).toBeGreaterThan(2);
  });

  it('looks next where the fewest are left', () => {
    const { fit, next } = ask('0 ok, 1 shows 7');
    expect(next).toBeDefined();
    const leaves = next!.faces.map(({ leaves }) => leaves.length);
    expect(leaves.reduce((sum, left) => sum + left, 0)).toBe(fit.length);
    for (let position = 0; position < sign.symbols.length; position++) {
      const parts = new Map<string, number>();
      for (const { groups } of fit) {
        const one = sign.groups[groups[0]!]!.faces[position]!;
        parts.set(one, (parts.get(one) ?? 0) + 1);
      }
      const cost = [...parts.values()].reduce((sum, n) => sum + n * n, 0);
      expect(cost).toBeGreaterThanOrEqual(leaves.reduce((sum, left) => sum + left * left, 0));
    }
  });

  it('asked again and again, comes to one look in few looks', () => {
    for (const [group, { faces }] of sign.groups.entries()) {
      const seen: string[] = [`#0 ${faces[0] === sign.right[0] ? 'ok' : 'wrong'}`];
      let looks = 0;
      for (;;) {
        const { next, fit } = ask(seen.join(', '));
        if (!next) {
          expect(fit.map(({ groups }) => groups[0])).toEqual([group]);
          break;
        }
        expect(++looks).toBeLessThanOrEqual(5);
        const { position } = next;
        const shown = sign.segments.filter((_, i) => faces[position]![i] === '1').join(' ');
        const between = sign.segments.filter((_, i) => faces[position]![i] === '-');
        expect(between).toEqual([]);
        seen.push(
          faces[position] === sign.right[position] ? `#${position} ok` : `#${position} bars ${shown || 'none'}`,
        );
      }
    }
  });

  it('where home is not known, takes for one what only home tells apart', () => {
    const faces = sign.symbols.map((_, i) => `#${i} shows "${sign.symbols[(i + 5) % 12]}"`).join(', ');
    expect(leading(ask(faces).candidates)[0]!.fits.length).toBeLessThan(12);
    const { fit, whats } = ask(faces, false);
    expect(fit).toHaveLength(1);
    expect(fit[0]!.shifts).toEqual([5]);
    expect(whats).toContain('home of upper is set a step too early');
  });
});
