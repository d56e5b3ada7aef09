/** What the parser did not expect, in the maker's words. */
import { type AstNode, CstUtils, GrammarUtils } from 'langium';
import {
  type Design,
  isEvery,
  isMechanism,
  type Mechanism,
  type Member,
  type Property,
  type Statement,
} from './generated/ast.ts';
import { keywords } from './keywords.ts';
import type { Place, Severity } from './mechanism.ts';
import { nearest } from './near.ts';
import type { ParserMistake } from './parser.ts';
import { nameOf } from './properties.ts';
import type { TextEdit, Token } from './tokens.ts';
import { units, wants } from './units.ts';
import { quoted } from './values.ts';
import { laws, type Room, roomName, rooms } from './words.ts';

/** A problem of the text by its offsets in the file. */
export interface Problem {
  readonly code: string;
  readonly severity?: Severity;
  readonly message: string;
  readonly from: number;
  readonly to: number;
  readonly about?: readonly string[];
  /** By offsets in this file, or by a place in another. */
  readonly related?: readonly {
    readonly from: number;
    readonly to: number;
    readonly place?: Place;
    readonly message: string;
  }[];
  readonly fixes?: readonly { readonly title: string; readonly edits: readonly TextEdit[] }[];
}

/** Where a mistake was made: what was due, what stands there, and in which statement. */
interface Site {
  readonly design: Design;
  readonly due: readonly string[];
  readonly found: Token;
  /** The token before it; the same at the start of the text. */
  readonly before: Token;
  /** Names of the grammar's rules, outermost first. */
  readonly rules: readonly string[];
  readonly rule: string;
  readonly room: Room;
  readonly statement: Statement | undefined;
  readonly member: Member | undefined;
}

const roomOfRule: Readonly<Record<string, Room>> = Object.fromEntries(
  (Object.keys(rooms) as Room[]).map((room) => [room[0]!.toUpperCase() + room.slice(1), room]),
);

/** What a mistake of the parser's is to the maker: one problem, or more where it passed over several words. */
export function unexpected(mistake: ParserMistake, design: Design): Problem[] {
  const { due, found, rules, skipped } = mistake;
  const before = mistake.before ?? found;
  const offset = isEnd(before) ? 0 : before.startOffset;
  const statement = holding(design.statements, offset);
  const member = isMechanism(statement) ? holding(statement.members, offset) : undefined;
  const site: Site = {
    design,
    due,
    found,
    before,
    rules,
    rule: rules.at(-1) ?? 'Design',
    room: roomOf(rules, member),
    statement,
    member,
  };
  return [problemOf(site), ...passedOver(site, skipped)];
}

function problemOf(site: Site): Problem {
  const { due, before } = site;
  if (due.includes('NUMBER') && due.length > 1) return valueMissing(site);
  if (due.includes('}')) return inBlock(site);
  if (due.includes('EOF')) return inFile(site);
  if (due.length > 1) return choice(site);
  switch (due[0]) {
    case 'ID':
      return nameMissing(site);
    case 'STRING':
      return textMissing(site);
    case 'CODE':
      return missing(site, "the code of a finding is due after 'accept', such as steep-cam");
    case 'NUMBER':
      return missing(site, `a number is due after ${said(before)}${instead(site)}`);
    default:
      return wordMissing(site);
  }
}

/** The node of a list, in the order of the text, that begins last before an offset. */
function holding<T extends AstNode>(nodes: readonly T[], offset: number): T | undefined {
  let low = 0;
  let high = nodes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((nodes[middle]!.$cstNode?.offset ?? 0) <= offset) low = middle + 1;
    else high = middle;
  }
  return nodes[low - 1];
}

function roomOf(rules: readonly string[], member: Member | undefined): Room {
  for (const rule of [...rules].reverse()) {
    if (rule === 'Every') return isEvery(member) && member.kind in rooms ? (member.kind as Room) : 'mechanism';
    const room = roomOfRule[rule.replace(/Property$/, '')];
    if (room) return room;
  }
  return 'file';
}

/** Words looked at among those that are passed over together: a text that is no design has very many. */
const mostPassed = 500;

/** Words further on that were passed over with the first and are mistyped as well. */
function passedOver({ due, room }: Site, passed: readonly Token[]): Problem[] {
  if (!due.includes('}') && !due.includes('EOF')) return [];
  return passed.slice(0, mostPassed).flatMap((found, i) => {
    const next = passed[i + 1];
    if (found.name !== 'ID' || !next || !/^(NUMBER|STRING|ID|-|\{|\()$/.test(next.name)) return [];
    const near = nearest(found.image, Object.keys(rooms[room]), 1);
    if (!near.length) return [];
    return [
      {
        code: 'unexpected-text',
        message: `'${found.image}' is not something ${roomName(room)} says: did you mean ${near[0]}?`,
        ...stretch(found),
        fixes: near.map((name) => fix(`Write ${name}`, found.startOffset, end(found), name)),
      },
    ];
  });
}

// ---- the kinds of mistakes --------------------------------------------------

function valueMissing(site: Site): Problem {
  const { found, before } = site;
  if (found.image === '=' && keywords.has(before.image)) {
    return {
      code: 'unexpected-text',
      message: `no '=' stands between '${before.image}' and its value`,
      ...stretch(found),
      fixes: [fix('Take the = away', found.startOffset, found.startOffset + 1, '')],
    };
  }
  const takes = takenBy(site);
  const example = takes ? `: ${wants[takes].called} such as ${wants[takes].example}` : '';
  return missing(site, `a value is missing after ${said(before)}${instead(site)}${example}`);
}

/** What kind of value the property under way takes. */
function takenBy({ room, before, member, statement }: Site): keyof typeof wants | undefined {
  const direct = rooms[room][before.image];
  if (direct) return direct.takes;
  const properties = (member ?? statement) as { properties?: readonly Property[] } | undefined;
  const property = holding(properties?.properties ?? [], before.startOffset);
  return property && rooms[room][property.word]?.takes;
}

function inBlock(site: Site): Problem {
  const { found, room } = site;
  const word = found.image;
  if (isEnd(found) || (startsOuter(room, word) && firstOnLine(site))) return unclosed(site);
  if (room === 'glyphs' && /^(ID|NUMBER|STRING)$/.test(found.name)) {
    const message = `a '=' is missing after ${said(found)}: a symbol, then '=', then the segments it shows`;
    return { code: 'unexpected-text', message, ...stretch(found), fixes: [insertAfter(found, '=')] };
  }
  if (room === 'mechanism') return inMechanism(site);
  if (!isWord(found)) return stray(site);
  if (units.has(word)) return strayUnit(site);
  const known = Object.keys(rooms[room]);
  const near = nearest(word, known, 1);
  const owners = ownersOf(word, room);
  const hint = near.length
    ? `: did you mean ${near[0]}?`
    : owners.length
      ? `; ${owners.map(roomName).join(' and ')} ${owners.length > 1 ? 'do' : 'does'}`
      : '';
  return {
    code: 'unexpected-text',
    message: `'${word}' is not something ${roomName(room)} says${alsoSays(hint, room)}`,
    ...stretch(found),
    fixes: near.map((name) => fix(`Write ${name}`, found.startOffset, end(found), name)),
  };
}

function inMechanism(site: Site): Problem {
  const { found, member } = site;
  const word = found.image;
  if (!isWord(found)) return stray(site);
  if (units.has(word)) return strayUnit(site);
  const owners = ownersOf(word, 'file');
  const kind = member && roomOfRule[member.$type];
  if (kind && owners.includes(kind) && !GrammarUtils.findNodeForKeyword(member?.$cstNode, '{')) {
    return {
      code: 'unexpected-text',
      message: `a '{' is missing before '${word}': what ${roomName(kind)} says stands in its block`,
      ...stretch(found),
      fixes: [fix('Open the block', found.startOffset, found.startOffset, '{ ')],
    };
  }
  const near = nearest(word, Object.keys(rooms.mechanism), 1);
  const hint = near.length
    ? `: did you mean ${near[0]}?`
    : owners.length
      ? `: ${owners.map(roomName).join(' or ')} says it, in its block`
      : alsoSays('', 'mechanism');
  return {
    code: 'unexpected-text',
    message: `'${word}' begins nothing that a mechanism says${hint}`,
    ...stretch(found),
    fixes: near.map((name) => fix(`Write ${name}`, found.startOffset, end(found), name)),
  };
}

function inFile(site: Site): Problem {
  const { found } = site;
  const word = found.image;
  if (word === 'language') {
    return {
      code: 'unexpected-text',
      message: 'the version of the language stands first in a file',
      ...stretch(found),
    };
  }
  if (!isWord(found)) return stray(site);
  const known = Object.keys(rooms.file);
  const near = nearest(word, known, 1);
  if (word in rooms.mechanism) {
    const message = `'${word}' belongs in a mechanism: mechanism NAME { ${word} … }`;
    return { code: 'unexpected-text', message, ...stretch(found) };
  }
  const hint = near.length ? `: did you mean ${near[0]}?` : '';
  return {
    code: 'unexpected-text',
    message: `'${word}' begins nothing that a file says${alsoSays(hint, 'file')}`,
    ...stretch(found),
    fixes: near.map((name) => fix(`Write ${name}`, found.startOffset, end(found), name)),
  };
}

function choice(site: Site): Problem {
  const { found, before, rule, room } = site;
  const same = found.startLine === before.startLine && isWord(found) && !(found.image in rooms[room]);
  const known = rule === 'Law' ? Object.keys(laws) : [...site.due];
  const begun = rule === 'Law' && before.image !== 'law' ? `${before.image} ` : '';
  const fitting = known.filter((name) => name.startsWith(begun)).map((name) => name.slice(begun.length));
  const near = same
    ? [
        ...new Set([
          ...fitting.filter((name) => name.split(' ').includes(found.image)),
          ...nearest(found.image, fitting, 1),
        ]),
      ]
    : [];
  const what = rule === 'Law' && !begun ? 'a law of motion: ' : '';
  return {
    code: 'unexpected-text',
    message: `after ${said(before)} comes ${what}${either(fitting)}${same ? `, not '${found.image}'` : ''}`,
    ...stretch(same ? found : before),
    fixes: near.slice(0, 2).map((name) => fix(`Write ${name}`, found.startOffset, end(found), name)),
  };
}

const dueAfter: Readonly<Record<string, string>> = {
  on: 'a shaft',
  drives: 'a segment',
  returns: 'a segment',
  segments: 'a segment',
  key: 'a key',
  with: 'a process',
  glyphs: 'a glyph table',
  like: 'a glyph table',
  material: 'a material',
  return: 'a spring',
  turns: 'a shaft',
  around: 'a post or a segment',
  inside: 'a post or a segment',
};

function nameMissing(site: Site): Problem {
  const { found, before, room, rule } = site;
  const names = roomOfRule[rule] !== undefined || rule === 'Let';
  const first = names && before.image === (rule === 'Let' ? 'let' : room);
  const due = dueAfter[before.image] ?? (rule === 'BandStation' ? 'a post or a segment' : undefined);
  const word = found.startLine === before.startLine && keywords.has(found.image);
  const but = word ? `; '${found.image}' is a word of the language` : '';
  if (first || !due) return missing(site, `a name is missing after ${said(before)}${but}`);
  return missing(site, `the name of ${due} is due after ${said(before)}${but}`);
}

function textMissing(site: Site): Problem {
  const { found, before } = site;
  const message = `text in quotes is due after ${said(before)}`;
  if (isEnd(found) || found.startLine !== before.startLine || /^[{}(),=]$/.test(found.image))
    return missing(site, message);
  return {
    code: 'unexpected-text',
    message,
    ...stretch(found),
    fixes: [fix('Put it in quotes', found.startOffset, end(found), quoted(found.image))],
  };
}

function wordMissing(site: Site): Problem {
  const { before, due, found } = site;
  const name = due[0]!;
  const message = `${/^[a-z]/.test(name) ? 'the word' : 'a'} '${name}' is missing after ${said(before)}${instead(site)}`;
  const space = /^[,)]$/.test(name) ? '' : ' ';
  const at = end(before);
  const follows = found.startOffset === at ? ' ' : '';
  return { ...missing(site, message), fixes: [fix(`Put in ${name}`, at, at, `${space}${name}${follows}`)] };
}

function unclosed(site: Site): Problem {
  const { found, before, member, statement, rules } = site;
  const open = rules.at(-1) === 'Mechanism' || !member ? statement : member;
  const robber = open === statement && isMechanism(statement) ? robberOf(statement) : undefined;
  const brace = blockOf(robber?.member ?? open)?.open;
  const atEnd = isEnd(found);
  // At the end of the file, all blocks that are still open are closed.
  const count = atEnd && isMechanism(statement) && open === member ? 2 : 1;
  const where = brace ? ` that opens on line ${brace.range.start.line + 1}` : '';
  const until = robber
    ? `the '}' on line ${robber.taken.range.start.line + 1}, which closes ${named(open)}`
    : atEnd
      ? 'the end of the file'
      : `'${found.image}' on line ${found.startLine}`;
  const last = robber ? { from: robber.last.offset, to: robber.last.end } : stretch(before);
  const put = count === 1 && (!atEnd || robber) ? ' }' : '\n}'.repeat(count);
  return {
    code: 'unexpected-text',
    message: `a '}' is missing: the block of ${named(robber?.member ?? open)}${where} is not closed before ${until}`,
    ...(brace ? { from: brace.offset, to: brace.end } : stretch(before)),
    related: [{ ...last, message: 'it is still open here' }],
    fixes: [fix('Close the block', last.to, last.to, put)],
  };
}

function blockOf(node: AstNode | undefined) {
  const open = GrammarUtils.findNodeForKeyword(node?.$cstNode, '{');
  return open && { open, close: GrammarUtils.findNodeForKeyword(node?.$cstNode, '}') };
}

/**
 * The member that has taken the `}` of a mechanism that is not closed: its own begins a line further left than the
 * member does. `last` is what stands before that.
 */
function robberOf(mechanism: Mechanism) {
  for (const member of mechanism.members) {
    const { close: taken } = blockOf(member) ?? {};
    const from = member.$cstNode?.range.start;
    if (!taken || !from || taken.range.start.character >= from.character) continue;
    const last = CstUtils.getPreviousNode(taken, false);
    if (last && last.range.end.line < taken.range.start.line) return { member, taken, last };
  }
  return undefined;
}

/** Something that is no word stands where nothing like it is due. */
function stray(site: Site): Problem {
  const { found, before } = site;
  return {
    code: 'unexpected-text',
    message: isEnd(before)
      ? `${said(found)} is not expected here`
      : `${said(found)} is not expected here, after ${said(before)}`,
    ...stretch(found),
  };
}

function strayUnit({ found, before }: Site): Problem {
  const message = `a unit stands right after its number; '${found.image}' follows ${said(before)}`;
  return { code: 'unexpected-text', message, ...stretch(found) };
}

function missing({ before, found }: Site, message: string): Problem {
  return { code: 'unexpected-text', message, ...stretch(isEnd(before) ? found : before) };
}

// ---- words --------------------------------------------------------------------

/** What stands in the place of what is due, if it stands on the same line. */
function instead({ found, before }: Site): string {
  return !isEnd(found) && found.startLine === before.startLine && found.image !== '}' ? `, before ${said(found)}` : '';
}

function named(node: Statement | Member | undefined): string {
  if (!node) return 'this statement';
  if (isEvery(node)) return `'every ${node.kind ?? ''}'`;
  const kind = node.$type.toLowerCase();
  if (kind === 'about' || kind === 'frame' || kind === 'limits') return `'${kind}'`;
  const name = (node as { name?: string }).name;
  return name ? `${kind} ${name}` : `this ${kind}`;
}

function said(token: Token): string {
  if (isEnd(token)) return 'the end of the file';
  const image = token.image.length > 24 ? `${token.image.slice(0, 24)}…` : token.image;
  return image.startsWith('"') ? image : `'${image}'`;
}

/** What a room says, as a sentence of its own after a hint. */
function alsoSays(hint: string, room: Room): string {
  const words = Object.keys(rooms[room]).map(nameOf);
  return `${hint}${hint.endsWith('?') ? '' : '.'} ${capital(roomName(room))} says ${some(words)}`;
}

/** Some of a list of words, so that the sentence stays short. */
function some(words: readonly string[]): string {
  return words.length > 7 ? `${words.slice(0, 6).join(', ')} …` : listed(words, 'and');
}

function either(words: readonly string[]): string {
  return listed(words, 'or');
}

function listed(words: readonly string[], last: string): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;
}

function capital(sentence: string): string {
  return sentence[0]!.toUpperCase() + sentence.slice(1);
}

/** The rooms in which a word may begin something. */
function ownersOf(word: string, but: Room): Room[] {
  return (Object.keys(rooms) as Room[]).filter((room) => word in rooms[room] && room !== 'mechanism' && room !== but);
}

/** Whether a word begins a statement of what stands around a room's block. */
function startsOuter(room: Room, word: string): boolean {
  return word in rooms.file || (room !== 'mechanism' && word in rooms.mechanism);
}

function firstOnLine({ found, before }: Site): boolean {
  return found.startLine !== before.startLine;
}

function isWord(token: Token): boolean {
  return keywords.has(token.image) || /^(ID|FUNCTION|ENTRY|UNIT)$/.test(token.name);
}

/** Whether a token is none: the end of the file. */
export function isEnd(token: Token): boolean {
  return token.name === 'EOF';
}

/** The offset behind a token. */
export function end(token: Token): number {
  return isEnd(token) ? 0 : token.startOffset + token.image.length;
}

function stretch(token: Token): { from: number; to: number } {
  return isEnd(token) ? { from: 0, to: 0 } : { from: token.startOffset, to: end(token) };
}

function fix(title: string, from: number, to: number, text: string) {
  return { title, edits: [{ from, to, text }] };
}

function insertAfter(token: Token, text: string) {
  return fix(`Put in ${text}`, end(token), end(token), ` ${text}`);
}
