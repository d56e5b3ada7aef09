import { apart, at, azimuth, type Check, list } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfMarks, isMarked, markFix, meshesOf } from './meshes.ts';

export const marksApart: Check = {
  code: 'marks-apart',
  severity: 'warning',
  title: 'Timing marks do not meet at home',
  means:
    'At home a mark of each gear should lie on the line between the two shafts, so that whoever puts the gears in can ' +
    'bring mark to mark. Here a stated mark points elsewhere.',
  reckoned: 'The azimuth of the line from each gear’s shaft to the other’s, against its marks; within 0.1°.',
  source: 'Derived here; timing marks on the centre line are common practice.',
  worked: 'Shafts at 0 mm, 35 mm and 0 mm, −35 mm: the upper gear’s mark belongs at 270°, the lower one’s at 90°.',
  remedy: 'Put the mark on the centre line, or leave `mark` out: then it lies there by itself.',
  notBeside: ['centre-distance', 'locked-train'],
  examples: [
    {
      title: 'A mark that looks away',
      text: gearedBoard({
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark «96 deg» }',
      }),
    },
    { title: 'Mark to mark', text: gearedBoard() },
  ],
  find(m, f, told) {
    return meshesOf(m, f).flatMap(({ mesh, ends }) => {
      const astray = ends.filter((end) => !isMarked(end));
      if (
        !astray.length ||
        !ends.every(({ gear }) => isClearOfMarks(gear)) ||
        told(...ends.map(({ gear }) => gear.name))
      )
        return [];
      const nearest = astray.map(({ gear, towards }) =>
        gear.marks.reduce((best, mark) => (apart(mark.value, towards) < apart(best.value, towards) ? mark : best)),
      );
      const says = astray.map(
        ({ gear, towards }, i) =>
          `${gear.name} has its mark at ${azimuth(nearest[i].value)} instead of ${azimuth(towards, 2)}`,
      );
      return [
        {
          message: `the marks of ${ends[0].gear.name} and ${ends[1].gear.name} do not meet at home: ${list(says)}`,
          place: nearest.at(-1)!.place,
          about: [astray.at(-1)!.gear.name, ...ends.map(({ gear }) => gear.name), mesh.name],
          figures: {
            apart: (Math.max(...astray.map(({ towards }, i) => apart(nearest[i].value, towards))) * 180) / Math.PI,
          },
          related: [
            ...nearest.slice(0, -1).map((mark) => at(mark.place, 'this mark as well')),
            at(mesh.whole, 'the mesh'),
          ],
          fixes: [markFix(m, f, astray)],
        },
      ];
    });
  },
};
