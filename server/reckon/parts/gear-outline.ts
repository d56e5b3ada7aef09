/**
 * The outline of a printed spur gear: involute flanks, rounded roots, thinned for its backlash. ISO 53, ISO 21771.
 *
 * The flank of base radius r_b that starts at the angle θ₀ is, by its roll angle u, r_b at θ₀ + u and from there
 * r_b·u back along the tangent; it goes on in the direction θ₀ + u. A rounding of radius ρ has its centre on the
 * involute that lies ρ outside, which starts at θ₀ − ρ/r_b; below the base circle flanks are radial.
 */
import type { Gear, Mechanism } from '../../../language/mechanism.ts';
import { turn } from '../motion/angles.ts';
import { Latest } from '../remembering.ts';
import { gearSize, involute } from '../shape/gears.ts';
import { biarcs, type OnCurve, simplified } from './biarcs.ts';
import { arcAbout, placed, polar } from './loop.ts';
import type { Loop, Vertex } from './part.ts';

/** Radius of the rounded root of the basic rack, in modules (ISO 53, profile A). */
const rootRounding = 0.38;

/** More teeth than any wheel has that is printed. */
export const mostTeeth = 2000;

/** How much thinner than half a pitch the teeth are on the pitch circle, mm: their half of the greatest backlash. */
export const thinning = (m: Mechanism, gear: Gear): number =>
  Math.max(
    0,
    ...m.meshes.flatMap(({ gears, backlash }) =>
      gears.some(({ name }) => name === gear.name) ? [backlash.value / 2] : [],
    ),
  );

/** Counter-clockwise, the middle of one tooth at `toothAt`; undefined of a gear that has no teeth. */
export function gearOutlineLoop(gear: Gear, thinner: number, toothAt: number): Loop | undefined {
  const [module, teeth] = [gear.module?.value, gear.teeth?.value];
  if (!(module! > 0) || !Number.isSafeInteger(teeth) || teeth! < 4 || teeth! > mostTeeth) return undefined;
  const numbers = [module!, teeth!, gear.pressureAngle.value, gear.shift.value, thinner] as const;
  const told = `${numbers.join(' ')} ${toothAt}`;
  const known = latest.get(told);
  if (known) return known;
  const tooth = toothOf(...numbers);
  if (!tooth) return undefined;
  const all = Array.from({ length: teeth! }, (_, i) => placed(tooth, { x: 0, y: 0 }, toothAt + (i * turn) / teeth!));
  return latest.keep(told, simplified(all.flat()));
}

const latest = new Latest<Loop>(32);

/** One tooth about angle 0, from the middle of the root before it; the root after it belongs to the next. */
function toothOf(
  module: number,
  teeth: number,
  pressure: number,
  shift: number,
  thinner: number,
): Vertex[] | undefined {
  const { pitchRadius, tipRadius, rootRadius, baseRadius } = gearSize(module, teeth, pressure, shift);
  const space = Math.PI / teeth;
  const atPitch = (Math.PI / 2 + 2 * shift * Math.tan(pressure)) / teeth - thinner / (2 * pitchRadius);
  const atBase = atPitch + involute(pressure);
  if (!(tipRadius > baseRadius && rootRadius > 0 && atPitch > 0 && atBase < space)) return undefined;
  const rollAt = (radius: number): number => Math.sqrt(Math.max(0, (radius / baseRadius) ** 2 - 1));
  // Flanks that meet below the tip circle end where they meet.
  const tip = Math.min(rollAt(tipRadius), rollWhereFlanksMeet(atBase));
  const flank = (roll: number): OnCurve => {
    const ahead = roll - atBase;
    const [c, s] = [Math.cos(ahead), Math.sin(ahead)];
    return { x: baseRadius * (c + roll * s), y: baseRadius * (s - roll * c), ahead };
  };
  const root = roundedRoot({ rootRadius, baseRadius, atBase, space, module });
  if (!root || root.roll >= tip) return undefined;

  const rising: Vertex[] = [
    ...arcAbout(rootRadius, -space, root.angle).slice(0, -1),
    { ...polar(rootRadius, root.angle), bulge: Math.tan((root.ahead - (root.angle + Math.PI / 2)) / 4) },
    ...(root.below ? [{ ...root.below, bulge: 0 }] : []),
    ...biarcs(flank, root.roll, tip),
  ];
  const top = flank(tip);
  const topAngle = Math.atan2(top.y, top.x);
  return [...rising, ...arcAbout(Math.hypot(top.x, top.y), topAngle, -topAngle).slice(0, -1), ...mirrored(rising, top)];
}

/** The roll at which a flank reaches the middle of its tooth: where the involute of its angle is `atBase`. */
function rollWhereFlanksMeet(atBase: number): number {
  let [low, high] = [0, 4];
  for (let i = 0; i < 60; i++) {
    const roll = (low + high) / 2;
    if (roll - Math.atan(roll) < atBase) low = roll;
    else high = roll;
  }
  return low;
}

interface RoundedRoot {
  /** Where the rounding leaves the root circle. */
  readonly angle: number;
  /** Its direction where it reaches the flank. */
  readonly ahead: number;
  /** The roll at which the involute is reached. */
  readonly roll: number;
  /** Where it reaches a flank that is radial there. */
  readonly below?: { readonly x: number; readonly y: number };
}

/** The greatest rounding, up to the rack's, that leaves room for its mirror image in the space. */
function roundedRoot(of: {
  readonly rootRadius: number;
  readonly baseRadius: number;
  readonly atBase: number;
  readonly space: number;
  readonly module: number;
}): RoundedRoot | undefined {
  const { rootRadius, baseRadius, atBase, space, module } = of;
  const at = (rounding: number): RoundedRoot | undefined => {
    const centre = rootRadius + rounding;
    if (centre > baseRadius) {
      const outer = Math.sqrt((centre / baseRadius) ** 2 - 1);
      const roll = outer - rounding / baseRadius;
      if (roll >= 0) {
        const angle = outer - Math.atan(outer) - atBase - rounding / baseRadius;
        return angle >= -space ? { angle, ahead: roll - atBase, roll } : undefined;
      }
    }
    const touch = Math.sqrt(centre * centre - rounding * rounding);
    const angle = -atBase - Math.asin(rounding / centre);
    if (touch > baseRadius || angle < -space) return undefined;
    return { angle, ahead: -atBase, roll: 0, below: polar(touch, -atBase) };
  };
  let [fits, tooLarge] = [0, rootRounding * module];
  const whole = at(tooLarge);
  if (whole) return whole;
  for (let i = 0; i < 40; i++) {
    const middle = (fits + tooLarge) / 2;
    if (at(middle)) fits = middle;
    else tooLarge = middle;
  }
  return at(fits);
}

/** The same half mirrored at the tooth's middle, run backwards from the tip. */
function mirrored(rising: readonly Vertex[], top: { readonly x: number; readonly y: number }): Vertex[] {
  const path = [...rising, { ...top, bulge: 0 }];
  return path
    .map((_, i) => {
      const here = path[path.length - 1 - i];
      const before = path[path.length - 2 - i];
      return { x: here.x, y: -here.y, bulge: before?.bulge ?? 0 };
    })
    .slice(0, -1);
}
