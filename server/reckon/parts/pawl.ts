/** The pawl of a ratchet: a springy arm with a nose between two teeth, and a foot that is screwed onto a frame. */
import type { Point, Ratchet } from '../../../language/mechanism.ts';
import { turn } from '../motion/angles.ts';
import { hull, type Polygon } from '../shape/convex.ts';
import { positive } from '../shape/followers.ts';
import { plate } from './behind.ts';
import type { WheelSize } from './ratchet-wheel.ts';

/** Thickness of an arm of which the text gives none, in nozzles. */
const thick = 3;
/** Permissible strain where the material says none. */
const usualStrain = 0.01;
/** Where the text says no arm, lengths are whole ones of this, mm. */
const grid = 1;

export interface ArmSize {
  readonly length: number;
  readonly thickness: number;
  readonly width: number;
}

/** As stated; else three nozzles thick, as wide as its wheel, and so long that a tooth strains it no more than it bears. */
export function armSize({ arm, process }: Ratchet, tooth: number): ArmSize {
  if (arm && positive({ ...arm, value: arm.value.length }) && positive({ ...arm, value: arm.value.thickness }))
    return { ...arm.value, width: positive({ ...arm, value: arm.value.width }) ?? plate };
  const thickness = thick * process.nozzle.value;
  const strain = process.material.strain?.value ?? usualStrain;
  return { length: Math.ceil(Math.sqrt((1.5 * thickness * tooth) / strain) / grid) * grid, thickness, width: plate };
}

/**
 * The outline of a pawl in its own frame: the middle of its foot at the origin, the arm along +x. Of a wheel at `about`
 * there, whose tooth it holds.
 */
export interface PawlOutline {
  readonly foot: Polygon;
  readonly arm: Polygon;
  readonly nose: Polygon;
  /** What arm and nose sweep as a tooth lifts them. */
  readonly lifted: Polygon;
  readonly about: Point;
}

/** `sense` as the wheel turns, 0 either way; `foot` its side; all lengths mm. */
export function pawlOutline(
  { tooth, tip }: WheelSize,
  teeth: number,
  { length, thickness }: ArmSize,
  foot: number,
  clearance: number,
  sense: -1 | 0 | 1,
): PawlOutline {
  const root = tip - tooth;
  const under = tip + clearance;
  const pitch = turn / teeth;
  const rise = sense === 0 ? pitch / 2 : pitch;
  // A straight underside stays off the curved back of a tooth.
  const wide = Math.min(0.6 * rise, 2 * Math.acos(1 - clearance / (2 * tip)));
  const edge = root + (tooth * wide) / rise + clearance;
  const back = { x: -edge * Math.sin(wide), y: edge * Math.cos(wide) };
  const ahead = sense === 0 ? -back.x : 0;
  const middle = under + foot / 2;
  // Along the way of the wheel from the nose, and out from its axis.
  const here = ([along, out]: readonly [number, number]): Point => ({
    x: along + length + foot / 2,
    y: (sense < 0 ? 1 : -1) * (out - middle),
  });
  const rect = (from: number, to: number, low: number, high: number): Polygon =>
    hull(
      (
        [
          [from, low],
          [to, low],
          [to, high],
          [from, high],
        ] as const
      ).map(here),
    );
  const top = under + thickness;
  return {
    foot: rect(-length - foot, -length, under, under + foot),
    arm: rect(-length - foot / 4, Math.max(ahead, 0), under, top),
    nose: hull(
      (
        [
          [0, root + clearance],
          [back.x, back.y],
          [back.x, top],
          [ahead, sense === 0 ? back.y : top],
          [ahead, top],
        ] as const
      ).map(here),
    ),
    lifted: rect(-length, Math.max(ahead, 0), under, top + tooth),
    about: here([0, 0]),
  };
}
