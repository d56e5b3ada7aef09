/** Documents set in lines: how wide texts are, where they break, how blocks become pieces that keep together. */

import { type Block, type Document, type Drawing, isNumeric, isSmall, type Table } from '../document.ts';
import { drawingSvg } from '../page.tsx';
import type { Canvas, Font, Fonts } from './canvas.ts';

/** What is drawn in one go and never parted; lengths pt, its upper left corner at x, y (y up). */
export interface Piece {
  readonly height: number;
  readonly draw: (on: Canvas, x: number, y: number) => void;
  /** It stays with the piece after it. */
  readonly keeps?: true;
  /** What heads it, again, where a page begins with it. */
  readonly head?: Piece;
}

/** px of a drawing to pt. */
const pxToPt = 0.75;

const black = '#1f2a33';
const grey = '#55626d';
const hair = '#c3ccd3';

const leading = 1.42;

/** Where a line may break: at every space but one that is said to hold. */
const breaks = /[^\S\u00a0]+/;

/** As one word after the other fits; a word that is too long by itself is cut. */
export function lines(text: string, width: number, font: Font, size: number): string[] {
  const most = width / size;
  const all: string[] = [];
  let current = '';
  for (const word of text.split(breaks).filter((each) => each !== '')) {
    const longer = current === '' ? word : `${current} ${word}`;
    if (font.width(longer) <= most) {
      current = longer;
      continue;
    }
    if (current !== '') all.push(current);
    let rest = word;
    while (font.width(rest) > most && rest.length > 1) {
      let fits = rest.length - 1;
      while (fits > 1 && font.width(rest.slice(0, fits)) > most) fits -= 1;
      all.push(rest.slice(0, fits));
      rest = rest.slice(fits);
    }
    current = rest;
  }
  if (current !== '' || all.length === 0) all.push(current);
  return all;
}

interface Look {
  readonly font: Font;
  readonly size: number;
  readonly colour?: string;
  /** Space before and after, pt. */
  readonly before?: number;
  readonly after?: number;
}

/** A paragraph as one piece. */
function paragraph(text: string, width: number, { font, size, colour = black, before = 0, after = 0 }: Look): Piece {
  const set = lines(text, width, font, size);
  const step = size * leading;
  return {
    height: before + set.length * step + after,
    draw(on, x, y) {
      set.forEach((each, i) => {
        on.text(each, font, size, x, y - before - i * step - size, colour);
      });
    },
  };
}

/** Pieces one under the other as one. */
function stacked(pieces: readonly Piece[], before = 0, after = 0): Piece {
  return {
    height: before + pieces.reduce((sum, { height }) => sum + height, 0) + after,
    draw(on, x, y) {
      let top = y - before;
      for (const piece of pieces) {
        piece.draw(on, x, top);
        top -= piece.height;
      }
    },
  };
}

const space = (height: number): Piece => ({ height, draw() {} });

/** Beside a sign that stands before its first line. */
function hung(sign: (on: Canvas, x: number, y: number) => void, indent: number, piece: Piece): Piece {
  return {
    height: piece.height,
    draw(on, x, y) {
      sign(on, x, y);
      piece.draw(on, x + indent, y);
    },
  };
}

function framed(inner: Piece, width: number, bar: number, ends: number): Piece {
  const [above, below] = [8, 8];
  const height = inner.height + above + below + 2 * ends;
  return {
    height,
    draw(on, x, y) {
      on.frame(x, y - height + ends, width, height - 2 * ends, { colour: black, width: 1 });
      if (bar > 0) on.block(x, y - height + ends, bar, height - 2 * ends, black);
      inner.draw(on, x + bar + 10, y - ends - above);
    },
  };
}

/** A document as pieces for a width. */
export function piecesOf({ title, about, blocks }: Document, width: number, fonts: Fonts, own: string): Piece[] {
  let drawn = 0;
  const number = () => {
    drawn += 1;
    return `${own}-${drawn}`;
  };
  return [
    keeping(paragraph(title, width, { font: fonts.bold, size: 19 })),
    paragraph(about, width, { font: fonts.plain, size: 9, colour: grey, after: 4 }),
    ...blocks.flatMap((block, i) => {
      const pieces = piecesFor(block, width, fonts, number);
      // What introduces something stays with it.
      const introduces = block.kind === 'text' && blocks[i - 1]?.kind === 'heading';
      return introduces ? pieces.map(keeping) : pieces;
    }),
  ];
}

const keeping = (piece: Piece): Piece => ({ ...piece, keeps: true });

const body = 9.5;

function piecesFor(block: Block, width: number, fonts: Fonts, number: () => string): Piece[] {
  const { plain, bold } = fonts;
  switch (block.kind) {
    case 'heading':
      return [block.level === 2 ? chapter(block.text, width, bold) : keeping(section(block.text, width, bold))];
    case 'text':
      return [
        paragraph(
          block.text,
          width,
          block.quiet
            ? { font: plain, size: 8.5, colour: grey, before: 2, after: 4 }
            : { font: plain, size: body, before: 2, after: 4 },
        ),
      ];
    case 'list':
      return [...block.items.map((item) => bullet(item, width, plain)), space(4)];
    case 'caution': {
      const room = width - 10 - 30;
      const items = block.items.map((item) => bullet(item, room, plain));
      const title = paragraph(block.title, room, { font: bold, size: 10.5, after: 3 });
      return [framed(stacked([title, ...items]), width, 7, 5)];
    }
    case 'steps':
      return [
        ...block.items.map((item, i) =>
          hung(
            (on, x, y) => {
              on.frame(x, y - 12.5, 9, 9, { colour: black, width: 0.8 });
              const label = `${block.first + i}`;
              on.text(label, bold, body, x + 30 - body * bold.width(label), y - 2 - body, black);
            },
            37,
            paragraph(item, width - 37, { font: plain, size: body, before: 2, after: 2 }),
          ),
        ),
        space(4),
      ];
    case 'trial': {
      const room = width - 20;
      const sign = Math.max(...block.lines.map(([word]) => bold.width(word))) * body + 12;
      const rows = block.lines.map(([word, meaning]) =>
        hung(
          (on, x, y) => on.text(word, bold, body, x, y - body, black),
          sign,
          paragraph(meaning, room - sign, { font: plain, size: body, after: 1 }),
        ),
      );
      const title = paragraph(block.title, room, { font: bold, size: 10, after: 2 });
      return [framed(stacked([title, ...rows]), width, 0, 5)];
    }
    case 'table':
      return tablePieces(block, width, fonts);
    case 'drawings':
      return drawingPieces(block.drawings, block.cut ?? false, width, fonts, number);
  }
}

function chapter(text: string, width: number, font: Font): Piece {
  const words = paragraph(text, width, { font, size: 14, before: 8, after: 4 });
  return {
    height: words.height + 12,
    keeps: true,
    draw(on, x, y) {
      on.line(x, y - 12, x + width, y - 12, { colour: black, width: 1.5 });
      words.draw(on, x, y - 12);
    },
  };
}

const section = (text: string, width: number, font: Font): Piece =>
  paragraph(text, width, { font, size: 11, before: 10, after: 3 });

const bullet = (text: string, width: number, font: Font): Piece =>
  hung(
    (on, x, y) => on.text('•', font, body, x + 2, y - body, black),
    14,
    paragraph(text, width - 14, { font, size: body, after: 1.5 }),
  );

// ---- tables -----------------------------------------------------------------------------------

const cellSize = 8.5;
const gap = 9;

/** As wide as their texts; where that is too much, columns give way as far as their longest word lets them. */
function columnWidths({ heads, rows }: Table, width: number, { plain, bold }: Fonts): number[] {
  const measure = (font: Font, text: string) => cellSize * font.width(text) + 0.5;
  const longest = (i: number, of: (font: Font, text: string) => number) =>
    Math.max(of(bold, heads[i]), ...rows.map((row) => of(plain, row[i])));
  const whole = heads.map((_, i) => longest(i, measure));
  const least = heads.map((_, i) =>
    longest(i, (font, text) => Math.max(0, ...text.split(breaks).map((word) => measure(font, word)))),
  );
  const room = width - gap * (heads.length - 1);
  const sum = (all: readonly number[]) => all.reduce((total, one) => total + one, 0);
  if (sum(whole) <= room) return whole;
  const spare = Math.max(0, room - sum(least));
  const wanted = sum(whole) - sum(least);
  const shares = heads.map((_, i) => least[i] + (spare * (whole[i] - least[i])) / wanted);
  const over = Math.max(1, sum(shares) / room);
  return shares.map((share) => share / over);
}

function tablePieces(table: Table, width: number, fonts: Fonts): Piece[] {
  const { caption, heads, rows } = table;
  const widths = columnWidths(table, width, fonts);
  const right = heads.map((_, i) => isNumeric(table, i));
  const row = (cells: readonly string[], font: Font, rule: string): Piece => {
    const set = cells.map((cell, i) => lines(cell, widths[i], font, cellSize));
    const step = cellSize * 1.3;
    const height = Math.max(...set.map(({ length }) => length)) * step + 5;
    return {
      height,
      draw(on, x, y) {
        let left = x;
        set.forEach((texts, i) => {
          texts.forEach((text, k) => {
            const aside = right[i] ? widths[i] - cellSize * font.width(text) : 0;
            on.text(text, font, cellSize, left + aside, y - 2 - k * step - cellSize, black);
          });
          left += widths[i] + gap;
        });
        on.line(x, y - height + 0.5, left - gap, y - height + 0.5, { colour: rule, width: 0.6 });
      },
    };
  };
  const head = row(heads, fonts.bold, black);
  return [
    keeping(paragraph(caption, width, { font: fonts.bold, size: 9, before: 6, after: 2 })),
    keeping(head),
    ...rows.map((cells) => ({ ...row(cells, fonts.plain, hair), head })),
    space(6),
  ];
}

// ---- drawings ---------------------------------------------------------------------------------

/** Side by side as many as fit, each over its caption; those to cut out without gap or caption, in a dashed line. */
function drawingPieces(
  drawings: readonly Drawing[],
  cut: boolean,
  width: number,
  { plain }: Fonts,
  number: () => string,
): Piece[] {
  const between = cut ? 0 : isSmall(drawings) ? 6 : 18;
  const rows: Drawing[][] = [];
  let left = 0;
  for (const drawing of drawings) {
    const wide = drawing.width * pxToPt;
    const row = rows[rows.length - 1];
    if (row && left + between + wide <= width + 0.01) {
      row.push(drawing);
      left += between + wide;
    } else {
      rows.push([drawing]);
      left = wide;
    }
  }
  const size = 8;
  return rows.map((row) => {
    const tall = Math.max(...row.map(({ height }) => height)) * pxToPt;
    const captions = cut
      ? []
      : row.map(({ caption, title, width: wide }) => lines(caption ?? title, wide * pxToPt, plain, size));
    const said = Math.max(0, ...captions.map(({ length }) => length)) * size * 1.3;
    return {
      height: tall + (cut ? 0 : said + 12),
      draw(on, x, y) {
        let at = x;
        row.forEach((drawing, i) => {
          const wide = drawing.width * pxToPt;
          on.drawing(drawingSvg(drawing, number()), at, y - (cut ? 0 : 4), pxToPt);
          if (cut) {
            const edge = { colour: grey, width: 0.5, dashed: true } as const;
            on.frame(at, y - drawing.height * pxToPt, wide, drawing.height * pxToPt, edge);
          }
          captions[i]?.forEach((text, k) => {
            on.text(text, plain, size, at, y - 4 - tall - 2 - size - k * size * 1.3, grey);
          });
          at += wide + between;
        });
      },
    };
  });
}
