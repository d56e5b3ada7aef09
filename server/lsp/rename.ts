/** Renaming: only what has a name of the maker's, and only to a name that is free. */
import { type AstNode, AstUtils, type CstNode, CstUtils, type LangiumDocument } from 'langium';
import { DefaultRenameProvider } from 'langium/lsp';
import type { TextDocumentPositionParams } from 'vscode-languageserver';
import {
  LSPErrorCodes,
  type Range,
  type RenameParams,
  ResponseError,
  TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { isMechanism, type Named } from '../../language/generated/ast.ts';
import { keywords } from '../../language/keywords.ts';
import { isLibraryFile } from '../../language/library.ts';
import { mechanismOf, namesIn } from '../../language/names.ts';
import { chainOf, tableOf } from './glyphs.ts';
import type { DesignReferences } from './references.ts';
import { type Naming, names, segmentIn } from './segments.ts';

const word = /^[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]*$/;
/** The same with hyphens, as materials, processes and tables may have them. */
const hyphenated = /^[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]*(?:-[A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]+)*$/;
const mayHaveHyphens: ReadonlySet<string> = new Set(['Material', 'Process', 'Glyphs']);

/** What a word stands for: things that are declared, and, of a segment, what glyph tables call it. */
interface Target {
  readonly leaf: CstNode;
  readonly name: string;
  readonly declared: readonly Named[];
  readonly naming: Naming | undefined;
}

export class DesignRename extends DefaultRenameProvider {
  declare protected readonly references: DesignReferences;

  override async rename(document: LangiumDocument, params: RenameParams): Promise<WorkspaceEdit | undefined> {
    const target = this.targetAt(document, params);
    if (!target) return undefined;
    refuse(fixedBecause(target) ?? unfitBecause(target, params.newName));
    const changes: Record<string, TextEdit[]> = {};
    for (const { sourceUri, segment } of this.references.mentions(target.leaf, { includeDeclaration: true })) {
      const edits = changes[sourceUri.toString()] ?? [];
      changes[sourceUri.toString()] = edits;
      edits.push(TextEdit.replace(segment.range, params.newName));
    }
    return { changes };
  }

  override prepareRename(document: LangiumDocument, params: TextDocumentPositionParams): Range | undefined {
    const target = this.targetAt(document, params);
    if (target) refuse(fixedBecause(target));
    return target?.leaf.range;
  }

  private targetAt(document: LangiumDocument, { position }: TextDocumentPositionParams): Target | undefined {
    const root = document.parseResult.value.$cstNode;
    const offset = document.textDocument.offsetAt(position);
    const leaf = root && CstUtils.findDeclarationNodeAtOffset(root, offset, this.grammarConfig.nameRegexp);
    if (!leaf) return undefined;
    const declared = this.references.findDeclarations(leaf) as Named[];
    const naming = this.references.namingAt(leaf) ?? (declared[0] && this.references.namingOf(declared[0]));
    const name = naming?.name ?? declared[0]?.name;
    return name === undefined ? undefined : { leaf, name, declared, naming };
  }
}

function refuse(because: string | undefined): void {
  if (because) throw new ResponseError(LSPErrorCodes.RequestFailed, because);
}

const inLibrary = (node: AstNode): boolean => isLibraryFile(AstUtils.getDocument(node).uri.toString());

/** Why a thing keeps its name, whatever the new one were. */
function fixedBecause({ name, declared, naming }: Target): string | undefined {
  if (!naming) return declared.some(inLibrary) ? `${name} belongs to the library; it cannot be renamed` : undefined;
  const { origin, users } = naming;
  if (inLibrary(origin)) {
    return (
      `segment ${name} has its name from glyph table ${origin.name} of the library, which cannot be changed; write the ` +
      `symbols out in a table of your own that is not 'like ${origin.name}', and rename the segment then`
    );
  }
  const others = users.filter((user) => segmentIn(user, name) && !declared.some((each) => mechanismOf(each) === user));
  if (!others.length) return undefined;
  const listed = others.map((user) => user.name).join(', ');
  return (
    `mechanism ${listed} shows its segment ${name} by glyph table ${origin.name} too and would keep the old name; ` +
    `rename ${name} in the table, which renames it in all mechanisms, or give each mechanism a table of its own`
  );
}

/** Why a new name will not do. */
function unfitBecause({ name, declared, naming }: Target, newName: unknown): string | undefined {
  const fits = !naming && declared.every(({ $type }) => mayHaveHyphens.has($type)) ? hyphenated : word;
  if (typeof newName !== 'string' || !fits.test(newName))
    return `'${newName}' is no name: a name is a letter followed by letters, digits or _`;
  if (keywords.has(newName)) return `'${newName}' is a word of the language; choose another name`;
  if (newName === name) return undefined;
  for (const target of declared) {
    const mechanism = isMechanism(target) ? target : mechanismOf(target);
    const taken = mechanism && namesIn(mechanism).first.get(newName);
    if (taken) return `${newName} is taken: it names a ${taken.$type.toLowerCase()} of ${mechanism.name}`;
  }
  const seen = [...(naming?.tables ?? []), ...(naming?.users.map(tableOf) ?? [])].flatMap(chainOf);
  const table = seen.find((each) => names(each, newName));
  return table && `${newName} is taken: glyph table ${table.name} names another segment so`;
}
