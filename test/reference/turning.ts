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

/** Way of the nose's centre along its arc, from the place `start` (rad about the pivot), when the arm is dropped. */
export function droppedArm(
  polygon: readonly Point[],
  turn: number,
  { pivot, arm, start, side }: { pivot: Point; arm: number; start: number; side: number },
  nose: number,
): number {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const turned = polygon.map(({ x, y }) => ({ x: x * c - y * s, y: x * s + y * c }));
  const clear = (way: number): boolean => {
    const angle = start + (side * way) / arm;
    const [x, y] = [pivot.x + arm * Math.cos(angle), pivot.y + arm * Math.sin(angle)];
    return turned.every((p) => Math.hypot(p.x - x, p.y - y) >= nose);
  };
  // From far outside, in short steps, so that it cannot be lowered through the cam.
  let out = arm;
  while (out > -arm && clear(out - nose / 8)) out -= nose / 8;
  let into = out - nose / 8;
  for (let i = 0; i < 40; i++) {
    const middle = (out + into) / 2;
    if (clear(middle)) out = middle;
    else into = middle;
  }
  return out;
}

/** Distance from the shaft of a face square to the azimuth, laid on the turned polygon. */
export const laidFace = (polygon: readonly Point[], turn: number, azimuth: number): number =>
  polygon.reduce((most, { x, y }) => Math.max(most, x * Math.cos(turn - azimuth) - y * Math.sin(turn - azimuth)), 0);

/** Turns of a gear train by counting teeth: each gear passes as many teeth as its neighbour, the other way. */
export function trainTurn(leadingTurn: number, teeth: readonly (readonly [number, number])[]): number {
  return teeth.reduce((turn, [driver, driven]) => (-turn * driver) / driven, leadingTurn);
}
