/**
 * A design as lines of text, one value a line, in an order of their own: what `git diff` compares in place of the text,
 * so that layout, comments, order and the way a value is said make no difference.
 */
import { fingerprintOf } from '../../reckon/parts/fingerprint.ts';
import { blanksOf } from '../../reckon/parts/parts.ts';
import { standing } from './came-and-went.ts';
import { type Design, looseItems } from './comparison.ts';
import type { Entry } from './entries.ts';
import { saidInWords } from './said.ts';
import { type Item, sheetOf } from './sheet.ts';
import { partsInWords } from './wording.ts';

export function sheetText(design: Design): string {
  const lines = [
    ...itemLines(looseItems(design)),
    ...design.mechanisms.flatMap((one) => {
      const { mechanism, figures } = one;
      const { blanks } = blanksOf(mechanism, figures, figures.stack);
      return [
        ...itemLines(sheetOf(one)),
        ...blanks.map((part) => `part ${part.name}: shape ${fingerprintOf(part)}`).sort(),
      ];
    }),
    ...design.findings.map((finding) => `${standing(finding)} ${finding.code}: ${finding.message}`).sort(),
  ];
  return lines.map((line) => `${line}\n`).join('');
}

/** By kind in the order of the sheet, and by name. */
function itemLines(items: readonly Item[]): string[] {
  const kinds = [...new Set(items.map(({ kind }) => kind))];
  return kinds.flatMap((kind) =>
    items
      .filter((item) => item.kind === kind)
      .sort((one, other) => (one.name < other.name ? -1 : one.name > other.name ? 1 : 0))
      .flatMap(linesOf),
  );
}

function linesOf({ kind, name, entries }: Item): string[] {
  const subject = kind === 'limits' ? 'limits' : partsInWords(kind, [name]);
  return [subject, ...entries.map((entry) => `${subject}: ${entryInWords(kind, entry)}`)];
}

function entryInWords(kind: Item['kind'], { property, said, by, decimals, because, at }: Entry): string {
  const value =
    'names' in said && !said.ring ? sortedInWords(said) : saidInWords(said, by === 'reckoned' ? decimals : 6);
  const beside = because ?? at;
  const called = kind === 'glyphs' ? `${property} shows` : property;
  return `${called} ${value}${beside === undefined ? '' : ` (${beside})`}`;
}

const sortedInWords = (said: Extract<Entry['said'], { names: unknown }>): string =>
  saidInWords({
    names: [...said.names].sort((one, other) => (keyOf(one) < keyOf(other) ? -1 : 1)),
  });

const keyOf = ({ as = '', name }: { as?: string; name: string }): string => `${as} ${name}`;
