/**
 * Gears put in wrongly: a tooth or a step off, on another key way, upside down, one for another. They are put in by their
 * marks, and where the teeth then do not meet, by the nearest tooth.
 */
import { millimetres, named, plain } from '../../checks/check.ts';
import type { GearFigure, MeshFigure } from '../../reckon/figures.ts';
import { turn, wrapped } from '../../reckon/motion/angles.ts';
import { wrongGearTurns } from '../../reckon/shape/keyed-parts.ts';
import type { Ground, Misbuild } from './build.ts';
import {
  boresInWords,
  type Faults,
  fitOn,
  type RuledOut,
  type Suspect,
  sameBore,
  stepsInWords,
  turnInWords,
} from './fault.ts';

export function gearFaults(ground: Ground): Faults {
  const { figures } = ground;
  const meshed = figures.gears.filter(({ name }) => figures.meshes.some(({ gears }) => gears.includes(name)));
  const kinds = [
    ...figures.meshes.map((mesh) => toothFaults(ground, mesh)),
    ...meshed.map((gear) => facingFaults(ground, gear)),
    exchanges(ground, meshed),
  ];
  return {
    possible: kinds.flatMap(({ possible }) => possible),
    impossible: kinds.flatMap(({ impossible }) => impossible),
    untold: meshed.flatMap(({ name, shaft }) => {
      const fit = fitOn(ground, shaft);
      return fit.by === 'unknown' ? [{ of: name, because: fit.because }] : [];
    }),
  };
}

type Found = Pick<Faults, 'possible' | 'impossible'>;

// ---- how far the shafts stand off ------------------------------------------------------------------

/** A gear as it is on its shaft: what stood at ψ of the shaft stands at turned + ψ, or turned over at turned − ψ. */
interface Stance {
  readonly of: GearFigure;
  readonly turned: number;
  readonly over: boolean;
}

const asMeant = (of: GearFigure): Stance => ({ of, turned: 0, over: false });
const imageOf = ({ turned, over }: Stance, angle: number): number => (over ? turned - angle : turned + angle);

/** How far round a gear's marks say that it is: the least turn that puts a mark where each is due; undefined where none does. */
function apparentTurn(due: GearFigure, stance: Stance): number | undefined {
  const marks = stance.of.marks.map((mark) => imageOf(stance, mark));
  const [first = 0] = due.marks;
  const fits = (by: number) => due.marks.every((mark) => marks.some((one) => gap(one - mark - by) < 1e-6));
  return marks
    .map((mark) => signed(mark - first))
    .filter(fits)
    .sort((a, b) => Math.abs(a) - Math.abs(b))[0];
}

const signed = (angle: number): number => {
  const by = wrapped(angle);
  return by > Math.PI + 1e-9 ? by - turn : by;
};
const gap = (angle: number): number => Math.abs(signed(angle));

interface MeshOff {
  readonly mesh: MeshFigure;
  readonly teeth: number;
}

/**
 * How far every shaft stands counter-clockwise of where it is due, the leading one at home. Over a mesh from gear g to
 * gear h, by whose marks they are put in, what g's mark is off by rolls on as −z_g/z_h of it; of the stands at which the
 * teeth meet, a pitch of h apart, the nearest to that is taken.
 * Undefined where marks cannot be put where they are due.
 */
function shaftsAhead(
  { figures }: Ground,
  altered: ReadonlyMap<string, Stance>,
  off?: MeshOff,
): ReadonlyMap<string, number> | undefined {
  const ahead = new Map<string, number>();
  const stanceOf = (gear: GearFigure) => altered.get(gear.name) ?? asMeant(gear);
  for (const { name, path } of [...figures.shafts].sort((a, b) => a.path.length - b.path.length)) {
    const before = path.at(-2);
    const found = before === undefined ? undefined : meshBetween(figures, before, name);
    if (!found) {
      ahead.set(name, 0);
      continue;
    }
    const { mesh, near, far, line } = found;
    const [atNear, atFar] = [apparentTurn(near, stanceOf(near)), apparentTurn(far, stanceOf(far))];
    if (atNear === undefined || atFar === undefined) return undefined;
    const start = ahead.get(before!) ?? 0;
    const rolled = -(near.teeth / far.teeth) * (atNear + start) - atFar;
    const pitch = turn / far.teeth;
    // Pitches from a tooth to the line of centres, of both gears: they meet where their sum is as it is when meant.
    const pitches = (gear: GearFigure, at: number, tooth: number) => ((at - tooth) / turn) * gear.teeth;
    const due = pitches(near, line, near.toothAt) + pitches(far, line + Math.PI, far.toothAt);
    const toothOf = (gear: GearFigure) => imageOf(stanceOf(gear), stanceOf(gear).of.toothAt);
    const here = pitches(near, line, toothOf(near) + start) + pitches(far, line + Math.PI, toothOf(far) + rolled);
    const teeth = off?.mesh === mesh ? off.teeth : 0;
    const missing = here - due;
    ahead.set(name, rolled + (missing - Math.round(missing) + teeth) * pitch);
  }
  return ahead;
}

/** The mesh that drives a shaft, with its gears from the driving shaft's. */
function meshBetween({ meshes, gears }: Ground['figures'], before: string, shaft: string) {
  for (const mesh of meshes) {
    const [one, other] = mesh.gears.map((name) => named(gears, name));
    if (one?.shaft === before && other?.shaft === shaft) return { mesh, near: one, far: other, line: mesh.azimuth };
    if (other?.shaft === before && one?.shaft === shaft) {
      return { mesh, near: other, far: one, line: mesh.azimuth + Math.PI };
    }
  }
  return undefined;
}

const buildOf = (ahead: ReadonlyMap<string, number>): Misbuild => ({
  ahead: new Map([...ahead].map(([shaft, by]) => [shaft, signed(by)])),
});

// ---- a tooth off ------------------------------------------------------------------------------------

function toothFaults(ground: Ground, mesh: MeshFigure): Found {
  const { figures } = ground;
  const outer = named(figures.shafts, mesh.toothOff[0]?.shaft);
  const pair = outer && meshBetween(figures, outer.path.at(-2)!, outer.name);
  if (!outer || pair?.mesh !== mesh) return { possible: [], impossible: [] };
  const { near, far } = pair;
  const off = (teeth: number): Suspect[] => {
    const ahead = shaftsAhead(ground, new Map(), { mesh, teeth });
    if (!ahead) return [];
    const by = ahead.get(outer.name)!;
    const much = Math.abs(teeth) === 1 ? 'a tooth' : `a step (${Math.abs(teeth)} teeth)`;
    const what = `${far.name} meshes ${much} off with ${near.name}, shaft ${outer.name} ${turnInWords(by)} of its place`;
    return [{ fault: { kind: 'gear off', about: [far.name, near.name], what, by, teeth }, build: buildOf(ahead) }];
  };
  const perStep = (Math.abs(outer.step) / turn) * far.teeth;
  const whole = Math.round(perStep);
  const isWhole = Math.abs(perStep - whole) < 1e-9;
  const ruled = isWhole
    ? []
    : [
        {
          what: `${far.name} just a step off with ${near.name}`,
          because: `a step is ${plain(perStep, 2)} of its teeth`,
        },
      ];
  return {
    possible: [...off(1), ...off(-1), ...(isWhole && whole > 1 ? [...off(whole), ...off(-whole)] : [])],
    impossible: ruled,
  };
}

// ---- a gear on its shaft ----------------------------------------------------------------------------

function facingFaults(ground: Ground, gear: GearFigure): Found {
  const fit = fitOn(ground, gear.shaft);
  if (fit.by === 'unknown') return { possible: [], impossible: [] };
  if (fit.by === 'hand') return byHand(ground, gear);
  const possible: Suspect[] = [];
  const impossible: RuledOut[] = [];
  for (const by of wrongGearTurns(gear, fit.ways)) {
    const ahead = shaftsAhead(ground, new Map([[gear.name, { of: gear, turned: by, over: false }]]));
    const what = `${gear.name} is turned by ${turnInWords(by)} on key ${fit.key}`;
    if (ahead) possible.push({ fault: { kind: 'gear turned', about: [gear.name], what, by }, build: buildOf(ahead) });
  }
  if (fit.ways === 1) {
    impossible.push({ what: `${gear.name} turned on its shaft`, because: `key ${fit.key} goes on in one way` });
  }
  for (let way = 0; way < fit.ways; way++) {
    const by = (way * turn) / fit.ways;
    const stance = { of: gear, turned: fit.mirror + by, over: true };
    const turned = way > 0 ? `, turned by ${turnInWords(by)}` : '';
    const ahead = shaftsAhead(ground, new Map([[gear.name, stance]]));
    if (ahead) {
      const what = `${gear.name} is upside down${turned}`;
      const note = 'its marks then look backwards';
      possible.push({
        fault: { kind: 'gear upside down', about: [gear.name], what, by, note },
        build: buildOf(ahead),
      });
    } else {
      const because = 'its marks then do not meet those of its neighbours';
      impossible.push({ what: `${gear.name} upside down${turned}`, because });
    }
  }
  return { possible, impossible };
}

/** On a shaft without a key a gear is set by hand: what it carries may stand a step off. */
function byHand(ground: Ground, gear: GearFigure): Found {
  const shaft = named(ground.figures.shafts, gear.shaft)!;
  const carries = ground.figures.cams.some((cam) => cam.shaft === gear.shaft);
  if (!carries || shaft.step === 0) {
    const because = carries ? 'no step is known' : `nothing else turns with it on ${gear.shaft}`;
    return { possible: [], impossible: [{ what: `${gear.name} turned or upside down on its shaft`, because }] };
  }
  const possible = [shaft.step, -shaft.step].flatMap((by): Suspect[] => {
    const ahead = shaftsAhead(ground, new Map([[gear.name, { of: gear, turned: by, over: false }]]));
    const what = `${gear.name} is turned by ${turnInWords(by)} (${stepsInWords(by, shaft.step)}) on its shaft`;
    return ahead ? [{ fault: { kind: 'gear turned', about: [gear.name], what, by }, build: buildOf(ahead) }] : [];
  });
  return { possible, impossible: [] };
}

// ---- one for another ----------------------------------------------------------------------------------

function exchanges(ground: Ground, gears: readonly GearFigure[]): Found {
  const pairs = gears.flatMap((one, i) => gears.slice(i + 1).map((other) => [one, other] as const));
  const possible: Suspect[] = [];
  const impossible: RuledOut[] = [];
  for (const [one, other] of pairs.filter(([one, other]) => one.shaft !== other.shaft)) {
    const what = `${one.name} and ${other.name} are exchanged`;
    const because = unlike(ground, one, other);
    if (because !== undefined) {
      impossible.push({ what: `${one.name} exchanged for ${other.name}`, because });
      continue;
    }
    const stances = new Map([
      [one.name, asMeant(other)],
      [other.name, asMeant(one)],
    ]);
    const ahead = shaftsAhead(ground, stances);
    if (ahead)
      possible.push({ fault: { kind: 'gears exchanged', about: [one.name, other.name], what }, build: buildOf(ahead) });
    else
      impossible.push({ what: `${one.name} exchanged for ${other.name}`, because: 'their marks do not stand alike' });
  }
  return { possible, impossible };
}

/** Why two gears cannot take each other's place. */
function unlike(ground: Ground, one: GearFigure, other: GearFigure): string | undefined {
  const { m } = ground;
  if (one.teeth !== other.teeth) return `they have ${one.teeth} and ${other.teeth} teeth`;
  if (one.tipRadius !== other.tipRadius || one.baseRadius !== other.baseRadius) return 'their teeth are not alike';
  const [a, b] = [one, other].map(({ name }) => named(m.gears, name)!);
  if (a.width?.value !== b.width?.value) {
    return `they are ${[a, b].map(({ width }) => millimetres(width?.value ?? 0, 2)).join(' and ')} wide`;
  }
  return sameBore(m, one.shaft, other.shaft) ? undefined : boresInWords(m, one.shaft, other.shaft);
}
