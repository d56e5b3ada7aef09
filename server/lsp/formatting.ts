/** The standard layout, for a whole text or the lines of a selection. */
import type { LangiumDocument } from 'langium';
import type { Formatter } from 'langium/lsp';
import type { DocumentRangeFormattingParams, Range, TextEdit } from 'vscode-languageserver';
import { laidOut } from '../../language/format.ts';

export class DesignFormatter implements Formatter {
  formatDocument(document: LangiumDocument): TextEdit[] {
    return changedLines(document.textDocument.getText());
  }

  formatDocumentRange(document: LangiumDocument, { range }: DocumentRangeFormattingParams): TextEdit[] {
    const within = ({ start, end }: Range) => end.line >= range.start.line && start.line <= range.end.line;
    return changedLines(document.textDocument.getText()).filter(({ range }) => within(range));
  }

  formatDocumentOnType(): TextEdit[] {
    return [];
  }

  readonly formatOnTypeOptions = undefined;
}

/** The layout as edits: one for each run of lines that change, so that cursors and folds elsewhere stay. */
function changedLines(text: string): TextEdit[] {
  const result = laidOut(text);
  if (result === undefined || result === text) return [];
  const [before, after] = [text, result].map((each) => each.split(/(?<=\n|\r(?!\n))/));
  if (before!.length !== after!.length) return [replaced(before!, 0, before!.length, result)];
  const edits: TextEdit[] = [];
  for (let from = 0; from < before!.length; from++) {
    if (before![from] === after![from]) continue;
    let to = from + 1;
    while (to < before!.length && before![to] !== after![to]) to++;
    edits.push(replaced(before!, from, to, after!.slice(from, to).join('')));
    from = to;
  }
  return edits;
}

/** Puts a text in place of some lines. */
function replaced(lines: readonly string[], from: number, to: number, newText: string): TextEdit {
  const last = lines[to - 1] ?? '';
  const end = /[\r\n]$/.test(last) ? { line: to, character: 0 } : { line: to - 1, character: last.length };
  return { range: { start: { line: from, character: 0 }, end }, newText };
}
