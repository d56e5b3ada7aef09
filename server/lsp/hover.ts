/** What is told of the word under the pointer: what it means, and what was reckoned of the thing it names. */
import { type AstNode, AstUtils, CstUtils, GrammarAST, type LangiumDocument, type LeafCstNode } from 'langium';
import type { HoverProvider } from 'langium/lsp';
import type { Hover, HoverParams } from 'vscode-languageserver';
import type { GlyphEntry, GlyphSymbol, Glyphs, Let } from '../../language/generated/ast.ts';
import { mechanismOf } from '../../language/names.ts';
import { units } from '../../language/units.ts';
import { functions, innerWords, rooms, unitWords } from '../../language/words.ts';
import { pages } from '../checks/index.ts';
import type { Reckoned } from '../protocol.ts';
import { entriesOf, symbolText, tableOf } from './glyphs.ts';
import { roomOf } from './parts.ts';
import { lines, list, paragraphs, shown } from './said.ts';
import { namingOf, segmentIn, segmentWord } from './segments.ts';
import type { DesignServices } from './services.ts';
import { defaultLines, mechanismLines, partLines } from './told-parts.ts';
import { lawTold, letTold, numberTold } from './told-values.ts';

export class DesignHover implements HoverProvider {
  private readonly services: DesignServices;

  constructor(services: DesignServices) {
    this.services = services;
  }

  getHoverContent(document: LangiumDocument, { position }: HoverParams): Hover | undefined {
    const root = document.parseResult.value.$cstNode;
    const offset = document.textDocument.offsetAt(position);
    const leaf = root && CstUtils.findLeafNodeAtOffset(root, offset);
    if (!leaf || leaf.hidden || leaf.end === offset) return undefined;
    const value =
      this.ofSegmentWord(leaf) ?? this.ofValue(leaf) ?? this.ofName(leaf) ?? this.ofSymbol(leaf) ?? ofWord(leaf);
    if (!value) return undefined;
    const told = leaf.astNode.$type === 'Law' ? leaf.astNode.$cstNode! : leaf;
    return { contents: { kind: 'markdown', value }, range: told.range };
  }

  private ofValue(leaf: LeafCstNode): string | undefined {
    if (leaf.astNode.$type === 'Law') return lawTold(leaf.astNode);
    return leaf.tokenType.name === 'NUMBER' && leaf.astNode.$type !== 'GlyphSymbol'
      ? numberTold(leaf, this.reckonedOf(leaf.astNode))
      : undefined;
  }

  private ofName(leaf: LeafCstNode): string | undefined {
    const target = this.services.references.References.findDeclarations(leaf)[0];
    const name = (target as { name?: string } | undefined)?.name;
    if (!target?.$cstNode || !name) return undefined;
    const title = `**${target.$type.toLowerCase()} ${name}**`;
    switch (target.$type) {
      case 'Let':
        return letTold(target as Let);
      case 'Glyphs':
        return paragraphs(title, tableRows(target as Glyphs));
      case 'Material':
      case 'Process':
        return paragraphs(title, `\`\`\`lobe\n${target.$cstNode.text}\n\`\`\``);
      case 'Mechanism': {
        const known = this.reckonedOf(target);
        return paragraphs(title, known && mechanismLines(known));
      }
      default: {
        const known = this.reckonedOf(target);
        return paragraphs(title, known && partLines(known, name), known && defaultLines(known.figures, name));
      }
    }
  }

  /** A segment as a glyph table names it: which symbols show it, and in which mechanisms. */
  private ofSegmentWord(leaf: LeafCstNode): string | undefined {
    const word = segmentWord(leaf);
    const naming = word && namingOf(word.table, word.name, this.services.shared.workspace.LangiumDocuments);
    if (!naming) return undefined;
    const { table, name } = word;
    const by = [...entriesOf(table)].flatMap(([symbol, { lit }]) => (lit.includes(name) ? [symbol] : []));
    const having = naming.users.filter((user) => segmentIn(user, name)).map((user) => user.name);
    return paragraphs(
      `**segment ${name}**`,
      lines([
        by.length
          ? `shown by ${list(by)} in glyph table ${table.name}`
          : `no symbol of glyph table ${table.name} shows it`,
        having.length ? `a segment of mechanism ${having.join(', ')}` : 'no mechanism has it',
      ]),
    );
  }

  private ofSymbol(leaf: LeafCstNode): string | undefined {
    const node = leaf.astNode;
    if (node.$type !== 'GlyphSymbol') return undefined;
    const symbol = symbolText(node as GlyphSymbol);
    const mechanism = mechanismOf(node);
    if (!mechanism) {
      const entry = node.$container as GlyphEntry;
      return entry?.$type === 'GlyphEntry' ? `**"${symbol}"** shows ${shown(entry)}` : undefined;
    }
    const entry = entriesOf(tableOf(mechanism)).get(symbol);
    const wanted = entry ? `shows ${shown(entry)} in the glyph table` : 'is not in the glyph table';
    const positions = this.reckonedOf(mechanism)?.figures.positions.filter((position) => position.symbol === symbol);
    const seen = positions?.map(({ index, shown, wrong }) =>
      wrong.length
        ? `position ${index}: the face shows ${list(shown)}; wrong: ${list(wrong)}`
        : `position ${index}: the face shows ${list(shown)}`,
    );
    return paragraphs(`**"${symbol}"** ${wanted}`, seen && lines(seen));
  }

  private reckonedOf(node: AstNode): Reckoned | undefined {
    const mechanism = mechanismOf(node);
    const analysis = this.services.Analyses.of(AstUtils.getDocument(node).uri);
    return analysis?.mechanisms.find(({ mechanism: { place } }) => place.top === mechanism?.$containerIndex);
  }
}

// ---- words of the language -----------------------------------------------------------

function ofWord({ text, astNode, grammarSource, tokenType }: LeafCstNode): string | undefined {
  switch (tokenType.name) {
    case 'UNIT':
      return unitText(text);
    case 'FUNCTION':
      return functions[text] && `\`${text}\`: ${functions[text]}`;
    case 'CODE': {
      const page = pages.find(({ code }) => code === text);
      return page && paragraphs(`**${page.title}** (${page.severity})`, page.means);
    }
  }
  if (!GrammarAST.isKeyword(grammarSource)) return undefined;
  const room = roomOf(astNode.$container ?? astNode);
  const word = room && rooms[room][text];
  if (word) return paragraphs(`\`${word.form}\``, `${word.says}`, `Example: \`${word.example}\``);
  return innerWords[text] && `\`${text}\`: ${innerWords[text]}`;
}

function unitText(text: string): string | undefined {
  return unitWords[text] && units.has(text) ? `\`${text}\`: ${unitWords[text]}` : undefined;
}

// ---- tables ---------------------------------------------------------------------------

function tableRows(table: Glyphs): string | undefined {
  const rows = [...entriesOf(table)].map(([symbol, entry]) => `| ${symbol.replace('|', '\\|')} | ${shown(entry)} |`);
  return rows.length ? ['| symbol | shows |', '| --- | --- |', ...rows].join('\n') : undefined;
}
