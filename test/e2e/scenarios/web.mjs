// The same package without anything beside the browser: the extension and its server run in web workers.
import { execFileSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { designFolder, long, placeOf } from '../designs.mjs';
import { editorCommit, startEditor, unpackInto, vscodeFolder } from '../editor.mjs';
import { hold, until, Window } from '../window.mjs';

export async function web({ browser, vsix, report, pictures }) {
  // Static files of the editor's own folder are the one thing that its server hands to the browser as they are.
  const served = join(vscodeFolder, 'lobewright-web');
  rmSync(served, { recursive: true, force: true });
  unpackInto(served, vsix);
  const editor = await startEditor();
  const context = await browser.newContext({ viewport: { width: 1900, height: 1000 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  const check = (name, run) => report.check(name, page, run);
  try {
    await window.open(designFolder(editor.place), 'long.lobe');
    await check('the web extension installs', async () => {
      await window.command('Developer: Install Extension from Location');
      const input = page.locator('.quick-input-widget input[type="text"]');
      await until('the question for the location', () => input.isVisible());
      await input.fill(`${editor.origin}/stable-${editorCommit()}/static/lobewright-web`);
      await page.keyboard.press('Enter');
      await until(
        'the language',
        async () => (await page.locator('.statusbar-item', { hasText: 'Lobe' }).count()) > 0,
        20_000,
      );
    });
    await check('a browser worker checks the design', () => window.squiggleUnder('40 deg', 'warning'));
    await check('a browser worker answers for hover', async () => {
      await window.goTo(...placeOf('camB', long));
      await window.showHover(/pressure angle/i);
    });
    await check('a browser worker charts the design', async () => {
      await window.command('Lobewright: Open Phase Chart Beside');
      await window.chartHas(7);
      await page.screenshot({ path: `${pictures}/web.png` });
    });
    await check('the chart of the browser worker follows typing', async () => {
      await window.goTo(...placeOf('40 deg', long));
      await page.keyboard.press('Delete');
      await page.keyboard.press('Delete');
      await page.keyboard.type('26');
      await window.chart.locator('.lw-findings', { hasText: 'Nothing found wrong' }).waitFor({ timeout: 10_000 });
      await window.noSquiggle('warning');
    });
    await check('the page of a finding opens in the browser', async () => {
      await window.command('Lobewright: Explain a Finding');
      await window.choose('steep-cam');
      await page.locator('.tab', { hasText: 'Preview steep-cam.md' }).waitFor();
      await page
        .frameLocator('iframe.webview.ready')
        .last()
        .frameLocator('iframe#active-frame')
        .locator('code', { hasText: 'steep-cam' })
        .first()
        .waitFor();
    });
    await check('nothing of the extension runs outside the browser', async () => {
      const running = execFileSync('ps', ['-eo', 'args'], { encoding: 'utf8' }).split('\n');
      hold(!running.some((line) => line.includes(served) && line.includes('server.cjs')), 'a Node server runs');
    });
  } finally {
    await context.close();
    editor.stop();
    rmSync(served, { recursive: true, force: true });
  }
}
