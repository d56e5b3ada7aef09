/** Where a name, a symbol or an imported file is defined. */
import { AstUtils, CstUtils, GrammarUtils, type LangiumDocument } from 'langium';
import { DefaultDefinitionProvider } from 'langium/lsp';
import type { DefinitionParams, LocationLink } from 'vscode-languageserver';
import type { GlyphSymbol, Import } from '../../language/generated/ast.ts';
import { importedFile } from '../../language/imports.ts';
import { mechanismOf } from '../../language/names.ts';
import { entriesOf, symbolText, tableOf } from './glyphs.ts';

const fileStart = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

export class DesignDefinitions extends DefaultDefinitionProvider {
  override getDefinition(document: LangiumDocument, params: DefinitionParams) {
    return this.notNamed(document, params) ?? super.getDefinition(document, params);
  }

  /** Symbols of a count and paths of imports, which are no names to the parser library. */
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
    const mechanism = node?.$type === 'GlyphSymbol' ? mechanismOf(node) : undefined;
    const entry = mechanism && entriesOf(tableOf(mechanism)).get(symbolText(node as GlyphSymbol));
    if (!leaf || !entry?.$cstNode) return undefined;
    return [
      {
        targetUri: AstUtils.getDocument(entry).uri.toString(),
        targetRange: entry.$cstNode.range,
        targetSelectionRange: (entry.symbol.$cstNode ?? entry.$cstNode).range,
        originSelectionRange: leaf.range,
      },
    ];
  }
}
