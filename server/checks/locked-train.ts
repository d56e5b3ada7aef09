import type { Mesh } from '../../language/mechanism.ts';
import { at, type Check, fix, named } from './check.ts';
import { gearedBoard } from './examples.ts';

export const lockedTrain: Check = {
  code: 'locked-train',
  severity: 'error',
  title: 'Meshes that lock each other',
  means:
    'Round a loop of meshes, or between two gears of one shaft, the gears ask for different turns: nothing can move.',
  reckoned:
    'Every mesh gives its second shaft −z₁/z₂ turns for one of the first. Where a shaft is reached by two ways, both must ' +
    'give it the same turn; two gears of one shaft can never mesh.',
  source: 'External spur gears; any machine design handbook.',
  worked: 'Three gears, each in mesh with the other two: the third should turn both ways at once.',
  remedy:
    'Take one mesh of the loop away, or lead it over one more gear, so that the number of meshes round it is even.',
  examples: [
    {
      title: 'Three gears in a ring',
      text: gearedBoard({
        upper: 'shaft upper { at 0 mm, 30 mm   leads }',
        lower: 'shaft lower { at 0 mm, -30 mm }',
        more: [
          'shaft middle { at 51.962 mm, 0 mm }',
          'gear ring on middle { module 1 mm   teeth 60   width 5 mm }',
          'mesh upperGear ring',
          '«mesh ring lowerGear»',
        ].join('\n'),
        upperGear: 'gear upperGear on upper { module 1 mm   teeth 60   width 5 mm }',
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm }',
      }),
    },
    { title: 'A chain', text: gearedBoard() },
  ],
  find(m, f) {
    const shaftOf = (gear: string) => named(m.gears, gear)?.shaft?.name;
    const tell = (mesh: Mesh, message: string) => ({
      message,
      place: mesh.place,
      about: [mesh.name, ...mesh.gears.map(({ name }) => name)],
      related: mesh.gears.flatMap(({ name }) => {
        const gear = named(m.gears, name);
        return gear ? [at(gear.place, `gear ${name} on ${gear.shaft?.name ?? 'no shaft'}`)] : [];
      }),
      fixes: [
        fix(`Leave out the mesh of ${mesh.gears[0].name} and ${mesh.gears[1].name}`, {
          do: 'remove',
          place: mesh.whole,
        }),
      ],
    });
    const sameShaft = m.meshes.flatMap((mesh) => {
      const [first, second] = mesh.gears;
      const shaft = shaftOf(first.name);
      return shaft !== undefined && shaft === shaftOf(second.name)
        ? [tell(mesh, `${first.name} and ${second.name} are both on ${shaft}: gears of one shaft cannot mesh`)]
        : [];
    });
    const loops = f.lockedMeshes.flatMap(([first, second]) => {
      const mesh = m.meshes.find(({ gears }) => gears[0].name === first && gears[1].name === second);
      const [one, other] = [first, second].map((gear) => named(f.shafts, shaftOf(gear)));
      return mesh && one && other
        ? [
            tell(
              mesh,
              `the mesh of ${first} and ${second} closes a loop that cannot turn: ${one.name} and ${other.name} are driven by other meshes already, and not as these teeth ask`,
            ),
          ]
        : [];
    });
    return [...sameShaft, ...loops];
  },
};
