/** Long work is a generator that pauses where others may have the processor; this does one in one go. */
export function finished<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}
