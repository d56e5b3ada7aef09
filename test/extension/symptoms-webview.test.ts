/** The webview of symptoms as the editor loads it, in a real browser. */
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pageOf } from '../../server/outputs/symptoms/page-data.ts';
import type { SymptomsState } from '../../server/protocol.ts';
import { executablePath } from '../server/outputs/browser.ts';
import { reckonedExample } from '../server/outputs/chart/designs.ts';
import { colours, type Opened, pictures, startWebview, type Theme, type Webview } from './webview.ts';

describe.skipIf(!executablePath)('the webview of symptoms', { timeout: 120_000 }, () => {
  let webview: Webview;
  const state: SymptomsState = { uri: 'file:///sign.lobe', version: 1, pages: [pageOf(reckonedExample('berth-sign'))] };
  const send = ({ send }: Opened, now: SymptomsState | null) => send({ type: 'state', state: now, file: 'sign.lobe' });

  beforeAll(async () => {
    webview = await startWebview('extension/symptoms/webview.tsx', 'Symptoms');
  }, 120_000);
  afterAll(() => webview?.close());

  it('says that it is ready, draws what it is sent, and keeps what is told', async () => {
    const opened = await webview.open();
    const { page, wrong } = opened;
    expect(await opened.said()).toEqual([{ type: 'ready' }]);
    await send(opened, state);
    await page.getByRole('button', { name: 'It is as it should be' }).click();
    expect(await opened.kept()).toEqual({
      uri: state.uri,
      told: { BerthSign: { looks: { 0: 'right' }, homeKnown: true } },
    });
    // Sent anew, what was told stays.
    await send(opened, { ...state, version: 2 });
    expect(await page.getByRole('button', { name: /^0, looked at: right/ }).count()).toBe(1);
    expect(wrong).toEqual([]);
    await page.close();
    const again = await webview.open({
      kept: { uri: state.uri, told: { BerthSign: { looks: { 4: 'wrong' }, homeKnown: true } } },
    });
    await send(again, state);
    expect(await again.page.getByRole('button', { name: /^4, looked at: wrong/ }).count()).toBe(1);
    await send(again, { ...state, uri: 'file:///other.lobe' });
    await expect.poll(() => again.page.getByRole('button', { name: /^4, looked at: wrong/ }).count()).toBe(0);
    expect(again.wrong).toEqual([]);
    await again.page.close();
  });

  it('says when it is of the last good text, and when there is nothing', async () => {
    const opened = await webview.open();
    await send(opened, null);
    await opened.page.getByText('No mechanism here yet.').waitFor();
    const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
    await send(opened, { ...state, stale: { reason: 'expected a name', range } });
    await opened.page.getByText('The text as it stands cannot be read: expected a name').waitFor();
    await opened.page.close();
  });

  it.each(Object.keys(colours) as Theme[])('fits its panel in the theme %s', async (theme) => {
    const opened = await webview.open({ theme, width: 520 });
    const { page, wrong } = opened;
    await send(opened, state);
    await page.getByRole('checkbox', { name: 'bar a: shown' }).click();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(520);
    if (pictures) await page.screenshot({ path: join(pictures, `symptoms-${theme}.png`), fullPage: true });
    expect(wrong).toEqual([]);
    await page.close();
  });
});
