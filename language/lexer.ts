/** The tokens as the parser wants them. */
import { AstUtils, GrammarAST, type LangiumCoreServices, type Lexer, type LexerResult } from 'langium';
import { scan, type TextProblem, type Token } from './tokens.ts';

type TokenTypes = Lexer['definition'];
type TokenType = TokenTypes[string];
type Typed = Token & { tokenType: TokenType };

/** A problem of reading, as it travels through the parse result's `lexerErrors`. */
export type LexingProblem = LexerResult['errors'][number] & { readonly problem: TextProblem };

export class LobeLexer implements Lexer {
  readonly definition: TokenTypes;

  constructor(services: LangiumCoreServices) {
    this.definition = tokenTypes(services.Grammar);
  }

  tokenize(text: string): LexerResult {
    const { tokens, comments, problems } = scan(text);
    for (const token of tokens) this.type(token);
    for (const comment of comments) this.type(comment);
    return { tokens: tokens as Typed[], hidden: comments as Typed[], errors: problems.map(lexingProblem) };
  }

  private type(token: Token): void {
    const tokenType = this.definition[token.name]!;
    token.tokenType = tokenType;
    token.tokenTypeIdx = tokenType.tokenTypeIdx!;
  }
}

function lexingProblem(problem: TextProblem): LexingProblem {
  const { from, to, message } = problem;
  return { problem, message, offset: from, length: to - from, line: undefined, column: undefined };
}

/** One token type for every keyword and terminal of the grammar, by name. */
function tokenTypes(grammar: GrammarAST.Grammar): TokenTypes {
  const types: TokenTypes = {};
  const add = (name: string) => {
    // Without categories the parser takes its fastest comparison of tokens.
    types[name] ??= { name, CATEGORIES: [], categoryMatches: [], categoryMatchesMap: {} } as TokenType;
  };
  for (const rule of grammar.rules) {
    if (GrammarAST.isTerminalRule(rule)) add(rule.name);
    else for (const element of AstUtils.streamAllContents(rule)) if (GrammarAST.isKeyword(element)) add(element.value);
  }
  return types;
}
