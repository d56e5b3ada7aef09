import { describe, expect, test } from 'vitest';
import { stretchOf } from '../../language/places.ts';
import { textFindings } from '../../language/problems.ts';
import { readingPages } from '../../language/reading-pages.ts';
import { resolveDocument } from '../../language/resolve.ts';
import { createLobeServices, openDesign, readDesign } from '../../language/services.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;

interface Told {
  readonly code: string;
  readonly at: string;
  readonly message: string;
  readonly from: number;
  /** The text with the first fix applied. */
  readonly mended?: string;
}

/** What is told of a text, in its order. */
function told(text: string): Told[] {
  const document = readDesign(services, text);
  const design = document.parseResult.value;
  return textFindings(document, documents).map(({ code, message, place, fixes }) => {
    const { from, to } = stretchOf(design, place)!;
    const edits = (fixes[0]?.changes ?? []).flatMap((change) => {
      if (change.do !== 'replace') return [];
      return [{ ...stretchOf(design, change.place)!, text: change.text }];
    });
    const mended = edits
      .sort((a, b) => b.from - a.from)
      .reduce((changed, edit) => changed.slice(0, edit.from) + edit.text + changed.slice(edit.to), text);
    return { code, message, at: text.slice(from, to), from, ...(edits.length && { mended }) };
  });
}

/** A mechanism around some statements. */
const within = (statements: string) => `mechanism M {\n  ${statements}\n  shaft z\n  segment a\n}\n`;

/** A text with one mistake: where it is told, how, and what the first fix makes of the statements. */
interface Mistake {
  readonly statements: string;
  readonly at: string;
  readonly message: RegExp;
  readonly mended?: string;
}

const mistake = (statements: string, at: string, message: RegExp, mended?: string): Mistake => ({
  statements,
  at,
  message,
  ...(mended !== undefined && { mended }),
});

const mistakes: readonly Mistake[] = [
  // numbers
  mistake('cam c { base 1e3 mm }', '1e3', /no power of ten: write 1000$/, 'cam c { base 1000 mm }'),
  mistake('cam c { base 30.5E-1 mm }', '30.5E-1', /write 3\.05$/, 'cam c { base 3.05 mm }'),
  mistake('cam c { base 2e400 mm }', '2e400', /no number that can be written/),
  mistake('cam c { base 30,5 mm }', '30,5', /follow a point: write 30\.5$/, 'cam c { base 30.5 mm }'),
  mistake('cam c { base 1.000,5 mm }', '1.000,5', /write 1000\.5$/, 'cam c { base 1000.5 mm }'),
  mistake('cam c { base 1,000,000 um }', '1,000,000', /write 1000000$/, 'cam c { base 1000000 um }'),
  mistake('cam c { base 1,000 mm }', '1,000', /no part of a number: 1000 or 1\.000\?/),
  mistake('post p { at 0 mm, 30,5 mm }', '30,5', /write 30\.5$/, 'post p { at 0 mm, 30.5 mm }'),
  mistake('post p { at 30,5 mm, 0 mm }', '30,5', /write 30\.5$/, 'post p { at 30.5 mm, 0 mm }'),
  // names that cannot be there yet
  mistake('post p { at 0 mm, high / 2 }', 'high', /'high'; this mechanism names none yet: write let high = …$/),
  mistake('shaft s { key k }', 'k', /^no key is called 'k'; this mechanism has no key yet$/),
  mistake('band b { around p, a }', 'p', /^no post or segment is called 'p'/, 'band b { around a, a }'),
  // hyphens
  mistake('let x = 1 let y = x-w', 'w', /no value is called 'w'/),
  mistake('let x = 6 × 2', '×', /write '\*'/, 'let x = 6 * 2'),
  // words
  mistake(
    'cam c { thicknes 3 mm base 20 mm }',
    'thicknes',
    /not something a cam says: did you mean thickness\?/,
    'cam c { thickness 3 mm base 20 mm }',
  ),
  mistake(
    'cam c { stroke 3 mm base 20 mm }',
    'stroke',
    /not something a cam says; a segment and a push do\. A cam says base/,
  ),
  mistake(
    'shft s { at 0 mm, 0 mm }',
    'shft',
    /begins nothing that a mechanism says: did you mean shaft\?/,
    'shaft s { at 0 mm, 0 mm }',
  ),
  mistake('shft s', 'shft', /did you mean shaft\?/, 'shaft s'),
  mistake('about { titel "Gauge" }', 'titel', /did you mean title\?/, 'about { title "Gauge" }'),
  mistake('3 mm', '3', /'3' is not expected here, after '{'/),
  mistake('let x = 3 mm 4', '4', /'4' is not expected here, after 'mm'/),
  mistake('let x = (3 + 4) mm', 'mm', /a unit stands right after its number/),
  // braces
  mistake(
    'cam c on z level 1 drives a base 3 mm }',
    'base',
    /a '{' is missing before 'base'/,
    'cam c on z level 1 drives a { base 3 mm }',
  ),
  mistake('shaft s { } }', '}', /one '}' too many/, 'shaft s { } '),
  mistake(
    'shaft s { at 0 mm, 0 mm',
    '{',
    /a '}' is missing: the block of shaft s that opens on line 2 is not closed before 'shaft' on line 3/,
    'shaft s { at 0 mm, 0 mm }',
  ),
  // values
  mistake(
    'cam c { base travel 3 deg }',
    'base',
    /a value is missing after 'base', before 'travel': a length such as 12 mm/,
  ),
  mistake('shaft s { at 0 mm, }', ',', /a value is missing after ',': a length such as 12 mm/),
  mistake('let x = 3 mm +', '+', /a value is missing after '\+'/),
  mistake('let x = (3 mm + 4', '4', /a '\)' is missing after '4'/, 'let x = (3 mm + 4)'),
  mistake(
    'cam c { base = 3 mm travel 3 deg }',
    '=',
    /no '=' stands between 'base' and its value/,
    'cam c { base  3 mm travel 3 deg }',
  ),
  mistake('cam c { base: 3 mm }', ':', /a ':' is not needed/, 'cam c { base 3 mm }'),
  mistake('let x = .5 mm', '.', /a number begins with a digit/, 'let x = 0.5 mm'),
  mistake('let x = −3 mm', '−', /write '-'/, 'let x = -3 mm'),
  mistake('shaft s { at 0 mm 0 mm }', 'mm', /a ',' is missing after 'mm', before '0'/, 'shaft s { at 0 mm, 0 mm }'),
  mistake(
    'segment s { bar 3 mm 4 mm at 0 mm, 0 mm }',
    'mm',
    /the word 'by' is missing/,
    'segment s { bar 3 mm by 4 mm at 0 mm, 0 mm }',
  ),
  mistake(
    'cam c { lobe 3 deg to 4 deg base 3 mm }',
    'lobe',
    /the word 'from' is missing after 'lobe'/,
    'cam c { lobe from 3 deg to 4 deg base 3 mm }',
  ),
  // choices
  mistake('segment s { shown up stroke 2 mm }', 'up', /after 'shown' comes raised or lowered, not 'up'/),
  mistake(
    'cam c { law harmonic base 3 mm }',
    'harmonic',
    /after 'law' comes a law of motion/,
    'cam c { law simple harmonic base 3 mm }',
  ),
  mistake('cam c { law constant base 3 mm }', 'constant', /after 'constant' comes velocity or acceleration$/),
  mistake('every ratchet { teeth 3 }', 'every', /after 'every' comes cam, segment, gear, mesh or shaft/),
  // names
  mistake('shaft { at 0 mm, 0 mm }', 'shaft', /a name is missing after 'shaft'/),
  mistake('shaft', 'shaft', /a name is missing after 'shaft'/),
  mistake('every cam on { base 3 mm }', 'on', /the name of a shaft is due after 'on'/),
  mistake('shaft key { at 0 mm, 0 mm }', 'key', /'key' is a word of the language/, 'shaft keyShaft { at 0 mm, 0 mm }'),
  mistake('shaft key { } gear g on key { teeth 9 }', 'key', /'key' is a word of the language/),
  mistake(
    'cam c on y level 1 drives a',
    'y',
    /no shaft is called 'y': did you mean z\?/,
    'cam c on z level 1 drives a',
  ),
  mistake('cam c on a level 1 drives a', 'a', /'a' is a segment; a shaft is due here/, 'cam c on z level 1 drives a'),
  mistake(
    'let top = 1 mm let y = tpo',
    'tpo',
    /no value is called 'tpo': did you mean top\?/,
    'let top = 1 mm let y = top',
  ),
  mistake('glyphs decmal', 'decmal', /no glyph table is called 'decmal': did you mean decimal\?/, 'glyphs decimal'),
  mistake('made with pla', 'pla', /'pla' is a material; a process is due here; there are filament/),
  // symbols
  mistake('count on off', 'on', /as a symbol, 'on' is written in quotes/, 'count "on" off'),
  mistake('count 1 - 2 +', '-', /as a symbol, '-' is written in quotes/, 'count 1 "-" 2 "+"'),
  mistake('count 1, 2, 3', ',', /symbols are parted by blanks/, 'count 1 2 3'),
  // text and comments
  mistake('about { title "Gauge }', '"Gauge', /this text is not closed/, 'about { title "Gauge" }'),
  mistake('about { title Gauge }', 'Gauge', /text in quotes is due after 'title'/, 'about { title "Gauge" }'),
  mistake('accept "runs well"', 'accept', /the code of a finding is due/),
  mistake('shaft s;', ';', /not needed/, 'shaft s'),
];

describe('one mistake, one finding', () => {
  test.each(mistakes)('$statements', ({ statements, at, message, mended }) => {
    const found = told(within(statements));
    expect(found.map((one) => one.message)).toHaveLength(1);
    expect(found[0]).toMatchObject({ at, message: expect.stringMatching(message) });
    if (mended !== undefined) {
      expect(found[0]!.mended).toBe(within(mended));
      expect(told(within(mended))).toEqual([]);
    }
  });
});

test('several mistakes of one block are told each', () => {
  expect(told(within('cam c { thicknes 3 mm bse 20 mm }')).map(({ at }) => at)).toEqual(['thicknes', 'bse']);
});

describe('the rest is read all the same', () => {
  const members = (text: string) =>
    readDesign(services, text).parseResult.value.statements.flatMap((statement) =>
      statement.$type === 'Mechanism'
        ? statement.members.map((member) => ('name' in member ? member.name : member.$type))
        : statement.$type,
    );

  test('properties after a mistyped one', () => {
    const [mechanism] = readDesign(services, within('cam c on z level 1 drives a { thicknes 3 mm base 20 mm }'))
      .parseResult.value.statements;
    const cam = mechanism?.$type === 'Mechanism' ? mechanism.members[0] : undefined;
    expect(cam?.$type === 'Cam' ? cam.properties.map(({ word }) => word) : []).toEqual(['base']);
  });

  test.each([
    ['shft s { at 0 mm, 0 mm }'],
    ['every ratchet { teeth 3 }'],
    ['3 mm ) = { { } }'],
    ['shaft { at 0 mm, 0 mm'],
    ['cam c { law { } }'],
  ])('statements after %s', (statements) => {
    expect(members(`${within(statements)}glyphs g { 0 = a }`).slice(-3)).toEqual(['z', 'a', 'Glyphs']);
  });

  test('statements after a file without sense', () => {
    expect(members('hello { world } language one\nmechanism M { shaft s }')).toEqual(['s']);
  });
});

describe('the file as a whole', () => {
  test.each([
    ['', [['nothing-here', '']]],
    ['// nothing yet\n', [['nothing-here', '']]],
    ['mechansim M { shaft s }', [['unexpected-text', 'mechansim']]],
    ['shaft s { at 0 mm, 0 mm }', [['unexpected-text', 'shaft']]],
    ['mechanism M { shaft s }\nshaft t { }\nmechanism N { }', [['unexpected-text', 'shaft']]],
    ['mechanism M shaft s }', [['unexpected-text', 'M']]],
    ['mechanism { shaft s }', [['unexpected-text', 'mechanism']]],
    ['mechanism M {\n  shaft s {', [['unexpected-text', '{']]],
    ['mechanism M {\n  shaft s\nmechanism N { }', [['unexpected-text', '{']]],
    ['mechanism M { }\n/* open', [['unreadable-text', '/*']]],
    ['mechanism M { }\nlanguage 1', [['unexpected-text', 'language']]],
    ['import tables\nmechanism M { }', [['unexpected-text', 'tables']]],
    ['glyphs p C = a   D = e }', [['unexpected-text', 'p']]],
    ['glyphs { C = a   D = e }', [['unexpected-text', 'glyphs']]],
    [
      'mechanism M {\n  segment s\n    azimuth 3 deg\n    stroke 2 mm\n  }\n  shaft t\n}',
      [['unexpected-text', 'azimuth']],
    ],
    ['glyphs p { C a d   D = e }', [['unexpected-text', 'C']]],
    [
      'glyphs p { at = a   - = e }',
      [
        ['unexpected-text', 'at'],
        ['unexpected-text', '-'],
      ],
    ],
    ['glyphs p { 0 = a }\nglyphs p { 0 = b }', [['name-taken', 'p']]],
    ['mechanism M { segment a   let a = 1 }', [['name-taken', 'a']]],
    ['glyphs decimal like decimal { 0 = a }', []],
  ] as const)('%j', (text, expected) => {
    expect(told(text).map(({ code, at }) => [code, at])).toEqual(expected);
  });
});

describe('imports', () => {
  const files: Record<string, string> = {
    'file:///d/a.lobe':
      'import "b.lobe"\nimport "none.lobe"\nglyphs p like q { }\nglyphs r like s { }\nglyphs t like t0 { }',
    'file:///d/b.lobe': 'import "sub/c.lobe"\nglyphs q { 0 = a }',
    'file:///d/sub/c.lobe': 'import "../a.lobe"\nglyphs s { 0 = a }\nprocess filament { nozzle 1 mm }',
    'file:///d/own.lobe': 'import "b.lobe"\nimport "./b.lobe"\nglyphs q { 0 = b }\nglyphs z like q { }',
    'file:///d/self.lobe': 'import "self.lobe"\nglyphs q { 0 = b }',
  };
  const open = (uri: string) => openDesign(createLobeServices(), uri, (file) => files[file]);

  test('bring in what files define, over other files too, and are told where they fail', () => {
    const fresh = createLobeServices();
    const document = openDesign(fresh, 'file:///d/a.lobe', (file) => files[file]);
    const found = textFindings(document, fresh.shared.workspace.LangiumDocuments);
    expect(found.map(({ code, message }) => [code, message])).toEqual([
      ['circular-import', '"b.lobe" brings this file in again: b.lobe → c.lobe → a.lobe'],
      ['missing-file', expect.stringContaining('"none.lobe"')],
    ]);
    // While a file is missing, a name that it may bring in is not told as unknown.
    expect(document.references.filter(({ error }) => error).map(({ $refText }) => $refText)).toEqual(['t0']);
  });

  test("go behind the file's own, before the library's", () => {
    const fresh = createLobeServices();
    const document = openDesign(fresh, 'file:///d/own.lobe', (file) => files[file]);
    const found = textFindings(document, fresh.shared.workspace.LangiumDocuments);
    expect(found.map(({ code, severity }) => [code, severity])).toEqual([
      ['said-twice', 'warning'],
      ['name-taken', 'warning'],
    ]);
    const [reference] = document.references.filter(({ $refText }) => $refText === 'q');
    expect('ref' in reference! && reference.ref?.$container).toBe(document.parseResult.value);
    expect(open('file:///d/own.lobe').references.filter(({ error }) => error)).toEqual([]);
  });

  test('of the file itself are told', () => {
    const fresh = createLobeServices();
    const document = openDesign(fresh, 'file:///d/self.lobe', (file) => files[file]);
    const found = textFindings(document, fresh.shared.workspace.LangiumDocuments);
    expect(found.map(({ code, message }) => [code, message])).toEqual([
      ['circular-import', 'this file brings itself in'],
    ]);
  });
});

describe('pages', () => {
  const examples = readingPages.flatMap(({ code, examples }) =>
    examples.map(({ title, text }) => [code, title, text] as const),
  );

  test.each(examples)('%s: %s', (code, _title, marked) => {
    const pieces = marked.split(/[«»]/);
    const text = pieces.join('');
    const marks = pieces.flatMap((piece, i) =>
      i % 2 ? [{ from: pieces.slice(0, i).join('').length, at: piece }] : [],
    );
    const document = readDesign(services, text);
    const resolved = resolveDocument(document).problems;
    const found = [
      ...told(text),
      ...resolved.map(({ code: other, message, place }) => {
        const { from, to } = stretchOf(document.parseResult.value, place)!;
        return { code: other, message, from, at: text.slice(from, to) };
      }),
    ];
    expect(found.filter((one) => one.code !== code)).toEqual([]);
    expect(found.map(({ from, at }) => ({ from, at }))).toEqual(marks);
  });
});
