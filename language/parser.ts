/** The parser: after a mistake it goes on at the next statement or property, whole blocks being passed over as one. */
import {
  type AstNode,
  createParser,
  type LangiumCoreServices,
  LangiumParser,
  type ParseResult,
  type ParserOptions,
  type ReferenceInfo,
} from 'langium';
import type { LobeLinker } from './names.ts';
import { rooms } from './words.ts';

/** More mistakes than this in one file are not told; the rest of the text is then not read. */
export const mostMistakes = 200;

interface EngineToken {
  readonly tokenType: { readonly name: string };
  readonly tokenTypeIdx: number;
}

interface EngineError extends Error {
  readonly token: EngineToken;
  previousToken?: EngineToken;
}

/** What is changed in the parsing engine: how it goes on after a mistake. */
interface Engine {
  currIdx: number;
  tokVector: EngineToken[];
  readonly _errors: unknown[];
  LA(ahead: number): EngineToken;
  SKIP_TOKEN(): EngineToken;
  SAVE_ERROR(error: EngineError): EngineError;
  findReSyncTokenType(): EngineToken['tokenType'];
  flattenFollowSet(): { readonly tokenTypeIdx: number }[];
  moveToTerminatedState(): void;
}

const beginsFile: ReadonlySet<string> = new Set(Object.keys(rooms.file).filter((word) => !(word in rooms.mechanism)));

export class LobeParser extends LangiumParser {
  private readonly names: LobeLinker;
  private closings: Map<number, number> | undefined;

  constructor(services: LangiumCoreServices) {
    super(services);
    this.names = services.references.Linker as LobeLinker;
    this.calm(this.wrapper as unknown as Engine);
  }

  override parse<T extends AstNode = AstNode>(input: string, options?: ParserOptions): ParseResult<T> {
    this.closings = undefined;
    const references: ReferenceInfo[] = [];
    this.names.collect(references);
    const result = super.parse<T>(input, options);
    this.names.keep(result.value, result.parserErrors.length ? references.filter(within(result.value)) : references);
    return result;
  }

  private calm(engine: Engine): void {
    const skip = engine.SKIP_TOKEN;
    const save = engine.SAVE_ERROR;
    engine.SKIP_TOKEN = () => {
      const closing = this.closing(engine, engine.currIdx + 1);
      if (closing !== undefined) engine.currIdx = closing - 1;
      return skip.call(engine);
    };
    let mistake: { readonly at: EngineToken; readonly before: EngineToken } | undefined;
    engine.findReSyncTokenType = () => {
      mistake = { at: engine.LA(1), before: engine.LA(0) };
      const due = new Set(engine.flattenFollowSet().map(({ tokenTypeIdx }) => tokenTypeIdx));
      for (let ahead = 1; ; ahead++) {
        const token = engine.LA(ahead);
        if (due.has(token.tokenTypeIdx)) return token.tokenType;
        const closing = this.closing(engine, engine.currIdx + ahead);
        if (closing !== undefined) ahead = closing - engine.currIdx;
      }
    };
    engine.SAVE_ERROR = (error) => {
      // Told after skipping, the engine would name the last token skipped as the one before the mistake.
      if (mistake?.at === error.token) error.previousToken = mistake.before;
      if (engine._errors.length < mostMistakes) return save.call(engine, error);
      engine.moveToTerminatedState();
      return error;
    };
  }

  /** The index of the brace that closes the block which the token at an index opens. */
  private closing(engine: Engine, index: number): number | undefined {
    this.closings ??= closings(engine.tokVector);
    return this.closings.get(index);
  }
}

/** Where each block that is closed before the next statement of the file is closed, by the index of its `{`. */
function closings(tokens: readonly EngineToken[]): Map<number, number> {
  const found = new Map<number, number>();
  let open: number[] = [];
  for (const [index, { tokenType }] of tokens.entries()) {
    if (tokenType.name === '{') open.push(index);
    else if (tokenType.name === '}') {
      const opened = open.pop();
      if (opened !== undefined) found.set(opened, index);
    } else if (beginsFile.has(tokenType.name)) open = [];
  }
  return found;
}

/** References of nodes that the parser gave up belong to no tree. */
function within(root: AstNode): (info: ReferenceInfo) => boolean {
  return ({ container }) => {
    let node: AstNode | undefined = container;
    while (node && node !== root) node = node.$container;
    return node === root;
  };
}

export function createLobeParser(services: LangiumCoreServices): LobeParser {
  const parser = new LobeParser(services);
  createParser(services.Grammar, parser, services.parser.Lexer.definition);
  parser.finalize();
  return parser;
}
