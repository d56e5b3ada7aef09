/** `serve`: the language server, a program of its own beside this one. */
import { createRequire } from 'node:module';
import { join } from 'node:path';

/** Never settles: the server ends the process when its client does. */
export function serve(): Promise<never> {
  createRequire(__filename)(join(__dirname, 'server.cjs'));
  return new Promise(() => {});
}
