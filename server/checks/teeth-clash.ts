import { turn } from '../reckon/motion/angles.ts';
import { at, type Check, degrees, plain } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfMarks, isMarked, markFix, meshesOf } from './meshes.ts';

export const teethClash: Check = {
  code: 'teeth-clash',
  severity: 'error',
  title: 'At home teeth meet teeth',
  means:
    'With the marks where they are stated, a tooth of one gear stands against a tooth of the other on the centre line. ' +
    'The gears go together only a part of a pitch off, and the cams of one shaft are then that much out of time.',
  reckoned:
    'p = z·(azimuth of the centre line − first mark)/360°, + ½ where the mark is cut in a space; they mesh if ' +
    'p₁ + p₂ ≡ ½ (mod 1), within half the backlash. Gears without stated marks are cut to suit.',
  source: 'Derived here.',
  worked: 'A gear of 70 teeth whose mark is at 88° instead of 90°: p = 70·2/360 = 0.39 of a pitch off.',
  remedy:
    'Put the marks on the centre line. Where a gear meshes with two others and all marks are on their lines, its teeth ' +
    'do not suit both: move one of the shafts round it, or change the teeth.',
  notBeside: ['centre-distance', 'unlike-gears', 'locked-train'],
  examples: [
    {
      title: 'Half a pitch off',
      text: gearedBoard({
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark «93 deg» }',
      }),
    },
    {
      title: 'Two pitches off, which still mesh',
      text: gearedBoard({
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark 102 deg }',
      }),
    },
  ],
  find(m, f, told) {
    // How one gear stands is handed on along the whole train.
    if (!m.gears.every(isClearOfMarks)) return [];
    return meshesOf(m, f).flatMap(({ figure, mesh, ends }) => {
      const { phase } = figure;
      const teeth = ends[1].gear.teeth?.value;
      if (phase === undefined || !teeth || told(...ends.map(({ gear }) => gear.name))) return [];
      const play = Math.max(0.01, (figure.backlash / turn) * teeth * 0.5);
      if (Math.abs(phase) <= play) return [];
      const astray = ends.filter((end) => !isMarked(end));
      const marked = [...ends].reverse().find(({ gear }) => gear.marks.length > 0);
      const culprit = astray.at(-1) ?? marked ?? ends[1];
      const [first, second] = ends.map(({ gear }) => gear.name);
      const mend = astray.length
        ? ''
        : `; a centre line ${degrees((Math.abs(phase) * turn) / (ends[0].gear.teeth?.value ?? teeth), 2)} further round would suit`;
      return [
        {
          message: `teeth of ${first} and ${second} meet at home: they stand ${plain(Math.abs(phase), 2)} of a pitch out of mesh${mend}`,
          place: culprit.gear.marks[0]?.place ?? mesh.place,
          about: [culprit.gear.name, first, second, mesh.name],
          figures: { phase },
          related: [at(mesh.whole, 'the mesh')],
          fixes: astray.length ? [markFix(m, f, astray)] : [],
        },
      ];
    });
  },
};
