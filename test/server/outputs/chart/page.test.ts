/** The page that plays, in a real browser: keys, clicks, motion, and what is drawn anew. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chartHtml } from '../../../../server/outputs/chart/files.tsx';
import { ghostOf } from '../../../../server/outputs/compare/ghost.ts';
import { executablePath, scriptOf } from '../browser.ts';
import { berthSign, reckonedExample } from './designs.ts';

/** Without a browser these are skipped; the gate installs one. */
describe.skipIf(!executablePath)('the page that plays', { timeout: 60_000 }, () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), 'lobewright-page-'));

  beforeAll(async () => {
    const script = await scriptOf('server/outputs/chart/page.tsx');
    for (const name of ['berth-sign', 'wrong-on-purpose']) {
      writeFileSync(join(folder, `${name}.html`), chartHtml([reckonedExample(name)], { script }));
    }
    writeFileSync(
      join(folder, 'two.html'),
      chartHtml([reckonedExample('berth-sign'), reckonedExample('pier-flag')], { script }),
    );
    const higher = berthSign(['segment e {', 'segment e { stroke 4 mm  ']);
    const ghosts = [ghostOf(reckonedExample('berth-sign'), higher, 'v1')];
    writeFileSync(join(folder, 'against.html'), chartHtml([higher], { script, ghosts }));
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function open(
    name: string,
    { width = 1400, still = true }: { width?: number; still?: boolean } = {},
  ): Promise<{ page: Page; wrong: string[] }> {
    const page = await browser.newPage({
      viewport: { width, height: 900 },
      reducedMotion: still ? 'reduce' : 'no-preference',
    });
    const wrong: string[] = [];
    page.on('pageerror', (error) => wrong.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') wrong.push(message.text());
    });
    page.on('request', (request) => {
      if (!request.url().startsWith('file:')) wrong.push(request.url());
    });
    await page.goto(pathToFileURL(join(folder, `${name}.html`)).href);
    await page.locator('.lw-chart').waitFor();
    return { page, wrong };
  }

  const pointer = (page: Page) => page.getByRole('slider', { name: 'Turn pointer' });
  const stands = (page: Page) => pointer(page).getAttribute('aria-valuetext');

  it('turns by keys and tells where it stands', async () => {
    const { page, wrong } = await open('berth-sign');
    await pointer(page).focus();
    expect(await stands(page)).toBe('at 0: shows a, b, f, d, c and e; push 1.5 N; play camD ±2.3°');
    await page.keyboard.press(' ');
    await expect.poll(() => stands(page)).toContain('at 1: shows b and c; push ');
    await page.keyboard.press('Shift+ArrowRight');
    await expect.poll(() => stands(page)).toContain('at 2:');
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => stands(page)).toContain('between 2 and 3');
    await page.keyboard.press('Shift+ ');
    await expect.poll(() => stands(page)).toContain('at 2:');
    await page.keyboard.press('End');
    await expect.poll(() => pointer(page).getAttribute('aria-valuenow')).toBe('12');
    await page.keyboard.press('Home');
    await expect.poll(() => pointer(page).getAttribute('aria-valuenow')).toBe('0');
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('is held against an older version, or not', async () => {
    const { page, wrong } = await open('against');
    const toggle = page.getByRole('checkbox', { name: 'Against v1' });
    await expect.poll(() => page.locator('.lw-phase .lw-ghost').count()).toBe(2);
    expect(await page.getByText('stroke 3.5 → 4 mm').count()).toBeGreaterThan(0);
    await toggle.focus();
    await page.keyboard.press(' ');
    await expect.poll(() => page.locator('.lw-phase .lw-ghost').count()).toBe(0);
    expect(await page.getByText('stroke 3.5 → 4 mm').count()).toBe(0);
    await page.keyboard.press(' ');
    await expect.poll(() => page.locator('.lw-phase .lw-ghost').count()).toBe(2);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('does not draw the curves anew as the pointer moves', async () => {
    const { page } = await open('berth-sign');
    await pointer(page).focus();
    const changes = await page.evaluate(async () => {
      const chart = document.querySelector('.lw-phase > svg')!;
      let seen = 0;
      const observer = new MutationObserver((records) => {
        seen += records.length;
      });
      observer.observe(chart, { subtree: true, childList: true, attributes: true, characterData: true });
      const handle = document.querySelector('[role=slider]')!;
      for (let i = 0; i < 30; i++) {
        handle.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }));
        await new Promise(requestAnimationFrame);
      }
      observer.disconnect();
      return seen;
    });
    expect(changes).toBe(0);
    expect(await pointer(page).getAttribute('aria-valuenow')).toBe('3');
    await page.close();
  });

  it('is dragged along the turn', async () => {
    const { page } = await open('berth-sign');
    const box = (await page.locator('.lw-scrub').boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + 40);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width - 2, box.y + 40, { steps: 4 });
    await page.mouse.up();
    await expect.poll(() => pointer(page).getAttribute('aria-valuenow')).toBe('12');
    await page.close();
  });

  it('plays, and jumps from rest to rest where motion is unwelcome', async () => {
    const { page } = await open('berth-sign');
    await page.getByRole('button', { name: 'Play' }).click();
    await expect.poll(() => stands(page), { timeout: 8000 }).toContain('at 2:');
    await page.getByRole('button', { name: 'Pause' }).click();
    await page.close();
    const moving = await open('berth-sign', { still: false });
    await moving.page.getByRole('button', { name: 'Step forward' }).click();
    await expect.poll(() => stands(moving.page)).toContain('at 1:');
    await moving.page.close();
  });

  it('shows a finding where it is, and chooses its row', async () => {
    const { page } = await open('wrong-on-purpose');
    await page
      .locator('.lw-findings')
      .getByRole('button', { name: /overlapping-lobes/ })
      .click();
    await expect.poll(() => stands(page)).toContain('at 7:');
    await expect.poll(() => page.locator('.lw-row.lw-chosen').getAttribute('aria-label')).toMatch(/^camG drives g/);
    await page.close();
  });

  it('chooses a row by keyboard', async () => {
    const { page } = await open('berth-sign');
    await page.locator('.lw-row').nth(4).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.getByText('Stack · ').textContent()).toContain('Stack · camD');
    await page.close();
  });

  it('shows one row and no more than its width where it is narrow', async () => {
    const { page, wrong } = await open('wrong-on-purpose', { width: 500 });
    expect(await page.locator('.lw-row').count()).toBe(1);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(500);
    await page.getByRole('combobox', { name: 'Cam' }).selectOption('camC');
    await expect.poll(() => page.locator('.lw-row').getAttribute('aria-label')).toMatch(/^camC/);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('chooses between the mechanisms of a file', async () => {
    const { page } = await open('two');
    await page.getByRole('combobox', { name: 'Mechanism' }).selectOption('PierFlag');
    await expect.poll(() => page.locator('h1').textContent()).toBe('Pier flag');
    await page.close();
  });

  it('tries another number than the text’s, and goes back', async () => {
    const { page, wrong } = await open('berth-sign');
    const said = page.locator('.lw-trying [role=status]');
    const mark = page.locator('.lw-phase .lw-tried');
    const drawn = () => page.locator('.lw-phase > svg').first().innerHTML();
    const before = await drawn();
    await page.getByLabel('Number to try').selectOption('button.arm');
    await page.getByLabel('button.arm in mm').fill('2 mm');
    await expect.poll(() => said.textContent()).toMatch(/^Takes more than 20 N going to /);
    expect(await mark.textContent()).toBe('what if: button.arm 2 mm (text: 14 mm)');
    expect(await drawn()).not.toBe(before);
    await page.getByLabel('button.arm in mm').fill('-2');
    await expect.poll(() => said.textContent()).toBe('arm cannot be less than 0.');
    expect(await mark.count()).toBe(0);
    await page.getByLabel('button.arm in mm').fill('3');
    await expect.poll(() => mark.count()).toBe(1);
    await page.keyboard.press('Escape');
    await expect.poll(() => mark.count()).toBe(0);
    expect(await page.getByLabel('button.arm in mm').inputValue()).toBe('14');
    expect(await drawn()).toBe(before);
    await page.getByLabel('Number to try').selectOption('assembled');
    await page.getByRole('combobox', { name: 'assembled' }).selectOption('dry');
    await expect.poll(() => mark.textContent()).toBe('what if: assembled dry (text: greased)');
    await page.getByRole('button', { name: 'Reset' }).click();
    await expect.poll(() => mark.count()).toBe(0);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('has the figures as tables', async () => {
    const { page } = await open('berth-sign');
    await page.getByText('The figures as tables').click();
    const cams = page.getByRole('table', { name: 'Cams' });
    expect(await cams.getByRole('row').count()).toBe(8);
    expect(await cams.getByRole('row').nth(1).textContent()).toContain('0 2 3 5 6 7 8 9 C');
    await page.close();
  });

  it('has no text under 11 px at any width', async () => {
    for (const width of [500, 800, 1400]) {
      const { page } = await open('wrong-on-purpose', { width });
      const least = await page.evaluate(() =>
        Math.min(
          ...[...document.querySelectorAll('.lw-chart *')]
            .filter((node) => [...node.childNodes].some((child) => child.nodeType === 3 && child.textContent?.trim()))
            .map((node) => Number.parseFloat(getComputedStyle(node).fontSize)),
        ),
      );
      expect(least).toBeGreaterThanOrEqual(11);
      await page.close();
    }
  });
});
