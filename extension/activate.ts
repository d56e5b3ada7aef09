/** What the extension does wherever it runs: beside a Node server or a browser worker. */
import * as vscode from 'vscode';
import { type BaseLanguageClient, type LanguageClientOptions, State } from 'vscode-languageclient';
import {
  type ChartChanged,
  type ChartOfResult,
  type CommittedTextResult,
  type ComparisonResult,
  chartChanged,
  chartOf,
  committedText,
  comparison,
  type FileText,
  type FileTextResult,
  fileText,
  type LibraryTextResult,
  libraryText,
  type PaperResult,
  type PartAtResult,
  type PartFilesDoing,
  type PartFilesOfResult,
  type PreviewOfResult,
  paper,
  partAt,
  partFilesDoing,
  partFilesOf,
  previewOf,
  type ShapesOfResult,
  type SymptomsOfResult,
  shapesOf,
  symptomsOf,
  type WhereIsResult,
  whereIs,
} from '../server/protocol.ts';
import { chartView } from './chart/panel.ts';
import { type CommittedVersions, committedVersions, type Git, type NoVersion } from './committed.ts';
import { comparisonView } from './comparison.ts';
import { designInView, isDesign, newDesign } from './designs.ts';
import { figuresView } from './figures.ts';
import { findingPages, linkedHere } from './findings.ts';
import { clientId, languageId, libraryScheme } from './names.ts';
import { papers } from './papers.ts';
import { partsExport } from './parts.ts';
import { previewView } from './preview/panel.ts';
import { keptServer } from './server.ts';
import { designStatus } from './status.ts';
import { symptomsView } from './symptoms/panel.ts';
import type { Places } from './text-and-picture.ts';

/** Where designs may lie: in files, unsaved, in the library, and wherever the open folders are. */
function designSchemes(): string[] {
  const folders = vscode.workspace.workspaceFolders?.map(({ uri }) => uri.scheme) ?? [];
  return [...new Set(['file', 'untitled', libraryScheme, ...folders])];
}

/** What differs between the places where the extension runs. */
export interface Surroundings {
  /** The client that talks to the server of this place. */
  readonly clientFor: (options: LanguageClientOptions) => BaseLanguageClient;
  /** Said where the editor has no git to ask. */
  readonly noGit: string;
  /** Whether its server can make a PDF. */
  readonly pdf: boolean;
}

/** Starts everything. */
export async function start(
  context: vscode.ExtensionContext,
  { clientFor, noGit, pdf }: Surroundings,
): Promise<BaseLanguageClient> {
  const log = vscode.window.createOutputChannel('Lobewright', { log: true });
  const status = designStatus();
  const options: LanguageClientOptions = {
    documentSelector: designSchemes().map((scheme) => ({ scheme, language: languageId })),
    initializationOptions: { pages: `${vscode.env.uriScheme}://${context.extension.id}/finding/` },
    middleware: { handleDiagnostics: (uri, diagnostics, next) => next(uri, diagnostics.map(linkedHere)) },
  };
  const server = keptServer(clientFor, options, log);
  const { client } = server;

  const places: Places = {
    partAt: (uri, line, character) => client.sendRequest<PartAtResult>(partAt, { uri, line, character }),
    whereIs: (place) => client.sendRequest<WhereIsResult>(whereIs, { place }),
  };
  const chart = chartView(context, {
    ...places,
    chartOf: (uri, againstCommitted) => client.sendRequest<ChartOfResult>(chartOf, { uri, againstCommitted }),
  });
  const preview = previewView(context, {
    ...places,
    previewOf: (uri, mechanism) => client.sendRequest<PreviewOfResult>(previewOf, { uri, mechanism }),
    shapesOf: (uri, mechanism, shapes, token) =>
      client.sendRequest<ShapesOfResult>(shapesOf, { uri, mechanism, shapes }, token),
  });
  const figures = figuresView((uri) => client.sendRequest<ChartOfResult>(chartOf, { uri }));
  const changes = comparisonView((uri) => client.sendRequest<ComparisonResult>(comparison, { uri }));
  const { sheet, cards, report } = papers((asked, token) => client.sendRequest<PaperResult>(paper, asked, token), pdf);
  const exporting = partsExport((asked, token) => client.sendRequest<PartFilesOfResult>(partFilesOf, asked, token));
  const versions: CommittedVersions = committedVersions(editorsGit, () => {
    chart.committed();
    changes.committed();
  });

  const symptoms = symptomsView(context, (uri) => client.sendRequest<SymptomsOfResult>(symptomsOf, { uri }));

  client.onDidChangeState(({ newState }) => {
    status.server(newState === State.Running ? 'running' : newState === State.Starting ? 'starting' : 'stopped');
  });
  client.onNotification(chartChanged, ({ uri, stale }: ChartChanged) => {
    status.reckoned(uri, stale);
    chart.changed(uri);
    figures.changed(uri);
    changes.changed(uri);
    symptoms.changed(uri);
    preview.changed(uri);
  });
  client.onNotification(partFilesDoing, ({ uri, doing }: PartFilesDoing) => exporting.doing(uri, doing));
  client.onRequest<CommittedTextResult, void>(committedText, async ({ uri }: FileText) => {
    const version = await versions.of(vscode.Uri.parse(uri));
    return 'not' in version ? { because: noVersion(version.not, noGit) } : version;
  });
  client.onRequest(fileText, ({ uri }: FileText): Promise<FileTextResult> => readText(vscode.Uri.parse(uri)));

  /** Does something with the design in view, or says what is lacking. */
  const withDesign = (run: (uri: vscode.Uri) => unknown) => () => {
    const document = designInView();
    if (document) return run(document.uri);
    void vscode.window.showInformationMessage(vscode.l10n.t('Open a .lobe design first.'));
  };

  const opened = new Set<string>();

  /** Opens the chart with a design, once, where the maker has asked for that. */
  function openWithDesign(editor: vscode.TextEditor | undefined): void {
    if (!editor || !isDesign(editor.document)) return;
    const { uri } = editor.document;
    if (opened.has(uri.toString()) || !vscode.workspace.getConfiguration(clientId).get('chart.openWithDesign')) return;
    opened.add(uri.toString());
    chart.open(uri);
  }

  context.subscriptions.push(
    log,
    status,
    chart,
    figures,
    changes,
    versions,
    symptoms,
    preview,
    findingPages(context),
    vscode.commands.registerCommand('lobewright.chart.open', withDesign(chart.open)),
    vscode.commands.registerCommand('lobewright.figures.show', withDesign(figures.open)),
    vscode.commands.registerCommand('lobewright.compare.committed', withDesign(changes.open)),
    vscode.commands.registerCommand('lobewright.symptoms.open', withDesign(symptoms.open)),
    vscode.commands.registerCommand('lobewright.preview.open', withDesign(preview.open)),
    exporting,
    vscode.commands.registerCommand('lobewright.parts.export', withDesign(exporting.run)),
    vscode.commands.registerCommand('lobewright.sheet.write', withDesign(sheet)),
    vscode.commands.registerCommand('lobewright.cards.write', withDesign(cards)),
    vscode.commands.registerCommand('lobewright.report.write', withDesign(report)),
    vscode.commands.registerCommand('lobewright.design.new', newDesign),
    vscode.commands.registerCommand('lobewright.server.restart', server.restart),
    vscode.workspace.registerTextDocumentContentProvider(libraryScheme, {
      provideTextDocumentContent: (uri) =>
        client.sendRequest<LibraryTextResult>(libraryText, { uri: uri.toString() }).then((text) => text ?? undefined),
    }),
    vscode.window.onDidChangeActiveTextEditor(openWithDesign),
  );

  await server.start();
  openWithDesign(vscode.window.activeTextEditor);
  return client;
}

/** The git that comes with the editor; undefined where there is none, or it is switched off. */
async function editorsGit(): Promise<Git | undefined> {
  const git = vscode.extensions.getExtension<{ getAPI(version: 1): Git }>('vscode.git');
  try {
    return (git?.isActive ? git.exports : await git?.activate())?.getAPI(1);
  } catch {
    return undefined;
  }
}

function noVersion(because: NoVersion, noGit: string): string {
  switch (because) {
    case 'no git':
      return noGit;
    case 'no repository':
      return vscode.l10n.t('This file is in no git repository, so that there is no committed version of it.');
    case 'no commit':
      return vscode.l10n.t('The git repository of this file has no commit yet.');
  }
}

/** The text of a file as the maker sees it: unsaved changes included. Null if it cannot be read. */
async function readText(uri: vscode.Uri): Promise<string | null> {
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === uri.toString());
  if (open) return open.getText();
  try {
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(uri));
  } catch {
    return null;
  }
}
