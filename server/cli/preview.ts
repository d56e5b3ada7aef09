/** `preview`: a page on which the parts are turned and played. */
import { previewHtml } from '../outputs/preview/files.tsx';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { chosen, isStandingError, openFile, refuseBroken } from './designs.ts';
import { print, shipped, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

export async function preview(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length) {
    throw new Refusal('preview wants one FILE; lobewright preview --help tells more');
  }
  const opened = await openFile(path, given);
  refuseBroken(opened);
  const mechanisms = chosen(opened, lastOf(given, 'mechanism'));
  const page = previewHtml(mechanisms, { script: shipped('preview-page.js').toString('utf8') });
  const out = lastOf(given, 'out');
  if (out === undefined) print(page);
  else writeOut(out, page);
  return mechanisms.some(({ findings }) => findings.some(isStandingError)) ? 1 : 0;
}
