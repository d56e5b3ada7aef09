import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { dirname, resolve } from 'node:path';
import { defineConfig } from 'vitest/config';

/** Style files go by another name, since Vitest empties every module whose name ends in `.css`. */
const asText = {
  name: 'files-as-text',
  enforce: 'pre',
  resolveId: (source, importer) =>
    importer && source.endsWith('.css') ? `\0${resolve(dirname(importer), source)}.text` : undefined,
  load: (id) =>
    id.endsWith('.css.text') ? `export default ${JSON.stringify(readFileSync(id.slice(1, -5), 'utf8'))}` : undefined,
  transform: (code, id) =>
    id.endsWith('.lobe') ? { code: `export default ${JSON.stringify(code)}`, map: null } : undefined,
};

export default defineConfig({
  plugins: [asText],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    exclude: ['test/e2e/**'],
    setupFiles: ['language/group-by.mjs', 'test/seed.ts'],
    testTimeout: 60_000,
    // What one file has loaded and warmed up serves the next: tests keep nothing for each other.
    isolate: false,
    // All of them: the default leaves one out, on two cores the half.
    maxWorkers: availableParallelism(),
  },
});
