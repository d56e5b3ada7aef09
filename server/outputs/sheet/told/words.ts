/** Sentences of the sheet: where from, which way, how often. */
import { degrees } from '../../../reckon/motion/angles.ts';
import { bearing, listed, plain } from '../../chart/words.ts';

/** An azimuth as one looks for it: "270° (6 o'clock)", the hour where it is a whole one. */
export function towards(azimuth: number): string {
  const hour = (((3 - degrees(azimuth) / 30) % 12) + 12) % 12;
  const whole = Math.round(hour);
  return Math.abs(hour - whole) < 1e-6 ? `${bearing(azimuth)} (${whole % 12 || 12} o’clock)` : bearing(azimuth, 1);
}

export const turnsInWords = (sense: 'clockwise' | 'counterclockwise'): string =>
  sense === 'clockwise' ? 'clockwise' : 'counter-clockwise';

/** "a, d and e rise", "b falls"; nothing where there is none. */
export const does = (names: readonly string[], one: string, many: string): string[] =>
  names.length > 0 ? [`${listed(names)} ${names.length === 1 ? one : many}`] : [];

export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${plain(count)} ${count === 1 ? one : many}`;

/** A symbol as it is read, with a word for the one that shows nothing. */
export const shownAs = (symbol: string): string => symbol.trim() || 'blank';

export const percent = (share: number): string => `${plain(100 * share, share < 0.1 ? 1 : 0)} %`;

/** The same among words: “0”. */
export const quoted = (symbol: string): string => (symbol.trim() === '' ? 'blank' : `“${symbol.trim()}”`);

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
