/** What differs between two sheets, part by part, in the order of the newer one. */
import type { Entry } from './entries.ts';
import { type Matched, matched } from './matching.ts';
import { type Renaming, type Said, sameSaid } from './said.ts';
import type { Item, ItemKind } from './sheet.ts';

export interface Difference {
  readonly what: 'changed' | 'added' | 'removed' | 'renamed';
  readonly kind: ItemKind;
  /** What it is about, by the name it has now; what is gone by that it had. */
  readonly name: string;
  /** How many of its kind there are now. */
  readonly among: number;
  /** Of what is renamed. */
  readonly was?: string;
  // of what is changed:
  readonly property?: string;
  readonly from?: Said;
  readonly to?: Said;
  readonly by?: Entry['by'];
  /** Of what follows: from what, in a maker's words. */
  readonly because?: string;
  /** Of a figure: decimals that are told, and where it is met in the newer design. */
  readonly decimals?: number;
  readonly at?: string;
}

export interface SheetDifferences {
  readonly differences: readonly Difference[];
  readonly matched: Matched;
}

/** `anyName`: tables in use are matched with each other whatever they are called (see `matched`). */
export function differencesOf(old: readonly Item[], now: readonly Item[], anyName = true): SheetDifferences {
  const match = matched(old, now, anyName);
  const { pairs, removed, renamed, nowCalled } = match;
  const before = new Map(pairs.map(([one, other]) => [other, one]));
  const named = new Map(renamed.map(([one, other]) => [other, one.name]));
  const among = (kind: ItemKind) => now.filter((item) => item.kind === kind).length;
  const about = ({ kind, name }: Item) => ({ kind, name, among: among(kind) });
  const differences = [
    ...now.flatMap((item): Difference[] => {
      const one = before.get(item);
      if (!one) return [{ what: 'added', ...about(item) }];
      const was = named.get(item);
      return [
        ...(was === undefined ? [] : [{ what: 'renamed' as const, ...about(item), was }]),
        ...changesOf(one, item, nowCalled).map(
          (change): Difference => ({ what: 'changed', ...about(item), ...change }),
        ),
      ];
    }),
    ...removed.map((item): Difference => ({ what: 'removed', ...about(item) })),
  ];
  // That a mechanism has a glyph table now, or has none, is said of the mechanism.
  const told = differences.filter(
    ({ what, kind }) => !anyName || kind !== 'glyphs' || what === 'changed' || what === 'renamed',
  );
  return { differences: told, matched: match };
}

type Change = Omit<Difference, 'what' | 'kind' | 'name' | 'among'>;

function changesOf(old: Item, now: Item, renamed: Renaming): Change[] {
  const before = new Map(old.entries.map((entry) => [entry.property, entry]));
  const after = new Set(now.entries.map(({ property }) => property));
  const gone = old.entries.filter(({ property }) => !after.has(property));
  const changes = [
    ...now.entries.flatMap((entry) => changeOf(before.get(entry.property), entry, renamed) ?? []),
    ...gone.flatMap((entry) => changeOf(entry, undefined, renamed) ?? []),
  ];
  return travelTogether(changes);
}

function changeOf(old: Entry | undefined, now: Entry | undefined, renamed: Renaming): Change | undefined {
  const { property, by, because, decimals, within, at } = (now ?? old)!;
  if (sameSaid(old?.said, now?.said, renamed, within)) return undefined;
  const stated = old?.by === 'stated' || now?.by === 'stated';
  return {
    property,
    ...(old && { from: old.said }),
    ...(now && { to: now.said }),
    by: stated ? 'stated' : by,
    ...(because !== undefined && !stated && { because }),
    ...(decimals !== undefined && { decimals }),
    ...(at !== undefined && now && { at }),
  };
}

/** A rise and a fall that change alike are the cam's travel. */
function travelTogether(changes: readonly Change[]): Change[] {
  const [rise, fall] = ['rise', 'fall'].map((flank) => changes.find(({ property }) => property === flank));
  if (!rise || !fall || told(rise) !== told(fall)) return [...changes];
  return changes.flatMap((change) =>
    change === fall ? [] : change === rise ? [{ ...rise, property: 'travel' }] : [change],
  );
}

const told = ({ from, to, by }: Change): string => JSON.stringify([from, to, by]);
