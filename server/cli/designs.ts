/** Designs as the command line reads them: a file with all that it imports, and other values put in its place. */
import { readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { TextDocument, URI } from 'langium';
import { editsFor } from '../../language/edits.ts';
import type { Design } from '../../language/generated/ast.ts';
import type { Change, Finding, Place } from '../../language/mechanism.ts';
import { nearest } from '../../language/near.ts';
import { createLobeServices, type DesignDocument, type LobeServices, openDesign } from '../../language/services.ts';
import type { TextEdit } from '../../language/tokens.ts';
import { type Analysis, analyse, locate } from '../analysis.ts';
import { applied } from '../fixes.ts';
import type { TextRange } from '../protocol.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { greatest, readText } from './files.ts';

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
export async function openFile(path: string, given?: Arguments): Promise<Opened> {
  const uri = pathToFileURL(path === '-' ? join(process.cwd(), 'standard input') : resolve(path)).href;
  return openText(path, uri, await readText(path), given);
}

/** The same of a text that is at hand. */
export function openText(path: string, uri: string, text: string, given?: Arguments): Opened {
  services ??= createLobeServices();
  const { LangiumDocuments: documents } = services.shared.workspace;
  const open = (own: string) => openDesign(services!, uri, (file) => (file === uri ? own : readImport(file)));
  let document = open(text);
  let analysis = analyse(document, documents);
  let edits: readonly TextEdit[] = [];
  const wishes = given && wishesOf(given);
  if (wishes) {
    edits = editsOf(wishes, path, document, analysis);
    const before = analysis;
    document = open(applied(text, edits));
    analysis = analyse(document, documents);
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
    read: (file) => (file === uri ? text : readImport(file)),
    designOf: (file) => documentOf(file)?.parseResult.value as Design | undefined,
  };
}

/** An imported file; undefined if it cannot be read, which the design is then told of. */
function readImport(uri: string): string | undefined {
  if (!uri.startsWith('file:')) return undefined;
  try {
    const path = fileURLToPath(uri);
    const found = statSync(path);
    return found.isFile() && found.size <= greatest ? readFileSync(path, 'utf8') : undefined;
  } catch {
    return undefined;
  }
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

// ---- other values ------------------------------------------------------------------------

interface Wishes {
  readonly process?: string;
  readonly sets: readonly {
    readonly said: string;
    readonly object: string;
    readonly property: string;
    readonly value: string;
  }[];
}

function wishesOf(given: Arguments): Wishes | undefined {
  const process = lastOf(given, 'process');
  const sets = (given.options.get('set') ?? []).map((said) => {
    const match = /^([^.=]+)(?:\.([^=]+))?=(.+)$/s.exec(said);
    if (!match)
      throw new Refusal(`--set is written NAME.PROPERTY=VALUE, such as "coils.rate=0.05 N/mm", not '${said}'`);
    const [, object = '', property = '', value = ''] = match;
    return { said, object: object.trim(), property: property.trim(), value: value.trim() };
  });
  return process !== undefined || sets.length ? { sets, ...(process !== undefined && { process }) } : undefined;
}

/** The edits that put the wished values into the text. */
function editsOf(
  { process, sets }: Wishes,
  path: string,
  document: DesignDocument,
  { resolved }: Analysis,
): TextEdit[] {
  const design = document.parseResult.value;
  const wanted = process === undefined ? undefined : processIn(process, document);
  const edits: TextEdit[] = wanted ? [wanted.import] : [];
  const met = new Set<string>();
  for (const mechanism of resolved.mechanisms) {
    const changes: Change[] = wanted ? [{ do: 'set', object: '', property: 'made', value: wanted.name }] : [];
    const ground = { mechanism, designOf: (file: string) => (file === resolved.file ? design : undefined) };
    for (const { said, object, property, value } of sets) {
      const change: Change = { do: 'set', object: object === mechanism.name ? '' : object, property, value };
      if (!editsFor([change], ground).length) continue;
      met.add(said);
      changes.push(change);
    }
    for (const file of changes.length ? editsFor(changes, ground) : []) edits.push(...file.edits);
  }
  for (const { said, object } of sets) {
    if (met.has(said)) continue;
    const names = resolved.mechanisms.flatMap(
      ({ name, cams, shafts, gears, keys, segments, springs, ratchets, pushes }) => [
        name,
        'limits',
        ...[cams, shafts, gears, keys, segments, springs, ratchets, pushes].flat().map((part) => part.name),
      ],
    );
    const [near] = nearest(object, new Set(names), 1);
    const hint = names.includes(object)
      ? 'it has no such property'
      : near
        ? `did you mean ${near}?`
        : 'no part is called so';
    throw new Refusal(`cannot set ${said} in ${path}: ${hint}`);
  }
  return edits.sort((a, b) => a.from - b.from || a.to - b.to);
}

/** The process that a file describes, brought into a design. */
function processIn(path: string, document: DesignDocument): { readonly name: string; readonly import: TextEdit } {
  const uri = pathToFileURL(resolve(path)).href;
  const text = readImport(uri);
  if (text === undefined) throw new Refusal(`cannot read ${path}: no such file or folder`);
  const names = [...text.matchAll(/(?:^|[\s}])process\s+([\p{L}_][\p{L}\d_]*)\s*\{/gu)].map((match) => match[1]!);
  const design = document.parseResult.value;
  const own = design.statements.flatMap((statement) => (statement.$type === 'Process' ? statement.name : []));
  const [name] = names;
  if (name === undefined) throw new Refusal(`${path} describes no process`);
  if (names.length > 1)
    throw new Refusal(`${path} describes ${names.length} processes (${names.join(', ')}); keep one`);
  if (own.includes(name)) throw new Refusal(`the design has a process ${name} of its own; rename the one in ${path}`);
  const folder = dirname(fileURLToPath(document.uri.toString()));
  const from = (relative(folder, resolve(path)) || path).replaceAll('\\', '/');
  const at = design.statements[0]?.$cstNode?.offset ?? document.textDocument.getText().length;
  return { name, import: { from: at, to: at, text: `import ${JSON.stringify(from)} ` } };
}

/** Values that cannot be put in are the caller's mistake, not the design's. */
function refuseNonsense(before: Analysis, after: Analysis, { process, sets }: Wishes): void {
  const ofText = (analysis: Analysis): Finding[] =>
    [...analysis.findings].filter(
      (finding) =>
        finding.severity === 'error' && !analysis.mechanisms.some(({ findings }) => findings.includes(finding)),
    );
  const old = new Set(ofText(before).map(({ code, message }) => `${code} ${message}`));
  const fresh = ofText(after).find(({ code, message }) => !old.has(`${code} ${message}`));
  const said = [...(process === undefined ? [] : [`--process ${process}`]), ...sets.map(({ said }) => `--set ${said}`)];
  if (fresh) throw new Refusal(`${said.join(' ')}: ${fresh.message}`);
}
