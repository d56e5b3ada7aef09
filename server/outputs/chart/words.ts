/** Numbers and sentences as the drawings and their tables write them. */
import { degrees, wrapped as inTurn } from '../../reckon/motion/angles.ts';

/** A number with at most `digits` decimals, without trailing zeros, with a true minus sign. */
export function plain(value: number, digits = 2): string {
  if (!Number.isFinite(value)) return '–';
  const text = value.toFixed(digits);
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return short === '-0' ? '0' : short.replace('-', '−');
}

/** Rad as text: "28.4°". */
export const deg = (rad: number, digits = 1): string => `${plain(degrees(rad), digits)}°`;

/** Rad as "25°", or as "20°–25°" where the two differ. */
export function degRange([least, most]: readonly [number, number]): string {
  const [from, to] = [deg(least), deg(most)];
  return from === to ? from : `${from}–${to}`;
}

/** Rad as an angle of one turn: "233°". */
export const bearing = (rad: number, digits = 0): string => {
  const whole = Number(degrees(inTurn(rad)).toFixed(digits)) % 360;
  return `${plain(whole, digits)}°`;
};

export const mm = (value: number): string => `${plain(value)} mm`;

/** A coordinate in a drawing, the same to the byte on every machine. */
export const px = (value: number): string => {
  const text = (Math.round(value * 100) / 100).toString();
  return text === '-0' ? '0' : text;
};

/** The same to a tenth, for long outlines. */
export const tenths = (value: number): string => px(Math.round(value * 10) / 10);

/** "a", "a and b", "a, b and c". */
export const listed = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

/** Width of one character as a share of the font's size: generous, so that a guess never lets texts meet. */
function emWidth(character: string): number {
  if (character > '\u2e7f') return 1;
  if ("il.,:;'|!jI ".includes(character)) return 0.36;
  if ('mwMW@%—'.includes(character)) return 0.98;
  return character >= 'A' && character <= 'Z' ? 0.7 : 0.62;
}

/** Width in px that a text of `size` px may take. */
export const textWidth = (text: string, size: number, bold = false): number => {
  let width = 0;
  for (const character of text) width += emWidth(character);
  return width * size * (bold ? 1.1 : 1);
};

/** The text, or as much of it as fits with an ellipsis. */
export function fitted(text: string, width: number, size: number, bold = false): string {
  if (textWidth(text, size, bold) <= width) return text;
  const characters = [...text];
  while (characters.length > 1 && textWidth(`${characters.join('')}…`, size, bold) > width) characters.pop();
  return `${characters.join('')}…`;
}

/** The text in lines no wider than `width` px; a single longer word is cut. */
export function wrapped(text: string, width: number, size: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    const longer = line ? `${line} ${word}` : word;
    if (line && textWidth(longer, size) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  if (line) lines.push(line);
  return lines.map((each) => fitted(each, width, size));
}
