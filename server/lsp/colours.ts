/** Semantic tokens: names coloured by what they stand for, which a grammar of patterns cannot know. */
import { type AstNode, AstUtils, type CstNode, GrammarUtils, isReference, type LangiumDocument } from 'langium';
import type { SemanticTokenProvider } from 'langium/lsp';
import {
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensOptions,
  type SemanticTokensRangeParams,
} from 'vscode-languageserver';
import { isLibraryFile } from '../../language/library.ts';

const types = [
  'namespace',
  'class',
  'enum',
  'enumMember',
  'struct',
  'type',
  'property',
  'function',
  'variable',
  'event',
];
const modifiers = ['declaration', 'readonly', 'defaultLibrary'];
const declaration = 1;
const readonly = 2;
const defaultLibrary = 4;

/** The token type of a name, by the kind of statement that makes it. */
const colours: Readonly<Record<string, string>> = {
  Mechanism: 'namespace',
  Glyphs: 'enum',
  Material: 'struct',
  Process: 'struct',
  Let: 'variable',
  Shaft: 'type',
  Key: 'type',
  Gear: 'class',
  Cam: 'class',
  Segment: 'property',
  Spring: 'variable',
  Post: 'variable',
  Band: 'variable',
  Ratchet: 'event',
  Push: 'event',
};

interface Coloured {
  readonly node: CstNode;
  readonly type: string;
  readonly modifiers: number;
}

const numbered = (names: readonly string[]) => Object.fromEntries(names.map((name, i) => [name, i]));

export class DesignColours implements SemanticTokenProvider {
  readonly tokenTypes = numbered(types);
  readonly tokenModifiers = numbered(modifiers);
  readonly semanticTokensOptions: SemanticTokensOptions = {
    legend: { tokenTypes: types, tokenModifiers: modifiers },
    full: true,
    range: true,
  };

  semanticHighlight(document: LangiumDocument): SemanticTokens {
    return built(coloured(document.parseResult.value));
  }

  semanticHighlightRange(document: LangiumDocument, { range }: SemanticTokensRangeParams): SemanticTokens {
    const within = ({ node }: Coloured) =>
      node.range.end.line >= range.start.line && node.range.start.line <= range.end.line;
    return built(coloured(document.parseResult.value).filter(within));
  }

  semanticHighlightDelta(document: LangiumDocument): SemanticTokens {
    return this.semanticHighlight(document);
  }
}

function built(found: readonly Coloured[]): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const { node, type, modifiers } of [...found].sort((a, b) => a.node.offset - b.node.offset)) {
    const { start } = node.range;
    builder.push(start.line, start.character, node.length, types.indexOf(type), modifiers);
  }
  return builder.build();
}

function coloured(root: AstNode): Coloured[] {
  const found: Coloured[] = [];
  const add = (node: CstNode | undefined, type: string | undefined, modifiers = 0) => {
    if (node && type && node.length > 0) found.push({ node, type, modifiers });
  };
  for (const node of AstUtils.streamAst(root)) {
    const type = colours[node.$type];
    if (type && 'name' in node) {
      const constant = node.$type === 'Let' ? readonly : 0;
      add(GrammarUtils.findNodeForProperty(node.$cstNode, 'name'), type, declaration | constant);
    }
    if (node.$type === 'GlyphSymbol') {
      add(node.$cstNode, 'enumMember', node.$containerProperty === 'symbol' ? declaration : 0);
    } else if (node.$type === 'GlyphEntry') {
      for (const lit of GrammarUtils.findNodesForProperty(node.$cstNode, 'lit')) add(lit, 'property');
    } else if (node.$type === 'SegmentList') {
      for (const name of GrammarUtils.findNodesForProperty(node.$cstNode, 'names')) add(name, 'property', declaration);
    } else if (node.$type === 'Call') {
      add(GrammarUtils.findNodeForProperty(node.$cstNode, 'function'), 'function', defaultLibrary);
    }
    for (const value of Object.values(node)) {
      for (const reference of Array.isArray(value) ? value : [value]) {
        if (!isReference(reference)) continue;
        const target = reference.ref;
        if (!target) continue;
        const constant = target.$type === 'Let' ? readonly : 0;
        const library = isLibraryFile(AstUtils.getDocument(target).uri.toString()) ? defaultLibrary : 0;
        add(reference.$refNode, colours[target.$type], constant | library);
      }
    }
  }
  return found;
}
