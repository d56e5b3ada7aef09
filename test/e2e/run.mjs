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

/** The longest first. */
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
const browser = await startBrowser();
const reports = [];

/** One scenario after the other, each in an editor of its own. */
async function inTurn(names) {
  for (const name of names.filter((one) => !wanted.length || wanted.includes(one))) {
    const report = new Report(name, pictures);
    reports.push(report);
    await report.check('runs to its end', undefined, () => scenarios[name]({ browser, vsix, report, pictures }));
  }
}

try {
  // An editor mostly waits: two at a time take little longer than one.
  const [longest, ...others] = Object.keys(scenarios);
  await Promise.all([inTurn([longest]), inTurn(others)]);
} finally {
  await browser.close();
}
const sum = (of) => reports.reduce((total, report) => total + of(report), 0);
const failed = sum((report) => report.failed);
console.log(
  `${sum((report) => report.passed)} passed, ${failed} failed (${Math.round((Date.now() - start) / 1000)} s)`,
);
process.exit(failed ? 1 : 0);
