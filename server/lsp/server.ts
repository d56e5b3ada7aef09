/** The language server: which question is answered by whom, and in which state a text must be for it. */
import { type Cancellation, DocumentState, isOperationCancelled, ReadPriority, URI } from 'langium';
import {
  addCodeActionHandler,
  addCompletionHandler,
  addDocumentHighlightHandler,
  addDocumentLinkHandler,
  addDocumentSymbolHandler,
  addDocumentUpdateHandler,
  addFindReferencesHandler,
  addFoldingRangeHandler,
  addFormattingHandler,
  addGotoDefinitionHandler,
  addHoverHandler,
  addInlayHintHandler,
  addRenameHandler,
  addSemanticTokenHandler,
  addWorkspaceSymbolHandler,
  createRequestHandler,
  WorkspaceState,
} from 'langium/lsp';
import type { Connection, SelectionRange, SelectionRangeParams } from 'vscode-languageserver';
import { isLibraryFile, libraryText } from '../../language/library.ts';
import type { DesignDocument } from '../../language/services.ts';
import { pageOf } from '../outputs/symptoms/page-data.ts';
import * as protocol from '../protocol.ts';
import type { DesignActions } from './actions.ts';
import { Committed } from './committed.ts';
import { partAt } from './parts.ts';
import { createServices, type DesignServices, type Surroundings } from './services.ts';
import { selectionAt } from './symbols.ts';

/** Starts to listen; everything that follows is an answer to the client. */
export function serveDesigns(surroundings: Surroundings): void {
  const { connection } = surroundings;
  const services = createServices(surroundings);
  const { shared } = services;

  connection.onInitialize(async (params) => {
    services.Settings.read(params);
    const result = await shared.lsp.LanguageServer.initialize(params);
    return {
      ...result,
      capabilities: {
        ...result.capabilities,
        selectionRangeProvider: true,
        codeActionProvider: { codeActionKinds: ['quickfix', 'refactor.rewrite'], resolveProvider: true },
      },
      serverInfo: { name: 'lobewright', version: LOBEWRIGHT_VERSION },
    };
  });
  connection.onInitialized((params) => shared.lsp.LanguageServer.initialized(params));

  const { Parsed, Linked, Validated } = DocumentState;
  addDocumentUpdateHandler(connection, shared);
  addCompletionHandler(connection, shared, Linked);
  addFindReferencesHandler(connection, shared, WorkspaceState.IndexedReferences);
  addDocumentSymbolHandler(connection, shared, Parsed);
  addGotoDefinitionHandler(connection, shared, Linked);
  addDocumentHighlightHandler(connection, shared, Linked);
  addFoldingRangeHandler(connection, shared, Parsed);
  addFormattingHandler(connection, shared, Parsed);
  addCodeActionHandler(connection, shared, Validated);
  connection.onCodeActionResolve((action, token) =>
    (services.lsp.CodeActionProvider as DesignActions).resolve(action, token),
  );
  addRenameHandler(connection, shared, WorkspaceState.IndexedReferences);
  addHoverHandler(connection, shared, Validated);
  addInlayHintHandler(connection, shared, Validated);
  addSemanticTokenHandler(connection, shared, Linked);
  addDocumentLinkHandler(connection, shared, Parsed);
  addWorkspaceSymbolHandler(connection, shared, WorkspaceState.IndexedContent);
  connection.onSelectionRanges(
    createRequestHandler<SelectionRangeParams, SelectionRange[]>(
      (_, document, { positions }) => positions.map((position) => selectionAt(document, position)),
      shared,
      Parsed,
    ),
  );
  publishFindings(connection, services);
  answerOwn(surroundings, services);

  shared.workspace.TextDocuments.listen(connection);
  connection.listen();
}

function publishFindings(connection: Connection, services: DesignServices): void {
  const { DocumentBuilder } = services.shared.workspace;
  DocumentBuilder.onUpdate((_changed, deleted) => {
    for (const uri of deleted) connection.sendDiagnostics({ uri: uri.toString(), diagnostics: [] });
  });
  DocumentBuilder.onDocumentPhase(DocumentState.Validated, ({ uri, diagnostics = [], textDocument }) => {
    if (isLibraryFile(uri.toString())) return;
    connection.sendDiagnostics({ uri: uri.toString(), version: textDocument.version, diagnostics });
  });
  services.Analyses.onRefined((document, analysis) => {
    if (isLibraryFile(analysis.file)) return;
    const diagnostics = services.validation.DocumentValidator.diagnosticsOf(analysis);
    document.diagnostics = diagnostics;
    connection.sendDiagnostics({ uri: analysis.file, version: analysis.version, diagnostics });
  });
}

/** Our own messages (see protocol.ts). A client may send anything: what is not of the right shape is answered by null. */
function answerOwn({ connection, pdf, parts }: Surroundings, services: DesignServices): void {
  const { Analyses, Places, shared } = services;
  const { DocumentBuilder, LangiumDocuments, WorkspaceLock } = shared.workspace;
  const committed = new Committed(connection);
  DocumentBuilder.onUpdate((_changed, deleted) => {
    for (const uri of deleted) committed.forget(uri.toString());
  });

  /**
   * Answers from a text in its newest state; null where there is no such text or it is closed meanwhile. `more` goes on
   * with what takes longer, or asks the client, while the text may change again.
   */
  const about = <P, A extends object>(
    method: string,
    uriOf: (params: P) => unknown,
    answer: (uri: string, params: P) => A | null,
    more?: (answer: A, params: P, token: Cancellation.CancellationToken) => Promise<object | null>,
  ): void => {
    connection.onRequest(method, async (params: P, token: Cancellation.CancellationToken): Promise<object | null> => {
      const said = params && typeof params === 'object' ? uriOf(params) : undefined;
      const uri = typeof said === 'string' && said ? URI.parse(said) : undefined;
      if (!uri || !LangiumDocuments.hasDocument(uri)) await DocumentBuilder.waitUntil(DocumentState.Parsed, token);
      if (!uri || !LangiumDocuments.hasDocument(uri)) return null;
      try {
        await DocumentBuilder.waitUntil(DocumentState.Validated, uri, token);
        const answered = await WorkspaceLock.read(() => answer(uri.toString(), params), ReadPriority.Immediate);
        return answered && more ? await more(answered, params, token) : answered;
      } catch (failure) {
        if (isOperationCancelled(failure) || !LangiumDocuments.hasDocument(uri)) return null;
        throw failure;
      }
    });
  };

  about(
    protocol.chartOf,
    ({ uri }: protocol.ChartOf) => uri,
    (uri): protocol.ChartOfResult => Analyses.chartOf(uri),
    async (state, { againstCommitted }): Promise<protocol.ChartOfResult> =>
      againstCommitted === true ? { ...state, against: await committed.against(state) } : state,
  );
  about(
    protocol.comparison,
    ({ uri }: protocol.ComparisonOf) => uri,
    (uri) => LangiumDocuments.getDocument(URI.parse(uri)) as DesignDocument,
    async (document): Promise<protocol.ComparisonResult> => {
      const analysis = await Analyses.fine(document);
      return analysis ? committed.comparison(analysis.file, analysis) : null;
    },
  );
  about(
    protocol.symptomsOf,
    ({ uri }: protocol.SymptomsOf) => uri,
    (uri): protocol.SymptomsOfResult => {
      const chart = Analyses.chartOf(uri);
      if (!chart) return null;
      const { mechanisms, ...state } = chart;
      return { ...state, pages: mechanisms.map(pageOf) };
    },
  );
  about(
    protocol.previewOf,
    ({ uri }: protocol.PreviewOf) => uri,
    (uri) => LangiumDocuments.getDocument(URI.parse(uri)) as DesignDocument,
    async (document, { mechanism }, token): Promise<protocol.PreviewOfResult> => {
      const { previewing } = await import('./previews.ts');
      const isWanted = () => !token.isCancellationRequested;
      return (await Analyses.atRest(document, (state) => previewing(state, mechanism), isWanted)) ?? null;
    },
  );
  about(
    protocol.shapesOf,
    ({ uri }: protocol.ShapesOf) => uri,
    (uri) => LangiumDocuments.getDocument(URI.parse(uri)) as DesignDocument,
    async (document, asked, token): Promise<(object & protocol.ShapesOfResult) | null> => {
      const { shaping } = await import('./previews.ts');
      const isWanted = () => !token.isCancellationRequested;
      return (await Analyses.atRest(document, (state) => shaping(state, asked), isWanted)) ?? null;
    },
  );
  about(
    protocol.paper,
    ({ uri }: protocol.PaperOf) => uri,
    (uri) => LangiumDocuments.getDocument(URI.parse(uri)) as DesignDocument,
    async (document, asked): Promise<protocol.PaperResult> => {
      const analysis = await Analyses.fine(document);
      if (!analysis) return null;
      const { paperOf } = await import('./papers.ts');
      return paperOf(asked, { analysis, pdf, find: (place) => Places.find(place) });
    },
  );
  about(
    protocol.partFilesOf,
    ({ uri }: protocol.PartFilesOf) => uri,
    (uri) => LangiumDocuments.getDocument(URI.parse(uri)) as DesignDocument,
    async (document, asked, token): Promise<protocol.PartFilesOfResult> => {
      const analysis = await Analyses.fine(document);
      if (!analysis) return null;
      const { partFilesOf } = await import('./part-files.ts');
      const isWanted = () => !token.isCancellationRequested;
      const tell = (doing: string) =>
        connection.sendNotification(protocol.partFilesDoing, {
          uri: asked.uri,
          doing,
        } satisfies protocol.PartFilesDoing);
      return partFilesOf(asked, { analysis, make: parts, isWanted, tell });
    },
  );
  about(
    protocol.whereIs,
    ({ place }: protocol.WhereIs) => place?.file,
    (_, { place }): protocol.WhereIsResult => Places.find(place) ?? null,
  );
  about(
    protocol.partAt,
    ({ uri }: protocol.PartAt) => uri,
    (uri, { line, character }): protocol.PartAtResult =>
      partAt(LangiumDocuments.getDocument(URI.parse(uri)), { line, character }),
  );
  connection.onRequest(protocol.libraryText, (params: protocol.LibraryText | undefined): protocol.LibraryTextResult => {
    return typeof params?.uri === 'string' ? (libraryText(params.uri) ?? null) : null;
  });
  Analyses.onChange((changed) => {
    if (!isLibraryFile(changed.uri)) connection.sendNotification(protocol.chartChanged, changed);
  });
}
