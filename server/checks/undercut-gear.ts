import { type Fix, type Gear, isUnclear, type Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { leastShift, tipThickness } from '../reckon/shape/gears.ts';
import { at, type Check, counted, fix, list, named, plain, roundUp, setting } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape, meshesOf } from './meshes.ts';
import { tipWanted } from './pointed-teeth.ts';

/** In modules: less undercut than this is not worth a word; it lets 17 teeth of 20° pass, as is usual. */
const tolerance = 0.01;

/** Whether a rack undercuts a gear with some shift by more than is let pass. */
export const isUndercut = ({ teeth, pressureAngle }: Gear, shift: number): boolean =>
  leastShift(teeth!.value, pressureAngle.value) - shift > tolerance;

export const undercutGear: Check = {
  code: 'undercut-gear',
  severity: 'warning',
  title: 'A gear with too few teeth for its shape',
  means:
    'The tool that cuts so few teeth cuts into their feet: they are weak there, and lose some of the flank that they ' +
    'should mesh with.',
  reckoned:
    'z ≥ 2·(1 − x)/sin² α, with the profile shift x in modules and the pressure angle α of the basic rack; undercut of less ' +
    'than a hundredth of a module is not told. The shift that would do is x = 1 − z·sin² α/2, as long as it leaves the ' +
    'tooth’s tip thick enough: see `pointed-teeth`.',
  source: 'ISO 21771, basic rack of ISO 53 (from memory); any text on gears gives 17 teeth for 20°.',
  worked: '10 teeth of 20° without shift: 2/sin² 20° = 17.10 teeth are wanted. x = 1 − 10·sin² 20°/2 = 0.415 would do.',
  remedy:
    'More teeth of a smaller module; or a profile shift, with the same taken from the other gear, which leaves the centres ' +
    'where they are.',
  alsoOn: (rest) =>
    `, and so it is for ${counted(
      'gear',
      rest.map(({ about }) => about[0]),
    )}`,
  examples: [
    {
      title: 'Ten teeth',
      text: gearedBoard({
        upper: 'shaft upper { at 0 mm, 30 mm   turns clockwise   leads }',
        lower: 'shaft lower { at 0 mm, -50 mm   turns counterclockwise }',
        upperGear: 'gear upperGear on upper { module 4 mm   teeth «10»   width 5 mm   mark 270 deg }',
        lowerGear: 'gear lowerGear on lower { module 4 mm   teeth 30   width 5 mm   mark 90 deg }',
        camL: 'cam camL on upper level 1 drives left',
        camR: '',
        right: '',
        count: 'count off low',
        table: 'glyphs lamps { segments left   off = blank   low = left }',
      }),
    },
    {
      title: 'Shifted out, and the other gear in by as much',
      text: gearedBoard({
        upper: 'shaft upper { at 0 mm, 30 mm   turns clockwise   leads }',
        lower: 'shaft lower { at 0 mm, -50 mm   turns counterclockwise }',
        upperGear: 'gear upperGear on upper { module 4 mm   teeth 10   width 5 mm   mark 270 deg   shift 0.42 }',
        lowerGear: 'gear lowerGear on lower { module 4 mm   teeth 30   width 5 mm   mark 90 deg   shift -0.42 }',
        camL: 'cam camL on upper level 1 drives left',
        camR: '',
        right: '',
        count: 'count off low',
        table: 'glyphs lamps { segments left   off = blank   low = left }',
      }),
    },
  ],
  find(m, f) {
    return m.gears
      .flatMap((gear) => {
        const [teeth, alpha, shift] = [gear.teeth?.value, gear.pressureAngle.value, gear.shift.value];
        if (!(teeth! > 0) || !(alpha > 0) || !isClearOfShape(gear) || isUnclear(gear, 'teeth')) return [];
        if (!isUndercut(gear, shift)) return [];
        const least = leastShift(teeth!, alpha);
        const fewest = Math.max(1, Math.ceil((2 * (1 - shift - tolerance)) / Math.sin(alpha) ** 2));
        const wanted = roundUp(least, 0.01);
        const { least: thick, thinner } = tipWanted(m, gear, wanted);
        const does = tipThickness(teeth!, alpha, wanted) >= thick + thinner;
        return [
          {
            message: `${gear.name} has ${teeth} teeth, too few for ${plain((alpha * 180) / Math.PI)}°${
              shift === 0 ? '' : ` and a shift of ${plain(shift, 2)}`
            }: they come out undercut; ${fewest} teeth would do${does ? `, or shift ${plain(wanted, 2)}` : ''}`,
            place: gear.teeth!.place,
            about: [gear.name],
            figures: { teeth: teeth!, fewest, ...(does && { shift: wanted }) },
            related: shift === 0 ? [] : [at(gear.shift.place, `the shift of ${gear.name}`)],
            fixes: does ? shifts(m, f, gear, wanted) : [],
          },
        ];
      })
      .sort((a, b) => a.figures.teeth - b.figures.teeth);
  },
};

/** The shift alone, and with as much taken from its neighbours, so that the centres stay as they are. */
function shifts(m: Mechanism, f: Figures, gear: Gear, shift: number): Fix[] {
  const more = shift - gear.shift.value;
  const neighbours = meshesOf(m, f).flatMap(({ ends }) => {
    const own = ends.findIndex((end) => end.gear === gear);
    return own < 0 ? [] : [ends[1 - own].gear];
  });
  const set = (one: Gear, value: number) => setting(one.name, 'shift', plain(value, 2));
  const alone = fix(`Give ${gear.name} shift ${plain(shift, 2)}`, set(gear, shift));
  if (neighbours.length === 0) return [alone];
  const taken = neighbours.map((other) => ({ other, shift: other.shift.value - more }));
  return [
    fix(
      `Give ${gear.name} shift ${plain(shift, 2)} and ${list(taken.map(({ other, shift }) => `${other.name} ${plain(shift, 2)}`))}`,
      set(gear, shift),
      ...taken.map(({ other, shift }) => set(named(m.gears, other.name) ?? other, shift)),
    ),
    alone,
  ];
}
