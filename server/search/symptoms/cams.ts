/** Cams put on wrongly: upside down, exchanged, turned on the key or, where there is none, on the shaft. */
import { degrees, millimetres, named } from '../../checks/check.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { turn, wrapped } from '../../reckon/motion/angles.ts';
import { wrongFlips, wrongTurns } from '../../reckon/shape/keyed-parts.ts';
import { type Ground, isEven, type Seat } from './build.ts';
import {
  boresInWords,
  type Faults,
  type Fit,
  fitOn,
  type RuledOut,
  type Suspect,
  sameBore,
  stepsInWords,
  turnInWords,
} from './fault.ts';

/** Where nothing keys it, a cam is tried less than this many rests to either side. */
const mostByHand = 12;

export function camFaults(ground: Ground): Faults {
  const single = ground.figures.cams.map((cam) => facingFaults(ground, cam));
  const pairs = exchanges(ground);
  const unknown = ground.m.cams.filter(({ name }) => !named(ground.figures.cams, name));
  return {
    possible: [...single.flatMap(({ over }) => over), ...pairs.possible, ...single.flatMap(({ turned }) => turned)],
    impossible: [...single.flatMap(({ ruled }) => ruled), ...pairs.impossible].filter(isFirst),
    untold: [
      ...single.flatMap(({ untold }) => (untold ? [untold] : [])),
      ...unknown.map(({ name }) => ({ of: name, because: `the lobes of ${name} are not known` })),
    ],
  };
}

const isFirst = (one: RuledOut, index: number, all: readonly RuledOut[]): boolean =>
  all.findIndex(({ what, because }) => what === one.what && because === one.because) === index;

// ---- one cam by itself -----------------------------------------------------------------------

interface Facing {
  readonly over: readonly Suspect[];
  readonly turned: readonly Suspect[];
  readonly ruled: readonly RuledOut[];
  readonly untold?: Faults['untold'][number];
}

function facingFaults(ground: Ground, cam: CamFigure): Facing {
  const { name, shaft, lift } = cam;
  const none: Facing = { over: [], turned: [], ruled: [] };
  if (lift.lobes.length === 0) {
    return { ...none, ruled: [{ what: `${name} turned or upside down`, because: 'it is round, the same any way' }] };
  }
  const fit = fitOn(ground, shaft);
  if (fit.by === 'unknown') return { ...none, untold: { of: name, because: fit.because } };
  const { turns, flips } = waysOn(ground, cam, fit);
  return {
    over: flips.map((angle) => overFault(ground, cam, angle, fit, flips.length)),
    turned: turns.map((angle) => turnedFault(cam, angle, fit)),
    ruled: [
      ...(flips.length ? [] : [{ what: `${name} upside down`, because: 'turned over it is the same cam' }]),
      ...unturnable(cam, fit),
    ],
  };
}

/** The turns by which it goes on and is another cam, and the angles of the same turned over (see `Seat`). */
function waysOn(ground: Ground, cam: CamFigure, fit: Exclude<Fit, { by: 'unknown' }>) {
  // By hand it goes onto every rest: between two, all its bars would be seen to stand half-way.
  const { ways, mirror } = fit.by === 'key' ? fit : { ways: Math.round(turn / cam.spacing), mirror: 2 * cam.azimuth };
  const all = Array.from({ length: ways }, (_, i) => wrapped(mirror + (i * turn) / ways));
  const flips = isEven(ground.m, cam) ? wrongFlips(cam.lift, ways, mirror) : all;
  const isNear = (by: number) =>
    fit.by === 'key' || Math.min(wrapped(by), turn - wrapped(by)) < mostByHand * cam.spacing;
  return {
    turns: wrongTurns(cam.lift, ways).filter(isNear),
    flips: flips.filter((angle) => isNear(angle - mirror)),
  };
}

const seated = (own: string, seat: Seat) => ({ under: new Map([[own, seat]]) });

function overFault({ m }: Ground, { name, azimuth }: CamFigure, angle: number, fit: Fit, ways: number): Suspect {
  const flange = named(m.cams, name)?.flange.value ?? 0;
  const middle = wrapped(fit.by === 'key' ? angle - fit.mirror : angle - 2 * azimuth);
  const turned = ways > 1 && middle > 1e-9 ? `, turned by ${turnInWords(middle)}` : '';
  return {
    fault: {
      kind: 'cam upside down',
      about: [name],
      what: `${name} is upside down${turned}`,
      by: middle,
      ...(flange > 0 && { note: 'its flange then lies in front of it' }),
    },
    build: seated(name, { cam: name, turned: angle, over: true }),
  };
}

function turnedFault({ name, step }: CamFigure, angle: number, fit: Fit): Suspect {
  const steps = stepsInWords(angle, step);
  const where = fit.by === 'key' ? `on key ${fit.key}` : 'on its shaft';
  return {
    fault: {
      kind: 'cam turned',
      about: [name],
      what: `${name} is turned by ${turnInWords(angle)}${steps ? ` (${steps})` : ''} ${where}`,
      by: angle,
    },
    build: seated(name, { cam: name, turned: angle, over: false }),
  };
}

/** What the key keeps from happening. */
function unturnable({ shaft, step }: CamFigure, fit: Fit): RuledOut[] {
  if (fit.by !== 'key') return [];
  if (fit.ways === 1) {
    const because = `key ${fit.key} goes on in one way`;
    return [{ what: `a cam of ${shaft} turned by a step or a key place`, because }];
  }
  const places = (Math.abs(step) * fit.ways) / turn;
  if (step === 0 || Math.abs(places - Math.round(places)) < 1e-6) return [];
  const because = `key ${fit.key} goes on every ${degrees(turn / fit.ways, 2)}`;
  return [{ what: `a cam of ${shaft} just a step (${degrees(Math.abs(step), 2)}) off`, because }];
}

// ---- two cams --------------------------------------------------------------------------------

function exchanges(ground: Ground): Pick<Faults, 'possible' | 'impossible'> {
  const { cams } = ground.figures;
  const pairs = cams.flatMap((one, i) => cams.slice(i + 1).map((other) => [one, other] as const));
  const judged = pairs.map(([one, other]) => ({ one, other, against: keptApart(ground, one, other) }));
  return {
    possible: judged
      .filter(({ against }) => against === undefined)
      .sort((a, b) => Number(a.one.shaft !== a.other.shaft) - Number(b.one.shaft !== b.other.shaft))
      .map(({ one, other }) => exchanged(ground, one, other)),
    impossible: judged.flatMap(({ against }) => against ?? []),
  };
}

function exchanged({ m }: Ground, one: CamFigure, other: CamFigure): Suspect {
  const [a, b] = [one.name, other.name];
  const [high, low] = [a, b].map((name) => heightOf(named(m.cams, name)!));
  const apart = Math.abs(high - low);
  return {
    fault: {
      kind: 'cams exchanged',
      about: [a, b],
      what: `${a} and ${b} are exchanged`,
      ...(apart > 1e-6 && { note: `what lies between them then stands ${millimetres(apart, 2)} off` }),
    },
    build: {
      under: new Map([
        [a, { cam: b, turned: 0, over: false }],
        [b, { cam: a, turned: 0, over: false }],
      ]),
    },
  };
}

const heightOf = ({ thickness, flange }: Ground['m']['cams'][number]): number =>
  thickness.value + Math.max(0, flange.value);

/** Why cams of two shafts cannot take each other's place. */
function keptApart(ground: Ground, one: CamFigure, other: CamFigure): RuledOut | undefined {
  if (one.shaft === other.shaft) return undefined;
  const { m } = ground;
  if (!sameBore(m, one.shaft, other.shaft)) {
    const because = boresInWords(m, one.shaft, other.shaft);
    return { what: `a cam of ${one.shaft} exchanged for one of ${other.shaft}`, because };
  }
  const [a, b] = [one, other].map(({ name }) => named(m.cams, name)!);
  const unlike = a.thickness.value !== b.thickness.value || a.flange.value !== b.flange.value;
  if (!unlike) return undefined;
  const because = `they are ${millimetres(heightOf(a), 2)} and ${millimetres(heightOf(b), 2)} thick`;
  const layers = heightOf(a) === heightOf(b) ? 'their plates and flanges are not of one thickness' : because;
  return { what: `${a.name} exchanged for ${b.name}`, because: layers };
}
