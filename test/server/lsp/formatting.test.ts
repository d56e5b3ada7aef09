import type { LangiumDocument } from 'langium';
import { describe, expect, it } from 'vitest';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { laidOut } from '../../../language/format.ts';
import { DesignFormatter } from '../../../server/lsp/formatting.ts';

const untidy = '// one\nmechanism   M {\ncount 0 1\n  /* two\nthree */\n\n\n\nshaft s\n}';

describe('formatting', () => {
  it.each([
    ['newlines', '\n'],
    ['line ends of Windows', '\r\n'],
    ['bare carriage returns', '\r'],
  ])('makes the standard layout of a text with %s, by edits of whole lines', (_, end) => {
    const text = untidy.replaceAll('\n', end);
    const document = TextDocument.create('file:///m.lobe', 'lobe', 0, text);
    const edits = new DesignFormatter().formatDocument({ textDocument: document } as LangiumDocument);
    expect(edits.length).toBeGreaterThan(0);
    expect(TextDocument.applyEdits(document, edits)).toBe(laidOut(text));
    expect(laidOut(text)).toBe(laidOut(untidy)!.replaceAll('\n', end === '\r\n' ? end : '\n'));
  });
});
