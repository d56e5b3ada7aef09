/**
 * A follower under its load on a turning cam: how hard the two press on each other, and what turning the cam takes.
 * Quasi-static; the nose slides.
 *
 * In the frame of the slide (x along it away from the shaft, y to its left, the shaft at the origin) the cam presses
 * with N along its outward normal n and drags with μN along the way its surface goes, which is n turned clockwise for a
 * cam that turns clockwise, and the reverse. The drive torque is what that force has about the shaft. Along the slide,
 * load, drag and the friction of the guide stand against it; the guide's reactions follow from the moments about its
 * near end (lever of the side force: the overhang in use), friction at the stem's sides included. Derived.
 */
import type { Point } from '../../../language/mechanism.ts';

/** The sense in which a cam turns: clockwise +1, counter-clockwise −1. */
export type Turning = 1 | -1;

/** Where a follower stands on its cam, whatever turns or rubs: where they touch, mm, and the cam's outward normal. */
export interface Stand {
  readonly x: number;
  readonly y: number;
  readonly normalX: number;
  readonly normalY: number;
  /** mm. */
  readonly lift: number;
  /** ds/dψ, mm/rad. */
  readonly slope: number;
  /** Of a stem in a guide: from the nose tip to the guide now, length of the guide, width of the stem, mm. */
  readonly overhang: number;
  readonly guide: number;
  readonly stem: number;
  /** How far to the left of the slide's line the load is taken up: 0 for a nose, which is on it. */
  readonly aside: number;
  /** Of an arm (0: none): its length and its pivot, whose own friction is neglected. */
  readonly arm: number;
  readonly pivotX: number;
  readonly pivotY: number;
}

/** What pulls a follower back, N. */
export interface Load {
  /** Towards the shaft, along the slide. */
  readonly back: number;
  /** What the guide has to bear of it, square to the slide. */
  readonly across: number;
  /** What just moves it in its guide by itself. */
  readonly drag: number;
}

/** Followers that neither rise nor fall faster than this, mm/rad, dwell. */
const still = 1e-9;

/** +1 rising, −1 falling, 0 at rest. */
export function moving({ slope }: Stand, turning: Turning): 1 | 0 | -1 {
  const speed = turning * slope;
  if (speed > still) return 1;
  return speed < -still ? -1 : 0;
}

/**
 * How hard nose and cam press on each other, N, with friction μ: 0 where they part, Infinity where the follower jams.
 */
export function normalForce(stand: Stand, load: Load, friction: number, turning: Turning): number {
  const way = moving(stand, turning);
  const against = load.back + way * (load.drag + friction * load.across);
  if (!(against > 0)) return 0;
  const { x, y } = forceOf(stand, friction, turning);
  const lifting = stand.arm > 0 ? onArm(stand, x, y) : inGuide(stand, friction, x, y, way);
  return lifting > 0 ? against / lifting : Number.POSITIVE_INFINITY;
}

/** The cam's force on the follower for a normal force of 1, friction included. */
function forceOf({ normalX, normalY }: Stand, friction: number, turning: Turning): { x: number; y: number } {
  return { x: normalX + friction * turning * normalY, y: normalY - friction * turning * normalX };
}

/**
 * Torque (N·mm) that turns the cam under the follower with friction μ; negative where the follower drives the cam.
 * Infinite where it jams.
 */
export function driveTorque(stand: Stand, load: Load, friction: number, turning: Turning): number {
  return torqueUnder(stand, normalForce(stand, load, friction, turning), friction, turning);
}

/** The same, of a nose that presses with so many N. */
export function torqueUnder(stand: Stand, pressed: number, friction: number, turning: Turning): number {
  if (pressed === 0 || pressed === Number.POSITIVE_INFINITY) return pressed;
  const { x, y } = forceOf(stand, friction, turning);
  return -turning * pressed * (stand.x * y - stand.y * x);
}

/** What of the cam's force for a normal force of 1 lifts a stem: its part along the slide, less the guide's friction. */
const inGuide = (stand: Stand, friction: number, forceX: number, forceY: number, way: 1 | 0 | -1): number =>
  forceX - way * friction * guideReactions(stand, friction, forceX, forceY, way);

/** How hard a moving stem presses on its guide, both ends together, for a force of the cam. */
function guideReactions(stand: Stand, friction: number, forceX: number, forceY: number, way: 1 | 0 | -1): number {
  const far = ((stand.overhang - (way * friction * stand.stem) / 2) * forceY + stand.aside * forceX) / stand.guide;
  return Math.abs(forceY + far) + Math.abs(far);
}

/** The same at the end of an arm: its moment about the pivot, over the arm's length. */
function onArm({ x, y, arm, pivotX, pivotY }: Stand, forceX: number, forceY: number): number {
  const moment = (x - pivotX) * forceY - (y - pivotY) * forceX;
  return (pivotY >= 0 ? moment : -moment) / arm;
}

/** What friction takes while the cam turns by 1 rad (N·mm), and the force with which it bears on its shaft (N). */
export interface Rubbing {
  readonly nose: number;
  /** Drag included; of an arm its drag alone. */
  readonly guide: number;
  /** In the frame of the slide. */
  readonly onShaft: Point;
}

/**
 * Work of friction μ under one rad of the cam's turn: at the nose μN times how fast the cam's surface goes past it; in
 * the guide the drag and μ times its reactions, times how fast the stem slides. Undefined where the follower jams.
 */
export function rubbing(stand: Stand, load: Load, friction: number, turning: Turning): Rubbing | undefined {
  const pressed = normalForce(stand, load, friction, turning);
  if (pressed === Number.POSITIVE_INFINITY) return undefined;
  const way = moving(stand, turning);
  const force = forceOf(stand, friction, turning);
  const sideways = stand.arm > 0 ? 0 : guideReactions(stand, friction, force.x, force.y, way);
  const held = load.drag + friction * load.across + friction * pressed * sideways;
  return {
    nose: friction * pressed * Math.abs(passing(stand, turning)),
    guide: way === 0 ? 0 : held * Math.abs(stand.slope),
    onShaft: { x: -pressed * force.x, y: -pressed * force.y },
  };
}

/** How fast the cam's surface goes past what rides on it, mm/rad, along the tangent. */
function passing(stand: Stand, turning: Turning): number {
  const { x, y, normalX, normalY, slope, arm, pivotX, pivotY } = stand;
  // A follower on an arm turns about its pivot, a stem goes straight on.
  const swing = arm > 0 ? ((pivotY >= 0 ? 1 : -1) * slope) / arm : 0;
  const follower = arm > 0 ? { x: -swing * (y - pivotY), y: swing * (x - pivotX) } : { x: slope, y: 0 };
  return turning * ((y - follower.x) * normalY - (-x - follower.y) * normalX);
}

const unitLoad: Load = { back: 1, across: 0, drag: 0 };

/** Least friction, up to `most`, at which a rising follower can no longer be lifted; undefined where it always can. */
export function jamFriction(stand: Stand, turning: Turning, most = 3): number | undefined {
  if (moving(stand, turning) !== 1) return undefined;
  const jams = (friction: number): boolean =>
    driveTorque(stand, unitLoad, friction, turning) === Number.POSITIVE_INFINITY;
  if (!jams(most)) return undefined;
  let [free, stuck] = [0, most];
  while (stuck - free > 1e-9) {
    const middle = (free + stuck) / 2;
    if (jams(middle)) stuck = middle;
    else free = middle;
  }
  return stuck;
}
