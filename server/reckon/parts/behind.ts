/**
 * What lies behind the stacks, of which the text says how it moves and no more: the ratchet's wheel, the arm that is
 * pushed, and the button. The sizes that it leaves open are chosen here.
 */
import type { Mechanism, Point, Push, Ratchet } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { pushTurn } from '../force/push.ts';
import { turn } from '../motion/angles.ts';
import { positive } from '../shape/followers.ts';
import type { Depth, StackFigure } from '../shape/stack.ts';

/** Plates behind the stacks are as thick as this, mm, unless the text gives a width. */
export const plate = 4;

/** Depths, from the face backwards, of what lies behind the stacks on a shaft. */
export interface Behind {
  /** Between the last part of the stack and what lies behind all stacks. */
  readonly gap?: Depth;
  readonly wheels: readonly (Depth & { readonly ratchet: Ratchet })[];
  readonly arms: readonly (Depth & { readonly push: Push })[];
  /** The end of the shaft's keyed length. */
  readonly to: number;
}

export function behindOn(m: Mechanism, { parts, depth }: StackFigure, shaft: string): Behind {
  const own = parts.find((part) => part.kind === 'shaft' && part.name === shaft);
  const ratchets = m.ratchets.filter((ratchet) => ratchet.shaft?.name === shaft);
  const pushes = m.pushes.filter((push) => push.shaft?.name === shaft);
  const last = own?.to ?? depth;
  if (ratchets.length === 0 && pushes.length === 0) return { wheels: [], arms: [], to: last };
  let to = depth;
  const wheels = ratchets.map((ratchet) => {
    const from = to;
    to += positive(ratchet.arm && { ...ratchet.arm, value: ratchet.arm.value.width }) ?? plate;
    return { ratchet, from, to };
  });
  const arms = pushes.map((push) => {
    // An arm runs on its shaft: it must not rub on its neighbours.
    const from = to + push.process.clearance.value;
    to = from + plate + push.process.clearance.value;
    return { push, from, to: from + plate };
  });
  const filled = own && depth - last > 1e-9 && parts.some((part) => part.shaft === shaft && part.kind === 'cam');
  return { ...(filled && { gap: { from: last, to: depth } }), wheels, arms, to };
}

/** Where the pin of a pushed arm stands at home, and how it is driven. */
export interface PushedPin {
  readonly arm: number;
  /** Azimuth of the pin at home. */
  readonly azimuth: number;
  readonly stroke: number;
  /** Turn of the arm while it is pushed, signed. */
  readonly sweep: number;
  /** Radius of the pin, mm. */
  readonly radius: number;
  /** Where its shaft stands. */
  readonly about: Point;
}

/**
 * The button is pressed down, so that the pin stands to the right of a shaft that turns clockwise, to the left of one
 * that turns counter-clockwise. Undefined where the arm, its stroke or its shaft's place is not given.
 */
export function pinOf(m: Mechanism, figures: Pick<MotionFigures, 'shafts'>, push: Push): PushedPin | undefined {
  const shaft = m.shafts.find((one) => one.name === push.shaft?.name);
  const figure = figures.shafts.find((one) => one.name === push.shaft?.name);
  const [arm, stroke] = [positive(push.arm), positive(push.stroke)];
  if (!shaft?.at || !figure || arm === undefined || stroke === undefined) return undefined;
  const start = push.start?.value ?? 0;
  const sweep = pushTurn(arm, start, stroke);
  if (sweep === undefined) return undefined;
  const sense = figure.sense * (m.runs.value === 'reverse' ? -1 : 1);
  return {
    arm,
    azimuth: (sense < 0 ? 0 : turn / 2) + sense * start,
    stroke,
    sweep: sense * sweep,
    radius: Math.max(2, arm / 8),
    about: shaft.at.value,
  };
}
