/** The grammar as the parser walks it: each rule a small plan of steps, made when it is first needed. */
import { GrammarAST, GrammarUtils } from 'langium';

/** One step of a rule: a token, a call of another rule, a group of steps, a choice, or a change of the node's type. */
export interface Step {
  readonly kind: 'token' | 'rule' | 'group' | 'choice' | 'type';
  readonly repeat: '' | '?' | '*' | '+';
  /** Name of the token due; for `type` that of the type. */
  readonly name: string;
  readonly parts: readonly Step[];
  readonly rule: () => Rule;
  /** What the text's tree remembers of the step. */
  readonly element: GrammarAST.AbstractElement;
  readonly isKeyword: boolean;
  /** Where in the node its result goes. */
  readonly into?: { readonly feature: string; readonly operator: '=' | '+=' | '?='; readonly isReference: boolean };
  around?: Step;
}

export interface Rule {
  readonly name: string;
  /** Type of the node it makes; none for a fragment, which fills the caller's. */
  readonly type?: string;
  readonly body: Step;
  /** For a rule of operators: how weakly each binds. */
  readonly operators?: ReadonlyMap<string, number>;
}

/** Where a rule of operators gathers what stands between them, until its node is made. */
export const operands = 'parts';

export type Tokens = ReadonlySet<string>;

/** All rules of a grammar, and what the parser asks about their steps. */
export class Plan {
  private readonly rules = new Map<string, Rule>();
  private readonly firsts = new Map<Step, Tokens>();
  private readonly followers = new Map<Step, Tokens>();
  private readonly choices = new Map<Step, ReadonlyMap<string, Step>>();

  constructor(private readonly grammar: GrammarAST.Grammar) {}

  entry(): Rule {
    return this.rule(this.grammar.rules.filter(GrammarAST.isParserRule).find(({ entry }) => entry)!);
  }

  /** Tokens that a step may begin with. */
  first(step: Step): Tokens {
    let found = this.firsts.get(step);
    if (!found) {
      found = this.findFirst(step);
      this.firsts.set(step, found);
    }
    return found;
  }

  /** Tokens that may follow a step within its rule. */
  after(step: Step): Tokens {
    let found = this.followers.get(step);
    if (!found) {
      found = this.findAfter(step);
      this.followers.set(step, found);
    }
    return found;
  }

  /** The alternative of a choice that begins with a token. */
  chosen(choice: Step, token: string): Step | undefined {
    let found = this.choices.get(choice);
    if (!found) {
      found = new Map(choice.parts.flatMap((part) => [...this.first(part)].map((name) => [name, part] as const)));
      this.choices.set(choice, found);
    }
    return found.get(token);
  }

  /** The token that must come right after a repetition, if one must. */
  closing(loop: Step): Step | undefined {
    const siblings = loop.around?.kind === 'group' ? loop.around.parts : [];
    const next = siblings[siblings.indexOf(loop) + 1];
    return next?.kind === 'token' && next.repeat === '' ? next : undefined;
  }

  private findFirst(step: Step): Tokens {
    if (step.kind === 'token') return new Set([step.name]);
    if (step.kind === 'rule') return this.first(step.rule().body);
    const found = new Set<string>();
    for (const part of step.parts) {
      for (const name of this.first(part)) found.add(name);
      if (step.kind === 'group' && !this.mayBeEmpty(part)) break;
    }
    return found;
  }

  private findAfter(step: Step): Tokens {
    const found = new Set<string>();
    const add = (other: Step) => {
      for (const name of this.first(other)) found.add(name);
    };
    let at = step;
    while (true) {
      if (at.repeat === '*' || at.repeat === '+') add(at);
      const { around } = at;
      if (!around) return found;
      if (around.kind === 'group') {
        for (const next of around.parts.slice(around.parts.indexOf(at) + 1)) {
          add(next);
          if (!this.mayBeEmpty(next)) return found;
        }
      }
      at = around;
    }
  }

  private mayBeEmpty(step: Step): boolean {
    if (step.repeat === '?' || step.repeat === '*') return true;
    if (step.kind === 'token') return false;
    if (step.kind === 'rule') return this.mayBeEmpty(step.rule().body);
    return step.kind === 'choice'
      ? step.parts.some((part) => this.mayBeEmpty(part))
      : step.parts.every((part) => this.mayBeEmpty(part));
  }

  private rule(rule: GrammarAST.AbstractParserRule): Rule {
    let found = this.rules.get(rule.name);
    if (!found) {
      found = GrammarAST.isInfixRule(rule) ? this.infix(rule) : this.plain(rule);
      this.rules.set(rule.name, found);
    }
    return found;
  }

  private plain(rule: GrammarAST.ParserRule): Rule {
    const body = this.step(rule.definition);
    return rule.fragment ? { name: rule.name, body } : { name: rule.name, type: GrammarUtils.getTypeName(rule), body };
  }

  /** Operands with operators between them; what binds first is worked out when the node is made. */
  private infix(rule: GrammarAST.InfixRule): Rule {
    const operators = new Map<string, number>();
    rule.operators.precedences.forEach(({ operators: same }, weakness) => {
      for (const { value } of same) operators.set(value, weakness);
    });
    const assignment = (feature: string, terminal: GrammarAST.AbstractElement): GrammarAST.Assignment =>
      ({ $type: 'Assignment', feature, operator: '+=', terminal }) as GrammarAST.Assignment;
    const into = (feature: string) => ({ feature, operator: '+=', isReference: false }) as const;
    const partElement = assignment(operands, rule.call);
    const operand = () => this.step(rule.call, into(operands), '', partElement);
    const operatorElement = assignment('operators', rule.operators.precedences[0]!.operators[0]!);
    const operator = made({
      kind: 'choice',
      element: operatorElement,
      parts: [...operators.keys()].map((name) =>
        made({ kind: 'token', name, element: operatorElement, into: into('operators') }),
      ),
    });
    const more = made({ kind: 'group', repeat: '*', element: rule.call, parts: [operator, operand()] });
    const body = made({ kind: 'group', element: rule.call, parts: [operand(), more] });
    return { name: rule.name, type: GrammarUtils.getTypeName(rule), body, operators };
  }

  private step(
    element: GrammarAST.AbstractElement,
    into?: Step['into'],
    repeat: Step['repeat'] = element.cardinality ?? '',
    remembered: GrammarAST.AbstractElement = element,
  ): Step {
    const common = { repeat, element: remembered, ...(into && { into }) };
    if (GrammarAST.isAssignment(element)) {
      const { feature, operator, terminal } = element;
      return this.step(terminal, { feature, operator, isReference: GrammarAST.isCrossReference(terminal) }, repeat);
    }
    if (GrammarAST.isKeyword(element)) return made({ ...common, kind: 'token', name: element.value, isKeyword: true });
    if (GrammarAST.isCrossReference(element)) return this.step(element.terminal!, into, repeat, element);
    if (GrammarAST.isRuleCall(element)) {
      const called = element.rule.ref!;
      return GrammarAST.isTerminalRule(called)
        ? made({ ...common, kind: 'token', name: called.name })
        : made({ ...common, kind: 'rule', rule: () => this.rule(called as GrammarAST.AbstractParserRule) });
    }
    if (GrammarAST.isAction(element)) {
      return made({ ...common, kind: 'type', name: GrammarUtils.getTypeName(element) });
    }
    const { elements } = element as GrammarAST.Group | GrammarAST.Alternatives;
    return made({
      ...common,
      kind: GrammarAST.isAlternatives(element) ? 'choice' : 'group',
      parts: elements.map((part) => this.step(part, into)),
    });
  }
}

/** A step; its parts are told that they stand in it. */
function made(given: Pick<Step, 'kind' | 'element'> & Partial<Step>): Step {
  const step: Step = { repeat: '', name: '', parts: [], rule: noRule, isKeyword: false, ...given };
  for (const part of step.parts) part.around = step;
  return step;
}

function noRule(): never {
  throw new Error('This step calls no rule.');
}
