/** What one push of the hand does, and what the pawl's arm bears. */
import type { Mechanism, Push, Ratchet } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';

/**
 * Turn of a shaft, rad, whose pin at radius `arm` (mm) is driven along a straight `stroke` (mm) from `start` (rad, from
 * where the radius stands square to the stroke): arm·(sin end − sin start) = stroke. Derived from the geometry.
 * Undefined where the pin does not go so far.
 */
export function pushTurn(arm: number, start: number, stroke: number): number | undefined {
  const end = Math.sin(start) + stroke / arm;
  return Math.abs(end) <= 1 ? Math.asin(end) - start : undefined;
}

/** The stroke that turns it by `sweep`; undefined where the pin would have to go past its dead point. */
export function strokeFor(arm: number, start: number, sweep: number): number | undefined {
  return start + sweep <= turn / 4 ? arm * (Math.sin(start + sweep) - Math.sin(start)) : undefined;
}

/** A push against the step it is to make, all at its own shaft, rad. */
export interface Stepping {
  readonly push: Push;
  readonly ratchet?: Ratchet;
  readonly step: number;
  /** How far the ratchet may rest from its place, either way. */
  readonly play: number;
  /** Absent where the pin does not go so far. */
  readonly sweep?: number;
}

/** The pushes of which arm, start, stroke and step are known. */
export function steppingOf(m: Mechanism, { shafts }: Pick<MotionFigures, 'shafts'>): Stepping[] {
  const turnsOf = (name: string | undefined) => shafts.find((shaft) => shaft.name === name);
  return m.pushes.flatMap((push): Stepping[] => {
    const shaft = turnsOf(push.shaft?.name);
    if (!push.arm || !push.start || !push.stroke || !shaft?.step) return [];
    const [ratchet] = m.ratchets;
    const wheel = turnsOf(ratchet?.shaft?.name);
    const play = wheel?.step ? (ratchet?.play?.value ?? 0) * Math.abs(shaft.step / wheel.step) : 0;
    const sweep = pushTurn(push.arm.value, push.start.value, push.stroke.value);
    return [
      {
        push,
        ...(ratchet && { ratchet }),
        step: Math.abs(shaft.step),
        play,
        ...(sweep !== undefined && { sweep }),
      },
    ];
  });
}

/** A pawl's arm: length, thickness in bending, width, mm. */
type Arm = NonNullable<Ratchet['arm']>['value'];

/** Strain at the root of a straight arm bent by `deflection` (mm) at its end: ε = 3tδ/(2L²). Beam theory. */
export function armStrain({ length, thickness }: Arm, deflection: number): number {
  return (3 * thickness * deflection) / (2 * length ** 2);
}

/** Force, N, at its end that bends it so far: F = E·b·t³·δ/(4L³). Beam theory. */
export function armForce({ length, thickness, width }: Arm, deflection: number, modulus: number): number {
  return (modulus * width * thickness ** 3 * deflection) / (4 * length ** 3);
}
