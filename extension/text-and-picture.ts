/** Text and picture are one: the part under the text's cursor is lit in a panel, and a click there goes to its text. */
import * as vscode from 'vscode';
import type { Place } from '../language/mechanism.ts';
import type { PartAtResult, WhereIsResult } from '../server/protocol.ts';
import type { DesignPanel } from './design-panel.ts';
import { isDesign } from './designs.ts';

/** What is asked of the language server. */
export interface Places {
  partAt(uri: string, line: number, character: number): Promise<PartAtResult>;
  whereIs(place: Place): Promise<WhereIsResult>;
}

export interface TextAndPicture extends vscode.Disposable {
  /** Lights the part under the cursor of the text that a panel has just shown. */
  shown(uri: string): void;
  /** Selects a part's text where it is shown already, else beside the panel, and gives it the focus. */
  reveal(place: Place): Promise<void>;
}

/** A cursor that moves on within this time (ms) is not followed to its part. */
const cursorRestMs = 60;

export function textAndPicture(
  panel: () => Pick<DesignPanel, 'uri' | 'viewColumn'>,
  places: Places,
  light: (part: NonNullable<PartAtResult>) => void,
): TextAndPicture {
  let cursorTimer: ReturnType<typeof setTimeout> | undefined;

  function follow(editor: vscode.TextEditor): void {
    clearTimeout(cursorTimer);
    const uri = editor.document.uri.toString();
    cursorTimer = setTimeout(async () => {
      const { line, character } = editor.selection.active;
      const found = await places.partAt(uri, line, character).catch(() => null);
      if (found && uri === panel().uri) light(found);
    }, cursorRestMs);
  }

  const cursor = vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => {
    if (textEditor.document.uri.toString() === panel().uri) follow(textEditor);
  });

  return {
    shown(uri) {
      const editor = vscode.window.activeTextEditor;
      if (editor?.document.uri.toString() === uri) follow(editor);
    },
    async reveal(place) {
      const found = await places.whereIs(place).catch(() => null);
      if (!found) return;
      const { start, end } = found.range;
      const selection = new vscode.Range(start.line, start.character, end.line, end.character);
      const shown = vscode.window.visibleTextEditors.find(({ document }) => document.uri.toString() === found.uri);
      const beside = vscode.window.visibleTextEditors.find(({ document }) => isDesign(document));
      const viewColumn = shown?.viewColumn ?? beside?.viewColumn ?? (panel().viewColumn === 1 ? 2 : 1);
      const document = shown?.document ?? (await vscode.workspace.openTextDocument(vscode.Uri.parse(found.uri)));
      const editor = await vscode.window.showTextDocument(document, { viewColumn, selection, preserveFocus: false });
      editor.revealRange(selection, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
    },
    dispose() {
      clearTimeout(cursorTimer);
      cursor.dispose();
    },
  };
}
