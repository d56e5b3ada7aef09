/**
 * What is engraved on parts: name, number and revision, the side that looks to the face, a home mark, and the timing
 * marks of gears. All of it lies a wall off every edge of a level face that nothing rubs on; what finds no room there
 * is left out, and told.
 */
import type { Point, Process } from '../../../language/mechanism.ts';
import { radians, turn } from '../motion/angles.ts';
import type { UnreckonedPart } from '../shape/bodies.ts';
import type { Polygon } from '../shape/convex.ts';
import { squareToEdge } from '../shape/outline.ts';
import type { Piece } from './joining.ts';
import { type Box, boxOf, flattened, mirrored, placed, polar, polygon, region } from './loop.ts';
import type { Loop, PrintedPart, Prism, Region } from './part.ts';
import { engravable, type Pen, type Size, sizeOf, strokeBetween, textLayers } from './strokes.ts';

/** A level face that may be engraved. */
export interface Room {
  readonly side: 'front' | 'back';
  readonly region: Region;
  /** Where it lies, from back to front, mm, where something else of the part stands out beyond it. */
  readonly level?: number;
  /** It goes round the origin, and so does its text. */
  readonly round: boolean;
  /** It bears a home mark, at angle 0. */
  readonly home?: boolean;
  /** Angles of timing marks at the rim. */
  readonly marks?: readonly number[];
}

/** A part before it is engraved. */
export interface Blank extends Omit<PrintedPart, 'engraved'> {
  readonly room?: Room;
  /** Convex pieces that it is the union of, where what it sweeps matters. */
  readonly pieces?: readonly Piece[];
}

export interface Engraved {
  readonly part: PrintedPart;
  /** Whether its name is written on it. */
  readonly named: boolean;
  /** What of it found no room. */
  readonly leftOut: readonly UnreckonedPart[];
}

/** Layers that strokes are deep, and width of the pen in nozzles. */
const deep = 2;
const penInNozzles = 1.25;
/** Sizes of text that are tried, in the least that can be read. */
const sizes = [2, 1.5, 1];
const ownName = 'its name';
/** Kinds of which all parts are alike, and like no other. */
const unmarked: ReadonlySet<PrintedPart['kind']> = new Set(['pillar', 'pawl']);
/** Kinds of parts that go on a shaft either side to the face, and one only is right. */
const sided: ReadonlySet<PrintedPart['kind']> = new Set(['cam', 'gear', 'ratchet wheel', 'push arm']);

export function engrave(
  { room, pieces: _, ...blank }: Blank,
  number: number,
  revision: string | undefined,
  process: Process,
): Engraved {
  const bare = { ...blank, engraved: [] };
  if (unmarked.has(blank.kind)) return { part: bare, named: false, leftOut: [] };
  const depth = deep * process.layer.value;
  const surface = room && surfaceOf(blank.prisms, room);
  if (!room || !surface || surface.to - surface.from < 2 * depth) {
    return { part: bare, named: false, leftOut: [{ of: blank.name, because: `${blank.name} has no face to engrave` }] };
  }
  const pen = penInNozzles * process.nozzle.value;
  const board = boardOf(room, process.wall.value);
  const layers: Region[][] = [[]];
  const leftOut: UnreckonedPart[] = [];
  const without: string[] = [];
  const tell = (what: string) => without.push(what);
  let named = false;

  const put = (stroke: Loop) => {
    layers[0].push(region(stroke));
    board.taken.push(takenBy(flattened(stroke, sag)));
  };
  for (const angle of room.marks ?? []) {
    const stroke = markAt(board, angle, pen, 'rim');
    if (stroke) put(stroke);
    else tell('its timing mark');
  }
  if (room.home) {
    const home = markAt(board, 0, pen, 'bore');
    if (home) put(home);
    else tell('its home mark');
  }
  const texts = [
    { text: blank.name, what: ownName },
    { text: revision ? `N${number} REV ${revision}` : `N${number}`, what: 'its number and revision' },
    ...(sided.has(blank.kind) ? [{ text: 'FACE', what: 'the side that looks to the face' }] : []),
  ];
  const lines = texts.flatMap(({ text, what }) => {
    const plain = engravable(text);
    if (plain !== undefined) return [{ text: plain, what }];
    leftOut.push({ of: blank.name, because: `the letters to engrave with lack some of ‘${text}’` });
    return [];
  });
  for (const [i, written] of writtenOn(
    board,
    lines.map(({ text }) => text),
    pen,
    process.nozzle.value,
  ).entries()) {
    for (const [layer, regions] of (written ?? []).entries()) {
      layers[layer] ??= [];
      layers[layer].push(...regions);
    }
    if (!written) tell(lines[i].what);
    else if (lines[i].what === ownName) named = true;
  }
  if (without.length > 0)
    leftOut.push({ of: blank.name, because: `${blank.name} has no room for ${without.join(', ')}` });
  const [from, to] = room.side === 'front' ? [surface.to - depth, surface.to] : [surface.from, surface.from + depth];
  const engraved = layers.flatMap((regions) =>
    regions.length === 0 ? [] : [{ from, to, regions: room.side === 'front' ? regions : regions.map(mirroredRegion) }],
  );
  return { part: { ...bare, engraved }, named, leftOut };
}

const mirroredRegion = ({ outer, holes }: Region): Region => ({ outer: mirrored(outer), holes: holes.map(mirrored) });

/** The slab whose face it is; undefined where none has a face at that level. */
function surfaceOf(prisms: readonly Prism[], { side, level }: Room): Prism | undefined {
  if (level === undefined) return prisms.at(side === 'front' ? -1 : 0);
  return prisms.find(({ from, to }) => Math.abs((side === 'front' ? to : from) - level) < 1e-6);
}

// ---- where there is room -----------------------------------------------------------------------------

/** A face with what is written on it so far, as polygons; text on the back is written as it is read there. */
interface Board {
  readonly round: boolean;
  readonly box: Box;
  readonly outer: Polygon;
  /** The face's holes and the outlines of what is written. */
  readonly taken: Taken[];
  readonly margin: number;
  /** The edge that was in the way last: likely so of the next place, too. */
  inTheWay?: readonly [Point, Point];
}

interface Taken {
  readonly outline: Polygon;
  readonly box: Box;
}

function takenBy(outline: Polygon): Taken {
  let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { x, y } of outline) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    bottom = Math.min(bottom, y);
    top = Math.max(top, y);
  }
  return { outline, box: { left, right, bottom, top } };
}

/** Where a line's middle is, and which way it runs. */
interface Place extends Point {
  readonly angle: number;
}

interface Rectangle extends Place, Size {}

/** Chords of its arcs lie less than this off them, mm. */
const sag = 0.02;

const boardOf = ({ side, region, round }: Room, margin: number): Board => {
  const seen = side === 'back' ? mirroredRegion(region) : region;
  return {
    round,
    box: boxOf([seen.outer]),
    outer: flattened(seen.outer, sag),
    taken: seen.holes.map((hole) => takenBy(flattened(hole, sag))),
    margin: margin + sag,
  };
};

/** Whether a rectangle lies a margin off the rim of the face, its holes, and what is written on it. */
function isFree(board: Board, rectangle: Rectangle): boolean {
  const { x, y, angle, width, height } = rectangle;
  const [cos, sin, margin] = [Math.cos(angle), Math.sin(angle), board.margin];
  const far = Math.hypot(width, height) / 2 + margin;
  const isBeside = ({ left, right, bottom, top }: Box) =>
    left > x + far || right < x - far || bottom > y + far || top < y - far;
  const along = (to: Point) => (to.x - x) * cos + (to.y - y) * sin;
  const aside = (to: Point) => (to.y - y) * cos - (to.x - x) * sin;
  if (board.inTheWay) {
    const [from, to] = board.inTheWay;
    if (comesNear(along(from), aside(from), along(to), aside(to), width / 2, height / 2, margin)) return false;
  }
  for (let k = -1; k < board.taken.length; k++) {
    if (k >= 0 && isBeside(board.taken[k].box)) continue;
    const polygon = k < 0 ? board.outer : board.taken[k].outline;
    let from = polygon[polygon.length - 1];
    let ax = along(from);
    let ay = aside(from);
    for (const to of polygon) {
      const bx = along(to);
      const by = aside(to);
      if (comesNear(ax, ay, bx, by, width / 2, height / 2, margin)) {
        board.inTheWay = [from, to];
        return false;
      }
      from = to;
      ax = bx;
      ay = by;
    }
  }
  const isIn = ({ outline, box }: Taken) => !isBeside(box) && isAround(outline, rectangle);
  return isAround(board.outer, rectangle) && !board.taken.some(isIn);
}

/** Whether a segment from a to b comes nearer than `margin` to a rectangle about the origin, of half its sides. */
function comesNear(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  halfWidth: number,
  halfHeight: number,
  margin: number,
): boolean {
  if (!crosses(ax, ay, bx, by, halfWidth + margin, halfHeight + margin)) return false;
  // Round its corners what is near is round, too.
  if (crosses(ax, ay, bx, by, halfWidth + margin, halfHeight)) return true;
  if (crosses(ax, ay, bx, by, halfWidth, halfHeight + margin)) return true;
  return [halfWidth, -halfWidth].some((x) =>
    [halfHeight, -halfHeight].some((y) => squareToEdge(x, y, ax, ay, bx, by) < margin * margin),
  );
}

/** Whether a segment enters a rectangle about the origin, of half its sides: its part within the one pair, and the other. */
function crosses(ax: number, ay: number, bx: number, by: number, halfWidth: number, halfHeight: number): boolean {
  if ((ax >= halfWidth && bx >= halfWidth) || (ax <= -halfWidth && bx <= -halfWidth)) return false;
  if ((ay >= halfHeight && by >= halfHeight) || (ay <= -halfHeight && by <= -halfHeight)) return false;
  const dx = bx - ax;
  const dy = by - ay;
  // Its line goes by where all four corners lie on one side of it.
  return Math.abs(ax * dy - ay * dx) < Math.abs(dy) * halfWidth + Math.abs(dx) * halfHeight || (dx === 0 && dy === 0);
}

/** Whether a polygon goes round a point: by the edges to the right of it that cross its height. */
function isAround(polygon: Polygon, { x, y }: Point): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i];
    const b = polygon[j];
    if (a.y > y !== b.y > y && x < ((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** A short radial stroke at an angle, as near to the rim, or to the bore, as it may; undefined where none fits. */
function markAt(board: Board, angle: number, pen: number, near: 'rim' | 'bore'): Loop | undefined {
  const { left, right, bottom, top } = board.box;
  const reach = Math.hypot(Math.max(-left, right), Math.max(-bottom, top));
  const long = 4 * pen;
  const step = pen / 4;
  const count = Math.floor((reach - long) / step);
  for (let i = 0; i <= count; i++) {
    const from = near === 'rim' ? reach - long - i * step : i * step;
    const box = { ...polar(from + long / 2, angle), angle, width: long + pen, height: pen };
    if (isFree(board, box)) return strokeBetween(polar(from, angle), polar(from + long, angle), pen / 2);
  }
  return undefined;
}

/** Every line's text in the largest size in which all find room; in the least, those that do. */
function writtenOn(board: Board, lines: readonly string[], width: number, nozzle: number): (Region[][] | undefined)[] {
  const before = board.taken.length;
  const pens = sizes.map((size): Pen => ({ width, unit: (size * (width + nozzle)) / 2 }));
  for (const pen of pens) {
    board.taken.length = before;
    const written: Region[][][] = [];
    for (const text of lines) {
      const line = lineOn(board, text, pen);
      if (!line) break;
      written.push(line);
    }
    if (written.length === lines.length) return written;
  }
  board.taken.length = before;
  return lines.map((text) => lineOn(board, text, pens[pens.length - 1]));
}

/** A line of text at the first place that is free. */
function lineOn(board: Board, text: string, pen: Pen): Region[][] | undefined {
  const { width, height } = sizeOf(text, pen);
  for (const { x, y, angle } of board.round ? placesRound(board, height) : placesOn(board)) {
    if (!isFree(board, { x, y, angle, width, height })) continue;
    const outline = placed(boxOfSize(width, height), { x, y }, angle);
    board.taken.push(takenBy(board.round ? outline : placed(boxOfSize(width + 8 * pen.unit, height), { x, y }, angle)));
    return textLayers(text, pen).map((regions) =>
      regions.map(({ outer, holes }) => ({
        outer: placed(outer, { x, y }, angle),
        holes: holes.map((hole) => placed(hole, { x, y }, angle)),
      })),
    );
  }
  return undefined;
}

const boxOfSize = (width: number, height: number): Loop =>
  polygon([
    { x: -width / 2, y: -height / 2 },
    { x: width / 2, y: -height / 2 },
    { x: width / 2, y: height / 2 },
    { x: -width / 2, y: height / 2 },
  ]);

/** Round the origin, upright first, from the rim inwards. */
function* placesRound({ box, margin }: Board, height: number): Generator<Place> {
  const reach = Math.max(box.right, -box.left, box.top, -box.bottom) - margin - height / 2;
  for (const degrees of [90, 270, 0, 180, 60, 120, 240, 300, 30, 150, 210, 330]) {
    const angle = radians(degrees);
    const upright = angle > Math.PI ? angle - (3 * turn) / 4 : angle - turn / 4;
    for (let radius = reach; radius > 0; radius -= height / 3) yield { ...polar(radius, angle), angle: upright };
  }
}

/** Along the longer way of a face from one end to the other, in its middle first; then across it. */
function* placesOn({ box: { left, right, bottom, top } }: Board): Generator<Place> {
  const upright = top - bottom > right - left;
  const [long, across] = upright ? [top - bottom, right - left] : [right - left, top - bottom];
  for (const turned of [0, turn / 4]) {
    for (let along = 1; along < long; along += 1.5) {
      for (let aside = 0; aside < across / 2; aside++) {
        for (const off of aside === 0 ? [0] : [aside, -aside]) {
          const [x, y] = upright
            ? [(left + right) / 2 - off, bottom + along]
            : [left + along, (bottom + top) / 2 + off];
          yield { x, y, angle: upright ? turn / 4 - turned : turned };
        }
      }
    }
  }
}
