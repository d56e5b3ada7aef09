/** The phase chart beside the text: one panel, which follows the design being edited. */
import * as vscode from 'vscode';
import type { Place } from '../../language/mechanism.ts';
import type { ChartState, FromChart, PartAtResult, ToChart, WhereIsResult } from '../../server/protocol.ts';
import { type DesignPanel, designPanel } from '../design-panel.ts';
import { isDesign } from '../designs.ts';
import { chartViewType } from '../names.ts';

/** What the panel wants to know of the language server. */
export interface ChartSource {
  chartOf(uri: string, againstCommitted: boolean): Promise<ChartState | null>;
  partAt(uri: string, line: number, character: number): Promise<PartAtResult>;
  whereIs(place: Place): Promise<WhereIsResult>;
}

export interface ChartView extends Pick<DesignPanel, 'open' | 'changed' | 'dispose'> {
  /** A repository has another commit. */
  committed(): void;
}

/** Whether the chart is held against the committed version, as the maker left it. */
const againstKey = 'chart.againstCommitted';

/** A cursor that moves on within this time (ms) is not followed to its part. */
const cursorRestMs = 60;

export function chartView(context: vscode.ExtensionContext, source: ChartSource): ChartView {
  const { workspaceState } = context;
  let against = workspaceState.get(againstKey, false);
  let cursorTimer: ReturnType<typeof setTimeout> | undefined;

  const panel = designPanel<ChartState | null, FromChart>(context, {
    viewType: chartViewType,
    title: vscode.l10n.t('Phase chart'),
    titleOf: (file) => vscode.l10n.t('Chart: {0}', file),
    script: 'chart-webview.js',
    ask: (uri) => source.chartOf(uri, against),
    message: (state, file) => ({ type: 'state', state, file, against }) satisfies ToChart,
    received: (message) => {
      switch (message.type) {
        case 'select':
          void reveal(message.place);
          break;
        case 'against':
          against = message.on;
          void workspaceState.update(againstKey, against);
          again();
          break;
      }
    },
    sent: (uri) => {
      const editor = vscode.window.activeTextEditor;
      if (editor?.document.uri.toString() === uri) followCursor(editor);
    },
  });

  const again = () => {
    if (panel.uri) panel.changed(panel.uri);
  };

  /** Lights the part that the cursor stands in. */
  function followCursor(editor: vscode.TextEditor): void {
    clearTimeout(cursorTimer);
    const uri = editor.document.uri.toString();
    cursorTimer = setTimeout(async () => {
      const { line, character } = editor.selection.active;
      const found = await source.partAt(uri, line, character).catch(() => null);
      if (found && uri === panel.uri) panel.post({ type: 'cursor', ...found } satisfies ToChart);
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
    const viewColumn = shown?.viewColumn ?? beside?.viewColumn ?? (panel.viewColumn === 1 ? 2 : 1);
    const document = shown?.document ?? (await vscode.workspace.openTextDocument(vscode.Uri.parse(found.uri)));
    const editor = await vscode.window.showTextDocument(document, { viewColumn, selection, preserveFocus: false });
    editor.revealRange(selection, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  const cursor = vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => {
    if (textEditor.document.uri.toString() === panel.uri) followCursor(textEditor);
  });

  return {
    open: panel.open,
    changed: panel.changed,
    committed() {
      if (against) again();
    },
    dispose() {
      clearTimeout(cursorTimer);
      cursor.dispose();
      panel.dispose();
    },
  };
}
