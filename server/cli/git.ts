/**
 * What git keeps of a file: `REV:path`, as git itself writes it. Nothing here writes; git is started without a shell, and
 * gives the bytes as they were committed.
 */
import { spawnSync } from 'node:child_process';
import { posix } from 'node:path';
import { Refusal } from './arguments.ts';
import { greatest } from './files.ts';

/** A file as a revision has it. */
export interface Committed {
  readonly revision: string;
  /** From the top of the repository. */
  readonly path: string;
}

/** @throws Refusal for what git would take for an option. */
function refuseOption(revision: string, said: string): void {
  if (revision.startsWith('-')) throw new Refusal(`${said}: no revision begins with a dash`);
}

/** Runs git in a folder; what it prints, or undefined where it fails. */
function run(words: readonly string[], folder: string, input?: string): Buffer | undefined {
  const { stdout, status, error } = spawnSync('git', words, {
    cwd: folder,
    maxBuffer: 16 * greatest,
    ...(input !== undefined && { input }),
    stdio: [input === undefined ? 'ignore' : 'pipe', 'pipe', 'ignore'],
    windowsHide: true,
  });
  if ((error as NodeJS.ErrnoException | undefined)?.code === 'ENOENT')
    throw new Refusal('git cannot be started; install it, or compare two files');
  return error || status !== 0 ? undefined : stdout;
}

/** `REV:path` taken apart; undefined for what is written otherwise (`C:\…` is a path of Windows). */
export function committedIn(said: string, folder = process.cwd()): Committed | undefined {
  const at = said.indexOf(':');
  if (at < 0 || /^[A-Za-z]:[\\/]/.test(said)) return undefined;
  const [revision, path] = [said.slice(0, at), said.slice(at + 1)];
  if (!path) throw new Refusal(`${said} names no file: REV:path, such as HEAD:berth-sign.lobe`);
  refuseOption(revision, said);
  // As git has it: from the top, unless it says that it is from here.
  if (!/^\.{1,2}\//.test(path)) return { revision, path: posix.normalize(path) };
  return { revision, path: posix.join(prefixOf(folder, said), path) };
}

/** The file of a folder as a revision has it. */
export function committedHere(revision: string, folder: string, name: string): Committed {
  const said = `${revision}:${name}`;
  refuseOption(revision, said);
  return { revision, path: posix.join(prefixOf(folder, said), name) };
}

/** Where a folder lies in its repository: '' or 'designs/'. */
function prefixOf(folder: string, said: string): string {
  const prefix = run(['rev-parse', '--show-prefix'], folder);
  if (!prefix) throw new Refusal(`cannot read ${said}: this folder is in no git repository`);
  return prefix.toString('utf8').replace(/\r?\n$/, '');
}

/** The text of a committed file; undefined where there is none of that name. */
export function committedText({ revision, path }: Committed, folder = process.cwd()): string | undefined {
  const bytes = run(['cat-file', 'blob', `${revision}:${path}`], folder);
  return bytes && bytes.length <= greatest ? textOf(bytes) : undefined;
}

function textOf(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** Whether git knows a revision of this name here; without git it knows none. */
export function isRevision(name: string): boolean {
  try {
    return !name.startsWith('-') && run(['rev-parse', '--verify', '--quiet', `${name}^{commit}`], '.') !== undefined;
  } catch {
    return false;
  }
}

/** Why a committed file cannot be read. */
export function whyNot({ revision, path }: Committed, folder = process.cwd()): string {
  if (!run(['rev-parse', '--git-dir'], folder)) return 'this folder is in no git repository';
  const tree = revision === '' || run(['rev-parse', '--verify', '--quiet', `${revision}^{tree}`], folder);
  if (!tree) return `git knows no revision ${revision}`;
  const where = revision === '' ? 'the index' : revision;
  if (!run(['cat-file', '-e', `${revision}:${path}`], folder)) return `there is no ${path} in ${where}`;
  return `${path} in ${where} is no text (UTF-8), or too large for a design`;
}

/** All tags of the repository, the oldest first; of one moment in the order of their numbers. */
export function tagsIn(folder: string): string[] {
  const words = [
    'for-each-ref',
    'refs/tags',
    '--sort=version:refname',
    '--sort=creatordate',
    '--format=%(refname:short)',
  ];
  const listed = run(words, folder);
  if (!listed) throw new Refusal('this folder is in no git repository, so that there are no tags to compare');
  return listed.toString('utf8').split('\n').filter(Boolean);
}

/** The texts of one file in many revisions, with one start of git; undefined where a revision has none. */
export function committedTexts(revisions: readonly string[], path: string, folder: string): (string | undefined)[] {
  const asked = revisions.map((revision) => `${revision}:${path}\n`).join('');
  const answer = run(['cat-file', '--batch'], folder, asked);
  let at = 0;
  return revisions.map(() => {
    const end = answer?.indexOf(0x0a, at) ?? -1;
    if (!answer || end < 0) return undefined;
    const [, kind, size] = /^[0-9a-f]+ (\w+) (\d+)$/.exec(answer.toString('utf8', at, end)) ?? [];
    at = end + 1;
    if (size === undefined) return undefined;
    const bytes = answer.subarray(at, at + Number(size));
    at += Number(size) + 1;
    return kind === 'blob' ? textOf(bytes) : undefined;
  });
}

/** The difference of two files as git tells it of any text. */
export function textualDiff(old: string, now: string): string {
  const words = ['diff', '--no-index', '--no-ext-diff', '--no-textconv', '--no-color', '--', old, now];
  const { stdout } = spawnSync('git', words, { maxBuffer: 16 * greatest, stdio: ['ignore', 'pipe', 'ignore'] });
  return stdout?.toString('utf8') ?? '';
}

/**
 * The revision that has a file with this hash: the newest commit or the index. Undefined for any other: git hands over
 * versions without their revision.
 */
export const revisionWith = (path: string, hash: string, folder = process.cwd()): string | undefined =>
  isHash(hash) ? ['HEAD', ''].find((revision) => hashOf({ revision, path }, folder).startsWith(hash)) : undefined;

const isHash = (text: string): boolean => /^[0-9a-f]{7,}$/.test(text) && !/^0+$/.test(text);

const hashOf = ({ revision, path }: Committed, folder: string): string =>
  run(['rev-parse', '--verify', '--quiet', `${revision}:${path}`], folder)
    ?.toString('utf8')
    .trim() ?? '';
