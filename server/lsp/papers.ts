/** Papers of a design for the editor to write: the build sheet, the cards, a report. Loaded when one is asked for. */
import type { Place } from '../../language/mechanism.ts';
import type { Analysis } from '../analysis.ts';
import { viewOf } from '../outputs/chart/view.ts';
import type { Document } from '../outputs/document/document.ts';
import { documentsHtml } from '../outputs/document/page.tsx';
import { documentsText } from '../outputs/document/text.ts';
import { reportJson, reportText } from '../outputs/report.ts';
import { cardsDocument, usualScale } from '../outputs/sheet/cards.tsx';
import { sheetsJson } from '../outputs/sheet/json.ts';
import { sheetOf } from '../outputs/sheet/sheet.ts';
import { buildSheet } from '../outputs/sheet/told/build-sheet.ts';
import type { PaperName, PaperOf, PaperResult, TextRange } from '../protocol.ts';
import { rest } from './goes.ts';

/** Makes a PDF of documents, as bytes. */
export type PdfMaker = (documents: readonly Document[], title: string) => Promise<Uint8Array>;

export interface PaperSupply {
  /** Reckoned finely. */
  readonly analysis: Analysis;
  readonly pdf?: () => Promise<PdfMaker>;
  find(place: Place): { readonly uri: string; readonly range: TextRange } | undefined;
}

const json = (value: unknown): { readonly text: string } => ({ text: `${JSON.stringify(value, undefined, 2)}\n` });

const names: readonly unknown[] = ['sheet', 'cards', 'report'] satisfies PaperName[];

/** Lets other work in between the mechanisms of a file; null to what is no paper. */
export async function paperOf({ name, format }: PaperOf, supply: PaperSupply): Promise<PaperResult> {
  const { mechanisms, broken } = supply.analysis;
  if (!names.includes(name)) return null;
  if (name === 'report') return reported(format, supply);
  if (mechanisms.length === 0) return { because: broken?.message ?? 'The design holds no mechanism.' };
  const sheets = [];
  const documents: Document[] = [];
  for (const reckoned of mechanisms) {
    await rest(0);
    if (name === 'cards') {
      const view = viewOf(reckoned);
      documents.push(cardsDocument(view, usualScale(view), LOBEWRIGHT_VERSION));
    } else {
      const sheet = sheetOf(reckoned);
      sheets.push(sheet);
      if (format !== 'json') documents.push(buildSheet(sheet, LOBEWRIGHT_VERSION));
    }
  }
  const title = documents.map((document) => document.title).join(', ');
  switch (format) {
    case 'html':
      return { text: documentsHtml(documents, title) };
    case 'pdf': {
      if (!supply.pdf) return { because: 'A browser makes no PDF: write a page and print it to PDF from there.' };
      const make = await supply.pdf();
      return { base64: Buffer.from(await make(documents, title)).toString('base64') };
    }
    case 'text':
      return name === 'sheet'
        ? { text: documentsText(documents) }
        : { because: 'Cards are drawn: as a page or a PDF.' };
    case 'json':
      return name === 'sheet' ? json(sheetsJson(sheets)) : { because: 'Cards are drawn: as a page or a PDF.' };
    default:
      return null;
  }
}

function reported(format: PaperOf['format'], { analysis, find }: PaperSupply): PaperResult {
  const { mechanisms, findings, file } = analysis;
  const report = {
    version: LOBEWRIGHT_VERSION,
    mechanisms,
    findings,
    where: ({ place }: (typeof findings)[number]) => {
      const found = find(place);
      if (found?.uri !== file) return undefined;
      const { line, character } = found.range.start;
      return { line: line + 1, column: character + 1 };
    },
  };
  if (format === 'json') return json(reportJson(report));
  return format === 'text' ? { text: reportText(report) } : { because: 'A report is text or JSON.' };
}
