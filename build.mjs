// Every step of building, testing and packaging, by name: `node build.mjs <step>`.
import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = dirname(fileURLToPath(import.meta.url));
process.chdir(root);

const bin = (name) => join(root, 'node_modules', '.bin', name);

function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, { stdio: 'inherit', ...options });
  if (error) throw error;
  if (status !== 0) process.exit(status ?? 1);
}

/** Installs what package-lock.json names, if that is newer than what is there. */
function install() {
  const installed = join(root, 'node_modules', '.package-lock.json');
  const wanted = join(root, 'package-lock.json');
  if (existsSync(installed) && statSync(installed).mtimeMs >= statSync(wanted).mtimeMs) return;
  console.log('Installing what Lobewright needs …');
  run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel', 'error'], { shell: process.platform === 'win32' });
}

/** The parser's generated half, from the grammar. */
function generateGrammar() {
  run(process.execPath, [
    '--import',
    './language/group-by.mjs',
    'node_modules/langium-cli/bin/langium.js',
    'generate',
    '-f',
    'langium-config.json',
  ]);
}

/** The editor's colours, from the grammar's words, and the extension's icon as the picture that editors want. */
async function generateLooks() {
  const { colours } = await import('./extension/syntaxes/colours.mjs');
  const grammar = colours(readFileSync('language/lobe.langium', 'utf8'));
  writeFileSync('extension/syntaxes/lobe.tmLanguage.json', `${JSON.stringify(grammar, null, 2)}\n`);
  const { initWasm, Resvg } = await import('@resvg/resvg-wasm');
  await initWasm(readFileSync('node_modules/@resvg/resvg-wasm/index_bg.wasm'));
  const icon = new Resvg(readFileSync('extension/icons/lobewright.svg', 'utf8')).render().asPng();
  writeFileSync('extension/icons/lobewright.png', icon);
}

/** The pages that ship: one a finding, their index, the language's reference. */
async function generateDocs() {
  const { build } = await import('esbuild');
  const outfile = 'out/write-docs.cjs';
  const options = { platform: 'node', format: 'cjs', target: 'node20', minify: false };
  await build({ ...common, ...options, entryPoints: ['server/cli/write-docs.ts'], outfile });
  run(process.execPath, [outfile]);
}

/** The pictures that the README shows. They change with the drawings; what they show is looked at when they do. */
async function pictures() {
  const { build } = await import('esbuild');
  const outfile = 'out/write-pictures.cjs';
  const options = { platform: 'node', format: 'cjs', target: 'node20', minify: false, alias: unusedByPdf };
  await build({ ...common, ...options, entryPoints: ['server/cli/write-pictures.ts'], outfile });
  run(process.execPath, [outfile]);
  await previewPicture();
}

/** The page of the preview as a browser shows it. */
async function previewPicture() {
  const { chromium } = await import('playwright-core');
  const { chromiumPath, drawsWithoutCard } = await import('./test/e2e/editor.mjs');
  await bundle('command-line');
  const path = join(root, 'out', 'berth-sign-parts.html');
  run(process.execPath, ['out/lobewright.cjs', 'preview', 'examples/berth-sign.lobe', '--out', path]);
  const browser = await chromium.launch({ executablePath: chromiumPath, args: drawsWithoutCard });
  try {
    const page = await browser.newPage({ viewport: { width: 1000, height: 620 }, colorScheme: 'light' });
    await page.goto(pathToFileURL(path).href);
    await page.getByRole('slider', { name: 'Apart' }).fill('100');
    await page.getByRole('button', { name: 'camF' }).click();
    await page.mouse.move(5, 5);
    await page.waitForTimeout(2000);
    await page.screenshot({ path: 'extension/pictures/preview.png' });
  } finally {
    await browser.close();
  }
}

/** Fails where committed generated files are not what generating again gives. */
async function fresh() {
  const generated = ['language/generated', 'extension/docs', 'extension/syntaxes', 'extension/icons', 'package.json'];
  const before = execFileSync('git', ['status', '--porcelain', '--', ...generated], { encoding: 'utf8' });
  await steps.generate();
  const after = execFileSync('git', ['status', '--porcelain', '--', ...generated], { encoding: 'utf8' });
  if (before !== after) {
    console.error(`Generated files are stale; run "npm run generate" and commit:\n${after}`);
    process.exit(1);
  }
}

const version = JSON.parse(readFileSync('package.json', 'utf8')).version;

/** What every bundle shares; `.lobe` and `.css` files ride along as text. */
const common = {
  bundle: true,
  minify: true,
  sourcemap: false,
  legalComments: 'none',
  loader: { '.lobe': 'text', '.css': 'text' },
  jsx: 'automatic',
  jsxImportSource: 'preact',
  define: { LOBEWRIGHT_VERSION: JSON.stringify(version) },
  logLevel: 'warning',
};

/** The findings whose pages ship, told to the extension: links are answered for these and no others. */
function shippedPages() {
  const folder = 'extension/docs/findings';
  const pages = existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.md')) : [];
  return { LOBEWRIGHT_PAGES: JSON.stringify(pages.map((name) => name.slice(0, -'.md'.length)).sort()) };
}

/** Our grammar needs one token of lookahead: the strategy for more, and what it brings along, stays out of the bundles. */
const oneTokenAhead = { 'chevrotain-allstar': './language/one-token-ahead.ts' };

/** What of the libraries for PDF and fonts stays out of the bundle. */
const unusedByPdf = Object.fromEntries(
  ['brotli/decompress.js', 'node-html-better-parser', 'culori'].map((name) => [
    name,
    './server/outputs/document/print/pdf/unused.ts',
  ]),
);

/** Files that ride beside the bundles as they are. */
const assets = {
  'resvg.wasm': 'node_modules/@resvg/resvg-wasm/index_bg.wasm',
  'DejaVuSans.ttf': 'server/outputs/chart/fonts/DejaVuSans.ttf',
  'DejaVu-LICENSE': 'server/outputs/chart/fonts/LICENSE',
  'DejaVuSans-Bold.ttf': 'server/outputs/chart/fonts/DejaVuSans-Bold.ttf',
};

/** For libraries written as modules: what a script that is run by hand lacks, by what it has. */
const moduleAsScript = {
  supported: { 'dynamic-import': false },
  banner: { js: "'use strict';const bundleUrl = require('node:url').pathToFileURL(__filename).href;" },
  define: { 'import.meta.url': 'bundleUrl' },
};

/** The bundles by name: entry, output and platform. */
const bundles = {
  launch: {
    entryPoints: ['server/cli/launch.ts'],
    outfile: 'out/lobewright.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    banner: { js: '#!/usr/bin/env node' },
  },
  lobewright: {
    entryPoints: ['server/cli/main.ts'],
    outfile: 'out/lobewright-main.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    alias: { ...oneTokenAhead, 'vscode-languageserver-protocol': './server/cli/without-protocol.ts' },
    ...moduleAsScript,
  },
  // Apart, since it is large, and loaded only when a PDF is asked for.
  pdf: {
    entryPoints: ['server/outputs/document/print/pdf/file.ts'],
    outfile: 'out/pdf.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    alias: unusedByPdf,
  },
  // The same, for parts.
  parts: {
    entryPoints: ['server/outputs/parts/maker.ts'],
    outfile: 'out/parts.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    ...moduleAsScript,
  },
  // A thread that makes parts beside the command line's own.
  'parts-worker': {
    entryPoints: ['server/cli/parts-worker.ts'],
    outfile: 'out/parts-worker.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
  },
  server: {
    entryPoints: ['server/lsp/main-node.ts'],
    outfile: 'out/server.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    alias: oneTokenAhead,
  },
  'server-worker': {
    entryPoints: ['server/lsp/main-browser.ts'],
    outfile: 'out/server-worker.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    alias: oneTokenAhead,
  },
  page: {
    entryPoints: ['server/outputs/chart/page.tsx'],
    outfile: 'out/page.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
  'symptoms-page': {
    entryPoints: ['server/outputs/symptoms/main.tsx'],
    outfile: 'out/symptoms-page.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
  'preview-page': {
    entryPoints: ['server/outputs/preview/main.tsx'],
    outfile: 'out/preview-page.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
  extension: {
    entryPoints: ['extension/node.ts'],
    outfile: 'out/extension.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['vscode'],
    define: shippedPages(),
  },
  'extension-web': {
    entryPoints: ['extension/browser.ts'],
    outfile: 'out/extension-web.js',
    platform: 'browser',
    format: 'cjs',
    target: 'es2022',
    external: ['vscode'],
    define: shippedPages(),
  },
  'symptoms-webview': {
    entryPoints: ['extension/symptoms/webview.tsx'],
    outfile: 'out/symptoms-webview.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
  // With what draws in space, which nothing else needs.
  'preview-webview': {
    entryPoints: ['extension/preview/webview.tsx'],
    outfile: 'out/preview-webview.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
  'chart-webview': {
    entryPoints: ['extension/chart/webview.tsx'],
    outfile: 'out/chart-webview.js',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
  },
};

/** All that a verb may need, built as `command-line`. */
const commandLine = ['launch', 'lobewright', 'parts', 'parts-worker', 'pdf', 'page', 'symptoms-page', 'preview-page'];

/** Bundles by their names, or all of them. */
async function bundle(...names) {
  const { build } = await import('esbuild');
  mkdirSync('out', { recursive: true });
  for (const [name, source] of Object.entries(assets)) cpSync(source, join('out', name));
  for (const name of readdirSync('out')) if (name.endsWith('.cache')) rmSync(join('out', name));
  const named = names.flatMap((name) => (name === 'command-line' ? commandLine : name));
  const wanted = (names.length ? named : Object.keys(bundles)).map((name) => bundles[name]);
  await Promise.all(wanted.map((one) => build({ ...common, ...one, define: { ...common.define, ...one.define } })));
  for (const { outfile, format } of wanted) if (format === 'cjs') escapeLetters(outfile);
}

/** The bundler leaves letters in regular expressions as they are; programs are read as ASCII. */
function escapeLetters(program) {
  const escaped = (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;
  writeFileSync(program, readFileSync(program, 'utf8').replace(/[^\0-\x7f]/g, escaped));
}

/** What the package holds beside its manifest: nothing of the sources, the tests or what they need. */
const shipped = [
  'README.md',
  'CHANGELOG.md',
  'LICENSE',
  'package.nls.json',
  'out',
  'extension/docs',
  'extension/icons',
  'extension/language-configuration.json',
  'extension/pictures',
  'extension/snippets',
  'extension/syntaxes/lobe.tmLanguage.json',
  'extension/walkthrough',
];

/** What of the manifest speaks of building. `type` goes too: the web host takes `.js` for a module where it stands. */
const forBuilding = ['type', 'private', 'scripts', 'devDependencies', 'overrides'];

/** `lobewright.vsix`, from a folder that holds just what ships. */
async function packageExtension() {
  rmSync('out', { recursive: true, force: true });
  await bundle();
  const staged = join(root, '.e2e', 'package');
  rmSync(staged, { recursive: true, force: true });
  mkdirSync(staged, { recursive: true });
  for (const path of shipped) if (existsSync(path)) cpSync(path, join(staged, path), { recursive: true });
  const manifest = JSON.parse(readFileSync('package.json', 'utf8'));
  for (const field of forBuilding) delete manifest[field];
  writeFileSync(join(staged, 'package.json'), `${JSON.stringify(manifest, null, 2)}\n`);
  const target = join(root, 'lobewright.vsix');
  const options = ['--no-dependencies', '--allow-missing-repository', '--no-rewrite-relative-links', '--out', target];
  // One date for all files, so that the same sources give the same bytes.
  run(bin('vsce'), ['package', ...options], { cwd: staged, env: { ...process.env, SOURCE_DATE_EPOCH: '1767225600' } });
}

/** What a newcomer sees first: a real example checked and charted, and where to look. */
async function start() {
  install();
  await bundle();
  const [design, chart] = ['examples/berth-sign.lobe', 'out/berth-sign.html'];
  const lobewright = (...args) => {
    console.log(`\n> lobewright ${args.join(' ')}`);
    run(process.execPath, ['out/lobewright.cjs', ...args]);
  };
  lobewright('check', design);
  lobewright('chart', design, '--out', chart);
  console.log(`
The chart of ${design} is ${join(root, chart)}: open it in a browser and press play.
Next: change a number in the design and check it again, or look at examples/wrong-on-purpose.lobe;
"npm run package" makes lobewright.vsix, which puts the same beside the text in VS Code.`);
}

const steps = {
  start,
  install,
  generate: async () => {
    generateGrammar();
    await generateLooks();
    await generateDocs();
  },
  types: () => run(bin('tsc'), ['-p', '.']),
  style: () => run(bin('biome'), ['check', '--error-on-warnings']),
  check: () => {
    steps.types();
    steps.style();
  },
  pictures,
  fresh,
  bundle,
  package: packageExtension,
  bench: async () => {
    await bundle('command-line', 'server');
    run(process.execPath, ['test/bench/run.mjs']);
  },
  e2e: (...args) => run(process.execPath, ['test/e2e/run.mjs', ...args]),
  test: (...args) => {
    install();
    run(bin('vitest'), ['run', ...args]);
  },
};

const [step = '', ...args] = process.argv.slice(2);
if (!Object.hasOwn(steps, step)) {
  console.error(`node build.mjs <step>; steps: ${Object.keys(steps).join(', ')}`);
  process.exit(2);
}
await steps[step](...args);
