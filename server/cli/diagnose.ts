/** `diagnose`: from what a builder sees to what was put together wrongly. */
import { diagnosed, diagnosisJson, diagnosisText } from '../outputs/symptoms/diagnosis.ts';
import { symptomsHtml } from '../outputs/symptoms/files.tsx';
import { symptomsJson } from '../outputs/symptoms/json.ts';
import { pageOf } from '../outputs/symptoms/page-data.ts';
import { symptomsMarkdown, symptomsText } from '../outputs/symptoms/written.ts';
import type { Reckoned } from '../protocol.ts';
import { seenIn } from '../search/seen-text.ts';
import { symptomsOf } from '../search/symptoms.ts';
import { type Arguments, kindOf, lastOf, Refusal } from './arguments.ts';
import { chosen, isStandingError, openFile, refuseBroken, refuseSeveral } from './designs.ts';
import { print, shipped, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

const endings = { html: 'html', htm: 'html', json: 'json', md: 'markdown', txt: 'text' } as const;
type Kind = (typeof endings)[keyof typeof endings];

export async function diagnose(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length) {
    throw new Refusal('diagnose wants one FILE; lobewright diagnose --help tells more');
  }
  const out = lastOf(given, 'out');
  const kind = kindOf(given, 'table', endings, 'text');
  const opened = await openFile(path, given);
  refuseBroken(opened);
  const mechanisms = chosen(opened, lastOf(given, 'mechanism'));
  const seen = lastOf(given, 'seen');
  if (seen === undefined && given.options.has('home-unknown')) {
    throw new Refusal('--home-unknown is about what was seen; say that with --seen');
  }
  const said = seen === undefined ? whole(mechanisms, kind, path) : answer(mechanisms, kind, path, seen, given);
  if (out === undefined) print(said);
  else writeOut(out, said);
  return mechanisms.some(({ findings }) => findings.some(isStandingError)) ? 1 : 0;
}

/** Every fault, and what it shows. */
function whole(mechanisms: readonly Reckoned[], kind: Kind, path: string): string {
  const tables = mechanisms.map(({ mechanism, figures }) => symptomsOf(mechanism, figures));
  const [first] = tables;
  if (first && tables.every((table) => 'because' in table) && 'because' in first) {
    throw new Refusal(`there is nothing to diagnose: ${first.because}`);
  }
  switch (kind) {
    case 'json':
      return asJson({ contract: 1, file: path, mechanisms: tables.map(symptomsJson) });
    case 'markdown':
      return tables.map(symptomsMarkdown).join('\n');
    case 'html':
      return symptomsHtml(mechanisms.map(pageOf), { script: shipped('symptoms-page.js').toString('utf8') });
    case 'text':
      return tables.map(symptomsText).join('\n');
  }
}

/** What fits that which was seen. */
function answer(mechanisms: readonly Reckoned[], kind: Kind, path: string, text: string, given: Arguments): string {
  if (kind === 'html' || kind === 'markdown') {
    throw new Refusal(
      `what was seen is answered as text or json, not as ${kind}; leave --seen out for the whole table`,
    );
  }
  const [one, ...others] = mechanisms;
  if (others.length) refuseSeveral(path, mechanisms);
  const table = symptomsOf(one!.mechanism, one!.figures);
  if ('because' in table) throw new Refusal(`there is nothing to diagnose: ${table.because}`);
  const seen = seenIn(text, table);
  if ('because' in seen) throw new Refusal(`--seen: ${seen.because}`);
  const diagnosis = diagnosed(table, seen, !given.options.has('home-unknown'));
  return kind === 'json' ? asJson({ contract: 1, file: path, ...diagnosisJson(diagnosis) }) : diagnosisText(diagnosis);
}

const asJson = (value: unknown): string => `${JSON.stringify(value, undefined, 2)}\n`;
