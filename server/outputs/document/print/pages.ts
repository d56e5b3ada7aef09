/** Documents on pages of paper. */
import type { Document } from '../document.ts';
import type { Canvas, Fonts } from './canvas.ts';
import { type Piece, piecesOf } from './setting.ts';

export type Paper = 'a4' | 'letter';

/** pt. */
export const papers: Readonly<Record<Paper, { readonly width: number; readonly height: number }>> = {
  a4: { width: 595.276, height: 841.89 },
  letter: { width: 612, height: 792 },
};

/** 15 mm, and what both papers have between such margins or wider: 180 mm. */
const margin = 42.52;
const measure = 510.236;
const footRoom = 20;

export interface Page {
  readonly draw: (on: Canvas) => void;
}

/** Each document begins on a page of its own. */
export function pagesOf(documents: readonly Document[], paper: Paper, fonts: Fonts): Page[] {
  const { width, height } = papers[paper];
  const left = (width - measure) / 2;
  const sheets = documents.flatMap((document, index) =>
    paged(piecesOf(document, measure, fonts, `p${index}`), height - 2 * margin - footRoom).map((pieces) => ({
      pieces,
      title: document.title,
    })),
  );
  return sheets.map(({ pieces, title }, i) => ({
    draw(on) {
      let y = height - margin;
      for (const piece of pieces) {
        piece.draw(on, left, y);
        y -= piece.height;
      }
      const foot = `${title} · ${i + 1} / ${sheets.length}`;
      on.text(foot, fonts.plain, 8, width - left - 8 * fonts.plain.width(foot), margin - 4, '#55626d');
    },
  }));
}

/** Pieces on pages of a height: what keeps to what follows goes on with it, and heads are said again. */
export function paged(pieces: readonly Piece[], height: number): Piece[][] {
  const pages: Piece[][] = [];
  let page: Piece[] = [];
  let room = height;
  for (let i = 0; i < pieces.length; ) {
    let end = i;
    while (pieces[end].keeps && end + 1 < pieces.length) end += 1;
    const group = pieces.slice(i, end + 1);
    const tall = group.reduce((sum, piece) => sum + piece.height, 0);
    if (tall > room && page.length > 0) {
      pages.push(page);
      [page, room] = [[], height];
      const { head } = group[0];
      if (head) {
        page.push(head);
        room -= head.height;
      }
    }
    page.push(...group);
    room -= tall;
    i = end + 1;
  }
  if (page.length > 0) pages.push(page);
  return pages;
}
