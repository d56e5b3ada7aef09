/** All parts of a mechanism: those to print, as shapes, and those to buy. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { UnreckonedPart } from '../shape/bodies.ts';
import { type StackFigure, stackOf } from '../shape/stack.ts';
import { camPart } from './cam.ts';
import { gearPart } from './gear.ts';
import type { PrintedPart } from './part.ts';
import { shaftPart } from './shaft.ts';
import { spacerPart } from './spacer.ts';

export interface BoughtPart {
  readonly what: string;
  readonly count: number;
}

export interface Parts {
  /** In the order of the text, shafts first; names are unique. */
  readonly parts: readonly PrintedPart[];
  readonly bought: readonly BoughtPart[];
  /** Parts that cannot be made of what the text says, and why. */
  readonly missing: readonly UnreckonedPart[];
}

const known = new WeakMap<Mechanism, Parts>();

/** Made once for a mechanism: its figures follow from it. */
export function partsOf(m: Mechanism, figures: MotionFigures, stack: StackFigure = stackOf(m)): Parts {
  const parts = known.get(m) ?? partsAnew(m, figures, stack);
  known.set(m, parts);
  return parts;
}

function partsAnew(m: Mechanism, figures: MotionFigures, stack: StackFigure): Parts {
  const parts: PrintedPart[] = [];
  const missing: UnreckonedPart[] = [];
  const add = (of: string, made: PrintedPart | { readonly because: string }) => {
    if ('because' in made) missing.push({ of, because: made.because });
    else parts.push(made);
  };
  for (const shaft of m.shafts) {
    const depth = stack.parts.find((part) => part.kind === 'shaft' && part.name === shaft.name);
    if (depth) add(shaft.name, shaftPart(m, shaft, depth, true));
  }
  for (const { name } of m.gears) add(name, gearPart(m, figures, stack, name));
  for (const { name } of m.cams) add(name, camPart(m, figures, stack, name));
  for (const spacer of stack.parts) if (spacer.kind === 'spacer') add(spacer.name, spacerPart(m, spacer));
  return { parts, bought: m.bought.map(({ number, what }) => ({ what, count: number })), missing };
}
