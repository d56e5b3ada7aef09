/**
 * Cams turned by brute force, written apart from the product's own motion: a profile is a polygon, a nose is a disc
 * that is dropped onto it along its slide, a bar is read off from how high the nose stands.
 */
import type { Point } from '../../language/mechanism.ts';

/** Distance of the nose's centre from the shaft, along the slide, when the polygon has turned by `turn`. */
export function droppedNose(
  polygon: readonly Point[],
  turn: number,
  azimuth: number,
  offset: number,
  nose: number,
): number {
  const [c, s] = [Math.cos(turn - azimuth), Math.sin(turn - azimuth)];
  let highest = -Infinity;
  for (const { x, y } of polygon) {
    const along = x * c - y * s;
    const aside = x * s + y * c - offset;
    if (Math.abs(aside) < nose) highest = Math.max(highest, along + Math.sqrt(nose * nose - aside * aside));
  }
  return highest;
}

/** Turns of a gear train by counting teeth: each gear passes as many teeth as its neighbour, the other way. */
export function trainTurn(leadingTurn: number, teeth: readonly (readonly [number, number])[]): number {
  return teeth.reduce((turn, [driver, driven]) => (-turn * driver) / driven, leadingTurn);
}
