/** How far a keyed shaft winds up under a torque: elastic twist of a straight bar, solid all through. */
import type { Key, Material } from '../../../language/mechanism.ts';

/** G = E/(2(1 + ν)), MPa; undefined where the material gives no modulus or no Poisson's ratio. */
export function shearModulus({ modulus, poisson }: Material): number | undefined {
  return modulus && poisson && modulus.value / (2 * (1 + poisson.value));
}

/**
 * Torsion constant of the key's section, mm⁴: how stiff it is against twist is G times this. Round π·d⁴/32, square
 * 0.1406·a⁴, hexagon 0.1154·a⁴ of the width across flats (Roark's Formulas for Stress and Strain, Table 10.1, from
 * memory). For a flat and a spline the greatest circle within the section: they are stiffer than this, so that the
 * wind-up told is rather too large. Undefined where a size lacks.
 */
export function torsionConstant({ shape, across, outer, inner }: Key): number | undefined {
  switch (shape?.value) {
    case 'square':
      return across && 0.1406 * across.value ** 4;
    case 'hexagon':
      return across && 0.1154 * across.value ** 4;
    case 'flat':
      return outer && inner && roundConstant((outer.value + inner.value) / 2);
    case 'splined':
      return inner && roundConstant(inner.value);
    default:
      return undefined;
  }
}

/** Of a round bar of diameter d mm. */
export const roundConstant = (diameter: number): number => (Math.PI * diameter ** 4) / 32;

/** T·L/(G·J), rad: torque N·mm over a length mm. */
export function windUp(torque: number, length: number, shear: number, constant: number): number {
  return (torque * length) / (shear * constant);
}
