// A maker at work: the package is installed, the server runs beside it, a folder of designs is open.

import { clean, designFolder, lineOf, long, placeOf } from '../designs.mjs';
import { startEditor } from '../editor.mjs';
import { until, Window } from '../window.mjs';

/** Seven cams: as many rows. */
const rows = 7;

function hold(that, what) {
  if (!that) throw new Error(what);
}

export async function desktop({ browser, vsix, report, pictures }) {
  const editor = await startEditor({ vsix });
  const context = await browser.newContext({ viewport: { width: 1500, height: 950 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  const check = (name, run) => report.check(name, page, run);
  const folder = designFolder(editor.place);
  const row = (name) =>
    window.chart.locator('.lw-row', { has: window.chart.locator(`title:text-matches("^${name}:")`) });

  try {
    await window.open(folder, 'long.lobe');

    await check('the wrong number is underlined, and nothing else', async () => {
      await window.squiggleUnder('40 deg', 'warning');
    });

    await check('Problems tells it in words, with its code', async () => {
      const problems = await until('the entry', async () => {
        const found = await window.problems();
        return found.some((text) => text.includes('long-travel')) && found;
      });
      hold(
        problems.some((text) => /40/.test(text) && /lobewright/i.test(text) && text.includes('long-travel')),
        `no such entry among:\n${problems.join('\n')}`,
      );
      await window.closePanel();
    });

    await check('hover tells what was reckoned', async () => {
      await window.goTo(...placeOf('camB', long));
      await page.keyboard.press('Control+k');
      await page.keyboard.press('Control+i');
      await until('the figures', async () => /pressure angle/i.test((await window.hover().allInnerTexts()).join(' ')));
      await page.keyboard.press('Escape');
    });

    await check('the title button opens the chart beside the text', async () => {
      await page.locator('.editor-actions a[aria-label*="Open Phase Chart"]').first().click();
      await until('seven rows', async () => (await window.chart.locator('.lw-row').count()) === rows, 20_000);
      hold((await page.locator('.editor-group-container').count()) === 2, 'the chart is not in a group of its own');
      await page.screenshot({ path: `${pictures}/desktop.png` });
    });

    await check('the quick fix mends it', async () => {
      await window.goTo(...placeOf('40 deg', long));
      await page.keyboard.press('Control+.');
      const offered = page.locator('.action-widget .monaco-list-row.action');
      await offered.first().waitFor({ timeout: 5000 });
      await page.keyboard.press('Enter');
      await window.noSquiggle('warning');
      await window.noSquiggle('error');
    });
  } finally {
    await context.close();
    editor.stop();
  }
}
