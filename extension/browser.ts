/** The extension in a browser: the server is a web worker. */
import * as vscode from 'vscode';
import {
  type BaseLanguageClient,
  BrowserMessageReader,
  BrowserMessageWriter,
  LanguageClient,
} from 'vscode-languageclient/browser';
import { start } from './activate.ts';
import { clientId } from './names.ts';

let client: BaseLanguageClient | undefined;
let worker: Worker | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const script = vscode.Uri.joinPath(context.extensionUri, 'out', 'server-worker.js').toString(true);
  /** Reader and writer, not the worker: in the editor's own workers it is of a class that the client does not know. */
  const startWorker = async () => {
    worker?.terminate();
    worker = new Worker(script);
    return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
  };
  client = await start(context, {
    clientFor: (options) => new LanguageClient(clientId, 'Lobewright', startWorker, options),
    pdf: false,
    noGit: vscode.l10n.t(
      'A design cannot be compared with its committed version in a browser: there is no git to ask. The desktop editor can, and so can "lobewright compare".',
    ),
  });
}

export async function deactivate(): Promise<void> {
  await client?.stop();
  worker?.terminate();
}
