// What a person does in a window of the editor, and sees there.
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';

/** How much longer than on an idle machine to wait: one that does other work too is slower, not broken. */
const patience = () => Math.min(8, Math.max(1, loadavg()[0] / cpus().length));

/** Waits until `look` gives something true; the last thing seen is told when it never does. */
export async function until(what, look, ms = 8000) {
  const start = Date.now();
  for (;;) {
    let seen;
    try {
      seen = await look();
      if (seen) return seen;
    } catch (error) {
      seen = error;
    }
    const waited = Date.now() - start;
    if (waited > ms * patience()) {
      const last = seen instanceof Error ? seen.message.split('\n')[0] : JSON.stringify(seen);
      throw new Error(`${what}: not within ${waited} ms (last: ${last})`);
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

export function hold(that, what) {
  if (!that) throw new Error(what);
}

export class Window {
  constructor(page, editor) {
    this.page = page;
    this.editor = editor;
    page.setDefaultTimeout(8000 * patience());
    page.setDefaultNavigationTimeout(40_000 * patience());
  }

  /** Opens a folder with a file of it in the only editor. */
  async open(folder, file) {
    const address = `vscode-remote://127.0.0.1:${this.editor.port}${join(folder, file)}`;
    const payload = encodeURIComponent(JSON.stringify([['openFile', address]]));
    await this.page.goto(`${this.editor.origin}/?folder=${encodeURIComponent(folder)}&payload=${payload}`);
    await this.page
      .locator('.monaco-editor .view-line')
      .first()
      .waitFor({ timeout: 30_000 * patience() });
  }

  /**
   * Picks from what a quick question offers: asked early, it lacks what comes later; what is meant need not come first.
   * @param {string} keys opens the question
   */
  async pick(keys, typed, meant) {
    const input = this.page.locator('.quick-input-widget input[type="text"]');
    await until(
      `"${meant}" offered for "${typed}"`,
      async () => {
        await this.page.keyboard.press('Escape');
        await this.page.keyboard.press(keys);
        await input.waitFor({ timeout: 3000 });
        await input.fill(typed);
        await this.choose(meant);
        return true;
      },
      30_000,
    );
  }

  /** Takes from an open list the entry of these words, with or without an icon before and "…" after them. */
  async choose(meant) {
    const focused = this.page.locator('.quick-input-list .monaco-list-row.focused .label-name');
    await until(
      `"${meant}" in the list`,
      async () => {
        const label = await focused.first().textContent({ timeout: 500 });
        if (label.replace(/^[^\p{L}]+|(…|\.\.\.)$/gu, '') === meant) return true;
        await this.page.keyboard.press('ArrowDown');
        return false;
      },
      4000,
    );
    await this.page.keyboard.press('Enter');
  }

  /** Runs a command by its title. */
  async command(title) {
    await this.pick('F1', `>${title}`, title);
  }

  /** Opens another file of the folder by name, in the first group: in the second it would lie over the chart. */
  async openFile(name) {
    await this.page.keyboard.press('Control+1');
    await this.pick('Control+p', name, name);
    await until(`the tab of ${name}`, async () => (await this.activeTab()).includes(name));
  }

  activeTab() {
    return this.page.locator('.editor-group-container.active .tab.active').first().getAttribute('aria-label');
  }

  /** The text editor: that of the first group; the chart and the figures stand in the second. */
  get text() {
    return this.page.locator('.editor-group-container').first().locator('.editor-instance .monaco-editor').first();
  }

  /** Puts the cursor at a place, both from 1, and the focus into the text. */
  async goTo(line, column = 1) {
    await this.page.keyboard.press('Control+1');
    await until(`line ${line}`, async () => {
      await this.page.keyboard.press('Control+g');
      const input = this.page.locator('.quick-input-widget input[type="text"]');
      await input.waitFor({ timeout: 2000 });
      await input.fill(`:${line}:${column}`);
      await this.page.waitForTimeout(50);
      await this.page.keyboard.press('Enter');
      await this.page.waitForTimeout(80);
      return (await this.activeLine()) === line;
    });
  }

  async activeLine() {
    return Number(await this.text.locator('.active-line-number').first().textContent());
  }

  /** Lines that are drawn, from top to bottom, each with where it is. */
  lines() {
    return this.text.locator('.view-lines .view-line').evaluateAll((found) =>
      found
        .map((line) => {
          const { top, height } = line.getBoundingClientRect();
          return { top, height, text: line.textContent.replaceAll('\u00a0', ' ') };
        })
        .sort((a, b) => a.top - b.top),
    );
  }

  async lineWith(words) {
    return until(`a line with "${words}"`, async () => (await this.lines()).find(({ text }) => text.includes(words)));
  }

  /** Where a piece of a line is drawn. */
  boxOf(words) {
    return until(`"${words}" on the screen`, () =>
      this.text.locator('.view-lines .view-line').evaluateAll((lines, wanted) => {
        for (const line of lines) {
          const at = line.textContent.replaceAll('\u00a0', ' ').indexOf(wanted);
          if (at < 0) continue;
          const range = document.createRange();
          const walker = document.createTreeWalker(line, NodeFilter.SHOW_TEXT);
          let passed = 0;
          let started = false;
          for (let node = walker.nextNode(); node; node = walker.nextNode()) {
            const length = node.textContent.length;
            if (!started && at < passed + length) {
              range.setStart(node, at - passed);
              started = true;
            }
            if (started && at + wanted.length <= passed + length) {
              range.setEnd(node, at + wanted.length - passed);
              const { left, right, top, bottom } = range.getBoundingClientRect();
              return { left, right, top, bottom };
            }
            passed += length;
          }
        }
        return null;
      }, words),
    );
  }

  /** Boxes of the squiggles of a severity that are drawn. */
  squiggles(severity = 'error') {
    return this.text.locator(`.squiggly-${severity}`).evaluateAll((found) =>
      found.map((mark) => {
        const { left, right, top, bottom } = mark.getBoundingClientRect();
        return { left, right, top, bottom };
      }),
    );
  }

  /** Waits for a squiggle exactly under these words. */
  async squiggleUnder(words, severity = 'error') {
    await until(`a squiggle (${severity}) under "${words}"`, async () => {
      const box = await this.boxOf(words);
      return (await this.squiggles(severity)).find(
        (mark) =>
          Math.abs(mark.left - box.left) < 3 &&
          Math.abs(mark.right - box.right) < 3 &&
          mark.top < box.bottom + 2 &&
          mark.bottom > box.top + 2,
      );
    });
  }

  async noSquiggle(severity = 'error') {
    await until(`no squiggle (${severity})`, async () => (await this.squiggles(severity)).length === 0);
  }

  /** Rows of the Problems view. */
  async problems() {
    const rows = this.page.locator('.markers-panel .monaco-list-row');
    if (!(await rows.first().isVisible())) await this.page.keyboard.press('Control+Shift+m');
    await rows.first().waitFor({ timeout: 5000 });
    return (await rows.allInnerTexts()).map((text) => text.replace(/\s+/g, ' '));
  }

  async closePanel() {
    if (await this.page.locator('.markers-panel').isVisible()) await this.page.keyboard.press('Control+j');
  }

  /** Text that is selected in the editor, by its drawn boxes: how many there are. */
  selectedBoxes() {
    return this.text.locator('.selected-text').evaluateAll((found) =>
      found.map((mark) => {
        const { left, right, top, bottom } = mark.getBoundingClientRect();
        return { left, right, top, bottom };
      }),
    );
  }

  async textHasFocus() {
    return this.page.evaluate(() => {
      const focused = document.activeElement;
      return Boolean(focused?.closest('.editor-instance .monaco-editor'));
    });
  }

  /** What stands inside the webview. */
  get chart() {
    return this.page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');
  }

  async chartHas(rows, ms = 20_000) {
    await until(`${rows} rows in the chart`, async () => (await this.chart.locator('.lw-row').count()) === rows, ms);
  }

  /** The chart's row of a cam. */
  row(cam) {
    return this.chart.locator(`.lw-row[aria-label^="${cam}"]`);
  }

  /** Names of the cams whose rows are lit. */
  litRows() {
    return this.chart
      .locator('.lw-row.lw-chosen > title')
      .evaluateAll((titles) => titles.map((title) => title.textContent.split(':')[0]));
  }

  /** What the language status item says. */
  languageStatus() {
    return this.page.locator('[id="status.languageStatus"]').getAttribute('aria-label', { timeout: 3000 });
  }

  /** Shows the hover at the cursor until it says something. */
  async showHover(words) {
    const contents = this.page.locator('.monaco-hover .hover-contents');
    await until(`the hover with ${words}`, async () => {
      await this.page.keyboard.press('Escape');
      await this.page.keyboard.press('Control+k');
      await this.page.keyboard.press('Control+i');
      await this.page.waitForTimeout(400);
      return words.test((await contents.allInnerTexts()).join(' '));
    });
  }

  /** Applies the fix that is offered first, which must be the one meant. */
  async quickFix(title) {
    const first = this.page.locator('.action-widget .monaco-list-row.action').first();
    await until(`a fix like ${title}`, async () => {
      await this.page.keyboard.press('Escape');
      await this.page.keyboard.press('Control+.');
      await first.waitFor({ timeout: 4000 });
      return title.test(await first.textContent());
    });
    await this.page.keyboard.press('Enter');
  }

  /** Does something to the text and puts it back as it was saved, however that went. */
  async editing(run) {
    try {
      await run();
    } finally {
      await this.command('File: Revert File');
    }
  }
}
