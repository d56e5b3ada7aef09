// A language client of the fewest lines: starts a server on standard input and output, sends, and waits for messages.
import { spawn } from 'node:child_process';

export function startServer(command, args, options = {}) {
  const child = spawn(command, args, { stdio: ['pipe', 'pipe', 'inherit'], ...options });
  const waiting = new Map();
  const listeners = new Set();
  let next = 1;
  let pending = Buffer.alloc(0);

  const write = (message) => {
    const body = Buffer.from(JSON.stringify({ jsonrpc: '2.0', ...message }));
    child.stdin.write(`Content-Length: ${body.length}\r\n\r\n`);
    child.stdin.write(body);
  };

  child.stdout.on('data', (chunk) => {
    pending = pending.length ? Buffer.concat([pending, chunk]) : chunk;
    for (;;) {
      const end = pending.indexOf('\r\n\r\n');
      if (end < 0) return;
      const length = Number(/Content-Length: (\d+)/i.exec(pending.toString('latin1', 0, end))[1]);
      if (pending.length < end + 4 + length) return;
      const message = JSON.parse(pending.toString('utf8', end + 4, end + 4 + length));
      pending = pending.subarray(end + 4 + length);
      if (message.method && message.id !== undefined) write({ id: message.id, result: answer(message) });
      else if (message.method) for (const listener of [...listeners]) listener(message);
      else waiting.get(message.id)?.(message);
    }
  });

  return {
    notify: (method, params) => write({ method, params }),
    request: (method, params) =>
      new Promise((resolve, reject) => {
        const id = next++;
        waiting.set(id, ({ result, error }) => {
          waiting.delete(id);
          if (error) reject(new Error(`${method}: ${error.message}`));
          else resolve(result);
        });
        write({ id, method, params });
      }),
    /** The first notification of a method that satisfies a condition. */
    next: (method, wanted, patience = 30_000) =>
      new Promise((resolve, reject) => {
        const timer = setTimeout(() => {
          listeners.delete(listen);
          reject(new Error(`no ${method} within ${patience} ms`));
        }, patience);
        const listen = (message) => {
          if (message.method !== method || !wanted(message.params)) return;
          clearTimeout(timer);
          listeners.delete(listen);
          resolve(message.params);
        };
        listeners.add(listen);
      }),
    stop: () => child.kill(),
  };
}

/** What a server asks of its client: settings (none) and leave to register (given). */
function answer({ method, params }) {
  return method === 'workspace/configuration' ? params.items.map(() => null) : null;
}
