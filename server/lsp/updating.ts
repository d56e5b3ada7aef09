/** When a text is read again: shortly after the last keystroke, or at once when somebody asks about it. */

import {
  type Cancellation,
  Deferred,
  type DocumentState,
  isOperationCancelled,
  type LangiumDocument,
  type TextDocument,
  URI,
} from 'langium';
import { DefaultDocumentUpdateHandler, type LangiumSharedServices } from 'langium/lsp';
import {
  type DidChangeWatchedFilesParams,
  FileChangeType,
  type FileSystemWatcher,
  type TextDocumentChangeEvent,
} from 'vscode-languageserver';
import { LobeDocumentBuilder } from '../../language/documents.ts';
import type { Design } from '../../language/generated/ast.ts';
import { importedFiles, visibleDesigns } from '../../language/imports.ts';

/** Shortest and longest wait after a keystroke, ms. */
const shortest = 2;
const longest = 80;

/**
 * The wait after a keystroke, where the last reading took `took` ms and the stroke before lies `since` ms back: a lone
 * stroke is read at once; in a flurry that is faster than reading, strokes are read together.
 */
const waitAfter = (took: number, since: number): number =>
  since > 2 * took ? shortest : Math.min(longest, Math.max(shortest, took / 2));

/** Collects changes and has them read together. */
export class DesignUpdates extends DefaultDocumentUpdateHandler {
  private readonly shared: LangiumSharedServices;
  private readonly changed = new Map<string, URI>();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private handedOver: Deferred<void> | undefined;
  private took = 0;
  private struck = 0;

  constructor(services: LangiumSharedServices) {
    super(services);
    this.shared = services;
    // From here on the documents themselves say that they are out of date.
    services.workspace.DocumentBuilder.onUpdate(() => {
      if (this.changed.size) return;
      this.handedOver?.resolve();
      this.handedOver = undefined;
    });
  }

  override didChangeContent({ document }: TextDocumentChangeEvent<TextDocument>): void {
    this.changed.set(document.uri, URI.parse(document.uri));
    this.handedOver ??= new Deferred();
    this.workspaceLock.cancelWrite();
    clearTimeout(this.timer);
    const since = performance.now() - this.struck;
    this.struck += since;
    this.timer = setTimeout(() => this.readNow(), waitAfter(this.took, since));
  }

  /** A closed text is forgotten; where an open one brings it in, what stands in its file counts again. */
  didCloseDocument({ document }: TextDocumentChangeEvent<TextDocument>): void {
    const uri = URI.parse(document.uri);
    this.changed.delete(document.uri);
    const { LangiumDocuments, TextDocuments } = this.shared.workspace;
    const seen = LangiumDocuments.all.some(
      (other) =>
        TextDocuments.get(other.uri) !== undefined &&
        visibleDesigns(other.uri, LangiumDocuments).some((design) => design.$document?.uri.toString() === document.uri),
    );
    this.fireDocumentUpdate(seen ? [uri] : [], seen ? [] : [uri]);
  }

  protected override getWatchers(): FileSystemWatcher[] {
    return [{ globPattern: '**/*.lobe' }];
  }

  /** Of all files that change on the disk, only those count that are held, or that a text held tries to bring in. */
  override didChangeWatchedFiles({ changes }: DidChangeWatchedFilesParams): void {
    const { LangiumDocuments } = this.shared.workspace;
    const wanted = new Set<string>();
    for (const { uri, parseResult } of LangiumDocuments.all) {
      wanted.add(uri.toString());
      for (const file of importedFiles(parseResult.value as Design, uri)) wanted.add(file.toString());
    }
    const counted = changes.filter(({ uri }) => wanted.has(URI.parse(uri).toString()));
    const [gone, there] = [true, false].map((deleted) =>
      counted.filter(({ type }) => (type === FileChangeType.Deleted) === deleted).map(({ uri }) => URI.parse(uri)),
    );
    if (counted.length) this.fireDocumentUpdate(there!, gone!);
  }

  /** Resolves when no text is newer than what has been handed to the builder; what waits is read at once. */
  async settled(): Promise<void> {
    if (this.changed.size) this.readNow();
    await this.handedOver?.promise;
  }

  private readNow(): void {
    clearTimeout(this.timer);
    const changed = [...this.changed.values()];
    this.changed.clear();
    this.workspaceManager.ready
      .then(() =>
        this.workspaceLock.write(async (token) => {
          const started = performance.now();
          await this.documentBuilder.update(changed, [], token);
          this.took = performance.now() - started;
        }),
      )
      .catch((failure: unknown) => {
        if (!isOperationCancelled(failure)) console.error('Reading failed:', failure);
      });
  }
}

/** Answers about a text only when its newest version has been read. */
export class DesignBuilder extends LobeDocumentBuilder {
  private readonly updates: () => DesignUpdates;

  constructor(services: LangiumSharedServices) {
    super(services);
    this.updates = () => services.lsp.DocumentUpdateHandler as DesignUpdates;
  }

  /** A text is linked anew also where a file comes or goes that it, or what it brings in, names. */
  protected override shouldRelink(document: LangiumDocument, changed: Set<string>): boolean {
    if (super.shouldRelink(document, changed)) return true;
    const designs = [document.parseResult.value as Design, ...visibleDesigns(document.uri, this.langiumDocuments)];
    return designs.some((design) => {
      const uri = design.$document?.uri;
      return uri && importedFiles(design, uri).some((file) => changed.has(file.toString()));
    });
  }

  protected override async awaitDocumentState(
    state: DocumentState,
    uri: URI,
    token: Cancellation.CancellationToken,
  ): Promise<URI> {
    await this.updates().settled();
    return super.awaitDocumentState(state, uri, token);
  }

  protected override async awaitBuilderState(
    state: DocumentState,
    token: Cancellation.CancellationToken,
  ): Promise<void> {
    await this.updates().settled();
    return super.awaitBuilderState(state, token);
  }
}
