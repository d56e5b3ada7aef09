import { defineConfig } from 'vitest/config';

const asText = {
  name: 'files-as-text',
  enforce: 'pre',
  transform: (code, id) =>
    /\.(lobe|css)$/.test(id) ? { code: `export default ${JSON.stringify(code)}`, map: null } : undefined,
};

export default defineConfig({
  plugins: [asText],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    exclude: ['test/e2e/**'],
    setupFiles: ['language/group-by.mjs'],
    testTimeout: 20_000,
  },
});
