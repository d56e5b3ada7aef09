/**
 * From what a builder sees to what was put together wrongly: every single fault of assembly that is possible, the faces
 * that it shows, and which faults no face tells apart.
 *
 * A face is what each bar does when it has come to rest. Positions are counted from home, as the shafts stand when every
 * part is where it is due; what hangs is seen after one whole turn. One fault at a time: two together may look like a third.
 */
import type { Mechanism } from '../../language/mechanism.ts';
import { grouped, litBy } from '../checks/check.ts';
import type { Figures } from '../reckon/figures.ts';
import type { UnreckonedPart } from '../reckon/shape/bodies.ts';
import { barFaults } from './symptoms/bars.ts';
import { type Face, facesOf, type Ground, groundOf } from './symptoms/build.ts';
import { camFaults } from './symptoms/cams.ts';
import type { Fault, Faults, RuledOut } from './symptoms/fault.ts';
import { gearFaults } from './symptoms/gears.ts';
import { returnFaults } from './symptoms/returns.ts';
import { steppingFaults } from './symptoms/stepping.ts';

export type { Face, Seen } from './symptoms/build.ts';
export type { Fault, FaultKind, RuledOut } from './symptoms/fault.ts';

/** Faults that show the same face at every position. */
export interface FaultGroup {
  readonly faults: readonly Fault[];
  /** At every rest position, from home. */
  readonly faces: readonly Face[];
  /** The positions at which it shows another face than it should. */
  readonly spoilt: readonly number[];
  /** Numbers of the groups that look the same to whoever does not know where home is, its own left out. */
  readonly kin: readonly number[];
}

/** Plain data, small enough to ride in a page. */
export interface SymptomTable {
  readonly name: string;
  readonly title: string;
  readonly runs: 'forward' | 'reverse' | 'either';
  /** The shaft whose rests are counted. */
  readonly leading?: string;
  /** The bars, in the order of a face's letters. */
  readonly segments: readonly string[];
  /** Those of them that are shown when their follower is lowered. */
  readonly lowered: readonly string[];
  /** The symbol that each rest position should show. */
  readonly symbols: readonly string[];
  /** The faces when all is put together rightly. */
  readonly right: readonly Face[];
  /** The symbols that each face of the glyph table is, counted ones first. */
  readonly glyphs: Readonly<Record<Face, readonly string[]>>;
  /** The first is what shows nothing wrong: all put together rightly, or a fault that no face tells of. */
  readonly groups: readonly FaultGroup[];
  readonly impossible: readonly RuledOut[];
  /** What could not be simulated, and why. */
  readonly untold: readonly UnreckonedPart[];
  /** It has springs, bands or a push, which can hurt. */
  readonly stored: boolean;
}

/** Why there is no table, and what would allow one. */
export interface NoTable {
  readonly name: string;
  readonly title: string;
  readonly because: string;
}

export function symptomsOf(m: Mechanism, figures: Figures): SymptomTable | NoTable {
  const title = m.about.title ?? m.name;
  const ground = groundOf(m, figures);
  if (!ground) return { name: m.name, title, because: lacking(m) };
  const kinds = [camFaults, gearFaults, returnFaults, barFaults, steppingFaults].map((faultsOf) => faultsOf(ground));
  const { seen, untold } = simulated(ground, kinds);
  const rightly = { faces: ground.right };
  const groups = grouped<Pick<Shown, 'faces'> & Partial<Shown>>([rightly, ...seen], ({ faces }) => faces.join());
  const rolls = groups.map(([{ faces }]) => rolled(faces));
  return {
    name: m.name,
    title,
    runs: m.runs.value,
    ...(figures.leading !== undefined && { leading: figures.leading }),
    segments: ground.segments,
    lowered: m.segments.flatMap(({ name, shown }) =>
      shown.value === 'lowered' && ground.segments.includes(name) ? [name] : [],
    ),
    symbols: figures.positions.map(({ symbol }) => symbol),
    right: ground.right,
    glyphs: glyphsOf(ground),
    groups: groups.map((group, index) => ({
      faults: group.flatMap(({ fault }) => fault ?? []),
      faces: group[0].faces,
      spoilt: group[0].faces.flatMap((face, i) => (face === ground.right[i] ? [] : [i])),
      kin: rolls.flatMap((roll, other) => (other !== index && roll === rolls[index] ? [other] : [])),
    })),
    impossible: kinds.flatMap(({ impossible }) => impossible),
    untold,
    stored: m.springs.length + m.bands.length + m.pushes.length > 0,
  };
}

interface Shown {
  readonly fault: Fault;
  readonly faces: readonly Face[];
}

function simulated(ground: Ground, kinds: readonly Faults[]) {
  const seen: Shown[] = [];
  const untold = new Map<string, UnreckonedPart>();
  const tell = (part: UnreckonedPart) => untold.set(`${part.of} ${part.because}`, part);
  for (const { possible, untold: known } of kinds) {
    for (const part of known) tell(part);
    for (const { fault, build } of possible) {
      const faces = facesOf(ground, build);
      if ('because' in faces) tell({ of: fault.what, because: faces.because });
      else seen.push({ fault, faces });
    }
  }
  return { seen, untold: [...untold.values()] };
}

function lacking(m: Mechanism): string {
  if (!m.count) return `${m.name} says no count, so that it has no rest positions to look at`;
  if (!m.cams.length) return `${m.name} has no cam that moves a bar`;
  return `no bar of ${m.name} is reckoned yet; lobewright check says what is missing`;
}

/** The faces that the glyph table knows, as far as these bars can show them. */
function glyphsOf({ m, segments, figures }: Ground): Record<Face, string[]> {
  const table = m.glyphs?.value;
  if (!table) return {};
  const glyphs: Record<Face, string[]> = {};
  const lit = litBy(table);
  const counted = figures.positions.map(({ symbol }) => symbol);
  for (const symbol of new Set([...counted, ...lit.keys()])) {
    const shown = lit.get(symbol);
    if (!shown || [...shown].some((name) => !segments.includes(name))) continue;
    const face = segments.map((name) => (shown.has(name) ? '1' : '0')).join('');
    glyphs[face] = [...(glyphs[face] ?? []), symbol];
  }
  return glyphs;
}

/**
 * A text that is the same for faces that differ only in where one starts to look: the least of all turns of the list, found
 * by letting two starts race (known as the minimal rotation; from memory).
 */
function rolled(faces: readonly Face[]): string {
  const count = faces.length;
  let [one, other, alike] = [0, 1, 0];
  while (one < count && other < count && alike < count) {
    const [a, b] = [faces[(one + alike) % count], faces[(other + alike) % count]];
    if (a === b) {
      alike++;
      continue;
    }
    if (a > b) one += alike + 1;
    else other += alike + 1;
    if (one === other) other++;
    alike = 0;
  }
  const start = Math.min(one, other);
  return [...faces.slice(start), ...faces.slice(0, start)].join();
}
