/**
 * Whether parts of the old version and of the new may stand in one numeral. Judged by what they meet each other with:
 * keys, teeth, depths, noses on cams, bars beside bars, the count; a numeral of mixed parts is not reckoned.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import { millimetres } from '../../checks/check.ts';
import type { Reckoned } from '../../protocol.ts';
import type { Figures } from '../../reckon/figures.ts';
import type { FramePlan } from '../../reckon/frame/plan.ts';
import type { Blank } from '../../reckon/parts/engraving.ts';
import { type Blanks, blanksOf } from '../../reckon/parts/parts.ts';
import { roundedThrough } from '../rounded.ts';
import type { Difference } from './differences.ts';
import type { PartFate } from './fates.ts';
import { shaftUnder } from './fit.ts';
import { fromTo } from './said.ts';
import { changeInBrief, partsInWords } from './wording.ts';

export type Meeting = 'key' | 'mesh' | 'levels' | 'cam and bar' | 'face' | 'frame' | 'count' | 'stepping';

export interface Interface {
  readonly kind: Meeting;
  /** Where parts meet: "key dee", "mesh wheel–pinion", "camE and bar e", "levels", "count". */
  readonly name: string;
  readonly same: boolean;
  /** What is another there, in a maker's words; empty where it is the same. */
  readonly because: readonly string[];
  /** The parts that meet there. */
  readonly parts: readonly string[];
}

export interface Mixing {
  /** Every old part that is kept may stand beside every new one. */
  readonly free: boolean;
  readonly interfaces: readonly Interface[];
  /** Parts to make or to get that have to be exchanged in one go; a part that goes by itself is in none. */
  readonly together: readonly (readonly string[])[];
}

export function mixingOf(
  old: Reckoned,
  now: Reckoned,
  differences: readonly Difference[],
  fates: readonly PartFate[],
): Mixing {
  const { mechanism: m, figures } = now;
  const { blanks, frame } = blanksIn(now);
  const interfaces = [
    ...keys(m, blanks, differences),
    ...meshes(m, differences),
    ...levels(m, old.figures, figures),
    ...followers(m, differences),
    ...faces(m, figures, platesIn(blanks), differences),
    ...frames(blanksIn(old).frame, frame, blanks),
    ...counting(m, differences),
    ...stepping(m, differences),
  ];
  const changed = new Set(fates.flatMap(({ name, fate }) => (fate === 'keeps' || fate === 'gone' ? [] : [name])));
  const broken = interfaces.filter(({ same }) => !same);
  return {
    free: broken.length === 0,
    interfaces,
    together: tied(broken.map(({ parts }) => parts.filter((part) => changed.has(part)))),
  };
}

const blanksIn = ({ mechanism, figures }: Reckoned): Blanks => blanksOf(mechanism, figures, figures.stack);

/** An interface from the differences that make it another. */
const made = (
  kind: Meeting,
  name: string,
  parts: readonly string[],
  differences: readonly Difference[],
): Interface => ({
  kind,
  name,
  same: differences.length === 0,
  because: [...new Set(differences.map(changeInBrief))],
  parts,
});

/** Differences of one part in some of its properties; that it is new or gone is none. */
const changes = (
  all: readonly Difference[],
  kind: Difference['kind'],
  name: string,
  properties?: RegExp,
): Difference[] =>
  all.filter(
    (one) =>
      one.what === 'changed' &&
      one.kind === kind &&
      one.name === name &&
      (!properties || properties.test(one.property!)),
  );

function keys(m: Mechanism, blanks: readonly Blank[], all: readonly Difference[]): Interface[] {
  /** Parts with a bore on a shaft; of those that cannot be made, the names. */
  const ridersOf = (shaft: string): string[] => {
    const bored = blanks.filter((part) => shaftUnder(part, m)?.name === shaft).map(({ name }) => name);
    const said = [m.cams, m.gears, m.ratchets].flat().flatMap((one) => (one.shaft?.name === shaft ? [one.name] : []));
    return [...new Set([...said, ...bored])];
  };
  const keyed = m.keys.map((key) => {
    const shafts = m.shafts.filter((shaft) => shaft.key?.name === key.name).map(({ name }) => name);
    return made(
      'key',
      partsInWords('key', [key.name]),
      [...shafts, ...shafts.flatMap((shaft) => ridersOf(shaft))],
      [...changes(all, 'key', key.name), ...shafts.flatMap((shaft) => changes(all, 'shaft', shaft, /^key$/))],
    );
  });
  const round = m.shafts.flatMap(({ name, key }) =>
    key
      ? []
      : [made('key', `bore on ${name}`, [name, ...ridersOf(name)], changes(all, 'shaft', name, /^(key|bearing)/))],
  );
  return [...keyed, ...round];
}

function meshes(m: Mechanism, all: readonly Difference[]): Interface[] {
  const teeth = /^(module|teeth|pressure angle|shift|mark)$/;
  return m.meshes.map(({ name, gears }) => {
    const names = gears.map((gear) => gear.name);
    return made('mesh', partsInWords('mesh', [name]), names, [
      ...changes(all, 'mesh', name, /^centre distance$/),
      ...names.flatMap((gear) => changes(all, 'gear', gear, teeth)),
    ]);
  });
}

/** Depths at which the parts of a level lie. */
function levels(m: Mechanism, { stack: old }: Figures, { stack: now }: Figures): Interface[] {
  const before = new Map(old.levels.map(({ level, ...depth }) => [level, depth]));
  const moved = now.levels.flatMap(({ level, from, to }) => {
    const was = before.get(level);
    if (!was || (same(was.from, from) && same(was.to, to))) return [];
    const said = ({ from, to }: { from: number; to: number }) => `${millimetres(from, 3)} to ${millimetres(to, 3)}`;
    return [{ level, because: `level ${level} lies ${said(was)} → ${said({ from, to })} behind the face` }];
  });
  const at = new Set(moved.map(({ level }) => level));
  const stacked = now.parts.filter(({ level, kind }) => level !== undefined && at.has(level) && kind !== 'flange');
  const spacers = stacked.map(({ kind, name, level }) => (kind === 'spacer' ? `${name} spacer ${level}` : name));
  const bars = now.followers.filter(({ level }) => at.has(level)).map(({ segment }) => segment);
  const all = [...m.shafts.map(({ name }) => name), ...now.parts.map(({ name }) => name)];
  const parts = moved.length ? [...spacers, ...bars] : all;
  return now.levels.length
    ? [
        {
          kind: 'levels',
          name: 'levels',
          same: !moved.length,
          because: moved.map(({ because }) => because),
          parts: [...new Set(parts)],
        },
      ]
    : [];
}

const same = (one: number, other: number): boolean => Math.abs(one - other) < 5e-4;

/** A nose on its cam. */
function followers(m: Mechanism, all: readonly Difference[]): Interface[] {
  const met = /^(stroke|nose|azimuth|offset|shown|follower.*)$/;
  return m.cams.map((cam) => {
    const bars = cam.segments.map(({ name }) => name);
    return made(
      'cam and bar',
      `${cam.name} and ${partsInWords('segment', bars)}`,
      [cam.name, ...bars],
      [
        ...changes(all, 'cam', cam.name, /^(base|drives|on)$/),
        ...bars.flatMap((bar) => changes(all, 'segment', bar, met)),
      ],
    );
  });
}

/** Bars that come this near to each other, mm, are made for each other. */
const near = 3;

/** A bar's outline, its neighbours, its guide and the plate that it stands in. */
function faces(
  m: Mechanism,
  { encounters }: Figures,
  plates: readonly string[],
  all: readonly Difference[],
): Interface[] {
  return m.segments.map(({ name }) => {
    const beside = encounters.bars.filter(({ segments, gap }) => segments.includes(name) && gap < near);
    const others = new Set(beside.flatMap(({ segments }) => segments));
    return made(
      'face',
      `the face round ${partsInWords('segment', [name])}`,
      [...new Set([name, ...others, ...plates])],
      [...changes(all, 'segment', name, /^(bar|post|window|guide|stem|fit|overhang)\b/)],
    );
  });
}

const platesIn = (blanks: readonly Blank[]): string[] =>
  blanks.flatMap(({ kind, name }) => (kind === 'plate' || kind === 'pillar' ? [name] : []));

/** What reaches from plate to plate, or stands in one. */
const inFrames: ReadonlySet<Blank['kind']> = new Set(['shaft', 'bar', 'pawl', 'button']);

/** Plates and pillars with each other, and with what they hold. */
function frames(old: FramePlan | undefined, now: FramePlan | undefined, blanks: readonly Blank[]): Interface[] {
  if (!now) return [];
  const held = blanks.flatMap(({ kind, name }) => (inFrames.has(kind) ? [name] : []));
  const because = old ? framesDiffer(old, now) : ['there was no frame before'];
  return [{ kind: 'frame', name: 'the frame', same: !because.length, because, parts: [...platesIn(blanks), ...held] }];
}

function framesDiffer(old: FramePlan, now: FramePlan): string[] {
  const length = (what: string, of: (plan: FramePlan) => number): string[] =>
    same(of(old), of(now))
      ? []
      : [`${what} ${fromTo({ number: of(old), unit: 'mm' }, { number: of(now), unit: 'mm' })}`];
  const elsewhere = (what: string, of: (plan: FramePlan) => unknown): string[] => {
    const [before, after] = [old, now].map((plan) => JSON.stringify(roundedThrough(of(plan))));
    return before === after ? [] : [`its ${what} elsewhere`];
  };
  const screws = ({ frame, screws }: FramePlan): string =>
    JSON.stringify([frame.screws.value, screws.map(({ x, y }) => [x.toFixed(3), y.toFixed(3)])]);
  return [
    ...length('plates', ({ frame }) => frame.thickness.value),
    ...length('behind the face its plate begins at', ({ face }) => -face.from),
    ...length('between the plates', ({ face, back }) => face.from - back.to),
    ...(screws(old) === screws(now) ? [] : ['its screws sit elsewhere, or are others']),
    ...elsewhere('springs end', ({ springs }) => springs.map(({ moving, fixed, depth }) => [moving, fixed, depth])),
    ...elsewhere('pawls sit', ({ pawls }) => pawls.seats.map(({ ratchet: _, ...seat }) => seat)),
    ...elsewhere('rails of buttons lie', ({ rails }) => rails.map(({ walls, stop }) => [walls, stop])),
  ];
}

/** What is shown when: the cams have to agree on it. */
function counting(m: Mechanism, all: readonly Difference[]): Interface[] {
  if (!m.cams.length) return [];
  const parts = [...m.cams.map(({ name }) => name), ...m.ratchets.map(({ name }) => name)];
  return [
    made('count', 'what is counted', parts, [
      ...changes(all, 'mechanism', m.name, /^(count|count times|runs)$/),
      ...m.shafts.flatMap(({ name }) => changes(all, 'shaft', name, /^turns/)),
    ]),
  ];
}

function stepping(m: Mechanism, all: readonly Difference[]): Interface[] {
  const own = /^(teeth|arm.*|start|stroke|on|turns|deflection)$/;
  return [
    ...m.ratchets.map(({ name }) =>
      made('stepping', partsInWords('ratchet', [name]), [name], changes(all, 'ratchet', name, own)),
    ),
    ...m.pushes.map(({ name }) =>
      made('stepping', partsInWords('push', [name]), [name], changes(all, 'push', name, own)),
    ),
  ];
}

/** Sets of parts that hang together through sets that they are in; those of more than one part. */
function tied(sets: readonly (readonly string[])[]): string[][] {
  let groups: string[][] = [];
  for (const set of sets) {
    const met = groups.filter((group) => group.some((name) => set.includes(name)));
    groups = [...groups.filter((group) => !met.includes(group)), [...new Set([...met.flat(), ...set])]];
  }
  return groups.filter((group) => group.length > 1);
}
