// A maker at work: the package is installed, the server runs beside it, a folder of designs is open.
import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { clean, designFolder, lineOf, long, placeOf } from '../designs.mjs';
import { startEditor } from '../editor.mjs';
import { hold, until, Window } from '../window.mjs';

/** Seven cams: as many rows. */
const rows = 7;

/** Place of what follows these words in the clean design. */
function inside(before, words) {
  const [line, column] = placeOf(before + words, clean);
  return [line, column + before.length];
}

export async function desktop({ browser, vsix, report, pictures }) {
  const editor = await startEditor({ vsix });
  const context = await browser.newContext({ viewport: { width: 1900, height: 1000 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  const check = (name, run) => report.check(name, page, run);
  const folder = designFolder(editor.place);
  const symbols = () => window.chart.locator('.lw-head .lw-symbol').allTextContents();
  const findings = (words) => window.chart.locator('.lw-findings', { hasText: words });

  try {
    await window.open(folder, 'long.lobe');

    await check('the wrong number is underlined', () => window.squiggleUnder('40 deg', 'warning'));

    await check('Problems tells it in words, with its code', async () => {
      await until('the entry', async () =>
        (await window.problems()).some(
          (text) => text.includes('long-travel') && text.includes('travel 40 deg') && text.includes('lobewright'),
        ),
      );
      await window.closePanel();
    });

    await check('the language status tells how it stands', async () => {
      await until('1 warning', async () => /\b1 warnings?/.test(await window.languageStatus()));
      await window.openFile('grave.lobe');
      await until('1 error, 1 warning', async () => /1 errors?, 1 warnings?/.test(await window.languageStatus()));
      await window.openFile('long.lobe');
    });

    await check('hover tells what was reckoned', async () => {
      await window.goTo(...placeOf('camB', long));
      await window.showHover(/pressure angle/i);
    });

    await check('the title button opens the chart beside the text', async () => {
      await page.locator('.editor-actions a[aria-label*="Open Phase Chart"]').first().click();
      await window.chartHas(rows);
      hold((await page.locator('.editor-group-container').count()) === 2, 'the chart is not in a group of its own');
      await findings('long-travel').waitFor();
      await page.screenshot({ path: `${pictures}/desktop.png` });
    });

    await check('a click on a finding goes to its place', async () => {
      await window.goTo(1);
      await window.chart.locator('.lw-findings button', { hasText: 'long-travel' }).click();
      await until('its line', async () => (await window.activeLine()) === lineOf('{ travel 40 deg }', long));
    });

    await check('the quick fix mends it', () =>
      window.editing(async () => {
        await window.goTo(...placeOf('40 deg', long));
        await window.quickFix(/travel/i);
        await window.noSquiggle('warning');
        await window.noSquiggle('error');
        hold(!(await window.lineWith('cam camB')).text.includes('40 deg'), 'the number is still there');
        await findings('Nothing found wrong').waitFor();
      }),
    );

    await check('the chart follows the active design', async () => {
      await window.openFile('clean.lobe');
      await findings('Nothing found wrong').waitFor();
      await page.locator('.tab', { hasText: 'Chart: clean.lobe' }).waitFor();
    });

    await check('the chart follows typing', async () => {
      await window.editing(async () => {
        await window.goTo(...inside('count ', '0 1 2'));
        await page.keyboard.type('8 ');
        await until('the thirteenth rest', async () => (await symbols()).slice(0, 3).join() === '8,0,1');
        hold((await symbols()).length === 14, 'not thirteen rests and home again');
      });
      await until('the twelve rests', async () => (await symbols()).slice(0, 3).join() === '0,1,2');
    });

    await check('a click on a lobe selects its text, and the text has the focus', () =>
      window.editing(async () => {
        await window.goTo(1);
        await window.row('camB').locator('.lw-lobe').first().click();
        await until('the cursor on its line', async () => (await window.activeLine()) === lineOf('cam camB'));
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
      }),
    );

    await check('the cursor lights its cam in the chart', async () => {
      for (const cam of ['camD', 'camA']) {
        await window.goTo(...placeOf(cam));
        await until(`${cam} lit`, async () => (await window.litRows()).join() === cam);
      }
    });

    await check('while the text is broken the last good chart stays, and says why', async () => {
      const banner = window.chart.locator('.lw-stale');
      await window.editing(async () => {
        await window.goTo(lineOf('cam camB'), 1);
        await page.keyboard.type(') ');
        await banner.waitFor();
        hold((await banner.textContent()).length > 70, 'it does not say why');
        hold((await window.chart.locator('.lw-row').count()) === rows, 'the last good chart is gone');
        await until('the status', async () => /last good/i.test(await window.languageStatus()));
        await page.screenshot({ path: `${pictures}/broken.png` });
      });
      await banner.waitFor({ state: 'detached' });
      await window.noSquiggle();
    });

    await check('go to definition finds a segment, and a table in the library', async () => {
      await window.goTo(...inside('drives ', 'b'));
      await page.keyboard.press('F12');
      await until('the segment', async () => (await window.activeLine()) === lineOf('segment b'));
      await window.goTo(...inside('like ', 'decimal'));
      await page.keyboard.press('F12');
      await until('the library', async () => (await window.activeTab()).includes('decimal'));
      await window.lineWith('glyphs decimal');
      await window.noSquiggle();
      await window.openFile('clean.lobe');
    });

    await check('rename changes a name wherever it stands', () =>
      window.editing(async () => {
        await window.goTo(...inside('shaft ', 'upper {'));
        await page.keyboard.press('F2');
        const input = page.locator('.rename-box input');
        await input.waitFor();
        await input.fill('front');
        await page.keyboard.press('Enter');
        await window.lineWith('cam camB on front level 2');
        await window.lineWith('ratchet stepper on front');
        await window.noSquiggle();
      }),
    );

    await check('completion offers the laws of motion', async () => {
      await window.goTo(...inside('law ', 'simple harmonic'));
      await page.keyboard.press('Control+Space');
      await page.locator('.suggest-widget .monaco-list-row', { hasText: 'cycloidal' }).first().waitFor();
      await page.keyboard.press('Escape');
    });

    await check('format document lays it out', async () => {
      await window.openFile('untidy.lobe');
      await window.editing(async () => {
        // The editor gives up formatting where its cursor is still being placed.
        await window.goTo(1);
        await window.command('Format Document');
        await window.lineWith('  cam camB on upper level 2 drives b');
        await window.lineWith('  assembled greased');
        hold(!(await window.lines()).some(({ text }) => text.includes('cam   camB')), 'not laid out');
      });
      await window.openFile('clean.lobe');
    });

    await check('what was reckoned stands as a table', async () => {
      await window.command('Lobewright: Show What Was Reckoned');
      const table = page.locator('.editor-group-container').nth(1).locator('.editor-instance .view-lines');
      await until('the table', async () => {
        const text = (await table.textContent()).replaceAll('\u00a0', ' ');
        return text.includes('BerthSign') && text.includes('30 deg');
      });
      await page.screenshot({ path: `${pictures}/figures.png` });
    });

    await check('a template opens as a new design', async () => {
      await window.command('Lobewright: Open Phase Chart Beside');
      await window.command('Lobewright: New Design from Template');
      await window.choose('Pier flag');
      await window.lineWith('mechanism PierFlag');
      await window.chartHas(1);
      await window.noSquiggle();
      await window.command('View: Revert and Close Editor');
      await window.openFile('clean.lobe');
      await window.chartHas(rows);
    });

    await check('a task that checks the design is offered', async () => {
      // Running it needs a terminal, which the editor's package here has no native part for.
      await window.openFile('long.lobe');
      await window.command('Tasks: Run Task');
      await window.choose('lobewright');
      await page.locator('.quick-input-list', { hasText: 'lobewright: check long.lobe' }).waitFor();
      await page.keyboard.press('Escape');
    });

    await check('the link behind a code opens the page of the finding', async () => {
      await window.openFile('long.lobe');
      await window.goTo(...placeOf('40 deg', long));
      await window.showHover(/long-travel/);
      await page.locator('.monaco-hover a.code-link', { hasText: 'long-travel' }).first().click();
      const preview = page.locator('.tab', { hasText: 'Preview long-travel.md' });
      await preview.waitFor();
      // Another webview beside the chart's would be in the way of the checks that follow.
      await preview.locator('.codicon-close').click();
      await preview.waitFor({ state: 'detached' });
    });

    await check('the parts stand in space: one is named, and a click goes to its text', async () => {
      await window.openFile('clean.lobe');
      await window.goTo(1);
      await window.command('Lobewright: Open Preview of the Parts');
      const cam = window.chart.locator('.lw-parts button', { hasText: 'camE' });
      await cam.hover();
      await window.chart.locator('.lw-tag', { hasText: 'camE' }).waitFor();
      await page.screenshot({ path: `${pictures}/preview.png` });
      await cam.click();
      await until('its line', async () => (await window.activeLine()) === lineOf('cam camE'));
      await window.chart.locator('.lw-parts button[aria-current]', { hasText: 'camE' }).waitFor();
      const preview = page.locator('.tab', { hasText: 'Parts: clean.lobe' });
      await preview.locator('.codicon-close').click();
      await preview.waitFor({ state: 'detached' });
    });

    await check(
      'parts are exported: formats and folder are asked, what is done is shown, files are there',
      async () => {
        const into = join(editor.place, 'made');
        mkdirSync(into);
        const quick = page.locator('.quick-input-widget');
        await window.command('Lobewright: Export Parts');
        const svg = quick.locator('.quick-input-list .monaco-list-row', { hasText: 'SVG' });
        await svg.locator('.monaco-checkbox, input[type="checkbox"]').first().click();
        await page.keyboard.press('Enter');
        await until('the question for the folder', async () => /Folder for the parts/.test(await quick.textContent()));
        // The question puts its own folder in, some time after it is asked.
        const folderInput = quick.locator('input[type="text"]');
        await until('the folder in its place', async () => {
          if ((await folderInput.inputValue()) === `${into}/`) return true;
          await folderInput.fill(`${into}/`);
          await page.waitForTimeout(500);
          return false;
        });
        await page.keyboard.press('Enter');
        await page.locator('.notifications-toasts', { hasText: 'Export Parts' }).waitFor();
        const done = page.locator('.notifications-toasts', { hasText: 'parts are in made' });
        await until('the end of it', () => done.isVisible(), 20_000);
        const files = readdirSync(into);
        for (const name of ['BerthSign-1.3mf', 'BerthSign-2.3mf', 'camA.svg', 'parts.md'])
          hold(files.includes(name), `${name} is not there: ${files}`);
        hold(!files.some((name) => name.endsWith('.stl')), 'a format that was not asked for');
        await page.screenshot({ path: `${pictures}/exported.png` });
      },
    );

    await check('what was put together wrongly is found by clicking what is seen', async () => {
      await window.command('Lobewright: What Did I Put Together Wrongly?');
      for (const symbol of ['4', '8']) {
        await window.chart.locator(`.lw-position[aria-label^="${symbol},"]`).click();
        await window.chart.getByRole('checkbox', { name: /^bar e:/ }).click();
      }
      await window.chart.getByText('camE is upside down').first().waitFor();
      await page.screenshot({ path: `${pictures}/symptoms.png` });
      const symptoms = page.locator('.tab', { hasText: 'Put together wrongly: clean.lobe' });
      await symptoms.locator('.codicon-close').click();
      await symptoms.waitFor({ state: 'detached' });
    });

    await check('a server that dies comes back by itself', async () => {
      const running = execFileSync('ps', ['-eo', 'pid,args'], { encoding: 'utf8' }).split('\n');
      const server = running.find((line) => line.includes(`${editor.extensions}/`) && line.includes('out/server.cjs'));
      hold(server, 'no server runs');
      await window.openFile('clean.lobe');
      process.kill(Number.parseInt(server, 10), 'SIGKILL');
      await window.editing(async () => {
        await window.goTo(...inside('base ', '22 mm'));
        await page.keyboard.type('-');
        await until('an error', async () => (await window.squiggles()).length > 0, 20_000);
      });
      await window.noSquiggle();
    });

    await check('the chart is there again when the folder is opened again', async () => {
      await window.command('Lobewright: Open Phase Chart Beside');
      await window.chartHas(rows);
      await page.waitForTimeout(1000);
      await page.goto(`${editor.origin}/?folder=${encodeURIComponent(folder)}`);
      await window.chartHas(rows, 30_000);
    });
  } finally {
    await context.close();
    editor.stop();
  }
}
