// A real VS Code for the tests: its server from the npm registry, a window in headless Chromium.
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { chromium } from 'playwright-core';

/** The package that holds VS Code's server; the low end of the range that `engines.vscode` allows. */
const editorPackage = 'code-server@4.100.3';

const root = process.cwd();
const home = join(root, '.e2e', 'editor');
export const vscodeFolder = join(home, 'node_modules', 'code-server', 'lib', 'vscode');

const onPath = (...names) => {
  for (const folder of (process.env.PATH ?? '').split(delimiter))
    for (const name of names) if (existsSync(join(folder, name))) return join(folder, name);
  return undefined;
};

export const chromiumPath = process.env.CHROMIUM ?? onPath('chromium', 'chromium-browser', 'google-chrome');
const ripgrepPath = onPath('rg');

/** What is missing on this machine, each with how to get it. */
export function missing() {
  const found = [];
  if (!chromiumPath)
    found.push('Chromium: apt-get install chromium fonts-dejavu-core (or name it in the variable CHROMIUM)');
  if (!ripgrepPath) found.push('ripgrep: apt-get install ripgrep');
  return found;
}

function npm(args, cwd) {
  const quiet = ['--ignore-scripts', '--no-audit', '--no-fund', '--loglevel', 'error'];
  const { status, error } = spawnSync('npm', ['install', ...args, ...quiet], { cwd, stdio: 'inherit' });
  if (error) throw error;
  if (status !== 0) throw new Error(`npm install ${args.join(' ')} failed with status ${status}`);
}

/** Installs the editor on first use; the mark is written last, so that half an installation is made anew. */
export function installEditor() {
  const mark = join(home, `${editorPackage}.installed`);
  if (existsSync(mark)) return;
  console.log(`Installing ${editorPackage} into .e2e (once) …`);
  rmSync(home, { recursive: true, force: true });
  mkdirSync(home, { recursive: true });
  writeFileSync(join(home, 'package.json'), '{ "private": true }\n');
  npm([editorPackage, '--no-save'], home);
  npm(['--omit=dev'], vscodeFolder);
  const ripgrep = join(vscodeFolder, 'node_modules', '@vscode', 'ripgrep', 'bin');
  mkdirSync(ripgrep, { recursive: true });
  rmSync(join(ripgrep, 'rg'), { force: true });
  symlinkSync(ripgrepPath, join(ripgrep, 'rg'));
  writeFileSync(mark, '');
}

const settings = {
  'telemetry.telemetryLevel': 'off',
  'workbench.startupEditor': 'none',
  'workbench.enableExperiments': false,
  'workbench.tips.enabled': false,
  'workbench.editor.enablePreview': false,
  'security.workspace.trust.enabled': false,
  'update.mode': 'none',
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'extensions.ignoreRecommendations': true,
  'chat.commandCenter.enabled': false,
  'git.enabled': false,
  'window.commandCenter': false,
  'editor.minimap.enabled': false,
  'editor.hover.delay': 100,
  'editor.fontFamily': 'DejaVu Sans Mono',
  'files.autoSave': 'off',
};

const serverMain = join(vscodeFolder, 'out', 'server-main.js');

/** A short folder of its own for everything that the editor writes, and what its programs are told of it. */
function freshPlace() {
  const place = mkdtempSync(join(tmpdir(), 'lw-'));
  const data = join(place, 'data');
  const extensions = join(place, 'extensions');
  mkdirSync(join(data, 'User'), { recursive: true });
  mkdirSync(extensions);
  const env = { ...process.env, HOME: place, TMPDIR: place, XDG_RUNTIME_DIR: place, EXTENSIONS_GALLERY: '{}' };
  for (const name of Object.keys(env)) if (name.startsWith('VSCODE_')) delete env[name];
  const folders = [
    '--accept-server-license-terms',
    ...['--server-data-dir', data, '--user-data-dir', data, '--extensions-dir', extensions],
  ];
  return { place, extensions, settings: join(data, 'User', 'settings.json'), env, folders };
}

function installPackage(vsix, { env, folders }) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [serverMain, '--install-extension', vsix, '--force', ...folders],
    { env, encoding: 'utf8' },
  );
  if (status !== 0) throw new Error(`The package does not install:\n${stdout}${stderr}`);
}

/** Has the editor install a package, and copies what it made of it to a folder. */
export function unpackInto(folder, vsix) {
  const fresh = freshPlace();
  try {
    installPackage(vsix, fresh);
    const [installed] = readdirSync(fresh.extensions).filter((name) => name.startsWith('lobewright.'));
    cpSync(join(fresh.extensions, installed), folder, { recursive: true });
  } finally {
    rmSync(fresh.place, { recursive: true, force: true });
  }
}

/**
 * Starts VS Code's server, with a package installed in it or not.
 * @param {{ vsix?: string, settings?: object }} wanted
 */
export async function startEditor(wanted = {}) {
  const fresh = freshPlace();
  const { place, extensions, env, folders } = fresh;
  let own = { ...settings, ...wanted.settings };
  const writeSettings = (changed) => {
    own = { ...own, ...changed };
    writeFileSync(fresh.settings, JSON.stringify(own, null, 2));
  };
  writeSettings({});
  if (wanted.vsix) installPackage(wanted.vsix, fresh);
  const server = spawn(
    process.execPath,
    [
      serverMain,
      ...['--host', '127.0.0.1', '--port', '0', '--without-connection-token', ...folders],
      ...['--telemetry-level', 'off', '--enable-smoke-test-driver', '--log', 'info'],
    ],
    { env, detached: true, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  let output = '';
  const port = await new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error(`The editor's server did not start:\n${output}`)), 30_000);
    const read = (chunk) => {
      output += chunk;
      const listening = /listening on (\d+)/.exec(output);
      if (listening) {
        clearTimeout(timer);
        resolve(Number(listening[1]));
      }
    };
    server.stdout.on('data', read);
    server.stderr.on('data', read);
    server.on('exit', (code) => reject(new Error(`The editor's server ended with ${code}:\n${output}`)));
  });
  return {
    place,
    port,
    origin: `http://127.0.0.1:${port}`,
    extensions,
    writeSettings,
    log: () => output,
    stop() {
      server.removeAllListeners('exit');
      try {
        process.kill(-server.pid, 'SIGKILL');
      } catch {
        // It has ended by itself.
      }
      rmSync(place, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** The commit that the static files of the editor are served under. */
export const editorCommit = () => createRequire(import.meta.url)(join(vscodeFolder, 'product.json')).commit;

/** Has Chromium draw, in space too, without a graphics card. */
export const drawsWithoutCard = ['--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader'];

/** Headless Chromium that reaches nothing but this machine. */
export const startBrowser = () =>
  chromium.launch({
    executablePath: chromiumPath,
    args: [
      ...drawsWithoutCard,
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1',
    ],
  });
