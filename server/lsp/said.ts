/** How hover puts values and lists into words and markdown. */
import type { GlyphEntry } from '../../language/generated/ast.ts';

/** An angle in rad. */
export const deg = (angle: number): string => `${round((angle * 180) / Math.PI, 2)}°`;
export const mm = (length: number): string => `${round(length, 3)} mm`;
export const round = (value: number, decimals: number): string => String(Number(value.toFixed(decimals)) || 0);
export const list = (names: readonly string[]): string => (names.length ? names.join(' ') : 'nothing');
export const shown = (entry: GlyphEntry): string => list(entry.lit);

/** Markdown list items; undefined where there are none. */
export function lines(rows: readonly (string | undefined)[]): string | undefined {
  const said = rows.filter((row) => row !== undefined);
  return said.length ? said.map((row) => `- ${row}`).join('\n') : undefined;
}

export const paragraphs = (...parts: readonly (string | undefined)[]): string =>
  parts.filter((part) => part !== undefined).join('\n\n');
