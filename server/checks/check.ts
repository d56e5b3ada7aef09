/** What every check is made of: its page, its search, and the small makers its findings are put together with. */
import type {
  Change,
  Finding,
  Fix,
  Given,
  GlyphTable,
  Mechanism,
  Part,
  Place,
  Reference,
  Severity,
} from '../../language/mechanism.ts';
import type { FindingPage } from '../../language/page.ts';
import type { Figures } from '../reckon/figures.ts';
import { degrees as inDegrees, turn, wrapped } from '../reckon/motion/angles.ts';

export { inDegrees };

/** What a check found; the table of checks adds the code, and the usual severity where this names none. */
export interface Found {
  readonly message: string;
  readonly place: Place;
  /** Names of the parts it is about, the chief one first. */
  readonly about: readonly string[];
  readonly severity?: Severity;
  readonly figures?: Finding['figures'];
  readonly related?: Finding['related'];
  readonly positions?: readonly number[];
  /** Cam angles of the chief cam, rad. */
  readonly angles?: readonly number[];
  readonly fixes?: readonly Fix[];
}

/** Whether any of these parts has a finding already, of a code that this check names in `notBeside`. */
export type Told = (...names: readonly string[]) => boolean;

export interface Check extends FindingPage {
  /**
   * Codes that, standing on the same part, tell the same mistake already. Those checks run earlier; a finding whose
   * chief part they are about is dropped, and `find` may ask `told` where more than the chief part matters.
   */
  readonly notBeside?: readonly string[];
  /** Told only where nothing graver stands: what is wrong otherwise is made another part yet. */
  readonly last?: true;
  /** Its figures come with the fine ones only: until then its silence says nothing. */
  readonly late?: true;
  /** Never throws, whatever a half-written design lacks. */
  find(m: Mechanism, f: Figures, told: Told): readonly Found[];
  /**
   * For findings that one number causes on several parts (a value of `every cam`): the worst of them stands, and this
   * says in a clause which others it speaks for. Without it each stands by itself.
   */
  readonly alsoOn?: (rest: readonly Found[]) => string;
}

// ---- looking up --------------------------------------------------------------

export function named<T extends { readonly name: string }>(all: readonly T[], name: string | undefined): T | undefined {
  return name === undefined ? undefined : all.find((one) => one.name === name);
}

/** The first of each name. */
export function byName<T extends { readonly name: string }>(all: readonly T[]): ReadonlyMap<string, T> {
  return new Map([...all].reverse().map((one) => [one.name, one]));
}

/** Every named part of a mechanism, meshes among them. */
export function partsOf(m: Mechanism): Part[] {
  return [
    ...m.shafts,
    ...m.keys,
    ...m.gears,
    ...m.meshes,
    ...m.segments,
    ...m.cams,
    ...m.springs,
    ...m.posts,
    ...m.bands,
    ...m.ratchets,
    ...m.pushes,
  ];
}

const lit = new WeakMap<GlyphTable, ReadonlyMap<string, ReadonlySet<string>>>();

/** The segments that each symbol of a table shows. */
export function litBy(table: GlyphTable): ReadonlyMap<string, ReadonlySet<string>> {
  let known = lit.get(table);
  if (!known) {
    known = new Map(table.entries.map(({ symbol, lit }) => [symbol, new Set(lit)]));
    lit.set(table, known);
  }
  return known;
}

/** Whether each counted symbol shows a segment; undefined where the table lacks the symbol. */
export function wants(m: Mechanism, segment: string): readonly (boolean | undefined)[] {
  const known = m.glyphs && litBy(m.glyphs.value);
  return known ? (m.count?.symbols ?? []).map(({ text }) => known.get(text)?.has(segment)) : [];
}

export function isUnique<T>(value: T, index: number, all: readonly T[]): boolean {
  return all.indexOf(value) === index;
}

export function placeKey({ file, top, from, to }: Place): string {
  return `${file} ${top} ${from} ${to}`;
}

/** Splits into groups of one key, in the order of first appearance. */
export function grouped<T>(all: readonly T[], key: (one: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const one of all) {
    const group = groups.get(key(one));
    if (group) group.push(one);
    else groups.set(key(one), [one]);
  }
  return [...groups.values()];
}

/** How far two azimuths lie apart, in [0, π]. */
export function apart(a: number, b: number): number {
  const between = wrapped(a - b);
  return Math.min(between, turn - between);
}

// ---- words and numbers, in one place -------------------------------------------

/** A number with at most so many decimals, trailing zeros left out. */
export function plain(value: number, decimals = 1): string {
  const text = value.toFixed(decimals);
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return short === '-0' ? '0' : short;
}

/** Two numbers that differ, with as many decimals as tell them apart, `least` and up to nine. */
export function apartInWords(one: number, other: number, least = 1): [string, string] {
  for (let decimals = least; ; decimals++) {
    const texts: [string, string] = [plain(one, decimals), plain(other, decimals)];
    if (texts[0] !== texts[1] || decimals === 9) return texts;
  }
}

/** "38.2°" of an angle in rad, for messages. */
export function degrees(angle: number, decimals = 1): string {
  return `${plain(inDegrees(angle), decimals)}°`;
}

/** A cam angle or azimuth, 0° to 360°. */
export function azimuth(angle: number, decimals = 1): string {
  const text = degrees(wrapped(angle), decimals);
  return text === '360°' ? '0°' : text;
}

/** "21.4 mm", for messages and for the text of a design alike. */
export function millimetres(length: number, decimals = 1): string {
  return `${plain(length, decimals)} mm`;
}

/** "0.45 N", for messages and for the text of a design alike. */
export function newtons(force: number, decimals = 2): string {
  return `${plain(force, decimals)} N`;
}

/** "35 deg" of an angle in rad, as it is written in a design. */
export function degreesWritten(angle: number, decimals = 3): string {
  return `${plain(inDegrees(angle), decimals)} deg`;
}

/** The same, rounded down to a thousandth: a limit that is not passed again. */
export function degreesAtMost(angle: number): string {
  return degreesWritten(roundDown(angle, Math.PI / 180e3));
}

/** Up to the next multiple of `step`, but not for the sake of a rounding error. */
export function roundUp(value: number, step: number): number {
  return Math.ceil(value / step - 1e-9) * step;
}

export function roundDown(value: number, step: number): number {
  return Math.floor(value / step + 1e-9) * step;
}

/** "a", "a and b", "a, b and c". */
export function list(names: readonly string[], last = 'and'): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} ${last} ${names.at(-1)}`;
}

/** "bar a", "bars a and b". */
export function counted(noun: string, names: readonly string[]): string {
  return `${noun}${names.length === 1 ? '' : 's'} ${list(names)}`;
}

export function symbol(text: string): string {
  return `"${text}"`;
}

/** Symbols for a message: each once, and no more than a reader takes in. */
export function symbols(texts: readonly string[]): string {
  const distinct = texts.filter(isUnique);
  const most = 6;
  return distinct.length <= most
    ? list(distinct.map(symbol))
    : `${distinct.slice(0, most).map(symbol).join(', ')} and ${distinct.length - most} more`;
}

/** A symbol as it may be written in a design, whatever words the language keeps for itself. */
export function symbolWritten(text: string): string {
  return /^([0-9]+|[A-Za-z])$/.test(text) ? text : `"${text}"`;
}

// ---- fixes -------------------------------------------------------------------

export function fix(title: string, ...changes: readonly Change[]): Fix {
  return { title, changes };
}

export function setting(object: string, property: string, value: string): Change {
  return { do: 'set', object, property, value };
}

/**
 * Gives a value of a part another text: its own property, or the value that it shares through `every`, so that one
 * change mends all parts that share it.
 */
export function rewriting(given: Given<unknown>, part: Part, property: string, value: string): Change {
  return given.by === 'every'
    ? { do: 'replace', place: given.place, text: value }
    : setting(part.name, property, value);
}

export function at(place: Place, message: string): Finding['related'][number] {
  return { place, message };
}

/** Where one of several references to a part stands, else the part's name. */
export function placeOf(reference: Reference | undefined, part: Part): Place {
  return reference?.place ?? part.place;
}
