/** Pressure where a round nose presses on a cam: two parallel cylinders in line contact, elastic, without friction. */

/** One of two bodies: radius mm (negative where hollow, Infinity where flat), Young's modulus MPa, Poisson's ratio. */
export interface Cylinder {
  readonly radius: number;
  readonly modulus: number;
  readonly poisson: number;
}

export interface LineContact {
  /** Half the width of the strip that touches, mm. */
  readonly halfWidth: number;
  /** Greatest pressure, in the middle of the strip, MPa. */
  readonly pressure: number;
}

/**
 * Hertz: with w the load per length, 1/R = 1/R₁ + 1/R₂ and 1/E* = (1 − ν₁²)/E₁ + (1 − ν₂²)/E₂, b = √(4wR/(πE*)) and
 * p = 2w/(πb) (Shigley eqs. 3-73 and 3-74; K. L. Johnson, Contact Mechanics, ch. 4, from memory). `load` N over `length`
 * mm. Undefined where a hollow is no wider than what lies in it: then it is no line that bears.
 */
export function lineContact(load: number, length: number, one: Cylinder, other: Cylinder): LineContact | undefined {
  const curvature = 1 / one.radius + 1 / other.radius;
  if (!(curvature > 0 && length > 0 && load >= 0)) return undefined;
  const compliance = (1 - one.poisson ** 2) / one.modulus + (1 - other.poisson ** 2) / other.modulus;
  const halfWidth = Math.sqrt((4 * load * compliance) / (Math.PI * length * curvature));
  return { halfWidth, pressure: load > 0 ? (2 * load) / (Math.PI * length * halfWidth) : 0 };
}
