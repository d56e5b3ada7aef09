import type { GlyphTable } from '../language/mechanism.ts';
import { resolveDocument } from '../language/resolve.ts';
import { createLobeServices, readDesign } from '../language/services.ts';

/** A glyph table of the library, as a mechanism sees it. */
export function libraryTable(name: string): GlyphTable {
  const text = `mechanism Sees { glyphs ${name} }`;
  const { mechanisms } = resolveDocument(readDesign(createLobeServices(), text));
  const table = mechanisms[0]?.glyphs?.value;
  if (!table) throw new Error(`the library has no table ${name}`);
  return table;
}
