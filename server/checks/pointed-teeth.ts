import { type Fix, type Gear, isUnclear, type Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { thinning } from '../reckon/parts/gear-outline.ts';
import { gearSize, idealCentreDistance, leastShift, shiftForTip, tipThickness } from '../reckon/shape/gears.ts';
import { at, type Check, fix, grouped, list, millimetres, plain, roundDown, roundUp, setting } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape, meshesOf, movesTo } from './meshes.ts';

/** Thinner tips than this, in modules, break off: common practice for teeth that are not hardened. */
const leastTip = 0.2;

/** How thick a tip of a gear with some shift must be reckoned, in modules, before its backlash is taken from it. */
export function tipWanted(
  m: Mechanism,
  gear: Gear,
  shift: number,
): { readonly least: number; readonly thinner: number } {
  const [module, teeth] = [gear.module?.value ?? Infinity, gear.teeth?.value ?? Infinity];
  const { tipRadius, pitchRadius } = gearSize(1, teeth, gear.pressureAngle.value, shift);
  return {
    least: Math.max(leastTip, gear.process.nozzle.value / module),
    thinner: (thinning(m, gear) * tipRadius) / pitchRadius / module,
  };
}

const coarse = (shift: string, other: string) =>
  gearedBoard({
    lower: 'shaft lower { at 0 mm, -30 mm   turns counterclockwise }',
    upperGear: `gear upperGear on upper { module 2 mm   teeth 12   width 5 mm   mark 270 deg   shift ${shift} }`,
    lowerGear: `gear lowerGear on lower { module 2 mm   teeth 48   width 5 mm   mark 90 deg   shift ${other} }`,
    camR: '',
    right: '',
    count: 'count off low',
    table: 'glyphs lamps { segments left   off = blank   low = left }',
  });

export const pointedTeeth: Check = {
  code: 'pointed-teeth',
  severity: 'warning',
  title: 'Teeth that are thin at their tips, or come to a point',
  means:
    'The more a gear is shifted out, the thinner its teeth are at their tips. Thin tips break off, or, thinner than the line ' +
    'that the process’s nozzle lays, are left out of the print: the gear meshes less than was reckoned. Where both flanks ' +
    'meet below the tip circle the tooth ends in a point and cannot be as high as it is drawn: an error.',
  reckoned:
    's_a = d_a·[(π/2 + 2x·tan α)/z + inv α − inv α_a], cos α_a = d_b/d_a, less the backlash that is taken from the tooth; at least 0.2·m and as ' +
    'wide as the process’s nozzle. The shift that would do is the greatest that leaves so much, as long as the teeth are not undercut by it.',
  source:
    'ISO 21771 (tooth thickness at the tip); 0.2·m is common practice for teeth that are not hardened (hardened ones want 0.4·m), from memory. ' +
    'Common practice of printing: nothing is printed narrower than one line.',
  worked:
    '12 teeth of module 2 mm at 20°, shifted out by 0.7: d_a = 30.8 mm, d_b = 22.55 mm, α_a = 42.9°. s_a = 30.8·[(π/2 + 1.4·tan 20°)/12 + ' +
    '0.0149 − 0.1809] = 0.227 mm, of which a backlash of 0.1 mm takes 0.064 mm: 0.16 mm, where 0.4 mm are wanted.',
  remedy:
    'Less shift, with as much given to the other gear, which leaves the centres where they are; or a pressure angle of 20°, more teeth, a coarser module.',
  notBeside: ['unlike-gears', 'undercut-gear', 'weak-mesh', 'tight-tips'],
  alsoOn: (rest) => `, and so it is for ${list(rest.map(({ about }) => about[0]))}`,
  examples: [
    { title: 'Twelve teeth, shifted out by 0.7 of a module', text: coarse('«0.7»', '-0.7') },
    { title: 'Shifted as far as twelve teeth want', text: coarse('0.3', '-0.3') },
  ],
  find(m, f, told) {
    const thin = m.gears.flatMap((gear) => {
      if (!isClearOfShape(gear) || isUnclear(gear, 'teeth') || isUnclear(gear, 'module')) return [];
      const tip = tipOf(m, gear);
      return tip && tip.thick < tip.least - 1e-9 && !told(gear.name, ...matesOf(m, f, gear)) ? [{ gear, ...tip }] : [];
    });
    // No shift is to blame for what one module makes thinner than a line.
    const [fine, shifted] = parted(thin, ({ gear, does }) => does === undefined && gear.shift.by === 'default');
    const byModule = grouped(fine, ({ gear, least }) => `${gear.module!.value} ${least}`);
    return [...shifted.map((one) => [one]), ...byModule].map((same) => {
      const [{ gear, thick, least, wanted, does, module }] = same.sort((a, b) => a.thick - b.thick);
      const names = same.map((one) => one.gear.name);
      const pointed = !(thick > 0);
      const place =
        gear.shift.by !== 'default' ? gear.shift.place : same.length > 1 ? gear.module!.place : gear.teeth!.place;
      return {
        severity: pointed ? ('error' as const) : ('warning' as const),
        message: `the teeth of ${list(names)} ${
          pointed
            ? 'come to a point below their tip circle'
            : `are ${millimetres(thick * module, 2)} thick at their tips`
        } (at least ${millimetres(least * module, 2)}, ${wanted})${does === undefined ? '' : `; shift ${plain(does, 2)} would do`}`,
        place,
        about: names,
        figures: {
          thickness: Math.max(0, thick * module),
          least: least * module,
          ...(does !== undefined && { shift: does }),
        },
        related: same.map((one) => at(one.gear.teeth!.place, `the teeth of ${one.gear.name}`)),
        fixes: does === undefined ? [] : shifts(m, f, gear, does),
      };
    });
  },
};

/** How thick a gear's teeth are at their tips and must be, in modules, and the shift that would do, if one does. */
function tipOf(m: Mechanism, gear: Gear) {
  const [module, teeth] = [gear.module?.value ?? 0, gear.teeth?.value ?? 0];
  const [alpha, shift] = [gear.pressureAngle.value, gear.shift.value];
  if (!(module > 0) || !(teeth > 0) || !(alpha > 0)) return undefined;
  const { least, thinner } = tipWanted(m, gear, shift);
  const lowest = Math.max(leastShift(teeth, alpha), Math.min(0, shift));
  const found = shiftForTip(teeth, alpha, least + thinner, lowest, shift);
  const does = found === undefined ? undefined : Math.max(roundDown(found, 0.01), roundUp(lowest, 0.01));
  const isEnough = does !== undefined && does < shift && tipThickness(teeth, alpha, does) >= least + thinner - 1e-9;
  return {
    module,
    thick: tipThickness(teeth, alpha, shift) - thinner,
    least,
    wanted: least === leastTip ? 'a fifth of the module' : 'the line that its nozzle lays',
    does: isEnough ? does : undefined,
  };
}

function parted<T>(all: readonly T[], is: (one: T) => boolean): [T[], T[]] {
  return [all.filter(is), all.filter((one) => !is(one))];
}

const matesOf = (m: Mechanism, f: Figures, gear: Gear): string[] =>
  meshesOf(m, f).flatMap(({ ends }) => (ends.some((end) => end.gear === gear) ? ends.map((end) => end.gear.name) : []));

/** The shift with as much more for the mates, so that the centres stay; or alone, with the centres that suit it. */
function shifts(m: Mechanism, f: Figures, gear: Gear, shift: number): Fix[] {
  const less = gear.shift.value - shift;
  const set = (one: Gear, value: number) => setting(one.name, 'shift', plain(value, 2));
  const meshes = meshesOf(m, f).filter(({ ends }) => ends.some((end) => end.gear === gear));
  const mates = meshes.map(({ ends }) => ends.find((end) => end.gear !== gear)!.gear);
  const own = `Give ${gear.name} shift ${plain(shift, 2)}`;
  if (mates.length === 0) return [fix(own, set(gear, shift))];
  const given = mates.map((mate) => ({ mate, shift: mate.shift.value + less }));
  const [whole, ...others] = meshes;
  const mate = mates[0];
  const distance = idealCentreDistance(
    gear.module!.value,
    gear.teeth!.value + (mate.teeth?.value ?? 0),
    gear.pressureAngle.value,
    shift + mate.shift.value,
  );
  return [
    fix(
      `${own} and ${list(given.map(({ mate, shift }) => `${mate.name} ${plain(shift, 2)}`))}`,
      set(gear, shift),
      ...given.map(({ mate, shift }) => set(mate, shift)),
    ),
    ...(others.length === 0 && mate.teeth
      ? movesTo(m, f, whole, distance).map(({ words, change }) =>
          fix(`${own}, and move ${words}`, set(gear, shift), change),
        )
      : []),
  ];
}
