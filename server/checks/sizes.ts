/** What a cam's size follows from: the numbers that would do, in words and as fixes. */
import { type Cam, type Fix, type Given, isGuess, type Mechanism } from '../../language/mechanism.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import { degreesWritten, fix, millimetres, named, rewriting, roundDown, roundUp, setting } from './check.ts';

/**
 * The least base at which a cam is neither too steep nor cut under, nor thinner round its key than the process's wall.
 * Undefined where none would do.
 */
export function leastBase(m: Mechanism, f: Figures, { name, smallestBase }: CamFigure): number | undefined {
  return smallestBase === undefined ? undefined : Math.max(smallestBase, baseRoundKey(m, f, name) ?? 0);
}

/** The base that leaves the process's wall between the key's bore and the base circle. */
export function baseRoundKey(m: Mechanism, f: Figures, name: string): number | undefined {
  const cam = named(m.cams, name);
  const key = named(f.keyed.keys, named(m.shafts, cam?.shaft?.name)?.key?.name);
  const lift = named(f.cams, name)?.lift;
  return cam && key && lift && key.boreRadius + cam.process.wall.value - (lift.always ? lift.stroke : 0);
}

/** Whether somewhere the path of the follower bends more sharply than its nose is round. */
export function isUndercut({ profileCurvature }: CamFigure): boolean {
  return profileCurvature?.convexMin?.value === 0;
}

/** The wall of a cam round its key, where it is less than the process's. */
export function thinWall(m: Mechanism, f: Figures, cam: Cam) {
  const part = f.keyed.parts.find(({ kind, name }) => kind === 'cam' && name === cam.name);
  const key = named(m.keys, part?.key);
  const least = cam.process.wall.value;
  if (!part?.wall || !key || key.unclear.length > 0 || part.wall.value >= least - 1e-6) return undefined;
  return { key, wall: part.wall, least };
}

/** What else is wrong with a cam that is too small, as clauses for the finding that speaks for all. */
export function besides(m: Mechanism, f: Figures, cam: Cam, figure: CamFigure): string {
  const lost = isUndercut(figure) && figure.lostLift ? figure.lostLift.value : 0;
  const thin = thinWall(m, f, cam);
  return [
    ...(lost > 0 ? [`, undercut takes ${millimetres(lost, 2)} of its lift`] : []),
    ...(!thin
      ? []
      : thin.wall.value > 0
        ? [`, key ${thin.key.name} leaves ${millimetres(thin.wall.value, 2)} of material`]
        : [`, the bore of key ${thin.key.name} breaks out of the profile`]),
  ].join('');
}

export interface Mends {
  readonly base?: number;
  /** A travel of all its flanks, rad. */
  readonly travel?: number;
  readonly nose?: number;
  /** "base 21.4 mm would do, or travel 35 deg"; empty where nothing would. */
  readonly words: string;
  readonly fixes: readonly Fix[];
}

/** The nose of an undercut cam, where it is to blame: larger than its lobe is high, and a smaller one would do. */
export function noseToBlame(m: Mechanism, figure: CamFigure): Given<number> | undefined {
  const nose = named(m.segments, figure.segments[0])?.nose;
  return nose && nose.value > figure.lift.stroke && noseThatDoes(figure) !== undefined ? nose : undefined;
}

const noseThatDoes = ({ largestNose }: CamFigure, room = Infinity): number | undefined =>
  largestNose !== undefined && largestNose >= 0.1 ? roundDown(Math.min(largestNose, room), 0.1) : undefined;

/**
 * The base and the travel that would do; for an undercut cam also the nose, first of all where it is to blame, and no
 * greater than there is room for.
 */
export function mendsOf(m: Mechanism, f: Figures, cam: Cam, figure: CamFigure, room = Infinity): Mends {
  const base = leastBase(m, f, figure);
  const travel = travelThatDoes(cam, figure);
  const segment = named(m.segments, figure.segments[0]);
  const nose = segment?.nose && noseThatDoes(figure, room);
  const words = {
    base: base === undefined ? [] : [`base ${millimetres(roundUp(base, 0.5))}`],
    nose: nose === undefined ? [] : [`nose ${millimetres(nose)}`],
    travel: travel === undefined ? [] : [`travel ${degreesWritten(travel, 2)}`],
  };
  const fixes = {
    base: base === undefined ? [] : baseFixes(m, cam, base),
    nose:
      nose === undefined || !segment?.nose
        ? []
        : [
            fix(
              `Give ${segment.name} nose ${millimetres(nose)}`,
              rewriting(segment.nose, segment, 'nose', millimetres(nose)),
            ),
          ],
    travel:
      travel === undefined
        ? []
        : [
            fix(
              `Give ${cam.name} travel ${degreesWritten(travel, 2)}`,
              setting(cam.name, 'travel', degreesWritten(travel, 3)),
            ),
          ],
  };
  const order = noseToBlame(m, figure) ? (['nose', 'base', 'travel'] as const) : (['base', 'nose', 'travel'] as const);
  return {
    ...(base !== undefined && { base }),
    ...(travel !== undefined && { travel }),
    ...(nose !== undefined && { nose }),
    words: order
      .flatMap((which) => words[which])
      .map((number, i) => (i === 0 ? `${number} would do` : `or ${number}`))
      .join(', '),
    fixes: order.flatMap((which) => fixes[which]),
  };
}

/** The least base, up to half a millimetre; and the next greater one of another cam, which what lies round may suit. */
export function baseFixes(m: Mechanism, cam: Cam, least: number): Fix[] {
  const { base } = cam;
  if (!base) return [];
  const rounded = roundUp(least, 0.5);
  const greater = m.cams.flatMap((other) => (other.base && other.base.value > rounded ? [other.base.value] : []));
  return [rounded, ...(greater.length ? [Math.min(...greater)] : [])].map((value) => {
    const text = millimetres(value, 3);
    return fix(`Give ${cam.name} base ${text}`, rewriting(base, cam, 'base', text));
  });
}

/** The shortest travel that would do, up to a half degree, where the travel makes every flank and has room. */
function travelThatDoes(cam: Cam, { shortestTravel, spacing }: CamFigure): number | undefined {
  const byTravel =
    !cam.rise && !cam.fall && !(cam.lobes.by === 'angles' && cam.lobes.lobes.some((lobe) => lobe.before));
  return byTravel && shortestTravel !== undefined && shortestTravel <= spacing + 1e-9
    ? Math.min(roundUp(shortestTravel, Math.PI / 360), spacing)
    : undefined;
}

/** Whether a flank of a cam is reckoned by a default, because what the text says of it is not understood. */
export const hasGuess = (cam: Cam): boolean =>
  isGuess(cam, 'law', cam.law) ||
  (isGuess(cam, 'travel', cam.travel) && !(cam.rise && cam.fall)) ||
  cam.unclear.includes('rise') ||
  cam.unclear.includes('fall');
