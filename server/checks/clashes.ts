/** What the checks of things that meet have in common: how deep, when, and which of them have one cause. */
import type { Cam, Change, Given, Mechanism, Part, Place, Segment } from '../../language/mechanism.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import { radians, turn } from '../reckon/motion/angles.ts';
import { camAngle } from '../reckon/motion/lift.ts';
import type { BodyName } from '../reckon/shape/bodies.ts';
import { liftAfter, type Motion, motionOf } from '../reckon/shape/movers.ts';
import { type Encounter, touch } from '../reckon/shape/over-turn.ts';
import type { SliderName } from '../reckon/shape/posts.ts';
import {
  at,
  degrees,
  grouped,
  inDegrees,
  isUnique,
  list,
  millimetres,
  named,
  placeKey,
  plain,
  rewriting,
  roundDown,
  symbol,
  symbols,
} from './check.ts';
import { isUndercut } from './sizes.ts';

// ---- parts that meet ---------------------------------------------------------------------------------------

/** A part that turns, slides or stands, as the figures name it. */
export type Meeting = BodyName | SliderName;

export const isSlider = (one: Meeting): one is SliderName => 'segment' in one;

/** The name by which the text knows it: a flange goes by its cam, a post by its segment. */
export const nameOf = (one: Meeting): string => (isSlider(one) ? one.segment : one.name);

/** "the flange of camA", "gear third". */
export function inWords(one: Meeting): string {
  if (isSlider(one)) return `the ${one.kind} of ${one.segment}`;
  if (one.kind === 'flange') return `the flange of ${one.name}`;
  return one.kind === 'cam' ? one.name : `${one.kind} ${one.name}`;
}

/** Whether two things touch for sure, on whatever grid. */
export const meets = ({ gap }: Encounter): boolean => gap < -touch;

/** The cam that works a segment, or that is the part itself. */
export const camFigureOf = (f: Figures, name: string): CamFigure | undefined =>
  named(f.cams, name) ?? f.cams.find(({ segments }) => segments.includes(name));

/** All whose mistakes may show as a clash of these: they themselves, their cams and segments, and their shafts. */
export function kin(f: Figures, names: readonly string[]): string[] {
  const cams = names.flatMap((name) => camFigureOf(f, name) ?? []);
  const shafts = names.flatMap((name) => named(f.gears, name)?.shaft ?? []);
  return [
    ...names,
    ...cams.flatMap(({ name, segments, shaft }) => [name, ...segments.slice(0, 1), shaft]),
    ...shafts,
  ].filter(isUnique);
}

/** Whether the design says of any of these that a finding may stand. */
export function isAccepted(m: Mechanism, code: string, names: readonly string[]): boolean {
  return m.acceptances.some(
    (one) => one.code === code && (one.on === undefined || [m.name, ...names].includes(one.on)),
  );
}

/**
 * Whether a part reaches where it does through numbers that any cure of a steep or undercut cam changes: stem, nose, arm
 * and guide of its follower, and, of an undercut one, a flange that states no radius. Not the cam itself.
 */
export function followsFromShape(m: Mechanism, f: Figures, one: Meeting): boolean {
  const figure = ['stem', 'nose', 'arm', 'guide', 'flange'].includes(one.kind)
    ? camFigureOf(f, nameOf(one))
    : undefined;
  if (!figure) return false;
  const names = [figure.name, ...figure.segments.slice(0, 1)];
  if (isUndercut(figure) && !isAccepted(m, 'undercut-cam', names)) {
    const radius = named(m.cams, figure.name)?.flangeRadius;
    if (one.kind !== 'flange' || !radius || radius.by === 'default') return true;
  }
  const isSteep = (figure.pressureAngle?.value ?? 0) > m.limits.pressureAngle.value + 1e-9;
  return one.kind !== 'flange' && isSteep && !isAccepted(m, 'steep-cam', names);
}

/** Whether it is a shaft whose key breaks out of what it carries: that is told, and all that the shaft reaches follows. */
export function followsFromKey(m: Mechanism, f: Figures, one: Meeting): boolean {
  const key = one.kind === 'shaft' && !isSlider(one) ? named(m.shafts, one.shaft)?.key?.name : undefined;
  return f.keyed.parts.some(
    ({ kind, name, key: on, wall }) =>
      on === key && wall && wall.value <= 0 && !isAccepted(m, `thin-${kind}`, [name, on]),
  );
}

/**
 * The nose through which two parts reach into each other, and the most that it could be: one larger than its lobe is
 * high, which a flange, a guide or a stem follows that states no size of its own. Undefined where none is to blame, or
 * none that can be made would do.
 */
export function noseBehind(m: Mechanism, between: readonly [Meeting, Meeting], clash: Encounter) {
  const followers = between.flatMap((one) => followerOfNose(m, one) ?? []);
  const [same] = grouped(followers, ({ nose }) => placeKey(nose!.place)).sort((a, b) => b.length - a.length);
  const [segment] = same ?? [];
  if (!segment || isAccepted(m, 'large-nose', [segment.name])) return undefined;
  const nose = segment.nose!;
  // Where both follow it, each draws back.
  const most = nose.value - clearOf(clash) / same.length;
  return most >= segment.process.wall.value ? { segment, nose, most } : undefined;
}

/** The most that a nose could be for all that runs into each other through it. */
export function roomForNose(m: Mechanism, f: Figures, nose: Given<number>): number {
  const { clearances, posts } = f.encounters;
  const all = [
    ...clearances.filter(meets).map((one) => noseBehind(m, one.between, one)),
    ...posts.filter(meets).map((one) => noseBehind(m, [one.of, one.against], one)),
  ];
  const own = all.filter((cause) => cause && placeKey(cause.nose.place) === placeKey(nose.place));
  return Math.min(...own.map((cause) => cause!.most));
}

function followerOfNose(m: Mechanism, one: Meeting): Segment | undefined {
  const cam = one.kind === 'flange' && !isSlider(one) ? named(m.cams, one.name) : undefined;
  const segment = isSlider(one) ? named(m.segments, one.segment) : named(m.segments, cam?.segments[0]?.name);
  const { nose, stroke, overhang, stem } = segment ?? {};
  if (!nose || !stroke || nose.value <= stroke.value) return undefined;
  const sizes = cam ? [cam.flangeRadius] : one.kind === 'guide' || one.kind === 'stem' ? [overhang, stem] : [];
  return sizes.some((given) => given?.by === 'default') ? segment : undefined;
}

/** Whether these meet only because two shafts in mesh stand nearer to each other than their teeth want: that is told. */
export function followsFromCentres(m: Mechanism, f: Figures, names: readonly string[], { gap }: Encounter): boolean {
  const shafts = names.flatMap((name) => named(m.shafts, name) ?? []).map(({ name }) => name);
  return f.meshes.some(({ gears, centreDistance, idealCentreDistance }) => {
    const between = gears.map((name) => named(f.gears, name)?.shaft);
    if (!between.every((name) => name !== undefined && shafts.includes(name))) return false;
    return idealCentreDistance - centreDistance >= -gap && !isAccepted(m, 'centre-distance', [...gears, ...shafts]);
  });
}

/** Whether all that these follow from is understood: nothing is told by a guess. */
export function isClear(m: Mechanism, f: Figures, names: readonly string[]): boolean {
  const all: readonly Part[] = [...m.cams, ...m.gears, ...m.segments, ...m.shafts];
  const parts = kin(f, names).flatMap((name) => named(all, name) ?? []);
  const keys = m.shafts.filter((shaft) => parts.includes(shaft)).flatMap(({ key }) => named(m.keys, key?.name) ?? []);
  return [...parts, ...keys].every(({ unclear }) => unclear.length === 0);
}

// ---- one cause ---------------------------------------------------------------------------------------------

export interface Cause<T> {
  /** The part that all of them are about. */
  readonly chief: string;
  /** The deepest first. */
  readonly clashes: readonly [T, ...T[]];
}

/**
 * Clashes by what most likely causes them: again and again the part that meets the most others takes all of its
 * clashes with it; of those that meet as many, the one that `firstOf` names for the deepest.
 */
export function byCause<T extends Encounter>(
  clashes: readonly T[],
  ends: (clash: T) => readonly [string, string],
  firstOf: (clash: T) => string,
): Cause<T>[] {
  const causes: Cause<T>[] = [];
  let rest = [...clashes].sort((a, b) => a.gap - b.gap);
  while (rest.length > 0) {
    const partners = new Map<string, Set<string>>();
    for (const clash of rest) {
      const [one, other] = ends(clash);
      partners.set(one, (partners.get(one) ?? new Set()).add(other));
      partners.set(other, (partners.get(other) ?? new Set()).add(one));
    }
    const number = (name: string) => partners.get(name)?.size ?? 0;
    const most = Math.max(...[...partners.values()].map(({ size }) => size));
    const deepest = rest.find((clash) => ends(clash).some((name) => number(name) === most))!;
    const named = firstOf(deepest);
    const chief = number(named) === most ? named : ends(deepest).find((name) => number(name) === most)!;
    const [first, ...others] = rest.filter((clash) => ends(clash).includes(chief));
    causes.push({ chief, clashes: [first, ...others] });
    rest = rest.filter((clash) => !ends(clash).includes(chief));
  }
  return causes;
}

// ---- how deep, and when --------------------------------------------------------------------------------------

/** A gap that is off by less than this, mm, is told to a hundredth. */
const exact = 0.01;

/** Off by more than this, mm, only the least depth is told. */
const rough = 0.3;

/** "1.25 mm", as exactly as it is known. */
export function depthInWords({ gap, within }: Encounter): string {
  const decimals = within < exact ? 2 : 1;
  const least = 10 ** -decimals;
  const text = millimetres(-gap, decimals);
  if (-gap < least / 2) return `less than ${plain(least, decimals)} mm`;
  return within > rough ? `at least ${text}` : text;
}

/** Each of these at a forward turn of the leading shaft. */
export interface Moment {
  /** "at 217.4° of the turn of upper, between "3" and "4"". */
  readonly words: string;
  readonly figures: Readonly<Record<string, number | string | readonly string[]>>;
  /** Rest positions at which they touch, as far as these are looked at. */
  readonly positions: readonly number[];
}

/** When two things touch. `sliding` are the segments of both, where neither is anything that turns. */
export function momentOf(m: Mechanism, f: Figures, found: Encounter, sliding?: readonly string[]): Moment {
  const leading = f.leading ?? 'the leading shaft';
  if (found.anyStand)
    return {
      words: `where ${leading}, which must turn very often till all is home, brings them together`,
      figures: {},
      positions: [],
    };
  if (found.turn === undefined) return { words: 'however the shafts stand', figures: {}, positions: [] };
  const decimals = f.encounters.grid === 'fine' ? 1 : 0;
  const turns = Math.floor(found.turn / turn + 1e-9);
  const angle = found.turn - turns * turn;
  const which = turns === 0 ? 'the turn' : turns === 1 ? 'the second turn' : `turn ${turns + 1}`;
  const words = `at ${degrees(angle, decimals)} of ${which} of ${leading}`;
  const figures = { turn: inDegrees(found.turn) };
  const number = f.positions.length;
  if (!f.step || number === 0) return { words, figures, positions: [] };
  const symbolAt = (index: number) => f.positions[((index % number) + number) % number].symbol;
  const rests = restsOf(m, f, found, sliding);
  if (sliding && rests.length > 0) {
    const shown = rests.map(symbolAt);
    return { words: `at ${symbols(shown)}`, figures: { ...figures, at: shown.filter(isUnique) }, positions: rests };
  }
  const before = Math.floor(found.turn / f.step);
  const nearest = Math.round(found.turn / f.step);
  const isRest = Math.abs(found.turn - nearest * f.step) < radians(f.encounters.grid === 'fine' ? 0.05 : 0.5);
  const pair = isRest ? [symbolAt(nearest)] : [symbolAt(before), symbolAt(before + 1)];
  const place = isRest ? `at ${symbol(pair[0])}` : `between ${list(pair.map(symbol))}`;
  const told = { ...figures, ...(isRest ? { at: pair } : { between: pair }) };
  return { words: sliding ? place : `${words}, ${place}`, figures: told, positions: rests };
}

/** Rest positions of the first count at which they touch. */
function restsOf(m: Mechanism, f: Figures, found: Encounter, sliding: readonly string[] | undefined): number[] {
  const number = f.positions.length;
  const step = f.step!;
  const inside = (at: number) =>
    found.touching.some(([from, to]) => (from <= to ? at >= from && at <= to : at >= from || at <= to));
  const touched =
    found.touching.length > 0
      ? f.positions.map(({ index }) => index).filter((index) => inside(index * step))
      : sliding && stillAt(m, f, sliding, found.turn!);
  return (touched || []).filter((index) => index < number);
}

/** The rest position at which segments stand just as they do at a turn of the leading shaft. */
function stillAt(m: Mechanism, f: Figures, segments: readonly string[], at: number): number[] {
  const nearest = Math.round(at / f.step!);
  const motions = segments.flatMap((name): Motion[] => {
    const segment = named(m.segments, name);
    const motion = segment && motionOf(m, f, segment);
    return motion && !('because' in motion) ? [motion] : [];
  });
  const same = motions.every((one) => Math.abs(liftAfter(one, at) - liftAfter(one, nearest * f.step!)) < 1e-6);
  return same ? [nearest % f.positions.length] : [];
}

/** The cam angle under the follower of a cam when two things touch deepest. */
export function anglesOf(f: Figures, name: string, found: Encounter): number[] | undefined {
  const cam = camFigureOf(f, name);
  if (!cam || found.turn === undefined || !f.step) return undefined;
  return [camAngle(cam.azimuth, cam.step, found.turn / f.step)];
}

// ---- what would mend it ----------------------------------------------------------------------------------------

/** So much is cut off to be clear, mm. */
export const clearOf = ({ gap, within }: Encounter): number => Math.min(within, rough) - gap + 0.05;

/** A flange that is smaller by so much, as it is written; none where it would no longer back the raised nose. */
export function smallerFlange(m: Mechanism, cam: Cam, by: number): string | undefined {
  const stroke = named(m.segments, cam.segments[0]?.name)?.stroke?.value;
  if (!cam.flangeRadius || !cam.base || stroke === undefined) return undefined;
  const radius = roundDown(cam.flangeRadius.value - by, 0.1);
  return radius >= cam.base.value + stroke ? millimetres(radius) : undefined;
}

export const settingFlange = (cam: Cam, radius: string): Change =>
  cam.flangeRadius?.by === 'every'
    ? { do: 'replace', place: cam.flangeRadius.place, text: radius }
    : { do: 'set', object: cam.name, property: 'flange radius', value: radius };

/** A base that is smaller by so much; none where it would be smaller than the cam can do with. */
export function smallerBase(f: Figures, cam: Cam, by: number): string | undefined {
  if (!cam.base) return undefined;
  const base = roundDown(cam.base.value - by, 0.1);
  return base > 0 && base >= (camFigureOf(f, cam.name)?.smallestBase ?? 0) ? millimetres(base) : undefined;
}

export const settingBase = (cam: Cam, base: string): Change => rewriting(cam.base!, cam, 'base', base);

// ---- where it is told --------------------------------------------------------------------------------------------

/** The number in the text that makes a part reach so far. */
export function placeOfReach(m: Mechanism, one: Meeting): Place {
  const segment: Segment | undefined = isSlider(one) ? named(m.segments, one.segment) : undefined;
  if (isSlider(one)) {
    const given = {
      post: statedOr(segment?.post, segment?.bar),
      stem: segment?.stem,
      guide: segment?.guide,
      nose: segment?.nose,
      pivot: segment?.follower,
      arm: segment?.follower,
    }[one.kind];
    return given && given.by !== 'default' ? given.place : segment!.place;
  }
  const cam = named(m.cams, one.name);
  if (cam) {
    const radius = one.kind === 'flange' ? cam.flangeRadius : undefined;
    return statedOr(radius, cam.base)?.place ?? cam.place;
  }
  const gear = named(m.gears, one.name);
  if (gear) return (gear.level ?? gear.teeth)?.place ?? gear.place;
  const shaft = named(m.shafts, one.name)!;
  return shaft.at?.place ?? shaft.place;
}

function statedOr<T extends { readonly by: string }, U>(given: T | undefined, other: U | undefined): T | U | undefined {
  return given && given.by !== 'default' ? given : other;
}

/** Related places of what a part meets. */
export const relatedTo = (m: Mechanism, others: readonly Meeting[]) =>
  others
    .map((one) => at(placeOfReach(m, one), inWords(one)))
    .filter(({ message }, i, all) => all.findIndex((other) => other.message === message) === i);

/** "; so do the post of g and the flanges of camB and camC": pairs whose first is the chief part, the deepest first. */
export function alsoInWords(pairs: readonly (readonly [Meeting, Meeting])[]): string {
  const groups = grouped(
    pairs.slice(1).filter((pair) => !isCovered(pair, pairs)),
    ([chief]) => inWords(chief),
  );
  const texts = groups.map((group) => `${inWords(group[0][0])} and ${allInWords(group.map(([, other]) => other))}`);
  return texts.length > 0 ? `; so do ${list(texts, 'and')}` : '';
}

/** A cam goes without saying where its flange, which reaches farther, meets the same. */
function isCovered(pair: readonly [Meeting, Meeting], all: readonly (readonly [Meeting, Meeting])[]): boolean {
  const covers = (one: Meeting, by: Meeting) =>
    nameOf(one) === nameOf(by) && (one.kind === by.kind || (one.kind === 'cam' && by.kind === 'flange'));
  return all.some(
    (other) =>
      other !== pair &&
      !other.every(({ kind }, i) => kind === pair[i].kind) &&
      other.every((by, i) => covers(pair[i], by)),
  );
}

function allInWords(all: readonly Meeting[]): string {
  const flanges = all.filter(({ kind }) => kind === 'flange').map(nameOf);
  const others = all.filter(({ kind }) => kind !== 'flange').map(inWords);
  return list([
    ...(flanges.length > 0 ? [`the flange${flanges.length === 1 ? '' : 's'} of ${list(flanges)}`] : []),
    ...others,
  ]);
}
