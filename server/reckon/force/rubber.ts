/** Rubber, as far as a band needs it. */

/**
 * Tension, N, of a strand of `section` (mm², unstretched) and shear modulus `shear` (MPa) at the stretch λ; 0 where it is
 * slack. Neo-Hookean: F = A·G·(λ − λ⁻²) (L. R. G. Treloar, The Physics of Rubber Elasticity, from memory). Good to some
 * ± 30 % up to λ = 3; gum rubber is softer than this from λ = 2 on (L. A. Wood, J. Res. NBS 82(1), 1977).
 */
export function bandTension(section: number, shear: number, stretch: number): number {
  return stretch > 1 ? section * shear * (stretch - 1 / (stretch * stretch)) : 0;
}

/** The stretch up to which the formula holds well enough to be told (common practice). */
export const greatestStretch = 3;

/** What a loop of so many mm stores at the stretch λ, N·mm: A·L·G/2·(λ² + 2/λ − 3), the work of that tension; 0 slack. */
export function bandEnergy(section: number, shear: number, loop: number, stretch: number): number {
  return stretch > 1 ? ((section * loop * shear) / 2) * (stretch * stretch + 2 / stretch - 3) : 0;
}
