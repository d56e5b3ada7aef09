/** What a page is drawn with, whatever becomes of it: lengths pt, y up from the lower edge, colours as `#rrggbb`. */

/** One of the two fonts in which everything is set. */
export interface Font {
  readonly weight: 'plain' | 'bold';
  /** Width of a text of 1 pt. */
  width(text: string): number;
}

export interface Fonts {
  readonly plain: Font;
  readonly bold: Font;
}

export interface Pen {
  readonly colour: string;
  readonly width: number;
  readonly dashed?: true;
}

export interface Canvas {
  text(text: string, font: Font, size: number, x: number, y: number, colour: string): void;
  line(x: number, y: number, toX: number, toY: number, pen: Pen): void;
  /** From its lower left corner. */
  frame(x: number, y: number, width: number, height: number, pen: Pen): void;
  block(x: number, y: number, width: number, height: number, colour: string): void;
  /** An SVG element with its upper left corner at x, y, `scale` pt to the px. */
  drawing(svg: string, x: number, y: number, scale: number): void;
}
