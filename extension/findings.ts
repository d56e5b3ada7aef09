/** The pages of findings in the editor: the links behind their codes, and links from outside. */
import * as vscode from 'vscode';
import { findingAsked, findingPagePath } from './pages.ts';

/** Codes whose pages ship, put in by the bundler. */
declare const LOBEWRIGHT_PAGES: readonly string[];

const openFindingCommand = 'lobewright.finding.open';

/**
 * Findings link to their pages by address, for every client. In this editor the link runs a command instead: that asks
 * for no permission, and works where the editor itself is a web page, whose addresses no browser hands back to it.
 */
export function linkedHere(diagnostic: vscode.Diagnostic): vscode.Diagnostic {
  const { code } = diagnostic;
  if (typeof code !== 'object' || !LOBEWRIGHT_PAGES.includes(String(code.value))) return diagnostic;
  const target = vscode.Uri.parse(`command:${openFindingCommand}`).with({ query: JSON.stringify([code.value]) });
  diagnostic.code = { value: code.value, target };
  return diagnostic;
}

/** The command that explains a finding, and the answer to links of the form `vscode://…/finding/<code>`. */
export function findingPages({ extensionUri }: vscode.ExtensionContext): vscode.Disposable {
  const open = (code: string) =>
    vscode.commands.executeCommand('markdown.showPreview', vscode.Uri.joinPath(extensionUri, ...findingPagePath(code)));

  /** Without a code the maker chooses one. */
  async function explain(code?: unknown): Promise<void> {
    const asked =
      code ??
      (await vscode.window.showQuickPick(LOBEWRIGHT_PAGES, {
        title: vscode.l10n.t('Explain a Finding'),
        placeHolder: vscode.l10n.t('What it means, how it is reckoned, what mends it'),
      }));
    const known = LOBEWRIGHT_PAGES.find((page) => page === asked);
    if (known !== undefined) await open(known);
  }

  async function follow({ path }: vscode.Uri): Promise<void> {
    const code = findingAsked(path, LOBEWRIGHT_PAGES);
    if (code !== undefined) await open(code);
    else void vscode.window.showWarningMessage(vscode.l10n.t('There is no page of this name in Lobewright: {0}', path));
  }

  return vscode.Disposable.from(
    vscode.commands.registerCommand(openFindingCommand, explain),
    vscode.window.registerUriHandler({ handleUri: follow }),
  );
}
