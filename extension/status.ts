/** What the language status says of a design. */
import * as vscode from 'vscode';
import { isDesign } from './designs.ts';
import { languageId } from './names.ts';
import { type ServerState, type Standing, type StatusKind, statusKind } from './standing.ts';

function statusText(kind: StatusKind, { errors, warnings }: Standing): string {
  switch (kind) {
    case 'starting':
      return vscode.l10n.t('Reckoning …');
    case 'stopped':
      return vscode.l10n.t('Not reckoned: the language server is stopped');
    case 'stale':
      return vscode.l10n.t('Does not parse: last good figures stay');
    case 'errors':
      return vscode.l10n.t('Reckoned: {0} errors, {1} warnings', errors, warnings);
    case 'warnings':
      return vscode.l10n.t('Reckoned: {0} warnings', warnings);
    case 'clean':
      return vscode.l10n.t('Reckoned: nothing wrong');
  }
}

export interface DesignStatus extends vscode.Disposable {
  server(state: ServerState): void;
  reckoned(uri: string, stale: boolean): void;
}

/** The language status item of the design in the active editor. */
export function designStatus(): DesignStatus {
  const item = vscode.languages.createLanguageStatusItem('lobewright.reckoned', { language: languageId });
  item.name = 'Lobewright';
  let server: ServerState = 'starting';
  const stale = new Map<string, boolean>();

  function show(): void {
    const document = vscode.window.activeTextEditor?.document;
    if (!document || !isDesign(document)) return;
    const severities = vscode.languages.getDiagnostics(document.uri).map(({ severity }) => severity);
    const standing: Standing = {
      server,
      stale: stale.get(document.uri.toString()) ?? false,
      errors: severities.filter((severity) => severity === vscode.DiagnosticSeverity.Error).length,
      warnings: severities.filter((severity) => severity === vscode.DiagnosticSeverity.Warning).length,
    };
    const kind = statusKind(standing);
    item.text = statusText(kind, standing);
    item.busy = kind === 'starting';
    item.severity =
      kind === 'errors' || kind === 'stale' || kind === 'stopped'
        ? vscode.LanguageStatusSeverity.Error
        : kind === 'warnings'
          ? vscode.LanguageStatusSeverity.Warning
          : vscode.LanguageStatusSeverity.Information;
    item.command =
      kind === 'stopped'
        ? { command: 'lobewright.server.restart', title: vscode.l10n.t('Restart') }
        : kind === 'clean'
          ? { command: 'lobewright.chart.open', title: vscode.l10n.t('Open chart') }
          : { command: 'workbench.actions.view.problems', title: vscode.l10n.t('Show problems') };
  }

  const subscriptions = [
    item,
    vscode.window.onDidChangeActiveTextEditor(show),
    vscode.languages.onDidChangeDiagnostics(show),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => stale.delete(uri.toString())),
  ];
  show();

  return {
    server(state) {
      server = state;
      show();
    },
    reckoned(uri, isStale) {
      stale.set(uri, isStale);
      show();
    },
    dispose() {
      for (const subscription of subscriptions) subscription.dispose();
    },
  };
}
