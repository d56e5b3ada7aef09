/** The parts in space beside the text: one panel, which follows the design being edited. */
import * as vscode from 'vscode';
import type { FromPreview, PreviewState, ShapesOfResult, ToPreview } from '../../server/protocol.ts';
import { type DesignPanel, designPanel } from '../design-panel.ts';
import { previewViewType } from '../names.ts';
import { type Places, textAndPicture } from '../text-and-picture.ts';

/** What the panel wants to know of the language server. */
export interface PreviewSource extends Places {
  previewOf(uri: string, mechanism?: string): Promise<PreviewState | null>;
  shapesOf(
    uri: string,
    mechanism: string,
    shapes: readonly string[],
    token: vscode.CancellationToken,
  ): Promise<ShapesOfResult>;
}

export function previewView(context: vscode.ExtensionContext, source: PreviewSource): DesignPanel {
  /** The mechanism of the file that was chosen, or that the cursor stands in. */
  let mechanism: string | undefined;
  let asked: vscode.CancellationTokenSource | undefined;

  const panel = designPanel<PreviewState | null, FromPreview>(context, {
    viewType: previewViewType,
    title: vscode.l10n.t('Preview of the parts'),
    titleOf: (file) => vscode.l10n.t('Parts: {0}', file),
    script: 'preview-webview.js',
    ask: (uri) => source.previewOf(uri, mechanism),
    message: (state, file) => ({ type: 'state', state, file }) satisfies ToPreview,
    received: (message) => {
      switch (message.type) {
        case 'shapes':
          void send(message.mechanism, message.shapes);
          break;
        case 'select':
          void text.reveal(message.place);
          break;
        case 'choose':
          show(message.mechanism);
          break;
      }
    },
    sent: (uri) => text.shown(uri),
  });
  const text = textAndPicture(
    () => panel,
    source,
    (part) => {
      show(part.mechanism);
      panel.post({ type: 'cursor', ...part } satisfies ToPreview);
    },
  );

  function show(wanted: string): void {
    if (wanted === mechanism) return;
    mechanism = wanted;
    if (panel.uri) panel.changed(panel.uri);
  }

  /** Shapes that were asked for before are no longer wanted. */
  async function send(of: string, shapes: readonly string[]): Promise<void> {
    asked?.cancel();
    const { uri } = panel;
    if (uri === undefined) return;
    const asking = new vscode.CancellationTokenSource();
    asked = asking;
    const found = await source.shapesOf(uri, of, shapes, asking.token).catch(() => null);
    if (found && asked === asking) panel.post({ type: 'shapes', shapes: found } satisfies ToPreview);
    asking.dispose();
  }

  return {
    get uri() {
      return panel.uri;
    },
    get viewColumn() {
      return panel.viewColumn;
    },
    open: panel.open,
    changed: panel.changed,
    post: panel.post,
    dispose() {
      asked?.cancel();
      text.dispose();
      panel.dispose();
    },
  };
}
