/** Parts laid on the plate of a printer: how each is turned, and where. */
import type { Mesh } from './mesh.ts';

/** mm. */
export interface Plate {
  readonly width: number;
  readonly depth: number;
}

/** As large as those of many printers are: common practice. */
export const commonPlate: Plate = { width: 220, depth: 220 };

/** Between parts, and round them all, mm: common practice. */
export const gap = 5;

export interface Place {
  /** The corner of the part's footprint that is nearest to the plate's. */
  readonly x: number;
  readonly y: number;
  /** Turned a quarter, counter-clockwise. */
  readonly quarter: boolean;
}

export interface Layout {
  /** In the order of the footprints. */
  readonly places: readonly Place[];
  /** What the parts take with the gap round them. */
  readonly takes: Plate;
  readonly fits: boolean;
}

/**
 * Footprints on shelves, the deepest first, each on the first shelf that has room for it, long sides along the plate's
 * width. What does not fit lies on beyond the plate's depth.
 */
export function laidOut(footprints: readonly Plate[], plate: Plate): Layout {
  const room = plate.width - 2 * gap;
  const turned = footprints.map(({ width, depth }, index) => {
    const quarter = depth > width ? depth <= room : width > room && depth <= room;
    return { index, quarter, width: quarter ? depth : width, depth: quarter ? width : depth };
  });
  const shelves: { readonly y: number; x: number }[] = [];
  const places: Place[] = [];
  let [width, depth] = [0, gap];
  for (const one of [...turned].sort((a, b) => b.depth - a.depth || b.width - a.width || a.index - b.index)) {
    let shelf = shelves.find(({ x }) => x + one.width <= gap + room + 1e-9);
    if (!shelf) {
      shelf = { y: depth, x: gap };
      shelves.push(shelf);
      depth += one.depth + gap;
    }
    places[one.index] = { x: shelf.x, y: shelf.y, quarter: one.quarter };
    shelf.x += one.width + gap;
    width = Math.max(width, shelf.x);
  }
  const takes = { width, depth };
  return { places, takes, fits: width <= plate.width + 1e-9 && depth <= plate.depth + 1e-9 };
}

/** The least and the greatest of a mesh along each axis. */
export function extentOf({ corners }: Mesh): { readonly least: readonly number[]; readonly most: readonly number[] } {
  const least = [Infinity, Infinity, Infinity];
  const most = [-Infinity, -Infinity, -Infinity];
  for (const [i, at] of corners.entries()) {
    least[i % 3] = Math.min(least[i % 3], at);
    most[i % 3] = Math.max(most[i % 3], at);
  }
  return { least, most };
}
