/**
 * The standard layout of a design's text. Line breaks stay where the author put them; indentation and the spaces
 * within lines follow from the tokens alone, line by line, so that changing a number changes one line.
 */
import { scan, type Token } from './tokens.ts';
import { type Room, rooms } from './words.ts';

const indentation = '  ';
/** Between properties, and between statements, that share a line. */
const apart = '   ';

/**
 * A text in the standard layout; undefined where it cannot be read without a problem or its braces do not match.
 * Tokens and comments stay the same, in the same order; a second formatting changes nothing.
 */
export function laidOut(text: string): string | undefined {
  const { tokens, comments, problems } = scan(text);
  if (problems.length || !matching(tokens)) return undefined;
  const written = new Layout(text, tokens, comments).write();
  // Lines end as they did; where a bare carriage return ended them, as everything reads them.
  return written.replace(/\r\n?|\n/g, text.includes('\r\n') ? '\r\n' : '\n');
}

/** The same; the text itself where it cannot be laid out. */
export function formatText(text: string): string {
  return laidOut(text) ?? text;
}

function matching(tokens: readonly Token[]): boolean {
  let depth = 0;
  for (const { name } of tokens) {
    if (name === '{') depth++;
    else if (name === '}' && --depth < 0) return false;
  }
  return depth === 0;
}

class Layout {
  private readonly out: string[] = [];
  /** What the blocks around the token under way belong to, the innermost last. */
  private readonly blocks: Room[] = [];
  private room: Room = 'file';
  /** The word that began the statement or property under way. */
  private head = '';
  private previous: Token | undefined;
  private inPolynomial = false;

  constructor(
    private readonly text: string,
    private readonly tokens: readonly Token[],
    private readonly comments: readonly Token[],
  ) {}

  write(): string {
    const { tokens, comments } = this;
    let nextComment = 0;
    let last: Token | undefined;
    if (this.text.charCodeAt(0) === 0xfeff) this.out.push('\ufeff');
    for (let i = 0; i < tokens.length; i++) {
      const token = tokens[i]!;
      for (; (comments[nextComment]?.startOffset ?? Number.POSITIVE_INFINITY) < token.startOffset; nextComment++) {
        const comment = comments[nextComment]!;
        this.comment(comment, last, this.begins(i) || token.name === '}');
        last = comment;
      }
      this.token(i, last);
      last = token;
    }
    for (; nextComment < comments.length; nextComment++) {
      const comment = comments[nextComment]!;
      this.comment(comment, last, true);
      last = comment;
    }
    if (last) this.out.push('\n');
    return this.out.join('');
  }

  private token(i: number, last: Token | undefined): void {
    const token = this.tokens[i]!;
    const { name } = token;
    const begins = this.begins(i);
    if (begins) this.head = name === 'every' ? (this.tokens[i + 1]?.name ?? '') : name;
    const breaks = last !== undefined && last.endLine < token.startLine;
    const joins = (name === '{' || name === ',') && last === this.previous;
    if (name === '}') this.room = this.blocks.pop() ?? 'file';
    if (!last || (breaks && !joins)) this.startLine(last, token, begins || name === '}');
    else this.out.push(last === this.previous ? this.gap(token, begins) : ' ');
    this.out.push(token.image);
    if (name === '{') {
      this.blocks.push(this.room);
      this.room = this.head in rooms ? (this.head as Room) : 'file';
    }
    if (name === 'polynomial') this.inPolynomial = true;
    else if (name !== 'NUMBER' && name !== '-') this.inPolynomial = false;
    this.previous = token;
  }

  private comment(comment: Token, last: Token | undefined, beforeNew: boolean): void {
    if (!last || last.endLine < comment.startLine) this.startLine(last, comment, beforeNew);
    else this.out.push(comment.name === 'LINE_COMMENT' ? '  ' : ' ');
    this.out.push(comment.name === 'LINE_COMMENT' ? comment.image.trimEnd() : comment.image);
  }

  private startLine(last: Token | undefined, item: Token, begins: boolean): void {
    if (last) {
      const roomy = item.startLine - last.endLine > 1 && last.name !== '{' && item.name !== '}';
      this.out.push(roomy ? '\n\n' : '\n');
    }
    this.out.push(indentation.repeat(this.blocks.length + (begins ? 0 : 1)));
  }

  /** Whether a token begins a statement, a property or an entry of the block it stands in. */
  private begins(i: number): boolean {
    const { name } = this.tokens[i]!;
    if (this.room === 'glyphs') {
      if (name === 'ENTRY' || name === 'segments') return true;
      return (name === 'NUMBER' || name === 'STRING') && this.tokens[i + 1]?.name === '=';
    }
    return name in rooms[this.room] && this.tokens[i - 1]?.name !== 'every';
  }

  /** The space before a token that stands on the line of the one before it. */
  private gap(token: Token, begins: boolean): string {
    const before = this.previous!.name;
    const { name } = token;
    if (begins && before !== '{') return apart;
    if (name === ',' || name === ')' || before === '(') return '';
    if (name === '(' && before === 'FUNCTION') return '';
    if (this.inPolynomial && before !== 'polynomial' && (name === '-' || name === 'NUMBER')) return '';
    if (before === '-' && this.unary) return '';
    if (name === '-') this.unary = !endsValue.has(before);
    return ' ';
  }

  /** Whether the last `-` was a sign rather than an operator. */
  private unary = false;
}

const endsValue: ReadonlySet<string> = new Set(['NUMBER', 'UNIT', 'ID', ')']);
