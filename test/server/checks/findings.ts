/** Texts and their findings, for the tests of the checks. */
import type { Finding } from '../../../language/mechanism.ts';
import { resolveDocument } from '../../../language/resolve.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { findingsOf } from '../../../server/checks/index.ts';
import { reckon } from '../../../server/reckon/figures.ts';

const services = createLobeServices();

/** Takes the `«…»` marks out of a text; says where they stood. */
export function unmarked(marked: string): { text: string; marks: { from: number; to: number }[] } {
  const marks: { from: number; to: number }[] = [];
  let text = '';
  let from = 0;
  for (const piece of marked.split(/([«»])/)) {
    if (piece === '«') from = text.length;
    else if (piece === '»') marks.push({ from, to: text.length });
    else text += piece;
  }
  return { text, marks };
}

export interface Found extends Finding {
  /** The text at its place. */
  readonly at: string;
  readonly from: number;
  readonly to: number;
}

/** Everything that is found in a text, with the stretch of text at which it stands. */
export function findingsIn(text: string): Found[] {
  const document = readDesign(services, text);
  const resolved = resolveDocument(document);
  const findings = [...resolved.problems, ...resolved.mechanisms.flatMap((m) => findingsOf(m, reckon(m)))];
  for (const error of document.parseResult.parserErrors) console.log('parse', error.message, error.token);
  return findings.map((finding) => {
    const start = finding.place.top < 0 ? 0 : (resolved.statements[finding.place.top]?.from ?? 0);
    const [from, to] = [start + finding.place.from, start + finding.place.to];
    return { ...finding, from, to, at: text.slice(from, to) };
  });
}

/** The codes found in a text, in its order. */
export function codesIn(text: string): string[] {
  return findingsIn(text).map(({ code }) => code);
}
