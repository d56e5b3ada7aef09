/** The language server as a web worker. */
import '../../language/group-by.mjs';
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { ClientFiles } from './files.ts';
import { serveDesigns } from './server.ts';

declare const self: ConstructorParameters<typeof BrowserMessageReader>[0] &
  ConstructorParameters<typeof BrowserMessageWriter>[0];

const connection = createConnection(new BrowserMessageReader(self), new BrowserMessageWriter(self));
serveDesigns({ connection, files: new ClientFiles(connection) });
