/** Symbols, and the entries of glyph tables that they stand for. */
import type { GlyphEntry, GlyphSymbol, Glyphs, Mechanism } from '../../language/generated/ast.ts';

/** A symbol's text without its quotes. */
export const symbolText = ({ word, number, quoted }: GlyphSymbol): string => word ?? number ?? quoted ?? '';

/** The table that a mechanism reads its face by. */
export function tableOf(mechanism: Mechanism): Glyphs | undefined {
  for (const member of mechanism.members) {
    if (member.$type === 'Property' && member.word === 'glyphs') return member.table?.ref;
  }
  return undefined;
}

/** A table, the one that it is like, the one that this is like …; in a circle once round. */
export function chainOf(table: Glyphs | undefined): Glyphs[] {
  const chain = new Set<Glyphs>();
  for (let at = table; at && !chain.has(at); at = at.like?.ref) chain.add(at);
  return [...chain];
}

/** A table's entries by symbol, those of the table it is `like` included; its own win. */
export function entriesOf(table: Glyphs | undefined): Map<string, GlyphEntry> {
  const found = new Map<string, GlyphEntry>();
  for (const each of chainOf(table)) {
    for (const entry of each.entries) {
      const symbol = entry.symbol && symbolText(entry.symbol);
      if (symbol !== undefined && !found.has(symbol)) found.set(symbol, entry);
    }
  }
  return found;
}
