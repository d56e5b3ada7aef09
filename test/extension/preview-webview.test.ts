/** The preview's webview as the editor loads it, in a real browser that draws without a graphics card. */
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sceneOf, shapesOf } from '../../server/outputs/preview/scene.ts';
import type { PreviewState } from '../../server/protocol.ts';
import { finished } from '../../server/reckon/pausing.ts';
import { executablePath } from '../server/outputs/browser.ts';
import { reckonedExample } from '../server/outputs/chart/designs.ts';
import { colours, type Opened, pictures, startWebview, type Theme, type Webview } from './webview.ts';

describe.skipIf(!executablePath)('the webview of the preview', { timeout: 120_000 }, () => {
  let webview: Webview;
  const reckoned = reckonedExample('berth-sign');
  const scene = finished(sceneOf(reckoned));
  const names = [...new Set(scene.parts.map(({ shape }) => shape))];
  const shapes = finished(shapesOf(reckoned, names));
  const state: PreviewState = {
    uri: 'file:///sign.lobe',
    version: 1,
    mechanisms: [{ name: scene.name, title: scene.title }],
    scene,
  };
  const send = ({ send }: Opened, now: PreviewState | null) => send({ type: 'state', state: now, file: 'sign.lobe' });
  const part = (name: string) => scene.parts.find((one) => one.name === name)!;
  const button = (page: Page, name: string) => page.locator('.lw-parts button', { hasText: name });
  const last = async (opened: Opened) => ((await opened.said()) as object[]).at(-1);
  /** Where the name stands beside what it names, px of the page. */
  const tagAt = async (page: Page) => {
    const { left, top } = await page.locator('.lw-tag').evaluate((tag) => {
      const [x, y] = (tag as HTMLElement).style.transform.match(/-?\d+/g)!.map(Number);
      const box = tag.parentElement!.getBoundingClientRect();
      return { left: box.left + x, top: box.top + y };
    });
    return [left, top] as const;
  };

  beforeAll(async () => {
    webview = await startWebview('extension/preview/webview.tsx', 'Parts');
  }, 120_000);
  afterAll(() => webview?.close());

  it('asks for the shapes that it lacks, names what is pointed at, and tells what is clicked', async () => {
    const opened = await webview.open({ width: 800, height: 600 });
    const { page, wrong } = opened;
    expect(await opened.said()).toEqual([{ type: 'ready' }]);
    await send(opened, state);
    await page.getByText('Working out the shapes').waitFor();
    expect(await last(opened)).toEqual({ type: 'shapes', mechanism: 'BerthSign', shapes: names });
    await opened.send({ type: 'shapes', shapes });
    await page.getByText('Working out the shapes').waitFor({ state: 'detached' });

    // Named in the list, named in space; then pointed at there.
    await button(page, 'b bar').hover();
    await page.locator('.lw-tag', { hasText: /^b$/ }).waitFor();
    const at = await tagAt(page);
    await button(page, 'camA').hover();
    await page.locator('.lw-tag', { hasText: 'camA' }).waitFor();
    await page.mouse.move(...at);
    await page.locator('.lw-parts .lw-pointed', { hasText: 'b bar' }).waitFor();
    await page.mouse.click(...at);
    expect(await last(opened)).toEqual({ type: 'select', place: part('b').place });
    // A drag turns, and chooses nothing.
    const told = ((await opened.said()) as object[]).length;
    await page.mouse.down();
    await page.mouse.move(at[0] + 90, at[1] + 20, { steps: 3 });
    await page.mouse.up();
    expect(((await opened.said()) as object[]).length).toBe(told);

    // By keyboard.
    await button(page, 'upperGear').focus();
    await page.locator('.lw-tag', { hasText: 'upperGear' }).waitFor();
    await page.keyboard.press('Enter');
    expect(await last(opened)).toEqual({ type: 'select', place: part('upperGear').place });
    await opened.send({ type: 'cursor', mechanism: 'BerthSign', part: 'camE' });
    await page.locator('.lw-parts button[aria-current]', { hasText: 'camE' }).waitFor();
    await page.getByRole('application', { name: 'Berth sign, at 0: shown a, b, f, d, c, e' }).focus();
    await page.keyboard.press('Space');
    await page.getByRole('application', { name: 'Berth sign, at 1: shown b, c' }).waitFor();

    // What an edit leaves as it is is not asked for again.
    const [first, ...others] = scene.parts;
    await send(opened, { ...state, version: 2, scene: { ...scene, parts: [{ ...first, shape: 'new' }, ...others] } });
    await page.getByText('Working out the shapes').waitFor();
    expect(await last(opened)).toEqual({ type: 'shapes', mechanism: 'BerthSign', shapes: ['new'] });

    // What it took of the graphics card is given back.
    const canvas = await page.locator('canvas').elementHandle();
    await send(opened, null);
    await page.getByText('No mechanism here yet.').waitFor();
    const isLost = () => canvas!.evaluate((node) => (node as HTMLCanvasElement).getContext('webgl2')!.isContextLost());
    await expect.poll(isLost).toBe(true);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('says what cannot be drawn, and of what text it is', async () => {
    const opened = await webview.open({ width: 500, height: 600 });
    const { page, wrong } = opened;
    const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
    const missing = [{ of: 'camB', because: 'camB does not say its base' }];
    await send(opened, {
      ...state,
      mechanisms: [...state.mechanisms, { name: 'Other', title: 'Other' }],
      scene: { ...scene, missing, parts: [...scene.parts, { ...part('camA'), name: 'face plate', kind: 'plate' }] },
      stale: { reason: 'expected a name', range },
    });
    await page.getByText('The text as it stands cannot be read: expected a name').waitFor();
    await page.getByRole('region', { name: 'Not shown' }).getByText('camB does not say its base').waitFor();
    await page.getByText('Bought, so not drawn:').waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(500);
    await button(page, 'face plate').waitFor();
    await page.getByRole('checkbox', { name: 'Frame' }).uncheck();
    await button(page, 'face plate').waitFor({ state: 'detached' });
    await page.getByRole('combobox', { name: 'Mechanism' }).selectOption('Other');
    expect(await last(opened)).toEqual({ type: 'choose', mechanism: 'Other' });
    expect(wrong).toEqual([]);
    await page.close();
  });

  it.runIf(pictures).each(Object.keys(colours) as Theme[])('looks as it should in the theme %s', async (theme) => {
    for (const width of [1100, 500]) {
      const opened = await webview.open({ theme, width, height: 760 });
      const { page } = opened;
      await send(opened, state);
      await opened.send({ type: 'shapes', shapes });
      await opened.send({ type: 'cursor', mechanism: 'BerthSign', part: 'camA' });
      await page.waitForTimeout(900);
      await page.screenshot({ path: join(pictures!, `preview-${theme}-${width}.png`) });
      await page.getByRole('slider', { name: 'Apart' }).fill('100');
      await page.keyboard.press('Tab');
      await page.waitForTimeout(900);
      await page.screenshot({ path: join(pictures!, `preview-${theme}-${width}-apart.png`) });
      await page.close();
    }
  });
});
