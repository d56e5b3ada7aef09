/** Values as makers say them, and how two of them are told apart: one unit, as many digits as it takes. */
import { apartInWords, plain } from '../../checks/check.ts';

export type Unit = 'mm' | '°' | 'N' | 'N/mm' | 'N·mm' | 'MPa' | 'g' | 'g/cm³' | '%' | '';

/** What a name is of: parts share one set of names, and tables of each kind another. */
export type Realm = 'part' | 'glyphs' | 'process' | 'material';

/** The name of a part (unless `of` says otherwise), and what is said of it beside (`inside`, of an anchor of a band). */
export interface Named {
  readonly name: string;
  readonly of?: Realm;
  readonly as?: string;
}

/** A number in the unit it is told in, words, or names, whose order matters only in a ring, wherever that begins. */
export type Said =
  | { readonly number: number; readonly unit: Unit }
  | { readonly words: string }
  | { readonly names: readonly Named[]; readonly ring?: true };

/** The name that something goes by in the newer of two designs. */
export type Renaming = (name: string, of: Realm) => string;

/** No two numbers differ by less than what is lost in reckoning with them. */
const almost = 1e-9;

/** Whether two values are one; numbers that differ by at most `within` are. */
export function sameSaid(old: Said | undefined, now: Said | undefined, renamed: Renaming, within = 0): boolean {
  if (!old || !now) return old === now;
  if ('number' in old) {
    if (!('number' in now) || now.unit !== old.unit) return false;
    if (old.number === now.number) return true;
    return Math.abs(old.number - now.number) <= Math.max(within, almost * Math.max(1, Math.abs(old.number)));
  }
  if ('words' in old) return 'words' in now && old.words === now.words;
  return 'names' in now && inOrder(old, renamed) === inOrder(now, itself);
}

const itself: Renaming = (name) => name;

/** The names as one text: sorted; of a ring from the first in the alphabet on. */
function inOrder(
  { names, ring }: { readonly names: readonly Named[]; readonly ring?: true },
  renamed: Renaming,
): string {
  const all = names.map(({ name, of = 'part', as = '' }) => `${renamed(name, of)}\t${as}`);
  if (!ring) return all.sort().join('\n');
  const turned = all.map((_, i) => [...all.slice(i), ...all.slice(0, i)].join('\n'));
  return turned.sort()[0] ?? '';
}

const numberWritten = (number: string, unit: Unit): string =>
  unit === '' || unit === '°' ? number + unit : `${number} ${unit}`;

/** "4 mm", "31.8°", "a b". */
export function saidInWords(said: Said, decimals = 3): string {
  if ('number' in said) return numberWritten(plain(said.number, decimals), said.unit);
  if ('words' in said) return said.words;
  return said.names.map(({ name, as }) => (as ? `${as} ${name}` : name)).join(' ');
}

/** "4 → 4.5 mm", "raised → lowered"; of a value on one side only "4 mm (not given before)". */
export function fromTo(old: Said | undefined, now: Said | undefined, decimals = 3, given = 'given'): string {
  if (!old) return now ? `${saidInWords(now, decimals)} (not ${given} before)` : '';
  if (!now) return `no longer ${given} (${saidInWords(old, decimals)} before)`;
  if ('number' in old && 'number' in now && old.unit === now.unit) {
    const [from, to] = apartInWords(old.number, now.number, decimals);
    return `${from} → ${numberWritten(to, now.unit)}`;
  }
  return shortened(saidInWords(old, decimals), saidInWords(now, decimals)).join(' → ');
}

/** Words on both sides that are more than a reader takes in. */
const manyWords = 12;

/** Two rows of words without the long beginning and the long end that they share. */
function shortened(old: string, now: string): [string, string] {
  const [before, after] = [old.split(' '), now.split(' ')];
  if (Math.max(before.length, after.length) <= manyWords) return [old, now];
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before[start] === after[start]) start++;
  let end = 0;
  while (end < most - start && before.at(-1 - end) === after.at(-1 - end)) end++;
  // One word of what is shared shows where the difference lies.
  const [from, behind] = [start > 2 ? start - 1 : 0, end > 2 ? end - 1 : 0];
  return [before, after].map((words) =>
    [...(from ? ['…'] : []), ...words.slice(from, words.length - behind), ...(behind ? ['…'] : [])].join(' '),
  ) as [string, string];
}
