/** Names that are near to a mistyped one. */

/** Edits (a letter put in, left out, changed, or two neighbours swapped) between two words; gives up beyond `most`. */
export function distance(a: string, b: string, most = Number.POSITIVE_INFINITY): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const changed = last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(changed, last[j]! + 1, row[j - 1]! + 1);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, before[j - 2]! + 1);
      row.push(least);
    }
    if (Math.min(...row) > most) return most + 1;
    before = last;
    last = row;
  }
  return last[b.length]!;
}

/** Whether a word is another, shortened. */
const begins = (short: string, long: string): boolean => short.length >= 3 && long.startsWith(short);

/** The nearest of `names` to `word`, best first, of those as near what it may be the beginning of, else as they come; at most `count`; one that differs in the letters' case only is alone. */
export function nearest(word: string, names: Iterable<string>, count = 3): string[] {
  const small = word.toLowerCase();
  const most = Math.max(1, Math.floor(word.length / 3));
  const found: { name: string; by: number }[] = [];
  for (const name of names) {
    if (name === word) continue;
    const other = name.toLowerCase();
    const by =
      begins(small, other) || begins(other, small)
        ? Math.min(1, distance(small, other, 1))
        : distance(small, other, most);
    if (by <= most) found.push({ name, by });
  }
  const best = found.filter(({ by }) => by === 0);
  const goesOn = (name: string) => (name.toLowerCase().startsWith(small) ? 0 : 1);
  return (best.length ? best : found)
    .sort((a, b) => a.by - b.by || goesOn(a.name) - goesOn(b.name))
    .slice(0, count)
    .map(({ name }) => name);
}
