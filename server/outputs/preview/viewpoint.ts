/** From where one looks at the mechanism, as plain data, and what drags, wheels and keys do to it. No perspective. */

/** What holds everything shown, mm, face coordinates. */
export interface Box {
  readonly least: Vector;
  readonly most: Vector;
}

export interface Viewpoint {
  /** To the reader's right, rad: 0 is straight before the face. */
  readonly turn: number;
  /** Above, rad. */
  readonly tilt: number;
  /** 1: everything just fits. */
  readonly zoom: number;
  /** Shift of the picture, shares of its height. */
  readonly right: number;
  readonly up: number;
}

export const slanted: Viewpoint = { turn: 0.62, tilt: 0.42, zoom: 1, right: 0, up: 0 };
export const straight: Viewpoint = { ...slanted, turn: 0, tilt: 0 };

const steepest = 1.5;
const between = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));

export const turnedBy = (from: Viewpoint, turn: number, tilt: number): Viewpoint => ({
  ...from,
  turn: wrapped(from.turn + turn),
  tilt: between(from.tilt + tilt, -steepest, steepest),
});

const wrapped = (angle: number): number => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));

export const shiftedBy = (from: Viewpoint, right: number, up: number): Viewpoint => ({
  ...from,
  right: between(from.right + right, -3, 3),
  up: between(from.up + up, -3, 3),
});

/** Closer by a factor; what lies at the middle stays there. */
export function closer(from: Viewpoint, factor: number): Viewpoint {
  const zoom = between(from.zoom * factor, 0.3, 24);
  const share = zoom / from.zoom;
  return { ...from, zoom, right: between(from.right * share, -3, 3), up: between(from.up * share, -3, 3) };
}

/** What a key does to the viewpoint; undefined for a key that does nothing here. */
export function keyedView(from: Viewpoint, key: string, shift: boolean): Viewpoint | undefined {
  const [sideways, upwards] = arrows[key] ?? [];
  if (sideways !== undefined && upwards !== undefined) {
    return shift ? shiftedBy(from, 0.08 * sideways, 0.08 * upwards) : turnedBy(from, 0.14 * sideways, 0.14 * upwards);
  }
  switch (key) {
    case '+':
    case '=':
      return closer(from, 1.25);
    case '-':
      return closer(from, 0.8);
    case '0':
    case 'Home':
      return slanted;
    default:
      return undefined;
  }
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

type Vector = readonly [number, number, number];

/** Unit vectors in face coordinates: the picture's right, its up, and the way to the eye. */
export function axesOf({ turn, tilt }: Viewpoint): {
  readonly right: Vector;
  readonly up: Vector;
  readonly eye: Vector;
} {
  const [c, s, ct, st] = [Math.cos(turn), Math.sin(turn), Math.cos(tilt), Math.sin(tilt)];
  return { right: [c, 0, -s], up: [-s * st, ct, -c * st], eye: [s * ct, st, c * ct] };
}

/** What of space the picture takes in. */
export interface Frame {
  /** The point at its middle. */
  readonly middle: Vector;
  /** Half of its height, mm. */
  readonly half: number;
  /** How far the box reaches from the middle, mm. */
  readonly reach: number;
}

/** Room round what is shown, as a factor. */
const room = 1.06;

/** The frame in which a box is seen whole at zoom 1, in a picture of a width for its height. */
export function frameOf({ least, most }: Box, view: Viewpoint, aspect: number): Frame {
  const { right, up } = axesOf(view);
  const sizes = [0, 1, 2].map((axis) => (most[axis] - least[axis]) / 2);
  /** A box reaches this far along a direction. */
  const along = (way: Vector) => sizes.reduce((sum, size, axis) => sum + size * Math.abs(way[axis]), 0);
  const half = (room * Math.max(along(up), along(right) / aspect, 1)) / view.zoom;
  const shift = (axis: number) => 2 * half * (-view.right * right[axis] - view.up * up[axis]);
  const middle = (axis: 0 | 1 | 2) => (least[axis] + most[axis]) / 2 + shift(axis);
  return { middle: [middle(0), middle(1), middle(2)], half, reach: Math.hypot(...sizes) };
}
