/**
 * Parts' files put into a folder, all or none: they are written aside first, then each takes its place, and what it
 * takes the place of goes aside; where one cannot, all that was moved goes back. A list in the folder tells which files
 * are ours: one that is not, or was changed since, is overwritten only where that is said.
 */
import { bytesToHex } from '@noble/hashes/utils.js';
import { supersededBy } from './file-names.ts';

/** A folder by the names in it, `/` between them; it, and those on the way, are made where something is written. */
export interface Folder {
  /** Undefined where there is no such file. */
  read(name: string): Promise<Uint8Array | undefined>;
  write(name: string, bytes: Uint8Array): Promise<void>;
  move(from: string, to: string): Promise<void>;
  /** With all that is in it. */
  remove(name: string): Promise<void>;
}

export interface Putting {
  /** Overwrites what is not ours. */
  readonly force: boolean;
  /** Asked before the first file takes its place. */
  readonly isWanted: () => boolean;
  /** Keeps apart what is written aside at the same time. */
  readonly mark: string;
}

export type Put =
  /** `removed`: beds of an earlier export, whose place the new ones take. */
  | { readonly written: readonly string[]; readonly removed: readonly string[] }
  /** Files that are not ours: nothing was done. */
  | { readonly strange: readonly string[] }
  /** It was no longer wanted: nothing was done. */
  | { readonly cancelled: true };

/** Tells which files of a folder are ours: their names, and hashes of what was written. */
export const manifestName = '.lobewright-export.json';

type Manifest = Readonly<Record<string, string>>;

/** @throws what the folder throws; it then holds what it held before. */
export async function putInto(
  folder: Folder,
  files: ReadonlyMap<string, Uint8Array>,
  { force, isWanted, mark }: Putting,
): Promise<Put> {
  const manifest = manifestFrom(await folder.read(manifestName));
  const hashed = [...files].map(async ([name, bytes]) => [name, await hashOf(bytes)] as const);
  const hashes = new Map(await Promise.all(hashed));
  const changed: { readonly name: string; readonly bytes: Uint8Array; readonly old: boolean }[] = [];
  const strange: string[] = [];
  for (const [name, bytes] of files) {
    const there = await folder.read(name);
    const hash = there && (await hashOf(there));
    if (hash === hashes.get(name)) continue;
    if (hash !== undefined && hash !== ownIn(manifest, name)) strange.push(name);
    changed.push({ name, bytes, old: there !== undefined });
  }
  if (strange.length > 0 && !force) return { strange };
  const removed: string[] = [];
  for (const name of Object.keys(manifest).filter(supersededBy(files.keys()))) {
    const there = await folder.read(name);
    if (there && (await hashOf(there)) === ownIn(manifest, name)) removed.push(name);
  }
  const stays = (name: string) => !files.has(name) && !removed.includes(name);
  const sorted = Object.fromEntries(
    [...Object.entries(manifest).filter(([name]) => stays(name)), ...hashes].sort(([a], [b]) => (a < b ? -1 : 1)),
  );
  const list = new TextEncoder().encode(`${JSON.stringify(sorted, undefined, 2)}\n`);
  const old = (await folder.read(manifestName)) !== undefined;
  const all = [...changed, { name: manifestName, bytes: list, old }];
  const aside = `.parts-${mark}`;
  const undo: (readonly [from: string, to: string])[] = [];
  const move = async (from: string, to: string): Promise<void> => {
    await folder.move(from, to);
    undo.unshift([to, from]);
  };
  let isBack = true;
  try {
    for (const { name, bytes } of all) await folder.write(`${aside}/new/${name}`, bytes);
    await folder.write(`${aside}/old/.keep`, new Uint8Array());
    if (!isWanted()) return { cancelled: true };
    for (const { name, old } of all) {
      if (old) await move(name, `${aside}/old/${name}`);
      await move(`${aside}/new/${name}`, name);
    }
    for (const name of removed) await move(name, `${aside}/old/${name}`);
  } catch (failure) {
    isBack = false;
    for (const [from, to] of undo) await folder.move(from, to);
    isBack = true;
    throw failure;
  } finally {
    // Where old files could not go back, they are there.
    if (isBack) await folder.remove(aside).catch(() => undefined);
  }
  return { written: changed.map(({ name }) => name), removed };
}

/** SHA-256, by what the engine has for it: megabytes are hashed. */
const hashOf = async (bytes: Uint8Array): Promise<string> =>
  bytesToHex(new Uint8Array(await crypto.subtle.digest('SHA-256', bytes as Uint8Array<ArrayBuffer>)));

const ownIn = (manifest: Manifest, name: string): string | undefined =>
  Object.hasOwn(manifest, name) ? manifest[name] : undefined;

function manifestFrom(bytes: Uint8Array | undefined): Manifest {
  if (!bytes) return {};
  try {
    const read: unknown = JSON.parse(new TextDecoder().decode(bytes));
    return typeof read === 'object' && read !== null && !Array.isArray(read) ? (read as Manifest) : {};
  } catch {
    return {};
  }
}
