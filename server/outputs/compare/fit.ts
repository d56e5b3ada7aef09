/**
 * What the other parts of a numeral meet in a part: its bore, its height in the stack, what it does at the rests. Of two
 * parts whose shapes differ, one can stand in for the other where all of this is the same.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import { plain } from '../../checks/check.ts';
import type { Reckoned } from '../../protocol.ts';
import type { CamFigure, Figures } from '../../reckon/figures.ts';
import { degrees, wrapped } from '../../reckon/motion/angles.ts';
import { liftAt } from '../../reckon/motion/lift.ts';
import { footprintOf } from '../../reckon/parts/bed.ts';
import type { Blank } from '../../reckon/parts/engraving.ts';
import { fingerprintOf } from '../../reckon/parts/fingerprint.ts';
import { inUnit } from './entries.ts';
import { type Said, saidInWords, type Unit } from './said.ts';
import { itemOfKey, raisedAtInWords } from './sheet.ts';

export interface Feature {
  readonly what: string;
  readonly said: Said;
  /** Its value is no reading matter: that it is another is all that is told, and not beside what it follows from. */
  readonly bare?: { readonly beside: readonly string[] };
}

const number = (what: string, value: number | undefined, unit: Unit): Feature[] =>
  value === undefined ? [] : [{ what, said: { number: inUnit(value, unit), unit } }];

const inMm = (number: number): Said => ({ number, unit: 'mm' });

const words = (what: string, value: string): Feature => ({ what, said: { words: value } });

/** All that others meet in a printed part. */
export function featuresOf(part: Blank, { mechanism, figures }: Reckoned): Feature[] {
  switch (part.kind) {
    case 'cam':
      return [...onShaft(part, mechanism), ...camFeatures(part.name, mechanism, figures)];
    case 'gear':
      return [...onShaft(part, mechanism), ...gearFeatures(part.name, mechanism, figures)];
    case 'spacer':
      return onShaft(part, mechanism);
    case 'shaft':
      return shaftFeatures(part, mechanism);
    case 'bar':
      return [...barFeatures(part.name, mechanism, figures), ...number('height', heightOf(part), 'mm'), shapeOf(part)];
    case 'ratchet wheel':
    case 'push arm':
      return [...sectionOf('bore', shaftUnder(part, mechanism), mechanism, true), sizeOf(part), shapeOf(part)];
    default:
      return [sizeOf(part), shapeOf(part)];
  }
}

const bare = (what: string, value: string, ...beside: readonly string[]): Feature => ({
  ...words(what, value),
  bare: { beside },
});

const shapeOf = (part: Blank): Feature => bare('shape', fingerprintOf(part), 'anything');

/** The box round it. */
function sizeOf(part: Blank): Feature {
  const { width, depth } = footprintOf(part.prisms);
  const sides = [width, depth, heightOf(part)].map((side) => plain(side, 2));
  return words('size', `${sides.join(' by ')} mm`);
}

const heightOf = ({ prisms }: Blank): number =>
  Math.max(0, ...prisms.map(({ to }) => to)) - Math.min(0, ...prisms.map(({ from }) => from));

/** Bore and height. */
function onShaft(part: Blank, m: Mechanism): Feature[] {
  return [...sectionOf('bore', shaftUnder(part, m), m, true), ...number('height', heightOf(part), 'mm')];
}

/** The shaft in a part's bore. */
export function shaftUnder({ kind, seats: [seat] }: Blank, m: Mechanism) {
  if (!seat || seat.moves.with === 'nothing') return undefined;
  const { moves } = seat;
  const pushed = m.pushes.find(({ name }) => kind === 'push arm' && moves.with === 'push' && name === moves.name);
  return m.shafts.find(({ name }) => name === (moves.with === 'shaft' ? moves.name : pushed?.shaft?.name));
}

/** A key as its values; without one the round of the bearing. */
function sectionOf(
  what: string,
  shaft: Mechanism['shafts'][number] | undefined,
  m: Mechanism,
  clear: boolean,
): Feature[] {
  const key = m.keys.find(({ name }) => name === shaft?.key?.name);
  if (key) {
    const values = itemOfKey(key).entries.filter(({ property }) => clear || property !== 'clearance');
    return [words(what, values.map(({ property, said }) => `${property} ${saidInWords(said)}`).join(', '))];
  }
  return [
    ...number(`round ${what}`, shaft?.bearing?.value, 'mm'),
    ...(clear ? number('bearing clearance', shaft?.bearingClearance.value, 'mm') : []),
  ];
}

/** The keyed section and the journals; how long it is in all. */
function shaftFeatures(part: Blank, m: Mechanism): Feature[] {
  const shaft = m.shafts.find(({ name }) => name === part.name);
  return [
    ...sectionOf('section', shaft, m, false),
    ...number('bearing', shaft?.bearing?.value, 'mm'),
    ...number('length', heightOf(part), 'mm'),
  ];
}

function camFeatures(name: string, m: Mechanism, figures: Figures): Feature[] {
  const cam = m.cams.find((one) => one.name === name);
  const figure = figures.cams.find((one) => one.name === name);
  if (!cam || !figure) return [];
  return [
    ...number('base', cam.base?.value, 'mm'),
    ...number('stroke', figure.lift.stroke, 'mm'),
    words('raised at', raisedAtInWords(figure, figures)),
    bare('angles of its rests', restsOf(figure), 'raised at'),
  ];
}

/** The share of the stroke at every rest, by its cam angle: between the rests a cam may run as it likes. */
const restsOf = ({ rests, lift }: CamFigure): string =>
  rests
    .map((psi) => `${degrees(wrapped(psi)).toFixed(3)} ${(liftAt(lift, psi).lift / (lift.stroke || 1)).toFixed(3)}`)
    .map((rest) => rest.replace(/^360\.000/, '0.000').replace('-0.000', '0.000'))
    .sort()
    .join(', ');

/** What makes a bar another though nothing else is said of it: the cam that it stands on. */
function barFeatures(name: string, m: Mechanism, { stack }: Figures): Feature[] {
  const cam = m.cams.find(({ segments: [rider] }) => rider?.name === name);
  const follower = stack.followers.find(({ segment }) => segment === name);
  const at = m.shafts.find((shaft) => shaft.name === cam?.shaft?.name)?.at?.value;
  return [
    ...number('base under it', cam?.base?.value, 'mm'),
    ...number('depth of its stem', follower?.stem.from, 'mm'),
    ...number('thickness of its cam', cam?.thickness.value, 'mm'),
    ...(at ? [words('shaft under it at', `${saidInWords(inMm(at.x))}, ${saidInWords(inMm(at.y))}`)] : []),
  ];
}

function gearFeatures(name: string, m: Mechanism, figures: Figures): Feature[] {
  const gear = m.gears.find((one) => one.name === name);
  const figure = figures.gears.find((one) => one.name === name);
  if (!gear || !figure) return [];
  const pitch = 360 / figure.teeth;
  const tooth = degrees(wrapped(figure.toothAt)) % pitch;
  return [
    ...number('module', gear.module?.value, 'mm'),
    ...number('teeth', gear.teeth?.value, ''),
    ...number('pressure angle', gear.pressureAngle.value, '°'),
    ...number('shift', gear.shift.value, ''),
    bare('angle of its teeth to the bore', (pitch - tooth < 5e-4 ? 0 : tooth).toFixed(3), 'teeth'),
  ];
}
