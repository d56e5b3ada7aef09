/** The papers of a design as files: where to is asked, how far it is is shown, and a failure leaves the old file whole. */
import * as vscode from 'vscode';
import type { PaperFormat, PaperName, PaperOf, PaperResult } from '../server/protocol.ts';
import { formatOf, formatsOf, suggestedName } from './paper-names.ts';
import { writeWhole } from './whole.ts';

export type Papers = Readonly<Record<PaperName, (design: vscode.Uri) => Promise<void>>>;

type Ask = (asked: PaperOf, token: vscode.CancellationToken) => Promise<PaperResult>;

/** `pdf` says whether the server of this place can make one. */
export function papers(ask: Ask, pdf: boolean): Papers {
  const write = (name: PaperName) => (design: vscode.Uri) => writePaper(ask, name, design, pdf);
  return { sheet: write('sheet'), cards: write('cards'), report: write('report') };
}

const labels: Readonly<Record<PaperFormat, () => string>> = {
  pdf: () => vscode.l10n.t('PDF'),
  html: () => vscode.l10n.t('Page'),
  text: () => vscode.l10n.t('Text'),
  json: () => vscode.l10n.t('JSON'),
};

async function writePaper(ask: Ask, name: PaperName, design: vscode.Uri, pdf: boolean): Promise<void> {
  const formats = formatsOf(name, pdf);
  const target = await vscode.window.showSaveDialog({
    defaultUri: suggested(design, suggestedName(design.path, name, pdf)),
    filters: Object.fromEntries(formats.map(({ format, endings }) => [labels[format](), [...endings]])),
    title: titleOf(name),
  });
  if (!target) return;
  const format = formatOf(target.path, formats);
  if (!format) {
    const endings = formats.map(({ endings: [ending] }) => `.${ending}`).join(', ');
    void vscode.window.showErrorMessage(vscode.l10n.t('Nothing is written: end the name in one of {0}.', endings));
    return;
  }
  const options = { location: vscode.ProgressLocation.Notification, title: titleOf(name), cancellable: true };
  try {
    const done = await vscode.window.withProgress(options, async (progress, token) => {
      progress.report({ message: vscode.l10n.t('reckoning …') });
      const made = await ask({ uri: design.toString(), name, format }, token);
      if (token.isCancellationRequested) return false;
      if (!made) throw new Error(vscode.l10n.t('the design is closed, or is being changed'));
      if ('because' in made) throw new Error(made.because);
      progress.report({ message: vscode.l10n.t('writing …') });
      const wanted = () => !token.isCancellationRequested;
      return writeWhole(vscode.workspace.fs, target, bytesOf(made), `${Date.now()}`, wanted);
    });
    if (done) void offerToOpen(target, format);
  } catch (failure) {
    if (failure instanceof vscode.CancellationError) return;
    const because = failure instanceof Error ? failure.message : String(failure);
    void vscode.window.showErrorMessage(vscode.l10n.t('{0} is not written: {1}', lastOf(target), because));
  }
}

const lastOf = ({ path }: vscode.Uri): string => path.slice(path.lastIndexOf('/') + 1);

/** Beside the design; of one that is not saved yet, in the first open folder. */
function suggested(design: vscode.Uri, name: string): vscode.Uri | undefined {
  if (design.scheme !== 'untitled') return vscode.Uri.joinPath(design, '..', name);
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  return folder && vscode.Uri.joinPath(folder.uri, name);
}

function titleOf(name: PaperName): string {
  switch (name) {
    case 'sheet':
      return vscode.l10n.t('Write Build Sheet');
    case 'cards':
      return vscode.l10n.t('Write Cards for Testing');
    case 'report':
      return vscode.l10n.t('Write Report');
  }
}

const bytesOf = (made: { readonly text: string } | { readonly base64: string }): Uint8Array =>
  'text' in made
    ? new TextEncoder().encode(made.text)
    : Uint8Array.from(atob(made.base64), (sign) => sign.charCodeAt(0));

async function offerToOpen(target: vscode.Uri, format: PaperFormat): Promise<void> {
  const open = vscode.l10n.t('Open');
  const chosen = await vscode.window.showInformationMessage(vscode.l10n.t('{0} is written.', lastOf(target)), open);
  if (chosen !== open) return;
  if (format === 'pdf' || format === 'html') await vscode.env.openExternal(target);
  else await vscode.window.showTextDocument(target);
}
