/** Files that the client reads for us: a browser worker has none of its own, and a folder may be a virtual one. */
import { EmptyFileSystemProvider, type FileSystemNode, type URI } from 'langium';
import type { Connection } from 'vscode-languageserver';
import { type FileText, type FileTextResult, fileText } from '../protocol.ts';

export class ClientFiles extends EmptyFileSystemProvider {
  private readonly connection: Connection;

  constructor(connection: Connection) {
    super();
    this.connection = connection;
  }

  override async stat(uri: URI): Promise<FileSystemNode> {
    await this.text(uri);
    return { isFile: true, isDirectory: false, uri };
  }

  override async exists(uri?: URI): Promise<boolean> {
    if (!uri) return false;
    return this.text(uri).then(
      () => true,
      () => false,
    );
  }

  override readFile(uri?: URI): Promise<string> {
    return uri ? this.text(uri) : Promise.reject(new Error('no file is named'));
  }

  private async text(uri: URI): Promise<string> {
    const text = await this.connection.sendRequest<FileTextResult>(fileText, {
      uri: uri.toString(),
    } satisfies FileText);
    if (typeof text !== 'string') throw new Error(`there is no ${uri.toString()}`);
    return text;
  }
}
