/**
 * The parser. It walks the grammar with one token of lookahead and makes the syntax tree and the text's tree as Langium
 * has them. After a mistake it goes on where it can: with the next property, statement or block; whole blocks are
 * passed over as one.
 */
import {
  type AstNode,
  type AstReflection,
  type CstNode,
  CstNodeBuilder,
  type GenericAstNode,
  type LangiumCoreServices,
  type Lexer,
  type Mutable,
  type ParseResult,
  type ReferenceInfo,
  type ValueConverter,
} from 'langium';
import type { LobeLinker } from './names.ts';
import { operands, Plan, type Rule, type Step, type Tokens } from './parser-plan.ts';
import type { Token } from './tokens.ts';
import { halfRead } from './values.ts';
import { rooms } from './words.ts';

/** After so many mistakes the rest of a text is not read. */
const mostMistakes = 200;

/** Something that the parser did not expect. */
export interface ParserMistake {
  /** Names of the tokens that were due. */
  readonly due: readonly string[];
  readonly found: Token;
  /** The token before it; none at the start of the text. */
  readonly before: Token | undefined;
  /** Names of the rules under way, the outermost first. */
  readonly rules: readonly string[];
  /** What was passed over after `found`, blocks by their braces alone. */
  readonly skipped: readonly Token[];
}

/** Leaves the rules under way up to one that can go on at a token. */
class Stumble {
  /** Index of the first token at which some rule can go on. */
  goesOnAt: number | undefined;

  constructor(readonly mistake: { skipped: readonly Token[] }) {}
}

type Node = Mutable<GenericAstNode> & { parts?: AstNode[]; operators?: string[] };

const endOfText: Token = {
  name: 'EOF',
  tokenType: { name: 'EOF' },
  tokenTypeIdx: 0,
  image: '',
  startOffset: Number.NaN,
  endOffset: Number.NaN,
  startLine: Number.NaN,
  startColumn: Number.NaN,
  endLine: Number.NaN,
  endColumn: Number.NaN,
};

const beginsFile: Tokens = new Set(Object.keys(rooms.file).filter((word) => !(word in rooms.mechanism)));
/** Tokens that, where a value has ended and none of them is due, leave in doubt what it was to be. */
const goesOnValue: Tokens = new Set(['NUMBER', 'FUNCTION', '(', ')', '*', '/', '+', '-', '+/-', '±', '=']);
const noTokens: Tokens = new Set();
/** What, beside a block, follows a name where a word with it begins a statement, and not a property of the same word. */
const goesOnStatement: Readonly<Record<string, string>> = { glyphs: 'like', push: 'turns' };

export class LobeParser {
  private readonly plan: Plan;
  private readonly lexer: Lexer;
  private readonly linker: LobeLinker;
  private readonly converter: ValueConverter;
  private readonly reflection: AstReflection;
  private readonly defaults = new Map<string, readonly (readonly [name: string, value: unknown])[]>();
  private readonly builder = new CstNodeBuilder();

  private tokens: Token[] = [];
  private comments: readonly Token[] = [];
  private at = 0;
  private nextComment = 0;
  private nodes: Node[] = [];
  /** The calls under way, by the steps that made them. */
  private calls: Step[] = [];
  private mistakes: ParserMistake[] = [];
  private references: ReferenceInfo[] = [];
  private blockEnds: ReadonlyMap<number, number> | undefined;
  /** Whether more blocks are opened than closed. */
  private unclosed: boolean | undefined;
  /** The value that was read last, and the index after it. */
  private lastValue: { readonly node: AstNode; readonly end: number } | undefined;

  constructor(services: LangiumCoreServices) {
    this.plan = new Plan(services.Grammar);
    this.lexer = services.parser.Lexer;
    this.linker = services.references.Linker as LobeLinker;
    this.converter = services.parser.ValueConverter;
    this.reflection = services.shared.AstReflection;
  }

  parse<T extends AstNode = AstNode>(text: string): ParseResult<T> {
    const lexed = this.lexer.tokenize(text);
    this.tokens = [...(lexed.tokens as unknown as Token[]), endOfText];
    this.comments = lexed.hidden as unknown as Token[];
    this.at = this.nextComment = 0;
    this.mistakes = [];
    this.references = [];
    this.calls = [];
    this.blockEnds = this.lastValue = this.unclosed = undefined;
    const root = this.builder.buildRootNode(text);
    const rule = this.plan.entry();
    this.nodes = [{ $type: rule.type! }];
    try {
      this.walk(rule.body);
      if (this.tokens[this.at] !== endOfText) this.note(['EOF']);
    } catch (thrown) {
      if (!(thrown instanceof Stumble)) throw thrown;
    }
    const value = this.finish(rule) as T;
    this.addComments(Number.POSITIVE_INFINITY);
    (root as Mutable<CstNode>).astNode = value;
    this.linker.keep(value, this.mistakes.length ? this.references.filter(within(value)) : this.references);
    return { value, lexerErrors: lexed.errors, parserErrors: this.mistakes.map(asException) };
  }

  // ---- walking ------------------------------------------------------------------

  private walk(step: Step): void {
    if (step.repeat === '') this.once(step);
    else if (step.repeat !== '?') this.loop(step);
    else if (this.plan.first(step).has(this.tokens[this.at]!.name)) this.once(step);
  }

  private loop(step: Step): void {
    const first = this.plan.first(step);
    if (step.repeat === '+') this.once(step);
    do {
      while (first.has(this.tokens[this.at]!.name) && !this.beginsOuter(step, this.at)) {
        const before = this.at;
        this.once(step);
        if (this.at === before) return;
      }
    } while (this.goesOnInLoop(step, first));
  }

  private once(step: Step): void {
    switch (step.kind) {
      case 'token':
        this.consume(step);
        break;
      case 'rule':
        this.call(step);
        break;
      case 'group':
        for (const part of step.parts) this.walk(part);
        break;
      case 'choice':
        this.walk(this.plan.chosen(step, this.tokens[this.at]!.name) ?? this.stumble([...this.plan.first(step)]));
        break;
      case 'type':
        this.nodes.at(-1)!.$type = step.name;
    }
  }

  private consume(step: Step): void {
    if (this.tokens[this.at]!.name !== step.name) {
      // One token too few or too many: go on as if it were there, or not.
      const { name } = this.tokens[this.at]!;
      const missing = this.plan.after(step).has(name);
      const needless = this.tokens[this.at + 1]?.name === step.name && !this.known().has(name);
      if (!missing && !needless) this.stumble([step.name]);
      if (!missing && goesOnValue.has(name)) this.spoilValues(this.at);
      this.note([step.name]);
      if (missing) return;
      this.at++;
    }
    const token = this.tokens[this.at++]!;
    if (token.spoilt) this.spoilValues(this.at - 1);
    this.addComments(token.startOffset);
    const text = this.builder.buildLeafNode(token as never, step.element);
    if (step.into) this.put(step, step.isKeyword ? token.image : this.converter.convert(token.image, text), text);
  }

  private call(step: Step): void {
    const rule = step.rule();
    if (rule.type === undefined) {
      this.guarded(step, rule.body);
      return;
    }
    this.addComments(this.tokens[this.at]!.startOffset);
    const text = this.builder.buildCompositeNode(step.element);
    this.nodes.push({ $type: rule.type });
    try {
      this.guarded(step, rule.body);
    } finally {
      const node = this.finish(rule);
      if (node?.$type === 'Value') this.lastValue = { node, end: this.at };
      if (node && text.content.length) this.put(step, node, text);
    }
  }

  /** Walks through a rule; after a stumble, to where its caller can go on. */
  private guarded(step: Step, body: Step): void {
    const depth = this.calls.push(step) - 1;
    try {
      this.walk(body);
    } catch (thrown) {
      if (!(thrown instanceof Stumble)) throw thrown;
      thrown.goesOnAt ??= this.nextKnown();
      const { goesOnAt } = thrown;
      if (!this.plan.after(step).has(this.tokens[goesOnAt]!.name)) throw thrown;
      thrown.mistake.skipped = this.between(this.at + 1, goesOnAt);
      this.at = goesOnAt;
    } finally {
      this.calls.length = depth;
    }
  }

  // ---- making nodes -------------------------------------------------------------

  private put(step: Step, value: unknown, text: CstNode): void {
    const node = this.nodes.at(-1)!;
    const { into } = step;
    if (!into) {
      // The node of a rule that only calls another one is that other's node.
      const called = value as Node;
      for (const name in node) if (called[name] === undefined) called[name] = node[name];
      this.nodes[this.nodes.length - 1] = called;
      return;
    }
    const { feature, operator } = into;
    let item = value;
    if (into.isReference) {
      const reference = this.linker.buildReference(node, feature, text, value as string);
      this.references.push({ reference, container: node, property: feature });
      item = reference;
    } else if (typeof value === 'object' && value !== null) {
      const child = value as Node;
      if (child.$cstNode) (child.$cstNode as Mutable<CstNode>).astNode = child;
      // Operands find their places when the calculation is made.
      if (feature !== operands) {
        child.$container = node;
        child.$containerProperty = feature;
        if (operator === '+=') child.$containerIndex = (node[feature] as unknown[] | undefined)?.length ?? 0;
      }
    }
    if (operator === '=') node[feature] = item;
    else if (operator === '?=') node[feature] = true;
    else if (node[feature]) (node[feature] as unknown[]).push(item);
    else node[feature] = [item];
  }

  /** Ends the node under way; undefined where there is none after all. */
  private finish(rule: Rule): AstNode | undefined {
    const node = this.nodes.pop()!;
    this.builder.construct(node as never);
    if (rule.operators) return calculation(node, rule.operators);
    for (const [name, value] of this.defaultsOf(node.$type)) {
      node[name] ??= Array.isArray(value) ? [] : value;
    }
    return node;
  }

  /** Lists and flags that a type of node always has. */
  private defaultsOf(type: string): readonly (readonly [string, unknown])[] {
    let found = this.defaults.get(type);
    if (!found) {
      found = Object.values(this.reflection.getTypeMetaData(type).properties).flatMap(({ name, defaultValue }) =>
        defaultValue === undefined ? [] : [[name, defaultValue] as const],
      );
      this.defaults.set(type, found);
    }
    return found;
  }

  private addComments(before: number): void {
    while ((this.comments[this.nextComment]?.startOffset ?? Number.POSITIVE_INFINITY) < before) {
      this.builder.addHiddenNodes([this.comments[this.nextComment++] as never]);
    }
  }

  // ---- mistakes -----------------------------------------------------------------

  private note(due: readonly string[], found = this.tokens[this.at]!): { skipped: readonly Token[] } {
    const mistake = {
      due,
      found,
      before: this.tokens[this.at - 1],
      rules: [this.plan.entry(), ...this.calls.map((call) => call.rule())].map(({ name }) => name),
      skipped: [] as readonly Token[],
    };
    this.spoilValues();
    if (this.mistakes.length < mostMistakes) this.mistakes.push(mistake);
    else this.giveUp();
    return mistake;
  }

  /** What the values under way were to be is not known; nor that of one that ends right before a token. */
  private spoilValues(before?: number): void {
    for (const node of this.nodes) if (node.$type === 'Value') halfRead.add(node);
    if (this.lastValue && this.lastValue.end === before) halfRead.add(this.lastValue.node);
  }

  /** Nothing more is read: what is left of the text is cut away. */
  private giveUp(): void {
    this.tokens = [...this.tokens.slice(0, this.at + 1), endOfText];
    this.blockEnds = undefined;
  }

  private stumble(due: readonly string[]): never {
    throw new Stumble(this.note(due));
  }

  /**
   * At the end of a repetition that something must close: passes over what is not understood, up to a token that closes
   * it or begins another round (then true), unless a rule further out can go on before.
   */
  private goesOnInLoop(loop: Step, first: Tokens): boolean {
    const closing = this.plan.closing(loop);
    const due = closing?.name ?? (this.calls.length === 0 ? 'EOF' : undefined);
    const found = this.tokens[this.at]!;
    if (due === undefined || found.name === due) return false;
    // A single token too few or too many is mended where it is consumed.
    const after = closing ? this.plan.after(closing) : noTokens;
    if (after.has(found.name) || (closing && this.tokens[this.at + 1]?.name === due)) return false;
    if (goesOnValue.has(found.name)) this.spoilValues(this.at);
    const known = this.known();
    for (let i = this.at; ; i = this.past(i)) {
      const { name } = this.tokens[i]!;
      if (name !== due && (!first.has(name) || this.beginsOuter(loop, i))) {
        if (known.has(name)) return false;
        continue;
      }
      const mistake = this.note([due]);
      mistake.skipped = this.between(this.at + 1, i);
      this.at = Math.min(i, this.tokens.length - 1);
      return name !== due && this.tokens[this.at] !== endOfText;
    }
  }

  /**
   * Whether a word that a block knows begins a statement of what lies around it all the same (a shaft's `key`, a
   * mechanism's `glyphs`): only where some block of the text is not closed, and this may be the one.
   */
  private beginsOuter(loop: Step, index: number): boolean {
    if (this.tokens[index + 1]?.name !== 'ID') return false;
    const { name } = this.tokens[index]!;
    const then = this.tokens[index + 2]!.name;
    if (then !== '{' && then !== goesOnStatement[name]) return false;
    this.unclosed ??= isUnclosed(this.tokens);
    if (!this.unclosed || this.plan.closing(loop)?.name !== '}') return false;
    return name in rooms.file || (name in rooms.mechanism && this.calls.at(-1)!.rule().name !== 'Mechanism');
  }

  /** Tokens at which one of the rules under way can go on. */
  private known(): Tokens {
    const known = new Set(['EOF']);
    for (const call of this.calls) for (const name of this.plan.after(call)) known.add(name);
    return known;
  }

  /** Index of the first token ahead at which one of the rules under way can go on. */
  private nextKnown(): number {
    const known = this.known();
    let i = this.at;
    while (!known.has(this.tokens[i]!.name)) i = this.past(i);
    return i;
  }

  /** Tokens between two indices, blocks by their braces alone. */
  private between(from: number, to: number): Token[] {
    const found: Token[] = [];
    // After giving up there may be fewer tokens than there were.
    const end = Math.min(to, this.tokens.length);
    for (let i = from; i < end; i = this.past(i)) found.push(this.tokens[i]!);
    return found;
  }

  /** The index after a token; after a whole block, where the token opens one. */
  private past(index: number): number {
    if (this.tokens[index]!.name !== '{') return index + 1;
    this.blockEnds ??= blockEnds(this.tokens);
    return (this.blockEnds.get(index) ?? index) + 1;
  }
}

/** What binds first, from the left: operands and the operators between them as a tree. */
function calculation(node: Node, weakness: ReadonlyMap<string, number>): AstNode | undefined {
  const { parts = [], operators = [], $type, $cstNode } = node;
  const waiting: string[] = [];
  const ready: AstNode[] = [];
  const join = () => {
    const right = ready.pop() as Node;
    const left = ready.pop() as Node;
    const joined: Node = { $type, $cstNode, left, operator: waiting.pop()!, right };
    left.$container = right.$container = joined;
    left.$containerProperty = 'left';
    right.$containerProperty = 'right';
    ready.push(joined);
  };
  parts.forEach((part, i) => {
    const operator = operators[i - 1];
    if (operator !== undefined) {
      while (waiting.length && weakness.get(waiting.at(-1)!)! <= weakness.get(operator)!) join();
      waiting.push(operator);
    }
    ready.push(part);
  });
  while (waiting.length) join();
  return ready[0];
}

const isUnclosed = (tokens: readonly Token[]): boolean =>
  tokens.reduce((open, { name }) => open + (name === '{' ? 1 : name === '}' ? -1 : 0), 0) > 0;

/** Where each block that is closed before the next statement of the file ends, by the index of its `{`. */
function blockEnds(tokens: readonly Token[]): Map<number, number> {
  const found = new Map<number, number>();
  let open: number[] = [];
  tokens.forEach(({ name }, index) => {
    if (name === '{') open.push(index);
    else if (name === '}') {
      const opened = open.pop();
      if (opened !== undefined) found.set(opened, index);
    } else if (beginsFile.has(name)) open = [];
  });
  return found;
}

/** References of nodes that were given up belong to no tree. */
function within(root: AstNode): (info: ReferenceInfo) => boolean {
  return ({ container }) => {
    let node: AstNode | undefined = container;
    while (node && node !== root) node = node.$container;
    return node === root;
  };
}

type ParserError = ParseResult['parserErrors'][number];

/** A mistake in the form that Langium's parse results have; `mistakeOf` has it back. */
function asException(mistake: ParserMistake): ParserError {
  const { due, found, before, rules, skipped } = mistake;
  return {
    name: 'MismatchedTokenException',
    message: due.join(' '),
    token: found,
    previousToken: before,
    resyncedTokens: skipped,
    context: { ruleStack: rules, ruleOccurrenceStack: [] },
    mistake,
  } as unknown as ParserError;
}

export function mistakeOf(error: ParserError): ParserMistake {
  return (error as ParserError & { mistake: ParserMistake }).mistake;
}
