/** `ease`: the lowest peak push that costs nothing, and the edits that give it. */
import type { FileEdits } from '../../language/edits.ts';
import type { Mechanism } from '../../language/mechanism.ts';
import { easingText } from '../easing.ts';
import { applied } from '../fixes.ts';
import { easeJson, easeText } from '../outputs/ease.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { isStandingError, type Opened, openFile, openText, refuseBroken } from './designs.ts';
import { print, writeOut, writeWhole } from './files.ts';
import type { Status } from './verbs.ts';

export async function ease(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length) throw new Refusal('ease wants one FILE; lobewright ease --help tells more');
  const write = given.options.has('write');
  if (write && path === '-') throw new Refusal('--write cannot write to standard input; name a file');
  if (write && (given.options.has('set') || given.options.has('process')))
    throw new Refusal('--write eases the design as it is written; leave out --set and --process');
  const opened = await openFile(path, given);
  refuseBroken(opened);
  const { mechanisms } = opened.analysis;
  if (!mechanisms.length) throw new Refusal(`${path} holds no mechanism`);
  const results = mechanisms.map(({ mechanism }) => ({ mechanism, ...searched(mechanism, opened) }));
  const foreign = results.flatMap(({ files }) => files).find(({ file }) => file !== opened.uri);
  if (write && foreign)
    throw new Refusal(`--write would have to change ${opened.nameOf(foreign.file)} too; ease that file`);
  if (results.every(({ eased }) => 'because' in eased)) {
    const [{ mechanism, eased }] = results;
    throw new Refusal(`${mechanism.name} cannot be eased: ${'because' in eased ? eased.because : ''}`);
  }
  const text = write ? applied(opened.text, inOrder(results.flatMap(({ files }) => files))) : opened.text;
  const written = text !== opened.text;
  const told = results.map(({ mechanism, eased, files }) => ({ name: mechanism.name, eased, files }));
  const said =
    lastOf(given, 'format') === 'json'
      ? `${JSON.stringify(
          {
            contract: 1,
            file: path,
            written,
            mechanisms: told.map((one) => easeJson(one, (edit) => placed(edit, opened))),
          },
          undefined,
          2,
        )}\n`
      : told.map((one) => easeText(one, written)).join('\n');
  if (written) writeWhole(path, text);
  const out = lastOf(given, 'out');
  if (out === undefined) print(said);
  else writeOut(out, said);
  const after = written ? openText(path, opened.uri, text).analysis : opened.analysis;
  return after.findings.some(isStandingError) ? 1 : 0;
}

/** Searches to the end; who sits before a terminal sees how far it is. */
function searched(mechanism: Mechanism, { document, analysis, designOf, read }: Opened) {
  const steps = easingText(mechanism, { document, analysis, designOf, read });
  const shows = process.stderr.isTTY;
  let told = -1;
  for (;;) {
    const { done, value } = steps.next();
    if (done) {
      if (shows) process.stderr.write('\r\x1b[K');
      return value;
    }
    const percent = Math.floor(value * 100);
    if (shows && percent > told) process.stderr.write(`\reasing ${mechanism.name} … ${percent} %`);
    told = Math.max(told, percent);
  }
}

function placed({ file, from, to, text }: { file: string; from: number; to: number; text: string }, opened: Opened) {
  const { file: name, range } = opened.placeOf({ file, top: -1, from, to })!;
  return { file: name, range, text };
}

const inOrder = (files: readonly FileEdits[]) => files.flatMap(({ edits }) => edits).sort((a, b) => a.from - b.from);
