/** `figures`: what was reckoned of a design. */

import { building } from '../analysis.ts';
import { figuresJson, figuresText } from '../outputs/figures.ts';
import { finished } from '../reckon/pausing.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { isStandingError, openFile } from './designs.ts';
import { print, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

export async function figures(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length)
    throw new Refusal('figures wants one FILE; lobewright figures --help tells more');
  const opened = await openFile(path, given);
  const { mechanisms, findings } = finished(building(opened.analysis));
  const all = mechanisms.map((one) => one.figures);
  const text =
    lastOf(given, 'format') === 'json'
      ? `${JSON.stringify(
          figuresJson(all, (place) => opened.placeOf(place)),
          undefined,
          2,
        )}\n`
      : all.map(figuresText).join('\n');
  const out = lastOf(given, 'out');
  if (out === undefined) print(text);
  else writeOut(out, text);
  return findings.some(isStandingError) ? 1 : 0;
}
