/**
 * The proof of a fix: it is carried out on a copy of the text, the copy goes the whole way, and the fix is true only
 * if its finding is gone and no new error or warning stands. Pure: texts are asked of the caller.
 */

import { type FileEdits, type TextEdit, type Way, waysFor } from '../language/edits.ts';
import { type Design, isMechanism } from '../language/generated/ast.ts';
import { isLibraryFile } from '../language/library.ts';
import type { Finding, Fix, Mechanism } from '../language/mechanism.ts';
import {
  createLobeServices,
  type DesignDocument,
  type LobeServices,
  openDesign,
  type Read,
  readDesign,
} from '../language/services.ts';
import { type Analysis, analysingFinely, refining } from './analysis.ts';
import { findingKey, nothingGraver, tally } from './checks/tally.ts';
import { finished } from './reckon/pausing.ts';

/** The text that findings were found in. */
export interface Scene {
  readonly document: DesignDocument;
  readonly analysis: Analysis;
  /** The syntax tree of another file that the fix may write. */
  readonly designOf: (file: string) => Design | undefined;
  /** The text of another file. */
  readonly read: Read;
}

/** A fix with the edits that carry it out. */
export interface ProvedFix {
  readonly title: string;
  readonly files: readonly FileEdits[];
}

/** A text with edits carried out; they are in its order and do not touch. */
export function applied(text: string, edits: readonly TextEdit[]): string {
  let result = '';
  let at = 0;
  for (const { from, to, text: put } of edits) {
    result += text.slice(at, from) + put;
    at = to;
  }
  return result + text.slice(at);
}

/** The usual way to carry out a fix, if it is proved to be true; undefined otherwise. */
export function proveFix(finding: Finding, fix: Fix, scene: Scene): ProvedFix | undefined {
  const [way] = waysFor(fix.changes, groundOf(finding, scene));
  return way && proveWay(finding, fix, way, scene, mends);
}

/** The same of an `accept` statement, which only has to let the finding pass: what stood hidden behind it may be told. */
export function proveAcceptance(finding: Finding, fix: Fix, scene: Scene): ProvedFix | undefined {
  const [way] = waysFor(fix.changes, groundOf(finding, scene));
  return way && proveWay(finding, fix, way, scene, isGone);
}

/** All ways to carry out a fix that are proved to be true: on the part alone, and where its value is given a name. */
export function proveWays(finding: Finding, fix: Fix, scene: Scene): ProvedFix[] {
  return waysFor(fix.changes, groundOf(finding, scene)).flatMap(
    (way) => proveWay(finding, fix, way, scene, mends) ?? [],
  );
}

function proveWay(
  finding: Finding,
  fix: Fix,
  { through, files }: Way,
  scene: Scene,
  holds: typeof mends,
): ProvedFix | undefined {
  if (!files.length) return undefined;
  const { alone, after } = carriedOut(files, finding.place.top, scene);
  const counted = ({ place }: Finding) => alone === undefined || place.top === alone;
  const before = finished(refining(scene.analysis, scene.document));
  const isTrue = holds(finding, before.findings.filter(counted), after.findings.filter(counted));
  const title = through === undefined ? fix.title : `${fix.title}, by ${through} for all that use it`;
  return isTrue ? { title, files } : undefined;
}

/**
 * The analysis of a copy of the text with edits of its statement number `top` carried out. Where they lie in that one
 * mechanism, `alone` says so: the others are then empty in the copy.
 */
export const carriedOut = (files: readonly FileEdits[], top: number, scene: Scene): CarriedOut =>
  finished(carryingOut(files, top, scene));

interface CarriedOut {
  readonly alone: number | undefined;
  readonly after: Analysis;
}

/** The same; pauses often. */
export function* carryingOut(
  files: readonly FileEdits[],
  top: number,
  { analysis, document, read }: Scene,
): Generator<void, CarriedOut> {
  const own = analysis.file;
  const alone = within(document, top, files, own);
  const text = document.textDocument.getText();
  const ground = alone === undefined ? text : withOthersEmpty(text, document.parseResult.value, alone);
  const changed = new Map(
    files.map(({ file, edits }) => [file, applied(file === own ? ground : (read(file) ?? ''), edits)]),
  );
  const { LangiumDocuments: documents } = scratchServices().shared.workspace;
  yield;
  const copy = openAfresh(own, (file) => changed.get(file) ?? (file === own ? ground : read(file)));
  yield;
  return { alone, after: yield* analysingFinely(copy, documents, alone === undefined ? analysis : undefined) };
}

/** What the changes of a finding, or of a mechanism, are made to. */
export function groundOf({ place }: Pick<Finding, 'place'>, { analysis, document, designOf }: Scene) {
  const mechanism: Mechanism | undefined = analysis.resolved.mechanisms.find((one) => one.place.top === place.top);
  const own = document.parseResult.value;
  return {
    ...(mechanism && { mechanism }),
    designOf: (file: string) => (isLibraryFile(file) ? undefined : file === analysis.file ? own : designOf(file)),
  };
}

/** The one mechanism that all edits lie in; undefined where they touch anything else. */
function within(document: DesignDocument, top: number, files: readonly FileEdits[], own: string): number | undefined {
  const statement = document.parseResult.value.statements[top];
  const whole = statement?.$cstNode;
  if (!isMechanism(statement) || !whole || files.length !== 1 || files[0]!.file !== own) return undefined;
  return files[0]!.edits.every(({ from, to }) => from > whole.offset && to < whole.end) ? top : undefined;
}

/** The text with all other mechanisms' blocks blank: what stands where it stood, and is quickly read. */
function withOthersEmpty(text: string, { statements }: Design, top: number): string {
  const blank: TextEdit[] = statements.flatMap((statement, index) => {
    const whole = statement.$cstNode;
    if (index === top || !whole || !isMechanism(statement)) return [];
    const open = text.indexOf('{', whole.offset);
    if (open < 0 || open >= whole.end || text[whole.end - 1] !== '}') return [];
    return [{ from: open + 1, to: whole.end - 1, text: ' '.repeat(whole.end - open - 2) }];
  });
  return applied(text, blank);
}

/** Whether a finding that stood before is gone from all parts it is about, and nothing worse than information is new. */
function mends(finding: Finding, before: readonly Finding[], after: readonly Finding[]): boolean {
  return isGone(finding, before, after) && nothingGraver(before, after);
}

function isGone({ code, about }: Finding, before: readonly Finding[], after: readonly Finding[]): boolean {
  const [stood, stands] = [tally(before), tally(after)];
  const names = (about.length ? about : [undefined]).map((name) => findingKey(code, name));
  return names.every((name) => (stands.get(name) ?? 0) < (stood.get(name) ?? 0));
}

let scratch: LobeServices | undefined;

function scratchServices(): LobeServices {
  if (!scratch) {
    scratch = createLobeServices();
    // The library, which every copy reads.
    readDesign(scratch, '');
  }
  return scratch;
}

/** Reads a copy with services of its own, which remember nothing of the copies before. */
function openAfresh(uri: string, read: Read): DesignDocument {
  const services = scratchServices();
  const { LangiumDocuments: documents } = services.shared.workspace;
  for (const document of documents.all.toArray()) {
    if (!isLibraryFile(document.uri.toString())) documents.deleteDocument(document.uri);
  }
  return openDesign(services, uri, read);
}
