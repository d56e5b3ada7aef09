/** What becomes of every part that a builder has: whether it stays, may stay, or has to be made again. */
import type { Process } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { Blank } from '../../reckon/parts/engraving.ts';
import { fingerprintOf } from '../../reckon/parts/fingerprint.ts';
import { blanksOf } from '../../reckon/parts/parts.ts';
import type { Difference } from './differences.ts';
import { type Feature, featuresOf } from './fit.ts';
import type { Matched } from './matching.ts';
import { fromTo, type Said, sameSaid } from './said.ts';
import type { Item } from './sheet.ts';
import { changeInBrief } from './wording.ts';

/**
 * `keeps`: the same part. `fits`: another shape, but all that other parts meet in it is the same, so that the old one
 * may stay. `again`: the old one cannot stay. `new`: there was none. `gone`: no longer wanted.
 */
export type Fate = 'keeps' | 'fits' | 'again' | 'new' | 'gone';

export interface PartFate {
  readonly name: string;
  /** Its name before, where it is another. */
  readonly was?: string;
  readonly kind: Blank['kind'] | 'spring' | 'band' | 'other';
  readonly made: 'printed' | 'bought';
  readonly fate: Fate;
  /** In a maker's words. */
  readonly because: readonly string[];
  /** What is not the part's own: it sits elsewhere, or bears another engraving. */
  readonly notes: readonly string[];
  readonly fingerprint?: string;
  /** Of the old one, where it is another. */
  readonly before?: string;
}

/** A part whose shape cannot be told, so that nothing is said of it. */
export interface Untold {
  readonly of: string;
  readonly because: string;
}

export function fatesOf(
  old: Reckoned,
  now: Reckoned,
  matched: Matched,
  differences: readonly Difference[],
): { fates: PartFate[]; untold: Untold[] } {
  const [before, after] = [old, now].map(({ mechanism, figures }) => blanksOf(mechanism, figures, figures.stack));
  const untold = [...after.missing, ...before.missing.filter(({ of }) => !after.missing.some((one) => one.of === of))];
  const unknown = new Set([...untold.map(({ of }) => of), ...before.missing.map(({ of }) => calledNow(of, matched))]);
  const pairs = pairsOf(before.blanks, after.blanks, matched);
  const known = (part: Blank, name: string) => !unknown.has(name) && !unknown.has(part.name);
  const fates = [
    ...after.blanks.flatMap((part): PartFate[] => {
      if (!known(part, part.name)) return [];
      const one = pairs.get(part);
      return [one ? printedFate(one, old, part, now, differences) : fresh(part)];
    }),
    ...before.blanks
      .filter((part) => ![...pairs.values()].includes(part) && known(part, calledNow(part.name, matched)))
      .map(gone),
    ...boughtFates(matched),
  ];
  return { fates, untold: untold.map(({ of, because }) => ({ of, because })) };
}

const fresh = (part: Blank): PartFate => ({
  ...about(part),
  fate: 'new',
  because: [],
  notes: [],
  fingerprint: fingerprintOf(part),
});

const gone = (part: Blank): PartFate => ({
  ...about(part),
  fate: 'gone',
  because: [],
  notes: [],
  before: fingerprintOf(part),
});

const about = ({ name, kind }: Blank) => ({ name, kind, made: 'printed' as const });

/** A part's name in the newer design: every name of the mechanism in it may be another. */
const calledNow = (name: string, { nowCalled }: Matched): string =>
  name
    .split(' ')
    .map((word) => nowCalled(word, 'part'))
    .join(' ');

/** Parts by name, and of what is left those that are the same shape, as spacers that moved are. */
export function pairsOf(old: readonly Blank[], now: readonly Blank[], matched: Matched): Map<Blank, Blank> {
  const pairs = new Map<Blank, Blank>();
  const left = new Set(old);
  const pair = (same: (one: Blank, other: Blank) => boolean) => {
    for (const part of now) {
      if (pairs.has(part)) continue;
      const one = [...left].find((each) => each.kind === part.kind && same(each, part));
      if (!one) continue;
      left.delete(one);
      pairs.set(part, one);
    }
  };
  pair((one, other) => calledNow(one.name, matched) === other.name);
  pair((one, other) => one.kind === 'spacer' && fingerprintOf(one) === fingerprintOf(other));
  return pairs;
}

function printedFate(
  one: Blank,
  old: Reckoned,
  part: Blank,
  now: Reckoned,
  differences: readonly Difference[],
): PartFate {
  const [before, fingerprint] = [one, part].map(fingerprintOf);
  const notes = [
    ...(engravingOf(one, old) === engravingOf(part, now) ? [] : ['engraved otherwise']),
    ...(one.material === part.material ? [] : [`${one.material} → ${part.material}`]),
    ...(one.seats.length === part.seats.length ? [] : [`${one.seats.length} → ${part.seats.length} of them`]),
    ...movedInWords(one, part),
  ];
  const common = {
    ...about(part),
    ...(one.name !== part.name && { was: one.name }),
    notes,
    fingerprint,
    ...(before !== fingerprint && { before }),
  };
  if (before === fingerprint) {
    const fits = one.material !== part.material || one.seats.length !== part.seats.length;
    return { ...common, fate: fits ? 'fits' : 'keeps', because: [] };
  }
  const { told, bare, more } = featureChanges(featuresOf(one, old), featuresOf(part, now));
  const again = told.length + bare.length > 0;
  // What the text says of it tells more than that its shape is another.
  const said = told.length && part.kind !== 'bar' ? told : [...saidOf(part, differences), ...told];
  return { ...common, fate: again ? 'again' : 'fits', because: said.length ? [...said, ...more] : bare };
}

/** Everything that says what is engraved on a part of one shape; to engrave it takes longer than all else. */
function engravingOf(part: Blank, { mechanism: m, figures }: Reckoned): string {
  const number = blanksOf(m, figures, figures.stack).blanks.indexOf(part);
  const made = [
    m.process,
    ...[m.shafts, m.gears, m.segments, m.cams, m.ratchets, m.pushes, m.frame ?? []].flat().map(processOf),
  ];
  const { layer, nozzle, wall } = made.find(({ name }) => name === part.process) ?? m.process;
  const marks = part.room?.marks?.map((mark) => mark.toFixed(6));
  return JSON.stringify([part.name, number, m.about.revision, layer.value, nozzle.value, wall.value, marks]);
}

const processOf = ({ process }: { readonly process: Process }): Process => process;

/** What is said of a part otherwise than before; of parts of a push, of that. */
function saidOf({ name, seats: [seat] }: Blank, differences: readonly Difference[]): string[] {
  const names = [name, ...(seat?.moves.with === 'push' ? [seat.moves.name] : [])];
  return differences
    .filter((one) => one.what === 'changed' && names.includes(one.name) && one.by !== 'reckoned')
    .map(changeInBrief);
}

/** Where a part sits is not its own: at another depth, on another shaft, elsewhere on the face. */
function movedInWords({ seats: [from] }: Blank, { seats: [to] }: Blank): string[] {
  if (!from || !to) return [];
  const moved = (a: number, b: number) => Math.abs(a - b) > 5e-4;
  return [
    ...(moved(from.z, to.z) ? [`sits ${fromTo(depth(from.z), depth(to.z))} behind the face`] : []),
    ...(moved(from.x, to.x) || moved(from.y, to.y) ? ['sits elsewhere'] : []),
  ];
}

const depth = (z: number) => ({ number: -z, unit: 'mm' as const });

/** What other parts meet otherwise, in words; `bare` is what has no value to read, `more` what of that stands beside `told`. */
function featureChanges(
  old: readonly Feature[],
  now: readonly Feature[],
): { told: string[]; bare: string[]; more: string[] } {
  const said = new Map(old.map((feature) => [feature.what, feature]));
  const after = new Set(now.map(({ what }) => what));
  const changed = now.filter((feature) => !same(said.get(feature.what)?.said, feature.said));
  const others = ({ what, bare }: Feature): string[] => (bare ? [`other ${what}`] : []);
  const stands = ({ bare }: Feature) =>
    bare?.beside.every((one) => one !== 'anything' && !changed.some(({ what }) => what === one));
  return {
    told: [
      ...changed.flatMap(({ what, said: to, bare }) => (bare ? [] : [`${what} ${fromTo(said.get(what)?.said, to)}`])),
      ...old.flatMap(({ what, bare }) => (bare || after.has(what) ? [] : [`no ${what}`])),
    ],
    bare: changed.flatMap(others),
    more: changed.filter(stands).flatMap(others),
  };
}

const same = (from: Said | undefined, to: Said): boolean => sameSaid(from, to, (name) => name, shapely(to) ? 5e-4 : 0);

/** Shapes are told apart to half a thousandth, as their fingerprints are. */
const shapely = (said: Said): boolean => 'unit' in said && (said.unit === 'mm' || said.unit === '°');

// ---- bought ---------------------------------------------------------------------------------

/** By what a spring or a band is asked for in a shop; how it is put in is not among it. */
const asked = [
  'coil',
  'wire',
  'mean',
  'turns',
  'free',
  'modulus',
  'rate',
  'section width',
  'section height',
  'loop',
  'shear',
];

const boughtKinds = { spring: 'spring', band: 'band', bought: 'other' } as const;

const isBought = (item: Item): item is Item & { kind: keyof typeof boughtKinds } => item.kind in boughtKinds;

function boughtFates({ pairs, added, removed }: Matched): PartFate[] {
  return [
    ...pairs.flatMap(([one, item]) => {
      if (!isBought(item)) return [];
      const because = [...askedChanges(one, item), ...numberChange(one, item)];
      return [boughtFate(item, because.length ? 'again' : 'keeps', because, one.name)];
    }),
    ...added.filter(isBought).map((item) => boughtFate(item, 'new', [])),
    ...removed.filter(isBought).map((item) => boughtFate(item, 'gone', [])),
  ];
}

const boughtFate = (
  item: Item & { kind: keyof typeof boughtKinds },
  fate: Fate,
  because: readonly string[],
  was = item.name,
): PartFate => ({
  name: item.name,
  ...(was !== item.name && { was }),
  kind: boughtKinds[item.kind],
  made: 'bought',
  fate,
  because,
  notes: [],
});

function askedChanges(old: Item, now: Item): string[] {
  const [before, after] = [old, now].map(({ entries }) =>
    entries.flatMap(({ property, said }): Feature[] => (asked.includes(property) ? [{ what: property, said }] : [])),
  );
  return featureChanges(before, after).told;
}

/** A spring stands on every bar that it returns. */
function numberChange(old: Item, now: Item): string[] {
  const [before, after] = [old, now].map(({ entries }) =>
    entries.reduce((number, { property, said }) => {
      if (property === 'returns' && 'names' in said) return said.names.length;
      return property === 'number' && 'number' in said ? said.number : number;
    }, 1),
  );
  return before === after ? [] : [`number ${before} → ${after}`];
}
