import type { Gear, Given } from '../../language/mechanism.ts';
import { at, type Check, degreesWritten, fix, millimetres, named, rewriting } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape } from './meshes.ts';

export const unlikeGears: Check = {
  code: 'unlike-gears',
  severity: 'error',
  title: 'Gears in mesh of different module or pressure angle',
  means: 'Teeth of two sizes or two shapes do not roll on each other.',
  reckoned: 'Module and pressure angle of both gears must be the same.',
  source: 'ISO 53 and ISO 54: basic rack and modules.',
  worked: 'Module 1 mm has a pitch of π mm; module 1.25 mm of 1.25·π mm: after one tooth they are 0.8 mm apart.',
  remedy: 'Give both the same module and pressure angle: `every gear { module 1 mm }`.',
  examples: [
    {
      title: 'Two modules',
      text: gearedBoard({
        lowerGear: 'gear lowerGear on lower { module «1.25 mm»   teeth 60   width 5 mm   mark 90 deg }',
      }),
    },
    { title: 'One module', text: gearedBoard() },
  ],
  find(m) {
    return m.meshes.flatMap((mesh) => {
      const [first, second] = mesh.gears.map(({ name }) => named(m.gears, name));
      if (!first || !second || !isClearOfShape(first) || !isClearOfShape(second)) return [];
      const differ = (
        property: string,
        write: (value: number) => string,
        one?: Given<number>,
        other?: Given<number>,
      ) =>
        one && other && Math.abs(one.value - other.value) > 1e-9
          ? [tell(first, second, mesh.name, property, write, one, other)]
          : [];
      return [
        ...differ('module', (value) => millimetres(value, 3), first.module, second.module),
        ...differ('pressure angle', degreesWritten, first.pressureAngle, second.pressureAngle),
      ];
    });
  },
};

function tell(
  first: Gear,
  second: Gear,
  mesh: string,
  property: string,
  write: (value: number) => string,
  one: Given<number>,
  other: Given<number>,
) {
  const [mine, theirs] = [write(other.value), write(one.value)];
  return {
    message: `${second.name} with ${property} ${mine} cannot mesh with ${first.name}, whose ${property} is ${theirs}`,
    place: other.place,
    about: [second.name, first.name, mesh],
    related: [at(one.place, `the ${property} of ${first.name}`)],
    fixes: [
      fix(`Give ${second.name} ${property} ${theirs}`, rewriting(other, second, property, theirs)),
      fix(`Give ${first.name} ${property} ${mine}`, rewriting(one, first, property, mine)),
    ],
  };
}
