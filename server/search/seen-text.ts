/**
 * What was seen, as a builder writes it: "0 ok, 4 shows 9, 6 wrong, 7 e stuck up". Things are parted by commas, semicolons
 * or lines. Forgiving: small words may stand or not, letters' case matters only where it tells two symbols apart.
 */
import { nearest } from '../../language/near.ts';
import type { Observation } from './seen.ts';
import type { Seen, SymptomTable } from './symptoms.ts';

/** Why a text cannot be meant: one sentence. */
export interface Unclear {
  readonly because: string;
}

interface Word {
  readonly text: string;
  /** In quotes: a symbol, whatever word it is spelled like. */
  readonly quoted: boolean;
}

const oks = ['ok', 'okay', 'right', 'good', 'fine', 'correct'];
const wrongs = ['wrong', 'bad', 'off', 'incorrect'];
const verbs = ['shows', 'show', 'reads', 'read', 'like', '->', '→', '='];
const nothings = ['nothing', 'blank', 'none', 'empty'];
const nonsenses = ['nonsense', 'rubbish', 'no symbol', 'gibberish'];
const alls = ['all', 'everything', 'every'];
const others = ['others', 'other', 'rest', 'else'];
const fillers = [
  'is',
  'are',
  'was',
  'at',
  'the',
  'bar',
  'stuck',
  'stays',
  'stay',
  'stands',
  'stand',
  'looks',
  'it',
  ':',
];
/** What is seen of a bar, or where its follower stands. */
const states: Readonly<Record<string, 'shown' | 'hidden' | 'up' | 'down' | 'between'>> = {
  shown: 'shown',
  visible: 'shown',
  seen: 'shown',
  hidden: 'hidden',
  missing: 'hidden',
  gone: 'hidden',
  up: 'up',
  raised: 'up',
  down: 'down',
  lowered: 'down',
  half: 'between',
  halfway: 'between',
  'half-way': 'between',
  between: 'between',
  partly: 'between',
};

const example = 'write such as "0 ok, 4 shows 9, 6 wrong, 7 e stuck up, others ok"';

export function seenIn(text: string, table: SymptomTable): readonly Observation[] | Unclear {
  const clauses = clausesIn(text, table);
  if ('because' in clauses) return clauses;
  if (!clauses.length) return { because: `nothing is said; ${example}` };
  const seen: Observation[] = [];
  const rest: { readonly words: readonly Word[]; readonly index: number }[] = [];
  for (const [index, words] of clauses.entries()) {
    // What is said of all others waits until it is known which these are.
    if (words.some((word) => !word.quoted && others.includes(low(word)))) {
      rest.push({ words, index });
      continue;
    }
    const found = observationIn(words, table, []);
    if ('because' in found) return found;
    seen.push(found);
  }
  for (const { words } of rest) {
    const told = new Set(seen.flatMap(({ at }) => at));
    const left = table.symbols.map((_, i) => i).filter((i) => !told.has(i));
    if (!left.length) return { because: `${sayAll(words)}: every position is told of already` };
    const found = observationIn(words, table, left);
    if ('because' in found) return found;
    seen.push(found);
  }
  return contradiction(seen, table) ?? seen;
}

const low = ({ text }: Word): string => text.toLowerCase();
const isOne = (word: Word | undefined, words: readonly string[]): boolean =>
  word !== undefined && !word.quoted && words.includes(low(word));
const sayAll = (words: readonly Word[]): string =>
  words.map(({ text, quoted }) => (quoted ? `"${text}"` : text)).join(' ');

// ---- words ---------------------------------------------------------------------------------------

/** Each clause as its words; "and" and "but" after a judgement begin another. */
function clausesIn(text: string, { symbols, segments }: SymptomTable): Word[][] | Unclear {
  const clauses: Word[][] = [[]];
  const names = new Set([...symbols, ...segments]);
  const token = /"([^"]*)"|'([^']*)'|([,;\n])|([^\s,;"']+)|["']/g;
  for (const match of text.matchAll(token)) {
    const [whole, double, single, comma, plain] = match;
    const clause = clauses.at(-1)!;
    if (comma !== undefined) clauses.push([]);
    else if (plain === undefined && double === undefined && single === undefined) {
      return { because: `a quotation mark ${whole} has no partner; ${example}` };
    } else if (plain === undefined) clause.push({ text: double ?? single ?? '', quoted: true });
    else if (/^(and|but)$/i.test(plain) && isJudgement(clause.at(-1))) clauses.push([]);
    else if (!/^(and|&|\+)$/i.test(plain)) {
      // "4:" and "4=9", unless a symbol is spelled so.
      const parts = names.has(plain) ? [plain] : plain.split(/(->|→|=|:)/).filter(Boolean);
      clause.push(...parts.map((part) => ({ text: part, quoted: false })));
    }
  }
  return clauses.filter((clause) => clause.length > 0);
}

const isJudgement = (word: Word | undefined): boolean =>
  isOne(word, oks) || isOne(word, wrongs) || isOne(word, Object.keys(states));

// ---- one thing that was seen -----------------------------------------------------------------------

function observationIn(words: readonly Word[], table: SymptomTable, left: readonly number[]): Observation | Unclear {
  const said = sayAll(words);
  const isSymbol = ({ text, quoted }: Word) => quoted || table.symbols.includes(text);
  const telling = words.filter((word) => isSymbol(word) || !isOne(word, fillers));
  const fail = (because: string): Unclear => ({ because: `${said}: ${because}` });
  const about = (before: readonly Word[]): { at: number[]; several: boolean } | Unclear => {
    if (left.length) return { at: [...left], several: true };
    if (before.some((word) => isOne(word, alls))) return { at: table.symbols.map((_, i) => i), several: true };
    if (!before.length) return fail(`at which position? ${example}`);
    const found: number[] = [];
    for (let i = 0; i < before.length; i++) {
      const range = isOne(before[i], ['to']) && found.length > 0 && before[i + 1];
      const here = positionsOf(range || before[i], table);
      if ('because' in here) return fail(here.because);
      if (range) {
        const [from, to] = [found.at(-1)!, here.at.find((one) => one > found.at(-1)!) ?? here.at[0]];
        if (to < from) return fail(`${before[i - 1].text} comes after ${range.text} in the count`);
        for (let k = from + 1; k <= to; k++) found.push(k);
        i++;
      } else found.push(...here.at);
    }
    const at = [...new Set(found)];
    return { at, several: before.length > 1 };
  };
  const observed = (before: readonly Word[], sees: Observation['sees']): Observation | Unclear => {
    const found = about(before);
    if ('because' in found) return found;
    // Of a symbol that is counted more than once, what is wrong may be so at one place only.
    return { said, at: found.at, everywhere: sees === 'right' || found.several, sees };
  };

  const last = telling.at(-1);
  const before = telling.slice(0, -1);
  const not = isOne(before.at(-1), ['not', 'never']);
  const subject = not ? before.slice(0, -1) : before;
  const verb = telling.findIndex((word, i) => i > 0 && isOne(word, verbs) && !isSymbolAt(telling, i, table));
  const bars = telling.findIndex((word) => isOne(word, ['bars']));
  if (bars >= 0) {
    const names = telling.slice(bars + 1);
    const shown = names.filter((word, i) => !(i === names.length - 1 && isOne(word, ['shown', 'only', 'visible'])));
    if (!Object.hasOwn(states, low(shown.at(-1) ?? { text: '', quoted: true }))) {
      const face = exactFace(shown, table);
      return typeof face === 'string' ? observed(telling.slice(0, bars), { face }) : fail(face.because);
    }
  }
  if (isOne(last, oks)) return observed(subject, not ? 'wrong' : 'right');
  if (isOne(last, wrongs)) return observed(subject, not ? 'right' : 'wrong');
  if (verb > 0) {
    const seen = symbolSeen(telling.slice(verb + 1), table);
    return 'because' in seen ? fail(seen.because) : observed(telling.slice(0, verb), seen.sees);
  }
  if (last && !last.quoted && Object.hasOwn(states, low(last))) {
    return barsStand(
      subject.filter((word) => !isOne(word, ['bars'])),
      states[low(last)],
      not,
    );
  }
  // "4 is 9", "4: 9"
  if (words.length > telling.length && telling.length === 2 && left.length === 0) {
    const seen = symbolSeen(telling.slice(1), table);
    if (!('because' in seen)) return observed(telling.slice(0, 1), seen.sees);
  }
  return fail(`this says not what was seen; ${example}`);

  function barsStand(all: readonly Word[], state: (typeof states)[string], not: boolean): Observation | Unclear {
    let first = all.length;
    const least = left.length ? 0 : 1;
    while (first > least && barOf(all[first - 1], table) !== undefined) first--;
    if (first === all.length) {
      if (all.length === least && barOf(all[0], table) !== undefined) return about([]) as Unclear;
      return fail(`which bar is ${last!.text}? ${barHint(all.at(-1)?.text ?? '', table)}`);
    }
    if (not && state === 'between') return fail('say whether it is shown or hidden');
    const letters = [...'?'.repeat(table.segments.length)];
    for (const word of all.slice(first)) {
      const bar = barOf(word, table)!;
      letters[bar] = letterOf(state, not, table.lowered.includes(table.segments[bar]));
    }
    return observed(all.slice(0, first), { face: letters.join('') });
  }
}

/** Whether a word that is spelled like a verb is meant as a symbol: it stands after a verb. */
const isSymbolAt = (words: readonly Word[], i: number, { symbols }: SymptomTable): boolean =>
  symbols.includes(words[i].text) && isOne(words[i - 1], verbs);

function letterOf(state: (typeof states)[string], not: boolean, lowered: boolean): Seen {
  if (state === 'between') return '-';
  const shown = state === 'shown' || state === (lowered ? 'down' : 'up');
  return shown !== not ? '1' : '0';
}

function barOf({ text }: Word, { segments }: SymptomTable): number | undefined {
  const exact = segments.indexOf(text);
  if (exact >= 0) return exact;
  const alike = segments.flatMap((name, i) => (name.toLowerCase() === text.toLowerCase() ? [i] : []));
  return alike.length === 1 ? alike[0] : undefined;
}

function barHint(text: string, { segments }: SymptomTable): string {
  const [near] = text.length > 1 ? nearest(text, segments, 1) : [];
  return near === undefined ? `its bars are ${segments.join(' ')}` : `did you mean ${near}?`;
}

/** The face on which these bars are shown and no others. */
function exactFace(words: readonly Word[], table: SymptomTable): string | Unclear {
  const shown = new Set<number>();
  for (const word of words) {
    if (isOne(word, nothings) && words.length === 1) break;
    const bar = barOf(word, table);
    if (bar === undefined) return { because: `no bar is called ${word.text}; ${barHint(word.text, table)}` };
    shown.add(bar);
  }
  if (!words.length) return { because: `name the bars that are shown, or "bars none"` };
  return table.segments.map((_, i) => (shown.has(i) ? '1' : '0')).join('');
}

function symbolSeen(words: readonly Word[], table: SymptomTable): { readonly sees: Observation['sees'] } | Unclear {
  const text = words.map((word) => word.text).join(' ');
  const quoted = words[0]?.quoted ?? false;
  if (!words.length) return { because: `which symbol does it show? ${example}` };
  const faceOf = (symbol: string) => Object.keys(table.glyphs).find((face) => table.glyphs[face].includes(symbol));
  const known = Object.values(table.glyphs).flat();
  const exact = faceOf(text);
  if (exact !== undefined) return { sees: { face: exact } };
  if (!quoted && nothings.includes(text.toLowerCase())) return { sees: { face: '0'.repeat(table.segments.length) } };
  if (!quoted && nonsenses.includes(text.toLowerCase())) return { sees: 'no symbol' };
  const alike = known.filter((symbol) => symbol.toLowerCase() === text.toLowerCase());
  if (alike.length === 1) return { sees: { face: faceOf(alike[0])! } };
  const [near] = nearest(text, known, 1);
  const hint = near === undefined ? 'say "bars a b c" of what is no symbol' : `did you mean ${near}?`;
  return { because: `no symbol of the glyphs is ${JSON.stringify(text)}; ${hint}` };
}

/** The rest positions of a symbol, or of "#3", the rest of that number. */
function positionsOf({ text, quoted }: Word, { symbols }: SymptomTable): { readonly at: readonly number[] } | Unclear {
  const where = (same: (symbol: string) => boolean) => symbols.flatMap((symbol, i) => (same(symbol) ? [i] : []));
  const exact = where((symbol) => symbol === text);
  if (exact.length) return { at: exact };
  const number = quoted ? null : /^#(\d+)$/.exec(text);
  if (number) {
    const at = Number(number[1]);
    return at < symbols.length
      ? { at: [at] }
      : { because: `there is no rest ${text}; they are #0 to #${symbols.length - 1}` };
  }
  const blank = !quoted && text.toLowerCase() === 'blank' ? where((symbol) => symbol.trim() === '') : [];
  if (blank.length) return { at: blank };
  const loose = where((symbol) => symbol.toLowerCase() === text.toLowerCase());
  const spelled = new Set(loose.map((i) => symbols[i]));
  if (spelled.size === 1) return { at: loose };
  if (spelled.size > 1) return { because: `is ${[...spelled].join(' or ')} meant?` };
  const [near] = nearest(text, symbols, 1);
  const hint = near === undefined ? `it counts ${fewSymbols(symbols)}` : `did you mean ${near}?`;
  return { because: `${JSON.stringify(text)} is not counted; ${hint}` };
}

function fewSymbols(symbols: readonly string[]): string {
  const each = [...new Set(symbols)].map((symbol) => symbol.trim() || 'blank');
  return each.length > 16 ? `${each.slice(0, 16).join(' ')} …` : each.join(' ');
}

/** Two things said of one position that cannot both be. */
function contradiction(seen: readonly Observation[], { right }: SymptomTable): Unclear | undefined {
  for (const [i, one] of seen.entries()) {
    for (const other of seen.slice(i + 1)) {
      const [only] = one.at;
      if (one.at.length !== 1 || !other.at.includes(only) || (other.at.length > 1 && !other.everywhere)) continue;
      if (!canBoth(one.sees, other.sees, right[only])) {
        return { because: `“${one.said}” and “${other.said}” cannot both be seen; keep one` };
      }
    }
  }
  return undefined;
}

function canBoth(one: Observation['sees'], other: Observation['sees'], right: string): boolean {
  if (one === other) return true;
  const faceOf = (sees: Observation['sees']) =>
    sees === 'right' ? right : typeof sees === 'object' ? sees.face : undefined;
  const [a, b] = [faceOf(one), faceOf(other)];
  if (a !== undefined && b !== undefined)
    return [...a].every((letter, i) => letter === '?' || b[i] === '?' || letter === b[i]);
  const face = a ?? b;
  return !(face === right && (one === 'wrong' || other === 'wrong'));
}
