/** What was seen of a numeral, held against its symptom table: what fits, and where to look next. */
import type { Face, SymptomTable } from './symptoms.ts';

/** One thing that was seen. */
export interface Observation {
  /** As it was said: "4 shows 9". */
  readonly said: string;
  /** Rest positions. */
  readonly at: readonly number[];
  /** Whether it was seen at each of them, or at some one: a symbol that is counted twice may be wrong once. */
  readonly everywhere: boolean;
  /** As it should be, not so, no symbol of the table; or a face, with `?` for a bar that nothing is said of. */
  readonly sees: 'right' | 'wrong' | 'no symbol' | { readonly face: string };
}

/** A look, or several that only home tells apart, and how much of what was seen it explains. */
export interface Candidate {
  /** Numbers in the table; the first that of the look itself, the others its kin where home is not known. */
  readonly groups: readonly number[];
  /** Numbers of the observations that fit. */
  readonly fits: readonly number[];
  /** How many bars, of the observations that do not fit, would have to be seen otherwise. */
  readonly misses: number;
  /** Where home can be at best: how many positions on from what was taken for it. 0 alone where home is known. */
  readonly shifts: readonly number[];
}

/** How many bars would have to be seen otherwise for a face to show what an observation says of a position. */
function missesOf(table: SymptomTable, face: Face, position: number, sees: Observation['sees']): number {
  const right = table.right[position];
  if (sees === 'wrong') return face === right ? 1 : 0;
  if (sees === 'no symbol') return Object.hasOwn(table.glyphs, face) ? 1 : 0;
  const seen = sees === 'right' ? right : sees.face;
  let misses = 0;
  for (let i = 0; i < seen.length; i++) if (seen[i] !== '?' && seen[i] !== face[i]) misses++;
  return misses;
}

const turned = (position: number, shift: number, count: number): number => (position + shift) % count;

/**
 * All looks of the table: those that fit the most first, of such those that miss the fewest bars, in the table's order
 * else. Where home is not known, every place of it is tried, and looks that only home tells apart are one.
 */
export function weighed(table: SymptomTable, seen: readonly Observation[], homeKnown = true): Candidate[] {
  const count = table.right.length;
  const shifts = homeKnown ? [0] : Array.from({ length: count }, (_, i) => i);
  const candidates = table.groups.flatMap(({ faces, kin }, group): Candidate[] => {
    if (!homeKnown && kin.some((other) => other < group)) return [];
    const tried = shifts.map((shift) => ({ shift, ...fitting(table, faces, seen, shift) })).sort(byFit);
    const best = tried.filter((one) => byFit(one, tried[0]) === 0);
    const { fits, misses } = best[0];
    return [{ groups: homeKnown ? [group] : [group, ...kin], fits, misses, shifts: best.map(({ shift }) => shift) }];
  });
  return candidates.sort(byFit);
}

type Fit = Pick<Candidate, 'fits' | 'misses'>;

const byFit = (a: Fit, b: Fit): number => b.fits.length - a.fits.length || a.misses - b.misses;

function fitting(table: SymptomTable, faces: readonly Face[], seen: readonly Observation[], shift: number): Fit {
  const fits: number[] = [];
  let misses = 0;
  for (const [index, { at, everywhere, sees }] of seen.entries()) {
    const each = at.map((position) => missesOf(table, faces[turned(position, shift, faces.length)], position, sees));
    const missed = everywhere ? each.reduce((sum, one) => sum + one, 0) : Math.min(...each);
    if (missed === 0) fits.push(index);
    misses += missed;
  }
  return { fits, misses };
}

/** A position to look at, and what each face there would leave. */
export interface NextLook {
  readonly position: number;
  /** The commonest first; numbers of the candidates given. */
  readonly faces: readonly { readonly face: Face; readonly leaves: readonly number[] }[];
}

const mostShifts = 60;

/**
 * The position that tells the candidates apart the best: where as few as possible are left on the average, the earliest of
 * such. Undefined where none tells anything.
 */
export function nextLook(
  table: SymptomTable,
  candidates: readonly Candidate[],
  seen: readonly Observation[],
): NextLook | undefined {
  const count = table.right.length;
  const known = new Set(seen.filter(isWhole).flatMap(({ at }) => at));
  let best: NextLook | undefined;
  let least = Infinity;
  for (let position = 0; position < count; position++) {
    if (known.has(position)) continue;
    const leaves = new Map<Face, Set<number>>();
    candidates.forEach(({ groups, shifts }, index) => {
      // Which place of home it is matters little for where to look: a few of very many will do.
      for (const shift of shifts.slice(0, mostShifts)) {
        const face = table.groups[groups[0]].faces[turned(position, shift, count)];
        leaves.set(face, (leaves.get(face) ?? new Set()).add(index));
      }
    });
    if (leaves.size < 2) continue;
    const left = [...leaves.values()].reduce((sum, { size }) => sum + size * size, 0);
    if (left >= least) continue;
    least = left;
    const faces = [...leaves].map(([face, left]) => ({ face, leaves: [...left] }));
    best = { position, faces: faces.sort((a, b) => b.leaves.length - a.leaves.length) };
  }
  return best;
}

/** Whether nothing is left to see at its one position. */
const isWhole = ({ at, sees }: Observation): boolean =>
  at.length === 1 && (sees === 'right' || (typeof sees === 'object' && !sees.face.includes('?')));

/** The candidates that are still in question: those that fit the best. */
export const leading = (candidates: readonly Candidate[]): readonly Candidate[] =>
  candidates.filter((one) => byFit(one, candidates[0]) === 0);
