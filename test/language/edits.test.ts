import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editsFor, type FileEdits, type Ground, waysFor } from '../../language/edits.ts';
import type { Change, Mechanism, Place } from '../../language/mechanism.ts';
import { scalars } from '../../language/properties.ts';
import { resolveDocument } from '../../language/resolve.ts';
import { say } from '../../language/units.ts';
import { read, resolve, uri } from './reading.ts';

function ground(text: string): Ground {
  const document = read(text);
  const design = document.parseResult.value;
  return {
    mechanism: resolveDocument(document).mechanisms[0],
    designOf: (file) => (file === uri ? design : undefined),
  };
}

function applied(text: string, files: readonly FileEdits[]): string {
  let at = 0;
  let changed = '';
  for (const { from, to, text: put } of files.find(({ file }) => file === uri)?.edits ?? []) {
    changed += text.slice(at, from) + put;
    at = to;
  }
  return changed + text.slice(at);
}

const change = (text: string, ...changes: Change[]): string => applied(text, editsFor(changes, ground(text)));

const set = (object: string, property: string, value: string): Change => ({ do: 'set', object, property, value });

const inM = (...lines: string[]) => `mechanism M {\n${lines.map((line) => `  ${line}\n`).join('')}}\n`;

/** The place of a piece of text within the mechanism that begins the file. */
function placeOf(text: string, piece: string, times = 1): Place {
  let from = -1;
  for (let i = 0; i < times; i++) from = text.indexOf(piece, from + 1);
  return { file: uri, top: 0, from, to: from + piece.length };
}

describe('a value that is set', () => {
  it('may be one of a process or a material of the same file', () => {
    const text = `${inM('made with mill')}process mill { spread 0.1 mm   material oak }\nmaterial oak\n{ }\n`;
    expect(change(text, set('mill', 'spread', '0.2 mm'), set('oak', 'friction', '0.4'))).toBe(
      text.replace('0.1 mm', '0.2 mm').replace('{ }', '{ friction 0.4 }'),
    );
    expect(editsFor([set('filament', 'spread', '0.2 mm')], ground(text))).toEqual([]);
  });

  it.each([
    ['is replaced in place', ['cam c { travel 25 deg // why\n  }'], set('c', 'travel', '26 deg'), [
      'cam c { travel 26 deg // why\n  }',
    ]],
    ['keeps its tolerance', ['shaft s { bearing 10 mm +/- 0.1 mm clearance 0.2 mm }'], set('s', 'bearing', '12 mm'), [
      'shaft s { bearing 12 mm +/- 0.1 mm clearance 0.2 mm }',
    ]],
    ['opens a block where there is none', ['cam c on s level 1 drives a // why'], set('c', 'base', '20 mm'), [
      'cam c on s level 1 drives a { base 20 mm } // why',
    ]],
    ['joins a block on one line', ['cam c { travel 26 deg }'], set('c', 'base', '20 mm'), [
      'cam c { travel 26 deg   base 20 mm }',
    ]],
    ['joins an empty block', ['cam c {}'], set('c', 'base', '20 mm'), ['cam c { base 20 mm }']],
    ['joins a block of lines, after a comment', ['cam c {', '    travel 26 deg // why', '  }'], set('c', 'base', '20 mm'), [
      'cam c {', '    travel 26 deg // why', '    base 20 mm', '  }',
    ]],
    ['joins a block whose end stands behind a property', ['cam c {', '  travel 26 deg }'], set('c', 'base', '20 mm'), [
      'cam c {', '  travel 26 deg', '  base 20 mm }',
    ]],
    ['joins a block of a comment alone', ['cam c {', '    // nothing yet', '  }'], set('c', 'base', '20 mm'), [
      'cam c {', '  base 20 mm', '    // nothing yet', '  }',
    ]],
    ['takes the place of an expression', ['let r = 20 mm', 'cam c { base r + 1 mm }'], set('c', 'base', '20 mm'), [
      'let r = 20 mm', 'cam c { base 20 mm }',
    ]],
    ['leaves every … as it is', ['every cam { base 22 mm }', 'cam c'], set('c', 'base', '20 mm'), [
      'every cam { base 22 mm }', 'cam c { base 20 mm }',
    ]],
    ['of every …', ['every cam { base 22 mm }', 'cam c'], set('every cam', 'base', '20 mm'), [
      'every cam { base 20 mm }', 'cam c',
    ]],
    ['of the cams of one shaft', ['shaft s', 'every cam on s { base 22 mm }'], set('every cam on s', 'base', '20 mm'), [
      'shaft s', 'every cam on s { base 20 mm }',
    ]],
    ['of an every … that is not there', ['every gear { width 3 mm }', 'cam c'], set('every cam', 'base', '20 mm'), [
      'every gear { width 3 mm }', 'cam c', 'every cam { base 20 mm }',
    ]],
    ['in a header', ['cam c on s level 1 drives a'], set('c', 'level', '2'), ['cam c on s level 2 drives a']],
    ['in a header that lacks it', ['shaft s', 'cam c on s drives a'], set('c', 'level', '2'), [
      'shaft s', 'cam c on s level 2 drives a',
    ]],
    ['of what a cam drives', ['cam c drives a b { base 1 mm }'], set('c', 'drives', 'x y'), ['cam c drives x y { base 1 mm }']],
    ['of a cam that drives nothing', ['cam c level 2'], set('c', 'drives', 'x'), ['cam c level 2 drives x']],
    ['of the shaft it sits on', ['gear g on s'], set('g', 'on', 't'), ['gear g on t']],
    ['of the shaft a push turns', ['push p'], set('p', 'turns', 't'), ['push p turns t']],
    ['of a mesh', ['mesh g h'], set('g–h', 'backlash', '0.1 mm'), ['mesh g h { backlash 0.1 mm }']],
    ['of two words', ['gear g { pressure angle 20 deg }'], set('g', 'pressure angle', '25 deg'), [
      'gear g { pressure angle 25 deg }',
    ]],
    ['of limits', ['limits { push 20 N }'], set('limits', 'pressure angle', '32 deg'), [
      'limits { push 20 N   pressure angle 32 deg }',
    ]],
    ['of limits that are not there', ['count 0 1'], set('limits', 'push', '20 N'), ['count 0 1', 'limits { push 20 N }']],
    ['of a point', ['shaft s { at 0 mm, 5 mm }'], set('s', 'at', '1 mm, 2 mm'), ['shaft s { at 1 mm, 2 mm }']],
    ['of one coordinate', ['shaft s { at 0 mm, 5 mm }'], set('s', 'at y', '2 mm'), ['shaft s { at 0 mm, 2 mm }']],
    ['of a bar', ['segment a { bar 4 mm by 5 mm at 6 mm, 7 mm }'], set('a', 'bar height', '9 mm'), [
      'segment a { bar 4 mm by 9 mm at 6 mm, 7 mm }',
    ]],
    ['of a bar’s plane', ['segment a { bar 4 mm by 5 mm at 6 mm, 7 mm }'], set('a', 'bar plane', '2'), [
      'segment a { bar 4 mm by 5 mm at 6 mm, 7 mm plane 2 }',
    ]],
    ['of a bar’s tilt', ['segment a { bar 4 mm by 5 mm at 6 mm, 7 mm tilt 3 deg }'], set('a', 'bar tilt', '4 deg'), [
      'segment a { bar 4 mm by 5 mm at 6 mm, 7 mm tilt 4 deg }',
    ]],
    ['of a hook', ['segment a { stroke 3 mm }'], set('a', 'hook', '1 mm, 2 mm'), [
      'segment a { stroke 3 mm   hook at 1 mm, 2 mm }',
    ]],
    ['of a flange’s radius', ['cam c { flange 1 mm }'], set('c', 'flange radius', '30 mm'), [
      'cam c { flange 1 mm to radius 30 mm }',
    ]],
    ['of a flange from every …', ['every cam { flange 1 mm to radius 20 mm }', 'cam c'], set('c', 'flange', '2 mm'), [
      'every cam { flange 1 mm to radius 20 mm }', 'cam c { flange 2 mm to radius 20 mm }',
    ]],
    ['of the radius of a flange by default', ['cam c'], set('c', 'flange radius', '30 mm'), [
      'cam c { flange 1.2 mm to radius 30 mm }',
    ]],
    ['of a bearing’s clearance', ['shaft s { bearing 8 mm }'], set('s', 'bearing clearance', '0.3 mm'), [
      'shaft s { bearing 8 mm clearance 0.3 mm }',
    ]],
    ['of a post by default', ['segment a { bar 4 mm by 5 mm at 6 mm, 7 mm }'], set('a', 'post width', '3 mm'), [
      'segment a { bar 4 mm by 5 mm at 6 mm, 7 mm   post 3 mm by 5 mm at 6 mm, 7 mm }',
    ]],
    ['of a rise', ['cam c { rise 20 deg }'], set('c', 'rise late', '2 deg'), ['cam c { rise 20 deg late 2 deg }']],
    ['of a law', ['cam c { law simple harmonic   base 2 mm }'], set('c', 'law', 'cycloidal'), [
      'cam c { law cycloidal   base 2 mm }',
    ]],
    ['of a blend', ['cam c { law constant velocity }'], set('c', 'law blended', '20 %'), [
      'cam c { law constant velocity blended 20 % }',
    ]],
    ['of a choice', ['segment a { shown raised }'], set('a', 'shown', 'lowered'), ['segment a { shown lowered }']],
    ['of a ratchet’s arm', ['ratchet r { arm 9 mm by 1 mm by 4 mm }'], set('r', 'arm thickness', '2 mm'), [
      'ratchet r { arm 9 mm by 2 mm by 4 mm }',
    ]],
    ['of a bare word', ['shaft s { at 0 mm, 0 mm }'], set('s', 'leads', ''), ['shaft s { at 0 mm, 0 mm   leads }']],
    ['of marks', ['gear g { mark 0 deg, 90 deg }'], set('g', 'mark', '10 deg'), ['gear g { mark 10 deg }']],
    ['of a let', ['let r = 20 mm / 2'], set('r', 'value', '12 mm'), ['let r = 12 mm']],
    ['of the mechanism', ['runs forward'], set('', 'runs', 'either'), ['runs either']],
    ['of the mechanism, that is not there', ['count 0 1', 'shaft s'], set('', 'made with', 'mill'), [
      'count 0 1', 'shaft s', 'made with mill',
    ]],
    ['of the count', ['count 0 1 times 2'], set('', 'count', '0 1 2'), ['count 0 1 2 times 2']],
    ['of the count’s times', ['count 0 1 // once'], set('', 'count times', '2'), ['count 0 1 times 2 // once']],
  ])('%s', (_, before, changed, after) => {
    expect(change(inM(...(before as string[])), changed as Change)).toBe(inM(...(after as string[])));
  }); // biome-ignore format: a table

  it('joins others of the same part in one block', () => {
    const text = inM('every segment { bar 4 mm by 5 mm at 6 mm, 7 mm }', 'segment a');
    expect(change(text, set('a', 'stroke', '3 mm'), set('a', 'nose', '1 mm'))).toContain(
      'segment a { stroke 3 mm   nose 1 mm }',
    );
    expect(change(text, set('a', 'bar x', '1 mm'), set('a', 'bar y', '2 mm'))).toContain(
      'segment a { bar 4 mm by 5 mm at 1 mm, 2 mm }',
    );
    expect(change(text, set('limits', 'push', '9 N'), set('limits', 'shown', '80 %'))).toContain(
      'limits { push 9 N   shown 80 % }',
    );
  });

  it('keeps the line ends of the file', () => {
    expect(change('mechanism M {\r\n  cam c {\r\n    base 1 mm\r\n  }\r\n}', set('c', 'travel', '2 deg'))).toBe(
      'mechanism M {\r\n  cam c {\r\n    base 1 mm\r\n    travel 2 deg\r\n  }\r\n}',
    );
  });

  it('has no edits where there is no such part', () => {
    expect(editsFor([set('nobody', 'base', '1 mm')], ground(inM('cam c')))).toEqual([]);
    expect(editsFor([set('c', 'base', '1 mm')], { designOf: () => undefined })).toEqual([]);
  });

  it('that is a lone name can be changed where the name is given, too', () => {
    const text = inM('let r = 20 mm', 'every cam { base r }', 'cam c', 'cam d { base r }');
    const ways = (object: string) => waysFor([set(object, 'base', '18 mm')], ground(text));
    expect(ways('c').map(({ through }) => through)).toEqual([undefined, 'r']);
    expect(applied(text, ways('c')[0]!.files)).toBe(
      inM('let r = 20 mm', 'every cam { base r }', 'cam c { base 18 mm }', 'cam d { base r }'),
    );
    const through = inM('let r = 18 mm', 'every cam { base r }', 'cam c', 'cam d { base r }');
    expect(applied(text, ways('c')[1]!.files)).toBe(through);
    expect(applied(text, ways('d')[1]!.files)).toBe(through);
    expect(waysFor([set('c', 'travel', '20 deg')], ground(text))).toHaveLength(1);
  });
});

describe('text that is taken away', () => {
  it.each([
    ['takes its line along', ['cam c', 'cam d', 'cam e'], 'cam d', ['cam c', 'cam e']],
    ['leaves a comment standing', ['cam c', 'cam d // why', 'cam e'], 'cam d', ['cam c', '// why', 'cam e']],
    ['takes its blanks along', ['cam c { base 1 mm   travel 2 deg   flange 3 mm }'], 'travel 2 deg', [
      'cam c { base 1 mm   flange 3 mm }',
    ]],
    ['leaves the first of a block in place', ['cam c { base 1 mm   travel 2 deg }'], 'base 1 mm', ['cam c { travel 2 deg }']],
    ['takes an empty block along', ['cam c on s { base 1 mm }', 'cam d'], 'base 1 mm', ['cam c on s', 'cam d']],
    ['takes an empty block of lines along', ['cam c on s {', '  base 1 mm', '}', 'cam d'], 'base 1 mm', [
      'cam c on s', 'cam d',
    ]],
    ['keeps a block with a comment', ['cam c { /* why */ base 1 mm }'], 'base 1 mm', ['cam c { /* why */ }']],
    ['leaves limits in place', ['limits { push 1 N }'], 'push 1 N', ['limits { }']],
    ['takes a name out of a list', ['cam c drives a b e'], 'b', ['cam c drives a e']],
    ['takes a comma along', ['gear g { mark 0 deg, 90 deg, 180 deg }'], '90 deg', ['gear g { mark 0 deg, 180 deg }']],
    ['takes the comma before the last along', ['gear g { mark 0 deg, 90 deg }'], '90 deg', ['gear g { mark 0 deg }']],
    ['takes the comma after the first along', ['gear g { mark 0 deg, 90 deg }'], '0 deg', ['gear g { mark 90 deg }']],
  ])('%s', (_, before, piece, after) => {
    const text = inM(...(before as string[]));
    const place = placeOf(text, piece as string);
    expect(change(text, { do: 'remove', place })).toBe(inM(...(after as string[])));
  }); // biome-ignore format: a table

  it('at the end of the file takes the line before its end along', () => {
    const text = 'mechanism M {\n}\nglyphs g { 0 = a }';
    const place = { file: uri, top: 1, from: 0, to: 'glyphs g { 0 = a }'.length };
    expect(change(text, { do: 'remove', place })).toBe('mechanism M {\n}');
  });
});

describe('a statement that is added', () => {
  const add = (statement: string): Change => ({ do: 'add', statement });

  it.each([
    ['stands after the last of its kind', ['cam c', 'cam d // why', 'shaft s'], 'cam e', [
      'cam c', 'cam d // why', 'cam e', 'shaft s',
    ]],
    ['of a new kind stands last', ['cam c', 'shaft s'], 'count 0 1', ['cam c', 'shaft s', 'count 0 1']],
    ['every … goes by its kind', ['every cam { base 1 mm }', 'every gear { width 1 mm }'], 'every cam on s { base 2 mm }', [
      'every cam { base 1 mm }', 'every cam on s { base 2 mm }', 'every gear { width 1 mm }',
    ]],
    ['of several lines is indented', ['cam c {', '  base 1 mm', '}'], 'cam d {\n  base 2 mm\n}', [
      'cam c {', '  base 1 mm', '}', 'cam d {', '  base 2 mm', '}',
    ]],
  ])('%s', (_, before, statement, after) => {
    expect(change(inM(...(before as string[])), add(statement as string))).toBe(inM(...(after as string[])));
  }); // biome-ignore format: a table

  it('fits into an empty mechanism and into one line', () => {
    expect(change('mechanism M { }', add('cam c'))).toBe('mechanism M {\n  cam c\n }');
    expect(change('mechanism M {\n}', add('cam c'))).toBe('mechanism M {\n  cam c\n}');
    expect(change('mechanism M { cam c shaft s }', add('cam d'))).toBe('mechanism M { cam c   cam d shaft s }');
  });

  it('is not put beside one that goes, nor before the block of its neighbour', () => {
    const text = inM('cam c', 'cam d', 'shaft s');
    expect(change(text, add('cam e'), { do: 'remove', place: placeOf(text, 'cam d') })).toBe(
      inM('cam c', 'cam e', 'shaft s'),
    );
    expect(change(text, add('cam e'), set('d', 'base', '1 mm'))).toBe(
      inM('cam c', 'cam d { base 1 mm }', 'cam e', 'shaft s'),
    );
  });
});

// ---- any value of any part of the examples -------------------------------------------------------

const examples = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => readFileSync(`examples/${name}`, 'utf8'));

/** What a mechanism means without where it is said, what is reckoned from other values, and what is noted of it. */
function meaning(mechanism: Mechanism): Map<string, string> {
  const found = new Map<string, string>();
  const visit = (value: unknown, path: string) => {
    if (typeof value !== 'object' || value === null) found.set(path, String(value));
    else if ('by' in value && value.by === 'default') return;
    else if ('by' in value && value.by === 'process') return;
    else {
      for (const [key, each] of Object.entries(value)) {
        if (!['place', 'whole', 'defaults', 'by', 'because', 'process'].includes(key)) visit(each, `${path}.${key}`);
      }
    }
  };
  for (const kind of [
    'shafts',
    'keys',
    'gears',
    'meshes',
    'segments',
    'cams',
    'springs',
    'ratchets',
    'pushes',
  ] as const) {
    for (const part of mechanism[kind]) visit(part, part.name);
  }
  visit(mechanism.limits, 'limits');
  visit(mechanism.count, 'count');
  return found;
}

describe('any value that is set', () => {
  const groups = [
    ['keys', 'key'],
    ['gears', 'gear'],
    ['segments', 'segment'],
    ['cams', 'cam'],
    ['springs', 'spring'],
    ['ratchets', 'ratchet'],
    ['pushes', 'push'],
    ['meshes', 'mesh'],
  ] as const;

  it('is what the text then says, and all else is as it was', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...examples),
        fc.constantFrom(...groups),
        fc.nat(),
        fc.nat(),
        fc.integer({ min: 5, max: 9 }),
        (text, [group, kind], which, what, size) => {
          const before = resolve(text).mechanisms[0];
          const parts = before?.[group] ?? [];
          const part = parts[which % Math.max(1, parts.length)];
          // Level and pressure are said otherwise; the sizes of a key depend on each other.
          const others = ['pressure', 'level', ...(kind === 'key' ? ['outer', 'inner', 'teeth', 'master'] : [])];
          const words = Object.keys(scalars[kind]).filter((word) => !others.includes(word));
          const word = words[what % words.length]!;
          if (!before || !part || ('lobes' in part && part.rise)) return;
          const wanted = (scalars[kind] as Record<string, (typeof scalars)['cam']['base']>)[word]!;
          const value = wanted.wants.unit === 'deg' ? (size * Math.PI) / 180 : size;
          const written = say(value, wanted.wants);
          if (wanted.range.most !== undefined && value > wanted.range.most) return;
          const changed = change(text, set(part.name, word, written));
          const after = resolve(changed);
          const [old, now] = [meaning(before), meaning(after.mechanisms[0]!)];
          const path = `${part.name}.${word}.value`;
          expect(Number(now.get(path)), `${path} in ${changed}`).toBeCloseTo(value, 9);
          for (const key of new Set([...old.keys(), ...now.keys()])) {
            if (key.startsWith(`${part.name}.${word}`) || key.startsWith(`${part.name}.unclear`)) continue;
            expect(now.get(key), key).toBe(old.get(key));
          }
        },
      ),
      { numRuns: 150 },
    );
  });
});
