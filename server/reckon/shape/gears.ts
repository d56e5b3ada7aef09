/** Involute spur gears: sizes, how two of them mesh, and how their teeth stand at home. ISO 53 and ISO 21771. */
import type { Gear, Mechanism } from '../../../language/mechanism.ts';
import type { GearFigure, MeshFigure, ShaftFigure } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { type WholeMesh, wholeMeshes } from '../motion/train.ts';

/** Addendum and dedendum of the basic rack, in modules (ISO 53). */
const addendum = 1;
const dedendum = 1.25;

export interface GearSize {
  readonly pitchRadius: number;
  readonly tipRadius: number;
  readonly rootRadius: number;
  readonly baseRadius: number;
}

/** Radii of a gear of module `m` (mm), pressure angle (rad), profile shift in modules. */
export function gearSize(m: number, teeth: number, pressureAngle: number, shift: number): GearSize {
  const pitchRadius = (m * teeth) / 2;
  return {
    pitchRadius,
    tipRadius: pitchRadius + m * (addendum + shift),
    rootRadius: pitchRadius - m * (dedendum - shift),
    baseRadius: pitchRadius * Math.cos(pressureAngle),
  };
}

export const involute = (angle: number): number => Math.tan(angle) - angle;

/** The angle whose involute is `value` ≥ 0 (Newton; converges from above). */
function inverseInvolute(value: number): number {
  let angle = Math.min(1.5, Math.cbrt(3 * value) + 0.1);
  for (let i = 0; i < 50; i++) {
    const next = angle - (involute(angle) - value) / Math.tan(angle) ** 2;
    if (!(Math.abs(next - angle) > 1e-15)) break;
    angle = next;
  }
  return angle;
}

/** m(z₁ + z₂)/2, or with profile shift the distance at which the shifted teeth mesh without play. */
export function idealCentreDistance(m: number, teeth: number, pressureAngle: number, shifts: number): number {
  const plain = (m * teeth) / 2;
  if (shifts === 0) return plain;
  const value = involute(pressureAngle) + (2 * shifts * Math.tan(pressureAngle)) / teeth;
  return value > 0 ? (plain * Math.cos(pressureAngle)) / Math.cos(inverseInvolute(value)) : plain + shifts * m;
}

/** cos α_w = a₀ cos α / a; undefined where the base circles' tangent cannot reach. */
export function workingPressureAngle(plain: number, pressureAngle: number, distance: number): number | undefined {
  const cosine = (plain * Math.cos(pressureAngle)) / distance;
  return cosine <= 1 ? Math.acos(cosine) : undefined;
}

/** ε = [√(r_a1² − r_b1²) + √(r_a2² − r_b2²) − a sin α_w]/(π m cos α), 0 where the teeth do not reach each other. */
export function contactRatio(
  first: GearSize,
  second: GearSize,
  m: number,
  pressureAngle: number,
  distance: number,
): number | undefined {
  return ratioOver([first, second], m, pressureAngle, distance, tipReach);
}

/**
 * The same over the active flanks alone: the line of action ends where it touches the mate's base circle, and a tip that
 * reaches past it (interference) meets no involute there.
 */
export function activeContactRatio(
  first: GearSize,
  second: GearSize,
  m: number,
  pressureAngle: number,
  distance: number,
): number | undefined {
  return ratioOver([first, second], m, pressureAngle, distance, (size, line) => Math.min(tipReach(size), line));
}

/** How far along the line of action, from where it touches a gear's base circle, that gear's tips reach. */
const tipReach = ({ tipRadius, baseRadius }: GearSize): number =>
  Math.sqrt(Math.max(0, tipRadius ** 2 - baseRadius ** 2));

/** `line`: the length of the line of action between the two base circles, a·sin α_w. */
function ratioOver(
  [first, second]: readonly [GearSize, GearSize],
  m: number,
  pressureAngle: number,
  distance: number,
  reach: (size: GearSize, line: number) => number,
): number | undefined {
  const working = workingPressureAngle(first.pitchRadius + second.pitchRadius, pressureAngle, distance);
  if (working === undefined) return undefined;
  const line = distance * Math.sin(working);
  const path = reach(first, line) + reach(second, line) - line;
  return Math.max(0, path / (Math.PI * m * Math.cos(pressureAngle)));
}

/** c = a − r_a1 − r_f2: what is left between the tips of one gear and the roots of the other; the lesser way. ISO 21771. */
export function tipClearance(first: GearSize, second: GearSize, distance: number): number {
  return distance - Math.max(first.tipRadius + second.rootRadius, second.tipRadius + first.rootRadius);
}

/**
 * How far past the start of a gear's involute the tips of its mate reach, mm along the line of action: d_Ff against d_Nf.
 * The rack that cuts the gear has straight flanks down to its addendum, so the involute starts r·sin α − m·(1 − x)/sin α
 * from the base circle; the mate's tips reach to a·sin α_w − √(r_a² − r_b²). Below 0 they keep to it. ISO 21771, ISO 53.
 */
export function filletReach(
  gear: GearSize,
  shift: number,
  mate: GearSize,
  m: number,
  pressureAngle: number,
  distance: number,
): number | undefined {
  const working = workingPressureAngle(gear.pitchRadius + mate.pitchRadius, pressureAngle, distance);
  if (working === undefined) return undefined;
  const sine = Math.sin(pressureAngle);
  const form = Math.max(0, gear.pitchRadius * sine - (m * (addendum - shift)) / sine);
  return form - (distance * Math.sin(working) - tipReach(mate));
}

/** Whole free turn (rad) of a gear: the backlash on the pitch circle, and 2Δa·tan α for a greater distance. */
export function backlashAngle(backlash: number, excess: number, pressureAngle: number, pitchRadius: number): number {
  return Math.max(0, backlash + 2 * excess * Math.tan(pressureAngle)) / pitchRadius;
}

/** x = 1 − z·sin² α/2: the least profile shift, in modules, at which a rack cuts teeth without undercut. ISO 21771. */
export function leastShift(teeth: number, pressureAngle: number): number {
  return addendum - (teeth * Math.sin(pressureAngle) ** 2) / 2;
}

/**
 * Thickness of a tooth at its tip in modules, negative where its flanks meet below:
 * (d_a/m)·[(π/2 + 2x·tan α)/z + inv α − inv α_a]. ISO 21771.
 */
export function tipThickness(teeth: number, pressureAngle: number, shift: number): number {
  const { tipRadius, baseRadius } = gearSize(1, teeth, pressureAngle, shift);
  if (!(tipRadius > baseRadius)) return Number.NEGATIVE_INFINITY;
  const halfAngle = (Math.PI / 2 + 2 * shift * Math.tan(pressureAngle)) / teeth;
  return 2 * tipRadius * (halfAngle + involute(pressureAngle) - involute(Math.acos(baseRadius / tipRadius)));
}

/** The greatest shift, in modules, no greater than `most`, that leaves a tip so thick; undefined where none from `least` on does. */
export function shiftForTip(
  teeth: number,
  pressureAngle: number,
  thickness: number,
  least: number,
  most: number,
): number | undefined {
  const does = (shift: number) => tipThickness(teeth, pressureAngle, shift) >= thickness;
  if (!(most > least) || !does(least)) return undefined;
  let [low, high] = [least, most];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (does(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** How far the shafts beyond a mesh stand off, rad, when its outer gear is put in one tooth further round. */
function toothOff({ shafts: pair, gears }: WholeMesh, shafts: readonly ShaftFigure[]): MeshFigure['toothOff'] {
  const reached = pair.map((name) => shafts.find((shaft) => shaft.name === name));
  const side = [0, 1].find((end) => reached[end]?.path.at(-2) === pair[1 - end]);
  const [outer, teeth] = side === undefined ? [] : [reached[side], gears[side].teeth?.value];
  if (!outer?.ratio || !(teeth! > 0)) return [];
  const own = outer.ratio.num / outer.ratio.den;
  return shafts.flatMap(({ name, path, ratio }) =>
    ratio && path.includes(outer.name)
      ? [{ shaft: name, turn: Math.abs(ratio.num / ratio.den / own) * (turn / teeth!) }]
      : [],
  );
}

/** `value` as a share of a pitch, −½ < p ≤ ½. */
const share = (value: number): number => value - Math.ceil(value - 0.5);

export interface Gears {
  readonly gears: readonly GearFigure[];
  readonly meshes: readonly MeshFigure[];
}

/** Every gear and mesh that the text gives enough for. `deepest`: the deepest cam level; gears lie behind it. */
export function gearsOf(m: Mechanism, shafts: readonly ShaftFigure[], deepest: number): Gears {
  const places = new Map(m.shafts.map((shaft) => [shaft.name, shaft.at?.value]));
  const depth = new Map(shafts.map((shaft) => [shaft.name, shaft.path.length - 1]));
  const whole = wholeMeshes(m);
  const meshes = whole.flatMap((mesh): Placed[] => {
    const [from, to] = mesh.shafts.map((name) => places.get(name));
    if (!from || !to || (from.x === to.x && from.y === to.y)) return [];
    return [
      {
        ...mesh,
        azimuth: wrapped(Math.atan2(to.y - from.y, to.x - from.x)),
        distance: Math.hypot(to.x - from.x, to.y - from.y),
      },
    ];
  });

  const marks = new Map(m.gears.map((gear) => [gear.name, marksOf(gear, meshes)]));
  const toothAt = standing(m, meshes, marks, depth);

  const gears = m.gears.flatMap((gear): GearFigure[] => {
    const size = sizeOf(gear);
    if (!gear.shaft || !size || !depth.has(gear.shaft.name)) return [];
    return [
      {
        name: gear.name,
        shaft: gear.shaft.name,
        level: gear.level?.value ?? deepest + 1,
        teeth: gear.teeth!.value,
        ...size,
        marks: marks.get(gear.name)!,
        toothAt: toothAt.get(gear.name) ?? 0,
      },
    ];
  });

  return {
    gears,
    meshes: meshes.flatMap((placed): MeshFigure[] => {
      const { mesh, gears: pair, azimuth, distance } = placed;
      const [first, second] = pair;
      const [one, two] = pair.map(sizeOf);
      if (!one || !two) return [];
      const module = first.module!.value;
      const pressure = first.pressureAngle.value;
      const teeth = first.teeth!.value + second.teeth!.value;
      const ideal =
        module === second.module!.value
          ? idealCentreDistance(module, teeth, pressure, first.shift.value + second.shift.value)
          : one.pitchRadius + two.pitchRadius;
      const alike = module === second.module!.value && pressure === second.pressureAngle.value;
      const ratio = alike ? contactRatio(one, two, module, pressure, distance) : undefined;
      const active = alike ? activeContactRatio(one, two, module, pressure, distance) : undefined;
      const stated = first.marks.length > 0 || second.marks.length > 0;
      return [
        {
          gears: [first.name, second.name],
          centreDistance: distance,
          idealCentreDistance: ideal,
          ...(ratio !== undefined && { contactRatio: ratio, activeContactRatio: active }),
          ...(alike && { tipClearance: tipClearance(one, two, distance) }),
          backlash: backlashAngle(mesh.backlash.value, distance - ideal, pressure, two.pitchRadius),
          azimuth,
          toothOff: toothOff(placed, shafts),
          ...(stated && { phase: phaseOf(placed, toothAt) }),
        },
      ];
    }),
  };
}

interface Placed extends WholeMesh {
  /** Of the centre line from the first gear to the second. */
  readonly azimuth: number;
  readonly distance: number;
}

function sizeOf(gear: Gear): GearSize | undefined {
  const [module, teeth] = [gear.module?.value, gear.teeth?.value];
  if (!(module! > 0) || !(teeth! > 0)) return undefined;
  return gearSize(module!, teeth!, gear.pressureAngle.value, gear.shift.value);
}

/** Stated marks; else one on the centre line of every mesh. */
function marksOf(gear: Gear, meshes: readonly Placed[]): number[] {
  if (gear.marks.length > 0) return gear.marks.map((mark) => wrapped(mark.value));
  return meshes.flatMap(({ gears, azimuth }) =>
    gears.flatMap((other, side) =>
      other.name === gear.name ? [side === 0 ? azimuth : wrapped(azimuth + Math.PI)] : [],
    ),
  );
}

/**
 * Where the middle of one tooth of every gear stands at home. The first mark is cut at the middle of a tooth if the
 * gear is an even number of meshes from the leading shaft, else of a space. Where neither gear of a mesh states
 * marks, the one farther from the leading shaft is cut so that it meshes.
 */
function standing(
  m: Mechanism,
  meshes: readonly Placed[],
  marks: ReadonlyMap<string, readonly number[]>,
  depth: ReadonlyMap<string, number>,
): Map<string, number> {
  const level = (gear: Gear) => depth.get(gear.shaft?.name ?? '') ?? 0;
  const toothAt = new Map<string, number>();
  const byDepth = m.gears.filter(({ teeth }) => teeth && teeth.value > 0).sort((a, b) => level(a) - level(b));
  for (const gear of byDepth) {
    const pitch = turn / gear.teeth!.value;
    const driving =
      gear.marks.length === 0 &&
      meshes.find(({ gears }) =>
        gears.some((other, side) => {
          const driver = gears[1 - side];
          return other.name === gear.name && driver.marks.length === 0 && toothAt.has(driver.name);
        }),
      );
    if (driving) {
      toothAt.set(gear.name, cutToSuit(gear, driving, toothAt));
      continue;
    }
    const mark = marks.get(gear.name)![0] ?? 0;
    toothAt.set(gear.name, wrapped(level(gear) % 2 === 0 ? mark : mark + pitch / 2));
  }
  return toothAt;
}

/** Pitches from a tooth of the gear to the centre line, as that gear sees it. */
function pitchesToLine(gear: Gear, line: number, toothAt: number): number {
  return (gear.teeth!.value * (line - toothAt)) / turn;
}

function cutToSuit(gear: Gear, { gears, azimuth }: Placed, toothAt: ReadonlyMap<string, number>): number {
  const side = gears[0].name === gear.name ? 0 : 1;
  const driver = gears[1 - side];
  const line = side === 0 ? azimuth : azimuth + Math.PI;
  const driverPitches = pitchesToLine(driver, line + Math.PI, toothAt.get(driver.name)!);
  return wrapped(line - ((0.5 - driverPitches) * turn) / gear.teeth!.value);
}

/** p₁ + p₂ − ½: 0 where a tooth of one gear stands in a space of the other. */
function phaseOf({ gears, azimuth }: Placed, toothAt: ReadonlyMap<string, number>): number {
  const [first, second] = gears;
  const one = pitchesToLine(first, azimuth, toothAt.get(first.name)!);
  const two = pitchesToLine(second, azimuth + Math.PI, toothAt.get(second.name)!);
  return share(one + two - 0.5);
}
