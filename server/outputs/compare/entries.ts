/** The lines of a sheet: one value of one part, where it comes from, and how far off another may be to count as the same. */
import type { Given, Point, Rectangle } from '../../../language/mechanism.ts';
import { degrees, turn, wrapped } from '../../reckon/motion/angles.ts';
import type { Named, Said, Unit } from './said.ts';

export interface Entry {
  /** As `--set` knows it where it does: "stroke", "bar x", "pressure angle". */
  readonly property: string;
  readonly said: Said;
  /** In the text; from other values where the text is silent; or a figure. */
  readonly by: 'stated' | 'follows' | 'reckoned';
  /** Of what follows: from what, in a maker's words. */
  readonly because?: string;
  /** Of a figure: a difference up to this is not worth telling. */
  readonly within?: number;
  /** Of a figure: how many decimals are told, and where on the turn or in the count it is met. */
  readonly decimals?: number;
  readonly at?: string;
}

/** One of a unit in the base units of a mechanism. */
const scale: Readonly<Partial<Record<Unit, number>>> = { '%': 100, 'g/cm³': 1000 };

/** A number of a mechanism (rad, share, g/mm³, mm, N …) in the unit it is told in. */
export const inUnit = (value: number, unit: Unit): number =>
  unit === '°' ? degrees(value) : value * (scale[unit] ?? 1);

const whence = ({ by, because }: Pick<Given<unknown>, 'by' | 'because'>): Pick<Entry, 'by' | 'because'> =>
  by === 'stated' || by === 'every' ? { by: 'stated' } : { by: 'follows', ...(because && { because }) };

/** A value of a mechanism without its place. */
export type Valued<T> = Omit<Given<T>, 'place'>;

export function quantity(property: string, given: Valued<number> | undefined, unit: Unit): Entry[] {
  if (!given) return [];
  const { value, tolerance } = given;
  return [
    { property, said: { number: inUnit(value, unit), unit }, ...whence(given) },
    ...(tolerance
      ? [{ property: `${property} +/-`, said: { number: inUnit(tolerance, unit), unit }, by: 'stated' as const }]
      : []),
  ];
}

/** A direction: a whole turn more or less is none. */
export const direction = (property: string, given: Valued<number> | undefined): Entry[] =>
  quantity(property, given && { ...given, value: aboutTurn(given.value) }, '°');

/** The angle in 0 ≤ a < 2π, where nearly a whole turn is 0. */
export const aboutTurn = (angle: number): number => {
  const once = wrapped(angle);
  return turn - once < 1e-9 ? 0 : once;
};

export const words = (property: string, given: Valued<string> | undefined): Entry[] =>
  given ? [{ property, said: { words: given.value }, ...whence(given) }] : [];

export const stated = (property: string, value: string | undefined): Entry[] =>
  value === undefined ? [] : [{ property, said: { words: value }, by: 'stated' }];

/** Names of parts or tables; no entry where there are none. */
export function names(
  property: string,
  all: readonly (Named | undefined)[],
  more: { readonly ring?: true } = {},
): Entry[] {
  const known = all.flatMap((each): Named[] => {
    if (!each) return [];
    const { name, of, as } = each;
    return [{ name, ...(of && { of }), ...(as && { as }) }];
  });
  return known.length ? [{ property, said: { names: known, ...more }, by: 'stated' }] : [];
}

const within = <T>(given: Valued<T>, value: number): Valued<number> => {
  const { tolerance: _, ...rest } = given;
  return { ...rest, value };
};

export const place = (property: string, given: Valued<Point> | undefined): Entry[] =>
  given
    ? [
        ...quantity(`${property} x`, within(given, given.value.x), 'mm'),
        ...quantity(`${property} y`, within(given, given.value.y), 'mm'),
      ]
    : [];

export const box = (property: string, given: Valued<Rectangle> | undefined): Entry[] =>
  given
    ? [
        ...quantity(`${property} width`, within(given, given.value.width), 'mm'),
        ...quantity(`${property} height`, within(given, given.value.height), 'mm'),
        ...place(property, { ...given, value: given.value.at }),
        ...(given.value.tilt ? direction(`${property} tilt`, within(given, given.value.tilt)) : []),
      ]
    : [];
