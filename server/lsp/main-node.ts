/** The language server as a program of its own: on the transport its arguments name, else on standard input and output. */
import '../../language/group-by.mjs';
import { readFile, stat } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { FileSystemNode, URI } from 'langium';
import { NodeFileSystem } from 'langium/node';
import {
  createConnection,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import type * as Pdf from '../outputs/document/print/pdf/file.ts';
import type * as Maker from '../outputs/parts/maker.ts';
import { ClientFiles } from './files.ts';
import type { PdfMaker } from './papers.ts';
import type { PartsMaker } from './part-files.ts';
import { serveDesigns } from './server.ts';

/** Designs are text of a few kilobytes; what is larger than this is no design (bytes). */
const greatest = 16 * 1024 * 1024;

/** Reads `file:` itself, and has the client read the rest. */
class Files extends ClientFiles {
  private readonly disk = NodeFileSystem.fileSystemProvider();

  override stat(uri: URI): Promise<FileSystemNode> {
    return uri.scheme === 'file' ? this.disk.stat(uri) : super.stat(uri);
  }

  override async exists(uri?: URI): Promise<boolean> {
    return uri?.scheme === 'file' ? this.disk.exists(uri) : super.exists(uri);
  }

  override async readFile(uri?: URI): Promise<string> {
    if (uri?.scheme !== 'file') return super.readFile(uri);
    const found = await stat(uri.fsPath);
    if (!found.isFile() || found.size > greatest) throw new Error(`${uri.fsPath} is no design`);
    return this.disk.readFile(uri);
  }
}

const named = process.argv.some((word) => /^--(node-ipc|stdio|socket|pipe)\b/.test(word));
const connection = named
  ? createConnection(ProposedFeatures.all)
  : createConnection(
      ProposedFeatures.all,
      new StreamMessageReader(process.stdin),
      new StreamMessageWriter(process.stdout),
    );
/** Large, and seldom asked for: loaded then. */
async function pdf(): Promise<PdfMaker> {
  const path = join(__dirname, 'pdf.cjs');
  const { documentsPdf } = createRequire(path)(path) as typeof Pdf;
  const [plain, bold] = await Promise.all(
    ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf'].map((name) => readFile(join(__dirname, name))),
  );
  return (documents, title) => documentsPdf(documents, { fonts: [plain, bold], title });
}

/** What makes parts, too. */
const parts: PartsMaker = () => {
  const path = join(__dirname, 'parts.cjs');
  return createRequire(path)(path) as typeof Maker;
};

serveDesigns({
  connection,
  files: new Files(connection),
  pdf,
  parts,
  pages: `${pathToFileURL(join(__dirname, '..', 'extension', 'docs', 'findings'))}/`,
});
