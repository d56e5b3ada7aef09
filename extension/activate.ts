/** What the extension does wherever it runs: beside a Node server or a browser worker. */
import * as vscode from 'vscode';
import {
  type BaseLanguageClient,
  CloseAction,
  ErrorAction,
  type LanguageClientOptions,
  State,
} from 'vscode-languageclient';
import {
  type ChartChanged,
  type ChartOfResult,
  chartChanged,
  chartOf,
  type FileText,
  type FileTextResult,
  fileText,
  type LibraryTextResult,
  libraryText,
  type PartAtResult,
  partAt,
  type WhereIsResult,
  whereIs,
} from '../server/protocol.ts';
import { chartView } from './chart/panel.ts';
import { afterCrash } from './crashes.ts';
import { isDesign, newDesign } from './designs.ts';
import { figuresView } from './figures.ts';
import { clientId, languageId, libraryScheme } from './names.ts';
import { findingAsked, findingPagePath } from './pages.ts';
import { designStatus } from './status.ts';

/** Codes whose pages ship, put in by the bundler. */
declare const LOBEWRIGHT_PAGES: readonly string[];

/** Where designs may lie: in files, unsaved, in the library, and wherever the open folders are. */
function designSchemes(): string[] {
  const folders = vscode.workspace.workspaceFolders?.map(({ uri }) => uri.scheme) ?? [];
  return [...new Set(['file', 'untitled', libraryScheme, ...folders])];
}

/** Starts everything; `clientFor` makes the client that talks to the server of this place. */
export async function start(
  context: vscode.ExtensionContext,
  clientFor: (options: LanguageClientOptions) => BaseLanguageClient,
): Promise<BaseLanguageClient> {
  const log = vscode.window.createOutputChannel('Lobewright', { log: true });
  const status = designStatus();
  let crashes: readonly number[] = [];

  const client = clientFor({
    documentSelector: designSchemes().map((scheme) => ({ scheme, language: languageId })),
    outputChannel: log,
    initializationOptions: { pages: `${vscode.env.uriScheme}://${context.extension.id}/finding/` },
    markdown: { isTrusted: { enabledCommands: [] } },
    errorHandler: {
      error: (error, _message, count) => {
        log.error(error);
        return { action: (count ?? 0) <= 3 ? ErrorAction.Continue : ErrorAction.Shutdown, handled: true };
      },
      closed: () => {
        const after = afterCrash(crashes, Date.now());
        crashes = after.crashes;
        log.error(`The language server stopped by itself (${crashes.length}).`);
        if (!after.again) void offerRestart();
        return { action: after.again ? CloseAction.Restart : CloseAction.DoNotRestart, handled: true };
      },
    },
  });

  async function offerRestart(): Promise<void> {
    const restartNow = vscode.l10n.t('Restart');
    const showLog = vscode.l10n.t('Show log');
    const chosen = await vscode.window.showErrorMessage(
      vscode.l10n.t(
        'The language server of Lobewright keeps stopping. Designs are not reckoned until it is restarted.',
      ),
      restartNow,
      showLog,
    );
    if (chosen === restartNow) await restart();
    if (chosen === showLog) log.show();
  }

  async function startClient(): Promise<void> {
    try {
      await client.start();
    } catch (error) {
      log.error(error instanceof Error ? error : String(error));
      void offerRestart();
    }
  }

  async function restart(): Promise<void> {
    crashes = [];
    if (client.state !== State.Stopped) await client.stop().catch((error) => log.warn(String(error)));
    await startClient();
  }

  const chart = chartView(context, {
    chartOf: (uri) => client.sendRequest<ChartOfResult>(chartOf, { uri }),
    partAt: (uri, line, character) => client.sendRequest<PartAtResult>(partAt, { uri, line, character }),
    whereIs: (place) => client.sendRequest<WhereIsResult>(whereIs, { place }),
  });
  const figures = figuresView((uri) => client.sendRequest<ChartOfResult>(chartOf, { uri }));

  client.onDidChangeState(({ newState }) => {
    status.server(newState === State.Running ? 'running' : newState === State.Starting ? 'starting' : 'stopped');
  });
  client.onNotification(chartChanged, ({ uri, stale }: ChartChanged) => {
    status.reckoned(uri, stale);
    chart.changed(uri);
    figures.changed(uri);
  });
  client.onRequest(fileText, ({ uri }: FileText): Promise<FileTextResult> => readText(vscode.Uri.parse(uri)));

  const openChart = () => {
    const document = designInView();
    if (document) chart.open(document.uri);
    else void vscode.window.showInformationMessage(vscode.l10n.t('Open a .lobe design first, then its phase chart.'));
  };
  const showFigures = () => {
    const document = designInView();
    if (document) return figures.open(document.uri);
    void vscode.window.showInformationMessage(vscode.l10n.t('Open a .lobe design first, then its figures.'));
  };

  context.subscriptions.push(
    log,
    status,
    chart,
    figures,
    vscode.commands.registerCommand('lobewright.chart.open', openChart),
    vscode.commands.registerCommand('lobewright.figures.show', showFigures),
    vscode.commands.registerCommand('lobewright.design.new', newDesign),
    vscode.commands.registerCommand('lobewright.server.restart', restart),
    vscode.workspace.registerTextDocumentContentProvider(libraryScheme, {
      provideTextDocumentContent: (uri) =>
        client.sendRequest<LibraryTextResult>(libraryText, { uri: uri.toString() }).then((text) => text ?? undefined),
    }),
    vscode.window.registerUriHandler({ handleUri: ({ path }) => openFinding(context.extensionUri, path) }),
    vscode.window.onDidChangeActiveTextEditor(openWithDesign),
  );

  /** Opens the chart with a design where the maker has asked for that. */
  function openWithDesign(editor: vscode.TextEditor | undefined): void {
    if (!editor || !isDesign(editor.document)) return;
    if (vscode.workspace.getConfiguration(clientId).get('chart.openWithDesign')) chart.open(editor.document.uri);
  }

  await startClient();
  openWithDesign(vscode.window.activeTextEditor);
  return client;
}

/** The design that a command means: the active editor's, else one that is in view (the focus may be in the chart). */
function designInView(): vscode.TextDocument | undefined {
  const { activeTextEditor, visibleTextEditors } = vscode.window;
  return [activeTextEditor, ...visibleTextEditors].find((editor) => editor && isDesign(editor.document))?.document;
}

async function readText(uri: vscode.Uri): Promise<string | null> {
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === uri.toString());
  if (open) return open.getText();
  try {
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(uri));
  } catch {
    return null;
  }
}

/** Opens the shipped page of a finding that a link asks for. */
async function openFinding(extensionUri: vscode.Uri, path: string): Promise<void> {
  const code = findingAsked(path, LOBEWRIGHT_PAGES);
  if (code === undefined) {
    void vscode.window.showWarningMessage(vscode.l10n.t('There is no page of this name in Lobewright: {0}', path));
    return;
  }
  await vscode.commands.executeCommand(
    'markdown.showPreview',
    vscode.Uri.joinPath(extensionUri, ...findingPagePath(code)),
  );
}
