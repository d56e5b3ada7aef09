/** Who speaks of what: names by the parser library's references, segments also by the words of glyph tables. */
import {
  type AstNode,
  AstUtils,
  type CstNode,
  CstUtils,
  DefaultReferences,
  type FindReferencesOptions,
  type LangiumDocument,
  type LeafCstNode,
  type ReferenceDescription,
  type Stream,
  stream,
  UriUtils,
} from 'langium';
import { DefaultDocumentHighlightProvider, DefaultReferencesProvider } from 'langium/lsp';
import {
  type DocumentHighlight,
  type DocumentHighlightParams,
  Location,
  type ReferenceParams,
} from 'vscode-languageserver';
import { isSegment } from '../../language/generated/ast.ts';
import { mechanismOf } from '../../language/names.ts';
import { tableOf } from './glyphs.ts';
import { type Naming, namingOf, segmentsOf, segmentWord, wordsFor } from './segments.ts';

export class DesignReferences extends DefaultReferences {
  /** What the word of a glyph table stands for; undefined for any other word. */
  namingAt(leaf: CstNode): Naming | undefined {
    const word = segmentWord(leaf as LeafCstNode);
    return word && namingOf(word.table, word.name, this.documents);
  }

  /** What glyph tables call a segment; undefined for what is none, or what no table of its mechanism names. */
  namingOf(target: AstNode): Naming | undefined {
    if (!isSegment(target) || !target.name) return undefined;
    const mechanism = mechanismOf(target);
    return mechanism && namingOf(tableOf(mechanism), target.name, this.documents);
  }

  override findDeclarations(leaf: CstNode): AstNode[] {
    const naming = leaf && this.namingAt(leaf);
    return naming ? segmentsOf(naming) : super.findDeclarations(leaf);
  }

  override findReferences(target: AstNode, options: FindReferencesOptions): Stream<ReferenceDescription> {
    const naming = this.namingOf(target);
    const found = super.findReferences(target, options);
    return naming ? found.concat(this.inTables(naming, options.documentUri)) : found;
  }

  /** Every mention of what a word stands for, each once, whether or not anything declares it. */
  mentions(leaf: CstNode, options: FindReferencesOptions): ReferenceDescription[] {
    const naming = this.namingAt(leaf);
    const found = new Map<string, ReferenceDescription>();
    const add = (each: ReferenceDescription) => found.set(`${each.sourceUri} ${each.segment.offset}`, each);
    for (const target of this.findDeclarations(leaf)) this.findReferences(target, options).forEach(add);
    if (naming) this.inTables(naming, options.documentUri).forEach(add);
    const mentions = [...found.values()];
    const { documentUri } = options;
    return documentUri ? mentions.filter(({ sourceUri }) => UriUtils.equals(sourceUri, documentUri)) : mentions;
  }

  private inTables({ tables, name }: Naming, only: FindReferencesOptions['documentUri']): Stream<ReferenceDescription> {
    return stream(
      tables.flatMap((table) => {
        const { uri } = AstUtils.getDocument(table);
        if (only && !UriUtils.equals(uri, only)) return [];
        const path = this.nodeLocator.getAstNodePath(table);
        return wordsFor(table, name).map((word) => ({
          sourceUri: uri,
          sourcePath: path,
          targetUri: uri,
          targetPath: path,
          segment: CstUtils.toDocumentSegment(word),
          local: true,
        }));
      }),
    );
  }
}

export class DesignMentions extends DefaultReferencesProvider {
  declare protected readonly references: DesignReferences;

  protected override getReferences(
    leaf: LeafCstNode,
    { context: { includeDeclaration } }: ReferenceParams,
  ): Location[] {
    return this.references
      .mentions(leaf, { includeDeclaration })
      .map(({ sourceUri, segment }) => Location.create(sourceUri.toString(), segment.range));
  }
}

export class DesignHighlights extends DefaultDocumentHighlightProvider {
  declare protected readonly references: DesignReferences;

  override getDocumentHighlight(document: LangiumDocument, { position }: DocumentHighlightParams): DocumentHighlight[] {
    const root = document.parseResult.value.$cstNode;
    const offset = document.textDocument.offsetAt(position);
    const leaf = root && CstUtils.findDeclarationNodeAtOffset(root, offset, this.grammarConfig.nameRegexp);
    if (!leaf) return [];
    return this.references
      .mentions(leaf, { includeDeclaration: true, documentUri: document.uri })
      .map((mention) => this.createDocumentHighlight(mention));
  }
}
