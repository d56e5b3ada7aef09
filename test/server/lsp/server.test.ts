import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import {
  CancellationTokenSource,
  type CodeAction,
  type CompletionList,
  type Diagnostic,
  type DocumentSymbol,
  type Hover,
  type InlayHint,
  type LocationLink,
  type SelectionRange,
  type SemanticTokens,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { banded } from '../../../server/checks/examples.ts';
import type { Ghost } from '../../../server/outputs/compare/ghost.ts';
import type { PreviewShape } from '../../../server/outputs/preview/scene.ts';
import type {
  ChartState,
  ComparisonResult,
  PaperResult,
  PreviewState,
  SymptomsState,
} from '../../../server/protocol.ts';
import { type Client, carriedOut, connect, design } from './client.ts';

const sign = readFileSync('examples/berth-sign.lobe', 'utf8');
const doc = { textDocument: { uri: design } };
const codes = (diagnostics: Diagnostic[]) => diagnostics.map(({ code }) => code);

let client: Client;
beforeEach(async () => {
  client = await connect({ pages: 'vscode://lobewright.lobewright/finding/' });
});

describe('findings', () => {
  it('are told on opening and after each change, with page, place and version', async () => {
    expect(await client.open(sign)).toEqual([]);
    const at = sign.indexOf('base 22 mm');
    const [steep] = await client.change('base 8 mm', [at, at + 'base 22 mm'.length]);
    expect(steep).toMatchObject({
      code: 'steep-cam',
      severity: 1,
      source: 'lobewright',
      codeDescription: { href: 'vscode://lobewright.lobewright/finding/steep-cam' },
    });
    expect(client.published.at(-1)).toMatchObject({ uri: design, version: 2 });
    const back = client.text().indexOf('base 8 mm');
    expect(await client.change('base 22 mm', [back, back + 'base 8 mm'.length])).toEqual([]);
  });

  it('of many quick changes are those of the last text', async () => {
    await client.open(sign);
    const at = sign.indexOf('22 mm');
    for (const base of ['9', '8', '7', '6']) void client.change(base, [at, at + (base === '9' ? 2 : 1)]);
    const last = client.change('22', [at, at + 1]);
    expect(await last).toEqual([]);
    expect(client.published.filter(({ version }) => version !== undefined && version < 6).length).toBeLessThanOrEqual(
      1,
    );
  });

  it('of a file follow what it imports, and what it imports there', async () => {
    client.files.set('file:///pier/faces.lobe', 'glyphs faces { 0 = a 1 = b }');
    const found = await client.open(`import "faces.lobe"\nmechanism M { glyphs faces count 0 1 2 }`);
    expect(codes(found)).toContain('unknown-symbol');
    await client.open('glyphs faces { 0 = a 1 = b 2 = a b }', 'file:///pier/faces.lobe');
    const again = await client.change(' ', [client.text().length, client.text().length]);
    expect(codes(again)).not.toContain('unknown-symbol');
  });
});

describe('files', () => {
  const faces = 'file:///pier/faces.lobe';
  const importing = 'import "faces.lobe"\nmechanism M { glyphs faces count 0 1 2 }';
  const watched = (uri: string, type: 1 | 2 | 3) =>
    client.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type }] });

  it('that appear, change and go are followed where an open text brings them in', async () => {
    expect(codes(await client.open(importing))).toContain('missing-file');
    client.files.set(faces, 'glyphs faces { 0 = a 1 = b }');
    let found = client.findings();
    await watched(faces, 1);
    expect(codes(await found)).toContain('unknown-symbol');
    client.files.set(faces, 'glyphs faces { 0 = a 1 = b 2 = a b }');
    found = client.findings();
    await watched(faces, 2);
    expect(codes(await found)).not.toContain('unknown-symbol');
    client.files.delete(faces);
    found = client.findings();
    await watched(faces, 3);
    expect(codes(await found)).toContain('missing-file');
  });

  it('that nobody brings in are not read, whatever they are', async () => {
    client.files.set('file:///pier/notes.txt', 'no design');
    client.files.set('file:///pier/other.lobe', 'no design');
    await client.open(sign);
    await watched('file:///pier/notes.txt', 2);
    await watched('file:///pier/other.lobe', 2);
    await client.change('// more\n', [0, 0]);
    expect(new Set(client.published.map(({ uri }) => uri))).toEqual(new Set([design]));
  });

  it('that are closed are forgotten, and their findings taken back', async () => {
    expect(await client.open('mechanism M { oops }')).not.toEqual([]);
    const found = client.findings();
    await client.connection.sendNotification('textDocument/didClose', doc);
    expect(await found).toEqual([]);
    expect(await client.request('lobewright/chartOf', { uri: design })).toBeNull();
  });
});

describe('answers', () => {
  beforeEach(async () => {
    await client.open(sign);
  });

  it('hover tells what was reckoned of a cam, and where', async () => {
    const { contents } = await client.ask<Hover>('textDocument/hover', 'camA on');
    const { value } = contents as { value: string };
    expect(value).toMatch(/pressure angle [\d.]+° at [\d.]+° \(limit 30°\)/);
    expect(value).toMatch(/smallest base [\d.]+ mm/);
  });

  it('hover tells words, units, lets, symbols, gears, shafts and segments', async () => {
    const said = async (at: string, into = 0) =>
      ((await client.ask<Hover>('textDocument/hover', at, {}, into)).contents as { value: string }).value;
    expect(await said('ratchet stepper')).toContain('one-way stepping');
    expect(await said('70 mm', 3)).toContain('millimetres');
    expect(await said('centres =')).toContain('= 70 mm');
    expect(await said('count 0', 6)).toMatch(/position 0: the face shows a b/);
    expect(await said('upperGear on')).toMatch(/pitch radius 35 mm/);
    expect(await said('lowerGear on')).toContain(
      'one tooth off at upperGear turns the cams of lower by 5.14°: camD camC camE',
    );
    expect(await said('shaft lower', 6)).toMatch(/turns counterclockwise, 30° a step/);
    expect(await said('segment a', 8)).toMatch(/raised by camA at 0 2/);
  });

  it('hover tells what springs, bands and pawls bear', async () => {
    const said = async (at: string) =>
      ((await client.ask<Hover>('textDocument/hover', at)).contents as { value: string }).value;
    await client.change(
      banded(
        'loop 100 mm }\n  spring coils { returns left   coil compression   wire 0.3 mm   mean 5 mm   turns 10   free 30 mm   preload 0.9 N }\n' +
          '  ratchet click on axle { teeth 3   arm 20 mm by 1.2 mm by 6 mm   deflection 1.5 mm',
      ),
    );
    const band = await said('rim {');
    expect(band).toContain('path 152 mm at off to 164 mm at high');
    expect(band).toContain('stretch 1.52 at off to 1.64 at high');
    expect(band).toMatch(/tension 0\.978 N at off to 1\.14 N at high, ± 30 %/);
    const spring = await said('coils {');
    expect(spring).toContain('rate 0.066 N/mm by its coil: 16.7 times its wire wide');
    expect(spring).toContain('force 0.9 N lowered, 1.1 N raised');
    expect(spring).toContain('solid at 3.6 mm, after 26.4 mm, 58.7 % in reserve');
    expect(spring).toContain('buckles unless it is guided: it is longer than 26.3 mm');
    expect(spring).toContain('modulus: 81.5 GPa (the shear modulus of spring wire to EN 10270-1)');
    // Beam theory: 0.675 % and 1.458 N.
    expect(await said('click on')).toContain('its arm is strained by 0.675 % (pla bears 1 %) and presses with 1.46 N');
  });

  it('hover tells depths, walls, ways on, and what comes nearest when', async () => {
    const said = async (at: string, into = 0) =>
      ((await client.ask<Hover>('textDocument/hover', at, {}, into)).contents as { value: string }).value;
    const cam = await said('camA on');
    expect(cam).toContain('level 1: 0 mm to 4.2 mm behind the face, with its flange');
    // base 22 mm less the bore's radius: 9 mm and 0.1 mm of clearance (derived).
    expect(cam).toMatch(/wall 12\.9 mm round the bore of dee at [\d.]+°/);
    expect(cam).toMatch(/(camA|the flange of camA) comes within [\d.]+ mm of /);
    expect(await said('dee { shape')).toMatch(/parts go on 1 way, turned over 1; play [\d.]+°/);
    expect(await said('dee { shape')).toContain('thinnest wall round its bore: 12.9 mm');
    expect(await said('shaft lower', 6)).toContain('0 mm to 21.8 mm behind the face');
    expect(await said('upperGear on')).toContain('level 5: 16.8 mm to 21.8 mm behind the face');
    const segment = await said('segment b', 8);
    expect(segment).toContain('its stem lies at level 2, 4.2 mm to 7.2 mm behind the face');
    expect(segment).toMatch(/its bar comes within [\d.]+ mm of bar [a-g]/);
  });

  it('hover tells numbers, laws and every kind of part', async () => {
    const said = async (at: string, into = 0) =>
      ((await client.ask<Hover>('textDocument/hover', at, {}, into)).contents as { value: string }).value;
    const base = await said('base 22 mm', 5);
    expect(base).toContain('**base** 22 mm');
    expect(base).toContain('radius of the base circle');
    expect(base).toContain('counts for camA camB camF camG camD camC camE');
    expect(await said('travel 25 deg', 7)).not.toContain('camG');
    expect(await said('travel 26 deg', 7)).toContain('of cam camG');
    const half = await said('centres / 2   turns', 10);
    expect(half).toContain('**at y** centres / 2 = 35 mm');
    expect(half).toContain('of shaft upper');
    expect(await said('70 mm')).toContain('used by upper at, lower at');
    expect(await said('hidden 10 %', 7)).toContain('**hidden** 10 %');
    expect(await said('level 3', 6)).toContain('counted from the face backwards');
    expect(await said('language 1', 9)).toContain('version of the language');
    expect(await said('bought 4', 7)).toContain('parts list');

    // Peak factors of simple harmonic motion: pi/2, pi²/2 (any handbook of cam design).
    for (const word of ['simple harmonic', 'harmonic']) {
      const law = await said(word);
      expect(law).toMatch(/\*\*simple harmonic\*\*: a cosine/);
      expect(law).toContain('peak velocity 1.571 ');
      expect(law).toContain('peak acceleration 4.935 ');
    }

    expect(await said('shaft lower', 6)).toContain('turns once for each turn of upper, the other way');
    const ratchet = await said('stepper on');
    expect(ratchet).toContain('30° a tooth, 30° a step');
    expect(ratchet).toContain('teeth 12, play 0.5 deg, hold 60 Nmm');
    // asin(sin −17° + 8.2/14) + 17° = 34.06° (derived).
    expect(await said('button turns')).toContain(
      'one push turns it by 34.06°; a step is 30° and the play 0.5°, which leaves 3.56°',
    );
    const spring = await said('coils {');
    expect(spring).toContain('rate 0.08 N/mm, preload 0.9 N');
    // 0.9 N + 0.08 N/mm × 3.5 mm (derived).
    expect(spring).toContain('force 0.9 N lowered, 1.18 N raised');
    const key = await said('dee { shape');
    expect(key).toContain('shape flat');
    expect(key).toContain('on upper lower');
    expect(key).toContain('outer 18 mm, clearance 0.1 mm');

    await client.change(`mechanism M {
  let wide = 1 in
  shaft s { at 0 mm, 0 mm }
  shaft idle { at 30 mm, 0 mm }
  gear one on s { module 1 mm   teeth 20 }
  gear two on idle { module 1 mm   teeth 40 }
  mesh one two
  segment a { bar wide by 4 mm at 0 mm, 2 mm tilt 0.25 turn }
  cam c on s level 1 drives a { law constant velocity blended 0.25   flange 1 mm to radius 30 mm }
}`);
    expect(await said('1 in')).toContain('= 25.4 mm');
    expect(await said('0.25 turn')).toContain('**bar tilt** 0.25 turn = 90 deg');
    expect(await said('30 mm }')).toBeDefined();
    expect(await said('radius 30 mm', 7)).toContain('**flange radius** 30 mm');
    expect(await said('constant velocity')).toContain('constant velocity** blended 25 %');
    expect(await said('blended 0.25', 8)).toContain('**blended** 0.25 = 25 %');
    expect(await said('shaft idle', 6)).toContain('turns once for every 2 turns of s, the other way');
  });

  it('completion offers words, names, symbols, units and codes where they may stand', async () => {
    const offered = async (text: string) => {
      await client.change(text.replace('|', ''));
      const at = text.indexOf('|');
      const { items } = await client.request<CompletionList>('textDocument/completion', {
        ...doc,
        position: client.position(at),
      });
      return items.map(({ label }) => label);
    };
    expect(await offered('|')).toEqual(expect.arrayContaining(['mechanism', 'glyphs', 'import', 'language']));
    const members = await offered('mechanism M { sh| }');
    expect(members).toEqual(expect.arrayContaining(['shaft', 'count']));
    expect(await offered('mechanism M { shaft up { } cam c on | }')).toEqual(['up']);
    expect(await offered('mechanism M { segment a segment b cam c drives | }')).toEqual(
      expect.arrayContaining(['a', 'b']),
    );
    expect((await offered('mechanism M { segment a { stroke 3 | } }'))[0]).toBe('mm');
    expect(await offered('mechanism M { gear g { pressure angle 20| } }')).toContain('deg');
    expect(await offered('mechanism M { glyphs decimal count 0 | }')).toEqual(expect.arrayContaining(['7', '8']));
    expect(await offered('mechanism M { accept | }')).toContain('steep-cam');
    expect(await offered('mechanism M { let x = 3 mm cam c { base | } }')).toEqual(
      expect.arrayContaining(['x', 'min']),
    );
    expect(await offered('mechanism M { wrong ) text ( cam c { b| } }')).toContain('base');
    expect(await offered('mechanism M { /* a | */ }')).toEqual([]);
  });

  it('goes to the definition of names, symbols and imports', async () => {
    const [shaft] = await client.ask<LocationLink[]>('textDocument/definition', 'on upper', {}, 3);
    expect(shaft!.targetSelectionRange.start).toEqual(client.position(sign.indexOf('upper {')));
    const [symbol] = await client.ask<LocationLink[]>('textDocument/definition', '9 C', {}, 2);
    expect(symbol!.targetSelectionRange.start).toEqual(client.position(sign.indexOf('C = a')));
    const [library] = await client.ask<LocationLink[]>('textDocument/definition', 'count 0', {}, 6);
    expect(library!.targetUri).toBe('lobe-library:/decimal.lobe');
    const text = await client.request<string>('lobewright/libraryText', { uri: library!.targetUri });
    expect(text).toContain('glyphs decimal');
  });

  it('renames a name everywhere, and refuses what would break the design', async () => {
    const rename = (at: string, newName: string, into = 0) =>
      client.ask<WorkspaceEdit>('textDocument/rename', at, { newName }, into);
    const { changes } = await rename('upper {', 'top');
    const uses = sign.split(/\bupper\b/).length - 1;
    expect(changes?.[design]).toHaveLength(uses);
    await expect(rename('upper {', 'shaft')).rejects.toThrow(/word of the language/);
    await expect(rename('upper {', 'lower')).rejects.toThrow(/upper|lower is taken/);
    await expect(rename('upper {', '9 lives')).rejects.toThrow(/no name/);
    await expect(rename('segment a', 'z', 8)).rejects.toThrow(
      /glyph table decimal of the library.*table of your own that is not 'like decimal'/,
    );
    await expect(client.ask('textDocument/prepareRename', 'made with filament', {}, 10)).rejects.toThrow(/library/);
  });

  it('finds all references', async () => {
    const found = await client.ask<unknown[]>('textDocument/references', 'dee {', {
      context: { includeDeclaration: true },
    });
    expect(found).toHaveLength(3);
  });

  it('outlines, folds, colours, links, hints and selects', async () => {
    const [mechanism, glyphs] = await client.request<DocumentSymbol[]>('textDocument/documentSymbol', doc);
    expect(mechanism).toMatchObject({ name: 'BerthSign' });
    expect(mechanism!.children).toContainEqual(
      expect.objectContaining({ name: 'camA', detail: 'on upper level 1 drives a' }),
    );
    expect(glyphs).toMatchObject({ name: 'pier', detail: 'like decimal' });
    const folds = await client.request<{ startLine: number; endLine: number }[]>('textDocument/foldingRange', doc);
    expect(folds).toContainEqual({ startLine: 3, endLine: sign.split('\n').indexOf('}') - 1 });
    const { data } = await client.request<SemanticTokens>('textDocument/semanticTokens/full', doc);
    expect(data.length / 5).toBeGreaterThan(70);
    const [selection] = await client.ask<SelectionRange[]>('textDocument/selectionRange', 'rate 0.08', {
      positions: [client.position(sign.indexOf('0.08'))],
    });
    const depth = (at?: SelectionRange): number => (at ? 1 + depth(at.parent) : 0);
    expect(depth(selection)).toBeGreaterThan(4);
    const whole = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
    expect(await client.request<InlayHint[] | null>('textDocument/inlayHint', { ...doc, range: whole })).toEqual([]);
  });

  it('offers fixes that are true, and accepting', async () => {
    const at = sign.indexOf('base 22 mm');
    const [steep] = await client.change('base 8 mm', [at, at + 'base 22 mm'.length]);
    const actions = await client.request<CodeAction[]>('textDocument/codeAction', {
      ...doc,
      range: steep!.range,
      context: { diagnostics: [steep] },
    });
    const titles = actions.map(({ title }) => title);
    expect(titles.some((title) => title.startsWith('Accept'))).toBe(true);
    const fixes = actions.filter(({ title }) => !title.startsWith('Accept'));
    expect(fixes.length).toBeGreaterThan(0);
    const broken = client.text();
    for (const fix of fixes) {
      expect(codes(await client.change(carriedOut(broken, fix)))).not.toContain('steep-cam');
    }
    const accept = actions.find(({ title }) => title.startsWith('Accept'))!;
    expect(codes(await client.change(carriedOut(broken, accept)))).not.toContain('steep-cam');
  });
});

describe('ease at count', () => {
  const at = () => ({
    start: client.position(sign.indexOf('count 0')),
    end: client.position(sign.indexOf('count 0') + 5),
  });
  const asked = (only?: string[]) =>
    client.request<CodeAction[]>('textDocument/codeAction', {
      ...doc,
      range: at(),
      context: { diagnostics: [], ...(only && { only }) },
    });

  it('is searched when it is chosen, gives edits that ease, and is then known by its figures', async () => {
    await client.open(sign);
    const [offered, ...others] = await asked();
    expect(others).toEqual([]);
    expect(offered).toMatchObject({
      title: expect.stringMatching(/^Ease the push \(now [\d.]+ N\)/),
      kind: 'refactor.rewrite',
    });
    expect(offered!.edit).toBeUndefined();
    const resolved = await client.request<CodeAction>('codeAction/resolve', offered!);
    const [known] = await asked(['refactor']);
    expect(known!.title).toMatch(/^Ease the push: [\d.]+ N → [\d.]+ N$/);
    expect(await asked(['quickfix'])).toEqual([]);
    const found = await client.change(carriedOut(client.text(), resolved));
    expect(found.filter(({ severity }) => severity! <= 2)).toEqual([]);
    expect(client.text()).toContain('shown lowered');
  }, 60_000);

  it('of a text that has changed gives no edit', async () => {
    await client.open(sign);
    const [offered] = await asked();
    await client.change(sign.replace('rate 0.08', 'rate 0.09'));
    expect((await client.request<CodeAction>('codeAction/resolve', offered!)).edit).toBeUndefined();
  });
});

describe('segments that glyph tables name', () => {
  const flags = 'file:///pier/flags.lobe';
  const table = 'glyphs flags { segments p q 0 = p 1 = p q }\nglyphs more like flags { 2 = q p }';
  const face = 'import "flags.lobe"\nmechanism M { glyphs more count 0 1 2 segment p segment q cam c drives p }';
  const inTable = (at: string, more = {}) => ({
    textDocument: { uri: flags },
    position: client.position(table.indexOf(at) + at.length - 1, flags),
    ...more,
  });
  const within = (text: string, edits: WorkspaceEdit, uri: string) => carriedOut(text, { title: '', edit: edits }, uri);
  const renamed = 'glyphs flags { segments red q 0 = red 1 = red q }\nglyphs more like flags { 2 = q red }';

  it('are renamed in the mechanism and in its tables, wherever one asks', async () => {
    client.files.set(flags, table);
    await client.open(face);
    const here = await client.ask<WorkspaceEdit>('textDocument/rename', 'segment p', { newName: 'red' }, 8);
    expect(within(face, here, design)).toBe(face.replace('segment p', 'segment red').replace('drives p', 'drives red'));
    expect(within(table, here, flags)).toBe(renamed);
    await client.open(table, flags);
    for (const at of ['0 = p', 'segments p', '2 = q p']) {
      const there = await client.request<WorkspaceEdit>('textDocument/rename', inTable(at, { newName: 'red' }));
      expect(
        Object.values(there.changes!)
          .map(({ length }) => length)
          .sort(),
      ).toEqual([2, 4]);
      expect(within(table, there, flags)).toBe(renamed);
      expect(await client.request('textDocument/prepareRename', inTable(at))).toEqual({
        start: client.position(table.indexOf(at) + at.length - 1, flags),
        end: client.position(table.indexOf(at) + at.length, flags),
      });
    }
    await expect(client.ask('textDocument/rename', 'segment p', { newName: 'q' }, 8)).rejects.toThrow(/q is taken/);
  });

  it('are not renamed from under another mechanism; in the table, all follow', async () => {
    await client.open(table, flags);
    const both = `${face}\nmechanism Other { glyphs flags segment p }`;
    await client.open(both);
    await expect(client.ask('textDocument/prepareRename', 'segment p', {}, 8)).rejects.toThrow(
      /mechanism Other shows its segment p by glyph table flags too/,
    );
    const all = await client.request<WorkspaceEdit>('textDocument/rename', inTable('0 = p', { newName: 'red' }));
    expect(within(both, all, design)).toBe(
      both.replaceAll('segment p', 'segment red').replace('drives p', 'drives red'),
    );
  });

  it('lead to the segments, are found among references, and say what shows them', async () => {
    await client.open(table, flags);
    await client.open(face);
    const [segment] = await client.request<LocationLink[]>('textDocument/definition', inTable('2 = q p'));
    expect(segment).toMatchObject({
      targetUri: design,
      targetSelectionRange: { start: client.position(face.indexOf('segment p') + 8) },
    });
    const context = { includeDeclaration: true };
    const [here, there] = [
      await client.ask<unknown[]>('textDocument/references', 'segment p', { context }, 8),
      await client.request<unknown[]>('textDocument/references', inTable('0 = p', { context })),
    ];
    expect(here).toHaveLength(6);
    expect(new Set(there.map((each) => JSON.stringify(each)))).toEqual(
      new Set(here.map((each) => JSON.stringify(each))),
    );
    const { contents } = await client.request<Hover>('textDocument/hover', inTable('0 = p'));
    expect((contents as { value: string }).value).toMatch(
      /segment p[\s\S]*shown by 0 1 in glyph table flags[\s\S]*mechanism M/,
    );
    expect(await client.request<unknown[]>('textDocument/documentHighlight', inTable('0 = p'))).toHaveLength(4);
  });

  it('without a mechanism lead to the list that names them', async () => {
    await client.open(table, flags);
    const [list] = await client.request<LocationLink[]>('textDocument/definition', inTable('2 = q p'));
    expect(list!.targetSelectionRange.start).toEqual(client.position(table.indexOf('segments p') + 9, flags));
    const edit = await client.request<WorkspaceEdit>('textDocument/rename', inTable('1 = p', { newName: 'red' }));
    expect(within(table, edit, flags)).toBe(renamed);
  });
});

describe('the chart', () => {
  it('follows the text, and keeps the last good mechanisms while it is broken', async () => {
    await client.open(sign);
    const chart = () => client.request<ChartState>('lobewright/chartOf', { uri: design });
    const good = await chart();
    expect(good).toMatchObject({ uri: design, version: 1 });
    expect(good.mechanisms[0]!.figures.cams).toHaveLength(7);
    expect(good.stale).toBeUndefined();
    const at = sign.indexOf('segment b');
    await client.change('segment { ', [at, at + 9]);
    const stale = await chart();
    expect(stale.mechanisms[0]!.figures.cams).toHaveLength(7);
    expect(stale.stale!.range.start.line).toBe(client.position(at).line);
  });

  it('has the symptoms of the same mechanisms, the last good ones while the text is broken', async () => {
    await client.open(sign);
    const symptoms = () => client.request<SymptomsState>('lobewright/symptomsOf', { uri: design });
    const { pages, version, stale } = await symptoms();
    expect([version, stale, pages.length, pages[0]!.bars.length]).toEqual([1, undefined, 1, 7]);
    const { table } = pages[0]!;
    expect('groups' in table && table.groups.flatMap(({ faults }) => faults.map(({ what }) => what))).toContain(
      'camB is upside down',
    );
    const at = sign.indexOf('segment b');
    await client.change('segment { ', [at, at + 9]);
    const broken = await symptoms();
    expect(broken.stale!.range.start.line).toBe(client.position(at).line);
    expect(broken.pages).toEqual(pages);
  });

  it('has the parts in space with the shapes that are asked for, and those of the newest text once it rests', async () => {
    await client.open(sign);
    const preview = (mechanism?: string) =>
      client.request<PreviewState>('lobewright/previewOf', { uri: design, mechanism });
    const { scene, version, mechanisms } = await preview();
    expect([version, mechanisms, scene.name]).toEqual([1, [{ name: 'BerthSign', title: 'Berth sign' }], 'BerthSign']);
    const [camB] = scene.parts.filter(({ name }) => name === 'camB');
    const asked = { uri: design, mechanism: 'BerthSign', shapes: [camB!.shape, 'none'] };
    const shapes = await client.request<PreviewShape[]>('lobewright/shapesOf', asked);
    expect(shapes.map(({ shape }) => shape)).toEqual([camB!.shape]);
    expect(await client.request('lobewright/shapesOf', { ...asked, mechanism: 'Nobody' })).toEqual([]);
    expect(await client.request('lobewright/shapesOf', { ...asked, shapes: 5 })).toEqual([]);
    // Of the last text, though it was asked for in one breath with the changes.
    const at = sign.indexOf('base 22 mm') + 'base 2'.length;
    const [after] = await Promise.all([preview(), client.change('3', [at, at + 1])]);
    expect(after.version).toBe(2);
    expect(after.scene.parts.find(({ name }) => name === 'camB')!.shape).not.toBe(camB!.shape);
    // While the text is broken, of the last good one.
    const now = client.text().indexOf('segment b');
    await client.change('segment { ', [now, now + 9]);
    const broken = await preview('Nobody');
    expect(broken.stale!.range.start.line).toBe(client.position(now).line);
    expect(broken.scene).toEqual(after.scene);
  });

  it('makes no shapes for who no longer wants them', async () => {
    await client.open(sign);
    const { scene } = await client.request<PreviewState>('lobewright/previewOf', { uri: design });
    const shapes = scene.parts.map(({ shape }) => shape);
    const cancelling = new CancellationTokenSource();
    const asked = client.connection.sendRequest(
      'lobewright/shapesOf',
      { uri: design, mechanism: 'BerthSign', shapes },
      cancelling.token,
    );
    cancelling.cancel();
    expect(await asked).toBeNull();
  });

  it('is of what was reckoned coarsely while one types, and finely a moment after', async () => {
    const grid = async () =>
      (await client.request<ChartState>('lobewright/chartOf', { uri: design })).mechanisms[0]!.figures.encounters.grid;
    // Asked in one breath with the change, so that no rest lies between however slow the machine is.
    const soon = async (change: Promise<unknown>) => (await Promise.all([grid(), change]))[0];
    expect(await soon(client.open(sign))).toBe('coarse');
    const at = sign.indexOf('base 22 mm') + 'base 2'.length;
    for (const digit of ['3', '4', '3', '2']) expect(await soon(client.change(digit, [at, at + 1]))).toBe('coarse');
    await expect.poll(grid, { timeout: 5000 }).toBe('fine');
    // The same findings are not told again.
    expect(client.published.filter(({ version }) => version === 5)).toHaveLength(1);
    // What is not touched stays fine.
    await client.change('// a line more\n', [0, 0]);
    expect(await grid()).toBe('fine');
  });

  it('knows where a place is now, and which part stands at a position', async () => {
    await client.open(sign);
    const { mechanisms } = await client.request<ChartState>('lobewright/chartOf', { uri: design });
    const place = mechanisms[0]!.mechanism.cams[0]!.place;
    await client.change('// one line more\n', [0, 0]);
    const now = await client.request<{ range: object }>('lobewright/whereIs', { place });
    const at = client.text().indexOf('camA on');
    expect(now.range).toEqual({ start: client.position(at), end: client.position(at + 4) });
    const part = await client.request('lobewright/partAt', { uri: design, ...client.position(at) });
    expect(part).toEqual({ mechanism: 'BerthSign', part: 'camA' });
  });

  it('answers null to what it does not know', async () => {
    await client.open(sign);
    for (const params of [{}, { uri: 5 }, { uri: 'file:///nowhere.lobe' }, { place: {} }, { place: { file: '' } }]) {
      expect(await client.request('lobewright/chartOf', params)).toBeNull();
      expect(await client.request('lobewright/symptomsOf', params)).toBeNull();
      expect(await client.request('lobewright/previewOf', params)).toBeNull();
      expect(await client.request('lobewright/shapesOf', params)).toBeNull();
      expect(await client.request('lobewright/whereIs', params)).toBeNull();
      expect(await client.request('lobewright/partAt', params)).toBeNull();
      expect(await client.request('lobewright/libraryText', params)).toBeNull();
      expect(await client.request('lobewright/comparison', params)).toBeNull();
    }
  });
});

describe('the committed version', () => {
  const higher = sign.replace('segment e {', 'segment e { stroke 4 mm  ');
  const against = async () =>
    (await client.request<ChartState>('lobewright/chartOf', { uri: design, againstCommitted: true })).against;
  const comparison = () => client.request<ComparisonResult>('lobewright/comparison', { uri: design });
  const committed = (text: string, ...more: [string, string][]) => {
    client.committed = new Map([[design, text], ...more]);
  };

  it('stands behind the chart where that is asked for', async () => {
    committed(sign);
    await client.open(higher);
    expect(await client.request('lobewright/chartOf', { uri: design })).not.toHaveProperty('against');
    expect(client.asked).toBe(0);
    const told = (await against()) as { ghosts: Ghost[] };
    expect(told.ghosts).toHaveLength(1);
    expect(told.ghosts[0]).toMatchObject({ mechanism: 'BerthSign', of: 'the committed version', rests: 12 });
    const camE = told.ghosts[0]!.rows.find(({ cam }) => cam === 'camE')!;
    expect(camE).toMatchObject({ was: { lift: { stroke: 3.5 } } });
    expect(camE.changes[0]).toBe('stroke 3.5 → 4 mm');
    const at = higher.indexOf('stroke 4 mm');
    await client.change('stroke 5 mm', [at, at + 'stroke 4 mm'.length]);
    const then = (await against()) as { ghosts: Ghost[] };
    expect(then.ghosts[0]!.rows.find(({ cam }) => cam === 'camE')!.changes[0]).toBe('stroke 3.5 → 5 mm');
  });

  it('is compared in words, as Markdown; a newer commit counts at once', async () => {
    committed(sign);
    await client.open(higher);
    const { markdown } = (await comparison()) as { markdown: string };
    expect(markdown).toMatch(/^# What changes from the committed version to design\.lobe\n\n## BerthSign\n/);
    expect(markdown).toContain('- bar e: stroke 3.5 → 4 mm\n');
    expect(markdown).toContain('### Parts to make or get again\n');
    committed(higher);
    expect(await comparison()).toEqual({
      markdown: expect.stringContaining('Nothing of the mechanism changes.'),
    });
    await client.change('// a comment\n', [0, 0]);
    expect(await comparison()).toEqual({ markdown: expect.stringContaining('Nothing of the mechanism changes.') });
  });

  it('is read with what it imports, as that was committed', async () => {
    const tables = 'file:///pier/tables.lobe';
    const importing = `import "tables.lobe"\n${sign.replace(/\nglyphs pier.*\n/, '\n').replace('language 1\n', '')}`;
    const faces = (segments: string) => `glyphs pier like decimal { C = ${segments}   "-" = g }`;
    client.files.set(tables, faces('a d e'));
    committed(importing, [tables, faces('a d e f')]);
    await client.open(importing);
    expect(await comparison()).toEqual({ markdown: expect.stringContaining('glyphs pier: C shows a d e f → a d e') });
    committed(importing, [tables, faces('a d e')]);
    expect(await comparison()).toEqual({ markdown: expect.stringContaining('Nothing of the mechanism changes.') });
    // A table that was not committed is missing from the older version.
    committed(importing);
    expect(await comparison()).toEqual({ markdown: expect.stringContaining('- glyphs pier (not given before)\n') });
  });

  it('is not told of where there is none, and why is said', async () => {
    await client.open(higher);
    const uncommitted = { because: 'The last commit has no such file: it is not committed yet.' };
    expect(await against()).toEqual(uncommitted);
    expect(await comparison()).toEqual(uncommitted);
    client.committed = 'There is no git here.';
    expect(await against()).toEqual({ because: 'There is no git here.' });
    expect(await comparison()).toEqual({ because: 'There is no git here.' });
    committed(sign);
    await client.change('mechanism Torn {');
    expect(await comparison()).toEqual({ because: expect.stringMatching(/^The text cannot be read whole: /) });
    expect(await client.request('lobewright/chartOf', { uri: design, againstCommitted: 1 })).not.toHaveProperty(
      'against',
    );
  });

  it('is reckoned apart: nothing that is open is told or found otherwise', async () => {
    committed(sign.replace('base 22 mm', 'base 8 mm'));
    expect(await client.open(sign)).toEqual([]);
    await against();
    await comparison();
    expect(client.published.every(({ diagnostics }) => diagnostics.length === 0)).toBe(true);
    const symbols = await client.request<{ name: string }[]>('workspace/symbol', { query: 'BerthSign' });
    expect(symbols).toHaveLength(1);
  });
});

describe('bad input', () => {
  /** Opens a text; the processor's time is what is bounded, so that a busy machine does not count. */
  const within = async (text: string): Promise<string[]> => {
    const before = process.cpuUsage();
    const found = await client.open(text);
    const { user, system } = process.cpuUsage(before);
    expect((user + system) / 1000).toBeLessThan(2000);
    return codes(found) as string[];
  };

  it.each<[string, () => string]>([
    ['binary', () => Array.from({ length: 20_000 }, (_, i) => String.fromCharCode((i * 7919) % 256)).join('')],
    ['1 MB of words', () => 'nonsense '.repeat(120_000)],
    ['10,000 parentheses', () => `mechanism M { let a = ${'('.repeat(10_000)} }`],
    ['10,000 braces', () => '{'.repeat(10_000)],
    ['a long sum', () => `mechanism M { let a = ${'1 mm + '.repeat(10_000)} 1 mm }`],
    ['circular lets', () => 'mechanism M { let a = b let b = a }'],
  ])('%s is answered within 2 s', async (_, text) => {
    expect((await within(text())).length).toBeGreaterThan(0);
  });

  const cams = (properties: string) => (count: number) =>
    `mechanism M {\n${Array.from({ length: count }, (_, i) => `  cam c${i} { ${properties} }`).join('\n')}\n}\n`;

  it.each<[string, (count: number) => string]>([
    ['mistyped properties', cams('bse 3 mm   travel 25 deg   thickness 3 mm')],
    [
      'mistyped statements',
      (count) => `mechanism M { ${'cams c { base 3 mm } shaft s { at 0 mm, 0 mm }\n'.repeat(count)} }`,
    ],
    ['strange marks', cams('base 3 mm § travel 25 deg   thickness 3 mm')],
    ['unknown units', cams('base 3 furlong   travel 25 deg   thickness 3 mm')],
    ['impossible values', cams('base -3 mm   travel 25 mm   thickness 3 deg')],
    ['broken mechanisms', (count) => 'mechanism M { shaft s { att 0 mm, 0 mm } cam c { bse 3 } }\n'.repeat(count)],
  ])(
    'four times as many %s take not much more than four times as long, and are not told without end',
    async (_, text) => {
      const spent = async (count: number): Promise<number> => {
        const before = process.cpuUsage();
        const found = await client.open(text(count));
        const { user, system } = process.cpuUsage(before);
        expect(found.length).toBeGreaterThan(0);
        expect(found.length).toBeLessThanOrEqual(1000);
        return user + system;
      };
      const few = Math.min(await spent(3000), await spent(3001));
      expect((await spent(12_000)) / few).toBeLessThan(10);
    },
  );

  it('circular imports are told', async () => {
    client.files.set('file:///pier/a.lobe', 'import "design.lobe"');
    expect(await within('import "a.lobe"\nmechanism M { }')).toContain('circular-import');
  });

  it('a missing import is told', async () => {
    expect(await within('import "gone.lobe"\nmechanism M { }')).toContain('missing-file');
  });
});

describe('papers', () => {
  const paper = (name: string, format: string) =>
    client.request<PaperResult>('lobewright/paper', { uri: design, name, format });

  it('are made of the text as it stands, saved or not', async () => {
    await client.open(sign);
    const page = (await paper('sheet', 'html')) as { text: string };
    expect(page.text).toContain('<h1>Build sheet: Berth sign</h1>');
    await client.change(sign.replace('"Berth sign"', '"Another sign"'));
    expect(((await paper('sheet', 'text')) as { text: string }).text).toContain('# Build sheet: Another sign');
    expect(((await paper('cards', 'html')) as { text: string }).text).toContain('Cards for testing: Another sign');
    expect(JSON.parse(((await paper('sheet', 'json')) as { text: string }).text).contract).toBe(1);
    expect(((await paper('report', 'text')) as { text: string }).text).toMatch(/^```text\nLobewright test\n/);
  });

  it('say why where they cannot be made', async () => {
    await client.open(sign);
    expect(await paper('sheet', 'pdf')).toEqual({ because: expect.stringContaining('makes no PDF') });
    expect(await paper('cards', 'text')).toEqual({ because: 'Cards are drawn: as a page or a PDF.' });
    expect(await paper('report', 'pdf')).toEqual({ because: 'A report is text or JSON.' });
    await client.change('glyphs lone { segments a   0 = a }');
    expect(await paper('sheet', 'html')).toEqual({ because: 'The design holds no mechanism.' });
    expect(
      await client.request('lobewright/paper', { uri: 'file:///pier/nobody.lobe', name: 'sheet', format: 'html' }),
    ).toBeNull();
    await client.change(sign);
    for (const odd of [
      {},
      { uri: design },
      { uri: design, name: 'sheet', format: 'gif' },
      { uri: design, name: 5, format: 'html' },
    ])
      expect(await client.request('lobewright/paper', odd)).toBeNull();
  });
});
