/** The language without an editor: texts in, linked designs out. */
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  DocumentState,
  EmptyFileSystem,
  inject,
  type LangiumCoreServices,
  type LangiumDocument,
  type LangiumSharedCoreServices,
  URI,
} from 'langium';
import type { Design } from './generated/ast.ts';
import { importedFiles } from './imports.ts';
import { libraryFiles, libraryText } from './library.ts';
import { LobeModule, LobeSharedModule } from './module.ts';
import type { LobeLinker } from './names.ts';

export interface LobeServices {
  readonly shared: LangiumSharedCoreServices;
  readonly lobe: LangiumCoreServices;
}

/** A design as it was read; its syntax tree is `parseResult.value`, with all names linked. */
export type DesignDocument = LangiumDocument<Design>;

/** The text of a file, given as a URI; undefined where there is none. */
export type Read = (uri: string) => string | undefined;

/** The language's services, for use without an editor. */
export function createLobeServices(): LobeServices {
  const shared = inject(createDefaultSharedCoreModule(EmptyFileSystem), LobeSharedModule);
  const lobe = inject(createDefaultCoreModule({ shared }), LobeModule);
  shared.ServiceRegistry.register(lobe);
  return { shared, lobe };
}

/**
 * Reads a design, all that it imports, and the library, and links them. Never throws: an empty design where `read`
 * gives no text. A file that these services have read before is read again only if it is `uri` itself.
 */
export function openDesign(services: LobeServices, uri: string, read: Read): DesignDocument {
  const { LangiumDocuments: documents } = services.shared.workspace;
  documents.deleteDocument(URI.parse(uri));
  const opened: DesignDocument[] = [];
  const waiting = [URI.parse(uri), ...libraryFiles.map((file) => URI.parse(file))];
  for (let file = waiting.shift(); file; file = waiting.shift()) {
    if (documents.hasDocument(file)) continue;
    const name = file.toString();
    const text = libraryText(name) ?? read(name) ?? (name === uri ? '' : undefined);
    if (text === undefined) continue;
    const document = documents.createDocument(file, text) as DesignDocument;
    opened.push(document);
    waiting.push(...importedFiles(document.parseResult.value, file));
  }
  const linker = services.lobe.references.Linker as LobeLinker;
  for (const document of opened) {
    document.state = DocumentState.ComputedScopes;
    linker.linkNow(document);
    document.state = DocumentState.Linked;
  }
  return opened[0]!;
}

/** Reads a design from its text alone (with the library). */
export function readDesign(services: LobeServices, text: string, uri = 'memory:/design.lobe'): DesignDocument {
  return openDesign(services, uri, (file) => (file === uri ? text : undefined));
}
