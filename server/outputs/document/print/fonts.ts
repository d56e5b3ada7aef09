/** The fonts that ship, measured. */
import * as fontkit from 'fontkit';
import type { Font } from './canvas.ts';

export interface Measured extends Font {
  /** With the replacement character for what it has no glyph for. */
  drawable(text: string): string;
}

export function measured(weight: Font['weight'], bytes: Uint8Array): Measured {
  const font = fontkit.create(bytes as Parameters<typeof fontkit.create>[0]) as fontkit.Font;
  const widths = new Map<string, number>();
  const widthOf = (sign: string): number => {
    const known = widths.get(sign);
    if (known !== undefined) return known;
    const point = sign.codePointAt(0)!;
    const drawn = font.hasGlyphForCodePoint(point) ? point : 0xfffd;
    const width = font.glyphForCodePoint(drawn).advanceWidth / font.unitsPerEm;
    widths.set(sign, width);
    return width;
  };
  return {
    weight,
    width(text) {
      let width = 0;
      for (const sign of text) width += widthOf(sign);
      return width;
    },
    drawable: (text) =>
      [...text].map((sign) => (font.hasGlyphForCodePoint(sign.codePointAt(0)!) ? sign : '\ufffd')).join(''),
  };
}
