/** Boxes, gear outlines and paths that the drawings share; mm, y up, as pure functions. */
import type { Point } from '../../../language/mechanism.ts';
import type { GearFigure } from '../../reckon/figures.ts';
import { px } from './words.ts';

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** The least box round the points; undefined round nothing. */
export function boxOf(points: readonly Point[]): Box | undefined {
  const sound = points.filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
  if (sound.length === 0) return undefined;
  const box = { left: Infinity, right: -Infinity, bottom: Infinity, top: -Infinity };
  for (const { x, y } of sound) {
    box.left = Math.min(box.left, x);
    box.right = Math.max(box.right, x);
    box.bottom = Math.min(box.bottom, y);
    box.top = Math.max(box.top, y);
  }
  return box;
}

export const grown = (box: Box, by: number): Box => ({
  left: box.left - by,
  right: box.right + by,
  bottom: box.bottom - by,
  top: box.top + by,
});

const involute = (angle: number): number => Math.tan(angle) - angle;

/**
 * A gear's outline at home about its own centre: involute flanks in four points, radial below the base circle.
 * `shift` is the profile shift as a share of the module. Half a tooth's angle at radius r is
 * (π/2 + 2·shift·tan α)/z + inv α − inv α_r (ISO 21771).
 */
export function gearOutline(gear: GearFigure, shift: number): Point[] {
  const { teeth, pitchRadius, tipRadius, rootRadius, baseRadius, toothAt } = gear;
  if (!(teeth > 0 && pitchRadius > 0 && tipRadius > rootRadius)) return [];
  const pressure = Math.acos(Math.min(1, baseRadius / pitchRadius));
  const atPitch = (Math.PI / 2 + 2 * shift * Math.tan(pressure)) / teeth;
  const half = (radius: number) => {
    const here = Math.acos(Math.min(1, baseRadius / Math.max(radius, baseRadius)));
    return Math.max(0, Math.min(Math.PI / teeth, atPitch + involute(pressure) - involute(here)));
  };
  const start = Math.max(rootRadius, Math.min(baseRadius, tipRadius));
  const radii = [rootRadius, start, pitchRadius, (pitchRadius + tipRadius) / 2, tipRadius];
  const points: Point[] = [];
  for (let tooth = 0; tooth < teeth; tooth++) {
    const middle = toothAt + (tooth * 2 * Math.PI) / teeth;
    for (const radius of radii) points.push(polar(radius, middle - half(radius)));
    for (const radius of [...radii].reverse()) points.push(polar(radius, middle + half(radius)));
  }
  return points;
}

export const polar = (radius: number, angle: number): Point => ({
  x: radius * Math.cos(angle),
  y: radius * Math.sin(angle),
});

/** Points as a closed SVG path, y turned down. */
export const closedPath = (points: readonly Point[], scale = 1, decimals = px): string =>
  points.length === 0
    ? ''
    : `M${points.map(({ x, y }) => `${decimals(x * scale)} ${decimals(-y * scale)}`).join('L')}Z`;
