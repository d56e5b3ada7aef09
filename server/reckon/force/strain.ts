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
  { cases }: Forces,
): WindUpFigure[] {
  const steps = cases.filter(({ usedByFindings }) => usedByFindings).flatMap(({ steps }) => steps);
  return m.shafts.flatMap((shaft) => {
    const key = m.keys.find(({ name }) => name === shaft.key?.name);
    const { ratio } = figures.shafts.find(({ name }) => name === shaft.name) ?? {};
    const constant = key && torsionConstant(key);
    const shear = shearModulus(shaft.process.material);
    const stacked = parts.filter((part) => part.shaft === shaft.name && (part.kind === 'cam' || part.kind === 'gear'));
    if (!constant || !shear || !ratio || stacked.length === 0 || steps.length === 0) return [];
    const driven = new Set(figures.cams.filter((cam) => cam.shaft === shaft.name).map(({ segments }) => segments[0]));
    const torques = steps.map(({ shares }) =>
      shares.reduce((sum, { segment, torque }) => (driven.has(segment) ? sum + torque : sum), 0),
    );
    const torque = (Math.max(0, ...torques) * ratio.den) / Math.abs(ratio.num);
    if (torque === 0) return [];
    const length = Math.max(...stacked.map(({ to }) => to)) - Math.min(...stacked.map(({ from }) => from));
    return [{ shaft: shaft.name, torque, length, angle: windUp(torque, length, shear, constant) }];
  });
}
