/** The wheel that a pawl holds: saw teeth, which let it turn one way; teeth alike on both sides where it runs either way. */
import type { Mechanism, Ratchet } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { positive } from '../shape/followers.ts';
import type { Unreckoned } from '../shape/keys.ts';
import type { Depth } from '../shape/stack.ts';
import { biarcs, simplified } from './biarcs.ts';
import { boreOn, boreRadius, isKeyed, seatOn } from './bore.ts';
import type { Blank } from './engraving.ts';
import { mostTeeth } from './gear-outline.ts';
import { circle, placed, polar, region } from './loop.ts';
import type { Loop } from './part.ts';

/** Sizes that the text leaves open. */
export interface WheelSize {
  /** Height of a tooth: the deflection of the pawl's arm; else four times the nozzle. */
  readonly tooth: number;
  /** Radius of the tips: two walls round the bore, and a back at least three times as long as high; up to 0.5 mm. */
  readonly tip: number;
}

export function wheelSize(ratchet: Ratchet, teeth: number, bore: number): WheelSize {
  const { wall, nozzle } = ratchet.process;
  const tooth = positive(ratchet.deflection) ?? 4 * nozzle.value;
  const tip = Math.max(bore + 2 * wall.value + tooth, (3 * tooth * teeth) / turn);
  return { tooth, tip: Math.ceil(2 * tip - 1e-9) / 2 };
}

export function ratchetWheel(m: Mechanism, figures: MotionFigures, ratchet: Ratchet, depth: Depth): Blank | Unreckoned {
  const { name, shaft, teeth } = ratchet;
  const figure = figures.shafts.find((one) => one.name === shaft?.name);
  if (
    !shaft ||
    !figure ||
    !(teeth && teeth.value >= 1 && teeth.value <= mostTeeth && Number.isSafeInteger(teeth.value))
  ) {
    return { because: `${name} does not say its shaft or its teeth` };
  }
  const bore = boreOn(m, shaft.name);
  if ('because' in bore) return bore;
  const seat = seatOn(m, shaft.name, depth);
  if ('because' in seat) return seat;
  const size = wheelSize(ratchet, teeth.value, boreRadius(bore));
  const sense = figure.sense * (m.runs.value === 'reverse' ? -1 : 1);
  const outline = wheelOutline(teeth.value, size, m.runs.value === 'either' ? 0 : sense);
  return {
    name,
    kind: 'ratchet wheel',
    place: ratchet.place,
    prisms: [{ from: 0, to: depth.to - depth.from, regions: [region(outline, bore)] }],
    room: {
      side: 'front',
      region: region(circle(size.tip - size.tooth), bore),
      round: true,
      home: isKeyed(m, shaft.name),
    },
    bed: 'back',
    process: ratchet.process.name,
    material: ratchet.process.material.name,
    seats: [seat],
  };
}

/**
 * The backs of the teeth are Archimedean spirals: as the wheel turns, the pawl is lifted evenly. `sense` +1: it turns
 * counter-clockwise, so that the back rises clockwise up to a radial face; 0: either way.
 */
function wheelOutline(teeth: number, { tip, tooth }: WheelSize, sense: number): Loop {
  const pitch = turn / teeth;
  const root = tip - tooth;
  const back = (from: number, to: number, start: number, end: number) => {
    const slope = (end - start) / (to - from);
    const at = (angle: number) => {
      const radius = start + slope * (angle - from);
      return { ...polar(radius, angle), ahead: angle + Math.atan2(radius, slope) };
    };
    return [...biarcs(at, from, to), { ...polar(end, to), bulge: 0 }];
  };
  const one =
    sense > 0
      ? back(0, pitch, tip, root)
      : sense < 0
        ? back(0, pitch, root, tip)
        : [...back(0, pitch / 2, root, tip), ...back(pitch / 2, pitch, tip, root)];
  const all = Array.from({ length: teeth }, (_, i) => placed(one, { x: 0, y: 0 }, i * pitch));
  return simplified(all.flat());
}
