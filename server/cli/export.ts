/** `export`: the parts as files in a folder, checked as they were generated, and their list. */
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join, resolve } from 'node:path';
import type { Mechanism } from '../../language/mechanism.ts';
import { nearest } from '../../language/near.ts';
import type { Doing, PartFiles } from '../outputs/parts/files.ts';
import { type Folder, type Put, putInto } from '../outputs/parts/folder.ts';
import { type Format, formats } from '../outputs/parts/formats.ts';
import type { MotionFigures } from '../reckon/figures.ts';
import { fingerprintOf } from '../reckon/parts/fingerprint.ts';
import type { PrintedPart } from '../reckon/parts/part.ts';
import { blanksOf, type Parts, partsOf } from '../reckon/parts/parts.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { assembled, partsMaker } from './crew.ts';
import { isStandingError, mechanismIn, openFile, refuseBroken } from './designs.ts';
import { because, print } from './files.ts';
import type { Status } from './verbs.ts';
import { openCommittedOf } from './versions.ts';

export async function exportParts(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length)
    throw new Refusal('export wants one FILE; lobewright export --help tells more');
  const kinds = formatsIn(lastOf(given, 'as') ?? '3mf');
  const revision = lastOf(given, 'again-since');
  const only = lastOf(given, 'mechanism');
  // They get ready while the design is read.
  const crew = assembled();
  const making = (
    mechanism: Mechanism,
    figures: MotionFigures,
    all: Parts,
    parts: readonly PrintedPart[] = all.parts,
  ): Making => {
    const wanted = { mechanism, figures, all, parts, formats: kinds, unchecked: given.options.has('unchecked') };
    return begun(mechanism, partsMaker().partFiles(crew, wanted));
  };
  // Where all parts are wanted, others begin with them while the design is checked.
  let early: Making | undefined;
  const opened = await openFile(path, given, (mechanism, motion, stack) => {
    if (!given.options.has('parts') && revision === undefined && (only ?? mechanism.name) === mechanism.name)
      early ??= making(mechanism, motion, partsOf(mechanism, motion, stack));
  });
  refuseBroken(opened);
  const known = mechanismIn(opened, only);
  const { mechanism, figures } = known;
  const folder = resolve(lastOf(given, 'out') ?? (path === '-' ? 'parts' : `${basename(path, extname(path))}-parts`));
  const all = partsOf(mechanism, figures, figures.stack);
  const asked = chosen(all, lastOf(given, 'parts'), path);
  const parts = revision === undefined ? asked : changedSince(path, revision, mechanism.name, asked);
  const { files, told } = await generated(
    early?.mechanism === mechanism ? early : making(mechanism, figures, all, parts),
  );
  const { written, removed } = await intoFolder(folder, files, given.options.has('force'));
  const kept = asked.length - parts.length;
  const count = `${parts.length} ${parts.length === 1 ? 'part' : 'parts'}`;
  const lines = [
    `${count} of ${mechanism.name} in ${folder}: ${written.length} files written`,
    ...(removed.length ? [`of an earlier export, taken away: ${removed.join(', ')}`] : []),
    ...(revision === undefined ? [] : [`since ${revision}: ${kept} as they were, not written`]),
    ...told,
  ];
  print(lines.map((line) => `${line}\n`).join(''));
  return known.findings.some(isStandingError) || told.some((line) => line.startsWith('wrong:')) ? 1 : 0;
}

function formatsIn(said: string): Format[] {
  return said.split(',').map((word) => {
    const name = word.trim().toLowerCase();
    const found = formats.find((format) => format === name);
    if (!found) throw new Refusal(`--as ${said}: no format '${word.trim()}'; there are ${formats.join(', ')}`);
    return found;
  });
}

function chosen({ parts }: Parts, said: string | undefined, path: string): readonly PrintedPart[] {
  if (said === undefined) return parts;
  const names = parts.map(({ name }) => name);
  return said.split(',').map((word) => {
    const found = parts.find(({ name }) => name === word.trim());
    if (found) return found;
    const [near] = nearest(word.trim(), names, 1);
    throw new Refusal(
      `${path} has no part ${word.trim()}; ${near ? `did you mean ${near}?` : `it has ${names.join(', ')}`}`,
    );
  });
}

/** The parts whose shape the committed version of the design does not have under their name. */
function changedSince(path: string, revision: string, name: string, parts: readonly PrintedPart[]) {
  if (path === '-') throw new Refusal('--again-since wants a file that git knows, not standard input');
  const old = openCommittedOf(path, revision).analysis.mechanisms.find(({ mechanism }) => mechanism.name === name);
  const before = old ? blanksOf(old.mechanism, old.figures, old.figures.stack).blanks : [];
  const prints = new Map(before.map((blank) => [blank.name, fingerprintOf(blank)]));
  return parts.filter((part) => prints.get(part.name) !== fingerprintOf(part));
}

const progress = (line: string): void => {
  if (process.stderr.isTTY) process.stderr.write(`\r\u001b[K${line}`);
};

/** Parts that are being made: the first step is on its way. */
interface Making {
  readonly mechanism: Mechanism;
  readonly steps: AsyncGenerator<Doing, PartFiles>;
  readonly first: Promise<IteratorResult<Doing, PartFiles>>;
}

function begun(mechanism: Mechanism, steps: Making['steps']): Making {
  const first = steps.next();
  // Told where it is awaited, if it ever is.
  first.catch(() => {});
  return { mechanism, steps, first };
}

/** The files of the parts, and what is told of them. */
async function generated({ steps, first }: Making): Promise<PartFiles> {
  for (let step = first; ; step = steps.next()) {
    const { done, value } = await step;
    progress(done ? '' : value);
    if (done) return value;
    // Others, such as the key that ends it, have their turn in between.
    await new Promise(setImmediate);
  }
}

// ---- the folder -----------------------------------------------------------------------------------------

/** A folder on the disk. */
function folderAt(path: string): Folder {
  const at = (name: string) => join(path, name);
  return {
    read: async (name) => (existsSync(at(name)) ? readFileSync(at(name)) : undefined),
    write: async (name, bytes) => {
      mkdirSync(dirname(at(name)), { recursive: true });
      writeFileSync(at(name), bytes);
    },
    move: async (from, to) => renameSync(at(from), at(to)),
    remove: async (name) => rmSync(at(name), { recursive: true, force: true }),
  };
}

type Written = Extract<Put, { readonly written: unknown }>;

/** @throws Refusal where something stands in the way, or cannot be written; the folder is then as it was. */
async function intoFolder(path: string, files: PartFiles['files'], force: boolean): Promise<Written> {
  if (existsSync(path) && !statSync(path).isDirectory())
    throw new Refusal(`${path} is a file; name a folder with --out`);
  const isNew = !existsSync(path);
  let put: Put;
  try {
    put = await putInto(folderAt(path), files, { force, isWanted: () => true, mark: `${process.pid}` });
  } catch (failure) {
    if (isNew && existsSync(path)) rmSync(path, { recursive: true });
    throw new Refusal(`cannot write to ${path}, which is left as it was: ${because(failure)}`);
  }
  if ('strange' in put)
    throw new Refusal(
      `${join(path, put.strange[0])} was not written by this tool, or was changed since; --force overwrites it`,
    );
  return 'written' in put ? put : { written: [], removed: [] };
}
