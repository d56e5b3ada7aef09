import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = resolve(dirname(fileURLToPath(import.meta.url)), '..');

/** Source files of a room; none where the room is not built yet. */
function sources(folder: string): string[] {
  if (!existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .map((name) => join(folder, name).replaceAll('\\', '/'))
    .filter((name) => /\.(ts|tsx|mjs)$/.test(name) && !name.endsWith('.d.ts') && !name.includes('/generated/'));
}

/** What a file imports: packages by name, files of the project by path from the top. */
function imports(file: string): string[] {
  const text = readFileSync(join(root, file), 'utf8').replace(/\/\*[\s\S]*?\*\//g, '');
  const found = [...text.matchAll(/(?:^|\n)\s*(?:import|export)\b[^'"]*?\bfrom\s*['"]([^'"]+)['"]/g)]
    .concat([...text.matchAll(/(?:^|\n)\s*import\s*['"]([^'"]+)['"]/g)])
    .concat([...text.matchAll(/\bimport\(\s*['"]([^'"]+)['"]\s*\)/g)])
    .map((match) => match[1]);
  return found.map((name) =>
    name.startsWith('.') ? relative(root, resolve(root, dirname(file), name)).replaceAll('\\', '/') : name,
  );
}

const fileSystem = /^(node:)?(fs|path|child_process|os|worker_threads|net|http|https)(\/|$)/;
const protocolLibrary = /^(vscode-languageserver|vscode-languageclient|vscode-jsonrpc|langium\/lsp)/;

/** The rooms that only follow from `mechanism.ts`, in the order in which they may import downwards. */
const pure = ['server/reckon', 'server/checks', 'server/search', 'server/outputs'];

function offences(folder: string, forbidden: (name: string, file: string) => boolean): string[] {
  return sources(folder).flatMap((file) =>
    imports(file)
      .filter((name) => forbidden(name, file))
      .map((name) => `${file} imports ${name}`),
  );
}

describe('the house', () => {
  it('has the rooms it says it has, and sources in them', () => {
    for (const folder of ['language', ...pure, 'server/lsp', 'server/cli', 'extension'])
      expect(sources(folder).length, folder).toBeGreaterThan(0);
    const allowed = new Set([
      'README.md', 'DEVELOPERS.md', 'CHANGELOG.md', 'LICENSE', 'package.json', 'package-lock.json', 'package.nls.json',
      'tsconfig.json', 'biome.json', 'build.mjs', 'vitest.config.mjs', 'langium-config.json',
      'language', 'server', 'extension', 'examples', 'test', 'node_modules', 'out', 'lobewright.vsix',
    ]); // biome-ignore format: a list
    const strangers = readdirSync(root).filter((name) => !name.startsWith('.') && !allowed.has(name));
    expect(strangers).toEqual([]);
  });

  it('language/ knows nothing of what follows from it', () => {
    expect(offences('language', (name) => /^(server|extension|test)\//.test(name))).toEqual([]);
  });

  it('reckon, checks, search and outputs read mechanism.ts and each other downwards, and nothing else', () => {
    for (const [rank, room] of pure.entries()) {
      const found = offences(room, (name) => {
        if (fileSystem.test(name) || protocolLibrary.test(name)) return true;
        if (/^(vscode|langium)/.test(name)) return true;
        if (name.startsWith('language/')) return !/^language\/(mechanism|page|near|texts\.d)\.ts$/.test(name);
        if (name.startsWith('server/'))
          return (
            name !== 'server/protocol.ts' && !pure.slice(0, rank + 1).some((below) => name.startsWith(`${below}/`))
          );
        return /^(extension|test)\//.test(name);
      });
      expect(found, room).toEqual([]);
    }
  });

  it('only server/lsp knows the protocol library', () => {
    for (const folder of ['language', 'server'])
      expect(offences(folder, (name, file) => protocolLibrary.test(name) && !file.startsWith('server/lsp/'))).toEqual(
        [],
      );
  });

  it('only extension/ imports vscode', () => {
    for (const folder of ['language', 'server']) expect(offences(folder, (name) => name === 'vscode')).toEqual([]);
  });

  it('only the command line and the Node entry points touch files', () => {
    const allowed = /^(server\/cli\/|server\/lsp\/main-node\.ts|extension\/node\.ts)/;
    for (const folder of ['language', 'server', 'extension'])
      expect(offences(folder, (name, file) => fileSystem.test(name) && !allowed.test(file))).toEqual([]);
  });
});
