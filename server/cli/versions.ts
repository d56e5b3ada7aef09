/** Versions of a design: as files have it, and as git has kept it. Apart from `designs.ts`, so that what needs no git starts without it. */
import { existsSync } from 'node:fs';
import { basename, dirname, resolve } from 'node:path';
import { URI } from 'langium';
import { Refusal } from './arguments.ts';
import { type Opened, openFile, openText, refuseBroken } from './designs.ts';
import { type Committed, committedHere, committedIn, committedText, isRevision, whyNot } from './git.ts';

/**
 * A design as a file has it, or as git does (`REV:path`): then what it brings in is read in that revision too.
 * @throws Refusal also where its text cannot be read whole, as what is left of it would look like parts taken out.
 */
export async function openVersion(said: string): Promise<Opened> {
  const committed = said === '-' || existsSync(said) ? undefined : committedIn(said);
  if (said !== '-' && !committed && !existsSync(said) && isRevision(said))
    throw new Refusal(`${said} is a revision of this repository; name a file in it: ${said}:berth-sign.lobe`);
  const opened = committed ? openCommitted(said, committed) : await openFile(said);
  refuseBroken(opened);
  return opened;
}

/** The committed version of a file, `HEAD` unless another revision is meant. */
export function openCommittedOf(file: string, revision = 'HEAD'): Opened {
  const [folder, name] = [dirname(resolve(file)), basename(file)];
  const opened = openCommitted(`${revision}:${file}`, committedHere(revision, folder, name), folder);
  refuseBroken(opened);
  return opened;
}

/** `text` may be at hand. */
export function openCommitted(said: string, committed: Committed, folder = process.cwd(), text?: string): Opened {
  const own = text ?? committedText(committed, folder);
  if (own === undefined) throw new Refusal(`cannot read ${said}: ${whyNot(committed, folder)}`);
  return openApart(said, committed.path, own, (path) => committedText({ ...committed, path }, folder));
}

/**
 * A version of a design that stands apart from the files on the disk and from all other versions; `path` is from the top
 * of the repository, as is that of what it brings in, out of which no `..` leads.
 */
export function openApart(
  said: string,
  path: string,
  text: string,
  read: (path: string) => string | undefined,
): Opened {
  const root = URI.parse(`version://${versions++}/`);
  const uri = root.with({ path: `/${path}` }).toString();
  return openText(said, uri, text, undefined, (other) => {
    const { scheme, authority, path } = URI.parse(other);
    return scheme === root.scheme && authority === root.authority ? read(path.slice(1)) : undefined;
  });
}

let versions = 0;
