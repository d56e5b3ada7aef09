/** The printed parts of a frame, as laid out, and the screws to buy for it. */
import type { Point } from '../../../language/mechanism.ts';
import type { Blank } from '../parts/engraving.ts';
import { type Piece, slabsOf } from '../parts/joining.ts';
import { type Box, circle, placed, polygon, region } from '../parts/loop.ts';
import type { Loop, Region, Seat } from '../parts/part.ts';
import type { BoughtPart } from '../parts/parts.ts';
import type { UnreckonedPart } from '../shape/bodies.ts';
import type { Depth } from '../shape/stack.ts';
import type { FramePlan, Plate, ScrewFit } from './plan.ts';

/** What all others are built into, and what closes it. */
export const facePlate = 'face plate' satisfies Plate;
const backPlate = 'back plate' satisfies Plate;

export interface FrameParts {
  readonly blanks: readonly Blank[];
  readonly bought: readonly BoughtPart[];
  readonly missing: readonly UnreckonedPart[];
}

export function frameParts(plan: FramePlan): FrameParts {
  const { face, back, window } = plan;
  const blanks = [
    plateOf(plan, facePlate, face, {
      solids: plan.walls.map(({ outline, from }) => ({ from, to: face.from, loop: polygon(outline) })),
      cuts: plan.slots.map((loop) => ({ ...face, loop })),
      seats: window ? undefined : 'front',
    }),
    plateOf(plan, backPlate, back, { solids: [], cuts: [], seats: 'back' }),
    ...(window
      ? [
          plateOf(plan, 'window plate', window, {
            solids: [],
            cuts: plan.windows.map((loop) => ({ ...window, loop })),
            seats: 'front',
          }),
        ]
      : []),
    ...columns(plan),
    ...plan.pawls.blanks,
  ];
  const fits = [plan.front, plan.behind].flatMap((fit) => fit ?? []);
  const { seats } = plan.pawls;
  const lengths = [...new Set([...fits, ...seats].map(({ length }) => length))];
  const lacks = (because: string) => [{ of: 'frame', because }];
  return {
    blanks,
    bought: plan.screws.length === 0 ? [] : lengths.map((length) => bought(plan, length, fits)),
    missing: [
      ...(plan.screws.length === 0 ? lacks('the frame finds no room for its screws at the corners') : []),
      ...(fits.length < 2 ? lacks(`the frame finds no ${inWords(plan)} of a length that holds in its pillars`) : []),
    ],
  };
}

const heads = { socket: 'hexagon socket, ISO 10642', cross: 'cross recess, ISO 7046' } as const;

const inWords = ({ frame }: FramePlan): string => `M${frame.screws.value.diameter} screw`;

const bought = ({ frame, screws, pawls }: FramePlan, length: number, fits: readonly ScrewFit[]): BoughtPart => {
  const { diameter, head } = frame.screws.value;
  const isSo = (one: { readonly length: number }) => one.length === length;
  return {
    what: `M${diameter} x ${length} countersunk screw (${heads[head]})`,
    count: screws.length * fits.filter(isSo).length + pawls.seats.filter(isSo).length,
  };
};

// ---- plates -----------------------------------------------------------------------------------------

interface Features {
  /** z from the face; in the frame of the face. */
  readonly solids: readonly Piece[];
  readonly cuts: readonly Piece[];
  /** The side that the heads of the screws lie in. */
  readonly seats?: 'front' | 'back' | undefined;
}

/** A plate with its bearings, what stands on it, and the holes of its screws. */
function plateOf(plan: FramePlan, name: string, depth: Depth, { solids, cuts, seats }: Features): Blank {
  const { frame, box, bearings, pins, stands, rails, pawls } = plan;
  const screws = name === backPlate ? [...plan.screws, ...pawls.seats.map(({ at }) => at)] : plan.screws;
  const { process } = frame;
  const bores = bearings.flatMap(({ at, radius, round, bores: own }) =>
    own.filter(({ plate }) => plate === name).map((bore) => ({ ...bore, at, radius, round })),
  );
  const through = (frame.screws.value.hole + process.undersize.value) / 2;
  const outline = plateOutline(box, plan.pillar);
  const standing: Piece[] = [
    ...solids,
    ...bores.flatMap(({ boss, at, round }) => (boss ? [{ ...boss, loop: circle(round, at) }] : [])),
    ...pins
      .filter(({ plate }) => plate === name)
      .map(({ at, radius, from, to }) => ({ from, to, loop: circle(radius, at) })),
    ...stands
      .filter(({ plate }) => plate === name)
      .flatMap(({ end, pieces }) =>
        pieces.map((piece) => ({
          ...(name === facePlate ? { from: end, to: depth.from } : { from: depth.to, to: end }),
          ...piece,
        })),
      ),
    ...rails
      .flatMap(({ walls, stop }) => (name === backPlate ? walls : name === facePlate && stop ? [stop] : []))
      .map(({ outline, from, to }) => ({ from, to, loop: polygon(outline) })),
    ...(name === backPlate ? pawls.seats.flatMap(({ ribs }) => ribs) : []).map(({ outline, from, to }) => ({
      from,
      to,
      loop: polygon(outline),
    })),
  ];
  const holes: Piece[] = [
    ...cuts,
    ...bores.map(({ from, to, at, radius }) => ({ from, to, loop: circle(radius, at) })),
    ...screws.map((at) => ({ ...depth, loop: circle(through, at) })),
    ...(seats ? screws.flatMap((at) => seatOf(plan, at, depth, seats)) : []),
  ];
  const pieces = [{ ...depth, loop: outline }, ...standing];
  const back = Math.min(...pieces.map(({ from }) => from));
  const [x, y] = [(box.left + box.right) / 2, (box.bottom + box.top) / 2];
  const here = ({ from, to, loop }: Piece): Piece => ({
    from: from - back,
    to: to - back,
    loop: placed(loop, { x: -x, y: -y }, 0),
  });
  const prisms = slabsOf(pieces.map(here), [], holes.map(here));
  // Names stand inside: on the side that looks to the works, which the heads of screws leave whole.
  const side = seats === 'back' ? 'front' : 'back';
  const level = (side === 'front' ? depth.to : depth.from) - back;
  const faced = prisms.find((one) => Math.abs((side === 'front' ? one.to : one.from) - level) < 1e-6) ?? prisms[0];
  return {
    name,
    kind: 'plate',
    place: frame.place,
    prisms,
    room: {
      side,
      region: lessThese(
        faced.regions[0],
        standing.map((piece) => here(piece).loop),
      ),
      level,
      round: false,
    },
    bed: standing.length > 0 && standing.every(({ to }) => to <= depth.from + 1e-6) ? 'front' : 'back',
    process: process.name,
    material: process.material.name,
    seats: [still(x, y, back)],
  };
}

const lessThese = (whole: Region, loops: readonly Loop[]): Region => ({
  outer: whole.outer,
  holes: [...whole.holes, ...region(whole.outer, ...loops).holes],
});

const still = (x: number, y: number, z: number): Seat => ({ x, y, z, turn: 0, moves: { with: 'nothing' } });

function plateOutline({ left, right, bottom, top }: Box, radius: number): Loop {
  const bulge = Math.tan(Math.PI / 8);
  return [
    { x: left + radius, y: bottom, bulge: 0 },
    { x: right - radius, y: bottom, bulge },
    { x: right, y: bottom + radius, bulge: 0 },
    { x: right, y: top - radius, bulge },
    { x: right - radius, y: top, bulge: 0 },
    { x: left + radius, y: top, bulge },
    { x: left, y: top - radius, bulge: 0 },
    { x: left, y: bottom + radius, bulge },
  ];
}

/** Steps of a countersink at most. */
const mostSteps = 16;

/** The cone of a head of 90°, as layers print it: every step as wide as the cone is at its widest. */
function seatOf(
  { frame, seat, seatDepth }: FramePlan,
  at: Point,
  { from, to }: Depth,
  side: 'front' | 'back',
): Piece[] {
  const step = Math.max(frame.process.layer.value, seatDepth / mostSteps);
  const steps = Math.ceil(seatDepth / step - 1e-9);
  return Array.from({ length: steps }, (_, i) => {
    const [near, far] = [i * step, Math.min((i + 1) * step, to - from)];
    const depth = side === 'front' ? { from: to - far, to: to - near } : { from: from + near, to: from + far };
    return { ...depth, loop: circle(seat - near, at) };
  }).filter((piece) => piece.to > piece.from);
}

// ---- what stands between the plates ---------------------------------------------------------------------

function columns(plan: FramePlan): Blank[] {
  const { frame, screws, face, back, window, pillar } = plan;
  if (screws.length === 0) return [];
  const { process } = frame;
  const { diameter, pitch, hole } = frame.screws.value;
  const pilot = (diameter - pitch + process.undersize.value) / 2;
  const height = face.from - back.to;
  // Drilled through: a blind hole would end in a roof over nothing.
  const drilled: Piece[] = [{ from: 0, to: height, loop: circle(pilot) }];
  const column = (name: string, from: number, to: number, cuts: readonly Piece[]): Blank => ({
    name,
    kind: 'pillar',
    place: frame.place,
    prisms: slabsOf([{ from: 0, to: to - from, loop: circle(pillar) }], [], cuts),
    bed: 'back',
    process: process.name,
    material: process.material.name,
    seats: screws.map(({ x, y }) => still(x, y, from)),
  });
  const through = (hole + process.undersize.value) / 2;
  return [
    column('pillar', back.to, face.from, drilled),
    ...(window
      ? [column('front spacer', face.to, window.from, [{ from: 0, to: window.from - face.to, loop: circle(through) }])]
      : []),
  ];
}
