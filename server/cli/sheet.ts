/** `sheet` and `cards`: what a builder holds in the hand. */

import { viewOf } from '../outputs/chart/view.ts';
import type { Document } from '../outputs/document/document.ts';
import { documentsHtml } from '../outputs/document/page.tsx';
import type * as Pdf from '../outputs/document/print/pdf/file.ts';
import { documentsText } from '../outputs/document/text.ts';
import { cardsDocument, tooLarge, usualScale } from '../outputs/sheet/cards.tsx';
import { sheetsJson } from '../outputs/sheet/json.ts';
import { sheetOf } from '../outputs/sheet/sheet.ts';
import { buildSheet } from '../outputs/sheet/told/build-sheet.ts';
import { type Arguments, kindOf, lastOf, Refusal } from './arguments.ts';
import { chosen, isStandingError, type Opened, openFile, refuseBroken } from './designs.ts';
import { print, shipped, shippedProgram, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

const endings = { html: 'html', htm: 'html', pdf: 'pdf', txt: 'text', json: 'json' } as const;

export async function sheet(given: Arguments, version: string): Promise<Status> {
  const opened = await openOne(given, 'sheet');
  const kind = kindOf(given, 'sheet', endings, 'html');
  const mechanisms = chosen(opened, lastOf(given, 'mechanism'));
  const sheets = mechanisms.map(sheetOf);
  if (kind === 'json') return told(given, opened, `${JSON.stringify(sheetsJson(sheets), undefined, 2)}\n`);
  const documents = sheets.map((each) => buildSheet(each, version));
  if (kind === 'text') return told(given, opened, documentsText(documents));
  return told(given, opened, await written(given, documents, kind));
}

export async function cards(given: Arguments, version: string): Promise<Status> {
  const opened = await openOne(given, 'cards');
  const kind = kindOf(given, 'cards', { html: 'html', htm: 'html', pdf: 'pdf' }, 'html');
  const scale = scaleOf(lastOf(given, 'scale'));
  const documents = chosen(opened, lastOf(given, 'mechanism')).map((reckoned) => {
    const view = viewOf(reckoned);
    const because = scale === undefined ? undefined : tooLarge(view, scale);
    if (because !== undefined) throw new Refusal(because);
    return cardsDocument(view, scale ?? usualScale(view), version);
  });
  return told(given, opened, await written(given, documents, kind));
}

async function openOne(given: Arguments, verb: string): Promise<Opened> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length)
    throw new Refusal(`${verb} wants one FILE; lobewright ${verb} --help tells more`);
  const opened = await openFile(path, given);
  // Somebody builds from it: not from half a text.
  refuseBroken(opened);
  return opened;
}

/** 1 : n, as "1:2" or "true". */
function scaleOf(said: string | undefined): number | undefined {
  if (said === undefined || said === 'true') return said && 1;
  const n = Number(/^1\s*:\s*(\d+(?:\.\d+)?)$/.exec(said)?.[1]);
  if (!(n >= 0.1 && n <= 1000)) throw new Refusal(`--scale is true or such as 1:2, not '${said}'`);
  return n;
}

async function written(
  given: Arguments,
  documents: readonly Document[],
  kind: 'html' | 'pdf',
): Promise<string | Uint8Array> {
  const title = documents.map((document) => document.title).join(', ');
  const paper = lastOf(given, 'paper');
  if (kind === 'html') return documentsHtml(documents, title, paper as Pdf.Paper | undefined);
  if (lastOf(given, 'out') === undefined && process.stdout.isTTY)
    throw new Refusal('a PDF is nothing for a terminal; say where to with --out PATH');
  const { documentsPdf } = shippedProgram<typeof Pdf>('pdf.cjs');
  const fonts = [shipped('DejaVuSans.ttf'), shipped('DejaVuSans-Bold.ttf')] as const;
  return documentsPdf(documents, { fonts, title, paper: (paper ?? 'a4') as Pdf.Paper });
}

function told(given: Arguments, { analysis }: Opened, what: string | Uint8Array): Status {
  const out = lastOf(given, 'out');
  if (out === undefined) print(what);
  else writeOut(out, what);
  return analysis.findings.some(isStandingError) ? 1 : 0;
}
