/** Plane transforms as six numbers: x' = ax + cy + e, y' = bx + dy + f. */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number];

const identity: Matrix = [1, 0, 0, 1, 0, 0];

/** The second within the first. */
export const within = ([a, b, c, d, e, f]: Matrix, [p, q, r, s, t, u]: Matrix): Matrix => [
  a * p + c * q,
  b * p + d * q,
  a * r + c * s,
  b * r + d * s,
  a * t + c * u + e,
  b * t + d * u + f,
];

/** An SVG transform of the kinds that the drawings use: translate, rotate (deg), scale. */
export function readTransform(text: string): Matrix {
  let matrix = identity;
  for (const [, kind, given] of text.matchAll(/(\w+)\(([^)]*)\)/g)) {
    const [x, y] = given.split(/[\s,]+/).map(Number);
    matrix = within(matrix, one(kind, x, y));
  }
  return matrix;
}

function one(kind: string, x: number, y: number | undefined): Matrix {
  switch (kind) {
    case 'translate':
      return [1, 0, 0, 1, x, y ?? 0];
    case 'scale':
      return [x, 0, 0, y ?? x, 0, 0];
    case 'rotate': {
      const [c, s] = [Math.cos((x * Math.PI) / 180), Math.sin((x * Math.PI) / 180)];
      return [c, s, -s, c, 0, 0];
    }
    default:
      throw new Error(`no drawing uses the transform ${kind}`);
  }
}
