/** Long work is a generator that pauses where others may have the processor; this does one in one go. */
export function finished<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** Does it with every pause telling a share done. */
export function* paused<T>(steps: Generator<unknown, T>, share: number): Generator<number, T> {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
    yield share;
  }
}
