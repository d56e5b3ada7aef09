/** Designs as the command line reads them: a file with all that it imports, and other values put in its place. */
import { join, relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { TextDocument, URI } from 'langium';
import type { Design } from '../../language/generated/ast.ts';
import type { Finding, Place } from '../../language/mechanism.ts';
import { nearest } from '../../language/near.ts';
import { createLobeServices, type DesignDocument, type LobeServices, openDesign } from '../../language/services.ts';
import type { TextEdit } from '../../language/tokens.ts';
import { type Analysis, analyse, locate } from '../analysis.ts';
import { applied } from '../fixes.ts';
import type { Reckoned, TextRange } from '../protocol.ts';
import type { Early } from '../reckon/figures.ts';
import { type Arguments, Refusal } from './arguments.ts';
import { readImport, readText } from './files.ts';
import { putIn, refuseNonsense, refuseStructure, wishesOf } from './wishes.ts';

/** A design that was read and analysed. */
export interface Opened {
  /** As the maker gave it. */
  readonly path: string;
  readonly uri: string;
  /** The text as it stands in the file. */
  readonly text: string;
  readonly document: DesignDocument;
  readonly analysis: Analysis;
  /** A file's name as it is printed. */
  nameOf(uri: string): string;
  /** Where a place is in the files as they stand; undefined if it is in none of them. */
  placeOf(place: Place): { readonly file: string; readonly range: TextRange } | undefined;
  /** The text and the syntax tree of another file that the design brings in. */
  read(uri: string): string | undefined;
  designOf(uri: string): Design | undefined;
}

/** Services are costly to make: one set for all files of a run. */
let services: LobeServices | undefined;

/** Reads and analyses a design, with the values of `--process` and `--set` in place of its own. */
export async function openFile(path: string, given?: Arguments, early?: Early): Promise<Opened> {
  const uri = pathToFileURL(path === '-' ? join(process.cwd(), 'standard input') : resolve(path)).href;
  return openText(path, uri, await readText(path), given, readImport, early);
}

/** The same of a text that is at hand; `readOther` gives the texts of files that it brings in. */
export function openText(
  path: string,
  uri: string,
  text: string,
  given?: Arguments,
  readOther = readImport,
  early?: Early,
): Opened {
  services ??= createLobeServices();
  const { LangiumDocuments: documents } = services.shared.workspace;
  const open = (own: string) => openDesign(services!, uri, (file) => (file === uri ? own : readOther(file)));
  let document = open(text);
  const wishes = given && wishesOf(given);
  let analysis = analyse(document, documents, wishes ? undefined : early);
  let edits: readonly TextEdit[] = [];
  if (wishes) {
    const before = analysis;
    const put = putIn(wishes, path, document, analysis, documents);
    edits = put.edits;
    document = open(applied(text, edits));
    refuseStructure(put.values, document.parseResult.value);
    analysis = analyse(document, documents, early);
    refuseNonsense(before, analysis, wishes);
  }
  const back = backThrough(edits);
  const own = TextDocument.create(uri, 'lobe', 0, text);
  const documentOf = (file: string) => documents.getDocument(URI.parse(file));
  const positionIn = (file: string, offset: number) =>
    file === uri ? own.positionAt(back(offset)) : documentOf(file)!.textDocument.positionAt(offset);
  const nameOf = (file: string) => (file === uri ? path : shortName(file));
  return {
    path,
    uri,
    text,
    document,
    analysis,
    nameOf,
    placeOf(place) {
      const found = locate(place, documents);
      if (!found) return undefined;
      const { file, from, to } = found;
      return { file: nameOf(file), range: { start: positionIn(file, from), end: positionIn(file, to) } };
    },
    read: (file) => (file === uri ? text : readOther(file)),
    designOf: (file) => documentOf(file)?.parseResult.value as Design | undefined,
  };
}

export function refuseBroken({ path, analysis: { broken } }: Opened): void {
  if (broken) throw new Refusal(`${path} cannot be read whole: ${broken.message}; lobewright check tells where`);
}

/** A path from here where the file lies below, the whole path or address otherwise. */
function shortName(uri: string): string {
  if (!uri.startsWith('file:')) return uri;
  const path = fileURLToPath(uri);
  const from = relative(process.cwd(), path);
  return from.startsWith('..') ? path : from;
}

/** From offsets after some edits to offsets before them; what was put in lies where it was put. */
function backThrough(edits: readonly TextEdit[]): (offset: number) => number {
  return (offset) => {
    let moved = 0;
    for (const { from, to, text } of edits) {
      const start = from + moved;
      if (offset < start) break;
      const grown = text.length - (to - from);
      if (offset <= start + text.length) return Math.min(from + (offset - start), to);
      moved += grown;
    }
    return offset - moved;
  };
}

/** All mechanisms of the file, or the one that is asked for. */
export function chosen({ analysis, path }: Opened, name: string | undefined): readonly Reckoned[] {
  const { mechanisms, broken } = analysis;
  if (!mechanisms.length) {
    throw new Refusal(
      broken ? `${path} holds no mechanism that can be read: ${broken.message}` : `${path} holds no mechanism`,
    );
  }
  if (name === undefined) return mechanisms;
  const found = mechanisms.filter(({ mechanism }) => mechanism.name === name);
  if (found.length) return found;
  const names = mechanisms.map(({ mechanism }) => mechanism.name);
  const [near] = nearest(name, names, 1);
  throw new Refusal(
    `${path} has no mechanism ${name}; ${near ? `did you mean ${near}?` : `it has ${names.join(', ')}`}`,
  );
}

/** Whether a finding is an error that the design does not accept. */
export const isStandingError = ({ severity, accepted }: Finding): boolean =>
  severity === 'error' && accepted === undefined;

/** The mechanism of a file that has a name; without one, its only one. */
export function mechanismIn(opened: Opened, name: string | undefined): Reckoned {
  const found = chosen(opened, name);
  if (name === undefined && found.length > 1) refuseSeveral(opened.path, found);
  return found[0]!;
}

/** Where one of several is meant. */
export function refuseSeveral(path: string, mechanisms: readonly Reckoned[]): never {
  const names = mechanisms.map(({ mechanism }) => mechanism.name);
  throw new Refusal(`${path} holds ${names.length} mechanisms; name one with --mechanism: ${names.join(', ')}`);
}
