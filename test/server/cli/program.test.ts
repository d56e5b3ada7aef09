import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Report } from '../../../server/cli/findings.ts';

const sign = readFileSync('examples/berth-sign.lobe', 'utf8');
/** What ships, apart from the folder in which others build. */
const shipped = mkdtempSync(join(tmpdir(), 'lobewright-shipped-'));
const program = join(shipped, 'lobewright.cjs');
let folder: string;

const steep = sign.replace('base 22 mm', 'base 8 mm');
/** Where the base that is too small stands, lines and characters from 0. */
const before = steep.slice(0, steep.indexOf('base 8 mm') + 'base '.length).split('\n');
const base = { line: before.length - 1, character: before.at(-1)!.length };

/** Runs the program that ships, in a folder of its own. */
function run(words: readonly string[], input = ''): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
    cwd: folder,
    input,
    encoding: 'utf8',
  });
  return { status, out: stdout, err: stderr };
}

const check = (...words: string[]): Report => JSON.parse(run(['check', '--format', 'json', ...words]).out);
const put = (name: string, text: string | Uint8Array) => writeFileSync(join(folder, name), text);
const read = (name: string) => readFileSync(join(folder, name), 'utf8');

beforeAll(() => {
  const { status, stderr } = spawnSync(process.execPath, ['build.mjs', 'bundle', 'command-line', 'server'], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(stderr);
  cpSync('out', shipped, { recursive: true });
}, 120_000);

afterAll(() => rmSync(shipped, { recursive: true, force: true }));

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lobewright-test-'));
  put('sign.lobe', sign);
  put('steep.lobe', steep);
  return () => rmSync(folder, { recursive: true, force: true });
});

describe('check', () => {
  it('says nothing wrong, with status 0', () => {
    expect(run(['check', 'sign.lobe'])).toEqual({ status: 0, out: 'nothing wrong\n', err: '' });
  });

  it('reads a maker’s own letters and signs', () => {
    const own = `mechanism Été {
  let größe = 3 mm ± 0.1 mm
  count ждать β
}
`;
    const { out } = run(['check', '-'], own);
    expect(out).not.toMatch(/unexpected-text|unreadable-text/);
    expect(run(['check', '-'], own.replace('±', '¶')).out).toMatch(/unexpected-text|unreadable-text/);
  });

  it('says what is wrong as file:line:column: severity code: message, with status 1', () => {
    const { status, out, err } = run(['check', 'steep.lobe']);
    expect(status).toBe(1);
    expect(err).toBe('');
    const place = `steep.lobe:${base.line + 1}:${base.character + 1}: `;
    expect(out.startsWith(place)).toBe(true);
    expect(out.slice(place.length)).toMatch(/^error steep-cam: .*pressure angle [\d.]+°.*\n1 error\n$/);
  });

  it('rounds its numbers in JSON as figures does', () => {
    const numbers = (value: unknown): number[] =>
      typeof value === 'number' ? [value] : Object.values(value ?? {}).flatMap(numbers);
    const [finding] = check('steep.lobe').files[0]!.findings;
    expect(finding!.figures).toMatchObject({ limit: 30 });
    for (const number of numbers(finding!.figures)) expect(number).toBe(Number(number.toFixed(6)));
  });

  it('as JSON keeps its contract', () => {
    const report = check('steep.lobe', 'sign.lobe');
    expect(report).toMatchObject({
      contract: 1,
      summary: { errors: 1, warnings: 0, information: 0, hints: 0, accepted: 0 },
    });
    expect(report.files.map(({ file }) => file)).toEqual(['sign.lobe', 'steep.lobe']);
    const [finding] = report.files[1]!.findings;
    expect(finding).toMatchObject({
      code: 'steep-cam',
      severity: 'error',
      range: { start: base, end: { ...base, character: base.character + '8 mm'.length } },
    });
    expect(Object.keys(finding!)).toEqual(['code', 'severity', 'message', 'range', 'figures', 'related', 'fixes']);
    for (const { title, edits } of finding!.fixes) {
      expect(title).toBeTruthy();
      for (const edit of edits) expect(edit).toMatchObject({ file: 'steep.lobe', range: {}, text: expect.any(String) });
    }
  });

  it('tells what is accepted apart, and lets it pass', () => {
    const mild = read('steep.lobe').replace('base 8 mm', 'base 18 mm');
    put('steep.lobe', mild.replace('  limits', '  accept steep-cam "runs well"\n  limits'));
    const report = check('steep.lobe');
    expect(report.summary).toMatchObject({ errors: 0 });
    expect(report.summary.accepted).toBeGreaterThan(0);
    expect(report.files[0]!.findings[0]).toMatchObject({ accepted: 'runs well' });
    expect(run(['check', 'steep.lobe'])).toMatchObject({
      status: 0,
      out: expect.stringMatching(/: accepted steep-cam: /),
    });
  });

  it('reckons with other values, and tells places of the text as it stands', () => {
    const { files, summary } = check('sign.lobe', '--set', 'camA.base=8 mm', '--set', 'coils.rate=0.05 N/mm');
    expect(summary.errors).toBe(1);
    const line = sign.split('\n').findIndex((each) => each.includes('cam camA'));
    expect(files[0]!.findings[0]).toMatchObject({ code: 'steep-cam', range: { start: { line } } });
    expect(read('sign.lobe')).toBe(sign);
    expect(check('sign.lobe', '--set', 'centres=72 mm').files[0]!.findings.map(({ code }) => code)).toContain(
      'centre-distance',
    );
  });

  it('reckons with the process of another file', () => {
    put('mill.lobe', 'process mill { nozzle 0.2 mm layer 0.1 mm spread 0.02 mm clearance 0.05 mm wall 0.5 mm }');
    expect(check('sign.lobe', '--process', 'mill.lobe').summary.errors).toBe(0);
    expect(run(['check', 'sign.lobe', '--process', 'sign.lobe'])).toMatchObject({
      status: 2,
      err: 'lobewright: sign.lobe describes no process\n',
    });
  });

  it.each([
    ['nobody.rate=1 N', /no part is called so|did you mean/],
    ['coil.rate=1 N/mm', /did you mean coils\?/],
    ['coils.rate=5 mm', /expected a spring rate/],
    ['coils.rate', /NAME\.PROPERTY=VALUE/],
    ['coils.colour=5 mm', /'colour' is not something a spring says/],
    ['camA.base=10 mm } cam q { ', /no single value/],
    ['camA.base=10 mm\n}', /no single value/],
    ['camA.base=10 mm // less', /no single value/],
    ['camA.base=10 mm /* less */', /no single value/],
    ['camA.base=10 mm travel 20 deg', /no single value/],
    ['camA.level=3 cam q on upper level 9 drives b', /no single value/],
    ['count=0 1 2 runs either', /no single value/],
    ['camA=3 mm', /camA\.PROPERTY=VALUE/],
    ['centres.x=3 mm', /centres=VALUE/],
    ['filament.spread=0.3 mm', /process of the library.*--process FILE/],
    ['speed=3 mm', /what can be set are/],
    ['camA.count=1 2 3', /count is said of the mechanism, not of a part; write count=1 2 3$/m],
    ['prow.count.times=2', /count is said of the mechanism, not of a part; write count\.times=2$/m],
    ['coils.preload=-1 N', /preload must be at least 0 N, found -1 N; did you mean 1 N\?$/m],
  ])('refuses --set %s', (wish, why) => {
    const { status, out, err } = run(['check', 'sign.lobe', '--set', wish]);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/^lobewright: [^\n]+\n$/);
    expect(err).toMatch(why);
  });

  it.each([
    ['count.times=2', 'step-mismatch'],
    ['BerthSign.count.times=2', 'step-mismatch'],
    ['every cam.base=8 mm', 'steep-cam'],
    ['count=0 1 2 "{ } // no"', 'unknown-symbol'],
    ['mill.spread=0.3 mm oops', undefined],
    ['limits.pressure angle=10 deg', 'steep-cam'],
    ['lowerGear.module=2 mm', 'unlike-gears'],
    ['runs=either', ''],
    ['mill.spread=0.1 mm', ''],
    ['made with=mill', ''],
  ])('reckons with --set %s', (wish, code) => {
    put('sign.lobe', `${sign}\nprocess mill { spread 0.02 mm }\n`);
    const { status, out } = run(['check', '--format', 'json', 'sign.lobe', '--set', wish]);
    if (code === undefined) expect(status).toBe(2);
    else if (!code) expect(JSON.parse(out).summary.errors).toBe(0);
    else expect(JSON.parse(out).files[0].findings.map((each: { code: string }) => each.code)).toContain(code);
  });

  it('refuses two values for one thing', () => {
    expect(run(['check', 'sign.lobe', '--set', 'camA.base=8 mm', '--set', 'camA.base=9 mm'])).toMatchObject({
      status: 2,
      err: expect.stringContaining('set twice'),
    });
  });

  it('--fix mends what can be mended, keeps comments, and says what is left', () => {
    expect(run(['check', '--fix', 'steep.lobe'])).toMatchObject({ status: 0, out: 'nothing wrong\n' });
    const mended = read('steep.lobe');
    expect(mended).not.toContain('base 8 mm');
    expect(mended.match(/\/\/.*/g)).toEqual(sign.match(/\/\/.*/g));
    expect(run(['check', '--fix', 'sign.lobe']).status).toBe(0);
    expect(read('sign.lobe')).toBe(sign);
  });

  it('reads standard input, and imports beside it', () => {
    put('faces.lobe', 'glyphs faces { 0 = a 1 = b }');
    const text = 'import "faces.lobe"\nmechanism M { glyphs faces count 0 1 7 }';
    const { out } = run(['check', '-'], text);
    expect(out).toMatch(/^-:2:\d+: error unknown-symbol/m);
    expect(out).not.toContain('missing-file');
  });

  it('writes the same bytes each time, also to a file', () => {
    const words = ['check', 'steep.lobe', '--format', 'sarif'];
    const once = run(words).out;
    expect(run(words).out).toBe(once);
    expect(run([...words, '--out', 'log.sarif'])).toEqual({ status: 1, out: '', err: '' });
    expect(read('log.sarif')).toBe(once);
    expect(JSON.parse(once).runs[0].results[0]).toMatchObject({ ruleId: 'steep-cam', level: 'error' });
  });
});

describe('figures, chart and format', () => {
  it('figures are a table for people and JSON for programs', () => {
    expect(run(['figures', 'sign.lobe']).out).toContain('BerthSign');
    const { contract, mechanisms } = JSON.parse(run(['figures', 'sign.lobe', '--format', 'json']).out);
    expect(contract).toBe(1);
    expect(mechanisms[0]).toMatchObject({ name: 'BerthSign', stepDeg: 30 });
    expect(mechanisms[0].cams[0].pressureAngle.max).toBeGreaterThan(10);
  });

  it('a chart is an SVG, a PNG or a page, by the ending of its name', () => {
    for (const name of ['c.svg', 'c.png', 'c.html']) {
      expect(run(['chart', 'sign.lobe', '--out', name])).toEqual({ status: 0, out: '', err: '' });
    }
    expect(read('c.svg')).toMatch(/^<\?xml[\s\S]*<\/svg>\n$/);
    expect(readFileSync(join(folder, 'c.png')).subarray(1, 4).toString()).toBe('PNG');
    expect(read('c.html')).toMatch(/^<!doctype html>/);
    // It is handed on: it names the file, and no folder of its maker.
    expect(read('c.html')).toContain('"file":"sign.lobe"');
    expect(read('c.html')).not.toContain(folder.slice(folder.lastIndexOf('/')));
    expect(run(['chart', 'sign.lobe']).out).toBe(read('c.svg'));
    expect(run(['chart', 'sign.lobe', '--mechanism', 'BerthSing']).err).toContain('did you mean BerthSign?');
    expect(run(['chart', 'sign.lobe', '--out', 'c.gif'])).toMatchObject({
      status: 2,
      err: expect.stringContaining('.svg'),
    });
  });

  it('nothing that is asked for with --out takes the place of the design', () => {
    for (const words of [
      ['figures', 'sign.lobe'],
      ['check', 'sign.lobe'],
      ['compare', 'sign.lobe', 'steep.lobe'],
      ['chart', 'sign.lobe', '--format', 'svg'],
      ['sheet', 'sign.lobe', '--format', 'text'],
    ]) {
      const { status, err } = run([...words, '--out', './sign.lobe']);
      expect([status, err], words.join(' ')).toEqual([2, expect.stringContaining('is what is read here')]);
    }
    expect(read('sign.lobe')).toBe(sign);
  });

  it('a name as long as the disk bears is written', () => {
    const name = `${'y'.repeat(251)}.svg`;
    expect(run(['chart', 'sign.lobe', '--out', name])).toEqual({ status: 0, out: '', err: '' });
    expect(run(['chart', 'sign.lobe', '--out', `y${name}`])).toMatchObject({
      status: 2,
      err: expect.stringMatching(/^lobewright: cannot write y/),
    });
  });

  it('half a text makes nothing to build from', () => {
    put('half.lobe', sign.slice(0, sign.lastIndexOf('}', sign.indexOf('glyphs pier like'))));
    for (const words of [['sheet'], ['cards'], ['preview'], ['diagnose'], ['export'], ['coupon'], ['ease']]) {
      const { status, out, err } = run([...words, 'half.lobe']);
      expect([status, out, err], words.join(' ')).toEqual([2, '', expect.stringContaining('cannot be read whole')]);
    }
  });

  it('a chart is told as JSON and as text', () => {
    const { contract, mechanisms } = JSON.parse(run(['chart', 'sign.lobe', '--format', 'json']).out);
    expect(contract).toBe(1);
    expect(mechanisms[0]).toMatchObject({ name: 'BerthSign', runs: 'forward', findings: [] });
    expect(mechanisms[0].symbols).toEqual([...'0123456789C-']);
    const [camA] = mechanisms[0].rows;
    expect(camA).toMatchObject({ cam: 'camA', shaft: 'upper', level: 1, segments: ['a'], stroke: 3.5, marks: [] });
    // Up at 0, down at 1: travel 25° of a step of 30°, so the fall lies between 1/12 and 11/12 of the step.
    expect(camA.curve[0]).toEqual([0, 3.5]);
    expect(camA.flanks[0]).toMatchObject({ from: 0.083333, to: 0.916667, rises: false });
    const text = run(['chart', 'sign.lobe', '--format', 'text']).out;
    expect(text).toMatch(/^Berth sign · revision A · 12 rests a turn\n/);
    // a is shown by 0 2 3 5 6 7 8 9 and C (the library's decimal, and the sign's own table).
    expect(text).toContain(' camA a  ▔▔╲▁▁╱▔▔▔▔▔╲▁▁╱▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔╲▁▁╱▔▔\n');
    expect(run(['chart', 'sign.lobe', '--out', 'c.json'])).toEqual({ status: 0, out: '', err: '' });
    expect(JSON.parse(read('c.json')).mechanisms).toEqual(mechanisms);
  });

  it('format says as JSON what would change and what did', () => {
    put('loose.lobe', 'mechanism M {\n      runs   forward\n}\n');
    put('broken.lobe', 'mechanism M {');
    const told = (...words: string[]) => {
      const { status, out } = run(['format', '--format', 'json', ...words]);
      return { status, ...JSON.parse(out) };
    };
    expect(told('--check', 'sign.lobe', 'loose.lobe', 'broken.lobe')).toEqual({
      status: 1,
      contract: 1,
      files: [
        { file: 'sign.lobe', changes: false, written: false },
        { file: 'loose.lobe', changes: true, written: false },
        { file: 'broken.lobe', changes: false, written: false, unreadable: true },
      ],
    });
    expect(told('loose.lobe')).toMatchObject({ status: 0, files: [{ changes: true, written: true }] });
    expect(told('loose.lobe')).toMatchObject({ status: 0, files: [{ changes: false, written: false }] });
    const { out } = run(['format', '--format', 'json', '-'], 'mechanism   M { }');
    expect(JSON.parse(out).files).toEqual([{ file: '-', changes: true, written: false, text: 'mechanism M { }\n' }]);
  });

  it('format rewrites, or only says whether it would', () => {
    put('loose.lobe', 'mechanism M {\n      runs   forward\n}\n');
    expect(run(['format', '--check', 'loose.lobe'])).toEqual({ status: 1, out: 'loose.lobe\n', err: '' });
    expect(run(['format', 'loose.lobe'])).toEqual({ status: 0, out: '', err: '' });
    expect(read('loose.lobe')).toBe('mechanism M {\n  runs forward\n}\n');
    expect(run(['format', '--check', 'loose.lobe']).status).toBe(0);
    expect(run(['format', '-'], 'mechanism   M { }').out).toBe('mechanism M { }\n');
    put('broken.lobe', 'mechanism M {');
    expect(run(['format', 'broken.lobe'])).toMatchObject({ status: 1, err: expect.stringContaining('left as it is') });
    expect(read('broken.lobe')).toBe('mechanism M {');
  });
});

describe('sheet and cards', () => {
  const bytes = (name: string) => readFileSync(join(folder, name));

  it.each([
    ['sheet', 'sign.html', '<!doctype html>'],
    ['sheet', 'sign.txt', '# Build sheet: Berth sign'],
    ['sheet', 'sign.json', '{\n  "contract": 1,'],
    ['cards', 'cards.html', '<!doctype html>'],
  ])('%s writes %s by its ending', (verb, name, begins) => {
    expect(run([verb, 'sign.lobe', '--out', name])).toEqual({ status: 0, out: '', err: '' });
    expect(read(name).startsWith(begins)).toBe(true);
  });

  it('write PDF for two papers', () => {
    expect(run(['cards', 'sign.lobe', '--out', 'a4.pdf'])).toEqual({ status: 0, out: '', err: '' });
    expect(run(['cards', 'sign.lobe', '--out', 'letter.pdf', '--paper', 'letter']).status).toBe(0);
    expect(bytes('a4.pdf').subarray(0, 8).toString()).toBe('%PDF-1.7');
    expect(bytes('letter.pdf').equals(bytes('a4.pdf'))).toBe(false);
  });

  it('go to standard output as a page', () => {
    const { status, out } = run(['sheet', 'sign.lobe']);
    expect(status).toBe(0);
    expect(out).toContain('<h1>Build sheet: Berth sign</h1>');
    expect(run(['sheet', '-'], sign).out).toBe(out);
  });

  it('are the same to the byte', () => {
    const pdf = (name: string) => run(['sheet', 'sign.lobe', '--out', name]);
    expect([pdf('one.pdf').status, pdf('two.pdf').status]).toEqual([0, 0]);
    expect(bytes('one.pdf').equals(bytes('two.pdf'))).toBe(true);
  });

  it('reckon with other values, and end with status 1 where errors stand', () => {
    const { out } = run(['sheet', 'sign.lobe', '--format', 'json', '--set', 'coils.preload=1.2 N']);
    expect(JSON.parse(out).mechanisms[0].springs).toMatchObject([{ name: 'coils', lowered: 1.2 }]);
    const told = run(['sheet', 'steep.lobe', '--format', 'text']);
    expect(told.status).toBe(1);
    expect(told.out).toMatch(/! Do not build this yet: 1 error in the design\n {2}- steep-cam: /);
  });

  it('draw cards at a scale that is said, if it fits', () => {
    expect(run(['cards', 'sign.lobe', '--scale', '1:2']).out).toContain('1 : 2');
    expect(run(['cards', 'sign.lobe', '--scale', 'true']).out).toContain('true size');
    expect(run(['cards', 'sign.lobe', '--scale', '1:0.2'])).toMatchObject({ status: 2, out: '' });
    expect(run(['cards', 'sign.lobe', '--scale', 'half']).err).toBe(
      "lobewright: --scale is true or such as 1:2, not 'half'\n",
    );
  });

  it('say in one line what they cannot do, and leave the old file whole', () => {
    put('old.pdf', 'old');
    for (const words of [
      ['sheet', 'nobody.lobe', '--out', 'old.pdf'],
      ['sheet', 'sign.lobe', '--out', 'nowhere/new.pdf'],
      ['sheet', 'sign.lobe', '--out', 'old.docx'],
      ['sheet', 'sign.lobe', '--out', 'old.pdf', '--mechanism', 'BerthSing'],
      ['cards', 'sign.lobe', 'steep.lobe'],
      ['sheet'],
    ]) {
      const { status, out, err } = run(words);
      expect({ status, out }, words.join(' ')).toEqual({ status: 2, out: '' });
      expect(err).toMatch(/^lobewright: .+\n$/);
    }
    expect(read('old.pdf')).toBe('old');
    expect(readdirSync(folder).filter((name) => name.includes('.part'))).toEqual([]);
  });
});

describe('report', () => {
  it('tells a design in one block, with places, and nothing of folders', () => {
    const { status, out, err } = run(['report', 'steep.lobe']);
    expect({ status, err }).toEqual({ status: 1, err: '' });
    expect(out).toMatch(/^```text\nLobewright \d+\.\d+\.\d+\n\d+:\d+: error steep-cam: /);
    expect(out).not.toContain(folder);
    expect(out).not.toContain('steep.lobe');
    expect(run(['report', join(folder, 'steep.lobe')]).out).toBe(out);
  });

  it('tells a text that cannot be read whole too', () => {
    const { status, out } = run(['report', '-'], 'mechanism Half { count 0 1');
    expect(status).toBe(1);
    expect(out).toMatch(/error unexpected-text|error unreadable-text/);
    const absolute = join(folder, 'tables.lobe').replaceAll('\\', '/');
    const told = run(['report', '-'], `import "${absolute}"\n${sign}`).out;
    expect(told).toContain('there is no file "…/tables.lobe"');
    expect(told).not.toContain(folder);
  });

  it('as JSON has the same', () => {
    const { out } = run(['report', 'sign.lobe', '--format', 'json']);
    const [mechanism] = JSON.parse(out).mechanisms;
    expect(mechanism).toMatchObject({ name: 'BerthSign', revision: 'A', assembled: 'greased', runs: 'forward' });
    expect(mechanism.rests).toHaveLength(12);
    expect(mechanism.parts[0]).toEqual({ name: 'upper', kind: 'shaft', count: 1, fingerprint: expect.any(String) });
  });
});

describe('coupon', () => {
  it('tells its rungs, and writes the parts to print', () => {
    const { status, out } = run(['coupon', 'sign.lobe', '--out', 'coupon.3mf']);
    expect(status).toBe(0);
    expect(out).toContain('bores, mm             peg 10 mm (as upper)');
    const first = readFileSync(join(folder, 'coupon.3mf'));
    expect(first.subarray(0, 2).toString()).toBe('PK');
    run(['coupon', 'sign.lobe', '--out', 'coupon.3mf']);
    expect(readFileSync(join(folder, 'coupon.3mf')).equals(first)).toBe(true);
  });

  it('puts what moved into a process of the design, and later into that one', () => {
    const { status, out } = run(['coupon', 'sign.lobe', '--moved', 'bores 5, slots 3', '--write']);
    expect(status).toBe(0);
    expect(out).toContain('written: process measuredFilament: clearance 0.2 → 0.25 mm');
    expect(read('sign.lobe')).toContain('made with measuredFilament');
    expect(check('sign.lobe').files[0]!.findings.map(({ code }) => code)).toEqual([
      'tight-fit',
      'tight-fit',
      'tight-fit',
    ]);
    run(['coupon', 'sign.lobe', '--moved', 'bores 3', '--write']);
    expect(read('sign.lobe').match(/^process \w+/gm)).toEqual(['process measuredFilament']);
    expect(read('sign.lobe')).toMatch(/clearance 0\.1\d mm {3}wall/);
  });

  it('writes nothing unless asked to, and says what is wrong with what was found', () => {
    expect(run(['coupon', 'sign.lobe', '--moved', 'bores 5']).out).toContain('to be written');
    expect(read('sign.lobe')).toBe(sign);
    expect(run(['coupon', 'sign.lobe', '--moved', 'holes 5'])).toMatchObject({ status: 2, out: '' });
    expect(run(['coupon', 'sign.lobe', '--write'])).toMatchObject({ status: 2, out: '' });
    expect(run(['coupon', '-', '--moved', 'bores 5', '--write'], sign)).toMatchObject({ status: 2, out: '' });
  });
});

describe('preview', () => {
  it('writes a page that holds its parts, and lists them where no script runs', () => {
    expect(run(['preview', 'sign.lobe', '--out', 'parts.html'])).toEqual({ status: 0, out: '', err: '' });
    const page = read('parts.html');
    expect(page).toMatch(/^<!doctype html>[\s\S]*<\/html>\n$/);
    expect(page).toContain('<li>camE, cam</li>');
    expect(page).not.toMatch(/<link|<img|<iframe|<script src/);
    const flag = run(['preview', '-'], readFileSync('examples/pier-flag.lobe', 'utf8')).out;
    expect(flag.slice(-8)).toBe('</html>\n');
    const data = JSON.parse(/<script type="application\/json" id="preview-data">(.*)<\/script>/.exec(page)![1]!);
    const held = new Set(data.shapes.map(({ shape }: { shape: string }) => shape));
    expect(data.scenes[0].parts.every(({ shape }: { shape: string }) => held.has(shape))).toBe(true);
    expect(held.size).toBe(data.shapes.length);
    // Of the folder that it lies in, nothing.
    expect(page).not.toContain(folder);
  });

  it('says by its status that the design is wrong, and refuses two files', () => {
    expect(run(['preview', 'steep.lobe', '--out', 'steep.html']).status).toBe(1);
    expect(run(['preview', 'sign.lobe', 'steep.lobe'])).toMatchObject({ status: 2, out: '' });
  });
});

describe('diagnose', () => {
  const seen = (text: string, ...more: string[]) => run(['diagnose', 'sign.lobe', '--seen', text, ...more]);

  it('names what fits what was seen, and where to look next', () => {
    const { status, out, err } = seen('0 ok, 4 wrong, 8 shows 9');
    expect([status, err]).toEqual([0, '']);
    expect(out).toMatch(/^BerthSign: One look fits all 3 things seen\.\n\n1\. {2}camE is upside down \(its flange/);
    expect(out).toContain('Local codes and licensed practice come first.');
    expect(seen('0 ok, 1 wrong').out).toMatch(/^Look next at -\n/m);
    expect(seen('0 shows 8, 1 ok, 2 ok, 3 ok, 4 shows 1').out).toMatch(
      /^BerthSign: No single fault fits all 5 things seen/,
    );
    expect(seen('all ok').out).toContain('nothing is wrong; or something of which no face tells');
  });

  it('tells the same as JSON', () => {
    const told = JSON.parse(seen('0 ok, 4 wrong, 8 shows 9', '--format', 'json').out);
    expect(told).toMatchObject({ contract: 1, file: 'sign.lobe', name: 'BerthSign', homeKnown: true, fitsAll: true });
    expect(told.seen[2]).toMatchObject({ said: '8 shows 9', at: [8], sees: { a: 'shown', e: 'hidden' } });
    const [first, second] = told.candidates;
    expect(first).toMatchObject({ leading: true, right: false, fits: [0, 1, 2], misses: 0 });
    expect(first.faults).toEqual([
      {
        kind: 'cam upside down',
        about: ['camE'],
        what: 'camE is upside down',
        note: 'its flange then lies in front of it',
        byDeg: 0,
      },
    ]);
    expect(second.leading).toBe(false);
    expect(told.next).toBeUndefined();
    expect(JSON.parse(seen('0 ok, 1 wrong', '--format', 'json').out).next).toMatchObject({ position: 11, symbol: '-' });
  });

  it('without --seen prints the whole table, as text, markdown, JSON and a page', () => {
    const text = run(['diagnose', 'sign.lobe']).out;
    expect(text).toMatch(/^BerthSign: \d+ faults of assembly, \d+ looks\n/);
    expect(text).toContain(
      'Wrong at 4 8\n  * camE is upside down (its flange then lies in front of it)\n    4 shows (b f g c e), 8 shows 9\n',
    );
    expect(text).toContain('upperGear turned on its shaft: key dee goes on in one way');
    for (const name of ['t.md', 't.json', 't.html', 't.txt']) {
      expect(run(['diagnose', 'sign.lobe', '--out', name])).toEqual({ status: 0, out: '', err: '' });
    }
    expect(read('t.txt')).toBe(text);
    expect(read('t.md')).toContain(
      '| 4 8 | camE is upside down (its flange then lies in front of it) | 4 shows (b f g c e); 8 shows 9 |',
    );
    const [told] = JSON.parse(read('t.json')).mechanisms;
    const camE = told.looks.find(
      ({ faults }: { faults: { what: string }[] }) => faults[0]?.what === 'camE is upside down',
    );
    expect(camE.wrong.map(({ symbol, reads }: { symbol: string; reads: string[] }) => [symbol, reads])).toEqual([
      ['4', []],
      ['8', ['9']],
    ]);
    expect(read('t.html')).toMatch(/^<!doctype html>[\s\S]*camE is upside down[\s\S]*<\/html>\n$/);
    expect(read('t.html').replace(/http:\/\/www\.w3\.org\/[\w/]+/g, '')).not.toMatch(
      /https?:|@import|<link|<img|<iframe/,
    );
    expect(run(['diagnose', 'sign.lobe', '--format', 'html']).out).toBe(read('t.html'));
  });

  it('counts from anywhere where home is not known', () => {
    const faces = [...'0123456789C-'].map((_, i) => `#${i} shows "${'0123456789C-'[(i + 3) % 12]}"`).join(', ');
    expect(seen(faces).out).toMatch(/^BerthSign: No single fault/);
    const { out } = seen(faces, '--home-unknown');
    expect(out).toMatch(/^BerthSign: One look fits all 12 things seen\.\n\n1\. {2}nothing is wrong/);
    expect(out).toContain('if home is where 9 was taken to be');
  });

  it('reckons with other values, and says by its status that the design is wrong', () => {
    expect(
      run(['diagnose', 'sign.lobe', '--set', 'every cam.flange=0 mm', '--seen', '8 shows 9, 4 wrong']).out,
    ).not.toContain('flange');
    expect(run(['diagnose', 'steep.lobe', '--seen', 'all ok']).status).toBe(1);
  });

  it.each<[string, string[], RegExp]>([
    ['what is no symbol', ['--seen', '11 ok'], /--seen: 11 ok: "11" is not counted; did you mean 1\?/],
    ['nothing', ['--seen', ' '], /--seen: nothing is said; write such as/],
    ['an answer as a page', ['--seen', '0 ok', '--out', 'a.html'], /answered as text or json, not as html/],
    ['home without what was seen', ['--home-unknown'], /--home-unknown is about what was seen/],
    ['an ending that is none', ['--out', 'a.pdf'], /no table is written as 'a\.pdf'; end it in \.html/],
    ['another mechanism', ['--mechanism', 'BerthSing'], /did you mean BerthSign\?/],
  ])('%s is refused in one line', (_, words, why) => {
    const { status, out, err } = run(['diagnose', 'sign.lobe', ...words]);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/^lobewright: [^\n]+\n$/);
    expect(err).toMatch(why);
  });

  it('of two mechanisms asks which one was seen; of none that counts says so', () => {
    const other = sign.replace('language 1\n', '').replace('BerthSign', 'Other');
    put('two.lobe', `${sign}\n${other.replace(/glyphs pier like[^\n]*/, '')}`);
    expect(run(['diagnose', 'two.lobe', '--seen', '0 ok']).err).toContain(
      'two.lobe holds 2 mechanisms; name one with --mechanism: BerthSign, Other',
    );
    expect(run(['diagnose', 'two.lobe', '--seen', '0 ok', '--mechanism', 'Other']).out).toMatch(/^Other: /);
    put('none.lobe', 'mechanism M { }');
    expect(run(['diagnose', 'none.lobe'])).toMatchObject({
      status: 2,
      err: expect.stringContaining('M says no count'),
    });
    expect(run(['diagnose', 'none.lobe', 'sign.lobe'])).toMatchObject({
      status: 2,
      err: expect.stringContaining('wants one FILE'),
    });
  });
});

describe('export', () => {
  const files = (name: string) => readdirSync(join(folder, name)).sort();
  const half = ['export', 'sign.lobe', '--unchecked', '--out', 'parts'];
  const one = [...half, '--parts', 'upper', '--as', 'svg'];

  it('writes parts in every format with their list, checks them, and gives the same bytes again', () => {
    const words = ['export', 'sign.lobe', '--parts', 'camA,upper', '--as', '3mf,stl,step,dxf,svg,csv', '--out'];
    const { status, out, err } = run([...words, 'one']);
    expect([status, err]).toEqual([0, '']);
    expect(out).toMatch(/^2 parts of BerthSign in .*one: 13 files written\n/);
    expect(out).not.toContain('wrong:');
    // biome-ignore format: a list
    expect(files('one')).toEqual([
      '.lobewright-export.json', 'BerthSign.3mf', 'camA.csv', 'camA.dxf', 'camA.step', 'camA.stl', 'camA.svg',
      'parts.csv', 'parts.json', 'parts.md', 'upper.dxf', 'upper.step', 'upper.stl', 'upper.svg',
    ]);
    run([...words, 'two']);
    for (const name of files('one'))
      expect(readFileSync(join(folder, 'two', name)).equals(readFileSync(join(folder, 'one', name))), name).toBe(true);
    const list = JSON.parse(read('one/parts.json'));
    expect([list.contract, list.mechanism, list.printed.length]).toEqual([1, 'BerthSign', 22]);
  });

  it('leaves alone what it did not write, and what was changed since, unless forced', () => {
    mkdirSync(join(folder, 'parts'));
    put('parts/parts.md', 'mine');
    const refused = run(one);
    expect(refused).toMatchObject({ status: 2, out: '' });
    expect(refused.err).toMatch(/parts\.md was not written by this tool, or was changed since; --force overwrites it/);
    expect(files('parts')).toEqual(['parts.md']);
    expect(run([...one, '--force']).status).toBe(0);
    put('parts/parts.csv', 'changed');
    expect(run(one).status).toBe(2);
    expect(read('parts/parts.csv')).toBe('changed');
  }, 120_000);

  it('lays parts on as many beds as they take, and tells which where', () => {
    put(
      'small.lobe',
      sign.replace('made with filament', 'made with small').concat('process small { bed 90 mm by 85 mm }\n'),
    );
    const words = ['export', 'small.lobe', '--unchecked', '--out', 'parts', '--parts'];
    const gears = [...words, 'upperGear,lowerGear'];
    const beds = () => files('parts').filter((name) => name.endsWith('.3mf'));
    run([...words, 'upperGear']);
    expect(beds()).toEqual(['BerthSign.3mf']);
    put('parts/BerthSign-2.3mf', 'mine');
    expect(run(gears)).toMatchObject({ status: 2, err: expect.stringContaining('BerthSign-2.3mf was not written by') });
    expect(beds()).toEqual(['BerthSign-2.3mf', 'BerthSign.3mf']);
    rmSync(join(folder, 'parts', 'BerthSign-2.3mf'));
    const { out } = run(gears);
    expect(beds()).toEqual(['BerthSign-1.3mf', 'BerthSign-2.3mf']);
    expect(out).toContain(`the parts lie on 2 beds, a file for each: ${beds().join(', ')}; parts.md tells which where`);
    expect(out).toContain('of an earlier export, taken away: BerthSign.3mf');
    const { printed, beds: listed } = JSON.parse(read('parts/parts.json'));
    expect(listed[1]).toEqual({ file: 'BerthSign-2.3mf', process: 'small', width: 90, depth: 85 });
    const filed = printed.filter(({ files }: { files: object[] }) => files.length);
    expect(filed.map(({ name, files }: { name: string; files: object[] }) => [name, files])).toEqual([
      ['upperGear', [{ file: 'BerthSign-1.3mf', count: 1 }]],
      ['lowerGear', [{ file: 'BerthSign-2.3mf', count: 1 }]],
    ]);
    const bytes = () => beds().map((name) => readFileSync(join(folder, 'parts', name)).toString('base64'));
    const before = bytes();
    const large = run([...gears, '--set', 'small.bed=60 mm by 60 mm']);
    expect(large.out).toMatch(/^upperGear takes 72 by 72 mm, more than the bed of small, 60 by 60 mm$/m);
    run(gears);
    expect(bytes()).toEqual(before);
  }, 60_000);

  it('writes only what has another shape since a revision', () => {
    const git = (...words: string[]) =>
      spawnSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...words], { cwd: folder });
    git('init', '-q');
    git('add', 'sign.lobe');
    git('commit', '-qm', 'first');
    put(
      'sign.lobe',
      sign.replace('44 mm at 31 mm, -35 mm', '43 mm at 31 mm, -35 mm').replace('revision "A"', 'revision "B"'),
    );
    const { status, out } = run([...half, '--as', 'svg', '--again-since', 'HEAD']);
    expect(status).toBe(0);
    expect(out).toContain('since HEAD: 21 as they were, not written');
    expect(files('parts').filter((name) => name.endsWith('.svg'))).toEqual(['c.svg']);
  }, 120_000);

  it('says what it cannot do', () => {
    expect(run([...half, '--as', 'obj']).err).toContain("no format 'obj'; there are 3mf, stl, step, dxf, svg, csv");
    expect(run([...half, '--parts', 'camH']).err).toMatch(/has no part camH; did you mean cam[A-G]\?/);
    put('file', '');
    expect(run(['export', 'sign.lobe', '--unchecked', '--out', 'file'])).toMatchObject({ status: 2, out: '' });
  });

  it('leaves a folder that cannot be written as it was, and says so', () => {
    put('file', '');
    const under = run([...one.slice(0, -6), '--out', 'file/parts', ...one.slice(-4)]);
    expect(under).toMatchObject({ status: 2, out: '' });
    expect(under.err).toMatch(/cannot write to .*parts, which is left as it was: /);
    expect(run(one).status).toBe(0);
    const before = files('parts').map((name) => [name, read(`parts/${name}`)]);
    // A folder stands where another file is to go.
    mkdirSync(join(folder, 'parts', 'camA.svg', 'mine'), { recursive: true });
    const half = run([...one.slice(0, -3), 'upper,camA', ...one.slice(-2)]);
    expect(half).toMatchObject({ status: 2, out: '' });
    expect(half.err).toMatch(/left as it was: /);
    expect(
      files('parts')
        .filter((name) => name !== 'camA.svg')
        .map((name) => [name, read(`parts/${name}`)]),
    ).toEqual(before);
    expect(files('parts/camA.svg')).toEqual(['mine']);
  }, 120_000);
});

describe('another loop', () => {
  it.each(['README.md', 'extension/docs/why-does-it-bind.md'])(
    'is tried as %s shows',
    (page) => {
      put('weir-gauge.lobe', readFileSync('examples/weir-gauge.lobe', 'utf8'));
      const shown = [...readFileSync(page, 'utf8').matchAll(/```text\n([^`]*?)```/g)].map(([, text]) => text!);
      const tried = shown.filter((text) => text.includes('--set "rim.loop=')).join('');
      const asked = [...tried.matchAll(/^\$ lobewright check weir-gauge\.lobe --set "(.*)"\n((?:(?!\$).*\n)*)/gm)];
      expect(asked.length).toBeGreaterThan(0);
      for (const [, setting, printed] of asked)
        expect(run(['check', 'weir-gauge.lobe', '--set', setting!]).out).toBe(printed);
      expect(run(['check', 'weir-gauge.lobe']).out).toBe('nothing wrong\n');
    },
    60_000,
  );
});

describe('ease', () => {
  it('tells steps before and after as text and JSON, and writes only when told', () => {
    const { status, out } = run(['ease', 'sign.lobe']);
    expect([status, read('sign.lobe') === sign]).toEqual([0, true]);
    expect(out).toMatch(/^BerthSign: peak push [\d.]+ N → [\d.]+ N, greased$/m);
    expect(out).toMatch(
      /^Changes nothing of the push, .*\n {2}the levels of the cams: .*\n {2}the phase of a shaft.*\n {2}the sense of turning/m,
    );
    expect(out).toMatch(/^Stepped the other way it takes [\d.]+ N → [\d.]+ N at most; /m);
    const told = JSON.parse(run(['ease', 'sign.lobe', '--write', '--format', 'json']).out);
    const [{ before, after, edits, proved, better, changesNothing, backwards, grid }] = told.mechanisms;
    expect(changesNothing).toHaveLength(3);
    expect(backwards.after).toBeLessThan(backwards.before);
    expect(grid.bothSenses).toBe(false);
    expect([told.contract, told.written, proved, better]).toEqual([1, true, true, true]);
    expect(after.peak).toBeLessThan(before.peak / 2);
    expect(before.steps).toHaveLength(12);
    expect(edits.length).toBeGreaterThan(2);
    const now = JSON.parse(run(['figures', 'sign.lobe', '--format', 'json']).out).mechanisms[0];
    const used = now.cases.find(({ usedByFindings }: { usedByFindings: boolean }) => usedByFindings);
    expect(Math.max(...used.steps.map(({ peakPush }: { peakPush: number }) => peakPush))).toBeCloseTo(after.peak, 5);
    expect(run(['check', 'sign.lobe']).out).not.toMatch(/ (error|warning) /);
  }, 120_000);

  it('says in one line what cannot be eased, with status 2', () => {
    put('loose.lobe', sign.replace(/^ {2}spring.*$/m, ''));
    const { status, out, err } = run(['ease', 'loose.lobe']);
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/^lobewright: BerthSign cannot be eased: .*spring.*\n$/);
    expect(run(['ease', '-', '--write'], sign).status).toBe(2);
    expect(run(['ease', 'sign.lobe', '--write', '--set', 'coils.rate=1 N/mm']).status).toBe(2);
  }, 60_000);
});

describe('compare', () => {
  const higher = sign.replace('segment e {', 'segment e { stroke 4 mm  ');

  /** Git, without the settings of whoever runs the tests. */
  function git(...words: string[]): string {
    const env = {
      ...process.env,
      GIT_CONFIG_GLOBAL: '/dev/null',
      GIT_CONFIG_NOSYSTEM: '1',
      GIT_PAGER: 'cat',
      GIT_AUTHOR_DATE: '2026-01-01T00:00:00Z',
      GIT_COMMITTER_DATE: '2026-01-01T00:00:00Z',
    };
    const own = ['-c', 'user.name=a maker', '-c', 'user.email=maker@pier.example', '-c', 'commit.gpgsign=false'];
    const { status, stdout, stderr } = spawnSync('git', [...own, ...words], { cwd: folder, encoding: 'utf8', env });
    if (status !== 0) throw new Error(`git ${words.join(' ')}: ${stderr}`);
    return stdout;
  }

  function commit(message: string): void {
    git('add', '--all');
    git('commit', '--quiet', '-m', message);
  }

  /** As the documentation has it; the program is that under test. */
  function setUp(): void {
    const page = readFileSync('extension/docs/command-line.md', 'utf8');
    const attributes = /^\*\.lobe diff=lobe$/m.exec(page)![0];
    const settings = [...page.matchAll(/^git config (diff\.lobe\.\w+) "lobewright (.*)"$/gm)];
    expect(settings.map(([, name]) => name)).toEqual(['diff.lobe.command', 'diff.lobe.textconv']);
    put('.gitattributes', `${attributes}\n`);
    for (const [, name, words] of settings) git('config', name!, `"${process.execPath}" "${program}" ${words}`);
  }

  it('tells two files apart in words, with status 1 where parts differ', () => {
    put('higher.lobe', higher);
    const { status, out, err } = run(['compare', 'sign.lobe', 'higher.lobe']);
    expect([status, err]).toEqual([1, '']);
    expect(out).toMatch(/^sign\.lobe → higher\.lobe\n\nBerthSign\n\nChanged\n {2}bar e: stroke 3\.5 → 4 mm\n\n/);
    expect(run(['compare', 'sign.lobe', 'higher.lobe']).out).toBe(out);
    const firmer = sign.replace('push 20 N', 'push 21 N');
    expect(run(['compare', 'sign.lobe', '-'], firmer)).toMatchObject({
      status: 0,
      out: expect.stringContaining('limit of push 20 → 21 N'),
    });
    expect(run(['compare', '-', 'sign.lobe'], `// another layout\n${sign}`)).toEqual({
      status: 0,
      out: 'Nothing of the mechanism changes.\n',
      err: '',
    });
  }, 120_000);

  it('is a release note as Markdown and data as JSON, also in a file', () => {
    put('higher.lobe', higher);
    const words = ['compare', 'sign.lobe', 'higher.lobe', '--format'];
    expect(run([...words, 'markdown']).out).toMatch(
      /^# What changes from sign\.lobe to higher\.lobe\n\n## BerthSign\n/,
    );
    expect(run([...words, 'json', '--out', 'c.json'])).toEqual({ status: 1, out: '', err: '' });
    expect(JSON.parse(read('c.json'))).toMatchObject({
      contract: 1,
      old: 'sign.lobe',
      new: 'higher.lobe',
      partsDiffer: true,
      mechanisms: [{ name: 'BerthSign' }],
    });
  }, 120_000);

  it('reads versions that git keeps, and what they import, in their revision', () => {
    mkdirSync(join(folder, 'pier'));
    put('pier/tables.lobe', 'glyphs faces { 0 = a   1 = b }');
    put(
      'pier/flag.lobe',
      `import "tables.lobe"
mechanism Flag {
  glyphs faces
  count 0 1
  shaft axle { at 0 mm, 0 mm   turns clockwise   key dee   bearing 8 mm }
  key dee { shape flat   outer 8 mm }
  segment a { azimuth 90 deg   stroke 3 mm   nose 1.5 mm   guide 12 mm   bar 20 mm by 6 mm at 0 mm, 40 mm }
  segment b { azimuth 270 deg   stroke 3 mm   nose 1.5 mm   guide 12 mm   bar 20 mm by 6 mm at 0 mm, -40 mm }
  cam camA on axle level 1 drives a { base 20 mm }
  cam camB on axle level 2 drives b { base 20 mm }
}
`,
    );
    git('init', '--quiet');
    commit('first');
    git('tag', 'v1');
    const told = (...words: string[]) => run(['compare', ...words]);
    expect(told('v1:pier/flag.lobe', 'pier/flag.lobe')).toMatchObject({
      status: 0,
      out: 'Nothing of the mechanism changes.\n',
    });
    put('pier/tables.lobe', 'glyphs faces { 0 = a b   1 = b }');
    for (const words of [
      ['v1:pier/flag.lobe', 'pier/flag.lobe'],
      ['HEAD:./pier/flag.lobe', 'pier/flag.lobe'],
      [':pier/flag.lobe', 'pier/flag.lobe'],
      ['pier/flag.lobe'],
    ]) {
      const { status, out } = told(...words);
      expect(status).toBe(1);
      expect(out).toContain('glyphs faces: 0 shows a → a b');
    }
    commit('second');
    expect(told('v1:pier/flag.lobe', 'HEAD:pier/flag.lobe').out).toContain('glyphs faces: 0 shows a → a b');
    expect(told('HEAD:pier/flag.lobe', 'v1:pier/flag.lobe').out).toContain('glyphs faces: 0 shows a b → a');
    expect(told('pier/flag.lobe').status).toBe(0);
    expect(told('v1:pier/tables.lobe', 'pier/tables.lobe').out).toContain(
      'In the file\n  glyphs faces: 0 shows a → a b',
    );
  }, 120_000);

  it('tells of the example project what its release notes say', () => {
    git('init', '--quiet');
    for (const release of ['release-A', 'release-B']) {
      cpSync(join('examples', 'tide-board', release), folder, { recursive: true });
      expect(run(['check', 'tide-board.lobe']).out, release).toBe('nothing wrong\n');
      commit(release);
      git('tag', release);
    }
    const notes = run(['compare', 'release-A:tide-board.lobe', 'release-B:tide-board.lobe', '--format', 'markdown']);
    expect(notes.out).toBe(readFileSync('examples/tide-board/RELEASE-B.md', 'utf8'));
    const tags = run(['compare', '--tags', 'tide-board.lobe', '--format', 'markdown']).out;
    expect(tags).toBe(readFileSync('examples/tide-board/RELEASES.md', 'utf8'));
  });

  it('says of all tags which part of which release fits which', () => {
    git('init', '--quiet');
    put('steep.lobe', 'mechanism Steep {');
    commit('first');
    git('tag', 'v1.9');
    put('sign.lobe', sign.replace('travel 26 deg', 'travel 24 deg'));
    commit('second');
    git('tag', 'v1.10');
    put('sign.lobe', higher);
    commit('third');
    git('tag', '-a', 'v2', '-m', 'with a higher bar');
    const { status, out } = run(['compare', '--tags', 'sign.lobe']);
    expect(status).toBe(0);
    expect(out).toMatch(/^BerthSign\n {2}part +v1\.9 +v1\.10 +v2\n/);
    expect(out).toMatch(/^ {2}camG +1a +1b +1a *$/m);
    expect(out).toMatch(/^ {2}camE +1a +1a +2b *$/m);
    expect(run(['compare', '--tags', 'sign.lobe', '--format', 'markdown']).out).toContain('| camG | 1a | 1b | 1a |');
    const { contract, releases, mechanisms } = JSON.parse(
      run(['compare', '--tags', 'sign.lobe', '--format', 'json']).out,
    );
    expect([contract, releases]).toEqual([1, [{ name: 'v1.9' }, { name: 'v1.10' }, { name: 'v2' }]]);
    const camG = mechanisms[0].parts.find(({ name }: { name: string }) => name === 'camG');
    expect(camG.made[1]).toMatchObject({ release: 'v1.10', name: 'camG', fit: 1, shape: 'b' });
    const broken = run(['compare', '--tags', 'steep.lobe']);
    expect(broken.out).toMatch(/^v1\.9 is left out: v1\.9:steep\.lobe cannot be read whole: /m);
    put('late.lobe', sign);
    expect(run(['compare', '--tags', 'late.lobe'])).toMatchObject({
      status: 2,
      err: 'lobewright: no tag of the repository has late.lobe\n',
    });
  }, 120_000);

  it('makes git diff speak mechanism, set up as documented', () => {
    git('init', '--quiet');
    setUp();
    commit('first');
    put('sign.lobe', `// a comment more\n${sign.replace(/ {3}/g, ' ')}`);
    expect(git('diff')).toBe('');
    put('sign.lobe', higher);
    const told = git('diff');
    expect(told).toMatch(/^a\/sign\.lobe → b\/sign\.lobe\n\nBerthSign\n\nChanged\n {2}bar e: stroke 3\.5 → 4 mm\n/);
    expect(told).not.toContain('@@');
    const values = git('diff', '--no-ext-diff');
    expect(values).toMatch(/^-bar e: stroke 3\.5 mm$/m);
    expect(values).toMatch(/^\+bar e: stroke 4 mm$/m);
    commit('second');
    expect(git('log', '-p', '-1')).toMatch(/^\+bar e: stroke 4 mm$/m);
    expect(git('diff', 'HEAD~', 'HEAD')).toBe(told);
    rmSync(join(folder, 'sign.lobe'));
    expect(git('diff')).toMatch(/In the file\n {2}mechanism BerthSign taken out\n/);
    put('new.lobe', sign);
    git('add', '--intent-to-add', 'new.lobe');
    expect(git('diff', '--', 'new.lobe')).toMatch(/In the file\n {2}mechanism BerthSign added\n/);
  }, 120_000);

  it('lets git tell a text that cannot be read whole, and follows a file that was renamed', () => {
    git('init', '--quiet');
    setUp();
    commit('first');
    put('sign.lobe', sign.replace('count 0 1', 'count 0 1 }}'));
    const torn = git('diff');
    expect(torn).toMatch(/^b\/sign\.lobe cannot be read whole: /);
    expect(torn).toMatch(/^\+ {2}count 0 1 \}\}/m);
    expect(git('diff', '--no-ext-diff')).toMatch(/^\+cannot be read whole: /m);
    put('sign.lobe', sign);
    git('mv', 'sign.lobe', 'berth.lobe');
    put('berth.lobe', `${sign}// moved\n`);
    git('add', '--all');
    expect(git('diff', '--cached', '-M')).toBe('a/sign.lobe → b/berth.lobe: nothing of the mechanism changes\n');
    put('berth.lobe', higher);
    git('add', '--all');
    expect(git('diff', '--cached', '-M')).toMatch(
      /^a\/sign\.lobe → b\/berth\.lobe\n[\s\S]*bar e: stroke 3\.5 → 4 mm\n/,
    );
  }, 120_000);

  it('reads what a design imports in the version that git hands over', () => {
    git('init', '--quiet');
    setUp();
    put('tables.lobe', 'glyphs pier like decimal { C = a d e f   "-" = g }');
    const importing = `import "tables.lobe"\n${sign.replace(/\nglyphs pier.*\n/, '\n').replace('language 1\n', '')}`;
    put('sign.lobe', importing);
    commit('first');
    put('tables.lobe', 'glyphs pier like decimal { C = a d e   "-" = g }');
    put('sign.lobe', `${importing}// a comment\n`);
    expect(git('diff', '--', 'sign.lobe')).toContain('glyphs pier: C shows a d e f → a d e');
    git('add', '--all');
    expect(git('diff', '--cached', '--', 'sign.lobe')).toContain('glyphs pier: C shows a d e f → a d e');
  }, 120_000);

  it.each<[string, string[], RegExp]>([
    ['one side only', ['-'], /standard input can be OLD or NEW/],
    ['a missing file', ['sign.lobe', 'gone.lobe'], /cannot read gone\.lobe: no such file or folder/],
    ['three files', ['sign.lobe', 'sign.lobe', 'sign.lobe'], /wants OLD and NEW/],
    [
      'no repository',
      ['HEAD:sign.lobe', 'sign.lobe'],
      /cannot read HEAD:sign\.lobe: this folder is in no git repository/,
    ],
    ['no repository for one file', ['sign.lobe'], /cannot read HEAD:sign\.lobe: this folder is in no git repository/],
    ['no tags', ['--tags', 'sign.lobe'], /no git repository/],
    ['modes at once', ['--tags', '--textconv', 'sign.lobe'], /--textconv does not go with --tags/],
    ['a format for git', ['--textconv', '--format', 'json', 'sign.lobe'], /leave --format out/],
    ['no words of git', ['--git-diff', 'sign.lobe', 'sign.lobe'], /is for git/],
    ['an option for a revision', ['--', '--all:sign.lobe', 'sign.lobe'], /no revision begins with a dash/],
    ['a revision without a file', ['HEAD:', 'sign.lobe'], /names no file: REV:path/],
    [
      'an unreadable text',
      ['torn.lobe', 'sign.lobe'],
      /torn\.lobe cannot be read whole: .*lobewright check tells where/,
    ],
  ])('refuses %s with status 2 and one line', (_, words, why) => {
    put('torn.lobe', 'mechanism Torn {');
    const { status, out, err } = run(['compare', ...words]);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/^lobewright: [^\n]+\n$/);
    expect(err).toMatch(why);
  });

  it('says what is meant of a version without a file, of one version alone, and of tags without a mechanism', () => {
    put('shed.lobe', 'process shed { wall 1 mm }');
    git('init', '--quiet');
    commit('first');
    git('tag', 'v1');
    const told = (...words: string[]) => run(['compare', ...words]).err;
    expect(told('v1', 'sign.lobe')).toContain('v1 is a revision of this repository; name a file in it: v1:');
    expect(told('v1:sign.lobe')).toContain('say with what to compare it: compare v1:sign.lobe FILE');
    expect(told('--tags', 'shed.lobe')).toContain('shed.lobe holds no mechanism in any tag of the repository');
    expect(told('gone.lobe', 'sign.lobe')).toContain('cannot read gone.lobe: no such file or folder');
  });

  it.each<[string, RegExp]>([
    ['v9:sign.lobe', /cannot read v9:sign\.lobe: git knows no revision v9/],
    ['HEAD:gone.lobe', /cannot read HEAD:gone\.lobe: there is no gone\.lobe in HEAD/],
    [':gone.lobe', /there is no gone\.lobe in the index/],
    ['HEAD:picture.lobe', /picture\.lobe in HEAD is no text/],
  ])('refuses %s, which git does not have', (old, why) => {
    put('picture.lobe', new Uint8Array([0xff, 0xfe, 0, 1]));
    git('init', '--quiet');
    commit('first');
    expect(run(['compare', old, 'sign.lobe'])).toMatchObject({ status: 2, err: expect.stringMatching(why) });
  });
});

describe('one of several mechanisms', () => {
  const asked = [['export', '--unchecked'], ['coupon'], ['diagnose', '--seen', '0 ok']];

  it.each(asked)('is asked for alike by %s', (...words) => {
    put('two.lobe', `${sign}\nmechanism Other { }\n`);
    const { status, out, err } = run([...words, 'two.lobe']);
    expect([status, out]).toEqual([2, '']);
    expect(err).toBe('lobewright: two.lobe holds 2 mechanisms; name one with --mechanism: BerthSign, Other\n');
    expect(run([...words, 'two.lobe', '--mechanism', 'Othre']).err).toBe(
      'lobewright: two.lobe has no mechanism Othre; did you mean Other?\n',
    );
    put('none.lobe', '// later');
    expect(run([...words, 'none.lobe']).err).toBe('lobewright: none.lobe holds no mechanism\n');
  });
});

describe('a design whose lines end in bare carriage returns', () => {
  const bare = (text: string) => text.replaceAll('\n', '\r');

  it('has the same findings at the same places, the same layout and the same fixes', () => {
    put('bare.lobe', bare(steep));
    const [one] = check('steep.lobe').files;
    const [other] = check('bare.lobe').files;
    expect(one!.findings.length).toBeGreaterThan(0);
    const places = ({ findings }: Report['files'][number]) =>
      findings.map(({ code, message, range, related, fixes }) => ({
        code,
        message,
        range,
        related: related.map(({ range }) => range),
        fixes: fixes.map(({ edits }) => edits.map(({ range, text }) => ({ range, text }))),
      }));
    expect(places(other!)).toEqual(places(one!));
    expect(run(['format', '-'], bare(sign)).out).toBe(sign);
    run(['check', '--fix', 'steep.lobe', 'bare.lobe']);
    expect(read('steep.lobe')).not.toBe(steep);
    expect(read('bare.lobe')).toBe(bare(read('steep.lobe')));
  });

  it('is told where it cannot be read', () => {
    put('bare.lobe', bare(`// a sign\nmechanism M {\n  count 0 1 )\n}\n`));
    expect(run(['check', 'bare.lobe']).out).toMatch(/^bare\.lobe:3:13: error unexpected-text/m);
  });
});

describe('what cannot be carried out', () => {
  it.each<[string, string[], RegExp]>([
    [
      'no verb',
      [],
      /check, figures, chart, preview, compare, diagnose, ease, sheet, cards, report, export, coupon, format, serve/,
    ],
    ['an unknown verb', ['chekc', 'sign.lobe'], /no verb 'chekc' \(did you mean check\?\)/],
    [
      'an unknown option',
      ['check', '--fromat', 'json', 'sign.lobe'],
      /unknown option --fromat; did you mean --format\?/,
    ],
    [
      'an option of another verb',
      ['check', '--mechanism', 'BerthSign', 'sign.lobe'],
      /unknown option --mechanism; there are --format, --out, --fix, --process, --set, --help$/m,
    ],
    [
      'a preview in a format',
      ['preview', '--format', 'html', 'sign.lobe'],
      /unknown option --format; there are --out, --mechanism, --process, --set, --help$/m,
    ],
    ['an impossible value', ['check', '--format', 'xml', 'sign.lobe'], /text, json, sarif, not 'xml'/],
    ['an option without its value', ['check', 'sign.lobe', '--out'], /--out wants PATH/],
    ['no file', ['check'], /wants a FILE/],
    ['a missing file', ['check', 'gone.lobe'], /cannot read gone\.lobe: no such file or folder/],
    ['a folder', ['check', '.'], /is a folder/],
    ['a file in place of a folder', ['check', 'sign.lobe', '--out', 'sign.lobe/log.txt'], /is a file, not a folder/],
    ['a missing folder', ['check', 'sign.lobe', '--out', 'no/such/log.txt'], /cannot write no\/such\/log\.txt/],
  ])('%s ends with status 2 and one line', (_, words, why) => {
    const { status, out, err } = run(words);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/^lobewright: [^\n]+\n$/);
    expect(err).toMatch(why);
  });

  it('a file that is no text', () => {
    put('binary.lobe', new Uint8Array([0xff, 0xfe, 0, 1, 2, 0x80]));
    expect(run(['check', 'binary.lobe'])).toEqual({
      status: 2,
      out: '',
      err: 'lobewright: binary.lobe is not text (UTF-8)\n',
    });
  });

  it.skipIf(process.getuid?.() === 0)('an unwritable folder, which leaves the old file whole', () => {
    mkdirSync(join(folder, 'shut'));
    put('shut/log.txt', 'old');
    chmodSync(join(folder, 'shut'), 0o555);
    expect(run(['check', 'sign.lobe', '--out', 'shut/log.txt'])).toMatchObject({ status: 2 });
    expect(read('shut/log.txt')).toBe('old');
    chmodSync(join(folder, 'shut'), 0o755);
  });

  it('leaves nothing beside what it writes, and keeps permissions', () => {
    put('log.txt', 'old');
    chmodSync(join(folder, 'log.txt'), 0o640);
    run(['check', 'sign.lobe', '--out', 'log.txt']);
    expect(read('log.txt')).toBe('nothing wrong\n');
    expect(statSync(join(folder, 'log.txt')).mode & 0o777).toBe(0o640);
    expect(readdirSync(folder).sort()).toEqual(['log.txt', 'sign.lobe', 'steep.lobe']);
  });

  it('a reader that goes away', () => {
    const many = Array.from({ length: 4000 }, (_, i) => `mechanism M${i} { runs sideways }`).join('\n');
    put('long.lobe', many);
    const command = `"${process.execPath}" "${program}" check long.lobe | head -n 1; echo "\${PIPESTATUS[0]}"`;
    const { stdout, stderr } = spawnSync('bash', ['-c', command], { cwd: folder, encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(stdout.trimEnd().split('\n')).toHaveLength(2);
    expect(stdout).toMatch(/\n1\n$/);
  });
});

describe('help', () => {
  it('has an example for each verb', () => {
    const { status, out } = run(['--help']);
    expect(status).toBe(0);
    for (const verb of ['check', 'figures', 'chart', 'compare', 'format', 'serve']) {
      expect(out).toContain(`lobewright ${verb}`);
      expect(run([verb, '--help'])).toMatchObject({
        status: 0,
        out: expect.stringContaining(`Example:\n  lobewright ${verb}`),
      });
    }
    expect(run(['--version']).out).toMatch(/^lobewright \d+\.\d+\.\d+\n$/);
  });
});

describe('serve', () => {
  it('speaks the Language Server Protocol on standard input and output', () => {
    const message = (body: object) => {
      const text = JSON.stringify({ jsonrpc: '2.0', ...body });
      return `Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`;
    };
    const input = [
      { id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } },
      { method: 'initialized', params: {} },
      { id: 2, method: 'shutdown' },
      { method: 'exit' },
    ];
    const { status, out } = run(['serve'], input.map(message).join(''));
    expect(status).toBe(0);
    expect(out).toContain('"name":"lobewright"');
  });
});
