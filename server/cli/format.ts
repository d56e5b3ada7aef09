/** `format`: the standard layout. */
import { laidOut } from '../../language/format.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { print, readText, writeWhole } from './files.ts';
import type { Status } from './verbs.ts';

/** What became of one file. */
interface Layout {
  readonly file: string;
  /** Its standard layout is another text than it holds. */
  readonly changes: boolean;
  /** The other text stands in a file now: in this one, or where `--out` says. */
  readonly written: boolean;
  /** It cannot be read whole, and is left as it is. */
  readonly unreadable?: true;
  /** The standard layout of standard input, where no file takes it. */
  readonly text?: string;
}

export async function format(given: Arguments): Promise<Status> {
  const paths = [...new Set(given.files)];
  const out = lastOf(given, 'out');
  const onlyCheck = given.options.has('check');
  const json = lastOf(given, 'format') === 'json';
  if (!paths.length) throw new Refusal('format wants a FILE; lobewright format --help tells more');
  if (out !== undefined && (paths.length > 1 || onlyCheck)) {
    throw new Refusal('--out goes with one FILE, and not with --check');
  }
  const files: Layout[] = [];
  for (const path of paths) files.push(layOut(path, await readText(path), onlyCheck, out));
  if (json) print(`${JSON.stringify({ contract: 1, files }, undefined, 2)}\n`);
  for (const { file, changes, unreadable, text } of files) {
    if (unreadable) {
      process.stderr.write(
        `lobewright: ${file} cannot be read whole and is left as it is; lobewright check tells why\n`,
      );
    } else if (json) continue;
    else if (text !== undefined) print(text);
    else if (onlyCheck && changes) print(`${file}\n`);
  }
  return files.some(({ changes, unreadable }) => unreadable || (onlyCheck && changes)) ? 1 : 0;
}

function layOut(file: string, text: string, onlyCheck: boolean, out: string | undefined): Layout {
  const result = laidOut(text);
  if (result === undefined) return { file, changes: false, written: false, unreadable: true };
  const changes = result !== text;
  if (onlyCheck) return { file, changes, written: false };
  if (out === undefined && file === '-') return { file, changes, written: false, text: result };
  const written = out !== undefined || changes;
  if (written) writeWhole(out ?? file, result);
  return { file, changes, written };
}
