/** Renaming: only what has a name of the maker's, and only to a name that is free. */
import { AstUtils, CstUtils, type LangiumDocument } from 'langium';
import { DefaultRenameProvider } from 'langium/lsp';
import type { TextDocumentPositionParams } from 'vscode-languageserver';
import { LSPErrorCodes, type Range, type RenameParams, ResponseError, type WorkspaceEdit } from 'vscode-languageserver';
import { isMechanism, isSegment, type Mechanism, type Named } from '../../language/generated/ast.ts';
import { keywords } from '../../language/keywords.ts';
import { isLibraryFile } from '../../language/library.ts';
import { mechanismOf, namesIn } from '../../language/names.ts';
import { entriesOf, tableOf } from './glyphs.ts';

const word = /^[A-Za-z_À-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ɏͰ-ϿЀ-ӿ]*$/;

export class DesignRename extends DefaultRenameProvider {
  override async rename(document: LangiumDocument, params: RenameParams): Promise<WorkspaceEdit | undefined> {
    const target = this.targetAt(document, params);
    if (!target) return undefined;
    const refusal = refusalOf(target, params.newName);
    if (refusal) throw new ResponseError(LSPErrorCodes.RequestFailed, refusal);
    return super.rename(document, params);
  }

  override prepareRename(document: LangiumDocument, params: TextDocumentPositionParams): Range | undefined {
    const target = this.targetAt(document, params);
    const refusal = target && fixedBecause(target);
    if (refusal) throw new ResponseError(LSPErrorCodes.RequestFailed, refusal);
    return super.prepareRename(document, params) as Range | undefined;
  }

  private targetAt(document: LangiumDocument, { position }: TextDocumentPositionParams): Named | undefined {
    const root = document.parseResult.value.$cstNode;
    const leaf = root && CstUtils.findDeclarationNodeAtOffset(root, document.textDocument.offsetAt(position));
    return this.references.findDeclarations(leaf!)[0] as Named | undefined;
  }
}

/** Why a thing keeps its name. */
function fixedBecause(target: Named): string | undefined {
  if (isLibraryFile(AstUtils.getDocument(target).uri.toString())) {
    return `${target.name} belongs to the library; it cannot be renamed`;
  }
  if (!isSegment(target)) return undefined;
  const mechanism = mechanismOf(target);
  const table = mechanism && tableOf(mechanism);
  const shown = [...entriesOf(table).values()].some(({ lit }) => lit.includes(target.name));
  return shown
    ? `glyph table ${table!.name} shows segment ${target.name} by this name; rename it there first`
    : undefined;
}

function refusalOf(target: Named, newName: unknown): string | undefined {
  const fixed = fixedBecause(target);
  if (fixed) return fixed;
  if (typeof newName !== 'string' || !word.test(newName))
    return `'${newName}' is no name: a name is a letter followed by letters, digits or _`;
  if (keywords.has(newName)) return `'${newName}' is a word of the language; choose another name`;
  if (newName === target.name) return undefined;
  const mechanism: Mechanism | undefined = isMechanism(target) ? target : mechanismOf(target);
  const taken = mechanism && namesIn(mechanism).first.get(newName);
  if (taken) return `${newName} is taken: it names a ${taken.$type.toLowerCase()} of ${mechanism.name}`;
  return undefined;
}
