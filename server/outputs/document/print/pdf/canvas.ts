/** A page of a PDF as content operators (ISO 32000-1, 8 and 9), numbers to a thousandth. */
import type { Canvas, Font, Pen } from '../canvas.ts';
import { drawSvg } from './drawing.ts';
import type { Matrix } from './matrix.ts';

/** A font among the page's resources. */
export interface PdfFont extends Font {
  readonly name: string;
  /** The text as the font's glyphs, in hexadecimal. */
  encoded(text: string): string;
}

export interface PdfFonts {
  readonly plain: PdfFont;
  readonly bold: PdfFont;
}

/** Operators as they come, and the opacities that they name, in percent. */
export interface Content {
  readonly ops: string[];
  readonly opacities: Set<number>;
  readonly fonts: PdfFonts;
}

export const number = (value: number): string => {
  const text = (Math.round(value * 1000) / 1000).toString();
  return text === '-0' ? '0' : text;
};

export const numbers = (...values: readonly number[]): string => values.map(number).join(' ');

/** To a millionth: what a turn loses is multiplied by how far out it is. */
export const matrixOp = (matrix: Matrix): string =>
  `${matrix.map((value) => `${Math.round(value * 1e6) / 1e6 + 0}`).join(' ')} cm`;

function inkOf(colour: string): string {
  const value = Number.parseInt(colour.slice(1), 16);
  return numbers(...[(value >> 16) & 255, (value >> 8) & 255, value & 255].map((part) => part / 255));
}

export const fillOp = (colour: string): string => `${inkOf(colour)} rg`;
export const strokeOp = (colour: string): string => `${inkOf(colour)} RG`;

export function opacityOp({ opacities }: Content, share: number): string {
  const percent = Math.round(100 * Math.min(1, Math.max(0, share)));
  opacities.add(percent);
  return `/O${percent} gs`;
}

/** `upright` −1 where y counts downwards. */
export function textOp(
  text: string,
  font: PdfFont,
  size: number,
  x: number,
  y: number,
  upright: 1 | -1 = 1,
  mode: 'fill' | 'stroke' = 'fill',
): string {
  const place = `1 0 0 ${upright} ${numbers(x, y)} Tm`;
  return `BT /${font.name} ${number(size)} Tf ${mode === 'fill' ? 0 : 1} Tr ${place} ${font.encoded(text)} Tj ET`;
}

const penOps = ({ colour, width, dashed }: Pen): string =>
  `${strokeOp(colour)} ${number(width)} w [${dashed ? '3 2' : ''}] 0 d`;

export function pdfCanvas(content: Content): Canvas {
  const { ops, fonts } = content;
  const own = ({ weight }: Font) => fonts[weight];
  return {
    text(text, font, size, x, y, colour) {
      if (text !== '') ops.push(fillOp(colour), textOp(text, own(font), size, x, y));
    },
    line(x, y, toX, toY, pen) {
      ops.push('q', penOps(pen), `${numbers(x, y)} m ${numbers(toX, toY)} l S`, 'Q');
    },
    frame(x, y, width, height, pen) {
      ops.push('q', penOps(pen), `${numbers(x, y, width, height)} re S`, 'Q');
    },
    block(x, y, width, height, colour) {
      ops.push(fillOp(colour), `${numbers(x, y, width, height)} re f`);
    },
    drawing(svg, x, y, scale) {
      drawSvg(content, svg, x, y, scale);
    },
  };
}
