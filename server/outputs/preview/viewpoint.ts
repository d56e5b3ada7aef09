/** From where one looks at the mechanism, as plain data, and what drags, wheels and keys do to it. No perspective. */

/** What holds a part, mm, face coordinates. */
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
  /** How far what is shown reaches from the middle to the eye and away from it, mm. */
  readonly reach: number;
}

/** Room round what is shown, as a factor. */
const room = 1.06;

/** The frame in which some boxes are seen whole at zoom 1, in a picture of a width for its height. */
export function frameOf(boxes: readonly Box[], view: Viewpoint, aspect: number): Frame {
  const { right, up, eye } = axesOf(view);
  const [across, upwards, deep] = [right, up, eye].map((way) => stretchOf(boxes, way));
  const half = (room * Math.max(upwards.half, across.half / aspect, 1)) / view.zoom;
  const [along, above] = [across.middle - 2 * half * view.right, upwards.middle - 2 * half * view.up];
  const at = (axis: 0 | 1 | 2) => along * right[axis] + above * up[axis] + deep.middle * eye[axis];
  return { middle: [at(0), at(1), at(2)], half, reach: deep.half };
}

/** From where to where boxes reach along a direction, as the middle and half of that. */
function stretchOf(boxes: readonly Box[], way: Vector): { readonly middle: number; readonly half: number } {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const box of boxes) {
    const [middle, size] = [0, 1, 2].reduce(
      ([sum, reach], axis) => [
        sum + ((box.least[axis] + box.most[axis]) / 2) * way[axis],
        reach + ((box.most[axis] - box.least[axis]) / 2) * Math.abs(way[axis]),
      ],
      [0, 0],
    );
    least = Math.min(least, middle - size);
    most = Math.max(most, middle + size);
  }
  return least <= most ? { middle: (least + most) / 2, half: (most - least) / 2 } : { middle: 0, half: 0 };
}
