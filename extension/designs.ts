/** Designs as the editor knows them, and the templates a maker can start from. */
import * as vscode from 'vscode';
import berthSign from '../examples/berth-sign.lobe';
import lockCountdown from '../examples/lock-countdown.lobe';
import pierFlag from '../examples/pier-flag.lobe';
import scoreTally from '../examples/score-tally.lobe';
import signalBox from '../examples/signal-box.lobe';
import weirGauge from '../examples/weir-gauge.lobe';
import { languageId, libraryScheme } from './names.ts';

export const isDesign = (document: vscode.TextDocument) =>
  document.languageId === languageId && document.uri.scheme !== libraryScheme;

/** The design that a command means: the active editor's, else one that is in view (the focus may be in the chart). */
export function designInView(): vscode.TextDocument | undefined {
  const { activeTextEditor, visibleTextEditors } = vscode.window;
  return [activeTextEditor, ...visibleTextEditors].find((editor) => editor && isDesign(editor.document))?.document;
}

interface Template extends vscode.QuickPickItem {
  readonly text: string;
}

const templates = (): readonly Template[] => [
  {
    label: vscode.l10n.t('Pier flag'),
    description: vscode.l10n.t('the smallest: one cam, one bar, up or down'),
    text: pierFlag,
  },
  {
    label: vscode.l10n.t('Foul tally'),
    description: vscode.l10n.t('0 to 5, twice a turn, bars that drop into view'),
    text: scoreTally,
  },
  {
    label: vscode.l10n.t('Berth sign'),
    description: vscode.l10n.t('0 to 9, C and a bar; seven cams on two geared shafts'),
    text: berthSign,
  },
  {
    label: vscode.l10n.t('Lock countdown'),
    description: vscode.l10n.t('9 down to 0 through an idler'),
    text: lockCountdown,
  },
  {
    label: vscode.l10n.t('Weir gauge'),
    description: vscode.l10n.t('0 to 9; one elastic loop draws six bars back'),
    text: weirGauge,
  },
  {
    label: vscode.l10n.t('Signal box'),
    description: vscode.l10n.t('0 to F; laws of motion chosen for each cam'),
    text: signalBox,
  },
];

/** Lets the maker choose a template and opens a new, unsaved design from it. */
export async function newDesign(): Promise<void> {
  const chosen = await vscode.window.showQuickPick(templates(), {
    title: vscode.l10n.t('New Design from Template'),
    placeHolder: vscode.l10n.t('A design that works, to change into your own'),
    matchOnDescription: true,
  });
  if (!chosen) return;
  const document = await vscode.workspace.openTextDocument({ language: languageId, content: chosen.text });
  await vscode.window.showTextDocument(document);
}
