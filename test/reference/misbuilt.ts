/**
 * Numerals put together wrongly, by brute force and apart from the product's own motion: profiles are polygons that are
 * turned and mirrored, followers are dropped onto them, gears are put in by their marks and turned tooth by tooth.
 */
import type { Gear, Mechanism, Point, Segment } from '../../language/mechanism.ts';
import type { Figures } from '../../server/reckon/figures.ts';
import { profileOf } from '../../server/reckon/shape/bodies.ts';
import type { Fault } from '../../server/search/symptoms.ts';
import { droppedArm, droppedNose, laidFace } from './turning.ts';

const turn = 2 * Math.PI;

/** What lies under each follower (by the cam that is meant for it), as a polygon in the frame of its shaft. */
interface Assembly {
  readonly under: Map<string, readonly Point[] | undefined>;
  readonly ahead: Map<string, number>;
  readonly held: Set<string>;
  steps: (position: number) => number;
}

/** Faces letter by letter: 1 shown, 0 hidden, - half-way, as `segments` go. */
export function facesBuilt(m: Mechanism, figures: Figures, segments: readonly string[], fault?: Fault): string[] {
  const built: Assembly = { under: new Map(), ahead: new Map(), held: new Set(), steps: (position) => position };
  for (const cam of m.cams) built.under.set(cam.name, polygonOf(m, figures, cam.name));
  if (fault) misbuild(m, figures, built, fault);
  const count = m.count!.symbols.length * m.count!.times;
  const stepOf = stepsOfShafts(m, count);
  const followers = m.cams.map((cam) => {
    const segment = m.segments.find(({ name }) => name === cam.segments[0]!.name)!;
    const shaft = cam.shaft!.name;
    const liftAt = (steps: number) =>
      standing(m, cam.name, segment, built.under.get(cam.name), stepOf(shaft) * steps + (built.ahead.get(shaft) ?? 0));
    // What hangs stays at the highest that it was pushed in one turn.
    const looks = Array.from({ length: 72 }, (_, i) => (i / 72) * (turn / Math.abs(stepOf(shaft))));
    const top = built.held.has(cam.name) ? Math.max(...looks.map(liftAt)) : undefined;
    return { cam, liftAt: (position: number) => top ?? liftAt(built.steps(position)) };
  });
  return Array.from({ length: count }, (_, position) =>
    segments
      .map((name) => {
        const segment = m.segments.find((one) => one.name === name)!;
        const follower = followers.find(({ cam }) => cam.segments.some((one) => one.name === name));
        const stroke = follower && m.segments.find((one) => one.name === follower.cam.segments[0]!.name)!.stroke!.value;
        const share = shareOf(segment, follower ? follower.liftAt(position) : 0, stroke ?? segment.stroke!.value);
        if (share >= m.limits.shown.value - 1e-6) return '1';
        return share <= m.limits.hidden.value + 1e-6 ? '0' : '-';
      })
      .join(''),
  );
}

const polygons = new WeakMap<Figures, Map<string, readonly Point[]>>();

function polygonOf(m: Mechanism, figures: Figures, cam: string): readonly Point[] {
  const known = polygons.get(figures) ?? new Map<string, readonly Point[]>();
  polygons.set(figures, known);
  const polygon = known.get(cam) ?? exported(m, figures, cam);
  return known.set(cam, polygon).get(cam)!;
}

function exported(m: Mechanism, figures: Figures, cam: string): readonly Point[] {
  const outline = profileOf(m, figures, cam);
  if ('because' in outline) throw new Error(outline.because);
  return Array.from(outline.x, (x, i) => ({ x, y: outline.y[i]! }));
}

const turned = (points: readonly Point[], by: number): Point[] =>
  points.map(({ x, y }) => ({ x: x * Math.cos(by) - y * Math.sin(by), y: x * Math.sin(by) + y * Math.cos(by) }));

/** Turned over about the ray at `about`. */
const mirrored = (points: readonly Point[], about: number): Point[] =>
  turned(
    turned(points, -about).map(({ x, y }) => ({ x, y: -y })),
    about,
  );

// ---- what a follower does ---------------------------------------------------------------------------

const stands = new WeakMap<readonly Point[], Map<string, number>>();

/** Lift of a cam's follower on a polygon that has turned by `angle`, dropped once for all builds. */
function standing(
  m: Mechanism,
  cam: string,
  segment: Segment,
  polygon: readonly Point[] | undefined,
  angle: number,
): number {
  if (!polygon) return 0;
  const known = stands.get(polygon) ?? new Map<string, number>();
  stands.set(polygon, known);
  const key = `${cam} ${angle.toFixed(9)}`;
  const lift = known.get(key) ?? dropped(m, cam, segment, polygon, angle);
  return known.set(key, lift).get(key)!;
}

function dropped(m: Mechanism, cam: string, segment: Segment, polygon: readonly Point[], angle: number): number {
  const statement = m.cams.find(({ name }) => name === cam)!;
  const [base, nose] = [statement.base!.value, segment.nose?.value ?? 0];
  const azimuth = segment.azimuth!.value;
  const kind = segment.follower.value;
  if (kind.kind === 'flat') return laidFace(polygon, angle, azimuth) - base;
  if (kind.kind === 'round') {
    const offset = segment.offset.value;
    return droppedNose(polygon, angle, azimuth, offset, nose) - Math.sqrt((base + nose) ** 2 - offset ** 2);
  }
  // The arm in a frame about the shaft; of the two places on the prime circle, that nearer the azimuth.
  const shaft = m.shafts.find(({ name }) => name === statement.shaft!.name)!.at!.value;
  const pivot = { x: kind.at.x - shaft.x, y: kind.at.y - shaft.y };
  const centres = Math.hypot(pivot.x, pivot.y);
  const cosine = (kind.arm ** 2 + centres ** 2 - (base + nose) ** 2) / (2 * kind.arm * centres);
  const inward = Math.atan2(-pivot.y, -pivot.x);
  const [start, side] = ([1, -1] as const)
    .map((side) => [inward + side * Math.acos(cosine), side] as const)
    .sort(([a], [b]) => away(pivot, kind.arm, a, azimuth) - away(pivot, kind.arm, b, azimuth))[0]!;
  return droppedArm(polygon, angle, { pivot, arm: kind.arm, start, side }, nose);
}

const away = (pivot: Point, arm: number, angle: number, azimuth: number): number => {
  const at = Math.atan2(pivot.y + arm * Math.sin(angle), pivot.x + arm * Math.cos(angle));
  return Math.abs(Math.atan2(Math.sin(at - azimuth), Math.cos(at - azimuth)));
};

/** Share of the bar that is seen; behind a window, of an upright rectangle that another one covers. */
function shareOf({ window, bar, azimuth, shown }: Segment, lift: number, stroke: number): number {
  if (!window) return shown.value === 'raised' ? lift / stroke : 1 - lift / stroke;
  const [x, y] = [lift * Math.cos(azimuth!.value), lift * Math.sin(azimuth!.value)];
  const overlap = (a: number, wa: number, b: number, wb: number) =>
    Math.max(0, Math.min(a + wa / 2, b + wb / 2) - Math.max(a - wa / 2, b - wb / 2));
  const { width, height, at } = window.value;
  const { width: wide, height: high, at: from } = bar!.value;
  return (overlap(at.x, width, from.x + x, wide) * overlap(at.y, height, from.y + y, high)) / (width * height);
}

// ---- gears -------------------------------------------------------------------------------------------

interface Pair {
  readonly near: Gear;
  readonly far: Gear;
  /** From the near gear's shaft to the far one's. */
  readonly line: number;
  readonly depth: number;
}

/** Every mesh, outwards from the leading shaft. */
function pairsOf(m: Mechanism): Pair[] {
  const gear = (name: string) => m.gears.find((one) => one.name === name)!;
  const depths = new Map([[leadingOf(m), 0]]);
  const pairs: Pair[] = [];
  for (let again = true; again; ) {
    again = false;
    for (const { gears } of m.meshes) {
      const [one, other] = gears.map(({ name }) => gear(name)) as [Gear, Gear];
      for (const [near, far] of [
        [one, other],
        [other, one],
      ] as const) {
        const depth = depths.get(near.shaft!.name);
        if (depth === undefined || depths.has(far.shaft!.name)) continue;
        const [a, b] = [near, far].map(({ shaft }) => m.shafts.find(({ name }) => name === shaft!.name)!.at!.value);
        pairs.push({ near, far, line: Math.atan2(b!.y - a!.y, b!.x - a!.x), depth });
        depths.set(far.shaft!.name, depth + 1);
        again = true;
      }
    }
  }
  return pairs;
}

const leadingOf = (m: Mechanism): string =>
  m.shafts.find(({ leads }) => leads)?.name ?? m.ratchets[0]?.shaft?.name ?? m.shafts[0]!.name;

/** Signed turn of each shaft in a forward step, by counting teeth from the leading shaft. */
function stepsOfShafts(m: Mechanism, count: number): (shaft: string) => number {
  const leading = m.shafts.find(({ name }) => name === leadingOf(m))!;
  const steps = new Map([[leading.name, ((leading.turns?.value === 'counterclockwise' ? 1 : -1) * turn) / count]]);
  for (const { near, far } of pairsOf(m)) {
    const by = steps.get(near.shaft!.name)! * (near.teeth!.value / far.teeth!.value);
    const said = m.shafts.find(({ name }) => name === far.shaft!.name)!.turns?.value;
    // Motion follows `turns` where the text contradicts its meshes.
    const sense = said ? (said === 'counterclockwise' ? 1 : -1) : -Math.sign(steps.get(near.shaft!.name)!);
    steps.set(far.shaft!.name, sense * Math.abs(by));
  }
  return (shaft) => steps.get(shaft) ?? steps.get(leading.name)!;
}

/** An angle by its shorter way; half a turn is counter-clockwise. */
const shorter = (angle: number): number => angle - turn * Math.ceil(angle / turn - 0.5 - 1e-9);

/** A gear as it lies on its shaft, in the shaft's frame: its first mark, and the middle of one tooth. */
interface Laid {
  readonly mark: number;
  readonly tooth: number;
}

/** As the text has it at home: the first mark is a tooth an even number of meshes from the leading shaft, else a space. */
function laidOf(m: Mechanism, gear: Gear, depth: number): Laid {
  const pair = pairsOf(m).find(({ near, far }) => near === gear || far === gear)!;
  const mark = gear.marks[0]?.value ?? (pair.near === gear ? pair.line : pair.line + Math.PI);
  return { mark, tooth: depth % 2 === 0 ? mark : mark + turn / gear.teeth!.value / 2 };
}

/**
 * Puts every gear in by its mark, outwards: the driving one is turned until its mark is where it is due, the next is put in
 * with its mark where that is due, on to the nearest stand at which the teeth meet; then the driving one is turned back.
 */
function putIn(m: Mechanism, laid: (gear: Gear, meant: Laid) => Laid, teethOff?: { far: string; teeth: number }) {
  const ahead = new Map<string, number>();
  for (const { near, far, line, depth } of pairsOf(m)) {
    const [meantNear, meantFar] = [laidOf(m, near, depth), laidOf(m, far, depth + 1)];
    const [isNear, isFar] = [laid(near, meantNear), laid(far, meantFar)];
    const [zNear, zFar] = [near.teeth!.value, far.teeth!.value];
    const pitch = turn / zFar;
    /** How far the teeth are from meeting, in pitches of the far gear, −½ to ½. */
    const amiss = (a: Laid, aAt: number, b: Laid, bAt: number) => {
      const both = ((line - a.tooth - aAt) / turn) * zNear + ((line + Math.PI - b.tooth - bAt) / turn) * zFar;
      return both - 0.5 - Math.round(both - 0.5);
    };
    const home = ahead.get(near.shaft!.name) ?? 0;
    // The shorter way: a whole turn more would pass other teeth of the far gear.
    const turnedTo = -shorter(isNear.mark - meantNear.mark);
    let put = meantFar.mark - isFar.mark;
    const due = amiss(meantNear, 0, meantFar, 0);
    const missing = amiss(isNear, turnedTo, isFar, put) - due;
    put += (missing - Math.round(missing)) * pitch;
    const back = home - turnedTo;
    const rolled = put - (zNear / zFar) * back;
    ahead.set(far.shaft!.name, rolled + (teethOff?.far === far.name ? teethOff.teeth * pitch : 0));
  }
  return ahead;
}

// ---- faults ---------------------------------------------------------------------------------------------

function misbuild(m: Mechanism, figures: Figures, built: Assembly, fault: Fault): void {
  const [first, second] = fault.about as [string, string];
  const { by = 0 } = fault;
  const put = (ahead: Map<string, number>) => {
    for (const [shaft, angle] of ahead) built.ahead.set(shaft, angle);
  };
  const keyOn = (shaft: string | undefined) =>
    m.keys.find(({ name }) => name === m.shafts.find((one) => one.name === shaft)?.key?.name);
  /** The ray about which a part of a shaft is turned over. */
  const rayOf = (shaft: string | undefined, azimuth: number): number => {
    const key = keyOn(shaft);
    if (!key) return azimuth;
    if (key.shape!.value !== 'splined') return 0;
    return (((key.master?.value ?? 1) - 1) * turn) / key.teeth!.value / 2;
  };
  const holding = (segment: string) => {
    const cam = m.cams.find(({ segments }) => segments.some(({ name }) => name === segment));
    if (cam) built.held.add(cam.name);
  };
  /** A part goes onto its key turned by a whole number of the key's ways. */
  const goesOn = (shaft: string | undefined) => {
    const key = keyOn(shaft);
    const alike = {
      flat: 1,
      square: 4,
      hexagon: 6,
      splined: (key?.master?.value ?? 1) > 1 ? 1 : (key?.teeth?.value ?? 1),
    };
    const places = key ? (by / turn) * alike[key.shape!.value] : 0;
    if (Math.abs(places - Math.round(places)) > 1e-6) throw new Error(`${fault.what}: it does not go on so`);
  };
  switch (fault.kind) {
    case 'cam upside down': {
      const cam = m.cams.find(({ name }) => name === first)!;
      goesOn(cam.shaft?.name);
      const azimuth = m.segments.find(({ name }) => name === cam.segments[0]!.name)!.azimuth!.value;
      const over = mirrored(polygonOf(m, figures, first), rayOf(cam.shaft?.name, azimuth));
      built.under.set(first, turned(over, by));
      break;
    }
    case 'cam turned':
      goesOn(m.cams.find(({ name }) => name === first)!.shaft?.name);
      built.under.set(first, turned(polygonOf(m, figures, first), by));
      break;
    case 'cams exchanged':
      built.under.set(first, polygonOf(m, figures, second));
      built.under.set(second, polygonOf(m, figures, first));
      break;
    case 'bars exchanged': {
      const places = [
        ...new Set(
          fault.about.map((name) => m.cams.find(({ segments }) => segments.some((one) => one.name === name))!),
        ),
      ];
      const [one, other] = places as [(typeof places)[0], (typeof places)[0]];
      const cut = (shaft?: string, level?: number) => {
        const cam = m.cams.find((each) => each.shaft?.name === shaft && each.level?.value === level);
        return cam && polygonOf(m, figures, cam.name);
      };
      built.under.set(one.name, cut(one.shaft?.name, other.level?.value));
      built.under.set(other.name, cut(other.shaft?.name, one.level?.value));
      break;
    }
    case 'gear off':
      put(putIn(m, (_, meant) => meant, { far: first, teeth: fault.teeth! }));
      break;
    case 'gear turned':
      goesOn(m.gears.find(({ name }) => name === first)!.shaft?.name);
      put(
        putIn(m, (gear, { mark, tooth }) =>
          gear.name === first ? { mark: mark + by, tooth: tooth + by } : { mark, tooth },
        ),
      );
      break;
    case 'gear upside down':
      goesOn(m.gears.find(({ name }) => name === first)!.shaft?.name);
      put(
        putIn(m, (gear, { mark, tooth }) => {
          const ray = rayOf(gear.shaft?.name, 0);
          return gear.name === first ? { mark: 2 * ray - mark + by, tooth: 2 * ray - tooth + by } : { mark, tooth };
        }),
      );
      break;
    case 'gears exchanged': {
      const depth = (name: string) => {
        const pair = pairsOf(m).find(({ near, far }) => near.name === name || far.name === name)!;
        return pair.near.name === name ? pair.depth : pair.depth + 1;
      };
      const own = (name: string) => laidOf(m, m.gears.find((gear) => gear.name === name)!, depth(name));
      put(putIn(m, ({ name }, meant) => (name === first ? own(second) : name === second ? own(first) : meant)));
      break;
    }
    case 'spring left out':
      holding(second);
      break;
    case 'band off':
      if (m.segments.some(({ name }) => name === second)) holding(second);
      break;
    case 'band left out':
      for (const name of fault.about.slice(1)) holding(name);
      break;
    case 'wheel turned': {
      // The wheel's teeth come to rest where the pawl is: on to the nearest of them.
      const ratchet = m.ratchets[0]!;
      const count = m.count!.symbols.length * m.count!.times;
      const pitch = turn / ratchet.teeth!.value;
      let off = -by;
      while (off < -pitch / 2 + 1e-9) off += pitch;
      const stepOf = stepsOfShafts(m, count);
      for (const { name } of m.shafts) built.ahead.set(name, (off * stepOf(name)) / stepOf(ratchet.shaft!.name));
      break;
    }
    case 'stepping reversed':
      built.steps = (position) => -position;
      break;
    case 'stepping blocked':
      built.steps = () => 0;
      break;
    case 'home off': {
      const leading = stepsOfShafts(m, m.count!.symbols.length * m.count!.times)(leadingOf(m));
      built.steps = (position) => position + Math.round(by / leading);
      break;
    }
  }
}
