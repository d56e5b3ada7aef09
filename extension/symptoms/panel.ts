/** The page of symptoms beside the text: one panel, which follows the design being edited. */
import * as vscode from 'vscode';
import type { SymptomsState, ToSymptoms } from '../../server/protocol.ts';
import { type DesignPanel, designPanel } from '../design-panel.ts';
import { symptomsViewType } from '../names.ts';

export const symptomsView = (
  context: vscode.ExtensionContext,
  symptomsOf: (uri: string) => Promise<SymptomsState | null>,
): DesignPanel =>
  designPanel(context, {
    viewType: symptomsViewType,
    title: vscode.l10n.t('What was put together wrongly?'),
    titleOf: (file) => vscode.l10n.t('Put together wrongly: {0}', file),
    script: 'symptoms-webview.js',
    ask: symptomsOf,
    message: (state, file) => ({ type: 'state', state, file }) satisfies ToSymptoms,
  });
