/**
 * Helical springs of round wire: rate, stress, solid length, range (EN 13906-1 compression, EN 13906-2 extension, both
 * from memory). Neglected: initial tension of extension springs, the hooks' own give, heat, fatigue.
 */
import type { Spring } from '../../../language/mechanism.ts';
import type { Unreckoned } from '../shape/keys.ts';

export interface CoilFigure {
  readonly kind: 'extension' | 'compression';
  /** N/mm. */
  readonly rate: number;
  /** Mean diameter over wire diameter. */
  readonly index: number;
  /** For the curvature of the wire: Bergsträsser's, which is the standard's. */
  readonly correction: number;
  /** Shear modulus in use, MPa, and whether it was taken as usual. */
  readonly modulus: number;
  readonly modulusByDefault: boolean;
  /** mm: of all turns lying on each other. */
  readonly solid: number;
  /** How far it goes from its free length until solid, mm; of a compression spring whose free length is given. */
  readonly range?: number;
  /** Corrected stress, MPa, when solid. */
  readonly stressSolid?: number;
  /** Tensile strength of the wire and the shear stress that it may bear, MPa. */
  readonly strength: number;
  readonly allowed: number;
  /** Free lengths from here on buckle between flat plates unless guided, mm (compression). */
  readonly buckling?: number;
}

/** A coil at the greatest force it works with. */
export interface CoilAtWork {
  /** N, mm and MPa (corrected). */
  readonly force: number;
  readonly deflection: number;
  readonly stress: number;
  /** What is left to solid, as a share of the deflection. */
  readonly reserve?: number;
}

/** MPa: wire to EN 10270-1 (from memory). */
export const usualShearModulus = 81_500;

/** R = G·d⁴/(8·D³·n), N/mm (EN 13906-1; Shigley eq. 10-9). */
export function coilRate(modulus: number, wire: number, mean: number, turns: number): number {
  return (modulus * wire ** 4) / (8 * mean ** 3 * turns);
}

/** K = (w + 0.5)/(w − 0.75) = (4w + 2)/(4w − 3) (EN 13906-1, from memory; Shigley eq. 10-5). */
export const bergstraesser = (index: number): number => (index + 0.5) / (index - 0.75);

/** τ = K·8FD/(πd³), MPa, with its correction K. */
export function coilStress(force: number, wire: number, mean: number): number {
  return (bergstraesser(mean / wire) * 8 * force * mean) / (Math.PI * wire ** 3);
}

/** (n + 2)·d: squared and ground ends (Shigley Table 10-1). */
export const solidLength = (wire: number, turns: number): number => (turns + 2) * wire;

/** (n + 1)·d: the body of an extension spring, its turns touching (common practice: hooks bent out of the last ones). */
const closedLength = (wire: number, turns: number): number => (turns + 1) * wire;

/** Tensile strength of music wire, MPa: 2211/d^0.145 for 0.1 to 6.5 mm (Shigley Table 10-4). */
export const wireStrength = (wire: number): number => 2211 / wire ** 0.145;

/** Shares of the tensile strength: EN 13906-1 when solid, EN 13906-2 at the greatest force (both from memory). */
export const allowedShare = { compression: 0.56, extension: 0.45 } as const;

/** 2.63·D/0.5: between flat plates steel springs shorter than this do not buckle (Shigley eq. 10-13). */
export const bucklingLength = (mean: number): number => (2.63 / 0.5) * mean;

/** What its wire and turns make of a coil; why not, where a size lacks or makes no spring. */
export function coilFigure({ name, coil, wire, mean, turns, free, modulus }: Spring): CoilFigure | Unreckoned {
  if (!coil || !wire || !mean || !turns) {
    const lacks = Object.entries({ coil, wire, mean, turns }).find(([, given]) => !given)![0];
    return { because: `${name} does not say its ${lacks}` };
  }
  const kind = coil.value;
  const [d, D, n] = [wire.value, mean.value, turns.value];
  if (!(D > d)) return { because: `the mean diameter of ${name} is not larger than its wire` };
  const solid = kind === 'compression' ? solidLength(d, n) : closedLength(d, n);
  if (free && !(free.value > solid)) return { because: `the turns of ${name} alone are as long as it is when free` };
  const shear = modulus?.value ?? usualShearModulus;
  const rate = coilRate(shear, d, D, n);
  const strength = wireStrength(d);
  const range = kind === 'compression' && free ? free.value - solid : undefined;
  return {
    kind,
    rate,
    index: D / d,
    correction: bergstraesser(D / d),
    modulus: shear,
    modulusByDefault: modulus === undefined,
    solid,
    ...(range !== undefined && { range, stressSolid: coilStress(rate * range, d, D) }),
    strength,
    allowed: allowedShare[kind] * strength,
    ...(kind === 'compression' && { buckling: bucklingLength(D) }),
  };
}

/** The coil at the end of a stroke (mm) that began at its preload (N). */
export function coilAtWork(figure: CoilFigure, { wire, mean }: Spring, preload: number, stroke: number): CoilAtWork {
  const force = preload + figure.rate * stroke;
  const deflection = force / figure.rate;
  return {
    force,
    deflection,
    stress: coilStress(force, wire!.value, mean!.value),
    ...(figure.range !== undefined && { reserve: figure.range / deflection - 1 }),
  };
}
