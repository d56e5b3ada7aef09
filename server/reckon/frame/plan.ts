/**
 * How a frame is laid out: a face plate with slots and guides for the bars, a back plate, bearings in both, posts for
 * bands, and pillars with screws at the corners. Whatever moves keeps the process's clearance from all of it, over a
 * whole turn and on its way in, which is from the back; what finds no room is left out, and told.
 */
import type { Frame, Mechanism, Place, Point, Segment } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { behindOn } from '../parts/behind.ts';
import { boreRadius } from '../parts/bore.ts';
import type { Blank } from '../parts/engraving.ts';
import { type Box, flattened } from '../parts/loop.ts';
import type { Loop } from '../parts/part.ts';
import type { Journals } from '../parts/shaft.ts';
import { boxOf, type Polygon } from '../shape/convex.ts';
import { positive } from '../shape/followers.ts';
import { shaftLoop } from '../shape/keys.ts';
import { motionOf } from '../shape/movers.ts';
import { guideOf, slideOf, widthOf } from '../shape/posts.ts';
import type { Depth, StackFigure } from '../shape/stack.ts';
import { facePlateAt } from './depths.ts';
import { type Pawls, pawlsIn } from './pawls.ts';
import { type Rail, railsOf } from './rails.ts';
import {
  armMovers,
  type BarPiece,
  barPieces,
  type Cover,
  free,
  gapTo,
  grown,
  type Mover,
  roundIt,
  shaftMovers,
  spanIn,
  turning,
  widened,
} from './room.ts';
import { type SpringMount, type SpringMounts, type Stand, springMountsOf } from './spring-mounts.ts';

export type Plate = 'face plate' | 'back plate';

/** Where a shaft's journal turns in a plate; z from the face, positive towards the reader. */
export interface Bore extends Depth {
  readonly plate: Plate;
  /** What stands out from the plate round it, to keep the shaft's parts in their place. */
  readonly boss?: Depth;
}

export interface Bearing {
  readonly shaft: string;
  readonly at: Point;
  /** Radius of the bore and of the boss. */
  readonly radius: number;
  readonly round: number;
  readonly bores: readonly Bore[];
  readonly journals: Journals;
}

/** One of the walls between which a stem slides; it hangs on the face plate. */
export interface Wall {
  readonly segment: string;
  readonly outline: Polygon;
  /** Its lower end. */
  readonly from: number;
}

/** A post for a band. */
export interface Pin extends Depth {
  readonly post: string;
  readonly at: Point;
  readonly radius: number;
  readonly plate: Plate;
}

/** What a screw has in its way, and how far it should stand off. */
export interface ScrewClash {
  readonly at: Point;
  readonly place: Place;
  readonly with: string;
  /** Between the pillar round it and what is in its way, mm; less than the clearance, negative where they meet. */
  readonly gap: number;
  /** The nearest place where it has room. */
  readonly better?: Point;
}

export interface ScrewFit {
  readonly length: number;
  /** How deep it goes into the pillar, mm. */
  readonly holds: number;
}

export interface FramePlan {
  readonly frame: Frame;
  readonly clearance: number;
  readonly face: Depth;
  readonly back: Depth;
  /** Before the bars, where some segment has a window. */
  readonly window?: Depth;
  readonly box: Box;
  readonly bearings: readonly Bearing[];
  readonly slots: readonly Loop[];
  /** Of the window plate. */
  readonly windows: readonly Loop[];
  readonly walls: readonly Wall[];
  readonly pins: readonly Pin[];
  /** Where springs end, and what stands on a plate for them. */
  readonly springs: readonly SpringMount[];
  readonly stands: readonly Stand[];
  /** What guides each button. */
  readonly rails: readonly Rail[];
  readonly pawls: Pawls;
  readonly screws: readonly Point[];
  /** Radius of a pillar, and that of the seat of a head at its surface. */
  readonly pillar: number;
  readonly seat: number;
  /** Depth of that seat. */
  readonly seatDepth: number;
  /** Screws into a pillar from its front and its back; absent where none is of a length that does. */
  readonly front?: ScrewFit;
  readonly behind?: ScrewFit;
  // what finds no room
  readonly clashes: readonly ScrewClash[];
  /** Bars that do not pass their slot on their way in, and the shaft whose bearing is in the way. */
  readonly wide: readonly { readonly bar: string; readonly shaft: string }[];
  /** Posts that stand on neither plate, and what is in their way. */
  readonly unheld: readonly { readonly post: string; readonly by: string }[];
  /** Springs that find no place, and why. */
  readonly unsprung: SpringMounts['unsprung'];
  /** How much of the length of its guide a bar is left, mm. */
  readonly guides: readonly { readonly segment: string; readonly left: number; readonly stated: number }[];
}

/** Lengths that follow from no other are in whole ones of these, mm. */
const grid = 0.5;
/** A frame round more than this, mm, is laid out for nothing but a slip of the finger. */
export const largest = 1000;
/** Corners are tried this far out at most, mm. */
const farthest = 40;
/** A shaft that nothing pushes stands out so many of its bearings behind the frame, to be turned by. */
const graspInBearings = 1;
/** So deep a screw goes into a pillar that it cuts its thread in, in its diameters, and into one that is short: common practice. */
const holdsInDiameters = [2, 1.25];

/** What a frame would have to go round that is not laid out, mm, and what of it reaches farthest from the middle. */
export interface Oversize {
  readonly width: number;
  readonly height: number;
  readonly by: string;
}

/** `blanks` are all parts but the shafts and the frame itself. Undefined where no frame is said. */
export function framePlan(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  blanks: readonly Blank[],
  sprung?: SpringMounts,
): FramePlan | Oversize | undefined {
  const { frame } = m;
  const face = facePlateAt(m);
  if (!frame || !face) return undefined;
  const clearance = frame.process.clearance.value;
  const { wall, layer, undersize } = frame.process;
  const plate = frame.thickness.value;

  const keyed = keyedLengths(m, stack);
  const arms = armMovers(m, figures, stack);
  const rings = [...turning(m, figures, blanks), ...shaftMovers(m, keyed), ...arms, ...(sprung?.coils ?? [])];
  const bars = blanks.filter(({ kind }) => kind === 'bar');
  const pieces = barPieces(m, figures, bars, clearance);
  const lowest = Math.min(0, ...rings.map(({ from }) => from), ...pieces.map(({ from }) => from));
  const back: Depth = { from: lowest - clearance - plate, to: lowest - clearance };

  // Bars pass the face plate in slots; what of them is wider before it needs its way in.
  const crossing = pieces.filter(({ from, to }) => from < face.to - almost && to > face.from + almost);
  const before = pieces.filter(
    (piece) => piece.from >= face.to - almost && !crossing.some((one) => covers(one, piece)),
  );
  const behind = pieces.filter(({ to }) => to <= face.from + almost);
  const room: Room = {
    m,
    clearance,
    face,
    back,
    rings,
    through: [...crossing, ...behind],
    floor: Math.max(wall.value, 2 * layer.value),
    wall: wall.value,
  };
  const bearings = m.shafts.flatMap((shaft) => bearingOf(room, shaft.name, keyed.get(shaft.name), pushedIn(m)) ?? []);
  const held = bearings.flatMap((bearing) => {
    const bore = bearing.bores.find((one) => one.plate === 'face plate');
    return bore ? [{ ...bearing, reach: bearing.radius + wall.value }] : [];
  });
  const way = (piece: BarPiece) => piece.fit + clearance;
  const tooWide = before.flatMap((piece) => {
    const met = held.find(({ at, reach }) => gapTo({ kind: 'polygon', points: piece.home }, at, reach) < way(piece));
    return met ? [{ piece, bar: piece.name, shaft: met.shaft }] : [];
  });
  const waysIn = before.filter((piece) => !tooWide.some((one) => one.piece === piece));
  const barred = [
    ...room.through.map(({ name, swept, fit, from, to }) => ({
      name,
      points: roundIt({ kind: 'polygon', points: swept }, fit),
      from,
      to,
    })),
    ...waysIn.map((piece) => ({
      name: piece.name,
      points: roundIt({ kind: 'polygon', points: piece.home }, way(piece)),
      from: piece.from,
      to: piece.to,
    })),
    ...rings.map(({ name, cover, from, to }) => ({ name, points: roundIt(cover, clearance), from, to })),
  ];
  const guides = guidesOf(m, figures, stack, barred);
  const walls = guides.flatMap((guide) => guide.walls);
  const { pins, unheld } = pinsOf(room, stack);

  const { diameter, pitch, headDiameter, hole } = frame.screws.value;
  const pilot = (diameter - pitch + undersize.value) / 2;
  const pillar = Math.max(1.25 * diameter, pilot + 3 * wall.value);
  const stands = sprung?.stands ?? [];
  const rails = railsOf(blanks, barred, bearings, { clearance, wall: wall.value, back, face });

  const pawls = pawlsIn(m, figures, stack, back, { radius: pillar, pilot }, [
    ...rings,
    ...room.through.map(({ name, from, to, swept }) => ({ name, from, to, cover: polygonOf(swept) })),
    ...bearings.map(({ shaft, at, round }) => ({ ...throughout, name: shaft, cover: discAt(at, round) })),
    ...walls.map(({ segment, outline, from }) => ({ name: segment, from, to: face.from, cover: polygonOf(outline) })),
    ...pins.map(({ post, at, radius, ...depth }) => ({ ...depth, name: post, cover: discAt(at, radius) })),
    ...stands.flatMap(({ pieces: own }) =>
      own.map(({ loop }) => ({ ...throughout, name: '', cover: polygonOf(flattened(loop, 0.01)) })),
    ),
    ...rails.flatMap(({ beside }) => beside.map((cover) => ({ ...throughout, name: '', cover }))),
    ...frame.at.map(({ value }) => ({ ...throughout, name: '', cover: discAt(value, pillar) })),
  ]);

  const fixed: Cover[] = [
    ...pawls.covers.map(({ cover }) => cover),
    ...stands.flatMap(({ pieces: own }) =>
      own.map(({ loop }): Cover => ({ kind: 'polygon', points: flattened(loop, 0.01) })),
    ),
    ...bearings.map(({ at, round }): Cover => ({ kind: 'ring', at, inner: 0, outer: round })),
    ...walls.map(({ outline }): Cover => ({ kind: 'polygon', points: outline })),
    ...pins.map(({ at, radius }): Cover => ({ kind: 'ring', at, inner: 0, outer: radius })),
  ];
  const moving: Named[] = [
    ...rings,
    ...pieces.map(({ name, swept }): Named => ({ name, cover: { kind: 'polygon', points: swept } })),
  ];

  const seat = headDiameter / 2 + clearance;
  const seatDepth = seat - hole / 2;
  const rim = Math.max(pillar, seat + wall.value);
  const inner = boxRound([...fixed, ...moving.filter(({ beyond }) => !beyond).map(({ cover }) => cover)]);
  const [wide, high] = [inner.right - inner.left, inner.top - inner.bottom];
  if (Math.max(wide, high) > largest) return { width: wide, height: high, by: farthestOf(moving) };
  const obstacles: Named[] = [
    ...moving,
    ...[...fixed, ...rails.flatMap(({ beside }) => beside)].map((cover) => ({ name: 'the frame itself', cover })),
  ];
  // Pillars keep clear of what moves; seats of heads have a wall to the slots round it.
  const reach = Math.max(pillar + clearance, seat + wall.value + 2 * clearance);
  const { screws, box } = screwsOf(frame, inner, rim, reach, obstacles);

  const window = windowPlate(m, pieces, clearance, plate);
  const height = face.from - back.to;
  const head = window ? window.to - face.from : plate;
  return {
    frame,
    clearance,
    face,
    back,
    ...(window && { window }),
    box,
    bearings,
    slots: [
      ...crossing.map(({ swept, fit }) => grown(swept, fit)),
      ...waysIn.map((piece) => grown(piece.home, way(piece))),
    ],
    windows: window ? windowsOf(m, pieces, clearance) : [],
    walls,
    pins,
    springs: sprung?.mounts ?? [],
    stands,
    pawls,
    rails: rails.map((rail) =>
      rail.within(
        box,
        screws.map((at): Cover => ({ kind: 'ring', at, inner: 0, outer: pillar + clearance })),
      ),
    ),
    screws,
    pillar,
    seat,
    seatDepth,
    ...screwFits(frame, height, head, plate),
    clashes: frame.at.flatMap(({ value, place }) => clashAt(value, place, obstacles, pillar, clearance)),
    wide: tooWide.map(({ bar, shaft }) => ({ bar, shaft })),
    unheld,
    unsprung: sprung?.unsprung ?? [],
    guides: guides.map(({ segment, left, stated }) => ({ segment, left, stated })),
  };
}

/** The name of what reaches farthest from the middle of all. */
function farthestOf(moving: readonly Named[]): string {
  const boxes = moving.map(({ name, cover }) => ({ name, points: roundIt(cover, 0) }));
  const all = boxes.flatMap(({ points }) => points);
  const middle = {
    x: all.reduce((sum, { x }) => sum + x / all.length, 0),
    y: all.reduce((sum, { y }) => sum + y / all.length, 0),
  };
  const reach = (points: Polygon) => Math.max(...points.map(({ x, y }) => Math.hypot(x - middle.x, y - middle.y)));
  return boxes.reduce((most, one) => (reach(one.points) > reach(most.points) ? one : most)).name;
}

/** Where its springs find room, before there is a frame round them. */
export function springsIn(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  blanks: readonly Blank[],
): SpringMounts | undefined {
  const face = facePlateAt(m);
  if (!m.frame || !face) return undefined;
  const keyed = keyedLengths(m, stack);
  const rings = [...turning(m, figures, blanks), ...shaftMovers(m, keyed), ...armMovers(m, figures, stack)];
  const shafts = m.shafts.flatMap(({ at, name, bearing }) => {
    const diameter = positive(bearing);
    return at && diameter !== undefined
      ? [{ at: at.value, round: roundOf(m, name, diameter / 2, m.frame!.process.wall.value) }]
      : [];
  });
  return springMountsOf(m, figures, blanks, face.from, rings, guideWays(m, figures, stack, face.from), shafts);
}

const almost = 1e-6;
const throughout: Depth = { from: -Infinity, to: Infinity };
const polygonOf = (points: Polygon): Cover => ({ kind: 'polygon', points });
const discAt = (at: Point, outer: number): Cover => ({ kind: 'ring', at, inner: 0, outer });

interface Named {
  readonly name: string;
  readonly cover: Cover;
  readonly beyond?: true;
}

interface Room {
  readonly m: Mechanism;
  readonly clearance: number;
  readonly face: Depth;
  readonly back: Depth;
  readonly rings: readonly Mover[];
  /** Pieces of bars in the slots and behind the face plate. */
  readonly through: readonly BarPiece[];
  /** What closes a bore. */
  readonly floor: number;
  readonly wall: number;
}

/** Whether a piece of a bar passes where another piece of the same bar does. */
const covers = (one: BarPiece, piece: BarPiece): boolean =>
  one.name === piece.name &&
  piece.home.every(({ x, y }) => gapTo({ kind: 'polygon', points: one.swept }, { x, y }, 0) < almost);

/** The keyed length of every shaft, in depths from the face. */
const keyedLengths = (m: Mechanism, stack: StackFigure): ReadonlyMap<string, Depth> =>
  new Map(
    m.shafts.flatMap(({ name }): [string, Depth][] => {
      const own = stack.parts.find((part) => part.kind === 'shaft' && part.name === name);
      return own ? [[name, { from: own.from, to: behindOn(m, stack, name).to }]] : [];
    }),
  );

const pushedIn = (m: Mechanism): boolean => m.pushes.length > 0;

// ---- bearings ---------------------------------------------------------------------------------------

/** Radius of what stands round a bearing: two walls round its bore, and as wide as what turns before it. */
function roundOf(m: Mechanism, name: string, journal: number, wall: number): number {
  const shaft = m.shafts.find((one) => one.name === name)!;
  const key = m.keys.find((one) => one.name === shaft.key?.name);
  const section = key && shaftLoop(key);
  const core = section && !('because' in section) ? boreRadius(section) : journal;
  return Math.max(core, journal + shaft.bearingClearance.value) + 2 * wall;
}

function bearingOf(room: Room, name: string, keyed: Depth | undefined, pushed: boolean): Bearing | undefined {
  const { m, clearance, face, back, floor, wall } = room;
  const shaft = m.shafts.find((one) => one.name === name)!;
  const bearing = positive(shaft.bearing);
  if (!shaft.at || !keyed || bearing === undefined) return undefined;
  const at = shaft.at.value;
  const key = m.keys.find((one) => one.name === shaft.key?.name);
  const radius = bearing / 2 + shaft.bearingClearance.value;
  const round = roundOf(m, name, bearing / 2, wall);
  const [top, bottom] = [-keyed.from, -keyed.to];
  const leads = !pushed && (shaft.leads !== undefined || m.ratchets.some((one) => one.shaft?.name === name));

  // Whether a column about the shaft is free: of all that goes past it from the back, or of all that lies behind it.
  const isFree = (column: number, relevant: (depth: Depth) => boolean): boolean =>
    room.rings.every((one) => !relevant(one) || gapTo(one.cover, at, column) >= clearance - almost) &&
    room.through.every(
      (one) => !relevant(one) || gapTo({ kind: 'polygon', points: one.swept }, at, column) >= one.fit - almost,
    );
  const inFront = (column: number) => isFree(column, ({ to }) => to + clearance > top + clearance + almost);
  const inBack = (column: number) => isFree(column, ({ from }) => from - clearance < bottom - clearance - almost);
  const bores: Bore[] = [];
  const plain = radius + wall;
  const stands = top < -almost;
  const through = leads && key !== undefined;
  const from = through ? back.from : back.from + floor;
  const to = face.to - floor;
  const frontBoss = stands && inFront(round);
  if (frontBoss || inFront(plain)) {
    bores.push({
      plate: 'face plate',
      from: frontBoss ? top + clearance : face.from,
      to,
      ...(frontBoss && { boss: { from: top + clearance, to: face.from } }),
    });
  }
  const backBoss = bottom - clearance > back.to + almost && inBack(round);
  if (backBoss || inBack(plain)) {
    bores.push({
      plate: 'back plate',
      from,
      to: backBoss ? bottom - clearance : back.to,
      ...(backBoss && { boss: { from: back.to, to: bottom - clearance } }),
    });
  }
  const has = (plate: Plate) => bores.some((bore) => bore.plate === plate);
  const end = through ? back.from - graspInBearings * bearing : from + clearance;
  return {
    shaft: name,
    at,
    radius,
    round,
    bores,
    journals: {
      front: has('face plate') ? to - clearance - top : 0,
      back: has('back plate') ? bottom - end : 0,
      partsGoOnFrom: 'back',
    },
  };
}

// ---- guides -----------------------------------------------------------------------------------------

/** What the guides of all stems may cover, on the face. */
const guideWays = (m: Mechanism, figures: MotionFigures, stack: StackFigure, to: number): Mover[] =>
  guidewaysOf(m, figures, stack).flatMap(({ segment, along, inner, thick, stem, there }) =>
    [inner, -inner - thick].map((low) => ({
      name: segment.name,
      from: -stem.to,
      to,
      cover: polygonOf(wallAt(along, low, low + thick).map(there)),
    })),
  );

const wallAt = ({ from, to }: Depth, low: number, high: number): Point[] => [
  { x: from, y: low },
  { x: to, y: low },
  { x: to, y: high },
  { x: from, y: high },
];

interface Barred extends Depth {
  readonly name: string;
  readonly points: Polygon;
}

interface Guide {
  readonly segment: string;
  readonly walls: readonly Wall[];
  readonly left: number;
  readonly stated: number;
}

/** Shorter pieces of a wall are left out, in its thickness. */
const shortest = 1;

/** Where a stem slides, and how far its walls stand off and how thick they are. */
interface Guideway {
  readonly segment: Segment;
  readonly along: Depth;
  readonly inner: number;
  readonly thick: number;
  readonly stem: Depth;
  /** From the face to the frame of the slide, and back. */
  readonly here: (p: Point) => Point;
  readonly there: (p: Point) => Point;
}

const guidewaysOf = (m: Mechanism, figures: MotionFigures, stack: StackFigure): Guideway[] =>
  stack.followers.flatMap(({ segment: name, cam, stem }): Guideway[] => {
    const segment = m.segments.find((one) => one.name === name);
    const figure = figures.cams.find((one) => one.name === cam);
    if (!segment || !figure || figure.segments[0] !== name) return [];
    const motion = motionOf(m, figures, segment);
    if ('because' in motion) return [];
    const slide = slideOf(m, figure.shaft, segment, motion, m.cams.find((one) => one.name === cam)?.base?.value);
    const along = guideOf(segment);
    if ('because' in slide || !along) return [];
    const { tip, along: ahead } = slide;
    return [
      {
        segment,
        along,
        inner: widthOf(segment, figure) / 2 + segment.fit.value,
        thick: 2 * segment.process.wall.value,
        stem,
        here: ({ x, y }) => ({
          x: (x - tip.x) * ahead.x + (y - tip.y) * ahead.y,
          y: (y - tip.y) * ahead.x - (x - tip.x) * ahead.y,
        }),
        there: ({ x, y }) => ({
          x: tip.x + x * ahead.x - y * ahead.y,
          y: tip.y + x * ahead.y + y * ahead.x,
        }),
      },
    ];
  });

/** On both sides of every stem a wall, two of the process's thick, less what passes there. */
function guidesOf(m: Mechanism, figures: MotionFigures, stack: StackFigure, barred: readonly Barred[]): Guide[] {
  return guidewaysOf(m, figures, stack).map(({ segment, along, inner, thick, stem, here, there }): Guide => {
    const { name } = segment;
    const from = -stem.to;
    const passing = barred
      .filter((one) => one.to > from + almost)
      .map((one) => ({ ...one, points: one.points.map(here) }));
    const sides = [
      [inner, inner + thick],
      [-inner - thick, -inner],
    ] as const;
    const spansOf = (by: readonly Barred[]) =>
      sides.map(([low, high]) =>
        free(
          along,
          by.flatMap(({ points }) => spanIn(points, low, high) ?? []),
        ),
      );
    const spans = spansOf(passing).map((side) => side.filter((span) => span.to - span.from >= shortest * thick));
    const walls = spans.flatMap((side, i) =>
      side.map((span): Wall => {
        const [low, high] = sides[i];
        return { segment: name, outline: wallAt(span, low, high).map(there), from };
      }),
    );
    const long = (side: readonly Depth[]) => side.reduce((sum, span) => sum + span.to - span.from, 0);
    // Its own slot guides a bar as well: only others take of its guide.
    const left = spansOf(passing.filter((one) => one.name !== name)).map(long);
    return { segment: name, walls, left: Math.min(...left), stated: along.to - along.from };
  });
}

// ---- posts for bands --------------------------------------------------------------------------------

function pinsOf(room: Room, { followers }: StackFigure): Pick<FramePlan, 'pins' | 'unheld'> {
  const { m, clearance, face, back } = room;
  const pins: Pin[] = [];
  const unheld: FramePlan['unheld'][number][] = [];
  for (const { name, at, radius } of m.posts) {
    const band = m.bands.find(({ around }) => around.some((anchor) => anchor.name === name));
    if (!at || !radius || !band) continue;
    const pulled = followers.filter(({ segment }) => band.around.some((anchor) => anchor.name === segment));
    const deepest = Math.max(0, ...pulled.map((one) => one.stem.to));
    const end = -deepest - (band.section?.value.height ?? 0) - 2 * clearance;
    const met = (relevant: (depth: Depth) => boolean): string | undefined =>
      room.rings.find((one) => relevant(one) && gapTo(one.cover, at.value, radius.value) < clearance - almost)?.name ??
      room.through.find(
        (one) =>
          relevant(one) && gapTo({ kind: 'polygon', points: one.swept }, at.value, radius.value) < clearance - almost,
      )?.name;
    const pin = { post: name, at: at.value, radius: radius.value };
    const fromFace = met(({ to }) => to > end);
    const fromBack = fromFace === undefined ? undefined : met(({ from }) => from < -deepest);
    if (fromFace === undefined) pins.push({ ...pin, plate: 'face plate', from: Math.max(end, back.to), to: face.from });
    else if (fromBack === undefined) pins.push({ ...pin, plate: 'back plate', from: back.to, to: -deepest });
    else unheld.push({ post: name, by: fromFace });
  }
  return { pins, unheld };
}

// ---- windows ----------------------------------------------------------------------------------------

function windowPlate(
  { segments }: Mechanism,
  pieces: readonly BarPiece[],
  clearance: number,
  thickness: number,
): Depth | undefined {
  if (!segments.some(({ window }) => window) || pieces.length === 0) return undefined;
  const from = Math.max(...pieces.map(({ to }) => to)) + clearance;
  return { from, to: from + thickness };
}

/** The windows; where a segment has none, all that its bar covers. */
function windowsOf({ segments, cams }: Mechanism, pieces: readonly BarPiece[], clearance: number): Loop[] {
  const top = Math.max(...pieces.map(({ to }) => to));
  const stated = segments.flatMap(({ window }) => {
    if (!window) return [];
    const { at, width, height } = window.value;
    const [w, h] = [width / 2, height / 2];
    return [
      [
        { x: at.x - w, y: at.y - h, bulge: 0 },
        { x: at.x + w, y: at.y - h, bulge: 0 },
        { x: at.x + w, y: at.y + h, bulge: 0 },
        { x: at.x - w, y: at.y + h, bulge: 0 },
      ],
    ];
  });
  const open = cams.flatMap((cam) => {
    const own = cam.segments.map(({ name }) => segments.find((one) => one.name === name));
    const [first] = own;
    if (!first || own.some((segment) => segment?.window)) return [];
    return pieces
      .filter(({ name, to }) => name === first.name && to >= top - almost)
      .map(({ swept }) => grown(swept, clearance));
  });
  return [...stated, ...open];
}

// ---- screws -----------------------------------------------------------------------------------------

const up = (value: number): number => Math.ceil(value / grid - 1e-9) * grid;
const down = (value: number): number => Math.floor(value / grid + 1e-9) * grid;

function boxRound(covers: readonly Cover[]): Box {
  const found = boxOf(covers.flatMap((cover) => roundIt(cover, 0)));
  const { left, right, bottom, top } = found ?? { left: 0, right: 0, bottom: 0, top: 0 };
  return { left: down(left), right: up(right), bottom: down(bottom), top: up(top) };
}

/** As stated; else at the four corners, as near as nothing comes in their way; and the box of the plates round them. */
function screwsOf(
  frame: Frame,
  inner: Box,
  rim: number,
  reach: number,
  obstacles: readonly Named[],
): { readonly screws: readonly Point[]; readonly box: Box } {
  const around = widened(inner, frame.margin.value);
  if (frame.at.length > 0) {
    const screws = frame.at.map(({ value }) => value);
    const box = {
      left: Math.min(around.left, ...screws.map(({ x }) => down(x - rim))),
      right: Math.max(around.right, ...screws.map(({ x }) => up(x + rim))),
      bottom: Math.min(around.bottom, ...screws.map(({ y }) => down(y - rim))),
      top: Math.max(around.top, ...screws.map(({ y }) => up(y + rim))),
    };
    return { screws, box };
  }
  for (let out = 0; out <= farthest; out += grid) {
    const box = widened(around, out);
    const { left, right, bottom, top } = widened(box, -rim);
    const screws = [right, left].flatMap((x) => [top, bottom].map((y) => ({ x, y })));
    if (screws.every((at) => obstacles.every(({ cover }) => gapTo(cover, at, reach) >= -almost)))
      return { screws, box };
  }
  return { screws: [], box: around };
}

/** What a stated screw has in its way, and the nearest place where it has nothing. */
function clashAt(
  at: Point,
  place: Place,
  obstacles: readonly Named[],
  pillar: number,
  clearance: number,
): ScrewClash[] {
  const nearestTo = (p: Point) =>
    obstacles
      .map(({ name, cover }) => ({ with: name, gap: gapTo(cover, p, pillar) }))
      .reduce((least, one) => (one.gap < least.gap ? one : least), { with: '', gap: Infinity });
  const met = nearestTo(at);
  if (met.gap >= clearance - almost) return [];
  const better = around(at).find((p) => obstacles.every(({ cover }) => gapTo(cover, p, pillar) >= clearance));
  return [{ at, place, ...met, ...(better && { better }) }];
}

/** Places round another, a millimetre apart, the nearest first. */
function around({ x, y }: Point): Point[] {
  const [cx, cy] = [Math.round(x / grid) * grid, Math.round(y / grid) * grid];
  const far = farthest / 2;
  const steps = Array.from({ length: 2 * far + 1 }, (_, i) => i - far);
  return steps
    .flatMap((i) => steps.map((j) => ({ x: cx + i, y: cy + j })))
    .sort((a, b) => Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y));
}

/** Screws that hold in the pillars from both ends, without meeting there. */
function screwFits(frame: Frame, height: number, front: number, back: number): Pick<FramePlan, 'front' | 'behind'> {
  const { diameter, lengths, pitch } = frame.screws.value;
  const held = (through: number, least: number): ScrewFit | undefined => {
    const length = lengths.find((one) => one - through >= least * diameter - almost);
    return length === undefined ? undefined : { length, holds: length - through };
  };
  for (const least of holdsInDiameters) {
    const [one, other] = [held(front, least), held(back, least)];
    if (one && other && one.holds + other.holds + pitch <= height + almost) return { front: one, behind: other };
  }
  return {};
}
