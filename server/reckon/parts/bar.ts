/**
 * A bar with all that moves with it: nose and stem in the plane of its cam, posts from there to the face, the bars
 * before the face, pegs for a band.
 */
import type { Bar, Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, MotionFigures } from '../figures.ts';
import { frontOf } from '../frame/depths.ts';
import { barOutline, faceCentre, sized } from '../shape/bars.ts';
import type { UnreckonedPart } from '../shape/bodies.ts';
import { distanceTo, nearest, type Polygon } from '../shape/convex.ts';
import type { Unreckoned } from '../shape/keys.ts';
import { motionOf } from '../shape/movers.ts';
import { postOutline, type Slide, slideOf, stemEnd, widthOf } from '../shape/posts.ts';
import type { Depth, StackFigure } from '../shape/stack.ts';
import type { Blank } from './engraving.ts';
import { type Piece, slabsOf } from './joining.ts';
import { areaOf, circle, flattened, placed, polar, polygon, region } from './loop.ts';
import type { Loop } from './part.ts';

/** Where the bars of every plane lie before the face, the planes from the face to the reader. */
interface Planes {
  readonly planes: readonly number[];
  readonly thickness: number;
  readonly clearance: number;
}

const known = new WeakMap<Mechanism, Planes>();

/** A bar is as thick as the cam that moves it; all are laid out for the thickest. */
function planesOf(m: Mechanism): Planes {
  const bars = m.segments.flatMap((segment) => (segment.bar ? [{ ...segment, bar: segment.bar }] : []));
  const moved = new Set(bars.map(({ name }) => name));
  const driving = m.cams.filter(({ segments }) => segments.some(({ name }) => moved.has(name)));
  return {
    planes: [...new Set(bars.map(({ bar }) => bar.value.plane))].sort((a, b) => b - a),
    thickness: Math.max(0, ...driving.map((cam) => cam.thickness.value)),
    clearance: Math.max(0, ...bars.map(({ process }) => process.clearance.value)),
  };
}

/** Where the bars of a plane lie before the face; planes count from the reader backwards. */
function planeOf(m: Mechanism, plane: number): Depth {
  const laid = known.get(m) ?? planesOf(m);
  known.set(m, laid);
  const { planes, thickness, clearance } = laid;
  const from = frontOf(m) + clearance + Math.max(0, planes.indexOf(plane)) * (thickness + clearance);
  return { from, to: from + thickness };
}

/** The bars that a cam drives, as one piece with the first one's name; why what of them is not made. */
export function barPart(
  m: Mechanism,
  figures: MotionFigures,
  stack: StackFigure,
  figure: CamFigure,
): { readonly made: Blank | Unreckoned; readonly missing: readonly UnreckonedPart[] } {
  const missing: UnreckonedPart[] = [];
  const segments = figure.segments.flatMap((name) => m.segments.find((one) => one.name === name) ?? []);
  const [first] = segments;
  const not = (because: string) => ({ made: { because }, missing });
  const stacked = stack.followers.find(({ segment }) => segment === first?.name);
  if (!first || !stacked) return not(`the cam of ${first?.name ?? figure.name} has no shaft, level or thickness`);
  const motion = motionOf(m, figures, first);
  if ('because' in motion) return not(motion.because);
  const { clearance } = first.process;
  const plane: Depth = { from: -stacked.stem.to + clearance.value, to: -stacked.stem.from - clearance.value };
  if (!(plane.to > plane.from)) return not(`the cam of ${first.name} is too thin for a stem with its clearance`);

  const base = m.cams.find((one) => one.name === figure.name)?.base?.value;
  const slide = slideOf(m, figure.shaft, first, motion, base);
  const pivoted = first.follower.value.kind === 'pivoted';
  if ('because' in slide && !pivoted) return not(slide.because);
  if (pivoted) missing.push({ of: first.name, because: whyNoArm(first) });
  const tip = 'because' in slide ? (first.bar?.value.at ?? { x: 0, y: 0 }) : slide.tip;
  const azimuth = Math.atan2(motion.along.y, motion.along.x);
  /** From the face to the frame of the slide. */
  const here = ({ x, y }: Point): Point => {
    const [dx, dy] = [x - tip.x, y - tip.y];
    return { x: dx * motion.along.x + dy * motion.along.y, y: dy * motion.along.x - dx * motion.along.y };
  };

  const width = widthOf(first, figure);
  const pieces: Piece[] = [];
  /** Posts slide on nothing behind them. */
  let room: Polygon | undefined;
  const stem = 'because' in slide ? undefined : stemOf(first, width, slide);
  if (stem) pieces.push({ ...plane, loop: stem.loop });
  const centre = faceCentre(m.segments.flatMap(({ bar }) => bar?.value ?? []));
  for (const segment of segments) {
    const bar = segment.bar?.value;
    if (!bar || !sized(bar)) {
      missing.push({ of: segment.name, because: `${segment.name} does not say its bar` });
      continue;
    }
    const outline = barOutline(bar, centre).map(here);
    const front = planeOf(m, bar.plane);
    const post = postOf(segment, bar, outline, here);
    pieces.push({ ...front, loop: polygon(outline) });
    if (!post) continue;
    pieces.push({ from: plane.from, to: front.to, loop: polygon(post.outline) });
    room ??= post.outline;
    const { centre: middle, outline: own, width: across } = post;
    if (distanceTo(outline, middle.x, middle.y) > 0)
      pieces.push(...link(middle, own, nearest([middle], outline)[1], across, front));
    if (stem) pieces.push(...link(middle, own, beside(middle, stem, across), Math.min(width, across), plane));
  }
  const pegs = stem ? pegsOf(m, stack, segments, plane, here, stem) : [];
  pieces.push(...pegs);
  if (pieces.length === 0) return not(`${first.name} does not say its bar`);
  const back = Math.min(...pieces.map(({ from }) => from));
  const own = pieces.map((piece) => ({ ...piece, from: piece.from - back, to: piece.to - back }));
  const prisms = slabsOf(own);
  // Pegs stand out behind the face that is engraved.
  const taken = pegs.filter(({ from }) => from < plane.from).map(({ loop }) => loop);
  const [lowest, highest] = [prisms[0], prisms[prisms.length - 1]].map(({ regions }) => areaOf(regions));
  return {
    made: {
      name: first.name,
      kind: 'bar',
      place: first.place,
      prisms,
      pieces: own,
      ...(room && {
        room: {
          side: 'back',
          region: region(polygon(room), ...taken),
          level: plane.from - back,
          round: false,
        } as const,
      }),
      bed: lowest < highest ? 'front' : 'back',
      process: first.process.name,
      material: first.process.material.name,
      seats: [{ ...tip, z: back, turn: azimuth, moves: { with: 'segment', name: first.name } }],
    },
    missing,
  };
}

/** Of an arm only its way is reckoned. */
const whyNoArm = ({ name, stem }: Segment): string =>
  stem
    ? `the text says neither how the arm of ${name} is borne on its pivot nor how the bar hangs on it`
    : `the text gives the arm of ${name} no width`;

const almost = 1e-6;

/** A stem that is wider or narrower than its nose by less than this, mm, is as wide. */
const alike = 1e-6;

interface Stem {
  readonly loop: Loop;
  readonly end: number;
}

/**
 * In the frame of the slide: the nose's disc (of a flat follower its face), from there the stem. One wider than its nose widens from the
 * nose at 45°, which no pressure angle in use reaches.
 */
function stemOf(segment: Segment, width: number, slide: Slide): Stem | undefined {
  const half = width / 2;
  const end = stemEnd(segment, width, slide, segment.post?.value);
  if (!(half > 0) || !Number.isFinite(end)) return undefined;
  const sides = (from: number) => [
    { x: from, y: -half, bulge: 0 },
    { x: end, y: -half, bulge: 0 },
    { x: end, y: half, bulge: 0 },
  ];
  if (segment.follower.value.kind === 'flat') return { loop: [...sides(0), { x: 0, y: half, bulge: 0 }], end };
  const nose = segment.nose!.value;
  const at = (angle: number, bulge: number) => {
    const { x, y } = polar(nose, angle);
    return { x: nose + x, y, bulge };
  };
  if (half > nose + alike) {
    const from = nose + half - Math.SQRT2 * nose;
    const quarter = Math.tan(Math.PI / 8);
    return {
      loop: [...sides(from), { x: from, y: half, bulge: 0 }, at(0.75 * Math.PI, quarter), at(1.25 * Math.PI, 0)],
      end,
    };
  }
  const open = half > nose - alike ? Math.PI / 2 : Math.asin(half / nose);
  const bulge = Math.tan((Math.PI - open) / 4);
  return {
    loop: [...sides(nose + nose * Math.cos(open)).slice(1), at(open, bulge), at(Math.PI, bulge), at(-open, 0)],
    end,
  };
}

interface PlacedPost {
  readonly outline: Polygon;
  readonly centre: Point;
  /** The lesser of its two. */
  readonly width: number;
}

/** The post as stated; else the bar's own outline goes all the way back. */
function postOf({ post }: Segment, bar: Bar, outline: Polygon, here: (p: Point) => Point): PlacedPost | undefined {
  if (!post || post.by === 'default') {
    return { outline, centre: here(bar.at), width: Math.min(bar.width, bar.height) };
  }
  const { at, width, height } = post.value;
  if (!sized(post.value)) return undefined;
  return { outline: postOutline(post.value).map(here), centre: here(at), width: Math.min(width, height) };
}

/** What joins a point to another that does not lie within its own outline: a strip, half its width on into the other. */
function link(from: Point, own: Polygon, to: Point, width: number, depth: Depth): Piece[] {
  if (distanceTo(own, to.x, to.y) <= 0) return [];
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const long = Math.hypot(dx, dy) + width / 2;
  const strip = [
    { x: 0, y: -width / 2 },
    { x: long, y: -width / 2 },
    { x: long, y: width / 2 },
    { x: 0, y: width / 2 },
  ];
  return [{ ...depth, loop: placed(polygon(strip), from, Math.atan2(dy, dx)) }];
}

/** The point of a stem's middle line that lies beside another, as far as the stem reaches. */
const beside = ({ x }: Point, { end }: Stem, width: number): Point => ({
  x: Math.min(Math.max(x, width), end - width / 2),
  y: 0,
});

/**
 * Pegs for bands at the hooks, two walls thick in radius: from the plane of the stem back to where the band lies, which
 * is behind the deepest of the stems that it pulls.
 */
function pegsOf(
  m: Mechanism,
  { followers }: StackFigure,
  segments: readonly Segment[],
  plane: Depth,
  here: (p: Point) => Point,
  stem: Stem,
): Piece[] {
  return segments.flatMap(({ name, hook, process }) => {
    const band = m.bands.find(({ around }) => around.some((anchor) => anchor.name === name));
    if (!hook || !band) return [];
    const pulled = followers.filter(({ segment }) => band.around.some((anchor) => anchor.name === segment));
    const deepest = Math.max(...pulled.map((one) => one.stem.to));
    const height = band.section?.value.height ?? 0;
    const radius = 2 * process.wall.value;
    const at = here(hook.value);
    const peg = circle(radius, at);
    const back = -deepest - height - process.clearance.value;
    const round = flattened(peg, radius / 10);
    return [
      { from: back, to: plane.to, loop: peg },
      ...link(at, round, beside(at, stem, 2 * radius), 2 * radius, plane),
    ];
  });
}

/** A bar with more pieces, their heights from the face: seats and pegs for its springs. */
export function withPegs(bar: Blank, pegs: readonly Piece[]): Blank {
  const [seat] = bar.seats;
  const added = pegs.map((piece) => ({ ...piece, from: piece.from - seat.z, to: piece.to - seat.z }));
  const all = [...(bar.pieces ?? []), ...added];
  const back = Math.min(...all.map(({ from }) => from));
  const pieces = all.map((piece) => ({ ...piece, from: piece.from - back, to: piece.to - back }));
  const prisms = slabsOf(pieces);
  const [lowest, highest] = [prisms[0], prisms[prisms.length - 1]].map(({ regions }) => areaOf(regions));
  const { room } = bar;
  const taken = room?.level === undefined ? [] : added.filter(({ from }) => from < room.level! - almost);
  return {
    ...bar,
    prisms,
    pieces,
    ...(room?.level !== undefined && {
      room: {
        ...room,
        level: room.level - back,
        region: {
          ...room.region,
          holes: [...room.region.holes, ...region(room.region.outer, ...taken.map(({ loop }) => loop)).holes],
        },
      },
    }),
    bed: lowest < highest ? 'front' : 'back',
    seats: bar.seats.map((one) => ({ ...one, z: one.z + back })),
  };
}
