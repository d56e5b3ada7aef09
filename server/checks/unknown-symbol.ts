import { at, type Check, fix, grouped, list, litBy, symbol, symbolWritten } from './check.ts';
import { lampBoard } from './examples.ts';
import { nearSymbols } from './near-symbols.ts';

export const unknownSymbol: Check = {
  code: 'unknown-symbol',
  severity: 'error',
  title: 'A counted symbol is not in the glyph table',
  means:
    'The count names a symbol for which the glyph table has no entry, so nothing says which bars are up there. ' +
    'No lobe is derived for that rest position, and it is not checked.',
  reckoned:
    'Every symbol of `count` is looked up in the table that `glyphs` names, those taken over by `like` included.',
  source: 'The design itself.',
  worked: 'A table with `off`, `low` and `high`, and a count that ends in `hihg`: the last symbol is unknown.',
  remedy:
    'Correct the symbol, or give the table an entry for it: `glyphs mine like decimal { H = b c e f g }`. ' +
    'Capital and small letters are different symbols.',
  examples: [
    { title: 'A slip of the pen', text: lampBoard({ count: 'count off low «hihg»' }) },
    { title: 'All in the table', text: lampBoard() },
  ],
  find(m) {
    if (!m.glyphs || !m.count) return [];
    const table = m.glyphs.value;
    const known = litBy(table);
    const unknown = m.count.symbols.filter(({ text }) => !known.has(text));
    return grouped(unknown, ({ text }) => text).map((same) => {
      const [{ text, place }] = same;
      const near = nearSymbols(text, [...known.keys()]);
      const hint = near.length ? `; did you mean ${list(near.map(symbol), 'or')}?` : '; give it an entry there';
      return {
        message: `glyph table ${table.name} has no ${symbol(text)}${hint}`,
        place,
        about: [m.name],
        figures: { symbol: text, position: m.count!.symbols.findIndex((counted) => counted.text === text) },
        positions: same.map((counted) => m.count!.symbols.indexOf(counted)),
        related: [
          at(table.place, `the symbols of ${table.name} are here`),
          ...same.slice(1).map((again) => at(again.place, `${symbol(text)} is counted here too`)),
        ],
        fixes: near.map((other) =>
          fix(
            `Count ${symbol(other)}`,
            ...same.map((counted) => ({
              do: 'replace' as const,
              place: counted.place,
              text: symbolWritten(other),
            })),
          ),
        ),
      };
    });
  },
};
