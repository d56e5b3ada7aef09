/** The language server as the extension keeps it: started, and started again when it stops by itself, but not for ever. */
import * as vscode from 'vscode';
import {
  type BaseLanguageClient,
  CloseAction,
  ErrorAction,
  type LanguageClientOptions,
  State,
} from 'vscode-languageclient';
import { afterCrash } from './crashes.ts';

export interface KeptServer {
  readonly client: BaseLanguageClient;
  /** Resolves when it runs, or when it has been told that it does not. */
  start(): Promise<void>;
  restart(): Promise<void>;
}

/** `clientFor` makes the client that talks to the server of this place. */
export function keptServer(
  clientFor: (options: LanguageClientOptions) => BaseLanguageClient,
  options: LanguageClientOptions,
  log: vscode.LogOutputChannel,
): KeptServer {
  let crashes: readonly number[] = [];

  const client = clientFor({
    ...options,
    outputChannel: log,
    errorHandler: {
      // Messages that cannot be sent are those to a server that is just dying: shut down here, it would stay so, while
      // the close that follows starts it again.
      error: (error) => {
        log.error(error);
        return { action: ErrorAction.Continue, handled: true };
      },
      closed: () => {
        const after = afterCrash(crashes, Date.now());
        crashes = after.crashes;
        log.error(`The language server stopped by itself (${crashes.length}).`);
        if (!after.again) void offerRestart();
        return { action: after.again ? CloseAction.Restart : CloseAction.DoNotRestart, handled: true };
      },
    },
  });

  async function start(): Promise<void> {
    try {
      await client.start();
    } catch (error) {
      log.error(error instanceof Error ? error : String(error));
      void offerRestart();
    }
  }

  async function restart(): Promise<void> {
    crashes = [];
    if (client.state !== State.Stopped) await client.stop().catch((error) => log.warn(String(error)));
    await start();
  }

  async function offerRestart(): Promise<void> {
    const again = vscode.l10n.t('Restart');
    const showLog = vscode.l10n.t('Show log');
    const chosen = await vscode.window.showErrorMessage(
      vscode.l10n.t('The language server of Lobewright stopped. Designs are not reckoned until it is restarted.'),
      again,
      showLog,
    );
    if (chosen === again) await restart();
    if (chosen === showLog) log.show();
  }

  return { client, start, restart };
}
