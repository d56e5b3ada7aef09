/** The outline of a spur gear's teeth, ISO 21771. */
import type { Point } from '../../../language/mechanism.ts';
import type { GearFigure } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { involute } from './gears.ts';

/**
 * A gear's outline at home about its own centre, for drawings: involute flanks in four points, radial below the base
 * circle. `shift` is the profile shift as a share of the module. Half a tooth's angle at radius r is
 * (π/2 + 2·shift·tan α)/z + inv α − inv α_r.
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
  return Array.from({ length: teeth }, (_, tooth) => toothAt + (tooth * turn) / teeth).flatMap((middle) => [
    ...radii.map((radius) => polar(radius, middle - half(radius))),
    ...[...radii].reverse().map((radius) => polar(radius, middle + half(radius))),
  ]);
}

const polar = (radius: number, angle: number): Point => ({ x: radius * Math.cos(angle), y: radius * Math.sin(angle) });
