/**
 * What moves within a frame, as what it covers in plan over a whole turn, and between which depths. Everything goes in
 * from the back, so that all of it also needs the room behind it, once, as it stands at home.
 */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { pinOf } from '../parts/behind.ts';
import { boreRadius } from '../parts/bore.ts';
import type { Blank } from '../parts/engraving.ts';
import { type Box, flattened, placed, polar } from '../parts/loop.ts';
import type { Loop, Prism, Vertex } from '../parts/part.ts';
import { area, common, distanceTo, hull, leftOf, type Polygon, swept } from '../shape/convex.ts';
import { shaftLoop } from '../shape/keys.ts';
import { squareToEdge } from '../shape/outline.ts';
import { drawnOutline, slidersOf } from '../shape/posts.ts';
import type { Depth, StackFigure } from '../shape/stack.ts';

/** Chords lie less than this off arcs, mm. */
const sag = 0.01;

/** What it covers: a convex polygon, or what lies between two circles. */
export type Cover =
  | { readonly kind: 'polygon'; readonly points: Polygon }
  | { readonly kind: 'ring'; readonly at: Point; readonly inner: number; readonly outer: number };

/** z from the face, positive towards the reader. */
export interface Mover extends Depth {
  /** Of the part. */
  readonly name: string;
  readonly cover: Cover;
  /** It may stand out from the frame. */
  readonly beyond?: true;
}

/** A convex piece of a bar. */
export interface BarPiece extends Depth {
  readonly name: string;
  /** What it covers over its stroke, a clearance beyond both its ends; and as it is put in, standing at home. */
  readonly swept: Polygon;
  readonly home: Polygon;
  readonly fit: number;
}

/** The pieces of every bar. */
export function barPieces(
  m: Mechanism,
  figures: MotionFigures,
  bars: readonly Blank[],
  clearance: number,
): readonly BarPiece[] {
  return bars.flatMap(({ name, pieces = [], seats: [seat] }) => {
    const figure = figures.cams.find(({ segments }) => segments[0] === name);
    const segment = m.segments.find((one) => one.name === name);
    const stroke = figure && figure.lift.lobes.length + Number(figure.lift.always) > 0 ? figure.lift.stroke : 0;
    const atHome = figures.positions[0]?.bars.find((bar) => bar.segment === name)?.lift ?? 0;
    return pieces.map(({ from, to, loop }): BarPiece => {
      const lowered = hull(flattened(placed(loop, seat, seat.turn), sag));
      const at = (lift: number) => {
        const { x, y } = polar(lift, seat.turn);
        return lowered.map((p) => ({ x: p.x + x, y: p.y + y }));
      };
      const over = (first: number, last: number) => {
        const way = polar(last - first, seat.turn);
        return cornersOf(swept(at(first), way.x, way.y));
      };
      return {
        name,
        from: seat.z + from,
        to: seat.z + to,
        swept: over(-clearance, stroke + clearance),
        home: over(atHome - clearance, atHome + clearance),
        fit: segment?.fit.value ?? clearance,
      };
    });
  });
}

/** All that turns, with the shafts or when it is pushed, and the button. */
export function turning(m: Mechanism, figures: MotionFigures, blanks: readonly Blank[]): Mover[] {
  return blanks.flatMap(({ name, kind, prisms, pieces = [], seats: [seat] }) => {
    const { moves } = seat;
    if (moves.with === 'nothing' || moves.with === 'segment') return [];
    if (kind !== 'button') return prisms.flatMap((prism) => ringsOf(name, prism, seat));
    const push = m.pushes.find((one) => one.name === moves.name);
    const stroke = (push && pinOf(m, figures, push)?.stroke) ?? 0;
    return pieces.map(({ from, to, loop }) => ({
      name,
      from: seat.z + from,
      to: seat.z + to,
      beyond: true,
      cover: { kind: 'polygon', points: swept(hull(flattened(placed(loop, seat, seat.turn), sag)), 0, -stroke) },
    }));
  });
}

/** Swinging arms of a stated width with their noses and pivots: they go round in the frame, though nothing of them is made. */
export const armMovers = (m: Mechanism, figures: MotionFigures, stack: StackFigure): Mover[] =>
  slidersOf(m, figures, stack).sliders.flatMap(({ kind, segment, motion, depth, region, round }): Mover[] => {
    if (kind !== 'arm' && kind !== 'pivot' && !motion.swing) return [];
    const points = drawnOutline({ outline: region, round });
    return [{ name: segment, from: -depth.to, to: -depth.from, cover: { kind: 'polygon', points } }];
  });

/** The keyed lengths of the shafts themselves. */
export function shaftMovers(m: Mechanism, keyed: ReadonlyMap<string, Depth>): Mover[] {
  return m.shafts.flatMap(({ name, at, bearing, key: named }) => {
    const depth = keyed.get(name);
    const key = m.keys.find((one) => one.name === named?.name);
    const section = key ? shaftLoop(key) : undefined;
    const outer = section && !('because' in section) ? boreRadius(section) : (bearing?.value ?? 0) / 2;
    if (!depth || !at) return [];
    return [{ name, from: -depth.to, to: -depth.from, cover: { kind: 'ring', at: at.value, inner: 0, outer } }];
  });
}

function ringsOf(name: string, { from, to, regions }: Prism, seat: Point & { readonly z: number }): Mover[] {
  return regions.map(({ outer: loop }) => {
    const points = flattened(loop, sag);
    const outer = Math.max(...points.map(({ x, y }) => Math.hypot(x, y)));
    const inner = goesRound(points) ? 0 : nearestTo(points);
    return { name, from: seat.z + from, to: seat.z + to, cover: { kind: 'ring', at: seat, inner, outer } };
  });
}

/** Whether a closed line goes round the origin. */
function goesRound(points: Polygon): boolean {
  let inside = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [a, b] = [points[i], points[j]];
    if (a.y > 0 !== b.y > 0 && (b.x - a.x) * (-a.y / (b.y - a.y)) + a.x > 0) inside = !inside;
  }
  return inside;
}

const nearestTo = (points: Polygon): number =>
  Math.sqrt(
    Math.min(
      ...points.map((p, i) => {
        const q = points[(i + 1) % points.length];
        return squareToEdge(0, 0, p.x, p.y, q.x, q.y);
      }),
    ),
  );

/** Points nearer than this, mm, to the line between their neighbours make no corner: such as noise puts there. */
const corner = 1e-6;

/** A convex polygon by its true corners alone. */
function cornersOf(points: Polygon): Point[] {
  const kept: Point[] = [];
  points.forEach((p, i) => {
    const [before, next] = [kept[kept.length - 1] ?? points[points.length - 1], points[(i + 1) % points.length]];
    const [dx, dy] = [next.x - before.x, next.y - before.y];
    const off = Math.abs((p.x - before.x) * dy - (p.y - before.y) * dx) / (Math.hypot(dx, dy) || 1);
    if (off >= corner) kept.push(p);
  });
  return kept;
}

/** From a disc to what is covered, mm; negative where the disc reaches into it. */
export function gapTo(cover: Cover, { x, y }: Point, radius: number): number {
  if (cover.kind === 'polygon') return distanceTo(cover.points, x, y) - radius;
  const away = Math.hypot(x - cover.at.x, y - cover.at.y);
  return Math.max(away - cover.outer, cover.inner - away) - radius;
}

/** A convex polygon, and all that lies no farther from it than `by`. */
export function grown(points: Polygon, by: number): Loop {
  if (!(by > 0)) return points.map(({ x, y }) => ({ x, y, bulge: 0 }));
  const count = points.length;
  const out = points.map(({ x, y }, i) => {
    const next = points[(i + 1) % count];
    return Math.atan2(x - next.x, next.y - y);
  });
  return points.flatMap(({ x, y }, i): Vertex[] => {
    const [before, after] = [out[(i + count - 1) % count], out[i]];
    const turned = (((after - before) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
    const [first, last] = [polar(by, before), polar(by, after)];
    if (turned < 1e-9) return [{ x: x + last.x, y: y + last.y, bulge: 0 }];
    return [
      { x: x + first.x, y: y + first.y, bulge: Math.tan(turned / 4) },
      { x: x + last.x, y: y + last.y, bulge: 0 },
    ];
  });
}

/** A cover grown by a clearance, as a convex polygon round it. */
export function roundIt(cover: Cover, by: number): Polygon {
  if (cover.kind === 'polygon') return hull(flattened(grown(cover.points, by), sag));
  const sides = 64;
  const radius = (cover.outer + by) / Math.cos(Math.PI / sides);
  return Array.from({ length: sides }, (_, i) => {
    const { x, y } = polar(radius, (2 * Math.PI * i) / sides);
    return { x: cover.at.x + x, y: cover.at.y + y };
  });
}

// ---- rectangles ---------------------------------------------------------------------------------------

/** Its corners, counter-clockwise. */
export const cornersOfRect = ({ left, right, bottom, top }: Box): Point[] => [
  { x: left, y: bottom },
  { x: right, y: bottom },
  { x: right, y: top },
  { x: left, y: top },
];

/** The same, its sides by so much farther out. */
export const widened = ({ left, right, bottom, top }: Box, by: number): Box => ({
  left: left - by,
  right: right + by,
  bottom: bottom - by,
  top: top + by,
});

/** Whether they have more in common than their edges. */
export function meets(rect: Box, cover: Cover): boolean {
  if (cover.kind === 'ring') {
    const { at, inner, outer } = cover;
    const near = Math.hypot(
      Math.max(rect.left - at.x, 0, at.x - rect.right),
      Math.max(rect.bottom - at.y, 0, at.y - rect.top),
    );
    const far = Math.hypot(
      Math.max(Math.abs(rect.left - at.x), Math.abs(rect.right - at.x)),
      Math.max(Math.abs(rect.bottom - at.y), Math.abs(rect.top - at.y)),
    );
    return near < outer - 1e-6 && far > inner + 1e-6;
  }
  return meetsPolygon(rect, cover.points);
}

export function meetsPolygon(rect: Box, points: Polygon): boolean {
  const isBeside =
    points.every(({ x }) => x <= rect.left + 1e-6) ||
    points.every(({ x }) => x >= rect.right - 1e-6) ||
    points.every(({ y }) => y <= rect.bottom + 1e-6) ||
    points.every(({ y }) => y >= rect.top - 1e-6);
  return !isBeside && common(points, cornersOfRect(rect)).length > 2;
}

/** From where to where a convex polygon lies in a strip along x. */
export function spanIn(points: Polygon, low: number, high: number): Depth | undefined {
  const above = leftOf(points, { x: 0, y: low }, { x: 1, y: low });
  const within = leftOf(above, { x: 1, y: high }, { x: 0, y: high });
  if (within.length < 3 || area(within) < 1e-6) return undefined;
  const xs = within.map(({ x }) => x);
  return { from: Math.min(...xs), to: Math.max(...xs) };
}

/** What of a stretch is left without others. */
export function free(whole: Depth, taken: readonly Depth[]): Depth[] {
  return taken.reduce<Depth[]>(
    (left, { from, to }) =>
      left.flatMap((span) => {
        if (to <= span.from || from >= span.to) return [span];
        return [
          ...(from > span.from ? [{ from: span.from, to: from }] : []),
          ...(to < span.to ? [{ from: to, to: span.to }] : []),
        ];
      }),
    [whole],
  );
}
