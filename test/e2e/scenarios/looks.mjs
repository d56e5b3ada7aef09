// The chart in the themes and widths that makers have: pictures to look at, and what must hold in all of them.
import { designFolder } from '../designs.mjs';
import { startEditor } from '../editor.mjs';
import { hold, until, Window } from '../window.mjs';

const themes = {
  light: 'Default Light Modern',
  dark: 'Default Dark Modern',
  'contrast-dark': 'Default High Contrast',
  'contrast-light': 'Default High Contrast Light',
};

/** Widths of the window; the chart has half of it, a little over 500 and 1400 px. */
const widths = { narrow: 1040, wide: 2860 };

/** WCAG 2.2, 1.4.3: contrast of text against its ground. */
const leastContrast = 4.5;
const leastFontSize = 11;

/** What is wrong with the chart's texts; runs in the chart's own document. */
function faultsOfTexts(root, { leastContrast, leastFontSize }) {
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const rgb = (colour) => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data].slice(0, 3);
  };
  const luminance = (colour) => {
    const [r, g, b] = rgb(colour).map((v) => (v <= 10 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const groundOf = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const { backgroundColor } = getComputedStyle(at);
      if (!/^rgba\(.*, 0\)$|^transparent$/.test(backgroundColor)) return backgroundColor;
    }
    return getComputedStyle(document.documentElement).getPropertyValue('--vscode-editor-background');
  };
  const faults = new Set();
  for (const node of root.querySelectorAll('*')) {
    const own = [...node.childNodes].some((child) => child.nodeType === 3 && child.textContent.trim());
    const hidden = /^(title|desc|style|option)$/.test(node.localName) || node.closest('.lw-aside, .lw-past, [hidden]');
    if (!own || hidden || node.getClientRects().length === 0) continue;
    const style = getComputedStyle(node);
    const drawn = node.namespaceURI.endsWith('svg') ? style.fill : style.color;
    const [lighter, darker] = [luminance(drawn), luminance(groundOf(node))].sort((a, b) => b - a);
    const contrast = (lighter + 0.05) / (darker + 0.05);
    const what = `${node.localName}.${node.getAttribute('class') ?? ''} "${node.textContent.slice(0, 24)}"`;
    if (contrast < leastContrast) faults.add(`${what}: contrast ${contrast.toFixed(2)}`);
    if (Number.parseFloat(style.fontSize) < leastFontSize) faults.add(`${what}: ${style.fontSize}`);
  }
  return [...faults].slice(0, 12);
}

export async function looks({ browser, vsix, report, pictures }) {
  const editor = await startEditor({ vsix });
  const context = await browser.newContext({ viewport: { width: widths.wide, height: 1200 } });
  const page = await context.newPage();
  const window = new Window(page, editor);
  try {
    const folder = designFolder(editor.place);
    const root = window.chart.locator('.lw-chart');
    const kind = () => window.chart.locator('body').getAttribute('data-vscode-theme-id');
    for (const [name, theme] of Object.entries(themes)) {
      // Settings are read when a window opens; whether a change of the file is seen before depends on the machine.
      editor.writeSettings({ 'workbench.colorTheme': theme });
      await window.open(folder, 'grave.lobe');
      // The window remembers that it has none.
      if (await page.locator('.part.sidebar').isVisible()) await window.command('View: Close Primary Side Bar');
      await window.command('Lobewright: Open Phase Chart Beside');
      await window.chartHas(7);
      await page.keyboard.press('Control+1');
      for (const [size, width] of Object.entries(widths)) {
        await report.check(`${name}, ${size}: every text can be read, nothing is cut off`, page, async () => {
          await page.setViewportSize({ width, height: 1200 });
          await until(`the theme ${theme}`, async () => (await kind()) === theme);
          await page.waitForTimeout(300);
          await page.locator('iframe.webview.ready').screenshot({ path: `${pictures}/chart-${name}-${size}.png` });
          const faults = await root.evaluate(faultsOfTexts, { leastContrast, leastFontSize });
          hold(faults.length === 0, faults.join('\n'));
          const over = await root.evaluate(() => document.scrollingElement.scrollWidth - window.innerWidth);
          hold(over <= 0, `${over} px wider than the panel`);
        });
      }
      if (name === 'light' || name === 'dark') {
        await page.setViewportSize({ width: 1500, height: 900 });
        await page.waitForTimeout(300);
        await page.screenshot({ path: `${pictures}/window-${name}.png` });
      }
    }
  } finally {
    await context.close();
    editor.stop();
  }
}
