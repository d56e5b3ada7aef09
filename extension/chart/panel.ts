/** The phase chart beside the text: one panel, which follows the design being edited. */
import * as vscode from 'vscode';
import type { ChartState, FromChart, ToChart } from '../../server/protocol.ts';
import { type DesignPanel, designPanel } from '../design-panel.ts';
import { chartViewType } from '../names.ts';
import { type Places, textAndPicture } from '../text-and-picture.ts';

/** What the panel wants to know of the language server. */
export interface ChartSource extends Places {
  chartOf(uri: string, againstCommitted: boolean): Promise<ChartState | null>;
}

export interface ChartView extends Pick<DesignPanel, 'open' | 'changed' | 'dispose'> {
  /** A repository has another commit. */
  committed(): void;
}

/** Whether the chart is held against the committed version, as the maker left it. */
const againstKey = 'chart.againstCommitted';

export function chartView(context: vscode.ExtensionContext, source: ChartSource): ChartView {
  const { workspaceState } = context;
  let against = workspaceState.get(againstKey, false);

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
          void text.reveal(message.place);
          break;
        case 'against':
          against = message.on;
          void workspaceState.update(againstKey, against);
          again();
          break;
      }
    },
    sent: (uri) => text.shown(uri),
  });
  const text = textAndPicture(
    () => panel,
    source,
    (part) => panel.post({ type: 'cursor', ...part } satisfies ToChart),
  );

  const again = () => {
    if (panel.uri) panel.changed(panel.uri);
  };

  return {
    open: panel.open,
    changed: panel.changed,
    committed() {
      if (against) again();
    },
    dispose() {
      text.dispose();
      panel.dispose();
    },
  };
}
