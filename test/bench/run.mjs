// Speeds, side by side in one run: `npm run bench`. What counts are the ratios; the machine's own pace is in them all.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { startServer } from './client.mjs';
import { board, design, json, typescript } from './texts.mjs';

/** What the peers are, installed apart from the project. */
const peers = {
  'vscode-langservers-extracted': '4.10.0',
  'typescript-language-server': '4.4.1',
  typescript: '5.9.3',
};

const work = mkdtempSync(join(tmpdir(), 'lobewright-bench-'));
const node = process.execPath;
const sorted = (values) => [...values].sort((a, b) => a - b);
const share = (values, part) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * part))];
const ms = (value) => (value === undefined ? '–' : `${value < 10 ? value.toFixed(1) : Math.round(value)} ms`);
const pause = (time) => new Promise((resolve) => setTimeout(resolve, time));

/** Puts a table on standard output. */
function table(title, head, rows) {
  const widths = head.map((_, i) => Math.max(...[head, ...rows].map((row) => String(row[i]).length)));
  const line = (row) =>
    row.map((cell, i) => (i ? String(cell).padStart(widths[i]) : String(cell).padEnd(widths[i]))).join('   ');
  console.log(`\n${title}\n${[head, ...rows].map((row) => `  ${line(row)}`).join('\n')}`);
}

/** Installs the peers beside the project, once; undefined where that cannot be done. */
function installed() {
  const folder = join('node_modules', '.cache', 'lobewright-bench');
  mkdirSync(folder, { recursive: true });
  const wanted = Object.entries(peers);
  if (wanted.every(([name]) => existsSync(join(folder, 'node_modules', name)))) return folder;
  writeFileSync(join(folder, 'package.json'), '{ "private": true }\n');
  const packages = wanted.map(([name, version]) => `${name}@${version}`);
  const { status } = spawnSync('npm', ['install', '--no-audit', '--no-fund', '--loglevel', 'error', ...packages], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'inherit'],
    shell: process.platform === 'win32',
  });
  return status === 0 ? folder : undefined;
}

/**
 * Keystroke → findings over the protocol: what stands at `at` is made wrong, which must be told, and right again, each
 * time with another number, so that no answer is a remembered one. Times in ms, the first strokes left out.
 */
async function keystrokes({ command, args, languageId, ending, text, at, was, wrong, right, rounds, options }) {
  const server = startServer(command, args, { cwd: work });
  const file = join(work, `text.${ending}`);
  writeFileSync(file, text);
  const uri = pathToFileURL(file).href;
  try {
    await server.request('initialize', {
      processId: process.pid,
      rootUri: pathToFileURL(work).href,
      workspaceFolders: [{ uri: pathToFileURL(work).href, name: 'bench' }],
      capabilities: { textDocument: { publishDiagnostics: { versionSupport: true, relatedInformation: true } } },
      initializationOptions: options,
    });
    server.notify('initialized', {});
    const first = server.next('textDocument/publishDiagnostics', (params) => params.uri === uri);
    const opened = performance.now();
    server.notify('textDocument/didOpen', { textDocument: { uri, languageId, version: 1, text } });
    await first;
    const opening = performance.now() - opened;
    await pause(1500);
    const before = text.slice(0, at).split('\n');
    const start = { line: before.length - 1, character: before.at(-1).length };
    let length = was.length;
    const times = [];
    for (let round = 0; round < rounds + 4; round++) {
      const typed = round % 2 === 0;
      const told = server.next(
        'textDocument/publishDiagnostics',
        ({ uri: about, diagnostics }) => about === uri && diagnostics.some(({ severity }) => severity === 1) === typed,
      );
      const struck = performance.now();
      const end = { line: start.line, character: start.character + length };
      const put = (typed ? wrong : right)(round);
      length = put.length;
      server.notify('textDocument/didChange', {
        textDocument: { uri, version: round + 2 },
        contentChanges: [{ range: { start, end }, text: put }],
      });
      await told;
      if (round >= 4) times.push(performance.now() - struck);
      await pause(40);
    }
    return { opening, p50: share(times, 0.5), p95: share(times, 0.95) };
  } finally {
    server.stop();
  }
}

/** How long the answers about a long text take, its findings told; medians, ms. */
async function answers({ command, args }, text) {
  const server = startServer(command, args, { cwd: work });
  const uri = pathToFileURL(join(work, 'answers.lobe')).href;
  const textDocument = { uri };
  const lineOf = (offset) => text.slice(0, offset).split('\n');
  const at = (words, into = 0) => {
    const before = lineOf(text.indexOf(words, text.length / 2) + into);
    return { line: before.length - 1, character: before.at(-1).length };
  };
  try {
    await server.request('initialize', { processId: process.pid, rootUri: null, capabilities: {} });
    server.notify('initialized', {});
    const found = server.next('textDocument/publishDiagnostics', (params) => params.uri === uri);
    const wrong = text.replace(/base 22 mm/g, (each, offset) => (offset > text.length * 0.98 ? 'base 8 mm' : each));
    server.notify('textDocument/didOpen', { textDocument: { uri, languageId: 'lobe', version: 1, text: wrong } });
    const { diagnostics } = await found;
    const whole = { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } };
    const asked = {
      completion: ['textDocument/completion', { position: at('base 22', 2) }],
      hover: ['textDocument/hover', { position: at('cam camA', 5) }],
      definition: ['textDocument/definition', { position: at('drives a', 7) }],
      references: ['textDocument/references', { position: at('key dee', 4), context: { includeDeclaration: true } }],
      outline: ['textDocument/documentSymbol', {}],
      folding: ['textDocument/foldingRange', {}],
      'semantic tokens': ['textDocument/semanticTokens/full', {}],
      formatting: ['textDocument/formatting', { options: { tabSize: 2, insertSpaces: true } }],
      'inlay hints': ['textDocument/inlayHint', { range: whole }],
      'code actions, fixes proved': [
        'textDocument/codeAction',
        { range: diagnostics[0].range, context: { diagnostics: diagnostics.slice(0, 1) } },
      ],
      chart: ['lobewright/chartOf', { uri }],
    };
    const rows = [];
    for (const [name, [method, params]] of Object.entries(asked)) {
      const times = [];
      for (let round = 0; round < 9; round++) {
        const started = performance.now();
        await server.request(method, { textDocument, ...params });
        times.push(performance.now() - started);
      }
      rows.push([name, ms(times[0]), ms(share(times, 0.5))]);
    }
    return rows;
  } finally {
    server.stop();
  }
}

/** What a program of measures prints, run by itself. */
async function probed(name) {
  const probe = join(process.cwd(), 'node_modules', '.cache', `lobewright-${name}.mjs`);
  await build({
    entryPoints: [`test/bench/${name}.ts`],
    outfile: probe,
    bundle: true,
    platform: 'node',
    format: 'esm',
    external: ['manifold-3d'],
    loader: { '.lobe': 'text', '.css': 'text' },
    logLevel: 'error',
  });
  return JSON.parse(spawnSync(node, [probe], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] }).stdout);
}

/** Whole processes, one after another in turn, so that each meets the same weather: least and median of the times, ms. */
function processes(commands, rounds) {
  const times = commands.map(() => []);
  for (let round = 0; round < rounds; round++) {
    for (const [i, args] of commands.entries()) {
      const started = performance.now();
      spawnSync(node, args, { stdio: 'ignore' });
      times[i].push(performance.now() - started);
    }
  }
  return times.map((each) => ({ least: Math.min(...each), p50: share(each, 0.5) }));
}

try {
  const folder = installed();
  const ours = {
    command: node,
    args: ['out/server.cjs', '--stdio'].map((word, i) => (i ? word : join(process.cwd(), word))),
  };
  const lobe = (text) => ({
    ...ours,
    languageId: 'lobe',
    ending: 'lobe',
    text,
    // A number that nothing meets by: every stroke is another mechanism, and none of them clashes.
    at: text.indexOf('preload 0.9 N', text.length / 2) + 'preload '.length,
    was: '0.9 N',
    wrong: (round) => `-0.9${round} N`,
    right: (round) => `0.9${round} N`,
  });
  const results = [];
  const run = async (name, lines, job) => {
    console.error(`${name}, ${lines} lines …`);
    results.push({ name, lines, ...(await keystrokes(job)) });
  };

  await run('lobewright', 150, { ...lobe(design()), rounds: 60 });
  await run('lobewright', 5000, { ...lobe(board()), rounds: 40 });
  if (folder) {
    const bin = (name) => join(process.cwd(), folder, 'node_modules', name);
    const jsonServer = {
      command: node,
      args: [bin('vscode-langservers-extracted/bin/vscode-json-language-server'), '--stdio'],
    };
    const tsServer = { command: node, args: [bin('typescript-language-server/lib/cli.mjs'), '--stdio'] };
    const tsOptions = { tsserver: { path: bin('typescript/lib/tsserver.js') } };
    for (const lines of [150, 5000]) {
      const data = json(lines);
      const at = data.indexOf('"value"', data.length / 2) + '"value": '.length;
      await run('vscode-json-language-server', lines, {
        ...jsonServer,
        languageId: 'json',
        ending: 'json',
        text: data,
        at,
        was: '',
        wrong: (round) => `-, ${round}`,
        right: () => '',
        rounds: 20,
        options: { provideFormatter: false },
      });
      const program = typescript(lines);
      const spot = program.indexOf('const area: number', program.length / 2) + 'const area: number = '.length;
      await run('typescript-language-server', lines, {
        ...tsServer,
        languageId: 'typescript',
        ending: 'ts',
        text: program,
        at: spot,
        was: '',
        wrong: (round) => `"${round}" + `,
        right: () => '',
        rounds: 20,
        options: tsOptions,
      });
    }
  } else console.log('The peers could not be installed; only our own speeds follow.');

  const mine = (lines) => results.find((result) => result.name === 'lobewright' && result.lines === lines);
  table(
    'Keystroke to findings over the protocol, debounce included',
    ['server', 'lines', 'opening', 'p50', 'p95', 'of ours (p50)'],
    results.map(({ name, lines, opening, p50, p95 }) => [
      name,
      lines,
      ms(opening),
      ms(p50),
      ms(p95),
      `${(p50 / mine(lines).p50).toFixed(1)} ×`,
    ]),
  );

  table('Answers about 5,000 lines', ['question', 'first', 'p50'], await answers(ours, board()));

  const inside = await probed('inside');
  table(
    'Within the server, one keystroke (median)',
    ['lines', 'parse + link', 'all that follows', 'ratio'],
    Object.values(inside).map(({ parseLink, after }, i) => [
      i ? 5000 : 150,
      ms(parseLink),
      ms(after),
      (after / parseLink).toFixed(2),
    ]),
  );

  const shape = await probed('shape');
  table(
    'Shape, warm (median, ms)',
    ['what', 'ours', 'polygon booleans', 'ratio'],
    [
      [
        'clearance of two cams over a turn, 0.05°',
        ms(shape.own),
        ms(shape.booleans),
        `${Math.round(shape.booleans / shape.own)} ×`,
      ],
      ['a numeral reckoned coarsely, with all checks', ms(shape.fast), '', ''],
      ['a numeral refined', ms(shape.fine), '', ''],
    ],
  );

  const builds = await probed('builds');
  table(
    '100,000 random builds of a numeral (median)',
    ['what', 'ours', 'numpy', 'ratio'],
    [
      [
        'drawn and read',
        ms(builds.own),
        builds.numpy === undefined ? 'python3 has no numpy here' : ms(builds.numpy),
        builds.numpy === undefined ? '' : `${(builds.numpy / builds.own).toFixed(1)} ×`,
      ],
      ['longest go without a pause', ms(builds.longestGo), '', ''],
    ],
  );

  const sign = 'examples/berth-sign.lobe';
  const [empty, check, version] = processes(
    [
      ['-e', '0'],
      ['out/lobewright.cjs', 'check', sign],
      ['out/lobewright.cjs', '--version'],
    ],
    25,
  );
  const tally = 'examples/score-tally.lobe';
  const exporting = (of, as) => [
    'out/lobewright.cjs',
    'export',
    of,
    '--as',
    as,
    '--out',
    mkdtempSync(join(work, 'parts-')),
  ];
  const allFormats = '3mf,stl,step,dxf,svg,csv';
  const releases = ['release-A', 'release-B'].map((name) => `examples/tide-board/${name}/tide-board.lobe`);
  const [, plate, parts, framed, compared, sheet, diagnosed] = processes(
    [
      ['-e', '0'],
      exporting(sign, '3mf'),
      exporting(sign, allFormats),
      exporting(tally, allFormats),
      ['out/lobewright.cjs', 'compare', ...releases],
      ['out/lobewright.cjs', 'sheet', sign, '--out', join(work, 'sheet.pdf')],
      ['out/lobewright.cjs', 'diagnose', sign],
    ],
    5,
  );
  table(
    'Whole process',
    ['command', 'least', 'p50', 'of an empty node (least)', '(p50)'],
    [
      ['node -e 0', empty],
      [`lobewright check ${sign}`, check],
      ['lobewright --version', version],
      [`lobewright export ${sign} --as 3mf`, plate],
      [`lobewright export ${sign} --as ${allFormats}`, parts],
      [`lobewright export ${tally} --as ${allFormats}`, framed],
      [`lobewright compare ${releases.join(' ')}`, compared],
      [`lobewright sheet ${sign} --out sheet.pdf`, sheet],
      [`lobewright diagnose ${sign}`, diagnosed],
    ].map(([name, { least, p50 }]) => [
      name,
      ms(least),
      ms(p50),
      (least / empty.least).toFixed(2),
      (p50 / empty.p50).toFixed(2),
    ]),
  );

  const aims = [
    ['150 lines: p95 ≤ 60 ms', mine(150).p95 <= 60],
    ['5,000 lines: p95 ≤ 250 ms', mine(5000).p95 <= 250],
    ['what follows ≤ parse + link', Object.values(inside).every(({ parseLink, after }) => after <= parseLink)],
    ['clearances ≥ 100 × as fast as polygon booleans', shape.booleans >= 100 * shape.own],
    ['a numeral with all checks ≤ 5 ms', shape.fast <= 5],
    ['a numeral refined ≤ 150 ms', shape.fine <= 150],
    ['100,000 random builds ≤ 500 ms', builds.own <= 500],
    ...(builds.numpy === undefined ? [] : [['at least twice as fast as numpy', builds.numpy >= 2 * builds.own]]),
    ['check ≤ 3 × node -e 0', check.p50 <= 3 * empty.p50],
    ['all parts of a numeral as 3MF, checked ≤ 1 s', plate.least <= 1000],
    ['all parts of a numeral in all formats, checked ≤ 3 s', parts.least <= 3000],
    ['the same with its frame', framed.least <= 3000],
    ['two versions compared ≤ 0.5 s', compared.least <= 500],
    ['a build sheet as PDF ≤ 3 s', sheet.least <= 3000],
    ['a table of symptoms, whole process ≤ 0.5 s', diagnosed.least <= 500],
  ];
  console.log(`\n${aims.map(([aim, met]) => `  ${met ? 'met ' : 'MISSED'}  ${aim}`).join('\n')}`);
} finally {
  rmSync(work, { recursive: true, force: true });
}
