/** Documents as a PDF with true lines and the fonts that ship; the same documents give the same bytes. */
import { PDFDocument, type PDFFont, PDFName, type PDFPage } from '@cantoo/pdf-lib';
import * as fontkit from 'fontkit';
import type { Document } from '../../document.ts';
import { measured } from '../fonts.ts';
import { type Paper, pagesOf, papers } from '../pages.ts';
import { type Content, type PdfFont, pdfCanvas } from './canvas.ts';

export type { Paper } from '../pages.ts';

export interface PdfOptions {
  /** Default `a4`. */
  readonly paper?: Paper;
  /** The bytes of the font, plain and bold. */
  readonly fonts: readonly [Uint8Array, Uint8Array];
  /** Of the whole file. */
  readonly title: string;
}

export async function documentsPdf(
  documents: readonly Document[],
  { paper = 'a4', fonts: [plainBytes, boldBytes], title }: PdfOptions,
): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  pdf.registerFontkit(fontkit as unknown as Parameters<typeof pdf.registerFontkit>[0]);
  pdf.setTitle(title, { showInWindowTitleBar: true });
  pdf.setLanguage('en');
  pdf.setCreator('Lobewright');
  const plain = await embedded(pdf, plainBytes);
  const bold = await embedded(pdf, boldBytes);
  const fonts = {
    plain: fontOf('plain', 'F1', plain, plainBytes),
    bold: fontOf('bold', 'F2', bold, boldBytes),
  };
  const { width, height } = papers[paper];
  for (const { draw } of pagesOf(documents, paper, fonts)) {
    const content: Content = { ops: [], opacities: new Set(), fonts };
    draw(pdfCanvas(content));
    const page = pdf.addPage([width, height]);
    page.node.setFontDictionary(PDFName.of('F1'), plain.ref);
    page.node.setFontDictionary(PDFName.of('F2'), bold.ref);
    finish(pdf, page, content);
  }
  return pdf.save();
}

/** Without ligatures, so that every sign is as wide as it is measured. */
const embedded = (pdf: PDFDocument, bytes: Uint8Array): Promise<PDFFont> =>
  pdf.embedFont(bytes, { subset: true, features: { liga: false } });

function fontOf(weight: PdfFont['weight'], name: string, font: PDFFont, bytes: Uint8Array): PdfFont {
  const { width, drawable } = measured(weight, bytes);
  return { weight, name, width, encoded: (text) => font.encodeText(drawable(text)).toString() };
}

/** Puts what was drawn on its page, with the opacities that it names. */
function finish({ context }: PDFDocument, { node }: PDFPage, { ops, opacities }: Content): void {
  for (const percent of [...opacities].sort((a, b) => a - b)) {
    const state = context.obj({ Type: 'ExtGState', ca: percent / 100, CA: percent / 100 });
    node.setExtGState(PDFName.of(`O${percent}`), context.register(state));
  }
  node.addContentStream(context.register(context.flateStream(ops.join('\n'))));
}
