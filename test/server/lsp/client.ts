/** A client and a server in one process, joined by two streams. */
import { PassThrough } from 'node:stream';
import {
  type CodeAction,
  createConnection,
  createProtocolConnection,
  type Diagnostic,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import { ClientFiles } from '../../../server/lsp/files.ts';
import { serveDesigns } from '../../../server/lsp/server.ts';

// The bundler puts it in otherwise.
Object.assign(globalThis, { LOBEWRIGHT_VERSION: 'test' });

export interface Client {
  readonly connection: ProtocolConnection;
  /** Opens a text; resolves with its first findings. */
  open(text: string, uri?: string): Promise<Diagnostic[]>;
  /** Puts `text` in place of the stretch between two offsets, or of the whole; resolves with the findings after it. */
  change(text: string, stretch?: readonly [number, number], uri?: string): Promise<Diagnostic[]>;
  /** The next findings of a text. */
  findings(uri?: string): Promise<Diagnostic[]>;
  /** Asks about a text at the place of `at` (its first occurrence, `into` characters on). */
  ask<R>(method: string, at: string, more?: object, into?: number): Promise<R>;
  request<R>(method: string, params: object): Promise<R>;
  text(uri?: string): string;
  position(offset: number, uri?: string): { line: number; character: number };
  published: PublishDiagnosticsParams[];
  readonly files: Map<string, string>;
  /** As they were committed last; nothing is, and the reason is told, where this is a text. */
  committed: Map<string, string> | string;
  /** How often a committed text was asked for. */
  asked: number;
}

export const design = 'file:///pier/design.lobe';

export async function connect(initializationOptions: unknown = {}): Promise<Client> {
  const [up, down] = [new PassThrough(), new PassThrough()];
  const server = createConnection(new StreamMessageReader(up), new StreamMessageWriter(down));
  serveDesigns({ connection: server, files: new ClientFiles(server) });
  const connection = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
  const texts = new Map<string, { text: string; version: number }>();
  const files = new Map<string, string>();
  const published: PublishDiagnosticsParams[] = [];
  const waiting = new Set<(params: PublishDiagnosticsParams) => void>();
  connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
    published.push(params);
    for (const each of [...waiting]) each(params);
  });
  connection.onRequest('lobewright/fileText', ({ uri }: { uri: string }) => files.get(uri) ?? null);
  connection.onRequest<object, void>('lobewright/committedText', ({ uri }: { uri: string }) => {
    client.asked++;
    const { committed } = client;
    return typeof committed === 'string' ? { because: committed } : { text: committed.get(uri) ?? null };
  });
  connection.onRequest('client/registerCapability', () => null);
  connection.onRequest('workspace/configuration', ({ items }: { items: unknown[] }) => items.map(() => null));
  connection.listen();
  await connection.sendRequest('initialize', {
    processId: null,
    rootUri: null,
    capabilities: {},
    initializationOptions,
  });
  await connection.sendNotification('initialized', {});

  const findings = (uri = design) =>
    new Promise<Diagnostic[]>((resolve) => {
      const version = texts.get(uri)?.version;
      const take = (params: PublishDiagnosticsParams) => {
        if (params.uri !== uri || (params.version !== undefined && params.version !== version)) return;
        waiting.delete(take);
        resolve(params.diagnostics);
      };
      waiting.add(take);
    });
  const position = (offset: number, uri = design) => {
    const before = texts.get(uri)!.text.slice(0, offset).split('\n');
    return { line: before.length - 1, character: before.at(-1)!.length };
  };
  const client: Client = {
    connection,
    published,
    files,
    committed: new Map(),
    asked: 0,
    findings,
    position,
    text: (uri = design) => texts.get(uri)!.text,
    async open(text, uri = design) {
      texts.set(uri, { text, version: 1 });
      const found = findings(uri);
      await connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri, languageId: 'lobe', version: 1, text },
      });
      return found;
    },
    async change(put, stretch, uri = design) {
      const { text, version } = texts.get(uri)!;
      const [from, to] = stretch ?? [0, text.length];
      const range = { start: position(from, uri), end: position(to, uri) };
      texts.set(uri, { text: text.slice(0, from) + put + text.slice(to), version: version + 1 });
      const found = findings(uri);
      await connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version: version + 1 },
        contentChanges: [stretch ? { range, text: put } : { text: put }],
      });
      return found;
    },
    ask(method, at, more = {}, into = 0) {
      const offset = texts.get(design)!.text.indexOf(at);
      if (offset < 0) throw new Error(`the text has no ${at}`);
      return connection.sendRequest(method, {
        textDocument: { uri: design },
        position: position(offset + into),
        ...more,
      });
    },
    request: (method, params) => connection.sendRequest(method, params),
  };
  return client;
}

/** The text after the edits of an action. */
export function carriedOut(text: string, action: CodeAction, uri = design): string {
  const lines = text.split('\n');
  const offset = ({ line, character }: { line: number; character: number }) =>
    lines.slice(0, line).reduce((sum, each) => sum + each.length + 1, 0) + character;
  const edits = [...(action.edit?.changes?.[uri] ?? [])].sort((a, b) => offset(b.range.start) - offset(a.range.start));
  return edits.reduce(
    (result, { range, newText }) => result.slice(0, offset(range.start)) + newText + result.slice(offset(range.end)),
    text,
  );
}
