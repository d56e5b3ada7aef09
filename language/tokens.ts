/**
 * Reading text into tokens. What a word is depends on what stands around it: a unit only right after a number, a code
 * only after `accept`, an entry before the `=` of a glyph table; so `m`, `N` and `s` stay free for names.
 */
import { keywords } from './keywords.ts';
import { units } from './units.ts';
import { rooms } from './words.ts';

/** A stretch of text with a meaning. Lines and columns count from 1, `endOffset` and `endColumn` are inclusive. */
export interface Token {
  /** A keyword or a mark by its own text; else one of the grammar's terminals (`NUMBER`, `ID`, `STRING` …). */
  readonly name: string;
  /** Filled in for the parser. */
  tokenType: unknown;
  tokenTypeIdx: number;
  readonly image: string;
  readonly startOffset: number;
  readonly endOffset: number;
  readonly startLine: number;
  readonly startColumn: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** Something before it was passed over that may have changed the value it stands in. */
  readonly spoilt?: true;
}

/** Text to put in place of a stretch of the file. */
export interface TextEdit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** Something in the text that cannot be read as it stands, in the maker's words. */
export interface TextProblem {
  readonly code: 'unreadable-text' | 'unexpected-text' | 'name-taken' | 'deep-nesting';
  readonly message: string;
  readonly from: number;
  readonly to: number;
  readonly fix?: { readonly title: string; readonly edits: readonly TextEdit[] };
}

export interface Scanned {
  readonly tokens: Token[];
  readonly comments: Token[];
  readonly problems: TextProblem[];
}

/** So many problems of one text are noted; a text with more is no design. */
export const mostProblems = 200;

/** More words and marks than this are not read: tens of thousands of lines. */
const mostTokens = 250_000;

/** Deepest nesting of parentheses and of signs, and most operators of one value. */
const deepest = 64;
const longest = 1000;

const needlessBrace = "one '}' too many";

/** Whether a problem is a brace that closes nothing. */
export function isNeedlessBrace({ message }: TextProblem): boolean {
  return message.startsWith(needlessBrace);
}

/** Words that are followed by a new name, and those that may follow the name in a statement's head. */
const naming: ReadonlySet<string> = new Set(
  'mechanism let shaft key gear segment cam spring post band ratchet push glyphs material process'.split(' '),
);
const afterName: ReadonlySet<string> = new Set(['on', 'level', 'drives']);

/** Words followed by the name of a material, process or table: no value stands there, so it may hold hyphens. */
const namesTable: ReadonlySet<string> = new Set(['material', 'process', 'glyphs', 'like', 'with']);

/** Words after which a list with commas may begin, or a number that is no value. */
const beforeList: ReadonlySet<string> = new Set(['mark', 'flanks', 'polynomial', 'language']);

const beginsPart: ReadonlySet<string> = new Set(Object.keys(rooms.mechanism));
const beginsStatement: ReadonlySet<string> = new Set(Object.keys(rooms.file));

/** Words that end a list of symbols: those that may begin what comes after it. */
const endsCount: ReadonlySet<string> = new Set([...beginsPart, ...beginsStatement, 'times']);
const endsRaised: ReadonlySet<string> = new Set([...beginsPart, ...beginsStatement, ...Object.keys(rooms.cam)]);

/** Characters that are often meant for others, and what they are meant for. */
const lookAlikes: ReadonlyMap<string, string> = new Map([
  ['−', '-'],
  ['–', '-'],
  ['—', '-'],
  ['×', '*'],
  ['·', '*'],
  ['÷', '/'],
  ['“', '"'],
  ['”', '"'],
  ['„', '"'],
  [';', ''],
]);

const wordPattern = /[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]*/y;
const unitPattern = /%|°|[µμ]?[A-Za-z][A-Za-z0-9]*(?:\/[A-Za-z][A-Za-z0-9]*)?/y;
const codePattern = /[a-z]+(?:-[a-z]+)*/y;
const hyphenatedPattern = /[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]*(?:-[A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]+)*/y;
const numberPattern = /[0-9]+(?:\.[0-9]+)?/y;
/** Numbers as others write them: with a power of ten, with a comma for the point, with thousands apart. */
const powerPattern = /[0-9]+(?:\.[0-9]+)?[eE][+-]?[0-9]+(?![A-Za-z0-9_])/y;
const commaPattern =
  /(?:[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+,[0-9]+)(?![0-9]|[.,][0-9])/y;
/** What may stand between the first coordinate of a pair and its comma. */
const endsFirstPattern = /[ \t]*[A-Za-zµμ]*[ \t]*,/y;
const textPattern = /"(?:[^"\\\r\n]|\\.)*"/y;
const lineCommentPattern = /\/\/[^\r\n]*/y;
const openTextPattern = /"[^\r\n]*/y;
/** What may be meant for a symbol where one is due: anything without blanks, braces, quotes and commas. */
const barePattern = /[^\s"{},]+/y;
const wordStart = /[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]/;

/** Where unit words stand after a slash, as in N/mm: only such words are read as one with what stands before it. */
const perWord = /^(?:um|mm|cm|m|km|in|deg|rad|turn|[mk]?N|k?g|m?s|[cm]?m[23])$/;

function matchAt(pattern: RegExp, text: string, at: number): string | undefined {
  pattern.lastIndex = at;
  return pattern.test(text) ? text.slice(at, pattern.lastIndex) : undefined;
}

/**
 * Reads a whole text. Never fails: what cannot be read is told in `problems` and left out of `tokens`; what is told but
 * clear in its meaning (a symbol that lacks its quotes) is read as meant. Takes time in proportion to the text's length.
 */
export function scan(text: string): Scanned {
  const scanner = new Scanner(text);
  scanner.run();
  return scanner;
}

class Scanner implements Scanned {
  tokens: Token[] = [];
  readonly comments: Token[] = [];
  readonly problems: TextProblem[] = [];

  private at = 0;
  private line = 1;
  private lineStart = 0;

  // What the tokens so far say of the next one.
  private last = '';
  private lastLine = 0;
  /** Words that end the list of symbols under way. */
  private listEnds: ReadonlySet<string> | undefined;
  private listProblem: { message: string; from: number; to: number; edits: TextEdit[] } | undefined;
  private readonly blocks: ('glyphs' | 'other')[] = [];
  /** Keywords that were taken as names all the same. */
  private readonly borrowed = new Set<string>();
  /** A `}` that closed a mechanism although a part follows it; it is one too many if a later one closes nothing. */
  private doubtful: Token | undefined;

  /** Something was passed over that the next token's value may have needed. */
  private spoils = false;

  // How far the value under way has grown.
  private parentheses = 0;
  private signs = 0;
  private operators = 0;
  private beyond: { from: number; to: number } | undefined;

  constructor(private readonly text: string) {}

  run(): void {
    const { text } = this;
    if (isNoText(text)) {
      this.tell('unreadable-text', 'this is no text: it holds bytes that no written text has', 0, 1);
      return;
    }
    if (text.charCodeAt(0) === 0xfeff) this.at = 1;
    while (this.at < text.length && this.tokens.length < mostTokens) this.next();
    this.endValue();
    if (this.at < text.length) {
      const message = 'this text is too long to be read on from here: part it into files and import these';
      this.problems.push({ code: 'unreadable-text', message, from: this.at, to: this.at + 1 });
    }
    this.endList();
  }

  private next(): void {
    const { text, at } = this;
    const c = text[at]!;
    if (c === '\n' || c === '\r') {
      // Of a pair, the second ends the line.
      this.at += c === '\r' && text[at + 1] === '\n' ? 2 : 1;
      this.line++;
      this.lineStart = this.at;
    } else if (isBlank(c)) {
      this.at = afterBlanks(text, at + 1);
    } else if (c >= '0' && c <= '9') {
      this.take('NUMBER', this.number());
    } else if (c === '/' && text[at + 1] === '/') {
      this.lineComment();
    } else if (c === '/' && text[at + 1] === '*') {
      this.blockComment();
    } else if (c === '"') {
      this.quotedText();
    } else {
      const found =
        (this.last === 'NUMBER' && this.lastLine === this.line && this.unit()) ||
        (this.last === 'accept' && this.lastLine === this.line && matched('CODE', codePattern, text, at)) ||
        this.word() ||
        this.bareSymbol() ||
        this.mark();
      if (found) this.take(found[0], found[1]);
      else this.unreadable();
    }
  }

  private number(): string {
    const image = matchAt(numberPattern, this.text, this.at)!;
    const c = this.text[this.at + image.length];
    return ((c === ',' || c === 'e' || c === 'E') && this.strangeNumber()) || image;
  }

  /** A number that is not written as numbers are here: told, and read as meant where that is clear. */
  private strangeNumber(): string | undefined {
    const { text, at } = this;
    // A symbol is whatever stands there.
    if (this.listEnds || this.blocks.at(-1) === 'glyphs' || this.last === 'language') return undefined;
    const image = matchAt(powerPattern, text, at) ?? this.withComma();
    if (image === undefined) return undefined;
    const to = at + image.length;
    const meant = meantNumber(image);
    if (meant === undefined) {
      const power = /e/i.test(image);
      this.spoils = true;
      const message = power
        ? `'${image}' is no number that can be written here: take another unit, and digits alone`
        : `a ',' is no part of a number: ${image.replaceAll(',', '')} or ${image.replace(',', '.')}?`;
      this.tell('unreadable-text', message, at, to);
    } else {
      const message = /e/i.test(image)
        ? `a number has no power of ten: write ${meant}`
        : `the decimals of a number follow a point: write ${meant}`;
      this.tell('unreadable-text', message, at, to, {
        title: `Write ${meant}`,
        edits: [{ from: at, to, text: meant }],
      });
    }
    return image;
  }

  /** A number with a comma in it, unless the comma parts two values. */
  private withComma(): string | undefined {
    if (this.parentheses > 0 || beforeList.has(this.last)) return undefined;
    const image = matchAt(commaPattern, this.text, this.at);
    if (image === undefined || this.last !== 'at') return image;
    return matchAt(endsFirstPattern, this.text, this.at + image.length) && image;
  }

  private lineComment(): void {
    const image = matchAt(lineCommentPattern, this.text, this.at)!;
    this.comments.push(this.token('LINE_COMMENT', image));
    this.at += image.length;
  }

  private blockComment(): void {
    const { text, at } = this;
    const end = text.indexOf('*/', at + 2);
    if (end < 0) {
      this.tell(
        'unreadable-text',
        "this comment is not closed: a '*/' is missing; nothing after it is read",
        at,
        at + 2,
      );
    }
    const image = text.slice(at, end < 0 ? undefined : end + 2);
    const comment = this.token('BLOCK_COMMENT', image);
    const lines = image.split(/\r\n?|\n/);
    if (lines.length > 1) {
      this.line += lines.length - 1;
      this.lineStart = at + image.length - lines.at(-1)!.length;
      comment.endLine = this.line;
      comment.endColumn = lines.at(-1)!.length;
    }
    this.comments.push(comment);
    this.at += image.length;
  }

  private quotedText(): void {
    const { text, at } = this;
    const closed = matchAt(textPattern, text, at);
    const image = closed ?? openText(matchAt(openTextPattern, text, at)!);
    if (!closed) {
      const to = at + image.length;
      this.tell('unreadable-text', `this text is not closed: a '"' is missing at its end, on the same line`, at, to, {
        title: 'Close the text',
        edits: [{ from: to, to, text: '"' }],
      });
    }
    this.take('STRING', image);
  }

  private unit(): Found {
    const { text, at } = this;
    if (this.listEnds || this.blocks.at(-1) === 'glyphs') return undefined;
    let image = matchAt(unitPattern, text, at);
    if (image === undefined) return undefined;
    const slash = image.indexOf('/');
    if (slash > 0 && !units.has(image) && !perWord.test(image.slice(slash + 1))) image = image.slice(0, slash);
    if (!units.has(image) && wordStart.test(image[0]!)) {
      // The word may go on with letters that no unit has, be one of the language, or be a mistyped property.
      const word = matchAt(wordPattern, text, at)!;
      if (word.length > image.length || keywords.has(word) || beginsValue(text, at + image.length)) return undefined;
    }
    return ['UNIT', image];
  }

  private word(): Found {
    const { text, at } = this;
    const image = matchAt(namesTable.has(this.last) ? hyphenatedPattern : wordPattern, text, at);
    if (image === undefined) return undefined;
    const next = afterBlanks(text, at + image.length);
    const inGlyphs = this.blocks.at(-1) === 'glyphs';
    if (keywords.has(image)) {
      if (inGlyphs && text[next] === '=') return this.symbol('ENTRY', image);
      if (this.listEnds && !this.listEnds.has(image)) return this.symbol('ID', image);
      if (this.namesPart(image, next)) return ['ID', image];
      return [image, image];
    }
    if (inGlyphs && text[next] === '=') return ['ENTRY', image];
    return [text[next] === '(' ? 'FUNCTION' : 'ID', image];
  }

  /** Whether a keyword stands where only a name makes sense: it is told, and read as one. */
  private namesPart(image: string, next: number): boolean {
    if (this.last === 'on' && this.borrowed.has(image)) return true;
    if (!naming.has(this.last) || this.tokens.at(-2)?.name === 'every') return false;
    const c = this.text[next];
    if (c !== '{' && c !== '=' && !afterName.has(matchAt(wordPattern, this.text, next) ?? '')) return false;
    if (beginsStatement.has(this.last) && this.blocks.length > 0 && this.last !== 'mechanism') return false;
    const kind = this.last;
    const other = image + kind[0]!.toUpperCase() + kind.slice(1);
    this.borrowed.add(image);
    this.tell(
      'name-taken',
      `'${image}' is a word of the language: this ${kind === 'let' ? 'value' : kind} needs another name, such as '${other}'`,
      this.at,
      this.at + image.length,
      { title: `Call it ${other}`, edits: [{ from: this.at, to: this.at + image.length, text: other }] },
    );
    return true;
  }

  /** Marks where a symbol is due: read as one, but told to want quotes. */
  private bareSymbol(): Found {
    const { text, at } = this;
    if (this.blocks.at(-1) === 'glyphs') {
      const image = matchAt(barePattern, text, at);
      return image && image !== '=' && text[afterBlanks(text, at + image.length)] === '='
        ? this.symbol('STRING', image)
        : undefined;
    }
    if (!this.listEnds) return undefined;
    if (text[at] === ',') {
      const to = afterBlanks(text, at + 1);
      this.noteInList("symbols are parted by blanks; a ',' is not needed", at, at + 1, { from: at, to, text: ' ' });
      this.at++;
      return skipped;
    }
    const image = matchAt(barePattern, text, at);
    return image ? this.symbol('STRING', image) : undefined;
  }

  private symbol(name: string, image: string): Found {
    const from = this.at;
    const to = from + image.length;
    this.noteInList(`as a symbol, '${image}' is written in quotes: "${image}"`, from, to, {
      from,
      to,
      text: `"${image.replace(/[\\"]/g, '\\$&')}"`,
    });
    return [name, image];
  }

  /** One list, one problem: its fix mends the whole list. */
  private noteInList(message: string, from: number, to: number, edit: TextEdit): void {
    if (this.listProblem) this.listProblem.edits.push(edit);
    else this.listProblem = { message, from, to, edits: [edit] };
    if (!this.listEnds) this.endList();
  }

  private endList(): void {
    this.listEnds = undefined;
    if (!this.listProblem) return;
    const { message, from, to, edits } = this.listProblem;
    this.listProblem = undefined;
    const title = message.startsWith('as a symbol') ? 'Put it in quotes' : 'Leave the commas out';
    this.tell('unexpected-text', message, from, to, { title, edits });
  }

  private mark(): Found {
    const { text, at } = this;
    const c = text[at]!;
    if (c === '+' && text.startsWith('+/-', at)) return ['+/-', '+/-'];
    return '{}(),=*/+-±'.includes(c) ? [c, c] : undefined;
  }

  private unreadable(): void {
    const { text, at } = this;
    let to = at + 1;
    while (to < text.length && !readable(text, to)) to++;
    this.at = to;
    const image = text.slice(at, to);
    const shown = [...image].slice(0, 12).map(printable).join('');
    const instead = lookAlikes.get(image);
    const put = (title: string, put: string) => ({ title, edits: [{ from: at, to, text: put }] });
    this.spoils = instead !== '' && image !== ':';
    if (instead === '') {
      this.tell('unreadable-text', `'${shown}' is not needed: lines need no end mark`, at, to, put('Take it away', ''));
    } else if (instead !== undefined) {
      const message = `'${shown}' cannot be read: write '${instead}'`;
      this.tell('unreadable-text', message, at, to, put(`Write ${instead}`, instead));
    } else if (image === ':') {
      const message = `a ':' is not needed: a value follows its word`;
      this.tell('unreadable-text', message, at, to, put('Take it away', ''));
    } else if (image === '.' && /[0-9]/.test(text[to] ?? '')) {
      this.tell('unreadable-text', `a number begins with a digit: write '0.'`, at, to, put('Write 0.', '0.'));
    } else {
      this.tell('unreadable-text', `'${shown}' means nothing here; it is passed over`, at, to);
    }
  }

  private tell(code: TextProblem['code'], message: string, from: number, to: number, fix?: TextProblem['fix']): void {
    if (this.problems.length >= mostProblems) return;
    this.problems.push({ code, message, from, to, ...(fix && { fix }) });
  }

  private take(name: string, image: string): void {
    if (name === '') return;
    const grown = this.outgrown(name, image.length);
    if (!grown) {
      const token = this.token(name, image);
      if (this.spoils) {
        token.spoilt = true;
        this.spoils = false;
      }
      if (this.follows(token)) this.tokens.push(token);
    }
    this.last = name;
    this.lastLine = this.line;
    this.at += image.length;
  }

  private token(name: string, image: string): Mutable<Token> {
    const { at, line } = this;
    const column = at - this.lineStart;
    return {
      name,
      tokenType: undefined,
      tokenTypeIdx: 0,
      image,
      startOffset: at,
      endOffset: at + image.length - 1,
      startLine: line,
      startColumn: column + 1,
      endLine: line,
      endColumn: column + image.length,
    };
  }

  /** Keeps track of blocks and lists; false for a token that is to be left out. */
  private follows(token: Token): boolean {
    const { name } = token;
    if (this.doubtful === undefined && this.last === '}' && this.blocks.length === 0 && beginsPart.has(name)) {
      if (!beginsStatement.has(name)) this.doubtful = this.tokens.at(-1);
    } else if (beginsStatement.has(name) && name !== 'glyphs' && this.blocks.length === 0) {
      this.doubtful = undefined;
    }
    if (name === '{') this.blocks.push(this.blockKind());
    else if (this.blocks.length === 0 && this.tableWithoutBrace(name)) this.blocks.push('glyphs');
    else if (name === '}' && this.blocks.pop() === undefined) {
      return this.needlessBrace(token);
    }
    if (name === 'count') this.listEnds = endsCount;
    else if (name === 'at' && this.last === 'raised') this.listEnds = endsRaised;
    else if (name !== 'ID' && name !== 'NUMBER' && name !== 'STRING') this.endList();
    return true;
  }

  /** What the block that opens here belongs to. */
  private blockKind(): 'glyphs' | 'other' {
    let head = this.tokens.length - 1;
    while (this.tokens[head]?.name === 'ID' || this.tokens[head]?.name === 'like') head--;
    return this.tokens[head]?.name === 'glyphs' ? 'glyphs' : 'other';
  }

  /** Whether a token stands in a glyph table of which the opening brace is missing: entries are told apart all the same. */
  private tableWithoutBrace(name: string): boolean {
    if (this.last !== 'ID' || this.tokens.at(-2)?.name !== 'glyphs') return false;
    return name !== 'like' && !beginsStatement.has(name) && name !== '}';
  }

  /** A `}` too many is left out: one in doubt rather than the last. */
  private needlessBrace(last: Token): boolean {
    const { doubtful } = this;
    const from = (doubtful ?? last).startOffset;
    const message = `${needlessBrace}: ${doubtful ? 'parts of the mechanism follow it' : 'it closes nothing that is open'}`;
    const fix = { title: 'Take it away', edits: [{ from, to: from + 1, text: '' }] };
    this.tell('unexpected-text', message, from, from + 1, fix);
    if (!doubtful) return false;
    this.tokens.splice(this.tokens.indexOf(doubtful), 1);
    this.doubtful = undefined;
    return true;
  }

  /** Whether the value under way has grown beyond reading: its tokens are left out until something else begins. */
  private outgrown(name: string, length: number): boolean {
    if (name === '-') this.signs++;
    else this.signs = 0;
    if (name === '(') this.parentheses++;
    else if (name === ')') this.parentheses = Math.max(0, this.parentheses - 1);
    else if (operatorMarks.has(name)) this.operators++;
    else if (!(valueTokens.has(name) || (name === ',' && this.parentheses > 0))) {
      this.endValue();
      return false;
    }
    const over = this.parentheses > deepest || this.signs > deepest || this.operators > longest;
    if (!over && !this.beyond) return false;
    this.beyond = { from: this.beyond?.from ?? this.at, to: this.at + length };
    return true;
  }

  private endValue(): void {
    this.parentheses = this.operators = 0;
    if (!this.beyond) return;
    const { from, to } = this.beyond;
    this.beyond = undefined;
    this.tell(
      'deep-nesting',
      `this value is nested deeper than ${deepest} or has more than ${longest} operators; name parts of it with 'let'`,
      from,
      to,
    );
  }
}

/** Whether a file is none of text: a good part of its beginning are control characters. */
function isNoText(text: string): boolean {
  const beginning = text.slice(0, 2000);
  let controls = 0;
  for (const c of beginning) if (printable(c) === '�' && !/\s/.test(c)) controls++;
  return controls > 8 && controls > beginning.length / 10;
}

/** A number's text as it is written here, where what it means is clear. */
export function meantNumber(image: string): string | undefined {
  if (/e/i.test(image)) {
    const written = String(Number(image));
    return /^[0-9]+(\.[0-9]+)?$/.test(written) ? written : undefined;
  }
  const points = image.split('.').length - 1;
  const [whole, ...rest] = image.split(',');
  if (!rest.length) return image;
  // 1,000 may be a thousand or one; 1.000,5 and 1,000.5 are clear, and so are 1,000,000 and 0,125.
  if (rest.length === 1 && !points)
    return rest[0]!.length === 3 && /^[1-9][0-9]{0,2}$/.test(whole!) ? undefined : `${whole}.${rest[0]}`;
  return image.lastIndexOf('.') > image.lastIndexOf(',') || !points
    ? image.replaceAll(',', '')
    : image.replaceAll('.', '').replace(',', '.');
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** A token's name and text. */
type Found = readonly [name: string, image: string] | undefined;

/** Passed over without a token. */
const skipped: Found = ['', ''];

const operatorMarks: ReadonlySet<string> = new Set(['+', '-', '*', '/']);
const valueTokens: ReadonlySet<string> = new Set(['NUMBER', 'UNIT', 'FUNCTION', 'ID']);

function isBlank(c: string): boolean {
  return c === ' ' || c === '\t' || c === '\f' || c === '\v' || c === '\u00a0';
}

function afterBlanks(text: string, at: number): number {
  let to = at;
  while (text[to] === ' ' || text[to] === '\t') to++;
  return to;
}

function matched(name: string, pattern: RegExp, text: string, at: number): Found {
  const image = matchAt(pattern, text, at);
  return image === undefined ? undefined : [name, image];
}

/** Text without its closing quote reaches to the end of its line, without the block's end that may stand there. */
function openText(image: string): string {
  return image.replace(/\s*(?:\}\s*)*(?:\/\/.*)?$/, '') || '"';
}

/** Whether a value begins after the word that ends at `at`: then that word is a property rather than a unit. */
function beginsValue(text: string, at: number): boolean {
  const to = afterBlanks(text, at);
  if (to === at || to >= text.length) return false;
  const c = text[to]!;
  if (c === '-') return /[0-9(A-Za-z_]/.test(text[to + 1] ?? '');
  if (/[0-9("]/.test(c)) return true;
  const word = matchAt(wordPattern, text, to);
  return word !== undefined && !keywords.has(word);
}

function readable(text: string, at: number): boolean {
  const c = text[at]!;
  return /[\s0-9"{}(),=*/+\-±%°]/.test(c) || wordStart.test(c);
}

/** A character as it can be shown in a message. */
function printable(c: string): string {
  const code = c.codePointAt(0)!;
  return code < 32 || (code >= 127 && code < 160) || code === 0xfffd ? '�' : c;
}
