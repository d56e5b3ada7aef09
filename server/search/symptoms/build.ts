/**
 * A numeral as somebody put it together, and the faces that it then shows: what lies under every follower, which way
 * round, how far its shaft stands off, what stays up, and how the push steps it.
 */
import type { Mechanism, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, Figures, FollowedLift } from '../../reckon/figures.ts';
import { liftAt } from '../../reckon/motion/lift.ts';
import { seenAs, shareShown } from '../../reckon/motion/positions.ts';
import { profileOf, riderOn, type UnreckonedPart } from '../../reckon/shape/bodies.ts';
import type { Rider } from '../../reckon/shape/cutting.ts';
import { ridingOn } from '../../reckon/shape/riding.ts';

/** How a bar is seen: shown, hidden, or half-way. */
export type Seen = '1' | '0' | '-';

/** One letter of `Seen` a bar, in the order of `Ground.segments`. */
export type Face = string;

/** The cam that lies under a follower, and how it went on: turned (rad, counter-clockwise), or turned over. */
export interface Seat {
  readonly cam: string;
  /** The cam's own angle ψ lies at turned + ψ of the shaft; turned over, at turned − ψ. */
  readonly turned: number;
  readonly over: boolean;
}

/** What of a build is not as it was meant; what is absent is. Followers are named by the cam that is meant for them. */
export interface Misbuild {
  readonly under?: ReadonlyMap<string, Seat | 'nothing'>;
  /** How far shafts stand counter-clockwise of where they are meant to, at all times, rad. */
  readonly ahead?: ReadonlyMap<string, number>;
  /** Followers that stay up where they have been pushed, as seen after one whole turn. */
  readonly held?: ReadonlySet<string>;
  /** Forward steps of the leading shaft from home, at what should be a rest position. */
  readonly stepsAt?: (position: number) => number;
}

/** A follower, and the cam that is meant for it. */
interface Place {
  readonly cam: CamFigure;
  /** Bars of the piece: number among the segments, and what is seen of it at a lift. */
  readonly bars: readonly { readonly index: number; readonly seenAt: (lift: number) => Seen }[];
}

/** A mechanism that shows something at every rest position. */
export interface Ground {
  readonly m: Mechanism;
  readonly figures: Figures;
  /** Bars on the face that are driven, or stand still for want of a cam; in the order of the text. */
  readonly segments: readonly string[];
  readonly places: readonly Place[];
  /** As it shows when put together rightly. */
  readonly right: readonly Face[];
}

const letters = { shown: '1', hidden: '0', between: '-' } as const;

/** Undefined where nothing is shown: no count, no cam. */
export function groundOf(m: Mechanism, figures: Figures): Ground | undefined {
  const [home] = figures.positions;
  if (!home?.bars.length || !figures.cams.length) return undefined;
  const segments = home.bars.map(({ segment }) => segment);
  const driven = new Set<string>();
  const places = figures.cams.map((cam): Place => {
    const own = cam.segments.filter((name) => segments.includes(name) && !driven.has(name));
    for (const name of own) driven.add(name);
    return { cam, bars: own.map((name) => ({ index: segments.indexOf(name), seenAt: seenAt(m, cam, name) })) };
  });
  const right = figures.positions.map(({ bars }) => bars.map(({ seen }) => letters[seen]).join(''));
  return { m, figures, segments, places, right };
}

function seenAt(m: Mechanism, cam: CamFigure, name: string): (lift: number) => Seen {
  const segment = m.segments.find((one) => one.name === name) as Segment;
  const share = shareShown(m, segment, cam.lift.stroke);
  return (lift) => letters[seenAs(m, share(lift))];
}

/** The faces of a build at every rest position, as counted from home; or which part's shape is not known. */
export function facesOf(ground: Ground, build: Misbuild): readonly Face[] | UnreckonedPart {
  const faces = ground.right.map((face) => face.split(''));
  for (const place of ground.places) {
    const lift = liftsIn(ground, place, build);
    if (lift === undefined) continue;
    if ('because' in lift) return lift;
    faces.forEach((face, position) => {
      const height = lift.at(position);
      for (const { index, seenAt } of place.bars) face[index] = seenAt(height);
    });
  }
  return faces.map((face) => face.join(''));
}

/** Lift of a follower at each position; undefined where that is as it was meant. */
function liftsIn(
  ground: Ground,
  { cam }: Place,
  { under, ahead, held, stepsAt }: Misbuild,
): { readonly at: (position: number) => number } | UnreckonedPart | undefined {
  const seat = under?.get(cam.name);
  const off = ahead?.get(cam.shaft) ?? 0;
  if (held?.has(cam.name)) {
    const top = highest(cam.lift);
    return { at: () => top };
  }
  if (seat === 'nothing') return { at: () => 0 };
  if (!seat && !off && !stepsAt) return undefined;
  const { turned, over, cam: name } = seat ?? { turned: 0, over: false, cam: cam.name };
  const follow = following(ground, name, cam.name, over);
  if ('because' in follow) return follow;
  return {
    at(position) {
      const shaftAngle = cam.azimuth - cam.step * (stepsAt?.(position) ?? position) - off;
      return follow(over ? turned - shaftAngle : shaftAngle - turned);
    },
  };
}

/** The highest that a follower is pushed in a turn, mm. */
function highest(lift: FollowedLift): number {
  if (lift.always) return lift.stroke;
  return lift.lobes.reduce((most, { from, to }) => Math.max(most, liftAt(lift, (from + to) / 2).lift), 0);
}

/**
 * Lift of the follower that is meant for cam `own`, on cam `name`, by the angle of that cam at the azimuth: from its lift
 * program where this follower would have cut the same profile, else dropped onto its outline.
 */
function following(
  { m, figures }: Ground,
  name: string,
  own: string,
  over: boolean,
): ((psi: number) => number) | UnreckonedPart {
  const cam = figures.cams.find((one) => one.name === name)!;
  const program = (raised: number) => (psi: number) => liftAt(cam.lift, psi).lift + raised;
  if (name === own && !over) return program(0);
  const rider = riderOn(m, figures, own);
  if (name === own && isEven(m, cam)) return program(0);
  if ('because' in rider) return { of: own, ...rider };
  const cutter = riderOn(m, figures, name);
  if ('because' in cutter) return { of: name, ...cutter };
  const raised = over && !isEven(m, cam) ? undefined : raisedUnder(rider, cutter);
  if (raised !== undefined) return program(raised);
  const outline = profileOf(m, figures, name);
  if ('because' in outline) return { of: name, ...outline };
  const riding = ridingOn(outline, rider);
  return riding ? (psi) => riding(psi, over) : { of: own, because: `its follower does not reach ${own}` };
}

/** Whether a cam's profile turned over is that of its lift run backwards: its follower stands square, in line with the shaft. */
export function isEven(m: Mechanism, cam: CamFigure): boolean {
  const follower = m.segments.find(({ name }) => name === cam.segments[0]);
  const kind = follower?.follower.value.kind;
  return kind === 'flat' || (kind === 'round' && follower!.offset.value === 0);
}

/** How much higher a follower stands on a cam that a like one has cut; undefined where they are not alike. */
function raisedUnder(rider: Rider, cutter: Rider): number | undefined {
  if (rider.kind === 'flat') return cutter.kind === 'flat' ? cutter.base - rider.base : undefined;
  if (cutter.kind === 'flat' || rider.nose !== cutter.nose) return undefined;
  if (JSON.stringify(rider) === JSON.stringify(cutter)) return 0;
  const inLine = (one: Rider) => one.kind === 'round' && one.offset === 0;
  return inLine(rider) && inLine(cutter) ? cutter.prime - rider.prime : undefined;
}
