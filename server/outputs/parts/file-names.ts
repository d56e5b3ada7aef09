/** Names of parts as names of files that no file system minds and that stay in their folder. */

/** Names that one widespread system keeps for its devices, whatever their ending. */
const kept = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/** A name for each, in order: letters, digits, `-` and `_`; apart where case does not count; never empty. */
export function fileNames(names: readonly string[]): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const plain = name
      .normalize('NFC')
      .replace(/[^\p{L}\p{N}_-]+/gu, '-')
      .replace(/^[-.]+|[-.]+$/g, '')
      .slice(0, 80);
    const safe = plain === '' || kept.test(plain) ? `part-${plain}`.replace(/-$/, '') : plain;
    let unique = safe;
    for (let i = 2; taken.has(folded(unique)); i++) unique = `${safe}-${i}`;
    taken.add(folded(unique));
    return unique;
  });
}

/** As a file system sees a name for which case and ways of writing an accent do not count. */
const folded = (name: string): string => name.normalize('NFD').toLowerCase();
