/** Where a name, a symbol or an imported file is defined. */
import { type AstNode, AstUtils, type CstNode, CstUtils, GrammarUtils, type LangiumDocument } from 'langium';
import { DefaultDefinitionProvider } from 'langium/lsp';
import type { DefinitionParams, LocationLink } from 'vscode-languageserver';
import type { GlyphSymbol, Import } from '../../language/generated/ast.ts';
import { importedFile } from '../../language/imports.ts';
import { mechanismOf } from '../../language/names.ts';
import { entriesOf, symbolText, tableOf } from './glyphs.ts';
import type { DesignReferences } from './references.ts';
import { wordsFor } from './segments.ts';

const fileStart = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

export class DesignDefinitions extends DefaultDefinitionProvider {
  declare protected readonly references: DesignReferences;

  override getDefinition(document: LangiumDocument, params: DefinitionParams) {
    return this.notNamed(document, params) ?? super.getDefinition(document, params);
  }

  /** Symbols of a count, segments that no mechanism has, paths of imports: no names to the parser library. */
  private notNamed(document: LangiumDocument, { position }: DefinitionParams): LocationLink[] | undefined {
    const root = document.parseResult.value.$cstNode;
    const leaf =
      root && CstUtils.findDeclarationNodeAtOffset(root, document.textDocument.offsetAt(position), /[^\s{}]/);
    const node = leaf?.astNode;
    if (node?.$type === 'Import') {
      const path = GrammarUtils.findNodeForProperty(node.$cstNode, 'path');
      const file = importedFile(document.uri, (node as Import).path ?? '');
      if (!leaf || leaf !== path || !file) return undefined;
      const originSelectionRange = leaf.range;
      return [
        { targetUri: file.toString(), targetRange: fileStart, targetSelectionRange: fileStart, originSelectionRange },
      ];
    }
    const naming = leaf && this.references.namingAt(leaf);
    if (naming && !this.references.findDeclarations(leaf).length) {
      // No mechanism has it: the table that names it first is where it comes from.
      const [word] = wordsFor(naming.origin, naming.name);
      const target = word && link(word.astNode, word);
      return target && [{ ...target, originSelectionRange: leaf.range }];
    }
    const mechanism = node?.$type === 'GlyphSymbol' ? mechanismOf(node) : undefined;
    const entry = mechanism && entriesOf(tableOf(mechanism)).get(symbolText(node as GlyphSymbol));
    if (!leaf || !entry?.$cstNode) return undefined;
    return [{ ...link(entry, entry.symbol.$cstNode ?? entry.$cstNode), originSelectionRange: leaf.range }];
  }
}

/** A node as a place to go to, with the word of it that is meant. */
const link = (node: AstNode, word: CstNode): LocationLink => ({
  targetUri: AstUtils.getDocument(node).uri.toString(),
  targetRange: (node.$cstNode ?? word).range,
  targetSelectionRange: word.range,
});
