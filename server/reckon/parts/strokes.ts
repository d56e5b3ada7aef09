/**
 * A plain stroke font to engrave with: capitals, digits and a few signs on a grid of four by six units.
 *
 * Strokes side by side run at least two units apart, and so do signs: with a pen as wide as p and a unit of
 * (p + nozzle)/2 or more, a line of the nozzle's width stands between them.
 */
import { joined } from './joining.ts';
import { circle, placed } from './loop.ts';
import type { Loop, Region } from './part.ts';

/** The strokes of every sign: corners as pairs of digits, x and y; a stroke of one corner is a dot. */
const signs: Readonly<Record<string, string>> = {
  A: '0004264440 0343',
  B: '00063645443303 3342413000',
  C: '4536160501103041',
  D: '00062644422000',
  E: '40000646 0333',
  F: '000646 0333',
  G: '45361605011030414323',
  H: '0006 4046 0343',
  I: '1030 2026 1636',
  J: '0110203136',
  K: '0006 0246 1340',
  L: '060040',
  M: '0006234640',
  N: '00064046',
  O: '103041453616050110',
  P: '00063645443303',
  Q: '103041453616050110 2240',
  R: '00063645443303 2340',
  S: '453616050413334241301001',
  T: '0646 2620',
  U: '060110304146',
  V: '062046',
  W: '0600234046',
  X: '0046 0640',
  Y: '062346 2320',
  Z: '06460040',
  0: '103041453616050110 23',
  1: '152620 1030',
  2: '05163645440040',
  3: '0516364544334241301001 2333',
  4: '30360242',
  5: '460603334241301001',
  6: '4536160501103041423303',
  7: '064620',
  8: '130405163645443313 1302011030414233',
  9: '0110304145361605041343',
  ' ': '',
  '-': '1333',
  _: '0040',
  '.': '20',
  '+': '0343 2125',
  '/': '0046',
  ':': '21 24',
  '(': '36252130',
  ')': '16252110',
  '?': '05163645442322 20',
};

/** Width of a sign and of the room between two, and height of a line, in units. */
const [wide, between, high] = [4, 2, 6];

/** What can be engraved of a text: capitals, without accents; undefined where the font lacks a sign of it. */
export function engravable(text: string): string | undefined {
  const plain = text.normalize('NFD').replace(/\p{M}/gu, '').toUpperCase();
  return [...plain].every((sign) => Object.hasOwn(signs, sign)) ? plain : undefined;
}

/** A pen and the unit of its signs, mm. */
export interface Pen {
  readonly width: number;
  readonly unit: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** The room that an engravable text takes up. */
export const sizeOf = (text: string, { width, unit }: Pen): Size => ({
  width: Math.max(0, text.length * (wide + between) - between) * unit + width,
  height: high * unit + width,
});

/** An engravable text about the origin. */
export function textRegions(text: string, pen: Pen): Region[] {
  const left = -((text.length * (wide + between) - between) * pen.unit) / 2;
  const bottom = (-high * pen.unit) / 2;
  return [...text].flatMap((sign, i) => {
    const at = { x: left + i * (wide + between) * pen.unit, y: bottom };
    return signRegions(sign, pen).map(({ outer, holes }) => ({
      outer: placed(outer, at, 0),
      holes: holes.map((hole) => placed(hole, at, 0)),
    }));
  });
}

const drawn = new Map<string, readonly Region[]>();

function signRegions(sign: string, pen: Pen): readonly Region[] {
  const key = `${sign} ${pen.width} ${pen.unit}`;
  const known = drawn.get(key) ?? joined(strokesOf(signs[sign], pen));
  drawn.set(key, known);
  return known;
}

function strokesOf(strokes: string, { width, unit }: Pen): Loop[] {
  return strokes.split(' ').flatMap((stroke) => {
    const corners = (stroke.match(/../g) ?? []).map(([x, y]) => ({ x: Number(x) * unit, y: Number(y) * unit }));
    if (corners.length === 1) return [circle(width / 2, corners[0])];
    return corners.slice(1).map((to, i) => strokeBetween(corners[i], to, width / 2));
  });
}

/** A straight stroke with round ends. */
export function strokeBetween(from: { x: number; y: number }, to: { x: number; y: number }, radius: number): Loop {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = Math.hypot(dx, dy);
  const [ox, oy] = [(-dy / length) * radius, (dx / length) * radius];
  return [
    { x: from.x - ox, y: from.y - oy, bulge: 0 },
    { x: to.x - ox, y: to.y - oy, bulge: 1 },
    { x: to.x + ox, y: to.y + oy, bulge: 0 },
    { x: from.x + ox, y: from.y + oy, bulge: 1 },
  ];
}
