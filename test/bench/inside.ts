/** Measures within one process: what reading and linking a text costs by itself, and what all that follows adds. */
import '../../language/group-by.mjs';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { type Analysis, analysing } from '../../server/analysis.ts';
import { finished } from '../../server/reckon/pausing.ts';
// @ts-expect-error: plain JavaScript, shared with the bench that starts this
import { board, design } from './texts.mjs';

const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;

/** One keystroke after another in the middle of a text: parse and link, then the rest, ms. */
function measure(text: string, rounds: number): { parseLink: number; after: number } {
  const services = createLobeServices();
  const documents = services.shared.workspace.LangiumDocuments;
  const at = text.indexOf('base 22 mm', text.length / 2) + 'base 22'.length;
  const parseLink: number[] = [];
  const after: number[] = [];
  let previous: Analysis | undefined;
  for (let round = 0; round < rounds + 5; round++) {
    const typed = `${text.slice(0, at)}.${round}1${text.slice(at)}`;
    const started = performance.now();
    const document = readDesign(services, typed);
    const linked = performance.now();
    previous = finished(analysing(document, documents, previous));
    if (round < 5) continue;
    parseLink.push(linked - started);
    after.push(performance.now() - linked);
  }
  return { parseLink: median(parseLink), after: median(after) };
}

console.log(JSON.stringify({ design: measure(design(), 60), board: measure(board(), 25) }));
