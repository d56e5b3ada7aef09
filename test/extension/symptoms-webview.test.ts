/** The webview of symptoms as the editor loads it, in a real browser with the editor's side stood in for. */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { webviewPage } from '../../extension/webview-page.ts';
import { pageOf } from '../../server/outputs/symptoms/page-data.ts';
import type { SymptomsState } from '../../server/protocol.ts';
import { reckonedExample } from '../server/outputs/chart/designs.ts';

const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);

/** The colours that the editor gives its webviews. */
const colours = {
  'vscode-light': { background: '#ffffff', foreground: '#3b3b3b', error: '#e51400', blue: '#1a85ff', focus: '#005fb8' },
  'vscode-dark': { background: '#1f1f1f', foreground: '#cccccc', error: '#f14c4c', blue: '#3794ff', focus: '#0078d4' },
  'vscode-high-contrast': {
    background: '#000000',
    foreground: '#ffffff',
    error: '#f48771',
    blue: '#3794ff',
    focus: '#f38518',
  },
};
type Theme = keyof typeof colours;

describe.skipIf(!executablePath)('the webview of symptoms', { timeout: 120_000 }, () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), 'lobewright-webview-'));
  const state: SymptomsState = { uri: 'file:///sign.lobe', version: 1, pages: [pageOf(reckonedExample('berth-sign'))] };

  beforeAll(async () => {
    await build({
      entryPoints: ['extension/symptoms/webview.tsx'],
      outfile: join(folder, 'webview.js'),
      bundle: true,
      format: 'iife',
      target: 'es2022',
      jsx: 'automatic',
      jsxImportSource: 'preact',
      loader: { '.css': 'text' },
    });
    const html = webviewPage({
      cspSource: 'file:',
      script: 'webview.js',
      nonce: 'abc',
      language: 'en',
      title: 'Symptoms',
    });
    writeFileSync(join(folder, 'page.html'), html);
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** A page in which the editor has sent a state. */
  async function open({ theme = 'vscode-light' as Theme, width = 560, kept = undefined as unknown } = {}) {
    const page = await browser.newPage({ viewport: { width, height: 900 } });
    const wrong: string[] = [];
    page.on('pageerror', (error) => wrong.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') wrong.push(message.text());
    });
    await page.addInitScript((kept) => {
      const said: unknown[] = [];
      Object.assign(window, {
        said,
        kept,
        acquireVsCodeApi: () => ({
          postMessage: (message: unknown) => said.push(message),
          getState: () => (window as unknown as { kept: unknown }).kept,
          setState: (now: unknown) => Object.assign(window, { kept: now }),
        }),
      });
    }, kept);
    await page.goto(pathToFileURL(join(folder, 'page.html')).href);
    await page.evaluate(
      ({ theme, colour }) => {
        document.body.className = theme;
        document.body.dataset.vscodeThemeKind = theme;
        const set = (name: string, value: string) =>
          document.documentElement.style.setProperty(`--vscode-${name}`, value);
        set('editor-background', colour.background);
        set('editor-foreground', colour.foreground);
        set('editorError-foreground', colour.error);
        set('editorWarning-foreground', colour.error);
        set('charts-blue', colour.blue);
        set('focusBorder', colour.focus);
        set('font-family', 'DejaVu Sans');
        document.body.style.background = colour.background;
      },
      { theme, colour: colours[theme] },
    );
    return { page, wrong };
  }
  const send = (page: Page, now: SymptomsState | null) =>
    page.evaluate((now) => window.postMessage({ type: 'state', state: now, file: 'sign.lobe' }, '*'), now);
  const kept = (page: Page) => page.evaluate(() => (window as unknown as { kept: unknown }).kept);

  it('says that it is ready, draws what it is sent, and keeps what is told', async () => {
    const { page, wrong } = await open();
    expect(await page.evaluate(() => (window as unknown as { said: unknown }).said)).toEqual([{ type: 'ready' }]);
    await send(page, state);
    await page.getByRole('button', { name: 'It is as it should be' }).click();
    expect(await kept(page)).toEqual({
      uri: state.uri,
      told: { BerthSign: { looks: { 0: 'right' }, homeKnown: true } },
    });
    // Sent anew, what was told stays.
    await send(page, { ...state, version: 2 });
    expect(await page.getByRole('button', { name: /^0, looked at: right/ }).count()).toBe(1);
    expect(wrong).toEqual([]);
    await page.close();
    const again = await open({
      kept: { uri: state.uri, told: { BerthSign: { looks: { 4: 'wrong' }, homeKnown: true } } },
    });
    await send(again.page, state);
    expect(await again.page.getByRole('button', { name: /^4, looked at: wrong/ }).count()).toBe(1);
    await send(again.page, { ...state, uri: 'file:///other.lobe' });
    await expect.poll(() => again.page.getByRole('button', { name: /^4, looked at: wrong/ }).count()).toBe(0);
    expect(again.wrong).toEqual([]);
    await again.page.close();
  });

  it('says when it is of the last good text, and when there is nothing', async () => {
    const { page } = await open();
    await send(page, null);
    await page.getByText('No mechanism here yet.').waitFor();
    const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
    await send(page, { ...state, stale: { reason: 'expected a name', range } });
    await page.getByText('The text as it stands cannot be read: expected a name').waitFor();
    await page.close();
  });

  it.each(Object.keys(colours) as Theme[])('fits its panel in the theme %s', async (theme) => {
    const { page, wrong } = await open({ theme, width: 520 });
    await send(page, state);
    await page.getByRole('checkbox', { name: 'bar a: shown' }).click();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(520);
    const pictures = process.env.PICTURES;
    if (pictures) await page.screenshot({ path: join(pictures, `symptoms-${theme}.png`), fullPage: true });
    expect(wrong).toEqual([]);
    await page.close();
  });
});
