/** The button: a rod that is pressed down, with a slot square to its way in which the arm's pin runs. */
import type { Push } from '../../../language/mechanism.ts';
import type { Depth } from '../shape/stack.ts';
import { type PushedPin, plate } from './behind.ts';
import type { Blank } from './engraving.ts';
import { slabsOf } from './joining.ts';
import { polygon } from './loop.ts';
import type { Loop } from './part.ts';

/** How far the cap stands above everything when it is pressed, and how wide and thick it is, mm. */
export const above = 4;
export const cap = { width: 14, height: 5 };
/** The rod is as long as so many of these, mm. */
const step = 5;
/** Round the slot and in the rod there are so many walls. */
const walls = 4;

/** `depth` is the arm's; `top` the highest point of all other parts. In its frame the pin stands at the origin at home. */
export function button(push: Push, pin: PushedPin, depth: Depth, top: number): Blank {
  const { name, process } = push;
  const { arm, azimuth, sweep, radius, stroke, about } = pin;
  const round = walls * process.wall.value;
  const room = radius + process.clearance.value;
  const home = { x: about.x + arm * Math.cos(azimuth), y: about.y + arm * Math.sin(azimuth) };
  // The pin's way across: from home to the end of the push, past where its radius lies square to it.
  const ends = [azimuth, azimuth + sweep].map((angle) => arm * Math.cos(angle));
  const passes = Math.sin(azimuth) * Math.sin(azimuth + sweep) < 0 ? [Math.sign(ends[0]) * arm] : [];
  const [left, right] = [Math.min(...ends, ...passes), Math.max(...ends, ...passes)].map((x) => x - ends[0]);
  const middle = (left + right) / 2;
  // In whole steps, so that not every change of a bar makes another button of it.
  const height = Math.ceil(Math.max(top + above + stroke - home.y, room + round) / step - 1e-9) * step;
  const rod = Math.max(room, round);
  // The end of the shaft turns before it, and stands out of the arm by a clearance.
  const back = depth.to + 2 * process.clearance.value;
  const slot: Loop = [
    { x: left, y: -room, bulge: 0 },
    { x: right, y: -room, bulge: 1 },
    { x: right, y: room, bulge: 0 },
    { x: left, y: room, bulge: 1 },
  ];
  const box = (x: number, half: number, from: number, to: number): Loop =>
    polygon([
      { x: x - half, y: from },
      { x: x + half, y: from },
      { x: x + half, y: to },
      { x: x - half, y: to },
    ]);
  const yoke = (right - left) / 2 + room + round;
  const pieces = [
    box(middle, yoke, -room - round, room + round),
    box(middle, rod, 0, height),
    box(middle, cap.width / 2, height, height + cap.height),
  ].map((loop) => ({ from: 0, to: plate, loop }));
  const prisms = slabsOf(pieces, [slot]);
  return {
    name,
    kind: 'button',
    place: push.place,
    prisms,
    pieces,
    room: { side: 'front', region: prisms[0].regions[0], round: false },
    bed: 'back',
    process: process.name,
    material: process.material.name,
    seats: [{ ...home, z: -back - plate, turn: 0, moves: { with: 'push', name } }],
  };
}
