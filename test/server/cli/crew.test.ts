/** Several threads at one row of tasks: each task is done once, by whoever takes it first. */
import { describe, expect, it } from 'vitest';
import { doing, type Shift } from '../../../server/cli/crew.ts';
import type { Hands } from '../../../server/outputs/parts/crew.ts';

const shift = (many: number): Omit<Shift, 'number'> => ({
  kind: 'look',
  tasks: Array.from({ length: many }, (_, i) => i) as never[],
  taken: new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)),
});

/** Hands that take so long, in turns of the event loop. */
const hands = (long: number, at: number[] = []): Hands =>
  (async (_: unknown, task: number) => {
    at.push(task);
    for (let i = 0; i < long; i++) await new Promise(setImmediate);
    return [`${task} done`];
  }) as never;

async function whole(steps: AsyncGenerator<void, Map<number, unknown>>): Promise<Map<number, unknown>> {
  for (;;) {
    const { done, value } = await steps.next();
    if (done) return value;
  }
}

describe('a shift', () => {
  it('is done once, by all that work at it, the quick ones more of it', async () => {
    const own = shift(40);
    const [quick, slow] = await Promise.all([whole(doing(hands(1), own)), whole(doing(hands(4), own))]);
    expect([...quick.keys(), ...slow.keys()].sort((a, b) => a - b)).toEqual(own.tasks);
    expect([...quick.keys()].every((task) => !slow.has(task))).toBe(true);
    expect(quick.size).toBeGreaterThan(slow.size);
    expect(slow.size).toBeGreaterThan(0);
    for (const [task, done] of [...quick, ...slow]) expect(done).toEqual([`${task} done`]);
  });

  it('is over for all when nothing is left of it, and can be left off between two tasks', async () => {
    const own = shift(3);
    const begun: number[] = [];
    const steps = doing(hands(1, begun), own);
    await steps.next();
    await steps.return(undefined as never);
    expect(begun).toEqual([]);
    expect((await whole(doing(hands(1, begun), own))).size).toBe(2);
    expect((await whole(doing(hands(1, begun), own))).size).toBe(0);
  });

  it('fails with the task that fails', async () => {
    const failing = (async () => {
      throw new Error('no such part');
    }) as never;
    await expect(whole(doing(failing, shift(2)))).rejects.toThrow('no such part');
  });
});
