/** The path of an import, as a link to its file. */
import { GrammarUtils, type LangiumDocument } from 'langium';
import type { DocumentLinkProvider } from 'langium/lsp';
import type { DocumentLink } from 'vscode-languageserver';
import type { Design } from '../../language/generated/ast.ts';
import { importedFile, importsOf } from '../../language/imports.ts';

export class ImportLinks implements DocumentLinkProvider {
  getDocumentLinks({ parseResult, uri }: LangiumDocument): DocumentLink[] {
    return importsOf(parseResult.value as Design).flatMap((statement) => {
      const path = GrammarUtils.findNodeForProperty(statement.$cstNode, 'path');
      const target = importedFile(uri, statement.path);
      return path && target ? [{ range: path.range, target: target.toString() }] : [];
    });
  }
}
