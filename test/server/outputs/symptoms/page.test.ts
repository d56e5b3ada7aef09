/** The page on which one clicks what one sees, in a real browser: clicks, keys, what is announced, widths and colours. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { symptomsHtml } from '../../../../server/outputs/symptoms/files.tsx';
import { pageOf } from '../../../../server/outputs/symptoms/page-data.ts';
import { executablePath, scriptOf } from '../browser.ts';
import { example, reckonedAll, reckonedExample } from '../chart/designs.ts';

/** Without a browser these are skipped; the gate installs one. */
describe.skipIf(!executablePath)('the page of symptoms', { timeout: 120_000 }, () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), 'lobewright-symptoms-'));

  beforeAll(async () => {
    const script = await scriptOf('server/outputs/symptoms/main.tsx');
    const put = (name: string, pages: Parameters<typeof symptomsHtml>[0]) =>
      writeFileSync(join(folder, `${name}.html`), symptomsHtml(pages, { script }));
    put('sign', [pageOf(reckonedExample('berth-sign'))]);
    put('two', [pageOf(reckonedExample('berth-sign')), pageOf(reckonedExample('score-tally'))]);
    // Bars that the design does not place, and names that are markup.
    const bare = example('berth-sign')
      .replace(/ {3}bar [^}]*/g, ' ')
      .replace('title "Berth sign"', 'title "<img src=x onerror=fail()>"');
    put('bare', [pageOf(reckonedAll(bare)[0]!)]);
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function open(name: string, more: Parameters<Browser['newPage']>[0] = {}) {
    const page = await browser.newPage({ viewport: { width: 1100, height: 900 }, ...more });
    const wrong: string[] = [];
    page.on('pageerror', (error) => wrong.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') wrong.push(message.text());
    });
    page.on('request', (request) => {
      if (!request.url().startsWith('file:')) wrong.push(request.url());
    });
    await page.goto(pathToFileURL(join(folder, `${name}.html`)).href);
    return { page, wrong };
  }
  const position = (page: Page, name: string) =>
    page.getByRole('list', { name: 'Rest positions' }).getByRole('button', { name: new RegExp(`^${name},`) });
  const bar = (page: Page, name: string) => page.getByRole('checkbox', { name: new RegExp(`^bar ${name}:`) });
  const causes = (page: Page) => page.locator('.lw-causes > li');
  const verdict = (page: Page) => page.locator('.lw-verdict [role=status]');

  it('narrows down what it can be as bars are clicked', async () => {
    const { page, wrong } = await open('sign');
    expect(await verdict(page).textContent()).toMatch(/^Nothing is told yet: \d+ looks are possible\.$/);
    await page.getByRole('button', { name: 'It is as it should be' }).click();
    await position(page, '8').click();
    await bar(page, 'e').click();
    expect(await bar(page, 'e').getAttribute('aria-checked')).toBe('false');
    expect(await page.locator('figcaption span').first().textContent()).toBe('9');
    await position(page, '4').click();
    await page.getByRole('button', { name: 'It is wrong, I cannot say how' }).click();
    await expect.poll(() => verdict(page).textContent()).toBe('One look fits all 3 things seen.');
    expect(await causes(page).first().textContent()).toContain(
      'camE is upside down (its flange then lies in front of it)',
    );
    expect(await position(page, '8').getAttribute('aria-label')).toBe('8, looked at: wrong');
    await page.getByRole('button', { name: 'Start again' }).click();
    await expect.poll(() => causes(page).count()).toBe(0);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('is worked by keys alone, and says what each bar is', async () => {
    const { page, wrong } = await open('sign');
    const next = page.getByRole('button', { name: /^Look first at/ });
    await next.focus();
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toMatch(/^At 7: click what you see$/);
    // From the heading the first bar is one Tab away.
    await page.keyboard.press('Tab');
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label'));
    expect(await focused()).toBe('bar a: shown');
    await page.keyboard.press(' ');
    expect(await focused()).toBe('bar a: hidden');
    await page.keyboard.press('Enter');
    expect(await focused()).toBe('bar a: half-way');
    expect(await bar(page, 'a').getAttribute('aria-checked')).toBe('mixed');
    await page.keyboard.press(' ');
    expect(await focused()).toBe('bar a: shown');
    expect(await position(page, '7').getAttribute('aria-label')).toBe('7, looked at: right');
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('asks where to look next until one look is left', async () => {
    const { page } = await open('sign');
    // As camG upside down shows it (tested against turned profiles elsewhere).
    const { table } = pageOf(reckonedExample('berth-sign'));
    if ('because' in table) throw new Error(table.because);
    const { faces } = table.groups.find(({ faults }) => faults.some(({ what }) => what === 'camG is upside down'))!;
    for (let looks = 0; ; looks++) {
      const ask = page.getByRole('button', { name: /^Look (first|next) at/ });
      if ((await ask.count()) === 0) break;
      expect(looks).toBeLessThan(5);
      const symbol = / at (.+)$/.exec((await ask.textContent())!)![1]!;
      await ask.click();
      const at = table.symbols.indexOf(symbol);
      const wrong = table.segments.filter((_, i) => faces[at]![i] !== table.right[at]![i]);
      if (wrong.length === 0) await page.getByRole('button', { name: 'It is as it should be' }).click();
      for (const name of wrong) await bar(page, name).click();
    }
    expect(await causes(page).count()).toBe(1);
    expect(await causes(page).first().textContent()).toContain('camG is upside down');
    await page.close();
  });

  it('counts from anywhere where home is not known', async () => {
    const { page } = await open('sign');
    await bar(page, 'a').click();
    for (const name of ['d', 'e', 'f']) await bar(page, name).click();
    await page.getByLabel('I do not know where home is').check();
    await expect.poll(() => causes(page).first().textContent()).toContain('nothing is wrong');
    await page.close();
  });

  it('has a button for every bar that the design does not place, and takes no name for markup', async () => {
    const { page, wrong } = await open('bare');
    expect(await page.locator('svg.lw-clicked-face').count()).toBe(0);
    await page.getByRole('checkbox', { name: 'bar g: hidden' }).click();
    expect(await page.getByRole('checkbox', { name: 'bar g: shown' }).count()).toBe(1);
    expect(await page.getByText('<img src=x onerror=fail()>').first().isVisible()).toBe(true);
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('chooses between the mechanisms of a file, and keeps what was told apart', async () => {
    const { page } = await open('two');
    await page.getByRole('button', { name: 'It is as it should be' }).click();
    await page.getByRole('combobox').selectOption('ScoreTally');
    await expect.poll(() => page.locator('header p').first().textContent()).toBe('Foul tally');
    expect(await verdict(page).textContent()).toContain('Nothing is told yet');
    expect(await position(page, '3 \\(#9\\)').count()).toBe(1);
    await page.getByRole('combobox').selectOption('BerthSign');
    await expect.poll(() => verdict(page).textContent()).toMatch(/fit the one thing seen/);
    await page.close();
  });

  it('shows the whole table, also where scripts do not run', async () => {
    const { page } = await open('sign');
    await page.getByText('The whole table').click();
    const rows = page.getByRole('table').getByRole('row');
    const count = await rows.count();
    expect(count).toBeGreaterThan(40);
    await page.close();
    const still = await open('sign', { javaScriptEnabled: false });
    expect(await still.page.getByRole('table').getByRole('row').count()).toBe(count);
    await still.page.close();
  });

  it.each([
    ['light', { colorScheme: 'light' }],
    ['dark', { colorScheme: 'dark' }],
    ['contrast', { contrast: 'more' }],
  ] as const)('fits 500 px and can be read, %s', async (_, theme) => {
    const { page } = await open('sign', { viewport: { width: 500, height: 900 }, ...theme });
    await bar(page, 'a').click();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(500);
    // Contrast of every text against the page's ground (WCAG 2.2, 1.4.3: 4.5 : 1), and its size.
    const faults = await page.evaluate(() => {
      const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true })!;
      const luminance = (colour: string) => {
        canvas.fillStyle = colour;
        canvas.fillRect(0, 0, 1, 1);
        const [r, g, b] = [...canvas.getImageData(0, 0, 1, 1).data]
          .slice(0, 3)
          .map((v) => (v <= 10 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
        return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
      };
      const ground = luminance(getComputedStyle(document.body).backgroundColor);
      return [...document.querySelectorAll('.lw-symptoms *')].flatMap((node) => {
        const own = [...node.childNodes].some((child) => child.nodeType === 3 && child.textContent?.trim());
        if (!own || node.getClientRects().length === 0) return [];
        const style = getComputedStyle(node);
        const [light, dark] = [luminance(node instanceof SVGElement ? style.fill : style.color), ground].sort(
          (a, b) => b - a,
        );
        const contrast = (light! + 0.05) / (dark! + 0.05);
        const small = Number.parseFloat(style.fontSize) < 11;
        return contrast < 4.5 || small ? [`${node.textContent} ${contrast} ${style.fontSize}`] : [];
      });
    });
    expect(faults).toEqual([]);
    await page.close();
  });
});
