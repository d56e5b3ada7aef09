import { build } from 'esbuild';
import { describe, expect, it } from 'vitest';

/** The sources that a bundle holds, as the bundler says itself. */
async function heldBy(entry: string, platform: 'node' | 'browser'): Promise<string[]> {
  const { metafile } = await build({
    entryPoints: [entry],
    bundle: true,
    write: false,
    metafile: true,
    platform,
    format: platform === 'node' ? 'cjs' : 'iife',
    loader: { '.lobe': 'text', '.css': 'text' },
    jsx: 'automatic',
    jsxImportSource: 'preact',
    external: platform === 'node' ? [] : ['module', 'fs', 'path', 'url'],
    logLevel: 'silent',
  });
  return Object.keys(metafile.inputs);
}

/** What turns parts into solids and files. */
const makers = (sources: readonly string[]) =>
  sources.filter((name) => /outputs\/parts\/(making|mesh|shells|3mf|step)\.ts$|manifold-3d/.test(name));

describe('the bundle of the language server', () => {
  it.each([
    ['server/lsp/main-node.ts', 'node'],
    ['server/lsp/main-browser.ts', 'browser'],
  ] as const)('does not hold what makes solids of parts: %s', async (entry, platform) => {
    expect(makers(await heldBy(entry, platform))).toEqual([]);
  });

  it('leaves it to another, which is loaded when parts are asked for', async () => {
    const sources = await heldBy('server/outputs/parts/maker.ts', 'node');
    expect(makers(sources)).toHaveLength(5);
    expect(sources).toContain('server/outputs/parts/files.ts');
  });
});
