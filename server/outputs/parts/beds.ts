/** Parts laid on the beds of printers: on which one, how each is turned there, and where. */
import type { Bed, Point, Process } from '../../../language/mechanism.ts';
import { footprintOf, type Lying, lyingOn } from '../../reckon/parts/bed.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';

/** Between parts, and round them all, mm: common practice. */
export const gap = 5;

export interface LaidPart {
  readonly part: PrintedPart;
  /** The corner of the box round the part that is nearest to the bed's. */
  readonly corner: Point;
  /** Counter-clockwise, rad. */
  readonly turn: number;
}

/** One bed, of one process: what is made otherwise is not built at one time with it. */
export interface LaidBed {
  readonly process: string;
  readonly size: Bed;
  /** In the order of the parts, each as often as it is built in. */
  readonly laid: readonly LaidPart[];
}

/**
 * All parts on as many beds as they take. On each they lie on shelves, the deepest first, each on the first shelf that has
 * room for it, long sides along the bed's width. One that has no gap round it, or lies askew, or is larger than
 * the bed, has a bed for itself.
 */
export function laidOut(parts: readonly PrintedPart[], processes: ReadonlyMap<string, Process>): LaidBed[] {
  const names = [...new Set(parts.map(({ process }) => process))];
  return names.flatMap((process) => {
    const own = parts.filter((part) => part.process === process);
    const size = processes.get(process)!.bed.value;
    return bedsFor(own, size).map((laid) => ({ process, size, laid }));
  });
}

interface Filling {
  readonly laid: { readonly index: number; readonly one: LaidPart }[];
  readonly shelves: { readonly y: number; x: number }[];
  /** Where the next shelf begins. */
  next: number;
}

function bedsFor(parts: readonly PrintedPart[], bed: Bed): LaidPart[][] {
  const room = { width: bed.width - 2 * gap, depth: bed.depth - 2 * gap };
  const items = parts.flatMap((part) => {
    const size = footprintOf(part.prisms);
    const square: readonly Lying[] = [
      { turn: 0, size },
      { turn: quarter, size: { width: size.depth, depth: size.width } },
    ];
    const shelved = (size.depth > size.width ? [...square].reverse() : square).find((one) => isWithin(one.size, room));
    const lying = shelved ?? lyingOn(bed, part) ?? square[0];
    const item = { part, turn: lying.turn, shelved: shelved !== undefined, ...lying.size };
    return Array.from({ length: Math.max(1, part.seats.length) }, () => item);
  });
  const order = items.map((item, index) => ({ ...item, index }));
  order.sort((a, b) => b.depth - a.depth || b.width - a.width || a.index - b.index);
  const beds: Filling[] = [];
  for (const { part, turn, shelved, width, depth, index } of order) {
    const put = (on: Filling, x: number, y: number) => on.laid.push({ index, one: { part, corner: { x, y }, turn } });
    if (!shelved) {
      const alone: Filling = { laid: [], shelves: [], next: Infinity };
      put(alone, Math.max(0, (bed.width - width) / 2), Math.max(0, (bed.depth - depth) / 2));
      beds.push(alone);
      continue;
    }
    const hasRoom = ({ x }: { readonly x: number }) => x + width <= gap + room.width + noise;
    let on = beds.find(({ shelves }) => shelves.some(hasRoom));
    let shelf = on?.shelves.find(hasRoom);
    if (!on || !shelf) {
      on = beds.find(({ next }) => next + depth <= gap + room.depth + noise);
      if (!on) {
        on = { laid: [], shelves: [], next: gap };
        beds.push(on);
      }
      shelf = { y: on.next, x: gap };
      on.shelves.push(shelf);
      on.next += depth + gap;
    }
    put(on, shelf.x, shelf.y);
    shelf.x += width + gap;
  }
  return beds.map(({ laid }) => laid.sort((a, b) => a.index - b.index).map(({ one }) => one));
}

const quarter = Math.PI / 2;
const noise = 1e-9;

const isWithin = ({ width, depth }: Bed, room: Bed): boolean =>
  width <= room.width + noise && depth <= room.depth + noise;
