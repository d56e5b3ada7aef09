/** Everything that is wrong with a file's text before its meaning is looked at: reading, names, imports. */
import type { LangiumDocuments } from 'langium';
import type { Design } from './generated/ast.ts';
import { importProblems } from './import-problems.ts';
import type { LexingProblem } from './lexer.ts';
import type { Finding } from './mechanism.ts';
import { nameProblems } from './name-problems.ts';
import { mistakeOf } from './parser.ts';
import { placeAt } from './places.ts';
import type { DesignDocument } from './services.ts';
import { isNeedlessBrace, mostProblems, type TextProblem } from './tokens.ts';
import { end, isEnd, type Problem, unexpected } from './unexpected.ts';

/** The findings about the text of one file that has been linked; in the order of the text. Never throws. */
export function textFindings(document: DesignDocument, documents: LangiumDocuments): Finding[] {
  const design = document.parseResult.value;
  const problems = [
    ...readingProblems(document),
    ...importProblems(document, documents),
    ...nameProblems(document, documents),
  ];
  if (!problems.length && !design.statements.length) problems.push(nothingHere);
  problems.sort((a, b) => a.from - b.from || a.to - b.to);
  return problems.slice(0, mostProblems).map((problem, i) => {
    const more = i === mostProblems - 1 && problems.length > mostProblems;
    return told(
      more ? { ...problem, message: `${problem.message}; there are more problems further on` } : problem,
      design,
    );
  });
}

/** Whether the text of a file could be read whole: if not, what it means may lack something. */
export function readsWhole({ parseResult }: DesignDocument): boolean {
  return !parseResult.lexerErrors.length && !parseResult.parserErrors.length;
}

const nothingHere: Problem = {
  code: 'nothing-here',
  severity: 'information',
  message: "nothing is said here yet; a design begins with 'mechanism NAME { … }'",
  from: 0,
  to: 0,
};

/** A problem as a finding, with its places. */
function told(problem: Problem, design: Design): Finding {
  const at = ({ from, to }: { from: number; to: number }) => placeAt(design, from, to);
  return {
    code: problem.code,
    severity: problem.severity ?? 'error',
    message: problem.message,
    place: at(problem),
    about: problem.about ?? [],
    figures: {},
    related: (problem.related ?? []).map((related) => ({
      place: related.place ?? at(related),
      message: related.message,
    })),
    fixes: (problem.fixes ?? []).map(({ title, edits }) => ({
      title,
      changes: edits.map((edit) => ({ do: 'replace', place: at(edit), text: edit.text })),
    })),
  };
}

/** What could not be read, each mistake told once: where two are about one, the one that knows more stays. */
function readingProblems({ parseResult }: DesignDocument): Problem[] {
  const marks = (parseResult.lexerErrors as LexingProblem[]).map(({ problem }) => problem);
  const told: Problem[] = [];
  const settled = new Set<TextProblem>();
  let until = -1;
  let lastFound: unknown;
  for (const error of parseResult.parserErrors) {
    const mistake = mistakeOf(error);
    const { found: token, before, skipped } = mistake;
    const from = isEnd(token) ? Number.POSITIVE_INFINITY : token.startOffset;
    const to = Math.max(from, end(skipped.at(-1) ?? token));
    const follows = token === lastFound || (before && before === lastFound) || from < until;
    const caused = marks.some((mark) => mark.from >= (before ? end(before) : 0) && mark.to <= from);
    lastFound = token;
    until = Math.max(until, to);
    if (follows || caused) continue;
    const found = unexpected(mistake, parseResult.value);
    const opens = found[0]?.message.startsWith("a '{' is missing");
    const closing = opens ? marks.find((mark) => isNeedlessBrace(mark) && mark.from >= from) : undefined;
    for (const mark of marks) {
      const within = mark.from >= from && mark.to <= to && mark.code === 'unreadable-text';
      if (within || mark === closing) settled.add(mark);
    }
    // What stands in a block that is not opened is no mistake of its own.
    if (closing) until = closing.to;
    told.push(...found);
  }
  for (const mark of marks) {
    if (settled.has(mark)) continue;
    const { code, message, from, to, fix } = mark;
    told.push({ code, message, from, to, fixes: fix ? [fix] : [] });
  }
  return told;
}
