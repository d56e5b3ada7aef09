// Every step of building, testing and packaging, by name: `node build.mjs <step>`.
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

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

/** Fails where committed generated files are not what generating again gives. */
function fresh() {
  const generated = ['language/generated', 'extension/docs', 'extension/syntaxes', 'package.json'];
  const before = execFileSync('git', ['status', '--porcelain', '--', ...generated], { encoding: 'utf8' });
  steps.generate();
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

/** The bundles by name: entry, output and platform. */
const bundles = {
  lobewright: {
    entryPoints: ['server/cli/main.ts'],
    outfile: 'out/lobewright.cjs',
    platform: 'node',
    format: 'cjs',
    target: 'node20',
  },
};

async function bundle(...names) {
  const { build } = await import('esbuild');
  const wanted = names.length ? names : Object.keys(bundles);
  await Promise.all(wanted.map((name) => build({ ...common, ...bundles[name] })));
}

const steps = {
  install,
  generate: () => generateGrammar(),
  types: () => run(bin('tsc'), ['-p', '.']),
  style: () => run(bin('biome'), ['check', '--error-on-warnings']),
  check: () => {
    steps.types();
    steps.style();
  },
  fresh,
  bundle,
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
