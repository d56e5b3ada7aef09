/** Texts and their findings, for the tests of the checks. */
import type { Finding } from '../../../language/mechanism.ts';
import { stretchOf } from '../../../language/places.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';

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
  return analyse(document, services.shared.workspace.LangiumDocuments).findings.map((finding) => {
    const { from, to } = stretchOf(document.parseResult.value, finding.place) ?? { from: 0, to: 0 };
    return { ...finding, from, to, at: text.slice(from, to) };
  });
}

/** The codes found in a text, in its order. */
export function codesIn(text: string): string[] {
  return findingsIn(text).map(({ code }) => code);
}
