import { nearest } from '../../language/near.ts';

const alike: Readonly<Record<string, string>> = {
  o: '0',
  i: '1',
  l: '1',
  '|': '1',
  z: '2',
  s: '5',
  '–': '-',
  '—': '-',
  '−': '-',
  _: '-',
};

const folded = (symbol: string): string => [...symbol.toLowerCase().trim()].map((c) => alike[c] ?? c).join('');

/** Symbols that a mistyped one may have meant: alike but for case or look; for longer ones also a letter off. */
export function nearSymbols(symbol: string, known: readonly string[]): string[] {
  const same = known.filter((other) => other !== symbol && folded(other) === folded(symbol));
  const close = symbol.length < 3 ? [] : nearest(symbol, known);
  return [...new Set([...same, ...close])].slice(0, 3);
}
