// The folder that the tests open: an example, and the same with what the tests are about.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const berthSign = readFileSync('examples/berth-sign.lobe', 'utf8');

function changed(text, from, to) {
  if (!text.includes(from)) throw new Error(`The example no longer says "${from}"`);
  return text.replace(from, to);
}

/** Everything right. */
const clean = berthSign;

/** A bar's cam moves for longer than a step lasts. */
const long = changed(berthSign, 'level 2 drives b\n', 'level 2 drives b { travel 40 deg }\n');

/** The same, and the lobes of the middle bar's cam run into each other: a warning and an error. */
const grave = changed(long, '{ travel 26 deg }', '{ travel 38 deg }');

/** Badly laid out, and right. */
const untidy = changed(
  changed(berthSign, '  cam camB on upper level 2 drives b', 'cam   camB on upper   level 2 drives b'),
  '  assembled greased',
  '      assembled    greased',
);

/** Writes them into a folder; gives its path. */
export function designFolder(place) {
  const folder = join(place, 'designs');
  mkdirSync(folder);
  for (const [name, text] of Object.entries({ clean, long, grave, untidy }))
    writeFileSync(join(folder, `${name}.lobe`), text);
  return folder;
}

/** Line, from 1, of the first line that holds these words. */
export function lineOf(words, text = clean) {
  const index = text.split('\n').findIndex((line) => line.includes(words));
  if (index < 0) throw new Error(`No line says "${words}"`);
  return index + 1;
}

/** Place, from 1, of these words. */
export function placeOf(words, text = clean) {
  const line = lineOf(words, text);
  return [line, text.split('\n')[line - 1].indexOf(words) + 1];
}

export { clean, long, untidy };
