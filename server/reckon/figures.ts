/**
 * What is reckoned of a mechanism, and the single place that decides what is reckoned when.
 *
 * Lengths mm, angles rad, forces N, torques N·mm (degrees live at the edges). Plain data: it travels to the
 * chart as JSON. Curves are not tables but programs (`FollowedLift`), read through `motion/lift.ts`.
 *
 * Angles: a shaft's turn `θ` counts counter-clockwise as the reader sees it, 0 at home. A cam angle `ψ` is measured
 * in the cam's frame; under a follower at azimuth `φ` it is `ψ = φ − θ`. `t` counts steps from home (real number).
 */
import type { Law, Mechanism, Place, Point, Sense, UsedDefault } from '../../language/mechanism.ts';
import { camsOf } from './cams.ts';
import { type BandFigure, bandsOf, tellBands } from './force/bands.ts';
import { type RubFigure, rubsOf } from './force/rubs.ts';
import { type SpringFigure, springsOf, tellSprings } from './force/springs.ts';
import { drivenOn, type Forces, forcesOf, forcing } from './force/steps.ts';
import { type PressureFigure, pressuresOf, type WindUpFigure, windUpsOf } from './force/strain.ts';
import { type FrameFigure, frameFigureOf } from './frame/figure.ts';
import type { Oversize } from './frame/plan.ts';
import { type Told, want, wantForMeshes } from './missing.ts';
import { turn } from './motion/angles.ts';
import { positionsOf, stepsOf, symbolsOf } from './motion/positions.ts';
import { trainOf } from './motion/train.ts';
import { type Assembly, assemblyOf } from './parts/assembly.ts';
import { type LargePart, largePartsOf } from './parts/bed.ts';
import { tellChosen } from './parts/chosen.ts';
import { type PartFigure, partFiguresOf } from './parts/figure.ts';
import { type Likeness, likenessesOf } from './parts/likeness.ts';
import { coarseBlanksOf } from './parts/parts.ts';
import { type ThinPlace, thinPlacesOf } from './parts/thin.ts';
import { finished } from './pausing.ts';
import { type Encounters, encountersOf } from './shape/encounters.ts';
import { gearsOf } from './shape/gears.ts';
import { type KeyedParts, keyedPartsOf } from './shape/keyed-parts.ts';
import { type StackFigure, stackOf } from './shape/stack.ts';
import { type Builds, buildsOf } from './tolerance/builds.ts';
import { type CamPlay, type ForwardRest, forwardRest, playOf } from './tolerance/play.ts';

/** An exact fraction in lowest terms, `den` > 0. */
export interface Fraction {
  readonly num: number;
  readonly den: number;
}

// ---- motion --------------------------------------------------------------------

export interface ShaftFigure {
  readonly name: string;
  /** Turns of this shaft for one turn of the leading shaft; negative turns the other way. Absent: no train reaches it. */
  readonly ratio?: Fraction;
  /** The sense of a forward step, counter-clockwise +1; what follows reads this and not the text. */
  readonly sense: 1 | -1;
  readonly turns: Sense;
  /** Signed turn θ of one forward step, rad, counter-clockwise positive. */
  readonly step: number;
  readonly leads: boolean;
  /** Names of the shafts from the leading one to this, both included. */
  readonly path: readonly string[];
}

export interface MeshFigure {
  readonly gears: readonly [string, string];
  readonly centreDistance: number;
  readonly idealCentreDistance: number;
  readonly contactRatio?: number;
  /** The same over the involute flanks alone: less where a tip reaches past the mate's base circle (interference). */
  readonly activeContactRatio?: number;
  /** Between the tips of one gear and the roots of the other, mm; below 0 they run into each other. */
  readonly tipClearance?: number;
  /** Whole angle of free play of the second gear, excess centre distance included. */
  readonly backlash: number;
  /** Azimuth of the centre line from the first gear to the second. */
  readonly azimuth: number;
  /** Turn of every shaft beyond the mesh, unsigned, for one tooth by which it is put together wrongly. */
  readonly toothOff: readonly { readonly shaft: string; readonly turn: number }[];
  /** Mismatch of the teeth at home as a share of a pitch, −½…½; 0 meshes. Absent where no marks fix it. */
  readonly phase?: number;
}

export interface GearFigure {
  readonly name: string;
  readonly shaft: string;
  /** Stated, or the one behind the deepest cam level. */
  readonly level: number;
  readonly pitchRadius: number;
  readonly tipRadius: number;
  readonly rootRadius: number;
  readonly baseRadius: number;
  readonly teeth: number;
  /** Azimuths of the marks at home, stated or on the centre lines. */
  readonly marks: readonly number[];
  /** Azimuth of the middle of one tooth at home. */
  readonly toothAt: number;
}

/** One side of a lobe: the flank's angle and its law. */
export interface LobeFlank {
  readonly width: number;
  readonly law: Law;
  /** Angle of the whole motion, where the flank is cut short because the other one starts before it has ended. */
  readonly whole?: number;
}

/** A lobe of the lift program: fully up from `from` counter-clockwise to `to` (cam angles, from ≤ to ≤ from + 2π). */
export interface Lobe {
  readonly from: number;
  readonly to: number;
  /** The flank that ends at `from`, and the one that starts at `to`, both counter-clockwise. */
  readonly before: LobeFlank;
  readonly after: LobeFlank;
}

/**
 * The one followed lift of a cam, which everything reads: the programmed lobes, their maximum where they overlap,
 * less what undercut takes away.
 * `always`: up all round. No lobes: down all round.
 */
export interface FollowedLift {
  readonly stroke: number;
  /** No stroke is given: lifts are shares of it, not mm. */
  readonly relative?: true;
  readonly always: boolean;
  readonly lobes: readonly Lobe[];
  /** What undercut takes away. */
  readonly cut?: Cut;
}

/**
 * A profile that the cutter has left with corners, on which the follower then turns below the programmed lift. A
 * round nose rides at `offset`, its centre `lowered` from the shaft along the slide when down; a flat face (no nose)
 * stands `lowered` from the shaft itself; a nose on an arm swings about its pivot.
 */
export interface Cut {
  readonly nose?: number;
  readonly offset: number;
  readonly lowered: number;
  readonly swing?: Swing;
  /** Sorted; never empty. */
  readonly corners: readonly Corner[];
}

/** An arm in the frame of the azimuth: from `start` when lowered, counter-clockwise (`side` +1) when it rises. */
export interface Swing {
  readonly pivot: Point;
  readonly arm: number;
  readonly start: number;
  readonly side: 1 | -1;
}

/** A corner of the profile, in the cam's frame, that is ridden on from `from` counter-clockwise to `to`. */
export interface Corner {
  readonly from: number;
  readonly to: number;
  readonly x: number;
  readonly y: number;
}

/** Two flanks that run into each other: of neighbouring lobes, or (`crest`) of one lobe. */
export interface Overlap {
  /** Middle of the valley (or where the flanks cross), cam angle. */
  readonly at: number;
  /** Least lift between the two, mm; more than 0 means the bar does not come down. */
  readonly valley: number;
  /** The reverse: within one lobe the fall starts before the rise has ended. `valley` is the height still reached. */
  readonly crest?: true;
  /** How far the flanks overlap, rad. */
  readonly by: number;
  /** Rest positions that lie in the valley and are spoilt by it. */
  readonly positions: readonly number[];
}

export interface Extreme {
  readonly value: number;
  /** Cam angle, rad. */
  readonly at: number;
}

/** A cam's motion, its shape, and how far it may err (`CamPlay`). */
export interface CamFigure extends CamPlay {
  readonly name: string;
  readonly shaft: string;
  readonly level?: number;
  readonly segments: readonly string[];
  /** Of the follower that rides on it. */
  readonly azimuth: number;
  /** Signed turn of the cam in a forward step (that of its shaft). */
  readonly step: number;
  /** Angle between neighbouring rests on the cam, rad. */
  readonly spacing: number;
  /** Travel in use (stated or 5/6 of the spacing); absent where every flank states its own, or there is none. */
  readonly travel?: number;
  /** Cam angle under the follower at each rest position of the first count. */
  readonly rests: readonly number[];
  /** What the count wants of the follower at each rest position: up, down. Absent where the glyphs don't say. */
  readonly wanted?: readonly boolean[];
  /** What the lobes were made to do (equals `wanted` for derived lobes). */
  readonly raisedAt: readonly boolean[];
  /** Rest positions that fall on one cam angle but want different things: no lobe can serve them. */
  readonly conflicts: readonly {
    readonly positions: readonly [number, number];
    readonly counts: readonly [number, number];
  }[];
  /** The cam is home, or its lobes repeat, after one count. */
  readonly repeats: boolean;
  readonly lift: FollowedLift;
  readonly overlaps: readonly Overlap[];
  // shape; absent where base, nose or stroke is not given, or the follower is of a kind not yet reckoned
  readonly primeRadius?: number;
  /** The greatest |pressure angle|. */
  readonly pressureAngle?: Extreme;
  /** Greatest |pressure angle| of each flank of each lobe, in the order of `lift.lobes` (before, after). */
  readonly flankAngles?: readonly (readonly [number, number])[];
  /** Least convex and concave radius of the pitch curve. */
  readonly pitchCurvature?: { readonly convexMin?: Extreme; readonly concaveMin?: Extreme };
  readonly profileCurvature?: { readonly convexMin?: Extreme };
  /** The most that undercut takes of the programmed lift, mm, and where; 0 where there is none. */
  readonly lostLift?: Extreme;
  /** Least base for the pressure angle's limit and a convex radius above the nose; needs no stated base. */
  readonly smallestBase?: number;
  /** Least travel for the same at the stated base. */
  readonly shortestTravel?: number;
  /** Of an undercut cam: the greatest nose, at the stated base, that keeps the same two limits. */
  readonly largestNose?: number;
  /** Of a flat face: the farthest from its middle that it is touched, mm; the face is at least twice as wide. */
  readonly faceReach?: Extreme;
}

// ---- positions and steps -----------------------------------------------------------

export interface BarFigure {
  readonly segment: string;
  /** Lift of the follower, mm. */
  readonly lift: number;
  /** Share of it that the reader sees, 0 to 1; with a window, of the window that it covers. */
  readonly share: number;
  /** What the reader sees: shown, hidden or half-way. */
  readonly seen: 'shown' | 'hidden' | 'between';
  /** What the count wants, where the table knows the symbol. */
  readonly wanted?: 'shown' | 'hidden';
}

export interface PositionFigure {
  readonly index: number;
  readonly symbol: string;
  /** Segments that are shown there, in the order of the text. */
  readonly shown: readonly string[];
  readonly bars: readonly BarFigure[];
  /** Segments that do not do there what the symbol wants. */
  readonly wrong: readonly string[];
}

export interface StepFigure {
  readonly index: number;
  readonly from: string;
  readonly to: string;
  /** Followers that rise or fall in a forward step, in the order of the text. */
  readonly rising: readonly string[];
  readonly falling: readonly string[];
}

export interface MissingFigure {
  readonly figure: string;
  /** `part.property` that would allow it. */
  readonly wants: string;
  /** The name of the part that lacks it, or of the mechanism. */
  readonly place: Place;
}

/** What is reckoned of how it turns, and of each part by itself. */
export interface MotionFigures {
  readonly name: string;
  /** Turn of the leading shaft in one step; absent without a count or a shaft. */
  readonly step?: number;
  readonly leading?: string;
  readonly shafts: readonly ShaftFigure[];
  /** Meshes that contradict the others round a loop: the train is locked. */
  readonly lockedMeshes: readonly (readonly [string, string])[];
  readonly gears: readonly GearFigure[];
  readonly meshes: readonly MeshFigure[];
  readonly cams: readonly CamFigure[];
  readonly positions: readonly PositionFigure[];
  readonly steps: readonly StepFigure[];
  readonly defaults: readonly UsedDefault[];
  readonly missing: readonly MissingFigure[];
}

export interface Figures extends MotionFigures {
  readonly stack: StackFigure;
  readonly keyed: KeyedParts;
  readonly encounters: Encounters;
  /** Those whose rate is known. */
  readonly springs: readonly SpringFigure[];
  /** Those whose path is known. */
  readonly bands: readonly BandFigure[];
  /** Absent where the train rests no farther ahead than its play lets it. */
  readonly forwardRest?: ForwardRest;
  /** Reckoned only by `built`; then undefined where nothing plays. */
  readonly builds?: Builds | undefined;
  /** Reckoned only by `built`: those to print and to buy. */
  readonly parts?: readonly PartFigure[];
  readonly forces: Forces;
  readonly pressures: readonly PressureFigure[];
  readonly windUps: readonly WindUpFigure[];
  /** Where friction works over a turn, the most first; reckoned only by `built`. */
  readonly rubs?: readonly RubFigure[];
  /** In which order its parts go together; reckoned only by `refined`. */
  readonly assembly?: Assembly;
  /** How its frame is laid out; reckoned only by `refined`, and absent where there is none. */
  readonly frame?: FrameFigure;
  /** What its frame would have to go round, where that is too much to lay one out. */
  readonly oversize?: Oversize;
  /** Where parts are thinner than what makes them can; reckoned only by `refined`. */
  readonly thin?: readonly ThinPlace[];
  /** Parts larger than the bed they are built on; reckoned only by `refined`. */
  readonly large?: readonly LargePart[];
  /** Parts easily taken for each other; reckoned only by `refined`. */
  readonly likenesses?: readonly Likeness[];
}

// ---- what is reckoned when -----------------------------------------------------------

/** More rest positions a turn than any shaft can keep apart: of a longer count only the train is reckoned. */
export const mostPositions = 3600;

/** Everything that can be reckoned of a mechanism, however much of it is still unwritten: what meets coarsely, steps in the cases in use. */
export const reckon = (m: Mechanism): Figures => finished(reckoning(m));

/** Is told how a mechanism turns, and what lies on its shafts, before what meets is reckoned: parts follow from that. */
export type Early = (mechanism: Mechanism, motion: MotionFigures, stack: StackFigure) => void;

/** The same; pauses often. What will be refined at once need not be reckoned coarsely first. */
export function* reckoning(m: Mechanism, grid: Encounters['grid'] = 'coarse', early?: Early): Generator<void, Figures> {
  const told: Told = { defaults: [...m.defaults], missing: [] };
  const motion = motionFigures(m, told);
  yield;
  const stack = stackOf(m);
  early?.(m, motion, stack);
  const keyed = keyedPartsOf(m, motion);
  const encounters = yield* encountersOf(m, motion, stack, grid);
  yield;
  return { ...motion, stack, keyed, encounters, ...forceFigures(m, motion, stack, keyed, told) };
}

/** What follows from what draws back, hinders, pushes and holds; where the train rests ahead, the play too. */
function forceFigures(m: Mechanism, motion: MotionFigures, stack: StackFigure, keyed: KeyedParts, told: Told) {
  const forces = forcesOf(m, motion, told, 'in use');
  const ahead = forwardRest(m, motion, drivenOn(m, motion, forces));
  const windUps = windUpsOf(m, motion, stack, forces);
  return {
    ...playOf(m, motion, keyed, windUps),
    forwardRest: ahead,
    springs: springsOf(m),
    bands: bandsOf(m, motion.positions),
    forces,
    pressures: pressuresOf(m, motion, forces),
    windUps,
  };
}

/**
 * The figures of a mechanism that differs from the one they are of in nothing but what draws back, hinders, pushes
 * and holds: how it turns and what meets stay as they are. Steps in the cases in use; without random builds or what rubs.
 */
export function reforced(m: Mechanism, { builds: _, rubs: __, ...figures }: Figures): Figures {
  const told: Told = { defaults: [], missing: [] };
  return { ...figures, ...forceFigures(m, figures, figures.stack, figures.keyed, told), missing: figures.missing };
}

/**
 * The same with what meets reckoned finely, the order in which the parts go together, the frame, where parts are thin
 * or too large, and which are alike; pauses often.
 */
export function* refined(m: Mechanism, figures: Figures): Generator<void, Figures> {
  const isFine = figures.encounters.grid === 'fine';
  const encounters = isFine ? figures.encounters : yield* encountersOf(m, figures, figures.stack, 'fine');
  yield;
  const lifts = new Map(figures.positions[0]?.bars.map(({ segment, lift }) => [segment, lift]));
  const { blanks, frame, oversize } = coarseBlanksOf(m, figures, figures.stack);
  yield;
  const assembly = yield* assemblyOf(blanks, (segment) => lifts.get(segment) ?? 0);
  const thin = yield* thinPlacesOf(m, figures, blanks);
  yield;
  const likenesses = likenessesOf(m, figures, blanks);
  yield;
  return {
    ...figures,
    encounters,
    assembly,
    thin,
    large: largePartsOf(m, blanks),
    likenesses,
    ...(frame && { frame: frameFigureOf(frame) }),
    ...(oversize && { oversize }),
  };
}

/**
 * The same with what no finding needs: steps in every case of friction and direction, what rubs, random builds and
 * parts; pauses often. Never while typing: they take some hundred milliseconds.
 */
export function* built(m: Mechanism, figures: Figures): Generator<void, Figures> {
  const forces = yield* forcing(m, figures, { defaults: [], missing: [] }, 'all');
  yield;
  const rubs = rubsOf(m, figures);
  yield;
  const builds = yield* buildsOf(m, figures);
  return { ...figures, forces, rubs, builds, parts: yield* partFiguresOf(m, figures, figures.stack) };
}

/** How it turns, and what each part is by itself. */
export function motionFigures(m: Mechanism, told: Told): MotionFigures {
  const symbols = symbolsOf(m, mostPositions);
  const train = trainOf(m, symbols.length);
  if (train.senseByDefault && train.leading !== undefined) {
    told.defaults.push({
      of: `${train.leading}.turns`,
      value: 'clockwise',
      because: 'no shaft says which way it turns',
    });
  }
  if (m.cams.length > 0) {
    if (!m.count) want(told, m, 'rest positions', 'count');
    if (!m.glyphs) want(told, m, 'rest positions', 'glyphs');
  }
  const cams = camsOf(m, train.shafts, symbols, told);
  const deepest = Math.max(0, ...m.cams.map((cam) => cam.level?.value ?? 0));
  wantForMeshes(m, told);
  tellSprings(m, told);
  tellBands(m, told);
  tellChosen(m, train, told);
  return {
    name: m.name,
    ...(symbols.length > 0 && train.leading !== undefined && { step: turn / symbols.length }),
    ...(train.leading !== undefined && { leading: train.leading }),
    shafts: train.shafts,
    lockedMeshes: train.locked,
    ...gearsOf(m, train.shafts, deepest),
    cams,
    positions: positionsOf(m, symbols, cams),
    steps: stepsOf(m, symbols, cams),
    defaults: told.defaults,
    missing: told.missing,
  };
}
