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
  /** Where home can be at best: how many positions on from what was taken for it. 0 alone where home is known. */
  readonly shifts: readonly number[];
}

/** Whether a face shows what an observation says of a position. */
function shows(table: SymptomTable, face: Face, position: number, sees: Observation['sees']): boolean {
  if (sees === 'right') return face === table.right[position];
  if (sees === 'wrong') return face !== table.right[position];
  if (sees === 'no symbol') return !Object.hasOwn(table.glyphs, face);
  return [...sees.face].every((letter, i) => letter === '?' || letter === face[i]);
}

const turned = (position: number, shift: number, count: number): number => (position + shift) % count;

/**
 * All looks of the table, those that fit the most first, in the table's order else. Where home is not known, every place
 * of it is tried, and looks that only home tells apart are one.
 */
export function weighed(table: SymptomTable, seen: readonly Observation[], homeKnown = true): Candidate[] {
  const count = table.right.length;
  const shifts = homeKnown ? [0] : Array.from({ length: count }, (_, i) => i);
  const candidates = table.groups.flatMap(({ faces, kin }, group): Candidate[] => {
    if (!homeKnown && kin.some((other) => other < group)) return [];
    const tried = shifts.map((shift) => ({ shift, fits: fitting(table, faces, seen, shift) }));
    const most = Math.max(...tried.map(({ fits }) => fits.length));
    const best = tried.filter(({ fits }) => fits.length === most);
    const groups = homeKnown ? [group] : [group, ...kin];
    return [{ groups, fits: best[0].fits, shifts: best.map(({ shift }) => shift) }];
  });
  return candidates.sort((a, b) => b.fits.length - a.fits.length);
}

function fitting(table: SymptomTable, faces: readonly Face[], seen: readonly Observation[], shift: number): number[] {
  const count = faces.length;
  return seen.flatMap(({ at, everywhere, sees }, index) => {
    const one = (position: number) => shows(table, faces[turned(position, shift, count)], position, sees);
    return (everywhere ? at.every(one) : at.some(one)) ? [index] : [];
  });
}

/** A position to look at, and what each face there would leave. */
export interface NextLook {
  readonly position: number;
  /** The commonest first; numbers of the candidates given. */
  readonly faces: readonly { readonly face: Face; readonly leaves: readonly number[] }[];
}

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
      for (const shift of shifts) {
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

/** The candidates that are still in question: those that fit the most. */
export const leading = (candidates: readonly Candidate[]): readonly Candidate[] =>
  candidates.filter(({ fits }) => fits.length === candidates[0].fits.length);
