/** A webview as the editor loads it, in a real browser with the editor's side stood in for. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { type Browser, chromium, type Page } from 'playwright-core';
import { webviewPage } from '../../extension/webview-page.ts';
import { executablePath } from '../server/outputs/browser.ts';

/** The colours that the editor gives its webviews. */
export const colours = {
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
export type Theme = keyof typeof colours;

export interface Opened {
  readonly page: Page;
  /** What went wrong on the page. */
  readonly wrong: string[];
  /** What the page has told the editor. */
  said(): Promise<unknown>;
  /** What the editor keeps for it. */
  kept(): Promise<unknown>;
  send(message: object): Promise<void>;
}

export interface Webview {
  open(how?: { theme?: Theme; width?: number; height?: number; kept?: unknown }): Promise<Opened>;
  close(): Promise<void>;
}

/** Bundles a webview's script and starts a browser. */
export async function startWebview(entry: string, title: string): Promise<Webview> {
  const folder = mkdtempSync(join(tmpdir(), 'lobewright-webview-'));
  await build({
    entryPoints: [entry],
    outfile: join(folder, 'webview.js'),
    bundle: true,
    format: 'iife',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    loader: { '.css': 'text' },
  });
  const html = webviewPage({ cspSource: 'file:', script: 'webview.js', nonce: 'abc', language: 'en', title });
  writeFileSync(join(folder, 'page.html'), html);
  // What is drawn in space is reckoned by the processor.
  const args = ['--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader'];
  const browser: Browser = await chromium.launch({ executablePath, args });
  return {
    async open({ theme = 'vscode-light', width = 560, height = 900, kept } = {}) {
      const page = await browser.newPage({ viewport: { width, height } });
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
      return {
        page,
        wrong,
        said: () => page.evaluate(() => (window as unknown as { said: unknown }).said),
        kept: () => page.evaluate(() => (window as unknown as { kept: unknown }).kept),
        send: (message) => page.evaluate((message) => window.postMessage(message, '*'), message),
      };
    },
    async close() {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Where the tests put pictures of the pages, if they are wanted. */
export const pictures = process.env.PICTURES;
