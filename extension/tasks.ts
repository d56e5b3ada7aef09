/** The task that runs the command line's `check` on a design, so that a build can include it. */
import * as vscode from 'vscode';
import { isDesign } from './designs.ts';

interface CheckTask extends vscode.TaskDefinition {
  readonly type: 'lobewright';
  readonly file: string;
}

/** The command line ships with the extension and runs on the editor's own runtime. */
export function checkTasks({ extensionUri }: vscode.ExtensionContext): vscode.Disposable {
  const program = vscode.Uri.joinPath(extensionUri, 'out', 'lobewright.cjs').fsPath;

  function checkTask(definition: CheckTask, scope: vscode.WorkspaceFolder | vscode.TaskScope): vscode.Task {
    const task = new vscode.Task(
      definition,
      scope,
      vscode.l10n.t('check {0}', definition.file),
      'lobewright',
      new vscode.ProcessExecution(process.execPath, [program, 'check', definition.file], {
        env: { ELECTRON_RUN_AS_NODE: '1' },
      }),
      '$lobewright',
    );
    task.group = vscode.TaskGroup.Build;
    task.presentationOptions = { reveal: vscode.TaskRevealKind.Silent };
    return task;
  }

  return vscode.tasks.registerTaskProvider('lobewright', {
    async provideTasks() {
      const document = vscode.window.activeTextEditor?.document;
      if (!document || !isDesign(document) || document.uri.scheme !== 'file') return [];
      const scope = vscode.workspace.getWorkspaceFolder(document.uri) ?? vscode.TaskScope.Workspace;
      return [checkTask({ type: 'lobewright', file: vscode.workspace.asRelativePath(document.uri, false) }, scope)];
    },
    resolveTask(task) {
      const definition = task.definition as CheckTask;
      return typeof definition.file === 'string'
        ? checkTask(definition, task.scope as vscode.WorkspaceFolder | vscode.TaskScope)
        : undefined;
    },
  });
}
