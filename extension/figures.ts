/** What was reckoned of a design, as a table in a read-only document beside the text that follows it. */
import * as vscode from 'vscode';
import { figuresText } from '../server/outputs/figures.ts';
import type { ChartState } from '../server/protocol.ts';

const figuresScheme = 'lobe-figures';

export interface FiguresView extends vscode.Disposable {
  open(design: vscode.Uri): Promise<void>;
  /** The server has reckoned this file anew. */
  changed(uri: string): void;
}

/** The design's own address rides in the query. */
const figuresUri = (design: vscode.Uri) =>
  vscode.Uri.from({
    scheme: figuresScheme,
    path: `/${design.path.slice(design.path.lastIndexOf('/') + 1).replace(/\.lobe$/, '')}.figures`,
    query: design.toString(),
  });

export function figuresView(chartOf: (uri: string) => Promise<ChartState | null>): FiguresView {
  const changes = new vscode.EventEmitter<vscode.Uri>();
  const provider = vscode.workspace.registerTextDocumentContentProvider(figuresScheme, {
    onDidChange: changes.event,
    async provideTextDocumentContent({ query }) {
      const state = await chartOf(query);
      if (!state) return vscode.l10n.t('Nothing is reckoned: the design is closed, or holds no mechanism.');
      const stale = state.stale ? `${vscode.l10n.t('Of the last good text. Now: {0}', state.stale.reason)}\n\n` : '';
      return stale + state.mechanisms.map(({ figures }) => figuresText(figures)).join('\n');
    },
  });
  return {
    async open(design) {
      const document = await vscode.workspace.openTextDocument(figuresUri(design));
      await vscode.window.showTextDocument(document, {
        viewColumn: vscode.ViewColumn.Beside,
        preview: true,
        preserveFocus: true,
      });
    },
    changed(uri) {
      for (const { uri: shown } of vscode.workspace.textDocuments)
        if (shown.scheme === figuresScheme && shown.query === uri) changes.fire(shown);
    },
    dispose() {
      provider.dispose();
      changes.dispose();
    },
  };
}
