// A folder that the maker has not trusted: everything is read and reckoned, and nothing of the folder is run.
import { designFolder } from '../designs.mjs';
import { startEditor } from '../editor.mjs';
import { Window } from '../window.mjs';

export async function untrusted({ browser, vsix, report, pictures }) {
  const editor = await startEditor({
    vsix,
    settings: {
      'security.workspace.trust.enabled': true,
      'security.workspace.trust.startupPrompt': 'never',
      'security.workspace.trust.untrustedFiles': 'open',
    },
  });
  const context = await browser.newContext({ viewport: { width: 1900, height: 1000 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  const check = (name, run) => report.check(name, page, run);
  try {
    await window.open(designFolder(editor.place), 'long.lobe');
    await check('the folder is restricted', () =>
      page.locator('.statusbar-item', { hasText: 'Restricted Mode' }).waitFor(),
    );
    await check('a restricted design is checked', () => window.squiggleUnder('40 deg', 'warning'));
    await check('a restricted design is charted', async () => {
      await page.keyboard.press('Control+k');
      await page.keyboard.press('v');
      await window.chartHas(7);
      await page.screenshot({ path: `${pictures}/untrusted.png` });
    });
  } finally {
    await context.close();
    editor.stop();
  }
}
