/**
 * What the properties of each statement ask for: kind of value and range. One table, which resolving, completing and
 * hovering read.
 */
import { say, type Wanted, wants } from './units.ts';

/** Bounds of a value, in base units: `over`/`under` are left out, `least`/`most` still allowed. */
export interface Range {
  readonly over?: number;
  readonly least?: number;
  readonly under?: number;
  readonly most?: number;
  readonly whole?: boolean;
}

/** A property that is one value. */
export interface Scalar {
  readonly wants: Wanted;
  readonly range: Range;
}

const of = (want: Wanted, range: Range = {}): Scalar => ({ wants: want, range });

const deg = Math.PI / 180;
const turn = 2 * Math.PI;
const positive = { over: 0 };
const notNegative = { least: 0 };
const share = { least: 0, most: 1 };
/** More teeth than this is a slip of the finger, and would only cost time. */
const mostTeeth = 10_000;

/** Values that stand within other properties (the sides of a bar, the angle of a lobe) or in a header. */
export const values = {
  coordinate: of(wants.length),
  side: of(wants.length, positive),
  radius: of(wants.length, positive),
  clearance: of(wants.length, notNegative),
  tilt: of(wants.angle),
  plane: of(wants.whole, { whole: true }),
  azimuth: of(wants.angle),
  camAngle: of(wants.angle),
  flank: of(wants.angle, { over: 0, most: turn }),
  late: of(wants.angle, { least: -turn / 2, most: turn / 2 }),
  blended: of(wants.share, { least: 0, most: 0.5 }),
  level: of(wants.whole, { whole: true, least: 1, most: 1000 }),
  times: of(wants.whole, { whole: true, least: 1, most: 1_000_000 }),
  number: of(wants.whole, { whole: true, least: 1 }),
} as const satisfies Record<string, Scalar>;

/** The properties that are one value, by the kind of statement they stand in and their word. */
export const scalars = {
  material: {
    modulus: of(wants.stress, positive),
    poisson: of(wants.number, { least: 0, most: 0.5 }),
    density: of(wants.density, positive),
    strain: of(wants.share, { over: 0, most: 1 }),
    friction: of(wants.number, { least: 0, most: 2 }),
    greased: of(wants.number, { least: 0, most: 2 }),
    pessimistic: of(wants.number, { least: 0, most: 2 }),
  },
  process: {
    nozzle: of(wants.length, positive),
    layer: of(wants.length, positive),
    spread: of(wants.length, notNegative),
    undersize: of(wants.length, notNegative),
    clearance: of(wants.length, notNegative),
    wall: of(wants.length, positive),
    drag: of(wants.force, notNegative),
  },
  shaft: {
    bearing: of(wants.length, positive),
  },
  key: {
    teeth: of(wants.whole, { whole: true, least: 2, most: mostTeeth }),
    master: of(wants.whole, { whole: true, least: 1, most: mostTeeth }),
    outer: of(wants.length, positive),
    inner: of(wants.length, positive),
    across: of(wants.length, positive),
    clearance: of(wants.length, notNegative),
  },
  gear: {
    module: of(wants.length, positive),
    teeth: of(wants.whole, { whole: true, least: 4, most: mostTeeth }),
    width: of(wants.length, positive),
    shift: of(wants.number, { least: -2, most: 2 }),
    level: values.level,
    pressure: of(wants.angle, { over: 0, most: 45 * deg }),
  },
  mesh: {
    backlash: of(wants.length, notNegative),
  },
  segment: {
    azimuth: values.azimuth,
    offset: of(wants.length),
    stroke: of(wants.length, positive),
    nose: of(wants.length, positive),
    guide: of(wants.length, positive),
    overhang: of(wants.length, notNegative),
    stem: of(wants.length, positive),
    fit: of(wants.length, notNegative),
    drag: of(wants.force, notNegative),
    mass: of(wants.mass, notNegative),
  },
  cam: {
    base: of(wants.length, positive),
    travel: values.flank,
    thickness: of(wants.length, positive),
    flange: of(wants.length, notNegative),
  },
  spring: {
    rate: of(wants.springRate, positive),
    preload: of(wants.force, notNegative),
    wire: of(wants.length, positive),
    mean: of(wants.length, positive),
    turns: of(wants.number, positive),
    free: of(wants.length, positive),
    modulus: of(wants.stress, positive),
  },
  post: {
    radius: values.radius,
  },
  band: {
    loop: of(wants.length, positive),
    shear: of(wants.stress, positive),
  },
  ratchet: {
    teeth: of(wants.whole, { whole: true, least: 2, most: mostTeeth }),
    play: of(wants.angle, { least: 0, most: turn / 2 }),
    hold: of(wants.torque, notNegative),
    deflection: of(wants.length, positive),
  },
  push: {
    arm: of(wants.length, positive),
    start: of(wants.angle, { over: -turn / 4, under: turn / 4 }),
    stroke: of(wants.length, positive),
  },
  frame: {
    thickness: of(wants.length, positive),
    margin: of(wants.length, notNegative),
    screws: of(wants.length, positive),
  },
  limits: {
    pressure: of(wants.angle, { over: 0, under: 90 * deg }),
    push: of(wants.force, positive),
    return: of(wants.number, notNegative),
    shown: of(wants.share, share),
    hidden: of(wants.share, share),
  },
} as const;

/** Properties whose name is more than their word. */
const longNames: Readonly<Record<string, string>> = {
  pressure: 'pressure angle',
  made: 'made with',
  raised: 'raised at',
};

/** A property's name as a maker would say it. */
export const nameOf = (word: string): string => longNames[word] ?? word;

export function within(value: number, { over, least, under, most, whole }: Range): boolean {
  if (whole && !Number.isInteger(value)) return false;
  if (over !== undefined && value <= over) return false;
  if (least !== undefined && value < least) return false;
  if (under !== undefined && value >= under) return false;
  return most === undefined || value <= most;
}

/** What a range asks for, in words: "a whole number of at least 4", "more than 0 mm and at most 360 deg". */
export function sayRange({ over, least, under, most, whole }: Range, want: Wanted): string {
  const bounds: string[] = [];
  if (over !== undefined) bounds.push(`more than ${say(over, want)}`);
  if (least !== undefined) bounds.push(`at least ${say(least, want)}`);
  if (under !== undefined) bounds.push(`less than ${say(under, want)}`);
  if (most !== undefined) bounds.push(`at most ${say(most, want)}`);
  const said = bounds.join(' and ');
  if (!whole) return said;
  return said ? `a whole number, ${said}` : 'a whole number';
}

/**
 * A value within the range that the maker may have meant: without its sign, in percent where no unit is written, whole,
 * or at the nearer bound.
 */
export function meant(value: number, { wants: want, range }: Scalar, unitless: boolean): number | undefined {
  const size = Math.abs(value);
  const candidates = [size];
  if (want === wants.share && unitless) candidates.push(size / 100);
  if (range.whole) candidates.push(Math.round(size), Math.ceil(size));
  if (range.least !== undefined && value < range.least && range.least > 0) candidates.push(range.least);
  if (range.most !== undefined && value > range.most) candidates.push(range.most);
  return candidates.find((candidate) => within(candidate, range));
}
