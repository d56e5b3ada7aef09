/** Parts made by this thread and others at once: each takes the next task that nobody has taken yet. */
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Crew, Hands, Kind } from '../outputs/parts/crew.ts';
import type * as Maker from '../outputs/parts/maker.ts';
import { shipped, shippedProgram } from './files.ts';

/** Work on tasks of one kind; `taken` counts those that somebody has taken, in memory that all share. */
export interface Shift {
  readonly number: number;
  readonly kind: Kind;
  readonly tasks: readonly never[];
  readonly taken: Int32Array;
}

/** What a thread has done of a shift, by the tasks' numbers; or why it could not. */
export type Done = { readonly shift: number } & (
  | { readonly did: ReadonlyMap<number, unknown> }
  | { readonly failed: unknown }
);

/** Does of a shift what nobody else takes; yields before each task. */
export async function* doing(
  hands: Hands,
  { kind, tasks, taken }: Omit<Shift, 'number'>,
): AsyncGenerator<void, Map<number, unknown>> {
  const did = new Map<number, unknown>();
  for (;;) {
    const next = Atomics.add(taken, 0, 1);
    if (next >= tasks.length) return did;
    yield;
    did.set(next, await hands(kind, tasks[next]!));
  }
}

/** What makes parts, in this thread. */
export const partsMaker = () => shippedProgram<typeof Maker>('parts.cjs');

/** More than this many at work gain nothing: what one thread does before and after them stays. */
const most = 4;

/** Another thread, and what fails as it does. */
interface Mate {
  readonly worker: Worker;
  readonly broken: Promise<never>;
}

function mate(): Mate {
  shipped('parts-worker.cjs');
  const worker = new Worker(join(__dirname, 'parts-worker.cjs'));
  const broken = new Promise<never>((_, reject) => worker.once('error', reject));
  // Told where its work is awaited, however much later that is.
  broken.catch(() => {});
  worker.unref();
  return { worker, broken };
}

/** Others are started at once, this thread's own share when it is asked for. They end with the program. */
export function assembled(): Crew {
  const mates = Array.from({ length: Math.min(most, availableParallelism()) - 1 }, mate);
  let shifts = 0;
  return (kind, tasks) => {
    const taken = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
    const shift: Shift = { number: shifts++, kind, tasks: tasks as readonly never[], taken };
    const elsewhere = mates.map((one) => workedBy(one, shift));
    return (async function* () {
      const steps = doing(partsMaker().hands, shift);
      for (;;) {
        const { done, value } = await steps.next();
        if (!done) {
          yield Math.min(tasks.length, Atomics.load(taken, 0)) - 1;
          continue;
        }
        // The program waits for them from now on, and no longer than it must.
        for (const { worker } of mates) worker.ref();
        const all = new Map([value, ...(await Promise.all(elsewhere))].flatMap((did) => [...did]));
        for (const { worker } of mates) worker.unref();
        return tasks.map((_, i) => all.get(i)) as never;
      }
    })();
  };
}

/** What another thread does of a shift. Fails as the thread does. */
function workedBy({ worker, broken }: Mate, shift: Shift): Promise<ReadonlyMap<number, unknown>> {
  const answered = new Promise<Done>((resolve) => {
    const hear = (done: Done) => {
      if (done.shift !== shift.number) return;
      worker.off('message', hear);
      resolve(done);
    };
    worker.on('message', hear);
  });
  worker.postMessage(shift);
  const worked = Promise.race([answered, broken]).then((done) => {
    if ('failed' in done) throw done.failed;
    return done.did;
  });
  worked.catch(() => {});
  return worked;
}
