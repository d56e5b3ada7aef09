/** What a fault of assembly is made of, and the words and ways that all kinds of it share. */
import type { Mechanism } from '../../../language/mechanism.ts';
import { degrees, list, named } from '../../checks/check.ts';
import { turn, wrapped } from '../../reckon/motion/angles.ts';
import type { UnreckonedPart } from '../../reckon/shape/bodies.ts';
import type { Ground, Misbuild } from './build.ts';

export type FaultKind =
  | 'cam upside down'
  | 'cams exchanged'
  | 'cam turned'
  | 'gear off'
  | 'gear turned'
  | 'gear upside down'
  | 'gears exchanged'
  | 'bars exchanged'
  | 'spring left out'
  | 'band off'
  | 'band left out'
  | 'wheel turned'
  | 'stepping reversed'
  | 'stepping blocked'
  | 'home off';

/** One thing put together wrongly. */
export interface Fault {
  readonly kind: FaultKind;
  /** Names of the parts it is about, the chief one first. */
  readonly about: readonly string[];
  /** A sentence without its stop: "camB is upside down". */
  readonly what: string;
  /** How else it shows, or what it needs. */
  readonly note?: string;
  /** How far round, counter-clockwise, rad; in `teeth` for a gear put in so many teeth off. */
  readonly by?: number;
  readonly teeth?: number;
}

/** A fault that cannot be, and why. */
export interface RuledOut {
  readonly what: string;
  readonly because: string;
}

/** A fault, and the build that it makes. */
export interface Suspect {
  readonly fault: Fault;
  readonly build: Misbuild;
}

/** All faults of one kind of part. */
export interface Faults {
  readonly possible: readonly Suspect[];
  readonly impossible: readonly RuledOut[];
  /** What cannot be simulated of what the text says. */
  readonly untold: readonly UnreckonedPart[];
}

/** How parts go onto a shaft: by its key, in so many ways; without one at any angle. */
export type Fit =
  | { readonly by: 'key'; readonly key: string; readonly ways: number; readonly mirror: number }
  | { readonly by: 'hand' }
  | { readonly by: 'unknown'; readonly because: string };

export function fitOn({ m, figures }: Ground, shaftName: string): Fit {
  const key = named(m.shafts, shaftName)?.key?.name;
  if (key === undefined) return { by: 'hand' };
  const figure = named(figures.keyed.keys, key);
  if (figure) return { by: 'key', key, ways: figure.waysOn.turned, mirror: figure.mirror };
  const because = figures.keyed.unreckoned.find(({ of }) => of === key)?.because;
  return { by: 'unknown', because: because ?? `key ${key} is not known` };
}

/** "90° counter-clockwise", by the shorter way. */
export function turnInWords(angle: number): string {
  const by = wrapped(angle);
  if (Math.abs(by - Math.PI) < 1e-9) return '180°';
  return by < Math.PI ? `${degrees(by, 2)} counter-clockwise` : `${degrees(turn - by, 2)} clockwise`;
}

/** So many whole steps of a shaft, where an angle is that: "3 steps". */
export function stepsInWords(angle: number, step: number): string | undefined {
  const by = Math.min(wrapped(angle), turn - wrapped(angle)) / Math.abs(step);
  const whole = Math.round(by);
  if (whole === 0 || Math.abs(by - whole) > 1e-6) return undefined;
  return whole === 1 ? 'a step' : `${whole} steps`;
}

/** Whether a part of one shaft goes onto another: they have keys of one shape and size, or none and one bearing. */
export function sameBore(m: Mechanism, one: string, other: string): boolean {
  const [a, b] = [one, other].map((name) => boreOf(m, name));
  return a !== undefined && a === b;
}

function boreOf(m: Mechanism, shaftName: string): string | undefined {
  const shaft = named(m.shafts, shaftName);
  if (!shaft?.key) return shaft?.bearing && `round ${shaft.bearing.value}`;
  const key = named(m.keys, shaft.key.name);
  if (!key) return undefined;
  const { shape, teeth, master, outer, inner, across } = key;
  return [shape, teeth, master, outer, inner, across].map((given) => given?.value ?? '').join();
}

/** "they go on key dee and on no key". */
export function boresInWords(m: Mechanism, one: string, other: string): string {
  const words = [one, other].map((name) => {
    const key = named(m.shafts, name)?.key?.name;
    return key === undefined ? `the round of ${name}` : `key ${key} of ${name}`;
  });
  return `they go on ${list(words)}`;
}
