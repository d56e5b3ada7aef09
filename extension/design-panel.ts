/** A panel beside the text that follows the design being edited: what the chart and the page of symptoms share. */
import * as vscode from 'vscode';
import { isDesign } from './designs.ts';
import { newest } from './newest.ts';
import { webviewPage } from './webview-page.ts';

export interface DesignPanelKind<State, From extends { readonly type: string }> {
  readonly viewType: string;
  readonly title: string;
  /** With the name of the file that it shows. */
  readonly titleOf: (file: string) => string;
  /** The script in `out/`. */
  readonly script: string;
  /** Asks the server for what is shown of a file. */
  readonly ask: (uri: string) => Promise<State>;
  /** What the page is sent of it. */
  readonly message: (state: State, file: string) => object;
  /** What the page says, beside that it is ready. */
  readonly received?: (message: From) => void;
  /** The newest state has been sent. */
  readonly sent?: (uri: string) => void;
}

export interface DesignPanel extends vscode.Disposable {
  readonly uri: string | undefined;
  readonly viewColumn: vscode.ViewColumn | undefined;
  /** Opens the panel of a design beside the text, or brings the open panel to it. */
  open(design: vscode.Uri): void;
  /** The server has reckoned this file anew. */
  changed(uri: string): void;
  /** To the page, once it listens. */
  post(message: object): void;
}

const nonce = () => crypto.randomUUID().replaceAll('-', '');

export function designPanel<State, From extends { readonly type: string }>(
  { extensionUri }: vscode.ExtensionContext,
  kind: DesignPanelKind<State, From>,
): DesignPanel {
  let panel: vscode.WebviewPanel | undefined;
  let ready = false;

  const post = (message: object) => {
    if (ready) void panel?.webview.postMessage(message);
  };

  const followed = newest(kind.ask, (uri, state) => {
    const file = vscode.workspace.asRelativePath(vscode.Uri.parse(uri), false);
    if (panel) panel.title = kind.titleOf(file.slice(file.lastIndexOf('/') + 1));
    post(kind.message(state, file));
    kind.sent?.(uri);
  });

  function adopt(adopted: vscode.WebviewPanel): void {
    panel?.dispose();
    panel = adopted;
    ready = false;
    const out = vscode.Uri.joinPath(extensionUri, 'out');
    adopted.webview.options = { enableScripts: true, localResourceRoots: [out] };
    const icon = (ground: string) => vscode.Uri.joinPath(extensionUri, 'extension', 'icons', `chart-${ground}.svg`);
    adopted.iconPath = { light: icon('light'), dark: icon('dark') };
    adopted.webview.onDidReceiveMessage((message: From | { readonly type: 'ready' }) => {
      if (message.type === 'ready') {
        ready = true;
        if (followed.uri) followed.changed(followed.uri);
      } else kind.received?.(message as From);
    });
    adopted.onDidDispose(() => {
      if (panel === adopted) panel = undefined;
    });
    adopted.webview.html = webviewPage({
      cspSource: adopted.webview.cspSource,
      script: adopted.webview.asWebviewUri(vscode.Uri.joinPath(out, kind.script)).toString(),
      nonce: nonce(),
      language: vscode.env.language,
      title: kind.title,
    });
  }

  const subscriptions = [
    vscode.window.onDidChangeActiveTextEditor((editor) => {
      if (panel && editor && isDesign(editor.document)) followed.follow(editor.document.uri.toString());
    }),
    vscode.window.registerWebviewPanelSerializer(kind.viewType, {
      async deserializeWebviewPanel(restored, kept: { readonly uri?: string } | undefined) {
        adopt(restored);
        if (typeof kept?.uri !== 'string') return;
        // The server tells of files that are open; after a restart this one may not be yet.
        await vscode.workspace.openTextDocument(vscode.Uri.parse(kept.uri)).then(undefined, () => undefined);
        followed.follow(kept.uri);
      },
    }),
  ];

  return {
    get uri() {
      return panel && followed.uri;
    },
    get viewColumn() {
      return panel?.viewColumn;
    },
    open(design) {
      if (panel) panel.reveal(undefined, true);
      else {
        const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
        adopt(vscode.window.createWebviewPanel(kind.viewType, kind.title, beside));
      }
      followed.follow(design.toString());
    },
    changed(uri) {
      // A panel out of sight is drawn anew when it comes back, and asks then.
      if (panel?.visible) followed.changed(uri);
    },
    post,
    dispose() {
      panel?.dispose();
      for (const subscription of subscriptions) subscription.dispose();
    },
  };
}
