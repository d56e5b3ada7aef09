/** The rings that fill a shaft up where it has no cam. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { Depth, StackedPart } from '../shape/stack.ts';
import { boreOn, boreRadius, seatOn } from './bore.ts';
import type { Blank } from './engraving.ts';
import { circle, region } from './loop.ts';

/** A ring two walls wide round the bore's circle. */
export function spacerPart(
  m: Mechanism,
  { shaft: name, level, from, to }: Pick<StackedPart, 'shaft' | 'level' | keyof Depth>,
): Blank | Unreckoned {
  const shaft = m.shafts.find((one) => one.name === name)!;
  const bore = boreOn(m, name);
  if ('because' in bore) return bore;
  const seat = seatOn(m, name, { from, to });
  if ('because' in seat) return seat;
  const { process } = shaft;
  const ring = region(circle(boreRadius(bore) + 2 * process.wall.value), bore);
  return {
    name: `${name} spacer ${level ?? 'behind'}`,
    kind: 'spacer',
    place: shaft.place,
    prisms: [{ from: 0, to: to - from, regions: [ring] }],
    room: { side: 'front', region: ring, round: true },
    bed: 'back',
    process: process.name,
    material: process.material.name,
    seats: [seat],
  };
}
