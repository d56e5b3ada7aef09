/** Faces, faults and positions of a symptom table as sentences. */
import { list } from '../../checks/check.ts';
import type { Face, Fault, FaultGroup, SymptomTable } from '../../search/symptoms.ts';

/** A symbol as it is said: one that shows nothing is "blank". */
export const spelled = (symbol: string): string => symbol.trim() || 'blank';

/** A rest position by its symbol; where that is counted more than once, by its number too, as `--seen` takes it. */
export function labelOf({ symbols }: SymptomTable, position: number): string {
  const symbol = symbols[position];
  const once = symbols.indexOf(symbol) === symbols.lastIndexOf(symbol);
  return once ? spelled(symbol) : `${spelled(symbol)} (#${position})`;
}

/** The bars of a face that are seen in one way. */
export const barsSeen = ({ segments }: SymptomTable, face: Face, letter: string): string[] =>
  segments.filter((_, i) => face[i] === letter);

/** The symbols that a face is; none, where it is no symbol. */
export const symbolsOf = ({ glyphs }: SymptomTable, face: Face): readonly string[] =>
  Object.hasOwn(glyphs, face) ? glyphs[face] : [];

/** "9", "no symbol: a c d", "no symbol: a c, e half-way". */
export function faceInWords(table: SymptomTable, face: Face): string {
  const symbols = symbolsOf(table, face);
  if (symbols.length > 0) return symbols.map(spelled).join(' or ');
  const [shown, between] = [barsSeen(table, face, '1'), barsSeen(table, face, '-')];
  const parts = [...(shown.length ? [shown.join(' ')] : []), ...(between.length ? [`${list(between)} half-way`] : [])];
  return `no symbol: ${parts.join(', ') || 'no bar'}`;
}

/** "9", "(a c d)", "(a c e½)": the bars that are shown, or half-way, where that is no symbol. */
export function faceInShort(table: SymptomTable, face: Face): string {
  const symbols = symbolsOf(table, face);
  if (symbols.length > 0) return symbols.map(spelled).join(' or ');
  const bars = table.segments.flatMap((name, i) => (face[i] === '1' ? [name] : face[i] === '-' ? [`${name}½`] : []));
  return `(${bars.join(' ') || 'no bar'})`;
}

/** What that stands for. */
export const shortened = 'In brackets: the bars that are shown, where they are no symbol; ½: half-way.';

/** "4 shows 9", "6 shows (a c d)", at every position that is spoilt. */
export const spoiltInWords = (table: SymptomTable, { faces, spoilt }: FaultGroup): string[] =>
  spoilt.map((position) => `${labelOf(table, position)} shows ${faceInShort(table, faces[position])}`);

export const faultInWords = ({ what, note }: Fault): string => (note === undefined ? what : `${what} (${note})`);

/** What one must know to read the table. */
export function assumed({ leading, runs }: SymptomTable): string {
  const shaft = leading === undefined ? 'all shafts' : `shaft ${leading}`;
  const way = runs === 'reverse' ? 'as it runs, in reverse' : 'forward';
  return (
    `Positions are counted from home, where ${shaft} stands with its mark in its place, step by step ${way}. ` +
    'One fault at a time: two together may look like a third. What hangs is seen after one whole turn.'
  );
}

/** The groups that show something wrong: those that spoil the least first, then by what they spoil. */
export const bySymptom = ({ groups }: SymptomTable): readonly FaultGroup[] =>
  groups.slice(1).sort(({ spoilt: a }, { spoilt: b }) => {
    const differ = a.findIndex((position, i) => position !== b[i]);
    return a.length - b.length || (differ < 0 ? 0 : a[differ] - b[differ]);
  });

/** "54 faults of assembly, 46 looks". */
export function sizeInWords({ groups }: SymptomTable): string {
  const faults = groups.reduce((sum, group) => sum + group.faults.length, 0);
  const looks = groups.length - 1;
  return `${faults} ${faults === 1 ? 'fault' : 'faults'} of assembly, ${looks} ${looks === 1 ? 'look' : 'looks'}`;
}

/** Pieces with commas between them, in lines that a terminal holds. */
export function inLines(pieces: readonly string[], indent: string): string[] {
  const lines: string[] = [];
  for (const [i, piece] of pieces.entries()) {
    const text = i < pieces.length - 1 ? `${piece},` : piece;
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + text.length <= 100) lines[lines.length - 1] = `${last} ${text}`;
    else lines.push(indent + text);
  }
  return lines;
}
