/**
 * A document as plain data: what is said, in which order, with which drawings. Page, PDF and text are made of it, so that
 * all three say the same.
 */
import type { JSX } from 'preact';

export interface Document {
  readonly title: string;
  /** The line under the title. */
  readonly about: string;
  readonly blocks: readonly Block[];
}

export type Block =
  | Heading
  | { readonly kind: 'text'; readonly text: string; readonly quiet?: true }
  | { readonly kind: 'caution'; readonly title: string; readonly items: readonly string[] }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  /** To be done one after the other, and ticked off; numbered on from where the last steps ended. */
  | { readonly kind: 'steps'; readonly first: number; readonly items: readonly string[] }
  /** Pairs of a word and what it stands for, set off from the rest: "Turn: …". */
  | { readonly kind: 'trial'; readonly title: string; readonly lines: readonly (readonly [string, string])[] }
  | Table
  /** `cut`: to be cut out, side by side without gap or caption. */
  | { readonly kind: 'drawings'; readonly drawings: readonly Drawing[]; readonly cut?: true };

export interface Heading {
  readonly kind: 'heading';
  readonly level: 2 | 3;
  readonly text: string;
}

export interface Table {
  readonly kind: 'table';
  readonly caption: string;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** A drawing in px (96 to the inch), y down. */
export interface Drawing {
  readonly title: string;
  /** All that is to be seen in it, for those who don't see it. */
  readonly description: string;
  /** Said under it; else its title. */
  readonly caption?: string;
  readonly width: number;
  readonly height: number;
  readonly body: JSX.Element;
}

/** The widest a drawing may be, px: 180 mm, what A4 and Letter have between margins of 15 mm and more. */
export const widest = 680;

/** Whether drawings are so small that many stand close to each other. */
export const isSmall = (all: readonly Drawing[]): boolean => all.every(({ width }) => width < 160);

export const heading = (level: 2 | 3, text: string): Heading => ({ kind: 'heading', level, text });
export const text = (words: string): Block => ({ kind: 'text', text: words });
export const quiet = (words: string): Block => ({ kind: 'text', text: words, quiet: true });

/** A list, or nothing where there is nothing to list. */
export const list = (items: readonly string[]): Block[] => (items.length > 0 ? [{ kind: 'list', items }] : []);

/** A table without its empty columns, or nothing where it has no row. */
export function table(caption: string, heads: readonly string[], rows: readonly (readonly string[])[]): Block[] {
  if (rows.length === 0) return [];
  const columns = heads.map((_, i) => i).filter((i) => rows.some((row) => row[i] !== ''));
  const cut = (row: readonly string[]) => columns.map((i) => row[i]);
  return [{ kind: 'table', caption, heads: cut(heads), rows: rows.map(cut) }];
}

export const drawings = (...all: readonly (Drawing | undefined)[]): Block[] => {
  const known = all.filter((drawing) => drawing !== undefined);
  return known.length > 0 ? [{ kind: 'drawings', drawings: known }] : [];
};

/** Whether all of a column are numbers, which stand at its right. */
export const isNumeric = ({ rows }: Table, column: number): boolean =>
  rows.every((row) => /^[-−+]?[\d.]*$/.test(row[column]));
