// Runs checks one after the other, says how each went, and counts.
import { join } from 'node:path';

export class Report {
  passed = 0;
  failed = 0;

  constructor(pictures) {
    this.pictures = pictures;
  }

  /** One thing that must hold; when it does not, the window is pictured and the others still run. */
  async check(name, page, run) {
    const start = Date.now();
    try {
      await run();
      this.passed++;
      console.log(`  ok    ${name} (${Date.now() - start} ms)`);
    } catch (error) {
      this.failed++;
      console.log(
        `  FAIL  ${name} (${Date.now() - start} ms)\n        ${String(error?.message ?? error).replaceAll('\n', '\n        ')}`,
      );
      const file = join(this.pictures, `failed-${name.replace(/[^a-z0-9]+/gi, '-')}.png`);
      await page?.screenshot({ path: file }).catch(() => undefined);
    }
  }
}
