/** Boxes and paths that the drawings share; mm, y up, as pure functions. */
import type { Point } from '../../../language/mechanism.ts';
import type { Box } from '../../reckon/shape/convex.ts';
import type { Outline } from '../../reckon/shape/outline.ts';
import { px, tenths } from './words.ts';

export const grown = (box: Box, by: number): Box => ({
  left: box.left - by,
  right: box.right + by,
  bottom: box.bottom - by,
  top: box.top + by,
});

export const polar = (radius: number, angle: number): Point => ({
  x: radius * Math.cos(angle),
  y: radius * Math.sin(angle),
});

/** Points as a closed SVG path, y turned down. */
export const closedPath = (points: readonly Point[], scale = 1, decimals = px): string =>
  points.length === 0
    ? ''
    : `M${points.map(({ x, y }) => `${decimals(x * scale)} ${decimals(-y * scale)}`).join('L')}Z`;

const paths = new WeakMap<Outline, Map<number, string>>();

/** An outline about its centre as a closed path, made once for each scale: it turns, but does not change. */
export function outlinePath(outline: Outline, scale: number): string {
  const known = paths.get(outline) ?? new Map<number, string>();
  paths.set(outline, known);
  if (!known.has(scale)) known.set(scale, pathAt(outline, scale));
  return known.get(scale)!;
}

/** Vertices closer than half a px to the last are left out. */
function pathAt({ x, y, greatest, round }: Outline, scale: number): string {
  if (round) return circlePath(greatest * scale);
  const points: string[] = [];
  let [lastX, lastY] = [Infinity, Infinity];
  for (let i = 0; i < x.length; i++) {
    const [right, down] = [x[i] * scale, -y[i] * scale];
    if (Math.hypot(right - lastX, down - lastY) < 0.5) continue;
    points.push(`${tenths(right)} ${tenths(down)}`);
    [lastX, lastY] = [right, down];
  }
  return points.length > 2 ? `M${points.join('L')}Z` : circlePath(greatest * scale);
}

const circlePath = (radius: number): string => {
  const r = px(radius);
  return `M${r} 0A${r} ${r} 0 1 0 ${px(-radius)} 0A${r} ${r} 0 1 0 ${r} 0Z`;
};

/** The turn of an angle (rad, counter-clockwise) as a transform. */
export const turned = (angle: number): string => `rotate(${px((-angle * 180) / Math.PI)})`;
