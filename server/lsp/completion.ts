/** What may be written next: the grammar says of which kind, the design and the tables of words say what. */
import { type AstReflection, AstUtils, GrammarAST, type LangiumDocument, type LangiumDocuments } from 'langium';
import { type CompletionProvider, findFirstFeatures, findNextFeatures } from 'langium/lsp';
import {
  type CompletionItem,
  CompletionItemKind,
  CompletionList,
  type CompletionParams,
  MarkupKind,
} from 'vscode-languageserver';
import type { Design, Mechanism } from '../../language/generated/ast.ts';
import { visibleDesigns } from '../../language/imports.ts';
import { keywords } from '../../language/keywords.ts';
import { definitionsIn, namesIn } from '../../language/names.ts';
import { scan, type Token } from '../../language/tokens.ts';
import { functions, innerWords, type Room, rooms, unitsFor, unitWords } from '../../language/words.ts';
import { pages } from '../checks/index.ts';
import { entriesOf, tableOf } from './glyphs.ts';
import type { DesignServices } from './services.ts';
import { completionKind } from './symbols.ts';

/** Where the cursor stands: the word begun there, and what came before it. */
interface Cursor {
  /** Offset at which the word under the cursor begins. */
  readonly from: number;
  readonly offset: number;
  /** The blocks around the cursor and the statement or property begun in the innermost, as a text of its own. */
  readonly before: string;
  readonly room: Room;
  /** The word that began the statement or property. */
  readonly begun?: string;
  /** The mechanism whose names count here. */
  readonly mechanism?: Mechanism;
  readonly document: LangiumDocument;
}

export class DesignCompletion implements CompletionProvider {
  private readonly services: DesignServices;
  private readonly documents: () => LangiumDocuments;
  private readonly reflection: AstReflection;

  constructor(services: DesignServices) {
    this.services = services;
    this.documents = () => services.shared.workspace.LangiumDocuments;
    this.reflection = services.shared.AstReflection;
  }

  getCompletion(document: LangiumDocument, { position }: CompletionParams): CompletionList {
    const cursor = cursorAt(document, document.textDocument.offsetAt(position));
    if (!cursor) return CompletionList.create([]);
    const range = { start: document.textDocument.positionAt(cursor.from), end: position };
    const items = new Map<string, CompletionItem>();
    for (const item of this.features(cursor.before).flatMap((feature) => this.proposals(feature, cursor))) {
      const newText = item.insertText ?? item.label;
      if (!items.has(item.label)) items.set(item.label, { ...item, textEdit: { range, newText } });
    }
    return CompletionList.create([...items.values()]);
  }

  /** What the grammar allows after a text. */
  private features(before: string): GrammarAST.AbstractElement[] {
    const { elementStack, tokens, tokenIndex } = this.services.parser.CompletionParser.parse(before);
    if (tokenIndex === 0) {
      const entry = this.services.Grammar.rules.find((rule) => GrammarAST.isParserRule(rule) && rule.entry);
      const first = entry && GrammarAST.isParserRule(entry) ? findFirstFeatures(entry.definition) : [];
      return first.flatMap((stack) => stack.at(-1)?.feature ?? []);
    }
    return findNextFeatures([elementStack.map((feature) => ({ feature }))], tokens.slice(tokenIndex)).map(
      ({ feature }) => feature,
    );
  }

  private proposals(feature: GrammarAST.AbstractElement, cursor: Cursor): CompletionItem[] {
    if (GrammarAST.isKeyword(feature)) return keywordItems(feature.value, cursor);
    if (GrammarAST.isCrossReference(feature)) return this.nameItems(feature.type.ref?.name ?? '', cursor);
    if (!GrammarAST.isRuleCall(feature)) return [];
    const within = AstUtils.getContainerOfType(feature, GrammarAST.isAbstractParserRule)?.name;
    const property = AstUtils.getContainerOfType(feature, GrammarAST.isAssignment)?.feature;
    const terminal = feature.rule.ref?.name;
    if (within === 'GlyphSymbol') return symbolItems(cursor);
    if (within === 'GlyphEntry' && property === 'lit') return segmentItems(cursor);
    if (terminal === 'UNIT') return unitItems(cursor);
    if (terminal === 'CODE') return codeItems();
    if (terminal === 'FUNCTION') return functionItems();
    return [];
  }

  private nameItems(kind: string, { document, mechanism }: Cursor): CompletionItem[] {
    const item = (name: string, type: string): CompletionItem => ({
      label: name,
      kind: completionKind(type),
      detail: type.toLowerCase(),
      sortText: `0${name}`,
    });
    if (kind === 'Glyphs' || kind === 'Material' || kind === 'Process') {
      const designs = [document.parseResult.value as Design, ...visibleDesigns(document.uri, this.documents())];
      return designs.flatMap((design) => [...definitionsIn(design, kind).first.keys()].map((name) => item(name, kind)));
    }
    if (!mechanism) return [];
    return [...namesIn(mechanism).first.values()]
      .filter(({ $type }) => this.reflection.isSubtype($type, kind))
      .map(({ name, $type }) => item(name, $type));
  }
}

// ---- where the cursor stands -------------------------------------------------------

const wordLike = new Set(['ID', 'UNIT', 'CODE', 'ENTRY', 'FUNCTION']);

function cursorAt(document: LangiumDocument, offset: number): Cursor | undefined {
  const text = document.textDocument.getText();
  const statements = (document.parseResult.value as Design).statements ?? [];
  const begun = statements.filter(({ $cstNode }) => $cstNode && $cstNode.offset < offset);
  const statement = begun.at(-1);
  const start = statement?.$cstNode?.offset ?? 0;
  const { tokens, comments } = scan(text.slice(start, offset));
  const length = offset - start;
  if (comments.some(({ name, endOffset, image }) => endOffset + 1 === length && !closed(name, image))) return undefined;
  const last = tokens.at(-1);
  let from = offset;
  if (last && last.endOffset + 1 === length) {
    if (last.name === 'STRING') return undefined;
    if (wordLike.has(last.name) || keywords.has(last.name)) {
      from = start + last.startOffset;
      tokens.pop();
    }
  }
  const { frames, item, room } = framesOf(tokens);
  const kept = [...frames.flat(), ...item];
  const mechanism = room !== 'file' && statement?.$type === 'Mechanism' ? statement : undefined;
  return {
    from,
    offset,
    before: joined(kept),
    room,
    document,
    ...(item[0] && { begun: item[0].name }),
    ...(mechanism && { mechanism }),
  };
}

const closed = (name: string, image: string) => name === 'BLOCK_COMMENT' && image.endsWith('*/') && image.length > 3;

/** Sorts tokens into the heads of the blocks that are open at their end, and what was begun in the innermost. */
function framesOf(tokens: readonly Token[]): { frames: Token[][]; item: Token[]; room: Room } {
  const frames: Token[][] = [];
  const around: Room[] = ['file'];
  let item: Token[] = [];
  for (const token of tokens) {
    const room = around.at(-1)!;
    if (token.name === '{') {
      const head = item[0]?.name === 'every' ? item[1]?.name : item[0]?.name;
      frames.push([...item, token]);
      around.push(head !== undefined && Object.hasOwn(rooms, head) ? (head as Room) : room);
      item = [];
    } else if (token.name === '}') {
      if (frames.pop()) around.pop();
      item = [];
    } else if (Object.hasOwn(rooms[room], token.name) || token.name === 'ENTRY') {
      item = [token];
    } else {
      item.push(token);
    }
  }
  return { frames, item, room: around.at(-1)! };
}

/** Tokens as text again, each on its own line as before: a unit belongs to a number of its line only. */
function joined(tokens: readonly Token[]): string {
  let text = '';
  let line = 0;
  for (const { image, startLine, endLine } of tokens) {
    text += `${startLine > line ? '\n' : ' '}${image}`;
    line = endLine;
  }
  return `${text} `;
}

// ---- what may stand there ------------------------------------------------------------

const markdown = (value: string) => ({ kind: MarkupKind.Markdown, value });

function keywordItems(word: string, { room }: Cursor): CompletionItem[] {
  if (!/\p{L}/u.test(word)) return [];
  const told = rooms[room][word];
  const item = { label: word, kind: CompletionItemKind.Keyword, sortText: `1${word}` };
  if (!told) return [innerWords[word] ? { ...item, documentation: innerWords[word] } : item];
  const { says, form, example } = told;
  return [{ ...item, detail: form, documentation: markdown(`${says}\n\nExample: \`${example}\``) }];
}

function unitItems({ room, begun }: Cursor): CompletionItem[] {
  const takes = begun === undefined ? undefined : rooms[room][begun]?.takes;
  const fitting = takes ? unitsFor(takes) : [];
  const all = fitting.length ? fitting : takes ? [] : Object.keys(unitWords);
  return all.map((unit, i) => ({
    label: unit,
    kind: CompletionItemKind.Unit,
    detail: unitWords[unit],
    sortText: `0${String(i).padStart(2, '0')}`,
  }));
}

function symbolItems({ mechanism }: Cursor): CompletionItem[] {
  const entries = mechanism ? [...entriesOf(tableOf(mechanism))] : [];
  return entries.map(([symbol, { lit }], i) => ({
    label: written(symbol),
    kind: CompletionItemKind.EnumMember,
    detail: lit.length ? `shows ${lit.join(' ')}` : 'shows nothing',
    sortText: `0${String(i).padStart(3, '0')}`,
  }));
}

/** A symbol as it is written where symbols are listed: quoted unless it is a number or a free word. */
function written(symbol: string): string {
  const bare = /^(?:\d+(?:\.\d+)?|[\p{L}_][\p{L}\d_]*)$/u.test(symbol) && !keywords.has(symbol);
  return bare ? symbol : JSON.stringify(symbol);
}

function segmentItems({ document }: Cursor): CompletionItem[] {
  const names = (document.parseResult.value as Design).statements.flatMap((statement) =>
    statement.$type === 'Mechanism'
      ? statement.members.flatMap((member) => (member.$type === 'Segment' ? member.name : []))
      : [],
  );
  const usual = ['a', 'b', 'c', 'd', 'e', 'f', 'g'];
  return [...new Set([...names, ...usual])].map((label) => ({
    label,
    kind: CompletionItemKind.Field,
    detail: 'segment',
    sortText: `0${label}`,
  }));
}

function codeItems(): CompletionItem[] {
  return pages.map(({ code, title, means, severity }) => ({
    label: code,
    kind: CompletionItemKind.EnumMember,
    detail: `${severity}: ${title}`,
    documentation: markdown(means),
  }));
}

function functionItems(): CompletionItem[] {
  return Object.entries(functions).map(([name, says]) => ({
    label: name,
    kind: CompletionItemKind.Function,
    detail: says,
    sortText: `2${name}`,
  }));
}
