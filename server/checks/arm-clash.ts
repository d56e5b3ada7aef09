import type { Mechanism, Push, Ratchet, Shaft } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { behindOn, pinOf } from '../reckon/parts/behind.ts';
import { boreOn, boreRadius } from '../reckon/parts/bore.ts';
import { armWalls } from '../reckon/parts/push-arm.ts';
import { wheelSize } from '../reckon/parts/ratchet-wheel.ts';
import { freeJournals } from '../reckon/parts/shaft.ts';
import { squareToEdge } from '../reckon/shape/outline.ts';
import type { Depth } from '../reckon/shape/stack.ts';
import { at, type Check, type Found, millimetres, named, roundDown } from './check.ts';
import { gearedBoard } from './examples.ts';

/** Stands of an arm over its way that are looked at. */
const looks = 24;

const pushed = (arm: string, stroke: string) =>
  gearedBoard({
    count: 'count off low high times 4',
    upper: 'shaft upper { at 0 mm, 0 mm   turns clockwise   leads   bearing 8 mm }',
    lower: 'shaft lower { at 70 mm, 0 mm   turns counterclockwise   bearing 8 mm }',
    upperGear: 'gear upperGear on upper { module 1 mm   teeth 70   width 5 mm   mark 0 deg }',
    lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 70   width 5 mm   mark 180 deg }',
    everyCam: 'every cam { base 26 mm   travel 24 deg }',
    left: 'segment left { azimuth 90 deg   bar 20 mm by 4 mm at 0 mm, 48 mm }',
    right: 'segment right { azimuth 90 deg   bar 20 mm by 4 mm at 70 mm, 48 mm }',
    more: `push button turns upper { arm ${arm}   start -16 deg   stroke ${stroke} }`,
  });

export const armClash: Check = {
  code: 'arm-clash',
  severity: 'error',
  title: 'A pushed arm or a ratchet’s wheel in the way of another shaft',
  means:
    'Behind the stacks lie the wheel of a ratchet and the arm that the hand pushes. Another shaft ends there in its journal, and ' +
    'in a frame it goes on to the back plate: here the two run into each other.',
  reckoned:
    'The arm, as wide as its pin with three walls round it, over its whole way from `start`, or the tips of the wheel, against the ' +
    'round of every other shaft that reaches so deep, with the process’s clearance between them.',
  source: 'Derived here.',
  worked:
    'An arm of 65 mm that is 21 mm wide at its pin reaches to 75.5 mm; a shaft of 8 mm stands at 70 mm, in its way.',
  remedy: 'A shorter arm (with the stroke that makes the same step), a push on another shaft, or shafts farther apart.',
  notBeside: ['coincident-shafts'],
  examples: [
    { title: 'An arm as long as to the next shaft', text: pushed('«65 mm»', '35.8 mm') },
    { title: 'An arm that ends before it', text: pushed('40 mm', '22 mm') },
  ],
  find(m, f) {
    return m.shafts.flatMap(({ name }) => {
      const { wheels, arms } = behindOn(m, f.stack, name);
      return [
        ...wheels.flatMap(({ ratchet, ...depth }) => ofWheel(m, f, ratchet, depth)),
        ...arms.flatMap(({ push, ...depth }) => ofArm(m, f, push, depth)),
      ];
    });
  },
};

interface Other {
  readonly shaft: Shaft;
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/** What other shafts are round of at some depth. */
function othersAt(m: Mechanism, f: Figures, name: string, depth: Depth): Other[] {
  return m.shafts.flatMap((shaft) => {
    const own = f.stack.parts.find((part) => part.kind === 'shaft' && part.name === shaft.name);
    if (shaft.name === name || !shaft.at || !own) return [];
    const keyed = behindOn(m, f.stack, shaft.name).to;
    // A frame carries it behind all that lies there.
    const end = m.frame ? Infinity : keyed + freeJournals(shaft, true).back;
    const bore = boreOn(m, shaft.name);
    const journal = (shaft.bearing?.value ?? 0) / 2;
    const radius = depth.from < keyed && !('because' in bore) ? boreRadius(bore) : journal;
    return depth.from < end && depth.to > own.from && radius > 0 ? [{ shaft, ...shaft.at.value, radius }] : [];
  });
}

function ofArm(m: Mechanism, f: Figures, push: Push, depth: Depth): Found[] {
  const pin = pinOf(m, f, push);
  if (!pin || !push.arm || !push.shaft) return [];
  const { about, azimuth, sweep, arm, radius } = pin;
  const half = radius + armWalls * push.process.wall.value;
  return othersAt(m, f, push.shaft.name, depth).flatMap(({ shaft, x, y, radius: round }) => {
    const nearest = Math.min(
      ...Array.from({ length: looks + 1 }, (_, i) => {
        const angle = azimuth + (i / looks) * sweep;
        const [px, py] = [about.x + arm * Math.cos(angle), about.y + arm * Math.sin(angle)];
        return Math.sqrt(squareToEdge(x, y, about.x, about.y, px, py));
      }),
    );
    const gap = nearest - half - round;
    if (gap >= push.process.clearance.value) return [];
    const apart = Math.hypot(x - about.x, y - about.y);
    const would = roundDown(apart - round - half - push.process.clearance.value, 0.5);
    return [
      {
        message: `the arm of ${push.name} ${reaches(gap)} shaft ${shaft.name}, which ${m.frame ? 'goes on to the back plate' : 'ends'} behind it${would > 0 && would < arm ? `; an arm of ${millimetres(would)} would clear it` : ''}`,
        place: push.arm!.place,
        about: [push.name, shaft.name],
        figures: { gap, arm },
        related: [at(shaft.at!.place, `shaft ${shaft.name}`)],
      },
    ];
  });
}

function ofWheel(m: Mechanism, f: Figures, ratchet: Ratchet, depth: Depth): Found[] {
  const where = named(m.shafts, ratchet.shaft?.name)?.at?.value;
  const bore = ratchet.shaft && boreOn(m, ratchet.shaft.name);
  if (!where || !bore || 'because' in bore || !ratchet.teeth || !(ratchet.teeth.value >= 1)) return [];
  const { tip } = wheelSize(ratchet, ratchet.teeth.value, boreRadius(bore));
  return othersAt(m, f, ratchet.shaft!.name, depth).flatMap(({ shaft, x, y, radius }) => {
    const gap = Math.hypot(x - where.x, y - where.y) - tip - radius;
    if (gap >= ratchet.process.clearance.value) return [];
    return [
      {
        message: `the wheel of ${ratchet.name}, ${millimetres(tip)} in radius, ${reaches(gap)} shaft ${shaft.name}`,
        place: ratchet.teeth!.place,
        about: [ratchet.name, shaft.name],
        figures: { gap, tip },
        related: [at(shaft.at!.place, `shaft ${shaft.name}`)],
      },
    ];
  });
}

const reaches = (gap: number): string =>
  gap < 0 ? `runs ${millimetres(-gap, 2)} into` : `comes within ${millimetres(gap, 2)} of`;
