/** `compare --tags`: which part of which tagged release fits which. */
import { basename, dirname, resolve } from 'node:path';
import { type Release, releasesJson, releasesMarkdown, releasesOf, releasesText } from '../outputs/compare/releases.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { designIn } from './compare.ts';
import { refuseBroken } from './designs.ts';
import { print, writeOut } from './files.ts';
import { committedHere, committedTexts, tagsIn } from './git.ts';
import type { Status } from './verbs.ts';
import { openCommitted } from './versions.ts';

export async function releases(given: Arguments): Promise<Status> {
  const [file, ...more] = given.files;
  if (file === undefined || file === '-' || more.length)
    throw new Refusal('--tags wants one FILE of a git repository; lobewright compare --help tells more');
  const folder = dirname(resolve(file));
  const tags = tagsIn(folder);
  if (!tags.length) throw new Refusal(`the repository of ${file} has no tags; git tag v1 makes one`);
  const { path } = committedHere('HEAD', folder, basename(file));
  const texts = committedTexts(tags, path, folder);
  if (texts.every((text) => text === undefined)) throw new Refusal(`no tag of the repository has ${path}`);
  const all = releasesOf(tags.map((tag, i) => releaseOf(tag, path, folder, texts[i])));
  if (!all.mechanisms.length && all.releases.every(({ because }) => because === undefined))
    throw new Refusal(`${path} holds no mechanism in any tag of the repository`);
  const format = lastOf(given, 'format') ?? 'text';
  const said =
    format === 'json'
      ? `${JSON.stringify(releasesJson(all, file), undefined, 2)}\n`
      : format === 'markdown'
        ? releasesMarkdown(all)
        : releasesText(all);
  const out = lastOf(given, 'out');
  if (out === undefined) print(said);
  else writeOut(out, said);
  return 0;
}

function releaseOf(name: string, path: string, folder: string, text: string | undefined): Release {
  if (text === undefined) return { name, because: `it has no ${path}` };
  try {
    const opened = openCommitted(`${name}:${path}`, { revision: `refs/tags/${name}`, path }, folder, text);
    refuseBroken(opened);
    return { name, design: designIn(opened) };
  } catch (failure) {
    if (failure instanceof Refusal) return { name, because: failure.message };
    throw failure;
  }
}
