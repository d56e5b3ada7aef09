/** Symbols, and the entries of glyph tables that they stand for. */
import type { AstNode } from 'langium';
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

/** A table's entries by symbol, those of the table it is `like` included; its own win. */
export function entriesOf(table: Glyphs | undefined): Map<string, GlyphEntry> {
  const found = new Map<string, GlyphEntry>();
  const seen = new Set<AstNode>();
  for (let at = table; at && !seen.has(at); at = at.like?.ref) {
    seen.add(at);
    for (const entry of at.entries) {
      const symbol = entry.symbol && symbolText(entry.symbol);
      if (symbol !== undefined && !found.has(symbol)) found.set(symbol, entry);
    }
  }
  return found;
}
