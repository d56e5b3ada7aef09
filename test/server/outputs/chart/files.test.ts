import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { chartHtml, chartPng, chartSvg, type PngSupply } from '../../../../server/outputs/chart/files.tsx';
import type { Reckoned } from '../../../../server/protocol.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { bar, cam, count, given, glyphs, mechanism, segment, shaft } from '../../../mechanisms.ts';
import { berthSign, example, examples, reckonedAll, reckonedExample } from './designs.ts';

let supply: PngSupply;
beforeAll(() => {
  const read = (path: string) => new Uint8Array(readFileSync(path));
  supply = {
    wasm: read('node_modules/@resvg/resvg-wasm/index_bg.wasm'),
    fonts: ['DejaVuSans', 'DejaVuSans-Bold'].map((name) => read(`server/outputs/chart/fonts/${name}.ttf`)),
  };
});

/** Width and height that a PNG's header gives (PNG specification, IHDR). */
const pngSize = (png: Uint8Array) => {
  const view = new DataView(png.buffer, png.byteOffset);
  expect([...png.slice(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return { width: view.getUint32(16), height: view.getUint32(20) };
};

const texts = (svg: string) => [...svg.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((match) => match[1]);

describe('SVG', () => {
  it.each(examples)('draws %s in every theme and width, the same to the byte', async (name) => {
    const [reckoned, again] = [reckonedExample(name), reckonedExample(name)];
    const forms = [
      { theme: 'light', width: 500 },
      { theme: 'dark', width: 800 },
      { theme: 'contrast', width: 1400 },
    ] as const;
    for (const form of forms) {
      const svg = chartSvg(reckoned, form);
      expect(chartSvg(again, form)).toBe(svg);
      expect(svg).not.toMatch(/NaN|Infinity|undefined|\[object/);
    }
    // The machine that draws PNG reads XML strictly.
    await expect(chartPng(chartSvg(reckoned), supply, 1)).resolves.toBeDefined();
  });

  it('stands alone: no script, no reference to anything outside', () => {
    const svg = chartSvg(reckonedExample('berth-sign'));
    expect(svg).not.toMatch(/<script|<image|<foreignObject|@import|\son\w+=/);
    expect(svg.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:|url\((?!#)/);
  });

  it('says what it is to those who hear it', () => {
    const svg = chartSvg(reckonedExample('berth-sign'));
    expect(svg).toContain('<title>Phase chart of Berth sign</title>');
    expect(svg).toContain('7 cams on 2 shafts count 0 1 2 3 4 5 6 7 8 9 C -; 0 errors.');
    expect(svg).toMatch(/aria-label="Rest 4, 4: shows b, f, g and c"/);
    expect(svg).toMatch(/<desc>camA drives a; on upper, level 1; up at 0, 2, 3, 5/);
  });

  it('heads every rest, home once more at the end', () => {
    const heads = texts(chartSvg(reckonedExample('berth-sign')))
      .slice(0, 18)
      .join(' ');
    expect(heads).toContain('0 1 2 3 4 5 6 7 8 9 C - 0');
  });

  it('runs in reverse as the mechanism does', () => {
    const heads = texts(chartSvg(berthSign(['count 0', 'runs reverse\n  count 0'])))
      .slice(0, 18)
      .join(' ');
    expect(heads).toContain('0 - C 9 8 7 6 5 4 3 2 1 0');
  });

  it('strikes a wrong bar through and names it', () => {
    const svg = chartSvg(berthSign(['drives c\n', 'drives c { raised at 0 1 3 4 5 6 7 8 }\n']));
    expect(svg.match(/class="lw-strike-ink"/g)?.length).toBe(1);
    expect(texts(svg).filter((text) => text.startsWith('✗'))).toEqual(['✗ c']);
    const right = chartSvg(reckonedExample('berth-sign'));
    expect(right).not.toContain('<path class="lw-strike"');
  });

  it('lists every finding by the sign that it has on the rows', () => {
    const { findings } = reckonedExample('wrong-on-purpose');
    const svg = chartSvg(reckonedExample('wrong-on-purpose'));
    for (const { code, accepted } of findings) expect(svg).toContain(accepted ? `accepted, ${code}` : `${code}:`);
    expect(svg).toContain('class="lw-mark lw-error"');
    expect(svg).toContain('class="lw-mark lw-warning"');
  });

  it('draws a rest margin where it has been reckoned, and no tint where not', () => {
    const reckoned = reckonedExample('berth-sign');
    const cams = reckoned.figures.cams.map((each, i) => ({ ...each, restMargin: i === 0 ? 0.03 : undefined }));
    const drawn = chartSvg({ ...reckoned, figures: { ...reckoned.figures, cams } });
    expect(drawn.match(/class="lw-margin"/g)?.length).toBe(13);
  });

  it('warns of springs and pinching where there are any', () => {
    expect(chartSvg(reckonedExample('berth-sign'))).toContain('Local codes and licensed practice come first.');
  });

  it('has no curve for a negative or silly width', () => {
    for (const width of [-5, 0, 1, 320])
      expect(chartSvg(reckonedExample('pier-flag'), { width })).toContain('width="320"');
  });
});

describe('hostile names', () => {
  const hostile = `<script>alert("1")</script> & ]]> ' \u0000\u0008\ud800 ‮ Ω ✗`;
  const bad: Reckoned = (() => {
    const made = mechanism({
      name: hostile,
      about: { title: hostile, revision: hostile, author: hostile },
      count: count([hostile, '</text>', '&amp;', '']),
      glyphs: glyphs({ [hostile]: 'x', '</text>': '', '&amp;': 'x', '': '' }, ['x']),
      shafts: [shaft(hostile, [0, 0], 'clockwise')],
      segments: [segment('x', 90, { bar: given(bar(40, 6, 0, 30)) }), segment(hostile, 0)],
      cams: [cam('c', hostile, 'x'), cam(hostile, hostile, hostile, { level: given(2) })],
    });
    const figures = reckon(made);
    const finding = {
      code: 'odd-name',
      severity: 'error',
      message: hostile,
      place: made.place,
      about: [hostile],
      figures: {},
      related: [],
      fixes: [],
    } as const;
    return { mechanism: made, figures, findings: [finding, { ...finding, accepted: hostile }] };
  })();

  it('make sound XML', async () => {
    const svg = chartSvg(bad);
    expect(svg).not.toContain('<script');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    expect(svg).not.toMatch(/[\u0000-\u0008]/);
    await expect(chartPng(svg, supply, 1)).resolves.toBeDefined();
  });

  it('cannot leave their script element in a page', () => {
    const page = chartHtml([bad], { script: 'go()' });
    expect(page.match(/<script/g)?.length).toBe(2);
    expect(page.match(/<\/script>/g)?.length).toBe(2);
    const data = /<script type="application\/json" id="chart-data">(.*?)<\/script>/s.exec(page)![1];
    expect(JSON.parse(data).mechanisms[0].figures.positions.length).toBe(4);
  });
});

describe('PNG', () => {
  it('is drawn with the shipped fonts, twice as fine as asked', async () => {
    const svg = chartSvg(reckonedExample('berth-sign'), { width: 900 });
    const height = Number(/height="(\d+)"/.exec(svg)![1]);
    const png = await chartPng(svg, supply);
    expect(pngSize(png)).toEqual({ width: 1800, height: 2 * height });
    expect(await chartPng(svg, supply)).toEqual(png);
    const bare = await chartPng(svg, { ...supply, fonts: [] });
    expect(bare.length).toBeLessThan(png.length * 0.97);
  });

  it('shows that something stands where its fonts have no sign, once for what is read as one', async () => {
    const drawn = (text: string) =>
      chartPng(
        `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="40"><text y="30" font-size="24">${text}</text></svg>`,
        supply,
        1,
      );
    const shown = await drawn('a\ufffdb');
    expect(shown).not.toEqual(await drawn('ab'));
    for (const lacking of ['\u{1f6a2}', '\u{1f468}\u200d\u{1f469}\u200d\u{1f467}', '\u6c34', '\u263a\ufe0f\u20e3'])
      expect(await drawn(`a${lacking}b`), lacking).toEqual(shown);
    for (const [written, known] of [
      ['e\u0301', '\u00e9'],
      ['\u2713\ufe0f', '\u2713'],
    ])
      expect(await drawn(written)).toEqual(await drawn(known));
    expect(await drawn('Ж α → ø')).not.toEqual(await drawn('\ufffd \ufffd \ufffd \ufffd'));
  });
});

describe('page', () => {
  it('stands alone and may ask nothing of any other host', () => {
    const page = chartHtml(examples.map(reckonedExample), { script: 'let a = "</script>"' });
    expect(page).toContain(`default-src 'none'`);
    expect(page).not.toMatch(/<link|<img|src=|@import/);
    expect(page).toContain('<title>Berth sign, ');
    expect(page).toContain('<noscript>');
  });
});

describe('half-written designs', () => {
  it('are drawn as far as they go, with what is missing', () => {
    const [reckoned] = reckonedAll(`mechanism Half {
      shaft one { at 0 mm, 0 mm }
      segment a { azimuth 90 deg  stroke 4 mm  bar 40 mm by 6 mm at 0 mm, 30 mm }
      cam camA on one level 1 drives a { base 20 mm }
      cam camB on one level 2 drives
    `);
    const svg = chartSvg(reckoned);
    expect(svg).toContain('>camA<');
    expect(svg).toMatch(/no curve yet: give/);
  });

  it('are drawn even when empty', () => {
    const empty = mechanism({ name: 'Empty' });
    const reckoned = { mechanism: empty, figures: reckon(empty), findings: [] };
    expect(chartSvg(reckoned)).toContain('Empty');
    expect(chartHtml([], { script: '' })).toContain('<title>Chart</title>');
  });

  it('never throw, wherever the text is cut', () => {
    const all = examples.map(example);
    fc.assert(
      fc.property(fc.constantFrom(...all), fc.double({ min: 0, max: 1, noNaN: true }), fc.nat(200), (text, at, cut) => {
        const from = Math.floor(at * text.length);
        for (const reckoned of reckonedAll(text.slice(0, from) + text.slice(from + cut))) {
          expect(chartSvg(reckoned, { width: 500 })).not.toMatch(/NaN|undefined/);
        }
      }),
      { numRuns: 30 },
    );
  });
});

it('draws a count of a thousand positions with heads that do not meet', () => {
  const symbols = Array.from({ length: 1000 }, (_, i) => `n${i}`);
  const made = mechanism({
    count: count(symbols),
    glyphs: glyphs(Object.fromEntries(symbols.map((symbol, i) => [symbol, i % 3 ? 'a' : ''])), ['a']),
    shafts: [shaft('one', [0, 0], 'clockwise')],
    segments: [segment('a', 90)],
    cams: [cam('camA', 'one', 'a')],
  });
  const begun = performance.now();
  const svg = chartSvg({ mechanism: made, figures: reckon(made), findings: [] });
  expect(performance.now() - begun).toBeLessThan(2000);
  expect(texts(svg).filter((text) => /^n\d+$/.test(text)).length).toBeLessThan(40);
  expect(svg.length).toBeLessThan(300_000);
});
