/** What the text of a design changes against its committed version: a page beside the text that follows both. */
import * as vscode from 'vscode';
import { escaped } from '../server/outputs/compare/written.ts';
import type { ComparisonResult } from '../server/protocol.ts';

const comparisonScheme = 'lobe-comparison';

export interface ComparisonView extends vscode.Disposable {
  open(design: vscode.Uri): Promise<void>;
  /** The server has reckoned this file anew. */
  changed(uri: string): void;
  /** A repository has another commit. */
  committed(): void;
}

/** The design's own address rides in the query. */
const comparisonUri = (design: vscode.Uri) =>
  vscode.Uri.from({
    scheme: comparisonScheme,
    path: `/${design.path.slice(design.path.lastIndexOf('/') + 1)} (changes).md`,
    query: design.toString(),
  });

export function comparisonView(comparisonOf: (uri: string) => Promise<ComparisonResult>): ComparisonView {
  const changes = new vscode.EventEmitter<vscode.Uri>();
  const shown = () => vscode.workspace.textDocuments.filter(({ uri }) => uri.scheme === comparisonScheme);
  const nothing = () => vscode.l10n.t('Nothing is compared: the design is closed, or is being changed.');
  const provider = vscode.workspace.registerTextDocumentContentProvider(comparisonScheme, {
    onDidChange: changes.event,
    async provideTextDocumentContent({ query }) {
      const result = await comparisonOf(query);
      if (!result) return nothing();
      return 'because' in result ? escaped(result.because) : result.markdown;
    },
  });
  return {
    async open(design) {
      const result = await comparisonOf(design.toString());
      if (!result || 'because' in result) {
        void vscode.window.showInformationMessage(result?.because ?? nothing());
        return;
      }
      const page = comparisonUri(design);
      changes.fire(page);
      await vscode.commands.executeCommand('markdown.showPreviewToSide', page);
    },
    changed(uri) {
      for (const document of shown()) if (document.uri.query === uri) changes.fire(document.uri);
    },
    committed() {
      for (const document of shown()) changes.fire(document.uri);
    },
    dispose() {
      provider.dispose();
      changes.dispose();
    },
  };
}
