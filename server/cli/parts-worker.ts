/** A thread beside the command line's own that makes parts; its program is ready before the first task comes. */
import { parentPort } from 'node:worker_threads';
import { type Done, doing, partsMaker, type Shift } from './crew.ts';

const port = parentPort!;
const { hands } = partsMaker();

async function worked(shift: Shift): Promise<Done> {
  const { number } = shift;
  try {
    const steps = doing(hands, shift);
    for (;;) {
      const { done, value } = await steps.next();
      if (done) return { shift: number, did: value };
    }
  } catch (failed) {
    return { shift: number, failed };
  }
}

// One shift after another.
let last = Promise.resolve();
port.on('message', (shift: Shift) => {
  last = last.then(async () => port.postMessage(await worked(shift)));
});
