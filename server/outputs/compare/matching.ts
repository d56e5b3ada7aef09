/**
 * Which item of one sheet is which of another: by name, and where a name is gone by being alike in all else, or by what it
 * is there for.
 */
import { type Realm, type Renaming, type Said, sameSaid } from './said.ts';
import type { Item, ItemKind } from './sheet.ts';

export interface Matched {
  readonly pairs: readonly (readonly [old: Item, now: Item])[];
  readonly added: readonly Item[];
  readonly removed: readonly Item[];
  /** Pairs that go by another name. */
  readonly renamed: readonly (readonly [old: Item, now: Item])[];
  /** By what name something of the older sheet goes in the newer. */
  readonly nowCalled: Renaming;
}

/** Items of which a mechanism has one, or uses one first of all: matched whatever they are called. */
const chief = new Set<ItemKind>(['mechanism', 'limits', 'glyphs', 'process', 'material']);

const realms: Readonly<Partial<Record<ItemKind, Realm>>> = {
  glyphs: 'glyphs',
  process: 'process',
  material: 'material',
};

const realmOf = ({ kind }: Item): Realm => realms[kind] ?? 'part';

type Pair = readonly [old: Item, now: Item];

/** `anyName`: the first of each kind of table is the one in use, and is matched with the other's by that. */
export function matched(old: readonly Item[], now: readonly Item[], anyName: boolean): Matched {
  const pairs = new Map<Item, Item>();
  const taken = new Set<Item>();
  const pair = (one: Item, other: Item) => {
    pairs.set(one, other);
    taken.add(other);
  };
  if (anyName) {
    for (const kind of chief) {
      const [one, other] = [old, now].map((sheet) => sheet.find((item) => item.kind === kind));
      if (one && other) pair(one, other);
    }
  }
  const byName = keyed(now.filter((item) => !taken.has(item) && !item.of));
  for (const [key, item] of keyed(old.filter((item) => !pairs.has(item) && !item.of))) {
    const other = byName.get(key);
    if (other) pair(item, other);
  }
  const renamed = renamings(
    old.filter((item) => !pairs.has(item) && !item.of),
    now.filter((item) => !taken.has(item) && !item.of),
  );
  for (const [one, other] of renamed) pair(one, other);
  const called = namesAfter(renamed);
  // Tables in use are matched by that: one that is alike goes by another name, one that is not is another table.
  const fresh = [...pairs].filter(
    ([one, other]) =>
      one.kind in realms &&
      one.name !== other.name &&
      !renamed.some(([known]) => known === one) &&
      alike(one, other, called),
  );
  const nowCalled = namesAfter([...renamed, ...fresh]);
  const byParts = keyed(now.filter((item) => item.of));
  for (const [key, item] of keyed(
    old.filter((item) => item.of),
    nowCalled,
  )) {
    const other = byParts.get(key);
    if (other) pair(item, other);
  }
  return {
    pairs: [...pairs],
    added: now.filter((item) => !taken.has(item)),
    removed: old.filter((item) => !pairs.has(item)),
    renamed: [...renamed, ...fresh],
    nowCalled,
  };
}

const asIs: Renaming = (name) => name;

/** Items by what they are known by; of two of one name the second is known as that. */
function keyed(items: readonly Item[], renamed = asIs): Map<string, Item> {
  const all = new Map<string, Item>();
  for (const item of items) {
    const { kind, name, of } = item;
    const known = of ? [of.word, ...of.names.map((each) => renamed(each, 'part')).sort()].join(' ') : name;
    let key = `${kind} ${known}`;
    while (all.has(key)) key += ' again';
    all.set(key, item);
  }
  return all;
}

function namesAfter(renamed: readonly Pair[]): Renaming {
  const names = new Map(renamed.map(([old, now]) => [`${realmOf(old)} ${old.name}`, now.name]));
  return (name, of) => names.get(`${of} ${name}`) ?? name;
}

/** What is gone and what is new paired where all else is alike; what they refer to may have been renamed as well. */
function renamings(gone: readonly Item[], fresh: readonly Item[]): Pair[] {
  const left = new Set(fresh);
  const lost = new Set(gone.map((item) => `${realmOf(item)} ${item.name}`));
  const found = new Set(fresh.map((item) => `${realmOf(item)} ${item.name}`));
  const loosely =
    (names: ReadonlySet<string>): Renaming =>
    (name, of) =>
      names.has(`${of} ${name}`) ? '?' : name;
  let pairs = gone.flatMap((one): Pair[] => {
    const other = [...left].find((each) => each.kind === one.kind && alike(one, each, loosely(lost), loosely(found)));
    if (!other) return [];
    left.delete(other);
    return [[one, other]];
  });
  for (;;) {
    const called = namesAfter(pairs);
    const kept = pairs.filter(([one, other]) => alike(one, other, called));
    if (kept.length === pairs.length) break;
    pairs = kept;
  }
  // What is left does the work of what is gone where it alone does it: a cam that drives the same bars.
  const called = namesAfter(pairs);
  const rest = <T>(all: readonly T[], paired: readonly T[]) => all.filter((one) => !paired.includes(one));
  const lone = rest(
    gone,
    pairs.map(([one]) => one),
  );
  const other = rest(
    fresh,
    pairs.map(([, one]) => one),
  );
  const work = (item: Item, renamed: Renaming): string | undefined => {
    const said = item.entries.find(({ property }) => property === works[item.kind])?.said;
    return said && 'names' in said
      ? [item.kind, ...said.names.map(({ name }) => renamed(name, 'part')).sort()].join(' ')
      : undefined;
  };
  return [
    ...pairs,
    ...lone.flatMap((one): Pair[] => {
      const does = work(one, called);
      const [now, ...more] = other.filter((each) => does !== undefined && work(each, asIs) === does);
      return now && more.length === 0 && lone.filter((each) => work(each, called) === does).length === 1
        ? [[one, now]]
        : [];
    }),
  ];
}

/** The property that tells what a part is there for. */
const works: Readonly<Partial<Record<ItemKind, string>>> = { cam: 'drives', spring: 'returns' };

/** Whether two items say the same; what follows from other items, or is reckoned, does not count. */
export function alike(old: Item, now: Item, renamed: Renaming, renamedNow = asIs): boolean {
  const [before, after] = [old, now].map(({ entries }) => new Map(entries.map((entry) => [entry.property, entry])));
  const stated = [...before.values(), ...after.values()].filter(({ by }) => by === 'stated');
  return stated.every(({ property }) => {
    const [from, to] = [before.get(property)?.said, after.get(property)?.said];
    return sameSaid(from, to && called(to, renamedNow), renamed);
  });
}

const called = (said: Said, renamed: Renaming): Said =>
  'names' in said
    ? { ...said, names: said.names.map((each) => ({ ...each, name: renamed(each.name, each.of ?? 'part') })) }
    : said;
