/** Draws the pictures that the README shows; run by `node build.mjs pictures`. */
import '../../language/group-by.mjs';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { analyse } from '../analysis.ts';
import { chartPng, chartSvg } from '../outputs/chart/files.tsx';
import { measured } from '../outputs/document/print/fonts.ts';
import { pagesSvg } from '../outputs/document/print/svg.ts';
import { sheetOf } from '../outputs/sheet/sheet.ts';
import { buildSheet } from '../outputs/sheet/told/build-sheet.ts';
import type { Reckoned } from '../protocol.ts';

const bytes = (path: string) => new Uint8Array(readFileSync(path));
const files = ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf'].map((name) => bytes(join('server/outputs/chart/fonts', name)));
const fonts = { plain: measured('plain', files[0]), bold: measured('bold', files[1]) };
const supply = { wasm: bytes('node_modules/@resvg/resvg-wasm/index_bg.wasm'), fonts: files };
const folder = 'extension/pictures';

const services = createLobeServices();

function example(name: string): Reckoned {
  const document = readDesign(services, readFileSync(`examples/${name}.lobe`, 'utf8'));
  return analyse(document, services.shared.workspace.LangiumDocuments).mechanisms[0];
}

/** Of each example the pages that show it best, by their numbers from 0, and how large. */
const sheets: readonly (readonly [name: string, pages: readonly number[], scale: number])[] = [
  ['berth-sign', [4, 5], 1],
  ['lock-countdown', [1, 4, 5], 0.6],
  ['signal-box', [1, 4, 5], 0.6],
  ['score-tally', [1, 4, 5], 0.6],
  ['pier-flag', [0, 1, 2], 0.6],
];

async function draw(): Promise<void> {
  writeFileSync(join(folder, 'chart.png'), await chartPng(chartSvg(example('berth-sign')), supply));
  for (const [name, pages, scale] of sheets) {
    const svg = pagesSvg([buildSheet(sheetOf(example(name)), LOBEWRIGHT_VERSION)], fonts, pages);
    writeFileSync(join(folder, `sheet-${name}.png`), await chartPng(svg, supply, scale));
  }
}

draw().catch((failure: unknown) => {
  console.error(failure);
  process.exitCode = 1;
});
