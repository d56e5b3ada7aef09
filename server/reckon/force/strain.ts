/** What the forces of the steps do to the parts: pressure at the noses, wind-up of the shafts. */
import type { Mechanism, Process } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { positive } from '../shape/followers.ts';
import type { StackFigure } from '../shape/stack.ts';
import { lineContact } from './hertz.ts';
import type { Forces } from './steps.ts';
import { shearModulus, torsionConstant, windUp } from './windup.ts';

/** Where a nose presses hardest on its cam, both taken for solid and elastic. */
export interface PressureFigure {
  readonly segment: string;
  readonly cam: string;
  /** N, between the two. */
  readonly force: number;
  /** MPa, in the middle of the strip, and half its width, mm: at most, as if the force stood at the sharpest convex place. */
  readonly pressure: number;
  readonly halfWidth: number;
}

/** How far a keyed shaft winds up at the peak of the hardest step. */
export interface WindUpFigure {
  readonly shaft: string;
  /** N·mm, of all its cams. */
  readonly torque: number;
  /** mm between what drives it and its farthest cam, at most the stack's depth. */
  readonly length: number;
  /** rad; at most, as if the whole torque went through the whole length. */
  readonly angle: number;
  readonly atRest: RestWindUp;
}

/**
 * What stays of it when a step has come to its end: as far as the friction of the noses that rest on their cams holds the
 * shaft wound up, at the rest where that is most. The cams then lie so far behind, as the step goes.
 */
export interface RestWindUp {
  /** N·mm, of all its cams. */
  readonly torque: number;
  /** rad of each cam; at most, as if the whole torque went through all that lies between it and what drives the shaft. */
  readonly cams: readonly { readonly cam: string; readonly angle: number }[];
}

/** Pressures of the round noses whose numbers are known. */
export function pressuresOf(m: Mechanism, { cams }: MotionFigures, { pressed }: Forces): PressureFigure[] {
  return pressed.flatMap(({ segment, cam: name, force }) => {
    const follower = m.segments.find((one) => one.name === segment);
    const cam = m.cams.find((one) => one.name === name);
    const nose = positive(follower?.nose);
    const sharpest = cams.find((one) => one.name === name)?.profileCurvature?.convexMin?.value;
    if (!follower || !cam || !nose || !sharpest || force === undefined) return [];
    const [one, other] = [elastic(nose, follower.process), elastic(sharpest, cam.process)];
    const contact = one && other && lineContact(force, cam.thickness.value, one, other);
    return contact ? [{ segment, cam: name, force, ...contact }] : [];
  });
}

function elastic(radius: number, { material: { modulus, poisson } }: Process) {
  return modulus && poisson && { radius, modulus: modulus.value, poisson: poisson.value };
}

/** Wind-up of the shafts that carry cams and have a key whose sizes are known, by the steps of the findings' case. */
export function windUpsOf(
  m: Mechanism,
  figures: MotionFigures,
  { parts }: StackFigure,
  { cases, resting }: Forces,
): WindUpFigure[] {
  const steps = cases.filter(({ usedByFindings }) => usedByFindings).flatMap(({ steps }) => steps);
  return m.shafts.flatMap((shaft) => {
    const key = m.keys.find(({ name }) => name === shaft.key?.name);
    const { ratio } = figures.shafts.find(({ name }) => name === shaft.name) ?? {};
    const constant = key && torsionConstant(key);
    const shear = shearModulus(shaft.process.material);
    const stacked = parts.filter((part) => part.shaft === shaft.name && (part.kind === 'cam' || part.kind === 'gear'));
    if (!constant || !shear || !ratio || stacked.length === 0 || steps.length === 0) return [];
    const own = figures.cams.filter((cam) => cam.shaft === shaft.name);
    const driven = new Set(own.map(({ segments }) => segments[0]));
    const torques = steps.map(({ shares }) =>
      shares.reduce((sum, { segment, torque }) => (driven.has(segment) ? sum + torque : sum), 0),
    );
    const torque = (Math.max(0, ...torques) * ratio.den) / Math.abs(ratio.num);
    if (torque === 0) return [];
    const [front, back] = [Math.min(...stacked.map(({ from }) => from)), Math.max(...stacked.map(({ to }) => to))];
    const held = figures.positions.map((_, i) =>
      resting.reduce((sum, { segment, torque }) => (driven.has(segment) ? sum + torque[i] : sum), 0),
    );
    const still = (Math.max(0, ...held) * ratio.den) / Math.abs(ratio.num);
    const driver = stacked.find(({ kind, name }) => kind === 'gear' && name === drivingGear(figures, shaft.name));
    const cams = own.flatMap(({ name }) => {
      const at = stacked.find((part) => part.kind === 'cam' && part.name === name);
      if (!at || !Number.isFinite(still)) return [];
      const middle = (at.from + at.to) / 2;
      // Where it is not known what drives the shaft, it may stand at either end of the stack.
      const between = driver
        ? Math.abs((driver.from + driver.to) / 2 - middle)
        : Math.max(back - middle, middle - front);
      return [{ cam: name, angle: windUp(still, between, shear, constant) }];
    });
    const length = back - front;
    const angle = windUp(torque, length, shear, constant);
    return [{ shaft: shaft.name, torque, length, angle, atRest: { torque: still, cams } }];
  });
}

/** The gear through which the turn comes from the leading shaft; undefined for that shaft itself. */
function drivingGear({ shafts, meshes, gears }: MotionFigures, shaft: string): string | undefined {
  const before = shafts.find(({ name }) => name === shaft)?.path.at(-2);
  const shaftOf = (gear: string) => gears.find(({ name }) => name === gear)?.shaft;
  const mesh = meshes.find((one) => [before, shaft].every((name) => one.gears.some((gear) => shaftOf(gear) === name)));
  return mesh?.gears.find((gear) => shaftOf(gear) === shaft);
}
