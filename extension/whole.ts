/** Files written whole, wherever they lie: beside their place first, then in it. */

/** What of an address matters here; the editor's own has more. */
export interface Address {
  readonly path: string;
  with(change: { readonly path: string }): this;
}

/** What of the editor's file system matters here. */
export interface Files<At extends Address> {
  writeFile(at: At, content: Uint8Array): PromiseLike<void>;
  rename(from: At, to: At, options: { readonly overwrite: boolean }): PromiseLike<void>;
  delete(at: At): PromiseLike<void>;
}

/** Where a file is written before it takes its place; `mark` keeps two that are written at once apart. */
export function beside<At extends Address>(target: At, mark: string): At {
  const cut = target.path.lastIndexOf('/') + 1;
  return target.with({ path: `${target.path.slice(0, cut)}.${target.path.slice(cut)}.${mark}.part` });
}

/** A failure, or `stillWanted` saying no at the last moment, leaves what was there as it was; false where it is not wanted. */
export async function writeWhole<At extends Address>(
  files: Files<At>,
  target: At,
  content: Uint8Array,
  mark: string,
  stillWanted: () => boolean,
): Promise<boolean> {
  const first = beside(target, mark);
  try {
    await files.writeFile(first, content);
    if (stillWanted()) {
      await files.rename(first, target, { overwrite: true });
      return true;
    }
  } catch (failure) {
    await Promise.resolve(files.delete(first)).catch(() => undefined);
    throw failure;
  }
  await Promise.resolve(files.delete(first)).catch(() => undefined);
  return false;
}
