/** The outline of a design, what can be folded in it, and how a selection grows. */
import { type AstNode, type CstNode, GrammarUtils, type LangiumDocument } from 'langium';
import type { DocumentSymbolProvider, FoldingRangeProvider, NodeKindProvider } from 'langium/lsp';
import {
  CompletionItemKind,
  type DocumentSymbol,
  type FoldingRange,
  FoldingRangeKind,
  type Position,
  type SelectionRange,
  SymbolKind,
} from 'vscode-languageserver';
import type { Design, Member, Statement } from '../../language/generated/ast.ts';
import { scan } from '../../language/tokens.ts';

/** How the editor pictures each kind of thing: in the outline, and among proposals. */
const kinds: Readonly<Record<string, readonly [SymbolKind, CompletionItemKind]>> = {
  Mechanism: [SymbolKind.Module, CompletionItemKind.Module],
  Glyphs: [SymbolKind.Enum, CompletionItemKind.Enum],
  GlyphEntry: [SymbolKind.EnumMember, CompletionItemKind.EnumMember],
  Material: [SymbolKind.Struct, CompletionItemKind.Struct],
  Process: [SymbolKind.Package, CompletionItemKind.Module],
  Let: [SymbolKind.Constant, CompletionItemKind.Constant],
  Count: [SymbolKind.Array, CompletionItemKind.Value],
  Shaft: [SymbolKind.Object, CompletionItemKind.Class],
  Key: [SymbolKind.Key, CompletionItemKind.Property],
  Gear: [SymbolKind.Class, CompletionItemKind.Class],
  Mesh: [SymbolKind.Interface, CompletionItemKind.Interface],
  Segment: [SymbolKind.Field, CompletionItemKind.Field],
  Cam: [SymbolKind.Function, CompletionItemKind.Function],
  Spring: [SymbolKind.Variable, CompletionItemKind.Variable],
  Post: [SymbolKind.Variable, CompletionItemKind.Variable],
  Band: [SymbolKind.Variable, CompletionItemKind.Variable],
  Ratchet: [SymbolKind.Event, CompletionItemKind.Event],
  Push: [SymbolKind.Event, CompletionItemKind.Event],
};

const symbolKind = (type: string): SymbolKind => kinds[type]?.[0] ?? SymbolKind.Property;
export const completionKind = (type: string): CompletionItemKind => kinds[type]?.[1] ?? CompletionItemKind.Property;

export class DesignKinds implements NodeKindProvider {
  getSymbolKind = (node: { readonly type?: string; readonly $type?: string }): SymbolKind =>
    symbolKind(node.type ?? node.$type ?? '');
  getCompletionItemKind = (node: { readonly type?: string; readonly $type?: string }): CompletionItemKind =>
    completionKind(node.type ?? node.$type ?? '');
}

/** The outline: mechanisms with their parts, tables with their entries. */
export class DesignSymbols implements DocumentSymbolProvider {
  getSymbols({ parseResult, textDocument }: LangiumDocument): DocumentSymbol[] {
    const text = textDocument.getText();
    return (parseResult.value as Design).statements.flatMap((statement) => symbols(statement, text));
  }
}

function symbols(node: Statement | Member | AstNode, text: string): DocumentSymbol[] {
  const name = nameOf(node as Statement | Member);
  const whole = node.$cstNode;
  if (!name || !whole) return [];
  const nameText = GrammarUtils.findNodeForProperty(whole, 'name') ?? GrammarUtils.findNodeForProperty(whole, 'symbol');
  const children = 'members' in node ? node.members : 'entries' in node ? node.entries : [];
  return [
    {
      name,
      kind: symbolKind(node.$type),
      detail: headOf(whole, nameText, text),
      range: whole.range,
      selectionRange: (nameText ?? whole).range,
      children: (children as AstNode[]).flatMap((child) => symbols(child, text)),
    },
  ];
}

function nameOf(node: Statement | Member): string | undefined {
  switch (node.$type) {
    case 'Mesh': {
      const gears = node.gears.map(({ $refText }) => $refText);
      return gears.length ? gears.join('–') : undefined;
    }
    case 'Count':
      return 'count';
    case 'Every':
      return `every ${node.kind ?? ''}`;
    case 'Limits':
      return 'limits';
    case 'Frame':
      return 'frame';
    case 'About':
      return 'about';
    case 'Property':
    case 'Import':
    case 'Accept':
    case 'Bought':
      return undefined;
    default: {
      const named = node as { readonly name?: string; readonly symbol?: { readonly $cstNode?: CstNode } };
      return named.name ?? named.symbol?.$cstNode?.text;
    }
  }
}

/** What stands between a statement's name and its block: `on upper level 1 drives a`. */
function headOf(whole: CstNode, name: CstNode | undefined, text: string): string | undefined {
  const from = name?.end ?? whole.offset + whole.text.search(/\s|$/);
  const block = text.indexOf('{', from);
  const to = block >= 0 && block < whole.end ? block : whole.end;
  const head = text.slice(from, to).replace(/\s+/g, ' ').trim();
  return head && head.length <= 80 ? head.replace(/^= /, '') : undefined;
}

/** Blocks, long comments and runs of comment lines. */
export class DesignFolding implements FoldingRangeProvider {
  getFoldingRanges({ parseResult, textDocument }: LangiumDocument): FoldingRange[] {
    const found: FoldingRange[] = [];
    const block = (node: AstNode | undefined) => {
      const cst = node?.$cstNode;
      if (!cst) return;
      const { start, end } = cst.range;
      if (end.line > start.line + 1) {
        const closed = cst.root.fullText[cst.end - 1] === '}';
        found.push({ startLine: start.line, endLine: closed ? end.line - 1 : end.line });
      }
    };
    for (const statement of (parseResult.value as Design).statements) {
      block(statement);
      if ('members' in statement) statement.members.forEach(block);
    }
    let run: { from: number; to: number } | undefined;
    const endRun = () => {
      if (run && run.to > run.from + 1) {
        found.push({ startLine: run.from, endLine: run.to, kind: FoldingRangeKind.Comment });
      }
      run = undefined;
    };
    const text = textDocument.getText();
    for (const { name, startOffset, startLine, startColumn, endLine } of scan(text).comments) {
      const alone = text.slice(startOffset - startColumn + 1, startOffset).trim() === '';
      if (name === 'LINE_COMMENT' && alone) {
        if (run?.to !== startLine - 2) endRun();
        run = { from: run?.from ?? startLine - 1, to: startLine - 1 };
      } else if (endLine > startLine) {
        found.push({ startLine: startLine - 1, endLine: endLine - 1, kind: FoldingRangeKind.Comment });
      }
    }
    endRun();
    return found;
  }
}

/** The stretches around a position, each within the next: word, property, statement, mechanism, file. */
export function selectionAt({ parseResult, textDocument }: LangiumDocument, position: Position): SelectionRange {
  const whole = { start: { line: 0, character: 0 }, end: textDocument.positionAt(textDocument.getText().length) };
  const offset = textDocument.offsetAt(position);
  const around: CstNode[] = [];
  for (let node: CstNode | undefined = parseResult.value.$cstNode; node; ) {
    const content: readonly CstNode[] = 'content' in node ? (node.content as CstNode[]) : [];
    const next: CstNode | undefined = content.find(
      (part) => !part.hidden && part.offset <= offset && offset <= part.end,
    );
    if (next && next.length > 0 && around.at(-1)?.length !== next.length) around.push(next);
    node = next;
  }
  return around.reduce<SelectionRange>((parent, { range }) => ({ range, parent }), { range: whole });
}
