/** The arm that the hand's push turns: it runs on the shaft, with a pin for the button. */
import type { Mechanism, Push } from '../../../language/mechanism.ts';
import { turn } from '../motion/angles.ts';
import type { Unreckoned } from '../shape/keys.ts';
import { shaftLoop } from '../shape/keys.ts';
import type { Depth } from '../shape/stack.ts';
import { type PushedPin, plate } from './behind.ts';
import { boreRadius } from './bore.ts';
import type { Blank } from './engraving.ts';
import { slabsOf } from './joining.ts';
import { arcAbout, circle } from './loop.ts';
import type { Loop } from './part.ts';

/** Around bore and pin there are three walls. */
export const armWalls = 3;

export function pushArm(m: Mechanism, push: Push, pin: PushedPin, depth: Depth): Blank | Unreckoned {
  const { name, process } = push;
  const core = coreRadius(m, push.shaft!.name);
  if (typeof core !== 'number') return core;
  const bore = core + process.clearance.value;
  const round = armWalls * process.wall.value;
  const thickness = depth.to - depth.from;
  // Through the button, which lies two clearances behind.
  const long = plate + 2 * process.clearance.value;
  const outline = eggOf(bore + round, pin.radius + round, pin.arm);
  if (!outline) return { because: `the arm of ${name} is too short for its pin beside the shaft` };
  const prisms = slabsOf(
    [
      { from: 0, to: long + thickness, loop: circle(pin.radius, { x: pin.arm, y: 0 }) },
      { from: long, to: long + thickness, loop: outline },
    ],
    [circle(bore)],
  );
  return {
    name: `${name} arm`,
    kind: 'push arm',
    place: push.place,
    prisms,
    room: { side: 'front', region: prisms[prisms.length - 1].regions[0], round: false },
    bed: 'front',
    process: process.name,
    material: process.material.name,
    seats: [{ ...pin.about, z: -depth.to - long, turn: pin.azimuth, moves: { with: 'push', name } }],
  };
}

/** Radius of the round that a shaft's keyed length turns in. */
function coreRadius(m: Mechanism, name: string): number | Unreckoned {
  const shaft = m.shafts.find((one) => one.name === name);
  const key = m.keys.find((one) => one.name === shaft?.key?.name);
  const section = key ? shaftLoop(key) : undefined;
  if (section && 'because' in section) return section;
  if (section) return boreRadius(section);
  return shaft?.bearing ? shaft.bearing.value / 2 : { because: `${name} does not say its key or bearing` };
}

/** The hull of a circle about the origin and one `distance` along +x; undefined where one lies in the other. */
function eggOf(large: number, small: number, distance: number): Loop | undefined {
  const cosine = (large - small) / distance;
  if (!(Math.abs(cosine) < 1)) return undefined;
  const open = Math.acos(cosine);
  return [
    ...arcAbout(small, -open, open).map((vertex) => ({ ...vertex, x: vertex.x + distance })),
    ...arcAbout(large, open, turn - open),
  ];
}
