/** How often the language server may stop by itself, and within what time, before it stays stopped. */
const most = 4;
const withinMs = 3 * 60 * 1000;

/** What to do after a crash at `now` (ms): the crashes still remembered, and whether to start once more. */
export function afterCrash(earlier: readonly number[], now: number): { readonly crashes: number[]; again: boolean } {
  const crashes = [...earlier.filter((time) => now - time < withinMs), now];
  return { crashes, again: crashes.length <= most };
}
