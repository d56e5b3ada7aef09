/** The coupon and what was found with it, as text for people and as plain data for programs. */
import { table } from '../figures.ts';
import { roundedThrough } from '../rounded.ts';
import type { Found } from './found.ts';
import type { Ladder, Row, RowName } from './ladder.ts';
import type { Written } from './written.ts';

/** What is done with the trial piece of each row, and what its rungs are. */
const words: Readonly<Record<RowName, { readonly piece: string; readonly does: string; readonly rung: string }>> = {
  bores: { piece: 'peg', does: 'drop the peg in and turn it', rung: 'bore' },
  pegs: { piece: 'ring', does: 'drop the ring on and turn it', rung: 'peg' },
  slots: { piece: 'tongue', does: 'push the tongue to and fro', rung: 'slot' },
  gaps: { piece: 'tooth', does: 'lay the tooth in from below and draw it out', rung: 'space' },
};

export function couponText(name: string, { process, rows }: Ladder): string {
  const head = ['row', 'trial piece', ...rows[0].rungs.map((_, i) => `${i + 1}`)];
  const lines = [
    ['clearance a side, mm', '', ...rows[0].rungs.map(({ clearance }) => plain(clearance))],
    ...rows.map((row) => [`${row.name}, mm`, pieceOf(row), ...row.rungs.map(({ nominal }) => plain(nominal))]),
  ];
  return [
    `Coupon of ${name}, for the process ${process}`,
    '',
    'Print it as flat as it lies, as you print the parts, and let it cool. Rung 1 is at the cut corner, the tightest. A rung',
    'counts when its piece moves by its own weight or at a touch.',
    '',
    table('Rungs', head, lines),
    '',
    ...rows.map(({ name: row }) => `${row}: ${words[row].does}`),
    '',
    'Then say the first rung of each row that moved, or what a caliper reads:',
    `  lobewright coupon FILE --moved "${rows.map(({ name: row }) => `${row} 4`).join(', ')}" --write`,
    `  lobewright coupon FILE --measured "pegs ${rows[1].rungs
      .slice(0, 4)
      .map(({ nominal }) => plain(nominal))
      .join(' ')} mm"`,
    '',
  ].join('\n');
}

const pieceOf = ({ name, size, from }: Row): string =>
  `${words[name].piece} ${name === 'gaps' ? `of module ${plain(size)}` : `${plain(size)} mm`}${from === undefined ? '' : ` (as ${from})`}`;

const plain = (value: number): string => `${Number(value.toFixed(2))}`;

export function foundText(found: Found, { process, values }: Written, written: boolean): string {
  const { clearance, spread, undersize, beyond, inward } = found;
  const lines: string[] = [];
  if (clearance) lines.push(`${clearance.row} need the most room: ${plain(clearance.value)} mm a side`);
  if (beyond.length) {
    lines.push(
      `${beyond.join(' and ')}: nothing moves, so the clearance is more than the widest rung's; give the process twice of it and print again`,
    );
  }
  if (spread)
    lines.push(
      `edges spread by ${plain(spread.value)} mm either way (three standard deviations of ${spread.sizes} sizes)`,
    );
  for (const { row, value } of inward) {
    const sense = value > 0 ? 'smaller' : 'larger';
    lines.push(`${row} come out ${plain(2 * Math.abs(value))} mm ${sense} than drawn on the mean`);
  }
  const changed = values.map(({ property, from, to }) => `${property} ${plain(from)} → ${plain(to)} mm`).join(', ');
  if (values.length) lines.push(`${written ? 'written' : 'to be written'}: process ${process}: ${changed}`);
  else if (clearance || spread || undersize !== undefined) lines.push(`the process ${process} says so already`);
  else lines.push('nothing to be written');
  return `${lines.join('\n')}\n`;
}

export const couponJson = (name: string, { process, rows }: Ladder) => ({
  name,
  process,
  rows: rows.map(({ name: row, size, from, rungs }) => ({
    row,
    piece: words[row].piece,
    size,
    ...(from !== undefined && { from }),
    rungs: rungs.map((rung) => roundedThrough(rung)),
  })),
});

export const foundJson = (found: Found, { process, values }: Written) => ({
  process,
  values: roundedThrough(values),
  clearance: found.clearance && roundedThrough(found.clearance),
  spread: found.spread && roundedThrough(found.spread),
  undersize: found.undersize !== undefined ? roundedThrough(found.undersize) : undefined,
  beyond: found.beyond,
  inward: roundedThrough(found.inward),
});
