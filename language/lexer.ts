/** The tokens as the parser and the text's tree want them. */
import { AstUtils, GrammarAST, type LangiumCoreServices, type Lexer, type LexerResult } from 'langium';
import { scan, type TextProblem, type Token } from './tokens.ts';

type TokenTypes = Lexer['definition'];
type TokenType = TokenTypes[string];
type Typed = Token & { tokenType: TokenType };

/** A problem of reading, as it travels through the parse result's `lexerErrors`. */
export type LexingProblem = LexerResult['errors'][number] & { readonly problem: TextProblem };

export class LobeLexer implements Lexer {
  private readonly grammar: () => GrammarAST.Grammar;
  private readonly types: TokenTypes = {};

  constructor(services: LangiumCoreServices) {
    this.grammar = () => services.Grammar;
  }

  /** The types of all tokens by name; only completion asks for them. */
  get definition(): TokenTypes {
    for (const rule of this.grammar().rules) {
      if (GrammarAST.isTerminalRule(rule)) this.type(rule.name);
      else for (const part of AstUtils.streamAllContents(rule)) if (GrammarAST.isKeyword(part)) this.type(part.value);
    }
    return this.types;
  }

  tokenize(text: string): LexerResult {
    const { tokens, comments, problems } = scan(text);
    for (const token of tokens) this.fill(token);
    for (const comment of comments) this.fill(comment);
    return { tokens: tokens as Typed[], hidden: comments as Typed[], errors: problems.map(lexingProblem) };
  }

  private fill(token: Token): void {
    const type = this.types[token.name] ?? this.type(token.name);
    token.tokenType = type;
    token.tokenTypeIdx = type.tokenTypeIdx ?? 0;
  }

  private type(name: string): TokenType {
    // Without categories the completion parser takes its fastest comparison of tokens.
    this.types[name] ??= { name, CATEGORIES: [], categoryMatches: [], categoryMatchesMap: {} } as TokenType;
    return this.types[name]!;
  }
}

function lexingProblem(problem: TextProblem): LexingProblem {
  const { from, to, message } = problem;
  return { problem, message, offset: from, length: to - from, line: undefined, column: undefined };
}
