/** Reads what the properties of one statement say: its own, those of `every …`, and the default where both are silent. */
import type { AstNode, Reference as AstReference } from 'langium';
import { literal, placeOfExpression, reckon, tellUnwanted, type Workings } from './expressions.ts';
import type { GlyphSymbol, Property, Statement, Value } from './generated/ast.ts';
import type { CountedSymbol, Given, Place, Reference, UsedDefault } from './mechanism.ts';
import { designOf, fileOf } from './places.ts';
import { meant, nameOf, type Scalar, sayRange, within } from './properties.ts';
import { placeAcross, placeAt, placeOf, placeOfFeature, rewrite, takeAway, tell } from './telling.ts';
import { sameDimension, say } from './units.ts';

/** What is shared while one top-level statement is read. */
export interface Reading extends Workings {
  /** What was read of `every …`: what is wrong there is told once, not for each part. */
  readonly read: Map<AstNode, unknown>;
  readonly defaults: UsedDefault[];
}

/** How to read one top-level statement. */
export function readingOf(statement: Statement): Reading {
  return {
    telling: {
      file: fileOf(designOf(statement)),
      top: statement.$containerIndex ?? 0,
      start: statement.$cstNode?.offset ?? 0,
      problems: [],
    },
    lets: new Map(),
    read: new Map(),
    defaults: [],
  };
}

/** The text of a top-level statement. */
export function textOf(statement: Statement): string {
  const text = statement.$cstNode;
  return text ? text.root.fullText.slice(text.offset, text.end) : '';
}

/** Properties by their word; where a word may be said again, the first. */
export type Block = ReadonlyMap<string, Property>;

/** What is said of one part: in its own block first, then by `every …`, the narrower first. */
export interface Said {
  readonly name: string;
  readonly place: Place;
  readonly blocks: readonly Block[];
  /** Grows while the part is read. */
  readonly unclear: string[];
  /** Whether the defaults used here are to be said: not while `every …` itself is read. */
  readonly real: boolean;
}

/** Reads a node of a part; one of `every …`, which many parts share, only once. */
export function once<T>(reading: Reading, node: AstNode, read: () => T): T {
  if (!isShared(node)) return read();
  if (reading.read.has(node)) return reading.read.get(node) as T;
  const found = read();
  reading.read.set(node, found);
  return found;
}

/** Whether a property, or a value of one, belongs to `every …`. */
const isShared = ({ $container: holder }: AstNode): boolean =>
  holder?.$type === 'Every' || holder?.$container?.$type === 'Every';

/** Sorts properties by their word and tells of those said twice. */
export function gather(reading: Reading, properties: readonly Property[], again: ReadonlySet<string> = none): Block {
  const block = new Map<string, Property>();
  for (const property of properties) {
    const first = block.get(property.word);
    if (!first) block.set(property.word, property);
    else if (!again.has(property.word)) tellTwice(reading, nameOf(property.word), property, first);
  }
  return block;
}

const none: ReadonlySet<string> = new Set();

/** Tells of a node that says again what another one said. */
export function tellTwice({ telling }: Reading, what: string, second: AstNode, first: AstNode): void {
  const place = placeOf(telling, second);
  tell(telling, 'said-twice', `${what} is said twice here; the first counts`, place, {
    related: [{ place: placeOf(telling, first), message: `${what} is said here first` }],
    fixes: [takeAway('Take the second away', place)],
  });
}

/** The property that counts for a part, if it is said at all. */
export function find(said: Said, word: string): Property | undefined {
  for (const block of said.blocks) {
    const property = block.get(word);
    if (property) return property;
  }
  return undefined;
}

/** Whether a value comes from the part's own text or from `every …`. */
export const sayer = (property: AstNode): 'stated' | 'every' =>
  property.$container?.$type === 'Every' ? 'every' : 'stated';

/** A property that `read` understands, or that is noted as unclear. */
export function given<T>(
  reading: Reading,
  said: Said,
  word: string,
  read: (property: Property) => { readonly value: T; readonly place: Place } | undefined,
): Given<T> | undefined {
  const property = find(said, word);
  if (!property) return undefined;
  const found = once(reading, property, (): Given<T> | undefined => {
    const result = read(property);
    return result && { ...result, by: sayer(property) };
  });
  if (!found) said.unclear.push(nameOf(word));
  return found;
}

/** A number in base units that fits what is asked for; undefined where it does not (told) or is not there. */
export function number(
  reading: Reading,
  value: Value | undefined,
  scalar: Scalar,
  name: string,
  by: Given<number>['by'] = 'stated',
): Given<number> | undefined {
  if (!value) return undefined;
  return once(reading, value, () => {
    const amount = reckon(reading, value);
    if (!amount) return undefined;
    const { telling } = reading;
    if (!sameDimension(amount.dimension, scalar.wants.dimension)) {
      tellUnwanted(telling, placeOfExpression(telling, value.expression), scalar.wants, amount, value.expression);
      return undefined;
    }
    if (!within(amount.value, scalar.range)) {
      tellRange(reading, value, scalar, name, amount.value);
      return undefined;
    }
    const found: Given<number> = { value: amount.value, place: placeOf(telling, value), by };
    return amount.tolerance ? { ...found, tolerance: amount.tolerance } : found;
  });
}

function tellRange({ telling }: Reading, value: Value, scalar: Scalar, name: string, found: number): void {
  const { wants, range } = scalar;
  const place = placeOf(telling, value.expression);
  const written = literal(value.expression);
  const better = meant(found, scalar, written !== undefined && written.unit === undefined);
  const text = better === undefined ? undefined : say(better, wants);
  // The nearest that is allowed would do; what is far from it is what may be meant.
  const isBound = better !== undefined && (better === range.least || better === range.most);
  const remedy = text === undefined ? '' : isBound ? `; ${text} would do` : `; did you mean ${text}?`;
  const message = `${name} must be ${sayRange(range, wants)}, found ${say(found, wants)}${remedy}`;
  tell(telling, 'bad-value', message, place, {
    fixes: text !== undefined && written ? [rewrite(place, text)] : [],
  });
}

/** A property that is one number. */
export function scalar(reading: Reading, said: Said, word: string, wanted: Scalar): Given<number> | undefined {
  const property = find(said, word);
  if (!property) return undefined;
  const found = number(reading, property.value, wanted, nameOf(word), sayer(property));
  if (!found) said.unclear.push(nameOf(word));
  return found;
}

/** Several numbers, all of which are there and fit; undefined otherwise. */
export function numbers<K extends string>(
  reading: Reading,
  wanted: Readonly<Record<K, readonly [Value | undefined, Scalar]>>,
): { readonly value: Record<K, number>; readonly place: Place } | undefined {
  const value = {} as Record<K, number>;
  let whole = true;
  const names = Object.keys(wanted) as K[];
  for (const name of names) {
    const [node, what] = wanted[name];
    const found = number(reading, node, what, name);
    if (found) value[name] = found.value;
    else whole = false;
  }
  if (!whole) return undefined;
  return {
    value,
    place: placeAcross(
      reading.telling,
      names.map((name) => wanted[name][0]),
    ),
  };
}

/** A word chosen from a few. */
export function choice<T extends string>(reading: Reading, said: Said, word: string): Given<T> | undefined {
  return given(reading, said, word, (property) =>
    property.choice === undefined
      ? undefined
      : { value: property.choice as T, place: placeOfFeature(reading.telling, property, 'choice') },
  );
}

/** What counts where a part says nothing; noted, to be said in hover and figures. */
export function fallback<T>(
  reading: Reading,
  said: Said,
  field: string,
  value: T,
  text: string,
  because: string,
  by: 'default' | 'process' = 'default',
): Given<T> {
  if (said.real && !said.unclear.includes(field))
    reading.defaults.push({ of: `${said.name}.${field}`, value: text, because });
  return { value, place: said.place, by, because };
}

/** A name that stands for something; undefined where it does not (told where names are linked). */
export function reference(
  { telling }: Reading,
  used: AstReference<AstNode & { name: string }> | undefined,
): Reference | undefined {
  const target = used?.ref;
  if (!used || !target) return undefined;
  return { name: target.name, place: placeAt(telling, used.$refNode ?? { offset: telling.start, end: telling.start }) };
}

/** Names in a list; tells of one that is listed twice and leaves it out. */
export function references(
  reading: Reading,
  said: Said,
  used: readonly AstReference<AstNode & { name: string }>[],
  field: string,
): Reference[] {
  const found = new Map<string, Reference>();
  for (const each of used) {
    const one = reference(reading, each);
    const first = one && found.get(one.name);
    if (!one) said.unclear.push(field);
    else if (!first) found.set(one.name, one);
    else tellListed(reading, one.name, one.place, first.place);
  }
  return [...found.values()];
}

/** Tells of something listed twice in one list. */
export function tellListed({ telling }: Reading, name: string, second: Place, first: Place): void {
  tell(telling, 'said-twice', `${name} is listed twice here`, second, {
    related: [{ place: first, message: `${name} is listed here first` }],
    fixes: [takeAway(`Take the second ${name} away`, second)],
  });
}

/** The text of a symbol as it is counted, without quotes. */
export const symbolText = (symbol: GlyphSymbol | undefined): string | undefined =>
  symbol?.quoted ?? symbol?.word ?? symbol?.number;

/** Counted or listed symbols; an empty one shows nothing to count and is told. */
export function symbols({ telling }: Reading, nodes: readonly GlyphSymbol[]): CountedSymbol[] {
  return nodes.flatMap((node) => {
    const text = symbolText(node);
    if (text === undefined) return [];
    const place = placeOf(telling, node);
    if (text !== '') return [{ text, place }];
    tell(telling, 'bad-value', 'a symbol has at least one character; a blank face is written " "', place, {
      fixes: [rewrite(place, '" "')],
    });
    return [];
  });
}
