/** The phase chart beside the text: one panel, which follows the design being edited. */
import * as vscode from 'vscode';
import type { Place } from '../../language/mechanism.ts';
import type { ChartState, FromChart, PartAtResult, ToChart, WhereIsResult } from '../../server/protocol.ts';
import { isDesign } from '../designs.ts';
import { chartViewType } from '../names.ts';
import { newest } from './newest.ts';
import { chartPage } from './page.ts';

/** What the panel wants to know of the language server. */
export interface ChartSource {
  chartOf(uri: string, againstCommitted: boolean): Promise<ChartState | null>;
  partAt(uri: string, line: number, character: number): Promise<PartAtResult>;
  whereIs(place: Place): Promise<WhereIsResult>;
}

export interface ChartView extends vscode.Disposable {
  /** Opens the chart of a design beside the text, or brings the open chart to it. */
  open(design: vscode.Uri): void;
  /** The server has reckoned this file anew. */
  changed(uri: string): void;
  /** A repository has another commit. */
  committed(): void;
}

/** Whether the chart is held against the committed version, as the maker left it. */
const againstKey = 'chart.againstCommitted';

/** A cursor that moves on within this time (ms) is not followed to its part. */
const cursorRestMs = 60;

const nonce = () => crypto.randomUUID().replaceAll('-', '');

export function chartView(context: vscode.ExtensionContext, source: ChartSource): ChartView {
  const { extensionUri, workspaceState } = context;
  let against = workspaceState.get(againstKey, false);
  let panel: vscode.WebviewPanel | undefined;
  let ready = false;
  let cursorTimer: ReturnType<typeof setTimeout> | undefined;

  const post = (message: ToChart) => {
    if (ready) void panel?.webview.postMessage(message);
  };

  const followed = newest(
    (uri) => source.chartOf(uri, against),
    (uri, state) => {
      const file = vscode.workspace.asRelativePath(vscode.Uri.parse(uri), false);
      if (panel) panel.title = vscode.l10n.t('Chart: {0}', file.slice(file.lastIndexOf('/') + 1));
      post({ type: 'state', state, file, against });
      const editor = vscode.window.activeTextEditor;
      if (editor?.document.uri.toString() === uri) followCursor(editor);
    },
  );

  /** Lights the part that the cursor stands in. */
  function followCursor(editor: vscode.TextEditor): void {
    clearTimeout(cursorTimer);
    const uri = editor.document.uri.toString();
    cursorTimer = setTimeout(async () => {
      const { line, character } = editor.selection.active;
      const found = await source.partAt(uri, line, character).catch(() => null);
      if (found && uri === followed.uri) post({ type: 'cursor', ...found });
    }, cursorRestMs);
  }

  /** Selects a part's text where it is shown already, else beside the chart, and gives it the focus. */
  async function reveal(place: Place): Promise<void> {
    const found = await source.whereIs(place).catch(() => null);
    if (!found) return;
    const { start, end } = found.range;
    const selection = new vscode.Range(start.line, start.character, end.line, end.character);
    const shown = vscode.window.visibleTextEditors.find(({ document }) => document.uri.toString() === found.uri);
    const beside = vscode.window.visibleTextEditors.find(({ document }) => isDesign(document));
    const viewColumn = shown?.viewColumn ?? beside?.viewColumn ?? (panel?.viewColumn === 1 ? 2 : 1);
    const document = shown?.document ?? (await vscode.workspace.openTextDocument(vscode.Uri.parse(found.uri)));
    const editor = await vscode.window.showTextDocument(document, { viewColumn, selection, preserveFocus: false });
    editor.revealRange(selection, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  function adopt(adopted: vscode.WebviewPanel): void {
    panel?.dispose();
    panel = adopted;
    ready = false;
    const out = vscode.Uri.joinPath(extensionUri, 'out');
    adopted.webview.options = { enableScripts: true, localResourceRoots: [out] };
    const icon = (ground: string) => vscode.Uri.joinPath(extensionUri, 'extension', 'icons', `chart-${ground}.svg`);
    adopted.iconPath = { light: icon('light'), dark: icon('dark') };
    adopted.webview.onDidReceiveMessage((message: FromChart) => {
      switch (message.type) {
        case 'ready':
          ready = true;
          if (followed.uri) followed.changed(followed.uri);
          break;
        case 'select':
          void reveal(message.place);
          break;
        case 'against':
          against = message.on;
          void workspaceState.update(againstKey, against);
          if (followed.uri) followed.changed(followed.uri);
          break;
      }
    });
    adopted.onDidDispose(() => {
      if (panel === adopted) panel = undefined;
    });
    adopted.webview.html = chartPage({
      cspSource: adopted.webview.cspSource,
      script: adopted.webview.asWebviewUri(vscode.Uri.joinPath(out, 'chart-webview.js')).toString(),
      nonce: nonce(),
      language: vscode.env.language,
      title: vscode.l10n.t('Phase chart'),
    });
  }

  const subscriptions = [
    vscode.window.onDidChangeActiveTextEditor((editor) => {
      if (panel && editor && isDesign(editor.document)) followed.follow(editor.document.uri.toString());
    }),
    vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => {
      if (panel && textEditor.document.uri.toString() === followed.uri) followCursor(textEditor);
    }),
    vscode.window.registerWebviewPanelSerializer(chartViewType, {
      async deserializeWebviewPanel(restored, kept: { readonly uri?: string } | undefined) {
        adopt(restored);
        if (typeof kept?.uri !== 'string') return;
        // The server charts files that are open; after a restart this one may not be yet.
        await vscode.workspace.openTextDocument(vscode.Uri.parse(kept.uri)).then(undefined, () => undefined);
        followed.follow(kept.uri);
      },
    }),
  ];

  return {
    open(design) {
      if (panel) panel.reveal(undefined, true);
      else {
        const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
        adopt(vscode.window.createWebviewPanel(chartViewType, vscode.l10n.t('Phase chart'), beside));
      }
      followed.follow(design.toString());
    },
    changed(uri) {
      // A chart out of sight is drawn anew when it comes back, and asks then.
      if (panel?.visible) followed.changed(uri);
    },
    committed() {
      if (panel?.visible && against && followed.uri) followed.changed(followed.uri);
    },
    dispose() {
      clearTimeout(cursorTimer);
      panel?.dispose();
      for (const subscription of subscriptions) subscription.dispose();
    },
  };
}
