/** What the checks make of the less usual designs: lowered bars, counts said twice a turn, idlers, accepted findings. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { resolveDocument } from '../../../language/resolve.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { gearedBoard, lampBoard } from '../../../server/checks/examples.ts';
import { findingsOf } from '../../../server/checks/index.ts';
import { reckon } from '../../../server/reckon/figures.ts';
import { codesIn, findingsIn } from './findings.ts';

const told = (text: string, code: string) => findingsIn(text).filter((one) => one.code === code);
const standingIn = (text: string) => findingsIn(text).filter(({ accepted }) => accepted === undefined);
const example = (name: string) => readFileSync(`examples/${name}.lobe`, 'utf8');

/** Bars of the lamp board that stand outside greater cams. */
const outside = {
  left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -60 mm, 0 mm }',
  right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 60 mm, 0 mm }',
};

describe('bars shown when lowered', () => {
  const lowered = (right: string) =>
    lampBoard({
      left: `segment left { azimuth 180 deg   shown lowered }`,
      right: `segment right { azimuth 0 deg   ${right} }`,
    });

  it('are derived turned about', () => {
    expect(codesIn(lowered('shown lowered'))).toEqual([]);
    expect(codesIn(lowered('shown raised'))).toEqual([]);
  });

  it('are wrong where stated lobes raise them at a symbol that shows them', () => {
    const text = lampBoard({
      left: 'segment left { azimuth 180 deg   shown lowered }',
      camL: 'cam camL on axle level 1 drives left { raised at off high }',
    });
    const [finding, ...others] = findingsIn(text);
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ code: 'unreachable-symbol', at: 'high', figures: { position: 2 }, positions: [2] });
    expect(finding.message).toBe('"high" cannot be shown: bar left is hidden instead of shown (camL)');
    expect(finding.about).toEqual(['left', 'camL']);
  });

  it('without a cam stay shown', () => {
    const text = (count: string) =>
      lampBoard({ count, camR: '', right: 'segment right { azimuth 0 deg   shown lowered }' });
    expect(told(text('count off low high'), 'undriven-segment')[0]).toMatchObject({
      severity: 'error',
      message: 'no cam drives bar right, so it stays shown, and "off" and "low" cannot be shown',
    });
    expect(told(text('count off high').replace('off = blank', 'off = right'), 'undriven-segment')[0]).toMatchObject({
      severity: 'information',
      fixes: [],
    });
  });

  it('may be one piece with a raised one that shows just when they do not', () => {
    const text = lampBoard({
      count: 'count low high',
      right: 'segment right { azimuth 180 deg   shown lowered }',
      camL: 'cam camL on axle level 1 drives left right',
      camR: '',
      table: 'glyphs lamps { segments left right   low = left   high = right }',
    });
    expect(codesIn(text)).toEqual([]);
  });
});

describe('counts', () => {
  it('run in reverse are the same positions', () => {
    expect(codesIn(lampBoard({ more: 'runs reverse' }))).toEqual([]);
    expect(codesIn(gearedBoard({ more: 'runs either' }))).toEqual([]);
  });

  it('said several times a turn fail at all positions of one symbol, in one finding', () => {
    const text = lampBoard({
      count: 'count off low high times 2',
      camL: 'cam camL on axle level 1 drives left { raised at low   travel 50 deg }',
    });
    const found = findingsIn(text);
    expect(found.map(({ code, at, positions }) => [code, at, positions])).toEqual([
      ['unreachable-symbol', 'high', [2, 5]],
    ]);
    expect(found[0].message).toContain('at rest positions 2 and 5');
  });

  it('that fill a ratchet several times may say so', () => {
    const [finding] = told(lampBoard({ more: 'ratchet click on axle { teeth 12 }' }), 'step-mismatch');
    expect(finding.fixes.map(({ title }) => title)).toEqual(['Give click 3 teeth', 'Count the symbols 4 times a turn']);
    expect(
      codesIn(
        lampBoard({
          count: 'count off low high times 4',
          everyCam: 'every cam { base 40 mm }',
          ...outside,
          everySegment: 'every segment { stroke 3 mm   nose 1.5 mm   guide 14 mm }',
          more: 'ratchet click on axle { teeth 12   play 0.5 deg }',
        }),
      ),
    ).toEqual([]);
  });

  it('on a ratchet shaft that turns faster ask for fewer teeth', () => {
    const text = gearedBoard({
      upper: 'shaft upper { at 0 mm, 45 mm   turns clockwise   leads }',
      upperGear: 'gear upperGear on upper { module 1 mm   teeth 80   width 5 mm   mark 270 deg }',
      lower: 'shaft lower { at 0 mm, -15 mm }',
      lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 40   width 5 mm   mark 90 deg }',
      count: 'count off low high off',
      right: 'segment right { azimuth 90 deg }',
      camR: 'cam camR on upper level 2 drives right',
      more: 'ratchet click on lower { teeth 4 }',
    });
    expect(told(text, 'step-mismatch').map(({ figures }) => figures.due)).toEqual([2]);
    // What it may rest from its place is not said.
    expect(new Set(codesIn(text.replace('{ teeth 4 }', '{ teeth 2 }')))).toEqual(new Set(['missing-value']));
  });

  it('tell a wrong symbol once, however often it is counted', () => {
    const found = told(lampBoard({ count: 'count off Low high Low' }), 'unknown-symbol');
    expect(found.map(({ positions }) => positions)).toEqual([[1, 3]]);
    expect(found[0].fixes[0].changes).toHaveLength(2);
  });

  it('mean a symbol in the other case, and only that', () => {
    const fixesFor = (symbol: string) =>
      told(lampBoard({ count: `count off low high ${symbol}` }), 'unknown-symbol')[0].fixes;
    expect(fixesFor('LOW').map(({ title }) => title)).toEqual(['Count "low"']);
    expect(fixesFor('x')).toEqual([]);
  });
});

describe('trains', () => {
  const lock = example('lock-countdown');

  it('tell an idler for information, and leave its meshes to be judged', () => {
    const moved = lock.replace('shaft drum { at 0 mm, 0 mm', 'shaft drum { at -1 mm, 0 mm');
    expect(standingIn(moved).flatMap(({ code }) => (code === 'shaft-drift' ? [] : code))).toEqual(['centre-distance']);
  });

  it('are not home through an idler whose neighbours differ', () => {
    const [drift, ...others] = standingIn(
      lock.replace('gear drumGear on drum { teeth 30', 'gear drumGear on drum { teeth 31'),
    );
    expect(others).toEqual([]);
    expect(drift).toMatchObject({ code: 'shaft-drift', severity: 'error', at: '31' });
    expect(drift.figures).toMatchObject({ ratio: '30/31', counts: 31 });
    expect(drift.figures.fromHome).toBeCloseTo(360 / 31, 6); // derived: 30/31 of a turn is 1/31 short of one
    expect(drift.about).toEqual(expect.arrayContaining(['drum', 'camA', 'camG', 'drumGear', 'idler']));
  });

  it('at 1 : 2 serve all counts, at 2 : 1 only what does not differ', () => {
    const board = (upper: number, lower: number, count: string) =>
      gearedBoard({
        count,
        upper: `shaft upper { at 0 mm, ${upper / 2} mm   turns clockwise   leads }`,
        lower: `shaft lower { at 0 mm, -${lower / 2} mm }`,
        upperGear: `gear upperGear on upper { module 1 mm   teeth ${upper}   width 5 mm }`,
        lowerGear: `gear lowerGear on lower { module 1 mm   teeth ${lower}   width 5 mm }`,
        everyCam: 'every cam { base 20 mm }',
      });
    // The large gear lies over the cam of the other shaft.
    const findings = (text: string) => findingsIn(text).filter(({ code }) => code !== 'rubbing-levels');
    expect(findings(board(40, 80, 'count off low high'))).toEqual([]);
    expect(findings(board(80, 40, 'count off high off high'))).toEqual([]);
    const found = findings(board(80, 40, 'count off low off high'));
    expect(found.map(({ code, at }) => [code, at])).toEqual([['unreachable-symbol', 'high']]);
    expect(found[0].message).toContain(
      'shaft lower turns 2 : 1, so rest positions 1 ("low") and 3 ("high") meet camR at one angle',
    );
  });

  it('drift only where lobes differ from count to count: stated ones may repeat, rests too close serve nobody', () => {
    const odd = (camR: string) =>
      gearedBoard({
        lower: 'shaft lower { at 0 mm, -30.5 mm }',
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 61   width 5 mm   mark 90 deg }',
        count: 'count off high',
        camR,
      });
    expect(codesIn(odd('cam camR on lower level 1 drives right'))).toEqual(['shaft-drift']);
    // Up from all round: the same after any turn, if wrong at "off".
    const always = 'cam camR on lower level 1 drives right { lobe from 0 deg to 360 deg }';
    expect(codesIn(odd(always))).toEqual(['unreachable-symbol']);
  });

  it('blame the shaft that is the odd one out', () => {
    const senses = (knob: string, carrier: string, drum: string) =>
      told(
        lock
          .replace('75 mm, 0 mm   turns clockwise', `75 mm, 0 mm   turns ${knob}`)
          .replace('at 37.5 mm, 0 mm ', `at 37.5 mm, 0 mm   turns ${carrier} `)
          .replace('at 0 mm, 0 mm   key', `at 0 mm, 0 mm   turns ${drum}   key`),
        'turn-direction',
      ).map(({ about }) => about[0]);
    expect(senses('clockwise', 'counterclockwise', 'clockwise')).toEqual([]);
    expect(senses('clockwise', 'clockwise', 'clockwise')).toEqual(['carrier']);
    expect(senses('counterclockwise', 'counterclockwise', 'clockwise')).toEqual(['knob']);
    expect(senses('clockwise', 'counterclockwise', 'counterclockwise')).toEqual(['drum']);
  });

  it('tell gears of one shaft in mesh, and a ring, as locked', () => {
    const same = gearedBoard({
      more: 'gear third on upper { module 1 mm   teeth 60   width 5 mm   level 9 }\nmesh upperGear third',
    });
    expect(codesIn(same)).toEqual(['locked-train']);
  });

  it('a bare shaft is only a hint; gears without a mesh a warning', () => {
    const severities = (more: string) => told(gearedBoard({ more }), 'unmeshed-shaft').map(({ severity }) => severity);
    expect(severities('shaft spare { at 90 mm, 0 mm }')).toEqual(['hint']);
    expect(severities('shaft spare { at 90 mm, 0 mm }\ngear idle on spare { module 1 mm   teeth 20 }')).toEqual([
      'warning',
    ]);
  });
});

describe('one number for many parts', () => {
  const berth = example('berth-sign');

  it('is told once, for the worst of them, with the others named', () => {
    const [finding, ...others] = findingsIn(berth.replace('base 22 mm', 'base 12 mm'));
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ code: 'steep-cam', at: '12 mm' });
    expect(finding.message).toMatch(
      /^bar [a-g] cannot follow its cam: pressure angle \d+(\.\d)?° at \d+° \(limit 30°\); base 19 mm would do, and so it is for bars ([a-g], )+[a-g] and [a-g]$/,
    );
    expect(finding.about.filter((name) => name.startsWith('cam'))).toHaveLength(7);
  });

  it('is told apart where one of them is accepted', () => {
    const text = berth
      .replace('base 22 mm', 'base 12 mm')
      .replace('bought 4', 'accept steep-cam on camD "tried out in wood"\n  bought 4');
    const found = told(text, 'steep-cam');
    expect(found.map(({ accepted }) => accepted ?? '').sort()).toEqual(['', 'tried out in wood']);
    expect(found.find(({ accepted }) => accepted)!.about).toEqual(['camD', 'd']);
    expect(found.find(({ accepted }) => !accepted)!.about).not.toContain('camD');
  });
});

describe('accept', () => {
  const steep = (...more: string[]) =>
    findingsIn(
      lampBoard({
        camL: 'cam camL on axle level 1 drives left { base 4 mm   travel 40 deg }',
        more: more.join('\n'),
      }),
    ).map(({ code, accepted }) => [code, accepted]);

  it.each(['steep-cam on camL', 'steep-cam on left', 'steep-cam on LampBoard', 'steep-cam'])('%s', (what) => {
    expect(steep(`accept ${what} "tried"`)).toEqual([['steep-cam', 'tried']]);
  });

  it('of another part, or of another code, is needless', () => {
    expect(steep('accept steep-cam on camR "tried"')).toEqual([
      ['steep-cam', undefined],
      ['needless-accept', undefined],
    ]);
    expect(steep('accept bar-astray on camL "tried"')).toEqual([
      ['steep-cam', undefined],
      ['needless-accept', undefined],
    ]);
  });

  it('of a code that does not exist names what was meant', () => {
    const [finding] = told(lampBoard({ more: 'accept steep-cams on camL "tried"' }), 'needless-accept');
    expect(finding.message).toBe('no finding is called steep-cams; did you mean steep-cam?');
  });

  it('may keep a needless accept', () => {
    const text = lampBoard({
      more: 'accept steep-cam "for a smaller build"\naccept needless-accept "for a smaller build"',
    });
    expect(findingsIn(text).filter(({ accepted }) => accepted === undefined)).toEqual([]);
  });
});

describe('windows', () => {
  const board = (window: string) =>
    lampBoard({
      left: `segment left { azimuth 180 deg   stroke 4 mm   bar 4 mm by 20 mm at -40 mm, 0 mm   window ${window} }`,
    });

  it('tell how much of them the bar covers, and where they are', () => {
    const [off, low, high, ...others] = findingsIn(board('4 mm by 20 mm at -43 mm, 0 mm'));
    expect(others).toEqual([]);
    // The bar lies at -40 mm, raised at -44 mm; both are 4 mm wide; derived.
    expect([off.message, low.message, high.message]).toEqual([
      '"off" cannot be shown: bar left covers 25 % of its window at a lift of 0 mm, and is hidden up to 10 % (camL)',
      '"low" cannot be shown: bar left covers 75 % of its window at a lift of 4 mm, and is shown from 90 % (camL)',
      '"high" cannot be shown: bar left covers 75 % of its window at a lift of 4 mm, and is shown from 90 % (camL)',
    ]);
    expect(low.related[0].message).toBe('the window of left');
    expect(board('4 mm by 20 mm at -43 mm, 0 mm').slice(low.related[0].place.from, low.related[0].place.to)).toBe(
      '4 mm by 20 mm at -43 mm, 0 mm',
    );
  });

  it('tell shares apart that round to one number', () => {
    const [low] = told(board('4 mm by 20 mm at -44.401 mm, 0 mm'), 'unreachable-symbol');
    expect(low.message).toContain('covers 89.97 % of its window at a lift of 4 mm, and is shown from 90 %');
  });
});

describe('lobes that run into each other', () => {
  const board = (travel: string) =>
    told(
      lampBoard({
        count: 'count low off low high',
        camL: `cam camL on axle level 1 drives left { travel ${travel} }`,
      }),
      'overlapping-lobes',
    )[0].message;

  it('by next to nothing are not told in figures that round to nothing', () => {
    expect(board('90.01 deg')).toContain(
      'by less than 0.1° at 270°: bar left still stands less than 0.01 mm of its 3 mm up between them',
    );
    const crest = told(
      lampBoard({
        count: 'count off off off high',
        camR: 'cam camR on axle level 2 drives right { travel 90.01 deg }',
      }),
      'overlapping-lobes',
    );
    expect(crest[0].message).toContain('bar right stops less than 0.01 mm short of its 3 mm');
  });

  it('through a number that all cams have are told once', () => {
    const text = lampBoard({
      count: 'count low off low high',
      everyCam: 'every cam { base 40 mm   travel 100 deg }',
      ...outside,
    });
    const [finding, ...others] = findingsIn(text);
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ code: 'overlapping-lobes', at: '100 deg', severity: 'error' });
    expect(finding.message).toMatch(/^travel 100 deg is longer than the 90° between two rests: lobes of cam. run/);
    expect(finding.message).toMatch(/cam. has that travel, too; 90 deg would do$/);
    expect(finding.fixes.map(({ title }) => title)).toEqual(['Shorten the travel to 90 deg']);
  });
});

describe('half-written designs', () => {
  it('miss nothing that is there but misspelt', () => {
    expect(codesIn(lampBoard({ camR: 'cam camR on axle level 2 drives rihgt' }))).toEqual(['unknown-name']);
    expect(codesIn(lampBoard({ camR: 'cam camR on axel level 2 drives right' }))).toEqual(['unknown-name']);
    expect(codesIn(lampBoard({ glyphs: 'glyphs lapms' }))).toEqual(['unknown-name']);
    expect(codesIn(gearedBoard({ mesh: 'mesh upperGear lowrGear' }))).toEqual(['unknown-name']);
    expect(codesIn(lampBoard({ everyCam: 'every cam { base 20 furlong }' }))).toEqual(['unknown-unit']);
    expect(codesIn(lampBoard({ right: 'segment left { azimuth 0 deg }' }))).not.toContain('missing-segment');
  });

  it('are not blamed for what is half typed', () => {
    const sign = example('berth-sign');
    const half = (piece: string, instead: string) => codesIn(sign.replace(piece, instead));
    expect(half('like decimal', 'like decimil')).toEqual(['unknown-name']);
    expect(half('like decimal', 'like')).toEqual(['unexpected-text']);
    for (const value of ['(centres /', 'centres /', 'min(1 mm,', '22 +', '-', '(1 mm', 'centres 2'])
      expect(half('0 mm, centres / 2', `0 mm, ${value}`), value).toEqual(['unexpected-text']);
    for (const value of ['22 +', 'min(1 mm,', '-', '(1 mm', '2 mm 2', '2 mm *'])
      expect(half('base 22 mm', `base ${value}`), value).toEqual(['unexpected-text']);
    for (const value of ['2.2e1 mm', '22,5 mm', '.5 mm'])
      expect(half('base 22 mm', `base ${value}`)).toEqual(['unreadable-text']);
    expect(half('mark 270 deg', 'mark 270,5 deg')).toEqual(['wrong-dimension']);
    expect(half('teeth 70   width 5 mm   mark 270', 'teeth 70   shift (0.5   width 5 mm   mark 270')).toEqual([
      'unexpected-text',
    ]);
    expect(
      half('teeth 70   width 5 mm   mark 270', 'teeth 70   pressure angle (14.5 deg   width 5 mm   mark 270'),
    ).toEqual(['unexpected-text']);
  });

  it('are not measured by a limit that is half typed', () => {
    const steep = (limits: string) =>
      codesIn(lampBoard({ everyCam: 'every cam { base 4 mm   travel 40 deg }', more: `limits { ${limits} }` }));
    expect(steep('pressure angle 20 deg')).toContain('steep-cam');
    expect(steep('pressure angle (60 deg')).toEqual(['unexpected-text']);
    expect(codesIn(lampBoard({ more: 'limits { shown (99 %   hidden 95 % }' }))).toEqual(['unexpected-text']);
  });

  it('are not blamed for the teeth of a gear further on, nor for a mark that is half typed', () => {
    const lock = example('lock-countdown');
    for (const text of [lock.replace('teeth 30', 'teeth (30'), lock.replace('mark 0 deg', 'mark ')])
      expect(codesIn(text).filter((code) => !codesIn(lock).includes(code))).toEqual(['unexpected-text']);
  });

  it('miss nothing of a statement that breaks off', () => {
    for (const camR of ['cam camR on axle level 2 drives', 'cam camR on axle level', 'cam camR on'])
      expect(codesIn(lampBoard({ camR })).filter((code) => code === 'undriven-segment')).toEqual([]);
  });

  it('list in one finding all that a part lacks', () => {
    const found = told(lampBoard({ everySegment: '', left: 'segment left { azimuth 180 deg }' }), 'missing-value');
    expect(found.map(({ message }) => message)).toContain(
      'left lacks stroke and nose, without which lift of camL and pressure angle of camL are not reckoned',
    );
    expect(found.every(({ severity }) => severity === 'hint')).toBe(true);
  });

  it('list in one finding all that a mechanism lacks', () => {
    const [empty] = findingsIn('mechanism Empty { }');
    expect(empty.message).toBe(
      'Empty has no count, no glyph table, no shaft, no segment and no cam; begin with count 0 1 2 3, the symbols in the order a forward step shows them',
    );
    expect(codesIn(lampBoard({ camL: '', camR: '' }))).toEqual(['missing-value']);
    expect(codesIn(lampBoard({ count: '' }))).toEqual(['missing-value']);
    const [plain] = told(example('score-tally').replace('glyphs decimal', ''), 'missing-value');
    expect(plain.fixes.map(({ title }) => title)).toEqual(['Take the library’s decimal glyphs']);
  });
});

it('the checks of one numeral take a millisecond at most', () => {
  const [mechanism] = resolveDocument(readDesign(createLobeServices(), example('wrong-on-purpose'))).mechanisms;
  const figures = reckon(mechanism);
  const times = Array.from({ length: 400 }, () => {
    const start = performance.now();
    findingsOf(mechanism, figures);
    return performance.now() - start;
  }).sort((a, b) => a - b);
  // What it takes where others leave the processor alone.
  expect(times[20]).toBeLessThan(1);
});
