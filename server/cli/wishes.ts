/** Other values than the design's own: what `--set` and `--process` put into its text before it is reckoned. */
import { dirname, relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { AstUtils, type LangiumDocuments } from 'langium';
import { editsFor } from '../../language/edits.ts';
import { type Design, isMember, isStatement } from '../../language/generated/ast.ts';
import { visibleDesigns } from '../../language/imports.ts';
import { isLibraryFile } from '../../language/library.ts';
import type { Change, Finding, Mechanism } from '../../language/mechanism.ts';
import { definitionsIn } from '../../language/names.ts';
import { nearest } from '../../language/near.ts';
import type { DesignDocument } from '../../language/services.ts';
import type { TextEdit } from '../../language/tokens.ts';
import type { Analysis } from '../analysis.ts';
import { partsOf } from '../checks/check.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { readImport } from './files.ts';

export interface Wishes {
  readonly process?: string;
  readonly sets: readonly Wish[];
}

interface Wish {
  /** As it was given, in one line. */
  readonly said: string;
  readonly object: string;
  readonly property: string;
  readonly value: string;
}

/** Where a value stands in the text after the edits. */
export interface PutValue {
  readonly wish: Wish;
  readonly from: number;
  readonly to: number;
}

/** Statements of the mechanism itself that are one choice or one list. */
const statements = ['count', 'runs', 'assembled', 'glyphs', 'made with'];

export function wishesOf(given: Arguments): Wishes | undefined {
  const process = lastOf(given, 'process');
  const sets = (given.options.get('set') ?? []).map(wishOf);
  const again = sets.find((one, i) =>
    sets.slice(0, i).some(({ object, property }) => one.object === object && one.property === property),
  );
  if (again) throw new Refusal(`--set ${again.said}: this value is set twice; keep one`);
  return process !== undefined || sets.length ? { sets, ...(process !== undefined && { process }) } : undefined;
}

function wishOf(words: string): Wish {
  const said = words.replace(/\s+/g, ' ').trim();
  const match = /^([^.=]+)(?:\.([^=]+))?=(.+)$/s.exec(words);
  if (!match) throw new Refusal(`--set is written NAME.PROPERTY=VALUE, such as "coils.rate=0.05 N/mm", not '${said}'`);
  const [object, property, value] = [match[1], match[2], match[3]].map((part = '') => part.trim());
  if (!value || /[{}]|\/[/*]/.test(value.replace(/"(?:[^"\\\r\n]|\\.)*"/g, '""'))) refuseValue(said);
  return { said, object: object!, property: property!.replaceAll('.', ' '), value };
}

function refuseValue(said: string): never {
  throw new Refusal(`--set ${said}: this is no single value; --set puts in one value, such as 10 mm`);
}

/** The edits that put the wished values into the text, and where these stand then. */
export function putIn(
  { process, sets }: Wishes,
  path: string,
  document: DesignDocument,
  { resolved }: Analysis,
  documents: LangiumDocuments,
): { readonly edits: TextEdit[]; readonly values: PutValue[] } {
  const design = document.parseResult.value;
  const wanted = process === undefined ? undefined : processIn(process, document);
  const edits: TextEdit[] = wanted ? [wanted.import] : [];
  const met = new Set<Wish>();
  for (const wish of sets) refuseElsewhere(wish, resolved.mechanisms);
  for (const mechanism of resolved.mechanisms) {
    const changes: Change[] = wanted ? [{ do: 'set', object: '', property: 'made', value: wanted.name }] : [];
    const ground = { mechanism, designOf: (file: string) => (file === resolved.file ? design : undefined) };
    sets.forEach((wish, i) => {
      const change: Change = { do: 'set', ...addressed(wish, mechanism), value: mark(i) };
      // A let is one value; of all else one of its values is set.
      if ((change.property === '') !== letsOf(design, mechanism).includes(change.object)) return;
      if (!editsFor([change], ground).length) return;
      met.add(wish);
      changes.push(change);
    });
    if (!changes.length) continue;
    const files = editsFor(changes, ground);
    if (!files.length) throw new Refusal(`${sayAll({ process, sets })}: these cannot be set together`);
    for (const each of files.flatMap((file) => file.edits)) {
      // A value of a process or a material is put in once for all mechanisms.
      if (!edits.some(({ from, to, text }) => from === each.from && to === each.to && text === each.text)) {
        edits.push(each);
      }
    }
  }
  const missed = sets.find((wish) => !met.has(wish));
  if (missed) {
    throw new Refusal(`cannot set ${missed.said} in ${path}: ${missedBecause(missed, resolved, document, documents)}`);
  }
  return filledIn(
    edits.sort((a, b) => a.from - b.from || a.to - b.to),
    sets,
  );
}

/** @throws Refusal for what only the mechanism itself says, asked of a part or of a name that nothing has. */
function refuseElsewhere({ said, object, property, value }: Wish, mechanisms: readonly Mechanism[]): void {
  const [word] = property.split(' ');
  if (!statements.includes(word!) || mechanisms.some(({ name }) => name === object)) return;
  const whole = [word, property === 'count times' ? 'times' : undefined].filter(Boolean).join('.');
  throw new Refusal(`--set ${said}: ${word} is said of the mechanism, not of a part; write ${whole}=${value}`);
}

function letsOf(design: Design, { place }: Mechanism): string[] {
  const node = design.statements[place.top];
  return node?.$type === 'Mechanism' ? node.members.flatMap((each) => (each.$type === 'Let' ? each.name : [])) : [];
}

/** The object and the property that a wish means in a mechanism; `count.times` and `runs` are its own statements. */
function addressed({ object, property }: Wish, { name }: Mechanism): { object: string; property: string } {
  if (object === name) return { object: '', property };
  return statements.includes(object)
    ? { object: '', property: `${object} ${property}`.trimEnd() }
    : { object, property };
}

// While edits are made, a sign that no text holds stands for each value, so that it is found again in them.
const mark = (index: number): string => `\ue000${index}\ue001`;
const marks = /\ue000(\d+)\ue001/g;

function filledIn(marked: readonly TextEdit[], sets: readonly Wish[]): { edits: TextEdit[]; values: PutValue[] } {
  const values: PutValue[] = [];
  let moved = 0;
  const edits = marked.map(({ from, to, text }) => {
    let filled = '';
    let end = 0;
    for (const { 0: whole, 1: index, index: at } of text.matchAll(marks)) {
      const wish = sets[Number(index)]!;
      filled += text.slice(end, at);
      const start = from + moved + filled.length;
      values.push({ wish, from: start, to: start + wish.value.length });
      filled += wish.value;
      end = at + whole.length;
    }
    filled += text.slice(end);
    moved += filled.length - (to - from);
    return { from, to, text: filled };
  });
  return { edits, values };
}

/** Why a wish meets nothing in the design, and what can be set. */
function missedBecause(
  { object, property }: Wish,
  { mechanisms }: Analysis['resolved'],
  document: DesignDocument,
  documents: LangiumDocuments,
): string {
  for (const kind of ['Process', 'Material']) {
    const found = visibleDesigns(document.uri, documents)
      .map((design) => definitionsIn(design, kind).first.get(object))
      .find((each) => each !== undefined);
    if (!found) continue;
    const { uri } = AstUtils.getDocument(found);
    const where = isLibraryFile(uri.toString()) ? 'the library' : 'an imported file';
    return `${object} is a ${kind.toLowerCase()} of ${where}; describe your own in a file and give it with --process FILE`;
  }
  const design = document.parseResult.value;
  const own = design.statements.flatMap((each) =>
    each.$type === 'Process' || each.$type === 'Material' ? each.name : [],
  );
  const lets = mechanisms.flatMap((each) => letsOf(design, each));
  const parts = mechanisms.flatMap((each) => [each.name, ...partsOf(each).map(({ name }) => name)]);
  const names = new Set([...parts, ...lets, ...own]);
  if (lets.includes(object)) return `${object} is one value: ${object}=VALUE`;
  if (names.has(object)) return property ? 'it has no such value' : `say which of its values: ${object}.PROPERTY=VALUE`;
  const [near] = nearest(object, new Set([...names, 'limits', ...statements]), 1);
  if (near) return `did you mean ${near}?`;
  return (
    'no part is called so; what can be set are values of parts, of a let, of limits, of every cam, segment, gear, mesh ' +
    `or shaft, of processes and materials of the file itself, and ${statements.join(', ')}, count.times`
  );
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

const sayAll = ({ process, sets }: Wishes): string =>
  [...(process === undefined ? [] : [`--process ${process}`]), ...sets.map(({ said }) => `--set ${said}`)].join(' ');

/** A value in whose text another property, part or statement begins is more than a value. */
export function refuseStructure(values: readonly PutValue[], design: Design): void {
  if (!values.length) return;
  for (const node of AstUtils.streamAllContents(design)) {
    const begins = isStatement(node) || isMember(node) || node.$type === 'Property';
    // Options of a bar belong to its one value.
    if (!begins || node.$container?.$type === 'Property') continue;
    const at = node.$cstNode?.offset ?? -1;
    const within = values.find(({ from, to }) => from <= at && at < to);
    if (within) refuseValue(within.wish.said);
  }
}

/** Values that cannot be put in are the caller's mistake, not the design's. */
export function refuseNonsense(before: Analysis, after: Analysis, wishes: Wishes): void {
  const ofText = (analysis: Analysis): Finding[] =>
    [...analysis.findings].filter(
      (finding) =>
        finding.severity === 'error' && !analysis.mechanisms.some(({ findings }) => findings.includes(finding)),
    );
  const old = new Set(ofText(before).map(({ code, message }) => `${code} ${message}`));
  const fresh = ofText(after).find(({ code, message }) => !old.has(`${code} ${message}`));
  if (fresh) throw new Refusal(`${sayAll(wishes)}: ${fresh.message}`);
}
