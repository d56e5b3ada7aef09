/** What one push does. */

/**
 * Turn of a shaft, rad, whose pin at radius `arm` (mm) is driven along a straight `stroke` (mm) from `start` (rad, from
 * where the radius stands square to the stroke): arm·(sin end − sin start) = stroke. Derived from the geometry.
 * Undefined where the pin does not go so far.
 */
export function pushTurn(arm: number, start: number, stroke: number): number | undefined {
  const end = Math.sin(start) + stroke / arm;
  return Math.abs(end) <= 1 ? Math.asin(end) - start : undefined;
}
