/** What hover tells of numbers, of named values and of laws of motion. */
import { type AstNode, AstUtils, type LangiumDocument, type LeafCstNode, type Reference } from 'langium';
import { literal, reckon } from '../../language/expressions.ts';
import { isLaw, isProperty, isValue, type Let, type Property, type Value } from '../../language/generated/ast.ts';
import { mechanismOf } from '../../language/names.ts';
import { nameOf, type Scalar, scalars } from '../../language/properties.ts';
import { say, type Wanted, wantedOf, wants } from '../../language/units.ts';
import { innerWords, laws, rooms } from '../../language/words.ts';
import { partsOf } from '../checks/check.ts';
import type { Reckoned } from '../protocol.ts';
import { peaks } from '../reckon/motion/laws.ts';
import { partName, roomOf } from './parts.ts';
import { lines, list, paragraphs, round } from './said.ts';

/** A number: the value it makes in the language's unit, what that value means, and what it counts for. */
export function numberTold(leaf: LeafCstNode, known: Reckoned | undefined): string | undefined {
  const value = AstUtils.getContainerOfType(leaf.astNode, isValue);
  if (!value) {
    return leaf.astNode.$type === 'Design' ? `\`language\`: ${rooms.file.language!.says}` : undefined;
  }
  const holder = value.$container;
  switch (holder.$type) {
    case 'Property': {
      const room = roomOf(partOf(holder));
      const word = room && rooms[room][holder.word];
      const whole = wordsOf(holder, value);
      return paragraphs(
        `**${whole}** ${valueTold(value, wantedIn(holder, value))}`,
        word?.says ?? innerWords[holder.word],
        word && `Written: \`${word.form}\``,
        lines([countsFor(holder, known)]),
      );
    }
    case 'Let':
      return letTold(holder);
    case 'Law':
      return paragraphs(`**blended** ${valueTold(value, wants.share)}`, innerWords.blended);
    case 'Cam':
      return paragraphs(`**level** ${valueTold(value)}`, innerWords.level, lines([`of cam ${holder.name}`]));
    case 'Count':
      return paragraphs(`**times** ${valueTold(value)}`, innerWords.times);
    case 'Bought':
      return paragraphs(`**bought** ${valueTold(value)}`, rooms.mechanism.bought!.says);
  }
}

/** A named value: what it comes to, and which values are written with it. */
export function letTold(node: Let): string {
  const uses = usesOf(node);
  return paragraphs(
    `**let ${node.name}**`,
    node.value && valueTold(node.value, undefined, '= '),
    lines([uses.length ? `used by ${uses.join(', ')}` : 'nothing uses it']),
  );
}

/** A law of motion under any of its words: what it is, and its peak factors. */
export function lawTold(node: AstNode): string | undefined {
  if (!isLaw(node)) return undefined;
  const name = `${node.family} ${node.kind ?? node.degrees.join('-')}`.trim();
  if (!laws[name]) return undefined;
  const blended = node.blended && amountOf(node.blended)?.value;
  const { velocity, acceleration, jerk } = peaks({ name, blended } as Parameters<typeof peaks>[0]);
  const factor = (value: number) => (Number.isFinite(value) ? round(value, 3) : 'without bound');
  return paragraphs(
    `**${name}**${blended ? ` blended ${say(blended, wants.share)}` : ''}: ${laws[name]}`,
    lines([
      `peak velocity ${factor(velocity)} (times stroke / travel)`,
      `peak acceleration ${factor(acceleration)} (times stroke / travel²)`,
      `peak jerk ${factor(jerk)} (times stroke / travel³)`,
    ]),
  );
}

// ---- amounts ---------------------------------------------------------------------------

function amountOf(value: Value) {
  return reckon({ telling: { file: '', top: 0, start: 0, problems: [] }, lets: new Map() }, value);
}

/** "22 mm", "1 in = 25.4 mm", "centres / 2 = 35 mm": as it is written, and in the usual unit where that differs. */
function valueTold(value: Value, wanted?: Wanted, before = ''): string {
  const amount = amountOf(value);
  const want = amount && (wanted ?? wantedOf(amount.dimension));
  const written = value.$cstNode?.text.replace(/\s+/g, ' ') ?? '';
  if (!amount || !want) return written;
  const tolerance = amount.tolerance ? ` ± ${say(amount.tolerance, want)}` : '';
  const told = `${say(amount.value, want)}${tolerance}`;
  if (before) return before + told;
  const same = literal(value.expression) && written.replace('+/-', '±') === told;
  return same ? told : `${written} = ${told}`;
}

/** The kind of value that is due; only the chief value of a property has one of its own. */
function wantedIn(property: Property, value: Value): Wanted | undefined {
  const room = roomOf(partOf(property));
  const known = room && (scalars as Readonly<Record<string, Readonly<Record<string, Scalar>>>>)[room];
  return property.value === value ? known?.[property.word]?.wants : undefined;
}

// ---- what a value belongs to ---------------------------------------------------------------

/** The statement that a property is said in; an option of a bar is said in the bar's. */
function partOf(property: Property): AstNode {
  let holder: AstNode = property.$container;
  while (isProperty(holder)) holder = holder.$container;
  return holder;
}

/** The property's name, with that of the value within it: "bar x", "flange radius". */
function wordsOf(property: Property, value: Value): string {
  const outer = isProperty(property.$container) ? `${property.$container.word} ` : '';
  const inner = (['width', 'height', 'x', 'y', 'radius', 'clearance', 'late', 'from', 'to'] as const).find(
    (feature) => property[feature] === value,
  );
  return `${outer}${nameOf(property.word)}${inner ? ` ${inner}` : ''}`;
}

/** The part or the parts that a property counts for. */
function countsFor(property: Property, known: Reckoned | undefined): string | undefined {
  const holder = partOf(property);
  switch (holder.$type) {
    case 'Every': {
      const parts = known ? partsOf(known.mechanism).filter((part) => readsFrom(part, property)) : [];
      return known && (parts.length ? `counts for ${list(parts.map(({ name }) => name))}` : 'no part goes by it');
    }
    case 'Frame':
    case 'Limits':
      return 'counts for the whole mechanism';
    case 'Process':
    case 'Material': {
      const users = usesOf(holder as AstNode & { name: string });
      return users.length ? `counts for ${users.join(', ')}` : 'nothing here is made with it';
    }
    default: {
      const name = partName(holder as Parameters<typeof partName>[0]);
      return name && `of ${holder.$type.toLowerCase()} ${name}`;
    }
  }
}

/** Whether something in plain data comes from the text of a property of `every …`. */
function readsFrom(data: unknown, property: Property): boolean {
  const start = mechanismOf(property)?.$cstNode?.offset ?? 0;
  const { offset = 0, end = 0 } = property.$cstNode ?? {};
  const look = (each: unknown): boolean => {
    if (each === null || typeof each !== 'object') return false;
    const { by, place } = each as { by?: string; place?: { from: number; to: number } };
    if (by === 'every' && place && place.from + start >= offset && place.to + start <= end) return true;
    return Object.values(each).some(look);
  };
  return look(data);
}

/** What is written with a named value, process or material, in its own file: "upper at", "mechanism Gauge". */
function usesOf(node: AstNode & { readonly name: string }): string[] {
  const { references } = AstUtils.getDocument(node) as LangiumDocument;
  const uses = (references as Reference[]).flatMap(({ ref, $refNode }) => {
    if (ref !== node || !$refNode) return [];
    const property = AstUtils.getContainerOfType($refNode.astNode, isProperty);
    const holder = property ? partOf(property) : AstUtils.getContainerOfType($refNode.astNode, isMemberWithName);
    if (!holder) return [];
    const name = nameOfHolder(holder);
    return node.$type === 'Let' && property ? `${name} ${nameOf(property.word)}` : name;
  });
  return [...new Set(uses)];
}

const isMemberWithName = (node: AstNode): node is AstNode & { readonly name: string } =>
  'name' in node && node.$container?.$type === 'Mechanism';

function nameOfHolder(holder: AstNode): string {
  if (holder.$type === 'Every') return `every ${(holder as { kind?: string } & AstNode).kind}`;
  const name = partName(holder as Parameters<typeof partName>[0]);
  if (holder.$type === 'Mechanism' || holder.$type === 'Process') return `${holder.$type.toLowerCase()} ${name}`;
  return name ?? holder.$type.toLowerCase();
}
