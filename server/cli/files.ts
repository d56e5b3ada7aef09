/** Files as the command line meets them: read whole, written whole, and one clear sentence where that fails. */
import { readFileSync, realpathSync, renameSync, rmSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';
import { Refusal } from './arguments.ts';
import { compiled } from './compiled.ts';

/** Designs are text of a few kilobytes; what is larger than this is no design (bytes). */
export const greatest = 16 * 1024 * 1024;

/** The files that this run has read, which no output may be written over. */
const readHere = new Set<string>();

/**
 * The text of a design file, `-` for standard input; a byte order mark is dropped.
 * @throws Refusal if there is no such file, or it is a folder, unreadable, huge or no text.
 */
export async function readText(path: string): Promise<string> {
  const name = path === '-' ? 'standard input' : path;
  let bytes: Buffer;
  try {
    if (path === '-') {
      bytes = await readInput();
    } else {
      const found = statSync(path);
      if (found.isDirectory()) throw new Refusal(`${name} is a folder; name a .lobe file in it`);
      if (found.size > greatest) throw new Refusal(`${name} is too large for a design (over 16 MB)`);
      bytes = readFileSync(path);
      readHere.add(realpathSync(path));
    }
  } catch (failure) {
    throw failure instanceof Refusal ? failure : new Refusal(`cannot read ${name}: ${because(failure)}`);
  }
  if (bytes.length > greatest) throw new Refusal(`${name} is too large for a design (over 16 MB)`);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal(`${name} is not text (UTF-8)`);
  }
}

async function readInput(): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let length = 0;
  for await (const chunk of process.stdin) {
    chunks.push(chunk as Buffer);
    length += chunks.at(-1)!.length;
    if (length > greatest) break;
  }
  return Buffer.concat(chunks);
}

/**
 * Writes what was asked for with `--out`.
 * @throws Refusal if it would take the place of what was read, or cannot be written.
 */
export const writeOut = (path: string, content: string | Uint8Array): void => put(path, content, readHere);

/**
 * Writes a file whole, over what was read too.
 * @throws Refusal if the place cannot be written.
 */
export const writeWhole = (path: string, content: string | Uint8Array): void => put(path, content, new Set());

/**
 * Beside it first, then in its place, so that a failure leaves the old file as it was. A link is followed, and
 * permissions are kept.
 */
function put(path: string, content: string | Uint8Array, spared: ReadonlySet<string>): void {
  let beside: string | undefined;
  try {
    const old = statSync(path, { throwIfNoEntry: false });
    if (old?.isDirectory()) throw new Refusal(`${path} is a folder; name a file in it`);
    if (old && !old.isFile()) {
      writeFileSync(path, content);
      return;
    }
    const target = old ? realpathSync(path) : path;
    if (spared.has(target)) {
      throw new Refusal(`${path} is what is read here, and would be lost; name another file with --out`);
    }
    beside = join(dirname(target), `.lobewright.${process.pid}.part`);
    writeFileSync(beside, content, { mode: old?.mode ?? 0o666, flag: 'wx' });
    renameSync(beside, target);
  } catch (failure) {
    if (beside) rmSync(beside, { force: true });
    throw failure instanceof Refusal ? failure : new Refusal(`cannot write ${path}: ${because(failure)}`);
  }
}

/** Writes to standard output; a reader that has gone away ends the output quietly. */
export function print(content: string | Uint8Array): void {
  const bytes = typeof content === 'string' ? Buffer.from(content) : content;
  for (let at = 0; at < bytes.length; ) {
    try {
      at += writeSync(1, bytes, at);
    } catch (failure) {
      const { code } = failure as NodeJS.ErrnoException;
      if (code === 'EPIPE') return;
      if (code !== 'EAGAIN') throw new Refusal(`cannot write to standard output: ${because(failure)}`);
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1);
    }
  }
}

/** A failure of the file system in words. */
export function because(failure: unknown): string {
  const { code, message } = failure as NodeJS.ErrnoException;
  switch (code) {
    case 'ENOENT':
      return 'no such file or folder';
    case 'ENOTDIR':
      return 'a part of its path is a file, not a folder';
    case 'EACCES':
    case 'EPERM':
      return 'permission denied';
    case 'EROFS':
      return 'the disk is read-only';
    case 'ENAMETOOLONG':
      return 'its name is too long';
    case 'ENOSPC':
      return 'the disk is full';
    case 'EISDIR':
      return 'it is a folder';
    default:
      return message;
  }
}

/** An imported file; undefined if it cannot be read, which the design is then told of. */
export function readImport(uri: string): string | undefined {
  if (!uri.startsWith('file:')) return undefined;
  try {
    const path = fileURLToPath(uri);
    const found = statSync(path);
    if (!found.isFile() || found.size > greatest) return undefined;
    readHere.add(realpathSync(path));
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
}

/** A file that comes with the command line, beside it. */
export function shipped(name: string): Buffer {
  try {
    return readFileSync(join(__dirname, name));
  } catch {
    throw new Refusal(`this installation lacks ${name}; install Lobewright again`);
  }
}

/** A program that comes with it and is large: loaded only when it is asked for. */
export function shippedProgram<Made>(name: string): Made {
  const path = join(__dirname, name);
  if (!statSync(path, { throwIfNoEntry: false })) shipped(name);
  return compiled(path, isMainThread) as Made;
}
