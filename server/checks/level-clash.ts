import { type Cam, type Gear, isGuess, type Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { at, type Check, fix, grouped, rewriting, setting } from './check.ts';
import { gearedBoard, lampBoard } from './examples.ts';
import { nextFreeLevel } from './levels.ts';
import { meshesOf } from './meshes.ts';

export const levelClash: Check = {
  code: 'level-clash',
  severity: 'error',
  title: 'Two things at one level of a shaft, or gears in mesh at two',
  means:
    'A level is one plane across all shafts. On one shaft it holds one cam or one gear; and two gears that mesh must lie ' +
    'in the same plane.',
  reckoned:
    'Levels of the cams and gears of each shaft. A gear without `level` lies at that of the gears it meshes with, or else ' +
    'behind the deepest cam of the mechanism, and two such gears of one shaft one behind the other.',
  source: 'Derived here.',
  worked: '`cam camB on upper level 2` and `cam camF on upper level 2`: one of them has to go to a free level.',
  remedy:
    'Number the cams of a shaft from the face backwards, each its own level; give gears of one mesh the same level.',
  examples: [
    { title: 'Two cams in one plane', text: lampBoard({ camR: 'cam camR on axle level «1» drives right' }) },
    {
      title: 'Gears of one mesh in two planes',
      text: gearedBoard({
        upperGear: 'gear upperGear on upper { module 1 mm   teeth 60   width 5 mm   mark 270 deg   level 2 }',
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark 90 deg   level «3» }',
      }),
    },
    { title: 'A level each', text: lampBoard() },
  ],
  find(m, f) {
    return [...ofShafts(m, f), ...ofMeshes(m, f)];
  },
};

type Levelled = { readonly part: Cam | Gear; readonly shaft: string; readonly level: number };

function levelled(m: Mechanism, f: Figures): Levelled[] {
  const cams = m.cams.flatMap((part) =>
    part.shaft && part.level ? [{ part, shaft: part.shaft.name, level: part.level.value }] : [],
  );
  const gears = m.gears.flatMap((part) => {
    const level = levelOf(f, part);
    return part.shaft && level !== undefined && !isGuess(part, 'level', part.level)
      ? [{ part, shaft: part.shaft.name, level }]
      : [];
  });
  return [...cams, ...gears];
}

/** The level of a gear in the stack; one that is not written far enough to lie there, as it is said. */
const levelOf = (f: Figures, gear: Gear): number | undefined =>
  f.stack.parts.find(({ kind, name }) => kind === 'gear' && name === gear.name)?.level ?? gear.level?.value;

function ofShafts(m: Mechanism, f: Figures) {
  const shared = grouped(levelled(m, f), ({ shaft, level }) => `${shaft} ${level}`);
  return shared.flatMap(([first, ...others]) =>
    others.map(({ part, shaft, level }) => {
      const free = String(nextFreeLevel(m, shaft));
      return {
        message: `${part.name} and ${first.part.name} are both at level ${level} of ${shaft}; level ${free} is free`,
        place: part.level?.place ?? part.place,
        about: [part.name, first.part.name, shaft],
        figures: { level, free: Number(free) },
        related: [at(first.part.level?.place ?? first.part.place, `${first.part.name} is at level ${level}`)],
        fixes: [
          fix(
            `Put ${part.name} at level ${free}`,
            part.level ? rewriting(part.level, part, 'level', free) : setting(part.name, 'level', free),
          ),
        ],
      };
    }),
  );
}

function ofMeshes(m: Mechanism, f: Figures) {
  return meshesOf(m, f).flatMap(({ mesh, ends }) => {
    const [first, second] = ends.map(({ gear }) => gear);
    const [one, other] = [first, second].map((gear) => levelOf(f, gear));
    if (one === undefined || other === undefined || one === other) return [];
    if ([first, second].some((gear) => isGuess(gear, 'level', gear.level))) return [];
    const [odd, even, due] = second.level ? [second, first, one] : [first, second, other];
    return [
      {
        message: `${first.name} at level ${one} cannot mesh with ${second.name} at level ${other}`,
        place: odd.level?.place ?? odd.place,
        about: [odd.name, even.name, mesh.name],
        figures: { levels: [one, other] },
        related: [at(even.level?.place ?? even.place, `${even.name} is at level ${due}`)],
        fixes: [fix(`Put ${odd.name} at level ${due}`, setting(odd.name, 'level', String(due)))],
      },
    ];
  });
}
