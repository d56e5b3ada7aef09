/**
 * Where a ratchet's pawl stands: its foot on the back plate, between three ribs that keep it from turning and with one
 * screw through the plate, at the tooth beside which all of it finds room.
 */
import type { Mechanism, Point, Ratchet } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { behindOn } from '../parts/behind.ts';
import { boreOn, boreRadius } from '../parts/bore.ts';
import type { Blank } from '../parts/engraving.ts';
import { mostTeeth } from '../parts/gear-outline.ts';
import { type Piece, slabsOf } from '../parts/joining.ts';
import { circle, placed, polygon } from '../parts/loop.ts';
import { type ArmSize, armSize, pawlOutline } from '../parts/pawl.ts';
import { wheelSize } from '../parts/ratchet-wheel.ts';
import { boxOf, common, distanceTo, hull, type Polygon } from '../shape/convex.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { Depth, StackFigure } from '../shape/stack.ts';
import { type Cover, cornersOfRect, roundIt, widened } from './room.ts';

export interface PawlSeat {
  readonly ratchet: string;
  /** Of its screw, on the face. */
  readonly at: Point;
  /** Convex, on the back plate round its foot; heights from the face. */
  readonly ribs: readonly (Depth & { readonly outline: Polygon })[];
  /** Of that screw, and how deep it goes into the foot, mm. */
  readonly length: number;
  /** Of the arm, mm. */
  readonly arm: number;
}

export interface Pawls {
  readonly blanks: readonly Blank[];
  readonly seats: readonly PawlSeat[];
  /** Ratchets whose pawl finds no place, and why. */
  readonly unseated: readonly { readonly ratchet: string; readonly because: string }[];
  /** What else keeps clear of them: the feet with their ribs, and what the arms sweep. */
  readonly covers: readonly (Depth & { readonly name: string; readonly cover: Cover })[];
}

interface Standing extends Depth {
  readonly name: string;
  readonly cover: Cover;
}

interface Seated {
  readonly blank: Blank;
  readonly seat: PawlSeat;
  readonly covers: readonly Standing[];
}

/** A rib is so many walls thick, and so high, mm, but for half of the foot. */
const rib = { walls: 2, high: 3 };
/** A screw holds so deep in a foot, in its diameters (common practice for one that cuts its thread). */
const holds = 1.25;
/** An arm of which the text says nothing may be so much longer than it has to be, mm, to find room. */
const mostLonger = 8;
/** At so many teeth at most a place is looked for. */
const mostTried = 72;
const almost = 1e-6;

export function pawlsIn(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  back: Depth,
  pillar: { readonly radius: number; readonly pilot: number },
  others: readonly Standing[],
): Pawls {
  const found: Seated[] = [];
  const unseated: Pawls['unseated'][number][] = [];
  for (const ratchet of m.ratchets) {
    const taken = found.flatMap(({ covers }) => covers);
    const one = seated(m, figures, stack, ratchet, back, pillar, [...others, ...taken]);
    if (one && 'because' in one) unseated.push({ ratchet: ratchet.name, because: one.because });
    else if (one) found.push(one);
  }
  return {
    blanks: found.map(({ blank }) => blank),
    seats: found.map(({ seat }) => seat),
    unseated,
    covers: found.flatMap(({ covers }) => covers),
  };
}

function seated(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  ratchet: Ratchet,
  back: Depth,
  pillar: { readonly radius: number; readonly pilot: number },
  others: readonly Standing[],
): Seated | Unreckoned | undefined {
  const { name, shaft, teeth, process } = ratchet;
  const frame = m.frame!;
  const clearance = frame.process.clearance.value;
  const at = m.shafts.find((one) => one.name === shaft?.name)?.at?.value;
  const figure = figures.shafts.find((one) => one.name === shaft?.name);
  const bore = shaft && boreOn(m, shaft.name);
  // What lacks there is told with its wheel.
  if (!at || !figure || !bore || 'because' in bore) return undefined;
  if (!teeth || !(teeth.value >= 1 && teeth.value <= mostTeeth) || !Number.isSafeInteger(teeth.value)) return undefined;
  const wheel = behindOn(m, stack, shaft.name).wheels.find((one) => one.ratchet === ratchet);
  if (!wheel) return undefined;
  const size = wheelSize(ratchet, teeth.value, boreRadius(bore));
  const either = m.runs.value === 'either';
  const forward = figure.sense * (m.runs.value === 'reverse' ? -1 : 1);
  const sense = either ? 0 : forward > 0 ? 1 : -1;
  const plane: Depth = { from: -wheel.to, to: -wheel.from - clearance };
  const high = plane.to - back.to;
  const { diameter, lengths } = frame.screws.value;
  const plate = frame.thickness.value;
  const length = lengths.find((one) => one - plate >= holds * diameter - almost);
  if (length === undefined || length - plate > high + almost)
    return { because: `no M${diameter} screw is of a length that goes through the back plate and holds in its foot` };
  const thick = rib.walls * frame.process.wall.value;
  const ribbed: Depth = { from: back.to, to: back.to + Math.min(rib.high, high / 2) };
  const behind = others.filter(({ from }) => from < plane.to + clearance - almost);
  const beside = behind.filter((other) => other.name !== name && other.to > plane.from - clearance + almost);
  /** The pawl with an arm of some length, at the tooth nearest to the middle of the face where there is room. */
  const placedWith = (arm: ArmSize) => {
    const outline = pawlOutline(size, teeth.value, arm, 2 * pillar.radius, clearance, sense);
    const foot = boxOf(outline.foot)!;
    const whole = cornersOfRect({ ...widened(foot, clearance + thick), right: foot.right });
    const lifted = hull([...outline.lifted, ...outline.nose]);
    const place = azimuthsOf(teeth.value)
      .map((azimuth): Place => {
        // The arm lies the way the wheel turns.
        const ahead = azimuth + ((sense < 0 ? -1 : 1) * turn) / 4;
        const [{ x, y }] = placed(polygon([outline.about]), { x: 0, y: 0 }, ahead);
        return { x: at.x - x, y: at.y - y, turn: ahead };
      })
      .sort((a, b) => Math.hypot(a.x, a.y) - Math.hypot(b.x, b.y))
      .find(
        (one) =>
          behind.every(({ cover }) => !comesNear(out(whole, one), cover, clearance)) &&
          beside.every(({ cover }) => !comesNear(out(lifted, one), cover, clearance)),
      );
    return place && { arm, outline, foot, whole, lifted, place };
  };
  const least = armSize(ratchet, size.tooth);
  const longer = ratchet.arm ? [0] : Array.from({ length: mostLonger + 1 }, (_, i) => i);
  let found: ReturnType<typeof placedWith>;
  for (const by of longer) found ??= placedWith({ ...least, length: least.length + by });
  if (!found) return { because: 'its foot or its arm would stand in the way beside every tooth' };
  const { arm, outline, foot, whole, lifted, place } = found;
  const [inner, outer] = [widened(foot, clearance), widened(foot, clearance + thick)];
  const ribs = [
    { ...outer, right: inner.left },
    { ...outer, right: foot.right, top: inner.bottom },
    { ...outer, right: foot.right, bottom: inner.top },
  ].map(cornersOfRect);
  const heights: Depth = { from: plane.from - back.to, to: plane.to - back.to };
  const pieces: Piece[] = [
    { from: 0, to: heights.to, loop: polygon(outline.foot) },
    { ...heights, loop: polygon(outline.arm) },
    { ...heights, loop: polygon(outline.nose) },
  ];
  const blank: Blank = {
    name: `${name} pawl`,
    kind: 'pawl',
    place: ratchet.place,
    prisms: slabsOf(pieces, [circle(pillar.pilot)]),
    bed: 'front',
    process: process.name,
    material: process.material.name,
    seats: [{ ...place, z: back.to, moves: { with: 'nothing' } }],
  };
  const seat: PawlSeat = {
    ratchet: name,
    at: { x: place.x, y: place.y },
    ribs: ribs.map((points) => ({ ...ribbed, outline: out(points, place) })),
    length,
    arm: arm.length,
  };
  const covers: Standing[] = [
    { name: blank.name, from: back.to, to: plane.to, cover: { kind: 'polygon', points: out(whole, place) } },
    { name: blank.name, ...plane, cover: { kind: 'polygon', points: out(lifted, place) } },
  ];
  return { blank, seat, covers };
}

interface Place extends Point {
  readonly turn: number;
}

const out = (points: Polygon, place: Place): Polygon => placed(polygon(points), place, place.turn);

/** Where faces of teeth stand at home; of many teeth some. */
function azimuthsOf(teeth: number): number[] {
  const step = Math.ceil(teeth / mostTried);
  return Array.from({ length: Math.ceil(teeth / step) }, (_, i) => (i * step * turn) / teeth);
}

/** Whether a polygon comes nearer to a cover than `by`. */
function comesNear(points: Polygon, cover: Cover, by: number): boolean {
  if (cover.kind === 'polygon')
    return common(roundIt({ kind: 'polygon', points }, by - almost), cover.points).length > 2;
  const { at, inner, outer } = cover;
  const far = Math.max(...points.map(({ x, y }) => Math.hypot(x - at.x, y - at.y)));
  return distanceTo(points, at.x, at.y) < outer + by - almost && far > inner - by + almost;
}
