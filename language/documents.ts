/** Files: reading them with all that they import, and keeping them linked while they change. */
import {
  type BuildOptions,
  type Cancellation,
  DefaultDocumentBuilder,
  DefaultLangiumDocumentFactory,
  DocumentState,
  type LangiumDocument,
  URI,
} from 'langium';
import type { Design } from './generated/ast.ts';
import { importedFiles } from './imports.ts';
import { isLibraryFile, libraryFiles, libraryText } from './library.ts';

/** Reads library files from the library, all others from the file system. */
export class LobeDocumentFactory extends DefaultLangiumDocumentFactory {
  protected override async getInitialText(uri: URI, token: Cancellation.CancellationToken): Promise<string> {
    return libraryText(uri.toString()) ?? (await super.getInitialText(uri, token));
  }

  protected override async getUpdatedText(
    ...[document, text, token]: Parameters<DefaultLangiumDocumentFactory['getUpdatedText']>
  ): Promise<string> {
    return libraryText(document.uri.toString()) ?? (await super.getUpdatedText(document, text, token));
  }
}

/** Builds what a file imports along with it, and links a file anew when one that it sees has changed. */
export class LobeDocumentBuilder extends DefaultDocumentBuilder {
  protected override async buildDocuments(
    documents: LangiumDocument[],
    options: BuildOptions,
    token: Cancellation.CancellationToken,
  ): Promise<void> {
    const all = [...documents];
    const known = new Set(all.map((document) => document.uri.toString()));
    const add = async (uri: URI) => {
      if (known.has(uri.toString())) return;
      known.add(uri.toString());
      const document = await this.opened(uri);
      if (document && document.state < DocumentState.Validated) all.push(document);
    };
    for (const file of libraryFiles) await add(URI.parse(file));
    for (let i = 0; i < all.length; i++) {
      const document = all[i]!;
      if (document.state < DocumentState.Parsed) await this.langiumDocumentFactory.update(document, token);
      for (const uri of importedFiles(document.parseResult.value as Design, document.uri)) await add(uri);
    }
    await super.buildDocuments(all, options, token);
  }

  protected override shouldRelink(document: LangiumDocument, changed: Set<string>): boolean {
    return !isLibraryFile(document.uri.toString()) && super.shouldRelink(document, changed);
  }

  /** A file that may be missing: then there is no document. */
  private async opened(uri: URI): Promise<LangiumDocument | undefined> {
    try {
      return await this.langiumDocuments.getOrCreateDocument(uri);
    } catch {
      return undefined;
    }
  }
}
