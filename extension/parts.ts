/** The parts of a design as files in a folder: formats and folder are asked, what is done is shown, all is written or nothing. */
import * as vscode from 'vscode';
import { type Folder, type Put, putInto } from '../server/outputs/parts/folder.ts';
import { type Format, formats } from '../server/outputs/parts/formats.ts';
import type { PartFilesOf, PartFilesOfResult } from '../server/protocol.ts';

type Ask = (asked: PartFilesOf, token: vscode.CancellationToken) => Promise<PartFilesOfResult>;
type Made = Extract<PartFilesOfResult, { readonly files: unknown }>;

export interface PartsExport extends vscode.Disposable {
  readonly run: (design: vscode.Uri) => Promise<void>;
  /** The server says what it does. */
  readonly doing: (uri: string, doing: string) => void;
}

export function partsExport(ask: Ask): PartsExport {
  const said = new vscode.EventEmitter<{ readonly uri: string; readonly doing: string }>();
  return {
    run: (design) => exportParts(ask, design, said.event),
    doing: (uri, doing) => said.fire({ uri, doing }),
    dispose: () => said.dispose(),
  };
}

async function exportParts(
  ask: Ask,
  design: vscode.Uri,
  said: vscode.Event<{ readonly uri: string; readonly doing: string }>,
): Promise<void> {
  const wanted = await formatsWanted();
  if (!wanted?.length) return;
  const folder = await folderWanted(design);
  if (!folder) return;
  const nothing = (because: string) =>
    void vscode.window.showErrorMessage(
      vscode.l10n.t('No parts are exported, and {0} is as it was: {1}', lastOf(folder), because),
    );
  try {
    const title = vscode.l10n.t('Export Parts');
    const options = { location: vscode.ProgressLocation.Notification, title, cancellable: true };
    const done = await vscode.window.withProgress(options, async (progress, token) => {
      const listening = said(({ uri, doing }) => {
        if (uri === design.toString()) progress.report({ message: doing });
      });
      try {
        progress.report({ message: vscode.l10n.t('reckoning …') });
        const made = await madeOf(ask, design, wanted, token);
        if (token.isCancellationRequested || !made) return undefined;
        progress.report({ message: vscode.l10n.t('writing …') });
        const written = await writtenTo(folder, made, token);
        return written && { made, written };
      } finally {
        listening.dispose();
      }
    });
    if (done) void tell(folder, done.made, done.written);
    else
      void vscode.window.showInformationMessage(
        vscode.l10n.t('No parts are exported: {0} is as it was.', lastOf(folder)),
      );
  } catch (failure) {
    nothing(failure instanceof Error ? failure.message : String(failure));
  }
}

const labels: Readonly<Record<Format, () => string>> = {
  '3mf': () => vscode.l10n.t('all parts laid on beds, in millimetres, with names and colours: for slicers'),
  stl: () => vscode.l10n.t('each part as triangles'),
  step: () => vscode.l10n.t('each part as a solid with true arcs: for CAD'),
  dxf: () => vscode.l10n.t('outlines with true arcs: for cutting'),
  svg: () => vscode.l10n.t('outlines as a drawing'),
  csv: () => vscode.l10n.t('lift and profile of each cam'),
};

async function formatsWanted(): Promise<Format[] | undefined> {
  const items = formats.map((format) => ({
    label: format.toUpperCase(),
    description: labels[format](),
    picked: format === '3mf',
    format,
  }));
  const chosen = await vscode.window.showQuickPick(items, {
    canPickMany: true,
    title: vscode.l10n.t('Export parts as …'),
  });
  return chosen?.map(({ format }) => format);
}

async function folderWanted(design: vscode.Uri): Promise<vscode.Uri | undefined> {
  const [open] = vscode.workspace.workspaceFolders ?? [];
  const chosen = await vscode.window.showOpenDialog({
    canSelectFolders: true,
    canSelectFiles: false,
    defaultUri: design.scheme === 'untitled' ? open?.uri : vscode.Uri.joinPath(design, '..'),
    openLabel: vscode.l10n.t('Export Here'),
    title: vscode.l10n.t('Folder for the parts'),
  });
  return chosen?.[0];
}

/** Undefined where it was cancelled; which of several mechanisms is asked. */
async function madeOf(
  ask: Ask,
  design: vscode.Uri,
  wanted: readonly Format[],
  token: vscode.CancellationToken,
): Promise<Made | undefined> {
  const asked = { uri: design.toString(), formats: wanted };
  let made = await ask({ ...asked, mechanism: null }, token);
  if (made && 'choose' in made) {
    const mechanism = await vscode.window.showQuickPick([...made.choose], {
      title: vscode.l10n.t('Export the parts of which mechanism?'),
    });
    if (mechanism === undefined) return undefined;
    made = await ask({ ...asked, mechanism }, token);
  }
  if (token.isCancellationRequested) return undefined;
  if (!made) throw new Error(vscode.l10n.t('the design is closed, or is being changed'));
  if ('because' in made) throw new Error(made.because);
  return 'files' in made ? made : undefined;
}

type Written = Extract<Put, { readonly written: unknown }>;

/** What was written; undefined where the maker would not have it. */
async function writtenTo(
  folder: vscode.Uri,
  { files }: Made,
  token: vscode.CancellationToken,
): Promise<Written | undefined> {
  const bytes = new Map(files.map(({ name, base64 }) => [name, bytesOf(base64)]));
  const options = { isWanted: () => !token.isCancellationRequested, mark: `${Date.now()}` };
  const put = await putInto(folderAt(folder), bytes, { ...options, force: false });
  if ('written' in put) return put;
  if ('cancelled' in put) return undefined;
  const overwrite = vscode.l10n.t('Overwrite');
  const few = put.strange.slice(0, 5).join(', ') + (put.strange.length > 5 ? ', …' : '');
  const chosen = await vscode.window.showWarningMessage(
    vscode.l10n.t('{0} holds files that Lobewright did not write, or that were changed since.', lastOf(folder)),
    { modal: true, detail: few },
    overwrite,
  );
  if (chosen !== overwrite) return undefined;
  const forced = await putInto(folderAt(folder), bytes, { ...options, force: true });
  return 'written' in forced ? forced : undefined;
}

const bytesOf = (base64: string): Uint8Array => Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0));

/** A folder wherever the editor's file system has it. */
function folderAt(root: vscode.Uri): Folder {
  const { fs } = vscode.workspace;
  const at = (name: string) => vscode.Uri.joinPath(root, ...name.split('/'));
  return {
    async read(name) {
      try {
        return await fs.readFile(at(name));
      } catch (failure) {
        if (failure instanceof vscode.FileSystemError && failure.code === 'FileNotFound') return undefined;
        throw failure;
      }
    },
    async write(name, bytes) {
      await fs.createDirectory(vscode.Uri.joinPath(at(name), '..'));
      await fs.writeFile(at(name), bytes);
    },
    move: async (from, to) => fs.rename(at(from), at(to), { overwrite: false }),
    remove: async (name) => fs.delete(at(name), { recursive: true }),
  };
}

const lastOf = ({ path }: vscode.Uri): string => path.slice(path.lastIndexOf('/') + 1) || path;

const sentence = (line: string): string => `${line.charAt(0).toUpperCase()}${line.slice(1)}.`;

async function tell(folder: vscode.Uri, { parts, told }: Made, { written, removed }: Written): Promise<void> {
  const list = vscode.l10n.t('Open List');
  const wrong = told.filter((line) => line.startsWith('wrong:'));
  const said = [
    vscode.l10n.t('{0} parts are in {1}: {2} files written.', parts, lastOf(folder), written.length),
    ...(removed.length ? [vscode.l10n.t('Of an earlier export, taken away: {0}.', removed.join(', '))] : []),
  ].join(' ');
  const chosen =
    wrong.length > 0
      ? await vscode.window.showWarningMessage([said, ...wrong.slice(0, 3).map(sentence)].join(' '), list)
      : await vscode.window.showInformationMessage([said, ...told.slice(0, 3).map(sentence)].join(' '), list);
  if (chosen === list)
    await vscode.commands.executeCommand('markdown.showPreview', vscode.Uri.joinPath(folder, 'parts.md'));
}
