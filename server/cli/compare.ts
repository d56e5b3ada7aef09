/** `compare`: what a new version changes; of two files, of what git hands over, of all tags of a repository. */
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Comparison, compared, type Design, partsDiffer } from '../outputs/compare/comparison.ts';
import { comparisonJson } from '../outputs/compare/json.ts';
import { sheetText } from '../outputs/compare/sheet-written.ts';
import { changesNothing, comparisonMarkdown, comparisonText, type Titles } from '../outputs/compare/written.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { type Opened, openFile, refuseBroken } from './designs.ts';
import { print, readImport, readText, writeOut } from './files.ts';
import { committedText, revisionWith, textualDiff } from './git.ts';
import type { Status } from './verbs.ts';
import { openApart, openCommittedOf, openVersion } from './versions.ts';

export async function compare(given: Arguments): Promise<Status> {
  const modes = ['git-diff', 'textconv', 'tags'].filter((mode) => given.options.has(mode));
  if (modes.length > 1) throw new Refusal(`--${modes[0]} does not go with --${modes[1]}`);
  if (modes.length && modes[0] !== 'tags' && given.options.has('format'))
    throw new Refusal(`--${modes[0]} is for git, which reads text; leave --format out`);
  switch (modes[0]) {
    case 'git-diff':
      return gitDiff(given);
    case 'textconv':
      return textconv(given);
    case 'tags':
      return (await import('./releases.ts')).releases(given);
    default:
      return versions(given);
  }
}

async function versions(given: Arguments): Promise<Status> {
  const [first, second, ...more] = given.files;
  if (first === undefined || more.length) throw new Refusal(`compare wants OLD and NEW; ${helps}`);
  if (first === '-' && (second ?? '-') === '-')
    throw new Refusal('standard input can be OLD or NEW, and wants another file beside it');
  if (second === undefined && first.includes(':') && !existsSync(first))
    throw new Refusal(`${first} is a version that git keeps; say with what to compare it: compare ${first} FILE`);
  const old = second === undefined ? openCommittedOf(first) : await openVersion(first);
  const now = await openVersion(second ?? first);
  const comparison = compared(designIn(old), designIn(now));
  tell(given, written(comparison, lastOf(given, 'format') ?? 'text', { old: old.path, now: now.path }));
  return partsDiffer(comparison) ? 1 : 0;
}

const helps = 'lobewright compare --help tells more';

function tell(given: Arguments, said: string): void {
  const out = lastOf(given, 'out');
  if (out === undefined) print(said);
  else writeOut(out, said);
}

/** What is compared of a file that was read. */
export const designIn = ({ analysis: { resolved, mechanisms, findings } }: Opened): Design => ({
  glyphs: resolved.glyphs,
  processes: resolved.processes,
  materials: resolved.materials,
  mechanisms,
  findings,
});

function written(comparison: Comparison, format: string, titles: Titles): string {
  if (format === 'json') return `${JSON.stringify(comparisonJson(comparison, titles), undefined, 2)}\n`;
  return format === 'markdown' ? comparisonMarkdown(comparison, titles) : comparisonText(comparison, titles);
}

// ---- for git --------------------------------------------------------------------------------

/**
 * What git asks an external diff: path, old file, its hash and mode, new file, its hash and mode; where a file was
 * renamed also the new path and a message; of a file that is not merged the path alone. Git stops at any status but 0.
 */
async function gitDiff(given: Arguments): Promise<Status> {
  const [path, oldFile, oldHash, , newFile, newHash, , newPath = path] = given.files;
  if (path === undefined || ![1, 7, 9].includes(given.files.length))
    throw new Refusal('--git-diff is for git, which gives it seven words; the documentation tells how to set it up');
  if (oldFile === undefined || newFile === undefined) {
    tell(given, `${path} is not merged\n`);
    return 0;
  }
  const titles = { old: `a/${path}`, now: `b/${newPath}` };
  try {
    const old = await handedOver(titles.old, oldFile, oldHash!, path);
    const now = await handedOver(titles.now, newFile, newHash!, newPath!);
    const comparison = compared(old, now);
    if (!changesNothing(comparison)) tell(given, comparisonText(comparison, titles));
    else if (newPath !== path) tell(given, `${titles.old} → ${titles.now}: nothing of the mechanism changes\n`);
  } catch (failure) {
    if (!(failure instanceof Refusal)) throw failure;
    tell(given, `${failure.message}\n${textualDiff(oldFile, newFile)}`);
  }
  return 0;
}

const nothing: Design = { glyphs: [], processes: [], materials: [], mechanisms: [], findings: [] };

/**
 * A version as git hands it over, perhaps in a file far from what it imports. That is read in the revision which the
 * version is of, where it is the newest commit or the index, else as it stands in the working tree.
 */
async function handedOver(title: string, file: string, hash: string, path: string): Promise<Design> {
  if (file === '/dev/null' || file === 'nul') return nothing;
  let revision: string | undefined | 'unasked' = 'unasked';
  const opened = openApart(title, path, await readText(file), (other) => {
    if (revision === 'unasked') revision = revisionWith(path, hash);
    return revision === undefined
      ? readImport(pathToFileURL(resolve(other)).href)
      : committedText({ revision, path: other });
  });
  refuseBroken(opened);
  return designIn(opened);
}

/** The design of one file as lines of text, which git then compares by itself. */
async function textconv(given: Arguments): Promise<Status> {
  const [file, ...more] = given.files;
  if (file === undefined || more.length) throw new Refusal(`--textconv wants one FILE; ${helps}`);
  const opened = await openFile(file);
  const { broken } = opened.analysis;
  tell(given, broken ? `cannot be read whole: ${broken.message}\n\n${opened.text}` : sheetText(designIn(opened)));
  return 0;
}
