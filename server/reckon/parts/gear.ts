/** A gear with its keyed bore. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { StackFigure } from '../shape/stack.ts';
import { boreOn, isKeyed, seatOn } from './bore.ts';
import type { Blank } from './engraving.ts';
import { gearOutlineLoop, thinning } from './gear-outline.ts';
import { circle, region } from './loop.ts';

export function gearPart(
  m: Mechanism,
  figures: MotionFigures,
  { parts }: StackFigure,
  name: string,
): Blank | Unreckoned {
  const gear = m.gears.find((one) => one.name === name)!;
  const figure = figures.gears.find((one) => one.name === name);
  const depth = parts.find((part) => part.kind === 'gear' && part.name === name);
  if (!gear.shaft || !figure || !depth) return { because: `${name} has no shaft, module, teeth or width` };
  const bore = boreOn(m, gear.shaft.name);
  if ('because' in bore) return bore;
  const seat = seatOn(m, gear.shaft.name, depth);
  if ('because' in seat) return seat;
  // A gear on no key has a tooth in its frame's +x, however its shafts stand.
  const home = isKeyed(m, gear.shaft.name);
  const turned = home ? 0 : figure.toothAt;
  const outline = gearOutlineLoop(gear, thinning(m, gear), figure.toothAt - turned);
  if (!outline) return { because: `the teeth of ${name} have no outline: they are too few, too many, or too thin` };
  return {
    name,
    kind: 'gear',
    place: gear.place,
    prisms: [{ from: 0, to: depth.to - depth.from, regions: [region(outline, bore)] }],
    room: {
      side: 'front',
      region: region(circle(figure.rootRadius), bore),
      round: true,
      home,
      marks: figure.marks.map((mark) => mark - turned),
    },
    bed: 'back',
    process: gear.process.name,
    material: gear.process.material.name,
    seats: [{ ...seat, turn: turned }],
  };
}
