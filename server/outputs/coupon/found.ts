/**
 * What a maker found with the coupon, as text and as numbers: `bores 3, slots 4` names the first rung of each row in which
 * the trial piece moves by itself; `bores 10.02 10.11 10.23 mm` are sizes as a caliper reads them, rung by rung.
 */
import { nearest } from '../../../language/near.ts';
import { type Ladder, type Row, type RowName, rowNames, rungs } from './ladder.ts';

export interface Moved {
  readonly row: RowName;
  /** From 1; `none` where the piece moves in no rung. */
  readonly rung: number | 'none';
}

export interface Measured {
  readonly row: RowName;
  /** mm, of the first rungs in their order. */
  readonly sizes: readonly number[];
}

/** Why a text says nothing that can be used: one sentence. */
export interface Unclear {
  readonly because: string;
}

/** Reads `bores 3, slots none`. */
export function movedIn(text: string): readonly Moved[] | Unclear {
  const moved: Moved[] = [];
  for (const clause of clausesOf(text)) {
    const row = rowIn(clause);
    if (typeof row !== 'string') return row;
    const [, said, ...more] = clause;
    const rung = said === 'none' ? said : Number(said);
    if (
      said === undefined ||
      more.length ||
      (rung !== 'none' && !(Number.isInteger(rung) && rung >= 1 && rung <= rungs))
    )
      return { because: `after ${row} stands one rung, 1 to ${rungs} from the cut corner, or none` };
    if (moved.some((one) => one.row === row)) return { because: `${row} are said twice` };
    moved.push({ row, rung });
  }
  return moved;
}

/** Reads `bores 10.02 10.11 mm, pegs 9,9 9,8 9,7 mm`; the unit is mm, said or not; decimals follow a point or a comma. */
export function measuredIn(text: string): readonly Measured[] | Unclear {
  const measured: Measured[] = [];
  for (const clause of clausesOf(text)) {
    const row = rowIn(clause);
    if (typeof row !== 'string') return row;
    const sizes = clause.slice(1).filter((word) => word !== 'mm');
    const numbers = sizes.map((word) => Number(word.replace(/mm$/, '').replace(/^(\d+),(\d+)$/, '$1.$2')));
    const wrong = sizes[numbers.findIndex((one) => !(one > 0))];
    if (wrong !== undefined)
      return { because: `'${wrong}' is no size; write sizes in mm, with blanks between them, such as 10.12 10.23` };
    if (numbers.length < 1 || numbers.length > rungs)
      return { because: `after ${row} stand the sizes of the first rungs, at most ${rungs}` };
    if (measured.some((one) => one.row === row)) return { because: `${row} are said twice` };
    measured.push({ row, sizes: numbers });
  }
  return measured;
}

/** A comma right before a digit is one of its number: whatever a clause says, it begins with a row. */
const clausesOf = (text: string): string[][] =>
  text
    .split(/[;\n]|,(?!\d)/)
    .map((clause) => clause.trim().split(/[\s:=]+/))
    .filter(([first]) => first !== '');

function rowIn([word = '']: readonly string[]): RowName | Unclear {
  const row = rowNames.find((name) => name === word || name.slice(0, -1) === word);
  if (row) return row;
  const [near] = nearest(word, rowNames, 1);
  const hint = near ? `; did you mean ${near}?` : '';
  if (/^\d/.test(word))
    return {
      because: `'${word}' stands in no row; sizes of a row follow its name with blanks between them, such as pegs 9.92 9.81`,
    };
  return { because: `'${word}' is no row of the coupon (${rowNames.join(', ')})${hint}` };
}

/** What the process is, as found. */
export interface Found {
  /** The running clearance a side that is needed, mm, and the row that needs it; absent where a row needs more than any rung has. */
  readonly clearance?: { readonly value: number; readonly row: RowName };
  /** Rows whose trial piece moved nowhere: the clearance is larger than the ladder reaches. */
  readonly beyond: readonly RowName[];
  /** Three times the standard deviation of an edge, mm, from so many sizes. */
  readonly spread?: { readonly value: number; readonly sizes: number };
  /** How much narrower than drawn bores come out on the mean, mm across; absent where they were not measured. */
  readonly undersize?: number;
  /** Of each measured row, how far its edges lie inward of where they should, mm a side on the mean: holes small, pegs small. */
  readonly inward: readonly { readonly row: RowName; readonly value: number }[];
}

/** Fewer degrees of freedom than this say nothing of a spread. */
const fewest = 4;

/**
 * The clearance is that of the row that needs the most. The spread is 3 s of the edges' errors, each row about its own
 * mean (n − 1 for every row), half of a size's error being one edge's: as any handbook of statistics has it.
 */
export function foundBy(ladder: Ladder, moved: readonly Moved[], measured: readonly Measured[]): Found {
  const beyond = moved.flatMap(({ row, rung }) => (rung === 'none' ? [row] : []));
  const rowOf = (name: RowName): Row => ladder.rows.find((row) => row.name === name)!;
  const needs = moved.flatMap(({ row, rung }) =>
    rung === 'none' ? [] : [{ value: rowOf(row).rungs[rung - 1].clearance, row }],
  );
  const most = needs.reduce<(typeof needs)[number] | undefined>((a, b) => (a && a.value >= b.value ? a : b), undefined);
  const errors = measured.map(({ row, sizes }) => ({
    row,
    errors: sizes.map((size, i) => (size - rowOf(row).rungs[i].nominal) / 2),
  }));
  const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const free = errors.reduce((sum, { errors }) => sum + errors.length - 1, 0);
  const squares = errors.reduce((sum, { errors }) => {
    const middle = mean(errors);
    return sum + errors.reduce((inner, one) => inner + (one - middle) ** 2, 0);
  }, 0);
  const sizes = errors.reduce((sum, { errors }) => sum + errors.length, 0);
  const bores = errors.find(({ row }) => row === 'bores');
  return {
    ...(most && beyond.length === 0 && { clearance: most }),
    beyond,
    ...(free >= fewest && { spread: { value: 3 * Math.sqrt(squares / free), sizes } }),
    ...(bores && { undersize: Math.max(0, -2 * mean(bores.errors)) }),
    inward: errors.map(({ row, errors }) => ({ row, value: -mean(errors) })),
  };
}
