/** Polygon booleans and offsets of a general-purpose solids library (manifold-3d), as an independent oracle. */
import Module from 'manifold-3d';
import type { Point } from '../../../../language/mechanism.ts';
import type { Outline } from '../../../../server/reckon/shape/outline.ts';

const library = await Module();
library.setup();
const { CrossSection } = library;

export type Region = InstanceType<typeof CrossSection>;

export const region = (points: readonly Point[]): Region => new CrossSection([points.map(({ x, y }) => [x, y])]);

export const regionOf = (outline: Outline): Region => region(Array.from(outline.x, (x, i) => ({ x, y: outline.y[i] })));

export const circle = (radius: number, segments = 1440): Region => CrossSection.circle(radius, segments);

/** Turned about the origin by an angle in rad, then moved. */
export const placed = (shape: Region, angle: number, at: Point): Region =>
  shape.rotate((angle * 180) / Math.PI).translate([at.x, at.y]);

export const grown = (shape: Region, by: number): Region => shape.offset(by, 'Round', 2, 720);

export const touches = (one: Region, two: Region): boolean => one.intersect(two).area() > 1e-9;

/**
 * The distance between two regions by bisection on offsets: how far either can be grown before they meet, or
 * (negative) how far the more deeply entered one must be shrunk.
 */
export function gapBetween(one: Region, two: Region, most = 40): number {
  const meets = (by: number): boolean =>
    by >= 0 ? touches(grown(one, by), two) : touches(grown(one, by), two) || touches(one, grown(two, by));
  let [low, high] = touches(one, two) ? [-most, 0] : [0, most];
  for (let i = 0; i < 40 && high - low > 1e-5; i++) {
    const middle = (low + high) / 2;
    if (meets(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/** What is left of the inside of a closed pitch curve when a round nose has swept along it. */
export const cutBy = (pitch: readonly Point[], nose: number): Region => grown(region(pitch), -nose);
