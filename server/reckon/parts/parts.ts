/** All parts of a mechanism: those to print, as shapes, and those to buy. */
import type { Mechanism, Process, Shaft, Spring } from '../../../language/mechanism.ts';
import type { CamFigure, MotionFigures } from '../figures.ts';
import { coilSizeOf } from '../force/coil-size.ts';
import { frameParts } from '../frame/parts.ts';
import { type FramePlan, framePlan, largest, type Oversize, springsIn } from '../frame/plan.ts';
import { finished } from '../pausing.ts';
import type { UnreckonedPart } from '../shape/bodies.ts';
import { type StackFigure, stackOf } from '../shape/stack.ts';
import { barPart } from './bar.ts';
import { behindOn, pinOf } from './behind.ts';
import { button } from './button.ts';
import { camPart, outlinedProfile, type ProfileFor } from './cam.ts';
import { type Blank, engrave } from './engraving.ts';
import { gearPart } from './gear.ts';
import { boxOf, placed } from './loop.ts';
import type { PrintedPart } from './part.ts';
import { pushArm } from './push-arm.ts';
import { ratchetWheel } from './ratchet-wheel.ts';
import { freeJournals, type Journals, passesOver, shaftPart } from './shaft.ts';
import { spacerPart } from './spacer.ts';

export interface BoughtPart {
  readonly what: string;
  readonly count: number;
}

/** Parts as shapes, before anything is engraved on them. */
export interface Blanks {
  /** In the order of the text, shafts first; names are unique. */
  readonly blanks: readonly Blank[];
  readonly bought: readonly BoughtPart[];
  /** Parts that cannot be made of what the text says, and why. */
  readonly missing: readonly UnreckonedPart[];
  /** How the frame is laid out, where there is one. */
  readonly frame?: FramePlan;
  /** What it would have to go round, where that is too much. */
  readonly oversize?: Oversize;
}

export interface Parts extends Omit<Blanks, 'blanks' | 'frame' | 'oversize'> {
  readonly parts: readonly PrintedPart[];
  /** What is not engraved on a part, and why. */
  readonly unmarked: readonly UnreckonedPart[];
  /** Parts whose name is not engraved on them. */
  readonly nameless: readonly string[];
}

const knownBlanks = new WeakMap<Mechanism, Blanks>();
const known = new WeakMap<Mechanism, Parts>();

/** The parts, ready to be made; once for a mechanism, whose figures follow from it. */
export const partsOf = (m: Mechanism, figures: MotionFigures, stack?: StackFigure): Parts =>
  finished(partsInSteps(m, figures, stack));

/** The same; pauses after each cam, bar and gear, and after each part that is engraved. */
export function* partsInSteps(m: Mechanism, figures: MotionFigures, stack?: StackFigure): Generator<void, Parts> {
  const parts = known.get(m) ?? (yield* engravedParts(m, yield* blanksInSteps(m, figures, stack)));
  known.set(m, parts);
  return parts;
}

function* engravedParts(m: Mechanism, { blanks, frame: _, oversize: __, ...others }: Blanks): Generator<void, Parts> {
  const processes = processesOf(m);
  const engraved = [];
  for (const [i, blank] of blanks.entries()) {
    engraved.push(engrave(blank, i + 1, m.about.revision, processes.get(blank.process)!));
    yield;
  }
  return {
    parts: engraved.map(({ part }) => part),
    ...others,
    unmarked: engraved.flatMap(({ leftOut }) => leftOut),
    nameless: engraved.flatMap(({ part, named }) => (named ? [] : [part.name])),
  };
}

/** The shapes alone, which fingerprints and checks need: engraving takes several times as long. */
export const blanksOf = (m: Mechanism, figures: MotionFigures, stack?: StackFigure): Blanks =>
  finished(blanksInSteps(m, figures, stack));

function* blanksInSteps(m: Mechanism, figures: MotionFigures, stack?: StackFigure): Generator<void, Blanks> {
  const blanks = knownBlanks.get(m) ?? (yield* blanksAnew(m, figures, stack ?? stackOf(m)));
  knownBlanks.set(m, blanks);
  return blanks;
}

/** Shapes to see what passes what: cams as straight lines, which takes no fitting. */
export const coarseBlanksOf = (m: Mechanism, figures: MotionFigures, stack: StackFigure): Blanks =>
  finished(blanksAnew(m, figures, stack, outlinedProfile));

function* blanksAnew(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  profileFor?: ProfileFor,
): Generator<void, Blanks> {
  const missing: UnreckonedPart[] = [];
  const made = <T extends Blank>(of: string, one: T | { readonly because: string }): T[] => {
    if (!('because' in one)) return [one];
    missing.push({ of, because: one.because });
    return [];
  };
  const bars: (ReturnType<typeof barPart> & { readonly figure: CamFigure })[] = [];
  for (const figure of figures.cams) {
    bars.push({ figure, ...barPart(m, figures, stack, figure) });
    yield;
  }
  const isOpen = (shaft: Shaft) =>
    !bars.some(({ made, figure }) => !('because' in made) && passesOver(shaft, made, figure.lift.stroke));
  const shaftsWith = (journals: (shaft: Shaft) => Journals) =>
    m.shafts.flatMap((shaft) => {
      const depth = stack.parts.find((part) => part.kind === 'shaft' && part.name === shaft.name);
      const { to } = behindOn(m, stack, shaft.name);
      return depth ? made(shaft.name, shaftPart(m, shaft, { from: depth.from, to }, journals(shaft))) : [];
    });
  const parts: Blank[] = m.frame ? [] : shaftsWith((shaft) => freeJournals(shaft, isOpen(shaft)));
  for (const { name } of m.gears) {
    parts.push(...made(name, gearPart(m, figures, stack, name)));
    yield;
  }
  for (const cam of m.cams) {
    parts.push(...made(cam.name, camPart(m, figures, stack, cam, profileFor)));
    yield;
  }
  for (const bar of bars) {
    parts.push(...made(bar.figure.segments[0], bar.made));
    missing.push(...bar.missing);
  }
  for (const spacer of stack.parts)
    if (spacer.kind === 'spacer') parts.push(...made(spacer.name, spacerPart(m, spacer)));
  const buttons: ((top: number) => Blank)[] = [];
  for (const { name } of m.shafts) {
    const { gap, wheels, arms } = behindOn(m, stack, name);
    if (gap) parts.push(...made(name, spacerPart(m, { shaft: name, ...gap })));
    for (const { ratchet, ...depth } of wheels)
      parts.push(...made(ratchet.name, ratchetWheel(m, figures, ratchet, depth)));
    for (const { push, ...depth } of arms) {
      const pin = pinOf(m, figures, push);
      const arm = pin ?? { because: `${push.name} does not say its arm and stroke, or they do not suit each other` };
      parts.push(...made(push.name, 'because' in arm ? arm : pushArm(m, push, arm, depth)));
      if (!pin) continue;
      if (m.frame) buttons.push((top) => button(push, pin, depth, top));
      else parts.push(button(push, pin, depth, topOf(parts)));
    }
  }
  if (!m.frame) return { blanks: parts, bought: boughtFor(m), missing };

  yield;
  const sprung = springsIn(m, figures, stack, parts);
  // A button is to stand out over the frame, which keeps clear of it.
  yield;
  const held = sprung?.parts ?? parts;
  const bare = buttons.length > 0 ? framePlan(m, figures, stack, held, sprung) : undefined;
  const top = bare && 'box' in bare ? bare.box.top : topOf(held);
  const pushed = buttons.map((one) => one(top));
  yield;
  const frame = framePlan(m, figures, stack, [...held, ...pushed], sprung);
  if (!frame || !('box' in frame)) {
    missing.push({ of: 'frame', because: `the frame would be larger than ${largest} mm: it is not laid out` });
    return {
      blanks: [...shaftsWith((shaft) => freeJournals(shaft, isOpen(shaft))), ...parts, ...pushed],
      bought: boughtFor(m),
      missing,
      ...(frame && { oversize: frame }),
    };
  }
  yield;
  const built = frameParts(frame);
  const journals = new Map(frame.bearings.map((one) => [one.shaft, one.journals]));
  const shafts = shaftsWith(({ name }) => journals.get(name) ?? unborne);
  return {
    blanks: [...shafts, ...held, ...pushed, ...built.blanks],
    bought: [...boughtFor(m), ...built.bought],
    missing: [...missing, ...built.missing],
    frame,
  };
}

/** Of a shaft that no plate carries. */
const unborne: Journals = { front: 0, back: 0, partsGoOnFrom: 'back' };

/** The highest point of the face that any part reaches at home. */
function topOf(parts: readonly Blank[]): number {
  const tops = parts.flatMap(({ prisms, seats }) =>
    seats.map(({ x, y, turn }) => {
      const outlines = prisms.flatMap(({ regions }) => regions.map(({ outer }) => placed(outer, { x, y }, turn)));
      return boxOf(outlines).top;
    }),
  );
  return Math.max(0, ...tops);
}

/** The processes that parts are made with, by name. */
export const processesOf = (m: Mechanism): ReadonlyMap<string, Process> =>
  new Map(
    [
      m,
      ...m.shafts,
      ...m.gears,
      ...m.segments,
      ...m.cams,
      ...m.ratchets,
      ...m.pushes,
      ...(m.frame ? [m.frame] : []),
    ].map(({ process }) => [process.name, process]),
  );

/** What the text says is bought, springs and bands. */
function boughtFor(m: Mechanism): BoughtPart[] {
  return [
    ...m.bought.map(({ number, what }) => ({ what, count: number })),
    ...m.springs.map((spring) => ({ what: springInWords(m, spring), count: spring.returns.length })),
    ...m.bands.map(({ name, loop, section }) => ({ what: bandInWords(name, loop?.value, section?.value), count: 1 })),
  ];
}

const written = (value: number): string => `${Number(value.toFixed(3))}`;

/** As the text says it; what a frame is laid out for, where that says less. */
function springInWords(m: Mechanism, spring: Spring): string {
  const { name, rate, preload } = spring;
  const laidOut = m.frame ? coilSizeOf(m, spring) : undefined;
  const size = laidOut && !('because' in laidOut) ? laidOut : undefined;
  const said = ({ wire, mean, turns, free }: { readonly [size in 'wire' | 'mean' | 'turns' | 'free']?: number }) => [
    ...(wire ? [`wire ${written(wire)} mm`] : []),
    ...(mean ? [`mean diameter ${written(mean)} mm`] : []),
    ...(turns ? [`${written(turns)} turns`] : []),
    ...(free ? [`free length ${written(free)} mm`] : []),
  ];
  const { wire, mean, turns, free } = spring;
  const kind = size?.kind ?? spring.coil?.value;
  return [
    `spring ${name}`,
    ...(rate ? [`${written(rate.value)} N/mm`] : []),
    ...(preload ? [`${written(preload.value)} N when lowered`] : []),
    ...(kind ? [kind] : []),
    ...said(size ?? { wire: wire?.value, mean: mean?.value, turns: turns?.value, free: free?.value }),
  ].join(', ');
}

function bandInWords(name: string, loop: number | undefined, section: { width: number; height: number } | undefined) {
  return [
    `band ${name}`,
    ...(loop === undefined ? [] : [`loop ${written(loop)} mm`]),
    ...(section ? [`section ${written(section.width)} by ${written(section.height)} mm`] : []),
  ].join(', ');
}
