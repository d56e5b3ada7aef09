/** Ease lets others have the processor: how long it goes without a pause, in processor time of its own thread. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLobeServices, openDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { easingText } from '../../../server/easing.ts';

const clock = `/proc/thread-self/schedstat`;
const isTold = (() => {
  try {
    return readFileSync(clock, 'utf8').split(' ').length === 3;
  } catch {
    return false;
  }
})();

/** ms that this thread has run. */
const ran = (): number => Number(readFileSync(clock, 'utf8').split(' ')[0]) / 1e6;

function longestGo(name: string): number {
  const services = createLobeServices();
  const uri = 'file:///pier/design.lobe';
  const text = readFileSync(`examples/${name}.lobe`, 'utf8');
  const document = openDesign(services, uri, (file) => (file === uri ? text : undefined));
  const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
  const scene = { document, analysis, designOf: () => undefined, read: () => undefined };
  const steps = easingText(analysis.mechanisms[0]!.mechanism, scene);
  let longest = 0;
  for (;;) {
    const before = ran();
    const { done } = steps.next();
    longest = Math.max(longest, ran() - before);
    if (done) return longest;
  }
}

describe('ease pauses', () => {
  // Some 25 ms on an idle machine; stretches of a search that forgot to pause took 160 and more.
  it.skipIf(!isTold)(
    'before it has gone for 0.1 s (skipped where the system does not tell what a thread ran)',
    { retry: 1, timeout: 120_000 },
    () => {
      for (const name of ['pier-flag', 'berth-sign']) expect(longestGo(name), name).toBeLessThan(100);
    },
  );
});
