import { at, type Check, fix, list, symbol, symbolWritten } from './check.ts';
import { lampBoard } from './examples.ts';
import { nearSymbols } from './near-symbols.ts';

export const uncountedSymbol: Check = {
  code: 'uncounted-symbol',
  severity: 'warning',
  title: 'A lobe stated at a symbol that is not counted',
  means: '`raised at` names a symbol that no rest position shows, so it asks for no lobe at all.',
  reckoned: 'The symbols after `raised at` are looked up in `count`.',
  source: 'The design itself.',
  worked: '`count 0 1 2 3` and `raised at 0 2 4`: nothing is ever at 4.',
  remedy: 'Take it away, or correct it. Without `raised at` the lobes follow from count and glyphs by themselves.',
  notBeside: ['short-count', 'long-count'],
  examples: [
    {
      title: 'A symbol from an earlier count',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { raised at low high «bright» }' }),
    },
    {
      title: 'Counted symbols',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { raised at low high }' }),
    },
  ],
  find(m, _, told) {
    const { count } = m;
    if (!count || told(m.name)) return [];
    const known = [...new Set(count.symbols.map(({ text }) => text))];
    return m.cams.flatMap((cam) => {
      const { lobes } = cam;
      if (lobes.by !== 'symbols') return [];
      const named = lobes.symbols.map(({ text }) => text);
      return lobes.symbols
        .filter(({ text }) => !known.includes(text))
        .map(({ text, place }) => {
          const near = nearSymbols(text, known).filter((other) => !named.includes(other));
          return {
            message: `${cam.name} is raised at ${symbol(text)}, which is not counted${
              near.length ? `; did you mean ${list(near.map(symbol), 'or')}?` : ''
            }`,
            place,
            about: [cam.name],
            figures: { symbol: text },
            related: [at(count.place, 'the count')],
            fixes: [
              ...near.map((other) =>
                fix(`Write ${symbol(other)}`, { do: 'replace', place, text: symbolWritten(other) }),
              ),
              ...(named.length > 1 ? [fix(`Take ${symbol(text)} away`, { do: 'remove', place })] : []),
            ],
          };
        });
    });
  },
};
