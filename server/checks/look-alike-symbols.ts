import { at, type Check, litBy, symbol } from './check.ts';
import { lampBoard } from './examples.ts';

export const lookAlikeSymbols: Check = {
  code: 'look-alike-symbols',
  severity: 'warning',
  title: 'Two counted symbols look the same',
  means:
    'Two different symbols of the count show the same bars. The mechanism works, but whoever reads it cannot tell ' +
    'the one from the other.',
  reckoned: 'The sets of segments that the glyph table gives to each counted symbol are compared.',
  source: 'The design itself.',
  worked:
    'With `8` and `B` both showing all seven segments of a hexadecimal numeral, eight and eleven are one picture.',
  remedy: 'Give one of them another pattern (a small `b`), or count only one of them.',
  examples: [
    {
      title: 'Two names for one picture',
      text: lampBoard({
        count: 'count off low «dim»',
        table: 'glyphs lamps { segments left right   off = blank   low = left right   dim = right left }',
      }),
    },
    { title: 'Three pictures', text: lampBoard() },
  ],
  find(m) {
    if (!m.glyphs || !m.count) return [];
    const known = litBy(m.glyphs.value);
    const first = new Map<string, string>();
    const places = new Map<string, (typeof m.count.symbols)[number]>();
    return m.count.symbols.flatMap((counted, position) => {
      const lit = known.get(counted.text);
      if (!lit || places.has(counted.text)) return [];
      places.set(counted.text, counted);
      const pattern = [...lit].sort().join(' ');
      const twin = first.get(pattern);
      if (twin === undefined) {
        first.set(pattern, counted.text);
        return [];
      }
      const entries = m.glyphs!.value.entries.filter(({ symbol }) => symbol === twin || symbol === counted.text);
      return [
        {
          message: `${symbol(counted.text)} looks like ${symbol(twin)}: both show ${lit.size ? [...lit].sort().join(' ') : 'nothing'}`,
          place: counted.place,
          about: [m.name],
          figures: { symbols: [twin, counted.text], position },
          positions: [position],
          related: [
            at(places.get(twin)!.place, `${symbol(twin)} is counted here`),
            ...entries.map((entry) => at(entry.place, `what ${symbol(entry.symbol)} shows`)),
          ],
        },
      ];
    });
  },
};
