/** Long work in short goes, so that the server answers in between. */

/** The longest go without a pause, ms. */
const longestGo = 4;

export const rest = (time: number) => new Promise((resolve) => setTimeout(resolve, time));

/** Carries work out to its end; undefined once it is no longer wanted. */
export async function inGoes<T>(
  steps: Generator<void, T>,
  isWanted: () => boolean = () => true,
): Promise<T | undefined> {
  while (isWanted()) {
    const until = performance.now() + longestGo;
    do {
      const { done, value } = steps.next();
      if (done) return value;
    } while (performance.now() < until);
    await rest(0);
  }
  return undefined;
}
