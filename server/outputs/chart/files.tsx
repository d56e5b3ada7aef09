/** The chart as files: a standing SVG, a PNG of it, a page that plays. Nothing here reads or writes a file. */
import { renderToString } from 'preact-render-to-string';
import type { Reckoned } from '../../protocol.ts';
import type { Ghost } from '../compare/ghost.ts';
import { lawful } from '../markup.ts';
import { selfContainedPage } from '../self-contained-page.ts';
import chartStyle from './chart.css';
import drawingStyle from './drawing.css';
import { drawingOf } from './drawing.tsx';
import { drawableIn } from './font-signs.ts';
import { fileStyle, type ThemeName } from './themes.ts';
import { viewOf } from './view.ts';

export type { ThemeName } from './themes.ts';

export interface SvgOptions {
  /** Default `light`. */
  readonly theme?: ThemeName;
  /** px; default 1400, at least 320. */
  readonly width?: number;
  /** An older version, drawn behind. */
  readonly ghost?: Ghost;
}

/** The phase chart of one mechanism with face, stack and plan, as one SVG document; the same input gives the same bytes. */
export function chartSvg(reckoned: Reckoned, { theme = 'light', width = 1400, ghost }: SvgOptions = {}): string {
  const view = viewOf(reckoned, ghost);
  const wide = Math.max(320, Math.round(width));
  const { height, body } = drawingOf(view, wide);
  const drawing = (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      class={`lw-drawing lw-${theme}`}
      viewBox={`0 0 ${wide} ${height}`}
      width={wide}
      height={height}
      role="group"
      aria-roledescription="phase chart"
    >
      <title>{`Phase chart of ${view.title}`}</title>
      <desc>{chartSentence(reckoned)}</desc>
      <style dangerouslySetInnerHTML={{ __html: fileStyle(theme) }} />
      {body}
    </svg>
  );
  // Between tags it leaves `>` as it is, which no text may hold after `]]`.
  return lawful(`<?xml version="1.0" encoding="UTF-8"?>\n${renderToString(drawing)}\n`).replaceAll(']]>', ']]&gt;');
}

/** The chart in one sentence: what it counts, how many cams, what is wrong. */
function chartSentence({ mechanism, figures, findings }: Reckoned): string {
  const errors = findings.filter((finding) => finding.severity === 'error' && finding.accepted === undefined).length;
  const counted = figures.positions.map((position) => position.symbol.trim() || 'blank').join(' ');
  return `${mechanism.cams.length} cams on ${mechanism.shafts.length} shafts count ${counted || 'nothing yet'}; ${
    errors === 1 ? '1 error' : `${errors} errors`
  }.`;
}

/** What a PNG is drawn with: the bytes of `resvg.wasm` and of the fonts shipped beside it. */
export interface PngSupply {
  readonly wasm: BufferSource;
  readonly fonts: readonly Uint8Array[];
}

let ready: Promise<typeof import('@resvg/resvg-wasm')> | undefined;

/** The drawing machine is started once and only when a PNG is asked for. */
const resvg = (wasm: BufferSource) => {
  ready ??= import('@resvg/resvg-wasm').then(async (module) => {
    await module.initWasm(wasm);
    return module;
  });
  return ready;
};

/**
 * Draws an SVG of `chartSvg` as PNG, `scale` px to its own px (default 2); what the fonts have no sign for is drawn as the
 * replacement character.
 */
export async function chartPng(svg: string, { wasm, fonts }: PngSupply, scale = 2): Promise<Uint8Array> {
  const { Resvg } = await resvg(wasm);
  const drawing = new Resvg(drawableIn(svg, fonts), {
    font: { fontBuffers: [...fonts], defaultFontFamily: 'DejaVu Sans', sansSerifFamily: 'DejaVu Sans' },
    fitTo: { mode: 'zoom', value: scale },
  });
  const image = drawing.render();
  const png = image.asPng();
  image.free();
  drawing.free();
  return png;
}

export interface PageOptions {
  /** The text of `out/page.js`, which makes the page play. */
  readonly script: string;
  readonly title?: string;
  /** Older versions of the mechanisms, which the page may be held against. */
  readonly ghosts?: readonly Ghost[];
}

/** What stands in a page for its script. */
export interface PageData {
  readonly mechanisms: readonly Reckoned[];
  readonly ghosts: readonly Ghost[];
}

/** One self-contained page that plays; it asks nothing of any other host. Without scripts it shows the standing chart. */
export function chartHtml(mechanisms: readonly Reckoned[], { script, title, ghosts = [] }: PageOptions): string {
  const name =
    title ?? (mechanisms.map((each) => each.mechanism.about.title ?? each.mechanism.name).join(', ') || 'Chart');
  const ghostOf = ({ mechanism }: Reckoned) => ghosts.find((ghost) => ghost.mechanism === mechanism.name);
  const standing = mechanisms
    .map((each) => chartSvg(each, { width: 1200, ghost: ghostOf(each) }).replace(/^<\?xml[^>]*>\n/, ''))
    .join('\n');
  const data: PageData = { mechanisms, ghosts };
  return selfContainedPage({
    title: name,
    styles: [drawingStyle, chartStyle],
    place: 'chart',
    standing,
    data: { id: 'chart-data', value: data },
    script,
  });
}
