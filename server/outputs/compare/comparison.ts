/**
 * What a new version of a design changes: the mechanism in its maker's words, the findings, the parts.
 * Pure: both designs as they were reckoned in, plain data out. Layout, comments and order alone change nothing.
 */
import type { Finding, GlyphTable, Material, Process } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import { finished } from '../../reckon/pausing.ts';
import { cameAndWent, type FindingChanges } from './came-and-went.ts';
import { type Difference, differencesOf } from './differences.ts';
import { fatesOf, type PartFate, type Untold } from './fates.ts';
import { type Mixing, mixingOf } from './mixing.ts';
import { glyphItem, type Item, materialItem, processItem, sheetOf } from './sheet.ts';

/** A file as it was read and reckoned. */
export interface Design {
  readonly mechanisms: readonly Reckoned[];
  /** The tables that the file itself defines. */
  readonly glyphs: readonly GlyphTable[];
  readonly processes: readonly Process[];
  readonly materials: readonly Material[];
  /** All of the file; those of a mechanism among them. */
  readonly findings: readonly Finding[];
}

export interface Comparison {
  /** Of mechanisms that came or went, and of tables that no mechanism of the file stands on. */
  readonly differences: readonly Difference[];
  /** Of the text, not of a mechanism. */
  readonly findings: FindingChanges;
  readonly mechanisms: readonly MechanismComparison[];
}

export interface MechanismComparison {
  readonly name: string;
  /** The older one's name, where it is another. */
  readonly was?: string;
  /** What the texts say. */
  readonly stated: readonly Difference[];
  /** What follows from that, where the texts are silent. */
  readonly follows: readonly Difference[];
  readonly figures: readonly Difference[];
  readonly findings: FindingChanges;
  readonly parts: readonly PartFate[];
  /** Parts that cannot be made of what the texts say, so that nothing is said of them. */
  readonly untold: readonly Untold[];
  readonly mixing: Mixing;
}

/** Pauses before each mechanism, so that others may have the processor. */
export function* comparing(old: Design, now: Design): Generator<void, Comparison> {
  const { pairs, added, removed } = mechanismPairs(old.mechanisms, now.mechanisms);
  const used = inUse(old, now);
  const mechanisms: MechanismComparison[] = [];
  for (const [one, other] of pairs) {
    yield;
    mechanisms.push(mechanismCompared(one, other));
  }
  return {
    differences: [
      ...added.map((name) => mechanism('added', name)),
      ...removed.map((name) => mechanism('removed', name)),
      ...differencesOf(looseTables(old, used), looseTables(now, used), false).differences,
    ],
    findings: cameAndWent(ofText(old), ofText(now), (name) => name),
    mechanisms,
  };
}

export const compared = (old: Design, now: Design): Comparison => finished(comparing(old, now));

/** Whether a builder of the older version has parts to make, to get or to leave out. */
export const partsDiffer = ({ mechanisms, differences }: Comparison): boolean =>
  mechanisms.some(({ parts }) => parts.some(({ fate }) => fate !== 'keeps')) ||
  differences.some(({ kind, what }) => kind === 'mechanism' && what !== 'changed');

const mechanism = (what: 'added' | 'removed', name: string): Difference => ({
  what,
  kind: 'mechanism',
  name,
  among: 1,
});

function mechanismCompared(old: Reckoned, now: Reckoned): MechanismComparison {
  const { differences, matched } = differencesOf(sheetOf(old), sheetOf(now));
  const by = (whence: Difference['by']) => differences.filter((one) => (one.by ?? 'stated') === whence);
  const { fates, untold } = fatesOf(old, now, matched, differences);
  return {
    name: now.mechanism.name,
    ...(old.mechanism.name !== now.mechanism.name && { was: old.mechanism.name }),
    stated: by('stated'),
    follows: by('follows'),
    figures: by('reckoned'),
    findings: cameAndWent(old.findings, now.findings, (name) => matched.nowCalled(name, 'part')),
    parts: fates,
    untold,
    mixing: mixingOf(old, now, differences, fates),
  };
}

function ofText({ findings, mechanisms }: Design): Finding[] {
  const checked = new Set(mechanisms.flatMap((one) => one.findings));
  return findings.filter((finding) => !checked.has(finding));
}

const known = ({ kind, name }: Item): string => `${kind} ${name}`;

const inUse = (...designs: readonly Design[]): ReadonlySet<string> =>
  new Set(designs.flatMap(({ mechanisms }) => mechanisms.flatMap(sheetOf)).map(known));

/** Tables of a file that no mechanism stands on: the others are told with their mechanism. */
const looseTables = ({ glyphs, processes, materials }: Design, used: ReadonlySet<string>): Item[] =>
  [...glyphs.map(glyphItem), ...processes.map(processItem), ...materials.map(materialItem)].filter(
    (item) => !used.has(known(item)),
  );

/** Tables of a file that none of its own mechanisms stands on. */
export const looseItems = (design: Design): Item[] => looseTables(design, inUse(design));

type Pair = readonly [old: Reckoned, now: Reckoned];

/** Mechanisms by name; one that is left on each side is the same under another name, as are those that share most parts. */
export function mechanismPairs(
  old: readonly Reckoned[],
  now: readonly Reckoned[],
): { pairs: Pair[]; added: string[]; removed: string[] } {
  const byName = new Map(now.map((one) => [one.mechanism.name, one]));
  const pairs = new Map<Reckoned, Reckoned>();
  for (const one of old) {
    const other = byName.get(one.mechanism.name);
    if (!other) continue;
    byName.delete(one.mechanism.name);
    pairs.set(other, one);
  }
  const left = old.filter((one) => ![...pairs.values()].includes(one));
  const alone = old.length === 1 && now.length === 1;
  for (const other of now) {
    if (pairs.has(other)) continue;
    const [best] = left
      .map((one) => ({ one, share: alone ? 1 : shareAlike(one, other) }))
      .filter(({ share }) => share > 0.5)
      .sort((a, b) => b.share - a.share);
    if (!best) continue;
    left.splice(left.indexOf(best.one), 1);
    pairs.set(other, best.one);
  }
  return {
    pairs: now.flatMap((other): Pair[] => (pairs.has(other) ? [[pairs.get(other)!, other]] : [])),
    added: now.flatMap((one) => (pairs.has(one) ? [] : [one.mechanism.name])),
    removed: left.map(({ mechanism }) => mechanism.name),
  };
}

/** Share of the parts of two mechanisms that have the same name and kind. */
function shareAlike(old: Reckoned, now: Reckoned): number {
  const [before, after] = [old, now].map((one) => new Set(sheetOf(one).map(known)));
  const both = [...before].filter((each) => after.has(each)).length;
  return (2 * both) / (before.size + after.size);
}
