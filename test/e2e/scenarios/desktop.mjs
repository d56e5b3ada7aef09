// A maker at work: the package is installed, the server runs beside it, a folder of designs is open.
import { execFileSync } from 'node:child_process';
import { clean, designFolder, lineOf, long, placeOf } from '../designs.mjs';
import { startEditor } from '../editor.mjs';
import { hold, until, Window } from '../window.mjs';

/** Seven cams: as many rows. */
const rows = 7;

export async function desktop({ browser, vsix, report, pictures }) {
  const editor = await startEditor({ vsix });
  const context = await browser.newContext({ viewport: { width: 1500, height: 950 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  const check = (name, run) => report.check(name, page, run);
  const folder = designFolder(editor.place);

  try {
    await window.open(folder, 'long.lobe');

    await check('the wrong number is underlined', async () => {
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
      await window.showHover(/pressure angle/i);
    });

    await check('the title button opens the chart beside the text', async () => {
      await page.locator('.editor-actions a[aria-label*="Open Phase Chart"]').first().click();
      await window.chartHas(rows);
      hold((await page.locator('.editor-group-container').count()) === 2, 'the chart is not in a group of its own');
      await page.screenshot({ path: `${pictures}/desktop.png` });
    });

    await check('the chart names the finding', async () => {
      await window.chart.locator('.lw-findings', { hasText: 'long-travel' }).waitFor({ timeout: 5000 });
    });

    await check('the quick fix mends it', async () => {
      await window.goTo(...placeOf('40 deg', long));
      await window.quickFix(/travel/i);
      await window.noSquiggle('warning');
      await window.noSquiggle('error');
      hold(!(await window.lineWith('cam camG')).text.includes('40 deg'), 'the number is still there');
      await until(
        'the chart',
        async () => !(await window.chart.locator('.lw-findings').textContent()).includes('long-travel'),
      );
    });

    await check('the chart follows the active design', async () => {
      await window.openFile('clean.lobe');
      await window.chart.locator('.lw-findings', { hasText: 'Nothing found wrong' }).waitFor({ timeout: 5000 });
      await until('the tab', async () => (await page.locator('.tab', { hasText: 'Chart: clean.lobe' }).count()) === 1);
    });

    await check('the chart follows typing', async () => {
      const [line, column] = placeOf('count 0 1 2', clean);
      await window.goTo(line, column + 'count '.length);
      await page.keyboard.type('8 ');
      await until('the thirteenth rest', async () => {
        const heads = await window.chart.locator('.lw-head .lw-symbol').allTextContents();
        return heads.length === 14 && heads[0] === '8';
      });
      await page.keyboard.press('Control+z');
      await until('the twelve rests', async () => (await window.chart.locator('.lw-head .lw-symbol').count()) === 13);
    });

    await check('a click on a lobe selects its text, and the text has the focus', async () => {
      await window.goTo(1);
      await window.row('camB').locator('.lw-lobe').first().click();
      const line = lineOf('cam camB');
      await until('the cursor on its line', async () => (await window.activeLine()) === line);
      const box = await window.boxOf('cam camB on upper level 2 drives b');
      await until('the selection', async () =>
        (await window.selectedBoxes()).some(
          (mark) => Math.abs(mark.left - box.left) < 3 && mark.top < box.bottom && mark.bottom > box.top,
        ),
      );
      await until('the focus in the text', () => window.textHasFocus());
      await page.waitForTimeout(400);
      hold(await window.textHasFocus(), 'the focus did not stay in the text');
      await page.keyboard.press('ArrowRight');
      await page.keyboard.type(' ');
      await until('what is typed', async () => (await window.lineWith('drives b')).text.endsWith('drives b '));
      await page.keyboard.press('Control+z');
    });

    await check('a click on a finding goes to its place', async () => {
      await window.openFile('long.lobe');
      await window.revert();
      await window.squiggleUnder('40 deg', 'warning');
      await window.goTo(1);
      await window.chart.locator('.lw-findings button', { hasText: 'long-travel' }).click();
      await until('its line', async () => (await window.activeLine()) === lineOf('{ travel 40 deg }', long));
      await window.openFile('clean.lobe');
    });

    await check('the cursor lights its cam in the chart', async () => {
      await window.goTo(...placeOf('camD'));
      await until('camD lit', async () => (await window.litRows()).join() === 'camD');
      await window.goTo(...placeOf('camA'));
      await until('camA lit', async () => (await window.litRows()).join() === 'camA');
    });

    await check('while the text is broken the last good chart stays, and says why', async () => {
      await window.goTo(lineOf('cam camB'), 1);
      await page.keyboard.type('cam cam on {{ ');
      const banner = window.chart.locator('.lw-stale');
      await banner.waitFor({ timeout: 5000 });
      hold((await banner.textContent()).length > 60, 'it does not say why');
      hold((await window.chart.locator('.lw-row').count()) === rows, 'the last good chart is gone');
      await page.screenshot({ path: `${pictures}/broken.png` });
      await window.revert();
      await banner.waitFor({ state: 'detached', timeout: 5000 });
      await window.noSquiggle();
    });

    await check('go to definition finds a segment, and a table in the library', async () => {
      await window.goTo(...placeOf('drives b').map((n, i) => (i ? n + 'drives '.length : n)));
      await page.keyboard.press('F12');
      await until('the segment', async () => (await window.activeLine()) === lineOf('segment b'));
      await window.goTo(...placeOf('like decimal').map((n, i) => (i ? n + 'like '.length : n)));
      await page.keyboard.press('F12');
      await until('the library', async () => /decimal|glyph/i.test(await window.activeTab()));
      await window.lineWith('glyphs decimal');
      await window.noSquiggle();
      await page.keyboard.press('Control+F4');
      await window.openFile('clean.lobe');
    });

    await check('rename changes a name wherever it stands', async () => {
      await window.goTo(...placeOf('segment b').map((n, i) => (i ? n + 'segment '.length : n)));
      await page.keyboard.press('F2');
      const input = page.locator('.rename-box input');
      await input.waitFor({ timeout: 5000 });
      await input.fill('rightTop');
      await page.keyboard.press('Enter');
      await window.lineWith('drives rightTop');
      await window.revert();
    });

    await check('completion offers the laws of motion', async () => {
      const [line, column] = placeOf('law simple harmonic');
      await window.goTo(line, column + 'law '.length);
      await page.keyboard.press('Control+Space');
      await page
        .locator('.suggest-widget .monaco-list-row', { hasText: 'cycloidal' })
        .first()
        .waitFor({ timeout: 5000 });
      await page.keyboard.press('Escape');
    });

    await check('format document lays it out, once', async () => {
      await window.openFile('untidy.lobe');
      await window.command('Format Document');
      await window.lineWith('  cam camB on upper level 2 drives b');
      await window.lineWith('  assembled greased');
      hold(!(await window.lines()).some(({ text }) => text.includes('cam   camB')), 'not laid out');
      await window.revert();
      await window.openFile('clean.lobe');
    });

    await check('what was reckoned stands as a table', async () => {
      await window.command('Lobewright: Show What Was Reckoned');
      await until('the table', async () =>
        (await page.locator('.editor-instance .view-lines').allInnerTexts()).some(
          (text) => /BerthSign/.test(text) && /30\sdeg/.test(text),
        ),
      );
      await page.screenshot({ path: `${pictures}/figures.png` });
    });

    await check('a template opens as a new design', async () => {
      await window.openFile('clean.lobe');
      await window.command('Lobewright: New Design from Template');
      await page.locator('.quick-input-list .monaco-list-row', { hasText: 'Pier flag' }).first().click();
      await window.lineWith('mechanism PierFlag');
      await window.chartHas(1);
      await window.noSquiggle();
      await window.revert();
      await window.openFile('clean.lobe');
      await window.chartHas(rows);
    });

    await check('the task checks the design with the command line', async () => {
      await window.openFile('long.lobe');
      await window.command('Tasks: Run Task');
      await page.locator('.quick-input-list .monaco-list-row', { hasText: 'lobewright' }).first().click();
      await page.locator('.quick-input-list .monaco-list-row', { hasText: 'check long.lobe' }).first().click();
      await until(
        'its output',
        async () => {
          const problems = await window.problems();
          return problems.filter((text) => text.includes('long-travel')).length > 1;
        },
        15_000,
      );
      await window.closePanel();
    });

    await check('a server that dies comes back by itself', async () => {
      const family = execFileSync('ps', ['-eo', 'pid,args'], { encoding: 'utf8' }).split('\n');
      const server = family.find((line) => line.includes(`${editor.extensions}/`) && line.includes('out/server.cjs'));
      hold(server, 'no server runs');
      process.kill(Number.parseInt(server, 10), 'SIGKILL');
      await page.waitForTimeout(500);
      await window.openFile('clean.lobe');
      const [line, column] = placeOf('base 22 mm');
      await window.goTo(line, column + 'base '.length);
      await page.keyboard.type('-');
      await until('an error', async () => (await window.squiggles()).length > 0, 15_000);
      await window.revert();
      await window.noSquiggle();
    });

    await check('the chart is there again after the window was reloaded', async () => {
      await page.reload();
      await window.chartHas(rows, 30_000);
    });
  } finally {
    await context.close();
    editor.stop();
  }
}
