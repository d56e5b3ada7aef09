/** A real browser, and the scripts of pages as they ship, for tests of pages. */
import { existsSync } from 'node:fs';
import { build } from 'esbuild';

/** Undefined where there is none: tests of pages are then skipped; the gate installs one. */
export const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
  existsSync,
);

/** The script of a page, bundled from its source. */
export async function scriptOf(source: string): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [source],
    bundle: true,
    minify: true,
    write: false,
    format: 'iife',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    loader: { '.css': 'text' },
  });
  return outputFiles[0]!.text;
}
