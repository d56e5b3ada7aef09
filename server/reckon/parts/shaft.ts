/** A keyed shaft with a journal at each end. */
import type { Mechanism, Point, Shaft } from '../../../language/mechanism.ts';
import { wrapped } from '../motion/angles.ts';
import { positive } from '../shape/followers.ts';
import { shaftLoop, type Unreckoned } from '../shape/keys.ts';
import type { Depth } from '../shape/stack.ts';
import { simplified } from './biarcs.ts';
import type { Blank } from './engraving.ts';
import { isWithin } from './joining.ts';
import { arcAbout, circle, distanceToEdge, edgesOf, placed, region } from './loop.ts';
import type { Loop, Prism, Vertex } from './part.ts';

/** How long a shaft's journals are, mm, and past which of them its parts go on. */
export interface Journals {
  readonly front: number;
  readonly back: number;
  readonly partsGoOnFrom: 'front' | 'back';
}

/**
 * Without a frame both are half as long as the bearing is wide. `open`: nothing stands before the face in the way of the
 * one in front.
 */
export function freeJournals({ bearing }: Shaft, open: boolean): Journals {
  const long = (positive(bearing) ?? 0) / 2;
  return { front: open ? long : 0, back: long, partsGoOnFrom: 'front' };
}

/**
 * `depth` is what its keyed length takes up. Of its journals one is as round as the bearing; all parts go on past the
 * other, which is the keyed section as far as the bearing's circle lets it.
 */
export function shaftPart(m: Mechanism, shaft: Shaft, depth: Depth, journals: Journals): Blank | Unreckoned {
  const { name, process, at } = shaft;
  const key = m.keys.find((one) => one.name === shaft.key?.name);
  const bearing = positive(shaft.bearing);
  if (!at) return { because: `${name} does not say where it stands` };
  if (!key && bearing === undefined) return { because: `${name} does not say its key or bearing` };
  const section = key ? shaftLoop(key) : circle(bearing! / 2);
  if ('because' in section) return section;
  const journal = (bearing ?? 0) / 2;
  const length = depth.to - depth.from;
  const { front, back } = bearing === undefined ? { front: 0, back: 0 } : journals;
  const ends = key ? [circle(journal), within(section, journal)] : [section, section];
  const [behind, before] = journals.partsGoOnFrom === 'front' ? ends : ends.reverse();
  const slab = (from: number, to: number, loop: Loop): Prism[] =>
    to > from ? [{ from, to, regions: [region(loop)] }] : [];
  const prisms = key
    ? [
        ...slab(0, back, behind),
        ...slab(back, back + length, section),
        ...slab(back + length, back + length + front, before),
      ]
    : slab(0, back + length + front, section);
  if (prisms.length === 0) return { because: `${name} has no length` };
  return {
    name,
    kind: 'shaft',
    place: shaft.place,
    prisms,
    room: { side: 'front', region: prisms[prisms.length - 1].regions[0], round: true, home: key !== undefined },
    bed: 'back',
    process: process.name,
    material: process.material.name,
    seats: [{ x: at.value.x, y: at.value.y, z: -depth.to - back, turn: 0, moves: { with: 'shaft', name } }],
  };
}

/** Whether a bar, on its way of so many mm, passes before the face where a shaft's front journal would stand. */
export function passesOver({ at, bearing }: Shaft, { prisms, seats: [seat] }: Blank, stroke: number): boolean {
  if (!at || !bearing) return false;
  const before = prisms.filter(({ to }) => seat.z + to > 0).flatMap(({ regions }) => regions.map(({ outer }) => outer));
  const looks = Math.max(1, Math.ceil(stroke));
  return Array.from({ length: looks + 1 }, (_, i) => (stroke * i) / looks).some((lift) => {
    const here = { x: seat.x + lift * Math.cos(seat.turn), y: seat.y + lift * Math.sin(seat.turn) };
    return before.some((loop) => {
      const edges = edgesOf(placed(loop, here, seat.turn));
      return isWithin(at.value, edges) || edges.some((edge) => distanceToEdge(at.value, edge) < bearing.value / 2);
    });
  });
}

/** What of a loop of lines, and of arcs about the origin, lies within a circle about the origin. */
export function within(loop: Loop, radius: number): Loop {
  const inside = edgesOf(loop).flatMap(({ from, to, arc }): { from: Vertex; to: Point }[] => {
    if (arc) return arc.radius <= radius ? [{ from, to }] : [];
    // |from + t(to − from)| ≤ radius between the roots of a square equation.
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    const [a, b] = [dx * dx + dy * dy, from.x * dx + from.y * dy];
    const room = b * b - a * (from.x * from.x + from.y * from.y - radius * radius);
    if (!(room > 0)) return [];
    const [enter, leave] = [Math.max(0, (-b - Math.sqrt(room)) / a), Math.min(1, (-b + Math.sqrt(room)) / a)];
    const at = (t: number) => ({ x: from.x + t * dx, y: from.y + t * dy });
    return enter < leave ? [{ from: { ...at(enter), bulge: 0 }, to: at(leave) }] : [];
  });
  if (inside.length === 0) return circle(radius);
  return simplified(
    inside.flatMap(({ from, to }, i) => {
      const next = inside[(i + 1) % inside.length].from;
      if (Math.hypot(next.x - to.x, next.y - to.y) < 1e-9) return [from];
      const angle = Math.atan2(to.y, to.x);
      return [from, ...arcAbout(radius, angle, angle + wrapped(Math.atan2(next.y, next.x) - angle)).slice(0, -1)];
    }),
  );
}
