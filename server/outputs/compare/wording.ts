/** Differences as sentences in a maker's words. */
import { list } from '../../checks/check.ts';
import type { Difference } from './differences.ts';
import { fromTo } from './said.ts';
import type { ItemKind } from './sheet.ts';

/** How parts of a kind are called: one and several; a cam goes by its name alone. */
const nouns: Readonly<Record<ItemKind, readonly [one: string, many: string]>> = {
  mechanism: ['mechanism ', 'mechanisms '],
  limits: ['', ''],
  shaft: ['shaft ', 'shafts '],
  key: ['key ', 'keys '],
  gear: ['gear ', 'gears '],
  mesh: ['mesh ', 'meshes '],
  segment: ['bar ', 'bars '],
  cam: ['', ''],
  spring: ['spring ', 'springs '],
  post: ['post ', 'posts '],
  band: ['band ', 'bands '],
  ratchet: ['ratchet ', 'ratchets '],
  push: ['push ', 'pushes '],
  frame: ['', ''],
  process: ['process ', 'processes '],
  material: ['material ', 'materials '],
  glyphs: ['glyphs ', 'glyphs '],
  bought: ['bought ', 'bought '],
  accept: ['accept ', 'accept '],
};

/** "bar e", "bars a and b", "camE". */
export function partsInWords(kind: ItemKind, names: readonly string[]): string {
  return `${nouns[kind][names.length === 1 ? 0 : 1]}${list(names)}`;
}

const everyOf = (kind: ItemKind): string => `every ${kind === 'cam' ? 'cam' : nouns[kind][0].trimEnd()}`;

/** Properties whose name in the text says little by itself. */
const calledOtherwise: Readonly<Record<string, string>> = {
  'at x': 'x',
  'at y': 'y',
  leads: 'leads',
  'count times': 'times the count',
};

/** The differences as sentences, the same of several parts as one: "bars a and b: stroke 4 → 4.5 mm", "camX added". */
export function differencesInWords(all: readonly Difference[]): string[] {
  const groups = new Map<string, Difference[]>();
  for (const one of all) {
    const { what, kind, name } = one;
    const key = [what, kind, ...(what === 'renamed' ? [name] : [one.by, changeInBrief(one)])].join('\n');
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].map(sentence);
}

function sentence(group: readonly Difference[]): string {
  const [one] = group;
  const { what, kind, among, was } = one;
  const names = group.map(({ name }) => name);
  const parts = partsInWords(kind, names);
  const unnamed = kind === 'bought' || kind === 'accept';
  switch (what) {
    case 'added':
      return unnamed ? `new: ${parts}` : `${parts} added`;
    case 'removed':
      return unnamed ? `no longer: ${parts}` : `${parts} taken out`;
    case 'renamed':
      return `${parts} was called ${was}`;
    case 'changed': {
      if (kind === 'mechanism') return changeInWords(one);
      if (kind === 'limits') return `limit of ${changeInWords(one)}`;
      if (names.length === 1) return `${parts}: ${changeInWords(one)}`;
      return `${names.length === among ? everyOf(kind) : parts}: ${changeInBrief(one)}`;
    }
  }
}

/** "stroke 4 → 4.5 mm": the change without its part, and without where it is met. */
export function changeInBrief({ kind, property = '', from, to, by, because, decimals }: Difference): string {
  const said = fromTo(from, to, decimals, by === 'reckoned' ? 'reckoned' : 'given');
  const called = kind === 'glyphs' ? `${property} shows` : (calledOtherwise[property] ?? property);
  return `${called} ${said}${because === undefined ? '' : ` (${because})`}`;
}

/** The change without its part. */
const changeInWords = (one: Difference): string =>
  one.at === undefined ? changeInBrief(one) : `${changeInBrief(one)} (${one.at})`;
