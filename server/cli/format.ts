/** `format`: the standard layout. */
import { laidOut } from '../../language/format.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { print, readText, writeWhole } from './files.ts';
import type { Status } from './verbs.ts';

export async function format(given: Arguments): Promise<Status> {
  const paths = [...new Set(given.files)];
  const out = lastOf(given, 'out');
  const onlyCheck = given.options.has('check');
  if (!paths.length) throw new Refusal('format wants a FILE; lobewright format --help tells more');
  if (out !== undefined && (paths.length > 1 || onlyCheck)) {
    throw new Refusal('--out goes with one FILE, and not with --check');
  }
  let status: Status = 0;
  for (const path of paths) {
    const text = await readText(path);
    const result = laidOut(text);
    if (result === undefined) {
      process.stderr.write(
        `lobewright: ${path} cannot be read whole and is left as it is; lobewright check tells why\n`,
      );
      status = 1;
    } else if (onlyCheck) {
      if (result === text) continue;
      print(`${path}\n`);
      status = 1;
    } else if (out !== undefined) writeWhole(out, result);
    else if (path === '-') print(result);
    else if (result !== text) writeWhole(path, result);
  }
  return status;
}
