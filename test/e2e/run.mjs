// The packaged extension in a real VS Code in a real browser; `npm run e2e` packages first and then runs this.
// `npm run e2e -- NAME…` runs only the scenarios of those names.
import { existsSync, mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { installEditor, missing, startBrowser } from './editor.mjs';
import { Report } from './report.mjs';
import { desktop } from './scenarios/desktop.mjs';
import { looks } from './scenarios/looks.mjs';
import { untrusted } from './scenarios/untrusted.mjs';
import { web } from './scenarios/web.mjs';

const scenarios = { desktop, looks, untrusted, web };

const lacking = missing();
const vsix = join(process.cwd(), 'lobewright.vsix');
if (!existsSync(vsix)) lacking.push('the package: npm run package');
if (lacking.length) {
  console.error(`The real-editor test needs what is not there:\n  ${lacking.join('\n  ')}`);
  process.exit(1);
}
const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !Object.hasOwn(scenarios, name));
if (unknown.length) {
  console.error(`No such scenario: ${unknown.join(', ')}; there are ${Object.keys(scenarios).join(', ')}`);
  process.exit(2);
}

installEditor();
const pictures = join(process.cwd(), '.e2e', 'pictures');
rmSync(pictures, { recursive: true, force: true });
mkdirSync(pictures, { recursive: true });

const start = Date.now();
const report = new Report(pictures);
const browser = await startBrowser();
try {
  for (const [name, scenario] of Object.entries(scenarios)) {
    if (wanted.length && !wanted.includes(name)) continue;
    console.log(name);
    await report.check(`${name} runs to its end`, undefined, () => scenario({ browser, vsix, report, pictures }));
  }
} finally {
  await browser.close();
}
console.log(`${report.passed} passed, ${report.failed} failed (${Math.round((Date.now() - start) / 1000)} s)`);
process.exit(report.failed ? 1 : 0);
