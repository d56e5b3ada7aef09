/**
 * Reading text into tokens. What a word is depends on what stands around it: a unit only right after a number, a code
 * only after `accept`, an entry before the `=` of a glyph table; so `m`, `N` and `s` stay free for names.
 */
import { keywords } from './keywords.ts';
import { units } from './units.ts';

/** A stretch of text with a meaning. Lines and columns count from 1, `endOffset` and `endColumn` are inclusive. */
export interface Token {
  /** A keyword or a mark by its own text; else one of the grammar's terminals (`NUMBER`, `ID`, `STRING` …). */
  readonly name: string;
  readonly image: string;
  readonly startOffset: number;
  readonly endOffset: number;
  readonly startLine: number;
  readonly startColumn: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** Something in the text that cannot be read, in the maker's words. */
export interface TextProblem {
  readonly code: 'unreadable-text' | 'deep-nesting';
  readonly message: string;
  readonly from: number;
  readonly to: number;
  /** Text that would be readable in its place. */
  readonly instead?: string;
}

export interface Scanned {
  readonly tokens: Token[];
  readonly comments: Token[];
  readonly problems: TextProblem[];
}

/** Deepest nesting of parentheses and of signs, and most operators of one value. */
const deepest = 64;
const longest = 1000;

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
  ['’', "'"],
  [';', ''],
]);

const wordPattern = /[A-Za-z_À-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ɏͰ-ϿЀ-ӿ]*/y;
const unitPattern = /%|°|[µμ]?[A-Za-z][A-Za-z0-9]*(?:\/[A-Za-z][A-Za-z0-9]*)?/y;
const codePattern = /[a-z]+(?:-[a-z]+)*/y;
const numberPattern = /[0-9]+(?:\.[0-9]+)?/y;
const textPattern = /"(?:[^"\\\r\n]|\\.)*"/y;
const openTextPattern = /"[^\r\n]*/y;
const wordStart = /[A-Za-z_À-ɏͰ-ϿЀ-ӿ]/;

/** Where unit words stand after a slash, as in N/mm: only such words are read as one with what stands before it. */
const perWord = /^(?:um|mm|cm|m|km|in|deg|rad|turn|[mk]?N|k?g|m?s|[cm]?m[23])$/;

function matchAt(pattern: RegExp, text: string, at: number): string | undefined {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0];
}

/**
 * Reads a whole text. Never fails: what cannot be read is told in `problems` and left out of `tokens`. Takes time in
 * proportion to the text's length.
 */
export function scan(text: string): Scanned {
  const tokens: Token[] = [];
  const comments: Token[] = [];
  const problems: TextProblem[] = [];
  let line = 1;
  let lineStart = 0;

  // What the tokens so far say of the next one.
  let last = '';
  let lastLine = 0;
  let listing = false;
  const blocks: boolean[] = [];
  let inGlyphs = false;
  let parentheses = 0;
  let signs = 0;
  let operators = 0;
  let dropping: { from: number; to: number } | undefined;

  const keep = (name: string, image: string, from: number) => {
    tokens.push({
      name,
      image,
      startOffset: from,
      endOffset: from + image.length - 1,
      startLine: line,
      startColumn: from - lineStart + 1,
      endLine: line,
      endColumn: from - lineStart + image.length,
    });
    last = name;
    lastLine = line;
  };

  const stopDropping = () => {
    if (!dropping) return;
    problems.push({
      code: 'deep-nesting',
      message: `This value is nested deeper than ${deepest} or has more than ${longest} operators; name parts of it with 'let'.`,
      from: dropping.from,
      to: dropping.to,
    });
    dropping = undefined;
  };

  /** Whether a value has grown beyond reading: its tokens are then left out until something else begins. */
  const beyond = (name: string, from: number, to: number): boolean => {
    switch (name) {
      case '(':
        parentheses++;
        signs = 0;
        break;
      case ')':
        if (parentheses > 0) parentheses--;
        signs = 0;
        break;
      case '-':
        signs++;
        operators++;
        break;
      case '+':
      case '*':
      case '/':
        signs = 0;
        operators++;
        break;
      case 'NUMBER':
      case 'UNIT':
      case 'FUNCTION':
      case 'ID':
        signs = 0;
        break;
      case ',':
        signs = 0;
        if (parentheses > 0) break;
        operators = 0;
        stopDropping();
        return false;
      default:
        parentheses = signs = operators = 0;
        stopDropping();
        return false;
    }
    if (parentheses > deepest || signs > deepest || operators > longest || dropping) {
      dropping = dropping ? { from: dropping.from, to } : { from, to };
      return true;
    }
    return false;
  };

  const take = (name: string, image: string, from: number) => {
    if (beyond(name, from, from + image.length)) {
      last = name;
      lastLine = line;
      return;
    }
    if (name === '{') {
      const before = tokens[tokens.length - 2]?.name;
      blocks.push(inGlyphs);
      inGlyphs = before === 'glyphs' || before === 'like';
    } else if (name === '}') {
      inGlyphs = blocks.pop() ?? false;
    }
    if (name === 'count' || (name === 'at' && last === 'raised')) listing = true;
    else if (name !== 'ID' && name !== 'NUMBER' && name !== 'STRING') listing = false;
    keep(name, image, from);
  };

  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  while (at < text.length) {
    const c = text[at]!;
    if (c === '\n') {
      at++;
      line++;
      lineStart = at;
    } else if (c === ' ' || c === '\t' || c === '\r' || c === '\f' || c === '\v' || c === '\u00a0') {
      at++;
    } else if (c >= '0' && c <= '9') {
      const image = matchAt(numberPattern, text, at)!;
      take('NUMBER', image, at);
      at += image.length;
    } else if (c === '/' && text[at + 1] === '/') {
      const end = text.indexOf('\n', at);
      let to = end < 0 ? text.length : end;
      if (text[to - 1] === '\r') to--;
      comments.push(commentToken('LINE_COMMENT', text.slice(at, to), at, line, lineStart));
      at = to;
    } else if (c === '/' && text[at + 1] === '*') {
      const end = text.indexOf('*/', at + 2);
      const to = end < 0 ? text.length : end + 2;
      if (end < 0) {
        problems.push({
          code: 'unreadable-text',
          message: "This comment is not closed: a '*/' is missing; nothing after it is read.",
          from: at,
          to: at + 2,
        });
      }
      const comment = commentToken('BLOCK_COMMENT', text.slice(at, to), at, line, lineStart);
      comments.push(comment);
      if (comment.endLine > line) {
        line = comment.endLine;
        lineStart = text.lastIndexOf('\n', to - 1) + 1;
      }
      at = to;
    } else if (c === '"') {
      const closed = matchAt(textPattern, text, at);
      const image = closed ?? openText(matchAt(openTextPattern, text, at)!);
      if (!closed) {
        problems.push({
          code: 'unreadable-text',
          message: `This text is not closed: a '"' is missing at its end, on the same line.`,
          from: at,
          to: at + image.length,
          instead: `${image}"`,
        });
      }
      take('STRING', image, at);
      at += image.length;
    } else {
      const found =
        unitAt(text, at, last === 'NUMBER' && lastLine === line && !listing && !inGlyphs) ??
        codeAt(text, at, last === 'accept' && lastLine === line) ??
        wordAt(text, at, inGlyphs) ??
        markAt(text, at);
      if (found) {
        take(found[0], found[1], at);
        at += found[1].length;
      } else {
        const from = at;
        at += 1;
        while (at < text.length && !readable(text, at)) at++;
        problems.push(unreadable(text, from, at));
      }
    }
  }
  stopDropping();
  return { tokens, comments, problems };
}

/** Text without its closing quote reaches to the end of its line, without the block's end that may stand there. */
function openText(image: string): string {
  return image.replace(/\s*(?:\}\s*)*(?:\/\/.*)?$/, '') || '"';
}

function commentToken(name: string, image: string, from: number, line: number, lineStart: number): Token {
  const lines = name === 'LINE_COMMENT' ? 0 : image.split('\n').length - 1;
  const lastStart = lines ? from + image.lastIndexOf('\n') + 1 : lineStart;
  return {
    name,
    image,
    startOffset: from,
    endOffset: from + image.length - 1,
    startLine: line,
    startColumn: from - lineStart + 1,
    endLine: line + lines,
    endColumn: from + image.length - lastStart,
  };
}

type Found = readonly [name: string, image: string] | undefined;

function unitAt(text: string, at: number, due: boolean): Found {
  if (!due) return undefined;
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

/** Whether a value begins after the word that ends at `at`: then that word is a property rather than a unit. */
function beginsValue(text: string, at: number): boolean {
  let to = at;
  while (text[to] === ' ' || text[to] === '\t') to++;
  if (to === at || to >= text.length) return false;
  const c = text[to]!;
  if (c === '-') return /[0-9(A-Za-z_]/.test(text[to + 1] ?? '');
  if (/[0-9("]/.test(c)) return true;
  const word = matchAt(wordPattern, text, to);
  return word !== undefined && !keywords.has(word);
}

function codeAt(text: string, at: number, due: boolean): Found {
  const image = due ? matchAt(codePattern, text, at) : undefined;
  return image === undefined ? undefined : ['CODE', image];
}

function wordAt(text: string, at: number, inGlyphs: boolean): Found {
  const image = matchAt(wordPattern, text, at);
  if (image === undefined) return undefined;
  if (keywords.has(image)) return [image, image];
  let to = at + image.length;
  while (text[to] === ' ' || text[to] === '\t') to++;
  if (inGlyphs && text[to] === '=') return ['ENTRY', image];
  return [text[to] === '(' ? 'FUNCTION' : 'ID', image];
}

function markAt(text: string, at: number): Found {
  const c = text[at]!;
  if (c === '+' && text.startsWith('+/-', at)) return ['+/-', '+/-'];
  return '{}(),=*/+-±'.includes(c) ? [c, c] : undefined;
}

function readable(text: string, at: number): boolean {
  const c = text[at]!;
  return /[\s0-9"{}(),=*/+\-±%°]/.test(c) || wordStart.test(c);
}

function unreadable(text: string, from: number, to: number): TextProblem {
  const image = text.slice(from, to);
  const instead = lookAlikes.get(image);
  const shown = [...image].slice(0, 12).map(printable).join('');
  const problem = { code: 'unreadable-text', from, to } as const;
  if (instead === '') return { ...problem, message: `'${shown}' is not needed here: lines need no end mark.`, instead };
  if (instead !== undefined) return { ...problem, message: `'${shown}' cannot be read: write '${instead}'.`, instead };
  if (image.startsWith('.') && /[0-9]/.test(text[to] ?? '')) {
    return { ...problem, message: "A number begins with a digit: write '0.' instead of '.'.", instead: '0.' };
  }
  return { ...problem, message: `'${shown}' means nothing here; it is passed over.` };
}

/** A character as it can be shown in a message. */
function printable(c: string): string {
  const code = c.codePointAt(0)!;
  return code < 32 || (code >= 127 && code < 160) || code === 0xfffd ? '�' : c;
}
