/** The rings that fill a shaft up where it has no cam. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { Depth, StackedPart } from '../shape/stack.ts';
import { boreOn, boreRadius, seatOn } from './bore.ts';
import { circle, region } from './loop.ts';
import type { PrintedPart } from './part.ts';

/** A ring two walls wide round the bore's circle. */
export function spacerPart(
  m: Mechanism,
  { shaft: name, level, from, to }: Pick<StackedPart, 'shaft' | 'level' | keyof Depth>,
): PrintedPart | Unreckoned {
  const shaft = m.shafts.find((one) => one.name === name)!;
  const bore = boreOn(m, name);
  if ('because' in bore) return bore;
  const seat = seatOn(m, name, { from, to });
  if ('because' in seat) return seat;
  const { process } = shaft;
  const outer = circle(boreRadius(bore) + 2 * process.wall.value);
  return {
    name: `${name} spacer ${level ?? 'behind'}`,
    kind: 'spacer',
    place: shaft.place,
    prisms: [{ from: 0, to: to - from, regions: [region(outer, bore)] }],
    engraved: [],
    bed: 'back',
    process: process.name,
    material: process.material.name,
    seats: [seat],
  };
}
