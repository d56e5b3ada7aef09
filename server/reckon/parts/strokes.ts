/**
 * A plain stroke font to engrave with: capitals, digits and a few signs on a grid of four by six units.
 *
 * Strokes side by side run at least two units apart, and so do signs: with a pen as wide as p and a unit of
 * (p + nozzle)/2 or more, a line of the nozzle's width stands between them.
 */
import type { Point } from '../../../language/mechanism.ts';
import { wrapped } from '../motion/angles.ts';
import { circle, loopArea, placed } from './loop.ts';
import type { Loop, Region, Vertex } from './part.ts';

/**
 * The strokes of every sign: corners as pairs of digits, x and y. A stroke of one corner is a dot; one that ends where
 * it began is closed. No stroke meets itself: it would have to be drawn as two.
 */
const signs: Readonly<Record<string, string>> = {
  A: '0004264440 0343',
  B: '000636454433 0333 3342413000',
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
  P: '000636454433 0333',
  Q: '103041453616050110 2240',
  R: '000636454433 0333 2340',
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
  4: '303602 0242',
  5: '460603334241301001',
  6: '45361605011030414233 3303',
  7: '064620',
  8: '130405163645443313 1302011030414233',
  9: '01103041453616050413 1343',
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

/** An engravable text about the origin: strokes of one sign may cross, so they come in layers that do not. */
export function textLayers(text: string, pen: Pen): Region[][] {
  const left = -((text.length * (wide + between) - between) * pen.unit) / 2;
  const bottom = (-high * pen.unit) / 2;
  const layers: Region[][] = [];
  for (const [i, sign] of [...text].entries()) {
    const at = { x: left + i * (wide + between) * pen.unit, y: bottom };
    for (const [layer, { outer, holes }] of signStrokes(sign, pen).entries()) {
      layers[layer] ??= [];
      layers[layer].push({ outer: placed(outer, at, 0), holes: holes.map((hole) => placed(hole, at, 0)) });
    }
  }
  return layers;
}

const drawn = new Map<string, readonly Region[]>();

function signStrokes(sign: string, pen: Pen): readonly Region[] {
  const key = `${sign} ${pen.width} ${pen.unit}`;
  const known =
    drawn.get(key) ?? signs[sign].split(' ').flatMap((stroke) => strokeRegion(cornersOf(stroke, pen), pen.width / 2));
  drawn.set(key, known);
  return known;
}

const cornersOf = (stroke: string, { unit }: Pen): Point[] =>
  (stroke.match(/../g) ?? []).map(([x, y]) => ({ x: Number(x) * unit, y: Number(y) * unit }));

/** What a round pen covers on its way along some corners. */
function strokeRegion(corners: readonly Point[], radius: number): Region[] {
  if (corners.length === 0) return [];
  const [first, last] = [corners[0], corners[corners.length - 1]];
  if (corners.length === 1) return [{ outer: circle(radius, first), holes: [] }];
  const back = [...corners].reverse();
  if (first.x !== last.x || first.y !== last.y) {
    return [{ outer: [...rightOf(corners, radius, false), ...rightOf(back, radius, false)], holes: [] }];
  }
  const sides = [corners, back].map((path) => rightOf(path, radius, true));
  const [hole, outer] = sides.sort((a, b) => loopArea(a) - loopArea(b));
  return [{ outer, holes: [hole] }];
}

/** The right side of a path: round the outside of its turns an arc, on the inside a corner; open ends round. */
function rightOf(path: readonly Point[], radius: number, closed: boolean): Vertex[] {
  const ahead = path.slice(1).map((to, i) => Math.atan2(to.y - path[i].y, to.x - path[i].x));
  const beside = ({ x, y }: Point, direction: number, bulge: number): Vertex => ({
    x: x + radius * Math.sin(direction),
    y: y - radius * Math.cos(direction),
    bulge,
  });
  const corner = (at: Point, before: number, after: number): Vertex[] => {
    const turned = wrapped(after - before + Math.PI) - Math.PI;
    if (turned > 0) return [beside(at, before, Math.tan(turned / 4)), beside(at, after, 0)];
    const far = radius / Math.cos(turned / 2);
    const middle = before + turned / 2;
    return [{ x: at.x + far * Math.sin(middle), y: at.y - far * Math.cos(middle), bulge: 0 }];
  };
  const inner = path.slice(1, -1).flatMap((at, i) => corner(at, ahead[i], ahead[i + 1]));
  const [start, end] = [ahead[0], ahead[ahead.length - 1]];
  if (closed) return [...corner(path[0], end, start), ...inner];
  return [beside(path[0], start, 0), ...inner, beside(path[path.length - 1], end, 1)];
}

/** A straight stroke with round ends. */
export const strokeBetween = (from: Point, to: Point, radius: number): Loop =>
  strokeRegion([from, to], radius)[0].outer;
