/**
 * Changes of a mechanism → edits of its text. The only place that writes text: fixes, dragging in the chart and the
 * command line's `--set` all go through it. A change touches nothing but what it names, and keeps comments.
 */
import type { AstNode, CstNode } from 'langium';
import type * as ast from './generated/ast.ts';
import type { Cam, Change, Mechanism, Segment } from './mechanism.ts';
import { namesIn } from './names.ts';
import { type Stretch, stretchOf } from './places.ts';
import { nameOf } from './properties.ts';
import { sayOutline } from './resolve-parts.ts';
import { featureText } from './telling.ts';
import { say, wants } from './units.ts';

/** Replaces a stretch of a file's text, by offsets. */
export interface TextEdit extends Stretch {
  readonly text: string;
}

export interface FileEdits {
  /** A URI. */
  readonly file: string;
  /** In the order of the text; none touches another. */
  readonly edits: readonly TextEdit[];
}

/** One way to carry out a change. */
export interface Way {
  /** The `let` whose value is changed, with all that use it; absent where the object gets a value of its own. */
  readonly through?: string;
  readonly files: readonly FileEdits[];
}

/** What changes are made to. */
export interface Ground {
  /** The mechanism that `set` and `add` speak of. */
  readonly mechanism?: Mechanism;
  /** The syntax tree of a file as it is now; undefined for one that cannot be written. */
  readonly designOf: (file: string) => ast.Design | undefined;
}

/** The edits that carry out all of the changes; none where one of them cannot be. */
export function editsFor(changes: readonly Change[], ground: Ground): FileEdits[] {
  return write(changes, ground, undefined) ?? [];
}

/**
 * The ways to carry out the changes, the usual one first. Where a value that is set is now a lone `let` name, giving
 * that name another value is the second.
 */
export function waysFor(changes: readonly Change[], ground: Ground): Way[] {
  const direct = write(changes, ground, undefined);
  if (!direct) return [];
  const shared = changes.flatMap((change) => loneLet(change, ground) ?? []).at(0);
  const through = shared && write(changes, ground, shared);
  return [{ files: direct }, ...(through ? [{ through: shared.name, files: through }] : [])];
}

/** The edits so far, and what is still to be put into blocks: all of one block together, at the end. */
interface Draft {
  readonly ground: Ground;
  readonly node: ast.Mechanism | undefined;
  readonly shared: ast.Let | undefined;
  readonly edits: Map<string, (TextEdit & { readonly rank: number })[]>;
  readonly inserted: Map<Holder, Map<string, Insertion>>;
  /** Blocks that are to be made: `limits`, `every cam`. */
  readonly made: Map<string, string[]>;
  /** Statements of the mechanism itself that are to be made: `runs either`. */
  readonly added: string[];
}

/** A property to be put into a block: a text, or another block's property with some of its values changed. */
interface Insertion {
  readonly like?: ast.Property;
  readonly text: string;
  readonly changes: (Stretch & { readonly text: string })[];
}

function write(changes: readonly Change[], ground: Ground, shared: ast.Let | undefined): FileEdits[] | undefined {
  const draft: Draft = {
    ground,
    node: mechanismNode(ground),
    shared,
    edits: new Map(),
    inserted: new Map(),
    made: new Map(),
    added: [],
  };
  if (!changes.every((change) => carryOut(draft, change))) return undefined;
  for (const [holder, insertions] of draft.inserted) {
    if (!fillBlock(draft, holder, [...insertions.values()].map(written))) return undefined;
  }
  const added = changes.flatMap((change) => (change.do === 'add' ? [change.statement] : []));
  for (const [head, properties] of draft.made) added.push(`${head} { ${properties.join('   ')} }`);
  added.push(...draft.added);
  return added.every((statement) => addStatement(draft, statement)) ? ordered(draft) : undefined;
}

/** Edits in order, equal ones once; undefined where two touch the same text. */
function ordered(draft: Draft): FileEdits[] | undefined {
  const files: FileEdits[] = [];
  for (const [file, all] of draft.edits) {
    const edits: TextEdit[] = [];
    for (const { from, to, text } of all.toSorted((a, b) => a.from - b.from || a.to - b.to || a.rank - b.rank)) {
      const before = edits.at(-1);
      if (before && before.from === from && before.to === to && before.text === text) continue;
      if (before && from < before.to) return undefined;
      edits.push({ from, to, text });
    }
    files.push({ file, edits });
  }
  return files;
}

/** Notes an edit; of two put in at one place, the lower `rank` stands first. */
function edit(draft: Draft, file: string, from: number, to: number, text: string, rank = 0): true {
  const edits = draft.edits.get(file);
  if (edits) edits.push({ from, to, text, rank });
  else draft.edits.set(file, [{ from, to, text, rank }]);
  return true;
}

const fileOfGround = ({ ground }: Draft): string => ground.mechanism?.place.file ?? '';

function mechanismNode({ mechanism, designOf }: Ground): ast.Mechanism | undefined {
  const node = mechanism && designOf(mechanism.place.file)?.statements[mechanism.place.top];
  return node?.$type === 'Mechanism' ? node : undefined;
}

function carryOut(draft: Draft, change: Change): boolean {
  switch (change.do) {
    case 'set':
      return set(draft, change.object, change.property, change.value);
    case 'replace':
    case 'remove': {
      const design = draft.ground.designOf(change.place.file);
      const stretch = design && stretchOf(design, change.place);
      if (!stretch) return false;
      if (change.do === 'replace') return edit(draft, change.place.file, stretch.from, stretch.to, change.text);
      const { from, to } = withWhatItLeavesEmpty(design, stretch);
      return edit(draft, change.place.file, from, to, '');
    }
    case 'add':
      // After all others, so that none is put beside a statement that goes.
      return draft.node !== undefined;
  }
}

// ---- set --------------------------------------------------------------------------------

type Holder = Extract<ast.Statement | ast.Member, { properties: ast.Property[] }>;

function set(draft: Draft, object: string, property: string, value: string): boolean {
  const { node } = draft;
  if (!node) return false;
  if (object === '') return setStatement(draft, node, property, value);
  const found = objectOf(node, object) ?? tableOf(node, object);
  if (!found) return makeBlock(draft, object, property, value);
  if (found.$type === 'Let') return replaceText(draft, found.value?.expression, value);
  if (!('properties' in found)) return false;
  const header = headerSlot(found, property);
  if (header) return edit(draft, fileOfGround(draft), header.from, header.to, header.around(value));
  const [word, sub] = wordOf(property);
  const own = found.properties.find((each) => each.word === word);
  const said = own ?? inherited(node, found, word);
  if (draft.shared && said && loneLetOf(said, sub) === draft.shared) {
    return replaceText(draft, draft.shared.value?.expression, value);
  }
  if (own) {
    const slot = slotOf(own, sub);
    return slot ? edit(draft, fileOfGround(draft), slot.from, slot.to, slot.around(value)) : value === '';
  }
  return insert(draft, found, word, sub, value, said);
}

function replaceText(draft: Draft, node: AstNode | undefined, text: string): boolean {
  const stretch = node?.$cstNode;
  return stretch ? edit(draft, fileOfGround(draft), stretch.offset, stretch.end, text) : false;
}

/** The statement that an object's name means; 'limits', 'frame', 'about', 'every cam on upper', 'gearA–gearB' are names too. */
function objectOf(node: ast.Mechanism, object: string): AstOfObject | undefined {
  if (object === 'limits') return node.members.find((member) => member.$type === 'Limits');
  if (object === 'frame') return node.members.find((member) => member.$type === 'Frame');
  if (object === 'about') return node.members.find((member) => member.$type === 'About');
  const every = /^every (\w+)(?: on (.+))?$/.exec(object);
  if (every) {
    const [, kind, shaft] = every;
    return node.members.find(
      (member): member is ast.Every =>
        member.$type === 'Every' && member.kind === kind && member.shaft?.$refText === shaft,
    );
  }
  const pair = object.split('–');
  if (pair.length === 2) {
    return node.members.find(
      (member): member is ast.Mesh =>
        member.$type === 'Mesh' && pair.every((name, i) => member.gears[i]?.$refText === name),
    );
  }
  const named = namesIn(node).first.get(object);
  return named?.$type === 'Mechanism' ? undefined : named;
}

type AstOfObject = Holder | ast.Let;

/** The process or the material of a mechanism's own file that has a name. */
function tableOf(node: ast.Mechanism, name: string): ast.Process | ast.Material | undefined {
  return node.$container.statements.find(
    (each): each is ast.Process | ast.Material =>
      (each.$type === 'Process' || each.$type === 'Material') && each.name === name,
  );
}

/** 'pressure angle' is one word's name; 'flange radius' and 'bar x' are a value within another. */
function wordOf(property: string): [word: string, sub: string | undefined] {
  const [word = '', ...rest] = property.split(' ');
  return nameOf(word) === property || !rest.length ? [word, undefined] : [word, rest.join(' ')];
}

/** The property of `every …` that counts for a part without its own. */
function inherited(node: ast.Mechanism, part: Holder, word: string): ast.Property | undefined {
  const kind = part.$type.toLowerCase();
  const all = node.members.filter((member): member is ast.Every => member.$type === 'Every' && member.kind === kind);
  const shaft = part.$type === 'Cam' ? part.shaft?.ref : undefined;
  const narrow = shaft ? all.filter((every) => every.shaft?.ref === shaft) : [];
  return [...narrow, ...all.filter((every) => !every.shaft)]
    .flatMap(({ properties }) => properties)
    .find((each) => each.word === word);
}

/** A stretch to be replaced, and what is written there around the value. */
interface Slot extends Stretch {
  readonly around: (value: string) => string;
}

const bare = (value: string): string => value;

const over = (text: { offset: number; end: number } | undefined): Slot | undefined =>
  text && { from: text.offset, to: text.end, around: bare };

const after = (text: { end: number } | undefined, words: string): Slot | undefined =>
  text && { from: text.end, to: text.end, around: (value) => ` ${words} ${value}` };

/** Values that may follow another, and the words that bring them in. */
const tails: Readonly<Record<string, { readonly feature: 'radius' | 'clearance' | 'late'; readonly words: string }>> = {
  'flange radius': { feature: 'radius', words: 'to radius' },
  'bearing clearance': { feature: 'clearance', words: 'clearance' },
  'rise late': { feature: 'late', words: 'late' },
  'fall late': { feature: 'late', words: 'late' },
};

const armSides = ['length', 'thickness', 'width'];

/** Where the value of a property stands, or of something within it. */
function slotOf(property: ast.Property, sub: string | undefined): Slot | undefined {
  if (sub === undefined) return over(property.value?.expression?.$cstNode) ?? restSlot(property);
  const tail = tails[`${property.word} ${sub}`];
  if (tail) {
    const there = property[tail.feature]?.$cstNode;
    return there ? over(there) : after(property.value?.$cstNode, tail.words);
  }
  if (property.word === 'law' && sub === 'blended') {
    const { law } = property;
    return law?.blended ? over(law.blended.$cstNode) : after(law?.$cstNode, 'blended');
  }
  if (property.word === 'bar' && (sub === 'tilt' || sub === 'plane' || sub === 'ends')) {
    const option = property.options.find((each) => each.word === sub);
    return option ? slotOf(option, undefined) : after(property.$cstNode, sub);
  }
  if (property.word === 'arm') return over(property.values[armSides.indexOf(sub)]?.$cstNode);
  const within = property[sub as 'width' | 'height' | 'x' | 'y' | 'arm'];
  return typeof within === 'object' ? over(within.$cstNode) : undefined;
}

/** Words that a property begins with, where these are more than its name. */
const beginnings: Readonly<Record<string, number>> = { pressure: 2, made: 2, raised: 2, hook: 2 };
const writtenNames: Readonly<Record<string, string>> = { hook: 'hook at' };

/** All that a property says after its name. */
function restSlot(property: ast.Property): Slot | undefined {
  const leaves = leavesOf(property.$cstNode);
  const first = leaves[beginnings[property.word] ?? 1];
  return first && over({ offset: first.offset, end: property.$cstNode!.end });
}

/** The tokens of a text, without comments. */
function leavesOf(node: CstNode | undefined): CstNode[] {
  if (!node) return [];
  if (!('content' in node)) return node.hidden ? [] : [node];
  return (node.content as CstNode[]).flatMap(leavesOf);
}

/** What stands in a statement's header: the shaft, the level, the segments. */
function headerSlot(node: Holder, property: string): Slot | undefined {
  const name = featureText(node, 'name');
  if (node.$type === 'Push') {
    if (property !== 'turns') return undefined;
    const shaft = featureText(node, 'shaft');
    return shaft ? over(shaft) : after(name, 'turns');
  }
  if (node.$type !== 'Cam' && node.$type !== 'Gear' && node.$type !== 'Ratchet') return undefined;
  const shaft = featureText(node, 'shaft');
  if (property === 'on') return shaft ? over(shaft) : after(name, 'on');
  if (node.$type !== 'Cam') return undefined;
  const level = node.level?.$cstNode;
  if (property === 'level') return level ? over(level) : after(shaft ?? name, 'level');
  if (property !== 'drives') return undefined;
  const [first, last] = [node.segments[0]?.$refNode, node.segments.at(-1)?.$refNode];
  return first && last ? over({ offset: first.offset, end: last.end }) : after(level ?? shaft ?? name, 'drives');
}

// ---- lone names -----------------------------------------------------------------------------

function loneLet(change: Change, ground: Ground): ast.Let | undefined {
  const node = mechanismNode(ground);
  if (change.do !== 'set' || !node) return undefined;
  const found = objectOf(node, change.object);
  if (!found || !('properties' in found)) return undefined;
  const [word, sub] = wordOf(change.property);
  const said = found.properties.find((each) => each.word === word) ?? inherited(node, found, word);
  return said && loneLetOf(said, sub);
}

/** The `let` whose name alone a property gives as its value. */
function loneLetOf(property: ast.Property, sub: string | undefined): ast.Let | undefined {
  const within =
    sub === undefined ? property.value : property[tails[`${property.word} ${sub}`]?.feature ?? (sub as 'x')];
  const expression = typeof within === 'object' ? within.expression : undefined;
  return expression?.$type === 'NameUse' ? expression.named?.ref : undefined;
}

// ---- statements of the mechanism itself ---------------------------------------------------------

function setStatement(draft: Draft, node: ast.Mechanism, property: string, value: string): boolean {
  const file = fileOfGround(draft);
  if (property === 'count' || property === 'count times') {
    const count = node.members.find((member) => member.$type === 'Count');
    if (!count) return property === 'count' && draft.added.push(`count ${value}`) > 0;
    const [first, last] = [count.symbols[0]?.$cstNode, count.symbols.at(-1)?.$cstNode];
    if (property === 'count times') {
      const slot = count.times ? over(count.times.$cstNode) : after(last, 'times');
      return slot ? edit(draft, file, slot.from, slot.to, slot.around(value)) : false;
    }
    if (!first || !last) return edit(draft, file, count.$cstNode!.end, count.$cstNode!.end, ` ${value}`);
    return edit(draft, file, first.offset, last.end, value);
  }
  const [word] = wordOf(property);
  if (!['made', 'assembled', 'glyphs', 'runs'].includes(word)) return false;
  const said = node.members.find(
    (member): member is ast.Property => member.$type === 'Property' && member.word === word,
  );
  const slot = said && slotOf(said, undefined);
  if (slot) return edit(draft, file, slot.from, slot.to, slot.around(value));
  return draft.added.push(`${nameOf(word)} ${value}`) > 0;
}

/** `limits`, `about` or an `every …` that is not there yet. */
function makeBlock(draft: Draft, object: string, property: string, value: string): boolean {
  if (!/^(limits|about|every (cam( on .+)?|segment|gear|mesh|shaft))$/.test(object)) return false;
  const text = `${property} ${value}`;
  const properties = draft.made.get(object);
  if (properties) properties.push(text);
  else draft.made.set(object, [text]);
  return true;
}

// ---- putting properties into blocks ---------------------------------------------------------------

/** Notes a property that a part is to have of its own. */
function insert(
  draft: Draft,
  holder: Holder,
  word: string,
  sub: string | undefined,
  value: string,
  like: ast.Property | undefined,
): boolean {
  const insertions = draft.inserted.get(holder) ?? new Map<string, Insertion>();
  draft.inserted.set(holder, insertions);
  // What the wider property says beside the value goes on standing.
  const slot = like && (sub !== undefined || like.value) ? slotOf(like, sub) : undefined;
  const known = insertions.get(word);
  if (like && slot) {
    const change = { from: slot.from, to: slot.to, text: slot.around(value) };
    if (known) known.changes.push(change);
    else insertions.set(word, { like, text: '', changes: [change] });
    return true;
  }
  const name = writtenNames[word] ?? nameOf(word);
  const text = sub === undefined ? `${name} ${value}`.trimEnd() : spelledOut(draft, holder, word, sub, value);
  if (known || text === undefined) return false;
  insertions.set(word, { text, changes: [] });
  return true;
}

/** A default spelled out, with one value in it changed. */
function spelledOut(draft: Draft, holder: Holder, word: string, sub: string, value: string): string | undefined {
  const { mechanism } = draft.ground;
  if (!mechanism || !('name' in holder)) return undefined;
  if (holder.$type === 'Cam') {
    const cam: Cam | undefined = mechanism.cams.find(({ name }) => name === holder.name);
    if (cam && word === 'flange' && sub === 'radius')
      return `flange ${say(cam.flange.value, wants.length)} to radius ${value}`;
  }
  if (holder.$type === 'Segment' && word === 'post') {
    const segment: Segment | undefined = mechanism.segments.find(({ name }) => name === holder.name);
    return segment?.post && `post ${sayOutline(segment.post.value, { [sub]: value })}`;
  }
  return undefined;
}

/** A property to be put into a block, on one line and without the comments of the one it is like. */
function written({ like, text, changes }: Insertion): string {
  const from = like?.$cstNode;
  if (!from) return text;
  const inLine = (stretch: string) => stretch.replace(/\/\*[\s\S]*?\*\/|\/\/[^\r\n]*|\s+/g, ' ').replace(/ +/g, ' ');
  const whole = from.root.fullText;
  let at = from.offset;
  let said = '';
  for (const change of changes.toSorted((a, b) => a.from - b.from)) {
    said += inLine(whole.slice(at, change.from)) + change.text;
    at = change.to;
  }
  return said + inLine(whole.slice(at, from.end));
}

function fillBlock(draft: Draft, holder: Holder, properties: readonly string[]): boolean {
  const node = holder.$cstNode;
  if (!node) return false;
  const file = fileOfGround(draft);
  const tokens = leavesOf(node);
  const open = tokens.find(({ text }) => text === '{');
  const close = tokens.findLast(({ text }) => text === '}');
  const whole = node.root.fullText;
  if (!open) return edit(draft, file, node.end, node.end, ` { ${properties.join('   ')} }`);
  if (!close) return false;
  const last = holder.properties.at(-1)?.$cstNode;
  const newline = newlineOf(whole);
  const inOneLine = !lineBreak.test(whole.slice(open.end, close.offset));
  if (!last) {
    const between = whole.slice(open.end, close.offset);
    if (inOneLine && !between.trim()) return edit(draft, file, open.end, close.offset, ` ${properties.join('   ')} `);
    const indent = `${indentAt(whole, node.offset)}  `;
    return edit(draft, file, open.end, open.end, properties.map((each) => `${newline}${indent}${each}`).join(''));
  }
  if (inOneLine) return edit(draft, file, last.end, last.end, properties.map((each) => `   ${each}`).join(''));
  const ownLine = lineStart(whole, last.offset) > open.offset;
  const indent = ownLine ? indentAt(whole, last.offset) : `${indentAt(whole, node.offset)}  `;
  const at = restOfLineIsFree(whole, last.end) ? lineEnd(whole, last.end) : last.end;
  return edit(draft, file, at, at, properties.map((each) => `${newline}${indent}${each}`).join(''));
}

/** Puts a statement after the last of its kind, else at the end of the mechanism. */
function addStatement(draft: Draft, statement: string): boolean {
  const { node } = draft;
  const text = node?.$cstNode;
  if (!node || !text) return false;
  const file = fileOfGround(draft);
  const whole = text.root.fullText;
  const newline = newlineOf(whole);
  const gone = (draft.edits.get(file) ?? []).filter((each) => each.text === '');
  const standing = node.members.filter(({ $cstNode: member }) => {
    return member && !gone.some(({ from, to }) => from <= member.offset && member.end <= to);
  });
  const kind = kindOf(statement);
  const last = (standing.findLast(({ $cstNode: member }) => kindOf(member!.text) === kind) ?? standing.at(-1))
    ?.$cstNode;
  const inOneLine = !lineBreak.test(text.text);
  if (last && (inOneLine || !restOfLineIsFree(whole, last.end))) {
    return edit(draft, file, last.end, last.end, `   ${statement}`, 1);
  }
  const indent = last ? indentAt(whole, last.offset) : `${indentAt(whole, text.offset)}  `;
  const lines = `${newline}${indent}${statement.split(/\r?\n/).join(`${newline}${indent}`)}`;
  if (last) {
    const at = lineEnd(whole, last.end);
    return edit(draft, file, at, at, lines, 1);
  }
  const open = leavesOf(text).find((token) => token.text === '{');
  if (!open) return false;
  const end = inOneLine ? `${newline}${indentAt(whole, text.offset)}` : '';
  return edit(draft, file, open.end, open.end, `${lines}${end}`, 1);
}

/** What kind of statement a text is: its first word, and of `every …` the next. */
const kindOf = (statement: string): string => /^(every\s+)?\w+/.exec(statement.trim())?.[0].replace(/\s+/, ' ') ?? '';

// ---- taking text away ------------------------------------------------------------------------------

/** A stretch that goes, with the braces, the comma, the blanks or the line that would be left for nothing. */
function withWhatItLeavesEmpty(design: ast.Design, stretch: Stretch): Stretch {
  const whole = design.$cstNode?.root.fullText ?? '';
  const { from, to } = emptiedBlock(design, stretch, whole) ?? stretch;
  const before = whole.slice(lineStart(whole, from), from);
  const behind = whole.slice(to, lineEnd(whole, to));
  if (!before.trim() && !behind.trim()) {
    const start = lineStart(whole, from);
    const end = lineEnd(whole, to);
    if (end < whole.length) return { from: start, to: end + lineBreak.exec(whole.slice(end))![0].length };
    return { from: Math.max(0, start - newlineOf(whole).length), to: whole.length };
  }
  const blanks = behind.length - behind.trimStart().length;
  if (behind[blanks] === ',')
    return { from, to: to + blanks + 1 + (/^\s*/.exec(behind.slice(blanks + 1))?.[0].length ?? 0) };
  const kept = before.trimEnd();
  if (kept.endsWith(',')) return { from: from - (before.length - kept.length) - 1, to };
  if (!kept || kept.endsWith('{')) return { from, to: to + blanks };
  return { from: from - (before.length - kept.length), to };
}

/** The whole block of a part whose only property goes. */
function emptiedBlock(design: ast.Design, { from, to }: Stretch, whole: string): Stretch | undefined {
  const node = design.statements.find(({ $cstNode: text }) => text && text.offset <= from && to <= text.end);
  if (node?.$type !== 'Mechanism') return undefined;
  for (const member of node.members) {
    const text = member.$cstNode;
    if (!text || text.offset > from || text.end < to || !('name' in member) || !('properties' in member)) continue;
    const [only, ...others] = member.properties;
    if (others.length || only?.$cstNode?.offset !== from || only.$cstNode.end !== to) return undefined;
    const tokens = leavesOf(text);
    const open = tokens.findIndex((token) => token.text === '{');
    const [header, close] = [tokens[open - 1], tokens.at(-1)];
    if (!header || close?.text !== '}') return undefined;
    const left = whole.slice(header.end, from) + whole.slice(to, close.end);
    return left.replace(/\s+/g, '') === '{}' ? { from: header.end, to: close.end } : undefined;
  }
  return undefined;
}

// ---- lines ---------------------------------------------------------------------------------------------

const lineBreak = /\r\n?|\n/;

/** What ends lines here: of a text without any, a newline. */
const newlineOf = (whole: string): string =>
  whole.includes('\r\n') ? '\r\n' : whole.includes('\r') && !whole.includes('\n') ? '\r' : '\n';

const lineStart = (whole: string, at: number): number =>
  Math.max(whole.lastIndexOf('\n', at - 1), whole.lastIndexOf('\r', at - 1)) + 1;

/** The end of the line that an offset stands in, before what ends it. */
function lineEnd(whole: string, at: number): number {
  const end = whole.slice(at).search(/[\r\n]/);
  return end < 0 ? whole.length : at + end;
}

const indentAt = (whole: string, at: number): string => /^[ \t]*/.exec(whole.slice(lineStart(whole, at), at))![0];

/** Whether nothing but a comment that ends there stands on the rest of a line. */
const restOfLineIsFree = (whole: string, at: number): boolean =>
  /^[ \t]*(\/\*((?!\*\/).)*\*\/[ \t]*)*(\/\/.*)?$/.test(whole.slice(at, lineEnd(whole, at)));
