/**
 * Keyed bores and shafts: their sections, on how many ways a part goes on, how far it can turn.
 *
 * Cam angle 0 is where the first tooth of a spline, the middle of the flat, and the middle of one face of a square or
 * hexagon lie. Teeth of a spline are as wide as the spaces and bounded by radii; the `master` first ones are one.
 */
import type { Key, Process } from '../../../language/mechanism.ts';
import { turn } from '../motion/angles.ts';
import { simplified } from '../parts/biarcs.ts';
import { arcAbout, flattened, polar, polygon } from '../parts/loop.ts';
import type { Loop } from '../parts/part.ts';
import { Latest } from '../remembering.ts';
import { clearanceMade } from './made.ts';
import { type Outline, outlineThrough, sagAt } from './outline.ts';

export interface KeyFigure {
  readonly name: string;
  /** Number of ways on in a turn, and when the part is turned over. */
  readonly waysOn: { readonly turned: number; readonly flipped: number };
  /** A part turned over goes on with its cam angle ψ where `mirror` − ψ was, and as much further as it goes on turned, rad. */
  readonly mirror: number;
  /** Whole angle of free play, rad, with the clearance that printing leaves; half of it is that clearance / `lever` (mm). */
  readonly play: number;
  readonly lever: number;
  /** From the centre to the farthest point of the shaft, and of the bore with its clearance. */
  readonly shaftRadius: number;
  readonly boreRadius: number;
}

/** A thing that cannot be reckoned, and why, in the maker's words. */
export interface Unreckoned {
  readonly because: string;
}

/** A key whose shape and sizes are all known. */
type Sizes =
  | { readonly shape: 'flat'; readonly outer: number; readonly inner: number }
  | { readonly shape: 'square'; readonly across: number }
  | { readonly shape: 'hexagon'; readonly across: number }
  | {
      readonly shape: 'splined';
      readonly outer: number;
      readonly inner: number;
      readonly teeth: number;
      readonly master: number;
    };

/** Of a key whose bores a process makes. */
export function keyFigure(key: Key, process: Process): KeyFigure | Unreckoned {
  const sizes = sizesOf(key);
  if ('because' in sizes) return sizes;
  const made = clearanceMade(key.clearance.value, process);
  if (!holds(sizes, made)) {
    return { because: `its clearance lets the shaft turn in the bore of ${key.name}` };
  }
  const ways = waysOf(sizes);
  const lever = leverOf(sizes);
  return {
    name: key.name,
    waysOn: { turned: ways, flipped: ways },
    mirror: mirrorOf(sizes),
    play: (2 * made) / lever,
    lever,
    shaftRadius: farthest(sizes, 0),
    boreRadius: farthest(sizes, Math.max(0, key.clearance.value)),
  };
}

function sizesOf(key: Key): Sizes | Unreckoned {
  const lacking = (property: string): Unreckoned => ({ because: `${key.name} does not say its ${property}` });
  const shape = key.shape?.value;
  if (!shape) return lacking('shape');
  if (shape === 'square' || shape === 'hexagon') {
    return positive(key.across) ? { shape, across: key.across!.value } : lacking('across');
  }
  if (!positive(key.outer)) return lacking('outer');
  if (!positive(key.inner)) return lacking('inner');
  const [outer, inner] = [key.outer!.value, key.inner!.value];
  if (!(inner < outer)) return { because: `${key.name} has an inner diameter that is not smaller than its outer` };
  if (shape === 'flat') return { shape, outer, inner };
  const teeth = key.teeth?.value;
  if (teeth === undefined || !(teeth >= 1) || !Number.isSafeInteger(teeth)) return lacking('teeth');
  const master = key.master?.value ?? 1;
  if (!(master >= 1 && master <= teeth)) return { because: `${key.name} joins more teeth than it has` };
  return { shape, outer, inner, teeth, master: Math.floor(master) };
}

const positive = (given: { readonly value: number } | undefined): boolean =>
  given !== undefined && given.value > 0 && Number.isFinite(given.value);

/** Whether the shaft's farthest point still meets the nearest wall of the bore when it turns. */
const holds = (sizes: Sizes, clearance: number): boolean => clearance < graspOf(sizes) - 1e-9;

/** How much farther out the shaft reaches than the nearest wall of a bore without clearance: what any clearance eats up. */
const graspOf = (sizes: Sizes): number => farthest(sizes, 0) - nearestOf(sizes);

const nearestOf = (sizes: Sizes): number =>
  (sizes.shape === 'flat' || sizes.shape === 'splined' ? sizes.inner : sizes.across) / 2;

/** A key in whose bore the shaft turns freely: its clearance is not less than its grasp; all in mm. */
export interface IdleKey {
  /** From the centre to the farthest point of the shaft, and to the nearest wall of the bore with its clearance. */
  readonly shaftRadius: number;
  readonly boreNearest: number;
  /** The clearance, as printed, at which it would just turn freely. */
  readonly grasp: number;
}

/** Undefined of a key that holds, and of one whose sizes are not all known. */
export function idlingOf(key: Key, process: Process): IdleKey | undefined {
  const sizes = sizesOf(key);
  const clearance = clearanceMade(key.clearance.value, process);
  if ('because' in sizes || holds(sizes, clearance)) return undefined;
  return { shaftRadius: farthest(sizes, 0), boreNearest: nearestOf(sizes) + clearance, grasp: graspOf(sizes) };
}

/** Turns of a part, within one whole turn, that bring its bore onto the shaft; as many with the part turned over. */
function waysOf(sizes: Sizes): number {
  if (sizes.shape === 'flat') return 1;
  if (sizes.shape === 'square') return 4;
  if (sizes.shape === 'hexagon') return 6;
  return sizes.master > 1 ? 1 : sizes.teeth;
}

/** Twice the angle of the ray about which the section is its own mirror image: the middle of the joined teeth, else 0. */
const mirrorOf = (sizes: Sizes): number => (sizes.shape === 'splined' ? ((sizes.master - 1) * turn) / sizes.teeth : 0);

/**
 * Lever at which the clearance is taken up: half the play is clearance / lever. For a hexagon half of what sharp
 * corners would give, as they are the first to wear or to be printed round.
 */
function leverOf(sizes: Sizes): number {
  if (sizes.shape === 'flat') return Math.sqrt(sizes.outer ** 2 - sizes.inner ** 2) / 2;
  if (sizes.shape === 'square') return sizes.across / 2;
  if (sizes.shape === 'hexagon') return sizes.across / Math.sqrt(3) / 4;
  return (sizes.outer + sizes.inner) / 4;
}

function farthest(sizes: Sizes, clearance: number): number {
  if (sizes.shape === 'flat' || sizes.shape === 'splined') return sizes.outer / 2 + clearance;
  return (sizes.across / 2 + clearance) / Math.cos(Math.PI / (sizes.shape === 'square' ? 4 : 6));
}

// ---- sections --------------------------------------------------------------------------------

/** The section of the keyed shaft, in the frame of its cams. */
export const shaftSection = (key: Key): Outline | Unreckoned => section(key, 0);

/** The section of the bore, its clearance included. */
export const boreSection = (key: Key): Outline | Unreckoned => section(key, Math.max(0, key.clearance.value));

/** The same sections as lines and arcs, counter-clockwise. */
export const shaftLoop = (key: Key): Loop | Unreckoned => loop(key, 0);
export const boreLoop = (key: Key): Loop | Unreckoned => loop(key, Math.max(0, key.clearance.value));

function loop(key: Key, clearance: number): Loop | Unreckoned {
  const sizes = sizesOf(key);
  return 'because' in sizes ? sizes : simplified(curve(sizes, clearance));
}

/** By all the numbers that make them. */
const sections = new Latest<Outline>(64);

function section(key: Key, clearance: number): Outline | Unreckoned {
  const sizes = sizesOf(key);
  if ('because' in sizes) return sizes;
  const told = `${Object.values(sizes).join(' ')} ${clearance}`;
  const known = sections.get(told);
  if (known) return known;
  const outline = outlineThrough(flattened(curve(sizes, clearance), sagAt(farthest(sizes, clearance))));
  return outline ? sections.keep(told, outline) : { because: `${key.name} has no section` };
}

function curve(sizes: Sizes, clearance: number): Loop {
  const radius = farthest(sizes, clearance);
  if (sizes.shape === 'square' || sizes.shape === 'hexagon') {
    const sides = sizes.shape === 'square' ? 4 : 6;
    return polygon(Array.from({ length: sides }, (_, i) => polar(radius, ((2 * i + 1) * Math.PI) / sides)));
  }
  const inner = sizes.inner / 2 + clearance;
  if (sizes.shape === 'flat') {
    const half = inner < radius ? Math.acos(inner / radius) : 0;
    return arcAbout(radius, half, turn - half);
  }
  const { teeth, master } = sizes;
  const pitch = turn / teeth;
  // The clearance stands square to a flank of radial direction, at the middle of its height.
  const half = Math.min(pitch / 2, pitch / 4 + clearance / leverOf(sizes));
  const tooth = (from: number, to: number, next: number): Loop => [
    ...arcAbout(radius, from, to),
    ...arcAbout(inner, to, next),
  ];
  const first = tooth(-half, (master - 1) * pitch + half, master * pitch - half);
  const others = Array.from({ length: teeth - master }, (_, i) => {
    const middle = (master + i) * pitch;
    return tooth(middle - half, middle + half, middle + pitch - half);
  });
  return [first, ...others].flat();
}
