/**
 * Units and dimensions. A unit turns a written number into mm, rad, N, g or s (and their products); a dimension says
 * with which power each of these five enters. An angle is a dimension of its own, so that `sin` can ask for one.
 */

/** Powers of length (mm), angle (rad), force (N), mass (g) and time (s); halves come from square roots. */
export type Dimension = readonly [length: number, angle: number, force: number, mass: number, time: number];

export const plain: Dimension = [0, 0, 0, 0, 0];
export const length: Dimension = [1, 0, 0, 0, 0];
export const angle: Dimension = [0, 1, 0, 0, 0];
export const force: Dimension = [0, 0, 1, 0, 0];
export const mass: Dimension = [0, 0, 0, 1, 0];
export const time: Dimension = [0, 0, 0, 0, 1];
export const springRate: Dimension = [-1, 0, 1, 0, 0];
export const torque: Dimension = [1, 0, 1, 0, 0];
export const stress: Dimension = [-2, 0, 1, 0, 0];
export const density: Dimension = [-3, 0, 0, 1, 0];

export interface Unit {
  readonly dimension: Dimension;
  /** One of the unit is `times / by` in the base units: two numbers, so that 95 % is 0.95 to the last digit. */
  readonly times: number;
  readonly by: number;
}

const unit = (dimension: Dimension, times = 1, by = 1): Unit => ({ dimension, times, by });

/** Every unit word of the language, the usual one of each dimension first. Inch: exactly 25.4 mm (ISO 80000-3). */
export const units: ReadonlyMap<string, Unit> = new Map([
  ['mm', unit(length)],
  ['um', unit(length, 1, 1000)],
  ['cm', unit(length, 10)],
  ['in', unit(length, 25.4)],
  ['deg', unit(angle, Math.PI / 180)],
  ['rad', unit(angle)],
  ['turn', unit(angle, 2 * Math.PI)],
  ['N', unit(force)],
  ['mN', unit(force, 1, 1000)],
  ['N/mm', unit(springRate)],
  ['Nmm', unit(torque)],
  ['MPa', unit(stress)],
  ['GPa', unit(stress, 1000)],
  ['g', unit(mass)],
  ['g/cm3', unit(density, 1, 1000)],
  ['s', unit(time)],
  ['ms', unit(time, 1, 1000)],
  ['%', unit(plain, 1, 100)],
]);

/** So many of a unit, in base units. */
export const inBase = (number: number, { times, by }: Unit): number => (number * times) / by;

/** What a property asks for: its dimension, and how a maker would call and write one. */
export interface Wanted {
  readonly dimension: Dimension;
  /** With its article: "a length". */
  readonly called: string;
  /** As one would write it: "12 mm". */
  readonly example: string;
  /** The unit such a value is usually written and told in; '' for plain numbers. */
  readonly unit: string;
}

const wanted = (dimension: Dimension, called: string, example: string, unit: string): Wanted => ({
  dimension,
  called,
  example,
  unit,
});

/** The kinds of values that properties ask for. */
export const wants = {
  length: wanted(length, 'a length', '12 mm', 'mm'),
  angle: wanted(angle, 'an angle', '30 deg', 'deg'),
  force: wanted(force, 'a force', '2 N', 'N'),
  springRate: wanted(springRate, 'a spring rate', '0.1 N/mm', 'N/mm'),
  torque: wanted(torque, 'a torque', '60 Nmm', 'Nmm'),
  stress: wanted(stress, 'a modulus', '3 GPa', 'MPa'),
  mass: wanted(mass, 'a mass', '4 g', 'g'),
  density: wanted(density, 'a density', '1.24 g/cm3', 'g/cm3'),
  share: wanted(plain, 'a share', '25 %', '%'),
  whole: wanted(plain, 'a whole number', '12', ''),
  number: wanted(plain, 'a plain number', '1.5', ''),
} as const satisfies Record<string, Wanted>;

const names: readonly (readonly [Dimension, string])[] = [
  [plain, 'a plain number'],
  [length, 'a length'],
  [angle, 'an angle'],
  [force, 'a force'],
  [mass, 'a mass'],
  [time, 'a time'],
  [springRate, 'a spring rate'],
  [torque, 'a torque'],
  [stress, 'a modulus'],
  [density, 'a density'],
];

const baseUnits = ['mm', 'rad', 'N', 'g', 's'] as const;

export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a === b || (a[0] === b[0] && a[1] === b[1] && a[2] === b[2] && a[3] === b[3] && a[4] === b[4]);
}

/** The dimension of a product (`sign` 1) or a quotient (`sign` −1). */
export function combine(a: Dimension, b: Dimension, sign: 1 | -1): Dimension {
  if (b === plain) return a;
  return [a[0] + sign * b[0], a[1] + sign * b[1], a[2] + sign * b[2], a[3] + sign * b[3], a[4] + sign * b[4]];
}

/** The dimension of a square root. */
export function halved(a: Dimension): Dimension {
  return [a[0] / 2, a[1] / 2, a[2] / 2, a[3] / 2, a[4] / 2];
}

/** A dimension in a maker's words: "a length", "a plain number", "a quantity in mm^2". */
export function called(dimension: Dimension): string {
  const known = names.find(([named]) => sameDimension(named, dimension));
  if (known) return known[1];
  const part = (sign: 1 | -1) =>
    baseUnits.flatMap((unit, i) => {
      const power = sign * dimension[i]!;
      return power > 0 ? [power === 1 ? unit : `${unit}^${power}`] : [];
    });
  const [over, under] = [part(1), part(-1)];
  return `a quantity in ${over.length ? over.join(' ') : '1'}${under.length ? `/${under.join('/')}` : ''}`;
}

/** The kind of value a dimension is usually asked for as, if any: to offer an example of one. */
export function wantedOf(dimension: Dimension): Wanted | undefined {
  if (sameDimension(dimension, plain)) return wants.number;
  return Object.values(wants).find((want) => sameDimension(want.dimension, dimension));
}

/** Up to six significant digits, without trailing zeros and without an exponent where that is readable. */
export function sayNumber(value: number): string {
  const short = Math.round(value * 1000) / 1000;
  const close = Math.abs(short - value) <= Math.abs(value) * 1e-9 && Math.abs(short) < 1000;
  const rounded = close ? short : Number(value.toPrecision(6));
  return rounded === 0 ? '0' : String(rounded);
}

/** A value in base units, as one would write it: `say(0.5236, wants.angle)` is "30 deg". */
export function say(value: number, want: Wanted): string {
  const written = units.get(want.unit);
  return written ? `${sayNumber((value * written.by) / written.times)} ${want.unit}` : sayNumber(value);
}
