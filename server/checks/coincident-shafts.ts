import { at, type Check, list, millimetres, named } from './check.ts';
import { gearedBoard } from './examples.ts';

/** Nearer than this, mm, two shafts stand at one place. */
const almost = 1e-6;

export const coincidentShafts: Check = {
  code: 'coincident-shafts',
  severity: 'error',
  title: 'Two shafts at one place',
  means:
    'Two shafts stand in one and the same spot. They cannot both be there, and neither how their gears mesh nor what meets ' +
    'around them can be reckoned.',
  reckoned: 'The distance of each two `at` of the mechanism.',
  source: 'Derived here.',
  worked: '`shaft upper { at 0 mm, 30 mm }` and `shaft lower { at 0 mm, 30 mm }`: a minus is missing.',
  remedy: 'Move one of them. Cams that shall turn as one belong on one shaft, each at its own level.',
  examples: [
    {
      title: 'A copied line',
      text: gearedBoard({ lower: 'shaft lower { at «0 mm, 30 mm»   turns counterclockwise }' }),
    },
    { title: 'Each its own place', text: gearedBoard() },
  ],
  find(m) {
    return m.shafts.flatMap((shaft, i) => {
      const here = shaft.at?.value;
      if (!here) return [];
      const others = m.shafts.slice(0, i).filter((other) => {
        const there = other.at?.value;
        return there && Math.hypot(there.x - here.x, there.y - here.y) <= almost;
      });
      if (others.length === 0) return [];
      const names = others.map(({ name }) => name);
      const meshes = m.meshes.filter(({ gears }) => {
        const ends = gears.map(({ name }) => named(m.gears, name)?.shaft?.name ?? '');
        return ends.includes(shaft.name) && ends.some((end) => names.includes(end));
      });
      const gears = meshes.flatMap((mesh) => mesh.gears.map(({ name }) => name));
      return [
        {
          message: `shafts ${list([...names, shaft.name])} stand at one place, ${millimetres(here.x, 3)}, ${millimetres(here.y, 3)}${
            gears.length > 0 ? `, where ${list(gears)} cannot mesh` : ''
          }`,
          place: shaft.at!.place,
          about: [shaft.name, ...names, ...gears, ...meshes.map(({ name }) => name)],
          figures: { x: here.x, y: here.y },
          related: others.map((other) => at(other.at!.place, `shaft ${other.name}`)),
        },
      ];
    });
  },
};
