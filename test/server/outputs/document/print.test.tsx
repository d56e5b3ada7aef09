import { readFileSync } from 'node:fs';
import { decodePDFRawStream, PDFArray, PDFDocument, PDFName, type PDFRawStream, PDFRef } from '@cantoo/pdf-lib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Block, Document } from '../../../../server/outputs/document/document.ts';
import { measured } from '../../../../server/outputs/document/print/fonts.ts';
import { paged, pagesOf } from '../../../../server/outputs/document/print/pages.ts';
import { documentsPdf } from '../../../../server/outputs/document/print/pdf/file.ts';
import { readTransform, within } from '../../../../server/outputs/document/print/pdf/matrix.ts';
import { pathOps } from '../../../../server/outputs/document/print/pdf/path.ts';
import { styleOf } from '../../../../server/outputs/document/print/pdf/style.ts';
import { readSvg } from '../../../../server/outputs/document/print/pdf/svg.ts';
import { lines } from '../../../../server/outputs/document/print/setting.ts';

const bytes = (name: string) => new Uint8Array(readFileSync(`server/outputs/chart/fonts/${name}.ttf`));
const files = [bytes('DejaVuSans'), bytes('DejaVuSans-Bold')] as const;
const plain = measured('plain', files[0]);
const fonts = { plain, bold: measured('bold', files[1]) };

const documentOf = (...blocks: Block[]): Document => ({ title: 'A sheet', about: 'of nothing', blocks });

/** What a PDF draws, page by page, as its content operators. */
async function contents(pdf: Uint8Array): Promise<string[]> {
  const read = await PDFDocument.load(pdf);
  return read.getPages().map(({ node }) => {
    const streams = node.Contents();
    const all = streams instanceof PDFArray ? streams.asArray() : [streams];
    return all
      .map((one) => (one instanceof PDFRef ? read.context.lookup(one) : one) as PDFRawStream)
      .map((stream) => new TextDecoder().decode(decodePDFRawStream(stream).decode()))
      .join('\n');
  });
}

describe('texts in lines', () => {
  it('are no wider than they may be, and lose no sign', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), fc.integer({ min: 20, max: 300 }), (text, width) => {
        const set = lines(text, width, plain, 9);
        for (const line of set) expect(9 * plain.width(line) <= width + 1e-9 || [...line].length <= 1).toBe(true);
        expect(set.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
      }),
    );
  });

  it('break at no space that is said to hold', () => {
    const size = '16.2\u00a0×\u00a018\u00a0×\u00a040.2';
    expect(lines(`about ${size} mm`, 9 * plain.width(size) + 1, plain, 9)).toEqual(['about', size, 'mm']);
  });

  it('are as wide as the font says: a space and an n of DejaVu Sans are 651 and 1298 of 2048 (font file)', () => {
    expect(plain.width(' ')).toBeCloseTo(651 / 2048, 9);
    expect(plain.width('n n')).toBeCloseTo((651 + 2 * 1298) / 2048, 9);
  });
});

describe('pages', () => {
  const piece = (height: number, more: object = {}) => ({ height, draw() {}, ...more });

  it('hold what fits, and part nothing that keeps together', () => {
    const heading = piece(20, { keeps: true });
    const all = [piece(60), heading, piece(30), piece(40)];
    expect(paged(all, 100).map((page) => page.map(({ height }) => height))).toEqual([[60], [20, 30, 40]]);
  });

  it('begin with the head of a table that goes on', () => {
    const head = piece(10, { keeps: true });
    const row = piece(40, { head });
    expect(paged([head, row, row, row], 100).map((page) => page.map(({ height }) => height))).toEqual([
      [10, 40, 40],
      [10, 40],
    ]);
  });

  it('take all pieces, each once, in their order, whatever their heights', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.integer({ min: 1, max: 150 }), fc.boolean()), { minLength: 1 }), (given) => {
        const pieces = given.map(([height, keeps]) => piece(height, keeps ? { keeps: true } : {}));
        expect(paged(pieces, 100).flat()).toEqual(pieces);
      }),
    );
  });
});

describe('drawings on paper', () => {
  it('are read back as they were rendered', () => {
    const svg =
      '<svg class="lw-drawing"><g transform="rotate(3)"><text x="1">a &lt; &quot;b&quot; &amp; c</text><path d="M0 0"/></g></svg>';
    expect(readSvg(svg)).toEqual({
      name: 'svg',
      attributes: { class: 'lw-drawing' },
      children: [
        {
          name: 'g',
          attributes: { transform: 'rotate(3)' },
          children: [
            { name: 'text', attributes: { x: '1' }, children: ['a < "b" & c'] },
            { name: 'path', attributes: { d: 'M0 0' }, children: [] },
          ],
        },
      ],
    });
  });

  it('have the style of their classes: what lies round them counts, and the narrower rule wins', () => {
    const root = readSvg('<svg class="lw-drawing"></svg>');
    const chosen = readSvg('<g class="lw-chosen"></g>');
    const style = (tag: string, outer = [root]) => styleOf(readSvg(tag), outer, {});
    expect(style('<path class="lw-cam lw-fine"/>')['stroke-width']).toBe('1.5');
    expect(style('<path class="lw-cam"/>')['stroke-width']).toBe('2.5');
    expect(style('<path class="lw-curve"/>')['stroke-width']).toBe('1.75');
    expect(style('<path class="lw-curve"/>', [root, chosen])['stroke-width']).toBe('3');
    expect(style('<text class="lw-dim"></text>').fill).toBe(style('<text class="lw-small lw-dim"></text>').fill);
    expect(style('<path class="lw-cam lw-cam-ground"/>').fill).not.toBe('none');
  });

  it('are placed by transforms within transforms', () => {
    const place = within(readTransform('translate(10 20)'), readTransform('rotate(90) translate(5 0)'));
    // Five to the right, turned a quarter clockwise as SVG turns (y down), is five down.
    expect([place[4], place[5]]).toEqual([expect.closeTo(10, 12), expect.closeTo(25, 12)]);
    expect(() => readTransform('skewX(3)')).toThrow();
  });

  it('keep arcs round: every point of their curves lies on the circle (to 0.03 %)', () => {
    const numbers = (ops: string) => [...ops.matchAll(/-?\d+(?:\.\d+)?/g)].map(([value]) => Number(value));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 6.2, noNaN: true }),
        fc.double({ min: 0.2, max: 6, noNaN: true }),
        (start, sweep) => {
          const [r, x, y] = [40, 7, -3];
          const at = (angle: number) => `${x + r * Math.cos(angle)} ${y + r * Math.sin(angle)}`;
          const d = `M${at(start)}A${r} ${r} 0 ${sweep > Math.PI ? 1 : 0} 1 ${at(start + sweep)}`;
          const [move, ...curves] = pathOps(d).split(/(?<=[mc]) /);
          let from = numbers(move!);
          let turned = 0;
          for (const curve of curves) {
            const [ax, ay, bx, by, toX, toY] = numbers(curve);
            for (const t of [0.25, 0.5, 0.75, 1]) {
              const mix = (p: number, a: number, b: number, q: number) =>
                (1 - t) ** 3 * p + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t * t * b + t ** 3 * q;
              const [px, py] = [mix(from[0]!, ax!, bx!, toX!), mix(from[1]!, ay!, by!, toY!)];
              expect(Math.abs(Math.hypot(px - x, py - y) / r - 1)).toBeLessThan(4e-4);
            }
            turned += Math.atan2(
              (from[0]! - x) * (toY! - y) - (from[1]! - y) * (toX! - x),
              (from[0]! - x) * (toX! - x) + (from[1]! - y) * (toY! - y),
            );
            from = [toX!, toY!];
          }
          expect(turned).toBeCloseTo(sweep, 3);
        },
      ),
    );
  });
});

describe('a PDF', () => {
  const square: Block = {
    kind: 'drawings',
    cut: true,
    drawings: [
      {
        title: 'a square',
        description: '10 mm each way',
        width: 100,
        height: 60,
        body: <path fill="#102030" d={`M10 10h${(10 * 96) / 25.4}v${(10 * 96) / 25.4}h${(-10 * 96) / 25.4}Z`} />,
      },
    ],
  };

  it('is the same to the byte each time, of a size that is asked for', async () => {
    const pdf = (paper: 'a4' | 'letter') => documentsPdf([documentOf(square)], { fonts: files, title: 'One', paper });
    const [one, again, letter] = [await pdf('a4'), await pdf('a4'), await pdf('letter')];
    expect(Buffer.from(one).equals(Buffer.from(again))).toBe(true);
    const [first] = (await PDFDocument.load(one)).getPages();
    expect([first!.getWidth(), first!.getHeight()]).toEqual([
      expect.closeTo((210 * 72) / 25.4, 2),
      expect.closeTo((297 * 72) / 25.4, 2),
    ]);
    expect((await PDFDocument.load(letter)).getPages()[0]!.getWidth()).toBe(8.5 * 72);
  });

  it('says in which language it is, and what it is called', async () => {
    const pdf = await documentsPdf([documentOf(square)], { fonts: files, title: 'One' });
    const read = await PDFDocument.load(pdf, { updateMetadata: false });
    expect(read.getTitle()).toBe('One');
    expect(String(read.catalog.get(PDFName.of('Lang')))).toContain('en');
    expect(read.getCreationDate()).toBeUndefined();
  });

  it('draws at true size: px of a 96th of an inch', async () => {
    const [page] = await contents(await documentsPdf([documentOf(square)], { fonts: files, title: 'One' }));
    expect(page).toContain('0.75 0 0 -0.75 ');
    const corners = /10 10 m ([\d.]+) 10 l ([\d.]+) ([\d.]+) l/.exec(page!)!;
    expect((Number(corners[1]) - 10) * 0.75).toBeCloseTo((10 * 72) / 25.4, 3);
    expect(page).toContain(`${(16 / 255).toFixed(3)} ${(32 / 255).toFixed(3)} ${(48 / 255).toFixed(3)} rg`);
  });

  it('writes signs that its font lacks as replacement characters, and does not stumble', async () => {
    const odd = documentOf({ kind: 'text', text: '漢字 \u{1f600} \u0007 größe' });
    expect((await documentsPdf([odd], { fonts: files, title: '漢' })).length).toBeGreaterThan(1000);
    expect(plain.drawable('a漢ß')).toBe('a\ufffdß');
  });

  it('leaves every graphics state that it enters', async () => {
    const long = documentOf(
      { kind: 'caution', title: 'Care', items: ['one', 'two'] },
      { kind: 'steps', first: 1, items: ['do this', 'do that'] },
      { kind: 'trial', title: 'Try it', lines: [['Turn', 'it']] },
      {
        kind: 'table',
        caption: 'T',
        heads: ['a', 'b'],
        rows: Array.from({ length: 90 }, (_, i) => [`${i}`, 'word '.repeat(i % 9)]),
      },
      square,
    );
    const pages = await contents(await documentsPdf([long], { fonts: files, title: 'Long' }));
    expect(pages.length).toBeGreaterThan(1);
    for (const page of pages) {
      const ops = page.split(/\s+/);
      expect(ops.filter((op) => op === 'q').length).toBe(ops.filter((op) => op === 'Q').length);
    }
    expect(pagesOf([long], 'a4', fonts)).toHaveLength(pages.length);
  });
});
