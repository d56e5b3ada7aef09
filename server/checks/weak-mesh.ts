import type { Fix } from '../../language/mechanism.ts';
import { at, type Check, fix, millimetres, plain, setting } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape, meshesOf, type WholeMesh } from './meshes.ts';

/** Common practice: fewer pairs in contact than this on average and the mesh knocks. */
const least = 1.2;

export const weakMesh: Check = {
  code: 'weak-mesh',
  severity: 'warning',
  title: 'Gears that let go of one tooth before they have the next',
  means:
    'On average too few pairs of teeth are in contact. Below 1 there are moments in which none is, and the driven shaft ' +
    'stands still and then jumps: an error. Between 1 and 1.2 what printing and play take away may bring it below.',
  reckoned:
    'ε = [√(r_a1² − r_b1²) + √(r_a2² − r_b2²) − a·sin α_w]/(π·m·cos α), cos α_w = m·(z₁ + z₂)·cos α/(2a), at the centres as they stand; ' +
    'neither root counts for more than a·sin α_w, where the mate’s involute ends.',
  source: 'ISO 21771, basic rack of ISO 53; the limit of 1.2 is common practice.',
  worked: '17 and 49 teeth of module 6 mm at 20°: the path of contact is 28.92 mm, and ε = 28.92/(π·6·cos 20°) = 1.63.',
  remedy: 'More teeth of a smaller module, a pressure angle of 20°, or less profile shift.',
  notBeside: ['shaft-drift', 'locked-train', 'unlike-gears', 'centre-distance', 'undercut-gear'],
  examples: [
    {
      title: 'A steep pressure angle on coarse teeth',
      text: gearedBoard({
        upperGear:
          'gear upperGear on upper { module 7.5 mm   teeth «8»   width 5 mm   mark 270 deg   pressure angle 30 deg }',
        lowerGear:
          'gear lowerGear on lower { module 7.5 mm   teeth 8   width 5 mm   mark 90 deg   pressure angle 30 deg }',
      }),
    },
    { title: 'Finer teeth', text: gearedBoard() },
  ],
  find(m, f, told) {
    return meshesOf(m, f).flatMap((whole) => {
      const { figure, mesh, ends } = whole;
      const gears = ends.map(({ gear }) => gear);
      const ratio = figure.activeContactRatio;
      if (ratio === undefined || ratio >= least || !gears.every(isClearOfShape)) return [];
      if (told(...gears.map(({ name }) => name))) return [];
      const [small, large] = [...gears].sort((a, b) => a.teeth!.value - b.teeth!.value);
      return [
        {
          severity: ratio < 1 ? ('error' as const) : ('warning' as const),
          message: `${small.name} and ${large.name} have ${plain(ratio, 2)} pairs of teeth in contact on average (${
            ratio < 1 ? 'less than 1: they let go of each other' : `at least ${least}`
          })`,
          place: small.teeth!.place,
          about: [small.name, large.name, mesh.name],
          figures: { contactRatio: ratio, least },
          related: [
            at(large.teeth!.place, `the teeth of ${large.name}`),
            ...gears
              .filter(({ pressureAngle }) => pressureAngle.by !== 'default')
              .map((gear) => at(gear.pressureAngle.place, `the pressure angle of ${gear.name}`)),
          ],
          fixes: remedies(whole),
        },
      ];
    });
  },
};

/** The usual pressure angle, and twice the teeth of half the module. */
function remedies({ ends }: WholeMesh): Fix[] {
  const gears = ends.map(({ gear }) => gear);
  const names = gears.map(({ name }) => name).join(' and ');
  const module = gears[0].module!.value / 2;
  return [
    fix(
      `Give ${names} a pressure angle of 20 deg`,
      ...gears.map(({ name }) => setting(name, 'pressure angle', '20 deg')),
    ),
    fix(
      `Give ${names} module ${millimetres(module, 3)} and twice the teeth`,
      ...gears.flatMap(({ name, teeth }) => [
        setting(name, 'module', millimetres(module, 3)),
        setting(name, 'teeth', String(2 * teeth!.value)),
      ]),
    ),
  ];
}
