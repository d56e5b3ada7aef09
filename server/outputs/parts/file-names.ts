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

/** Files for so many beds: one goes by the name alone. */
export const bedFiles = (name: string, beds: number): string[] =>
  Array.from({ length: beds }, (_, i) => (beds === 1 ? `${name}.3mf` : `${name}-${i + 1}.3mf`));

/** Whether a file holds a bed of an earlier export, whose place others take that are written now: more, or fewer. */
export function supersededBy(names: Iterable<string>): (name: string) => boolean {
  const written = new Set(names);
  const stems = new Set([...written].flatMap((name) => bedStem(name) ?? []));
  return (name) => !written.has(name) && stems.has(bedStem(name) ?? '');
}

const bedStem = (name: string): string | undefined => /^(.+?)(?:-\d+)?\.3mf$/.exec(name)?.[1];
