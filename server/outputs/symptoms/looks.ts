/** What is told of each position on the page, and what that says to the symptom table. Pure; the page holds one of these. */
import type { Observation } from '../../search/seen.ts';
import type { Face, Seen, SymptomTable } from '../../search/symptoms.ts';

/** As it should be; wrong in a way that is not told; or the bars that are seen. */
export type Look = 'right' | 'wrong' | { readonly face: Face };

/** By position; what is absent has not been looked at. */
export type Looks = Readonly<Record<number, Look>>;

export interface Told {
  readonly looks: Looks;
  readonly homeKnown: boolean;
}

export const nothingTold: Told = { looks: {}, homeKnown: true };

/** The face to draw at a position: what is told, else what should be. */
export function faceTold({ right }: SymptomTable, looks: Looks, position: number): Face {
  const look = looks[position];
  return typeof look === 'object' ? look.face : right[position];
}

/** How a position stands: `wrong` however that is told. */
export function standingOf({ right }: SymptomTable, looks: Looks, position: number): 'right' | 'wrong' | undefined {
  const look = looks[position];
  if (typeof look !== 'object') return look;
  return look.face === right[position] ? 'right' : 'wrong';
}

/** One click or key on a bar: first the other way than it should be, then half-way, then as it should be again. */
export function clicked(table: SymptomTable, looks: Looks, position: number, bar: number): Looks {
  const face = faceTold(table, looks, position);
  const should = table.right[position][bar] as Seen;
  const round: readonly Seen[] = should === '1' ? ['1', '0', '-'] : should === '0' ? ['0', '1', '-'] : ['-', '1', '0'];
  const next = round[(round.indexOf(face[bar] as Seen) + 1) % round.length];
  return { ...looks, [position]: { face: face.slice(0, bar) + next + face.slice(bar + 1) } };
}

export function told(looks: Looks, position: number, look: Look | undefined): Looks {
  const { [position]: _, ...rest } = looks;
  return look === undefined ? rest : { ...rest, [position]: look };
}

export const observationsOf = (looks: Looks, labelOf: (position: number) => string): Observation[] =>
  Object.entries(looks).map(([key, look]): Observation => {
    const position = Number(key);
    return { said: labelOf(position), at: [position], everywhere: true, sees: look };
  });

/** What is told, if it can be told of this table: kept from before, it may be of another text. */
export function toldOf(table: SymptomTable, kept: unknown): Told {
  const { looks, homeKnown } = (kept ?? {}) as Partial<Told>;
  if (typeof looks !== 'object' || looks === null) return nothingTold;
  const sound = Object.entries(looks).filter(
    ([position, look]) =>
      Number(position) in table.symbols &&
      (look === 'right' || look === 'wrong' || (typeof look?.face === 'string' && isFace(table, look.face))),
  );
  return { looks: Object.fromEntries(sound), homeKnown: homeKnown !== false };
}

const isFace = ({ segments }: SymptomTable, face: string): boolean =>
  face.length === segments.length && /^[01-]*$/.test(face);
