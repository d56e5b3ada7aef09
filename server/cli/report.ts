/** `report`: all that somebody needs who is asked for help, in one block to paste. */
import { reportJson, reportText } from '../outputs/report.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { isStandingError, openFile } from './designs.ts';
import { print, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

export async function report(given: Arguments, version: string): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length)
    throw new Refusal('report wants one FILE; lobewright report --help tells more');
  const { analysis, placeOf } = await openFile(path, given);
  const { mechanisms, findings, broken } = analysis;
  const reported = {
    version,
    mechanisms,
    findings,
    where: ({ place }: (typeof findings)[number]) => {
      const found = placeOf(place);
      if (found?.file !== path) return undefined;
      const { line, character } = found.range.start;
      return { line: line + 1, column: character + 1 };
    },
  };
  const said =
    lastOf(given, 'format') === 'json'
      ? `${JSON.stringify(reportJson(reported), undefined, 2)}\n`
      : reportText(reported);
  const out = lastOf(given, 'out');
  if (out === undefined) print(said);
  else writeOut(out, said);
  return broken || findings.some(isStandingError) ? 1 : 0;
}
