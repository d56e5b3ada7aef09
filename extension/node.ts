/** The extension on a desktop or a remote machine: the server runs beside it, on the editor's own runtime. */
import * as vscode from 'vscode';
import { type BaseLanguageClient, LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { start } from './activate.ts';
import { clientId } from './names.ts';
import { checkTasks } from './tasks.ts';

let client: BaseLanguageClient | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const module = vscode.Uri.joinPath(context.extensionUri, 'out', 'server.cjs').fsPath;
  context.subscriptions.push(checkTasks(context));
  client = await start(context, {
    clientFor: (options) =>
      new LanguageClient(clientId, 'Lobewright', { module, transport: TransportKind.ipc }, options),
    pdf: true,
    noGit: vscode.l10n.t(
      'The committed version cannot be had: the editor’s own git is switched off, the folder is not trusted, or the design is no file on a disk.',
    ),
  });
}

export const deactivate = (): Promise<void> | undefined => client?.stop();
