/**
 * How far a cam may rest from where it should, and a bar from where its cam puts it: what each clearance and each
 * printed edge on the way adds, at worst and by the root of the sum of squares.
 *
 * Half-angles. From the ratchet: its play and its wheel's key; for every mesh on the way both gears' keys and half
 * the backlash, but no key of a gear that hands the turn on from tooth to tooth (an idler): no torque goes through it; the
 * cam's own key; the guide's tilt, `fit·(1 + 2a/b)` at the nose, over the prime radius; how far the cam's shaft stays
 * wound up at a rest; all brought to the cam's shaft by the train. Derived from the geometry; worst case and root sum
 * square as in any handbook of tolerances (Shigley's *Mechanical Engineering Design*, ch. 1; F. Scholz, *Tolerance Stack Analysis Methods*, 1995).
 */
import type { Cam, Given, Mechanism, Process, Segment } from '../../../language/mechanism.ts';
import type { CamFigure, MissingFigure, MotionFigures, ShaftFigure } from '../figures.ts';
import { steppingOf } from '../force/push.ts';
import type { WindUpFigure } from '../force/strain.ts';
import { type Told, want } from '../missing.ts';
import { liftAt } from '../motion/lift.ts';
import type { KeyedParts } from '../shape/keyed-parts.ts';
import { clearanceMade } from '../shape/made.ts';
import { marginsOf } from './margins.ts';

/** One thing that lets a cam rest beside its place. */
export interface AngleShare {
  /** In the maker's words: "key under upperGear". */
  readonly what: string;
  /** The part that it is of. */
  readonly of: string;
  /** Half-angle on the cam's shaft, rad. */
  readonly angle: number;
  /** Half-angle on its own shaft, and turns of the cam for one of that shaft. */
  readonly own: number;
  readonly ratio: number;
  /** How much the half-angle on its own shaft grows with the number in the text that causes it. */
  readonly perUnit: number;
  /** What of that number printing takes away on the mean, mm: holes come out undersize. */
  readonly lost?: number;
  readonly cause: Given<number>;
  /** The part and the property that say it in the text. */
  readonly by: Said;
  /** What prints the two edges that bound it; absent where the number is no printed gap. */
  readonly process?: Process;
  /** Only ever so far behind, as the step goes, not either way. */
  readonly sense?: 'behind';
}

export interface Said {
  readonly of: string;
  readonly property:
    | 'play'
    | 'clearance'
    | 'backlash'
    | 'fit'
    | 'bearing'
    | 'base'
    | 'nose'
    | 'spread'
    | 'across'
    | 'outer'
    | 'inner';
}

/** One thing that lets a bar stand higher or lower than its cam's lift says. */
export interface LengthShare {
  readonly what: string;
  readonly of: string;
  /** Half-width, mm. */
  readonly length: number;
  /** What of the number in the text printing takes away on the mean, mm. */
  readonly lost?: number;
  readonly cause: Given<number>;
  readonly by: Said;
  /** A gap in which a part stands anywhere, or an edge that is printed ± so much. */
  readonly kind: 'key' | 'bearing' | 'edge';
  readonly process: Process;
}

export interface Sum<Share> {
  readonly worst: number;
  readonly rss: number;
  /** The greatest first. */
  readonly from: readonly Share[];
  /** Something else adds to it that the design does not give. */
  readonly partial?: true;
}

export interface CamPlay {
  /** Least turn of the cam, either way, from a rest to where its segment is no longer read as it is there. */
  readonly restMargin?: number;
  /** The same by sense; Infinity where it never is. */
  readonly restMargins?: { readonly forward: number; readonly backward: number };
  readonly restError?: Sum<AngleShare>;
  /** Least error of the lift, mm, at a rest that has its segment read otherwise. */
  readonly liftMargin?: number;
  readonly liftError?: Sum<LengthShare>;
}

/** A push that carries further than a step: where nothing brings it back, the train rests ahead. */
export interface ForwardRest {
  readonly push: string;
  readonly shaft: string;
  /** Beyond the step, on the push's shaft, rad; and less the ratchet's play, which reaches as far anyway. */
  readonly beyond: number;
  readonly shift: number;
}

export interface Play {
  readonly cams: readonly CamFigure[];
  readonly missing: readonly MissingFigure[];
}

/** The cams with their margins, and with what plays on the way to them and what their shafts stay wound up. */
export function playOf(m: Mechanism, motion: MotionFigures, keyed: KeyedParts, windUps: readonly WindUpFigure[]): Play {
  const told: Told = { defaults: [], missing: [...motion.missing] };
  const shafts = new Map(motion.shafts.map((shaft) => [shaft.name, shaft]));
  const segments = new Map(m.segments.map((segment) => [segment.name, segment]));
  const cams = motion.cams.map((figure): CamFigure => {
    const cam = m.cams.find(({ name }) => name === figure.name);
    const driven = figure.segments.flatMap((name) => segments.get(name) ?? []);
    if (!cam || !driven.length) return figure;
    const shaft = shafts.get(figure.shaft);
    const margins = marginsOf(m, figure, shaft, driven);
    const liftError = liftErrorOf(m, cam, figure, driven[0]);
    return {
      ...figure,
      ...(margins && { restMargins: { forward: margins.forward, backward: margins.backward } }),
      ...(margins?.turn !== undefined && { restMargin: margins.turn }),
      restError: restErrorOf(m, motion, keyed, windUps, cam, figure, driven[0], told),
      ...(margins?.lift !== undefined && !figure.lift.relative && { liftMargin: margins.lift }),
      ...(liftError && { liftError }),
    };
  });
  return { cams, missing: told.missing };
}

/** Worst case and root of the sum of squares of shares that are independent of each other; the greatest first. */
export function summed<Share>(shares: readonly Share[], size: (share: Share) => number): Sum<Share> {
  return {
    worst: shares.reduce((sum, share) => sum + size(share), 0),
    rss: Math.sqrt(shares.reduce((sum, share) => sum + size(share) ** 2, 0)),
    from: [...shares].sort((a, b) => size(b) - size(a)),
  };
}

// ---- the angle of a cam ------------------------------------------------------------------

function restErrorOf(
  m: Mechanism,
  motion: MotionFigures,
  keyed: KeyedParts,
  windUps: readonly WindUpFigure[],
  cam: Cam,
  figure: CamFigure,
  follower: Segment,
  told: Told,
): Sum<AngleShare> {
  const shares: AngleShare[] = [];
  let whole = true;
  const shafts = new Map(motion.shafts.map((shaft) => [shaft.name, shaft]));
  const add = (shaft: string, share: Omit<AngleShare, 'angle' | 'ratio'>) => {
    const ratio = ratioBetween(shafts.get(shaft), shafts.get(figure.shaft));
    if (ratio === undefined) whole = false;
    else shares.push({ ...share, ratio, angle: share.own * ratio });
  };
  const addKey = (shaftName: string, of: string, process: Process) => {
    const name = m.shafts.find((shaft) => shaft.name === shaftName)?.key?.name;
    if (name === undefined) return;
    const [key, lever] = [m.keys.find((one) => one.name === name), keyed.keys.find((one) => one.name === name)?.lever];
    if (!key || lever === undefined) {
      whole = false;
      return;
    }
    const { left, lost } = leftOf(key.clearance, process);
    add(shaftName, {
      what: `key under ${of}`,
      of,
      own: left / lever,
      perUnit: 1 / lever,
      lost,
      cause: key.clearance,
      by: { of: name, property: 'clearance' },
      process,
    });
  };

  const ratchet = m.ratchets[0];
  const start = ratchet?.shaft?.name ?? motion.leading;
  const way = wayBetween(shafts.get(start ?? ''), shafts.get(figure.shaft));
  if (ratchet?.shaft && way) {
    const { name, play, process } = ratchet;
    if (play) {
      const own = Math.max(0, play.value);
      add(ratchet.shaft.name, {
        what: `play of ${name}`,
        of: name,
        own,
        perUnit: 1,
        cause: play,
        by: { of: name, property: 'play' },
      });
    } else {
      want(told, ratchet, `rest error of ${figure.name}`, 'play');
      whole = false;
    }
    addKey(ratchet.shaft.name, name, process);
  }
  const ways = way?.slice(1).map((shaft, i) =>
    motion.meshes.find(({ gears }) => {
      const on = gears.map((gear) => motion.gears.find(({ name }) => name === gear)?.shaft);
      return on.includes(shaft) && on.includes(way[i]);
    }),
  );
  ways?.forEach((mesh, i) => {
    const said = m.meshes.find(({ gears }) => gears.every(({ name }, side) => name === mesh?.gears[side]));
    if (!mesh || !said) {
      whole = false;
      return;
    }
    for (const name of mesh.gears) {
      const passesOn = [ways[i - 1], ways[i + 1]].some((next) => next?.gears.includes(name));
      const gear = m.gears.find((one) => one.name === name)!;
      if (!passesOn) addKey(gear.shaft!.name, name, gear.process);
    }
    const second = motion.gears.find(({ name }) => name === mesh.gears[1])!;
    add(second.shaft, {
      what: `backlash of ${said.name}`,
      of: said.name,
      own: mesh.backlash / 2,
      perUnit: 1 / 2 / second.pitchRadius,
      cause: said.backlash,
      by: { of: said.name, property: 'backlash' },
      process: m.gears.find(({ name }) => name === second.name)!.process,
    });
  });
  addKey(figure.shaft, figure.name, cam.process);
  const wound = windUpShare(m, windUps, figure);
  if (wound) add(figure.shaft, wound);

  if (follower.follower.value.kind === 'round') {
    const tilt = tiltOf(figure, follower);
    if (tilt !== undefined) {
      const { name, fit, process } = follower;
      const own = Math.max(0, fit.value) * tilt;
      add(figure.shaft, {
        what: `tilt of ${name} in its guide`,
        of: name,
        own,
        perUnit: tilt,
        cause: fit,
        by: { of: name, property: 'fit' },
        process,
      });
    } else {
      // A design that says nothing yet of what holds its shaft is not asked for guides either.
      if (ratchet && !follower.guide) want(told, follower, `rest error of ${figure.name}`, 'guide');
      whole = false;
    }
  }
  return { ...summed(shares, ({ angle }) => angle), ...(!whole && { partial: true }) };
}

/** How far the shaft stays wound up between what drives it and the cam, by the size of its key's section. */
function windUpShare(m: Mechanism, windUps: readonly WindUpFigure[], { name, shaft }: CamFigure) {
  const own = windUps.find((one) => one.shaft === shaft)?.atRest.cams.find(({ cam }) => cam === name)?.angle;
  const key = m.keys.find((one) => one.name === m.shafts.find((each) => each.name === shaft)?.key?.name);
  const property = (['across', 'outer', 'inner'] as const).find((size) => key?.[size]);
  if (!key || !property || own === undefined || !(own > 0)) return undefined;
  return {
    what: `wind-up of ${shaft}`,
    of: shaft,
    own,
    perUnit: 0,
    cause: key[property]!,
    by: { of: key.name, property },
    sense: 'behind' as const,
  };
}

/** Cam angle, rad, for each mm of the guide's clearance: at the nose (1 + 2a/b), a the overhang in use, over the prime radius. */
function tiltOf({ primeRadius, rests, lift }: CamFigure, { guide, overhang, stroke, nose }: Segment) {
  const hangs = overhang?.value ?? (stroke && nose ? stroke.value + nose.value : undefined);
  if (primeRadius === undefined || !(guide && guide.value > 0) || hangs === undefined) return undefined;
  const least = rests.length ? Math.min(...rests.map((rest) => liftAt(lift, rest).lift)) : 0;
  return (1 + (2 * Math.max(0, hangs - least)) / guide.value) / primeRadius;
}

/** Turns of one shaft for one of another, without sign. */
function ratioBetween(from: ShaftFigure | undefined, to: ShaftFigure | undefined): number | undefined {
  if (!from || !to) return undefined;
  if (from.name === to.name) return 1;
  if (!from.ratio || !to.ratio) return undefined;
  return Math.abs((to.ratio.num / to.ratio.den) * (from.ratio.den / from.ratio.num));
}

/** The shafts that a turn goes through from one to another, both included; undefined where no train joins them. */
function wayBetween(from: ShaftFigure | undefined, to: ShaftFigure | undefined): string[] | undefined {
  if (!from || !to) return undefined;
  let common = 0;
  while (common < from.path.length && from.path[common] === to.path[common]) common++;
  if (common === 0) return undefined;
  return [...from.path.slice(common - 1).reverse(), ...to.path.slice(common)];
}

// ---- the lift of a bar ---------------------------------------------------------------------

/** Gaps and edges between a shaft's bearing and the nose that rides on its cam. */
function liftErrorOf(m: Mechanism, cam: Cam, figure: CamFigure, follower: Segment): Sum<LengthShare> | undefined {
  const shaft = m.shafts.find(({ name }) => name === figure.shaft);
  const key = m.keys.find(({ name }) => name === shaft?.key?.name);
  if (!shaft || !cam.base || figure.lift.relative) return undefined;
  const edge = (given: Given<number>, process: Process) => given.tolerance ?? process.spread.value;
  const { bearingClearance } = shaft;
  const [rides, size] = follower.nose ? (['nose', follower.nose] as const) : (['face', cam.base] as const);
  const [keyed, borne] = [key && leftOf(key.clearance, cam.process), leftOf(bearingClearance, shaft.process)];
  const shares: LengthShare[] = [
    ...(key && keyed
      ? [
          {
            what: `key under ${cam.name}`,
            of: cam.name,
            length: keyed.left,
            lost: keyed.lost,
            cause: key.clearance,
            by: { of: key.name, property: 'clearance' as const },
            kind: 'key' as const,
            process: cam.process,
          },
        ]
      : []),
    {
      what: `bearing of ${shaft.name}`,
      of: shaft.name,
      length: borne.left,
      lost: borne.lost,
      cause: bearingClearance,
      by: { of: shaft.name, property: 'bearing' },
      kind: 'bearing',
      process: shaft.process,
    },
    {
      what: `edge of ${cam.name}`,
      of: cam.name,
      length: edge(cam.base, cam.process),
      ...edgeSaid(cam.base, { of: cam.name, property: 'base' }, cam.process),
      kind: 'edge',
      process: cam.process,
    },
    {
      what: `${rides} of ${follower.name}`,
      of: follower.name,
      length: edge(size, follower.process),
      ...edgeSaid(
        size,
        rides === 'nose' ? { of: follower.name, property: 'nose' } : { of: cam.name, property: 'base' },
        follower.process,
      ),
      kind: 'edge',
      process: follower.process,
    },
  ];
  return summed(shares, ({ length }) => length);
}

/** What printing leaves of a clearance, and what it takes, mm. */
function leftOf({ value }: Given<number>, process: Process): { readonly left: number; readonly lost: number } {
  const left = clearanceMade(value, process);
  return { left, lost: Math.max(0, value) - left };
}

/** What says how far an edge strays: its own tolerance, else the process's spread. */
function edgeSaid(given: Given<number>, by: Said, process: Process): Pick<LengthShare, 'cause' | 'by'> {
  return given.tolerance === undefined
    ? { cause: process.spread, by: { of: process.name, property: 'spread' } }
    : { cause: given, by };
}

// ---- how far a push leaves the train ahead -----------------------------------------------------

/**
 * Where a push goes further than the step, and nothing holds the train (`hold` less than `drivesOn`, the torque with
 * which falling bars drive it on, N·mm on the ratchet's shaft), it rests that much ahead: a shift, not a spread.
 */
export function forwardRest(m: Mechanism, motion: MotionFigures, drivesOn: number): ForwardRest | undefined {
  const [first] = steppingOf(m, motion);
  if (!first?.ratchet || first.sweep === undefined) return undefined;
  const { push, ratchet, step, play, sweep } = first;
  if (ratchet.hold && ratchet.hold.value > drivesOn) return undefined;
  const beyond = sweep - step;
  const shift = beyond - Math.max(0, play);
  return shift > 1e-9 ? { push: push.name, shaft: push.shaft!.name, beyond, shift } : undefined;
}

/** The shift on a cam's shaft, rad, in the sense of a forward step. */
export function shiftOn({ step }: CamFigure, { shafts }: MotionFigures, rest: ForwardRest | undefined): number {
  const from = rest && shafts.find(({ name }) => name === rest.shaft);
  return rest && from?.step ? rest.shift * Math.abs(step / from.step) : 0;
}
