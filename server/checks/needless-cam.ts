import { type Check, fix, wants } from './check.ts';
import { lampBoard } from './examples.ts';

export const needlessCam: Check = {
  code: 'needless-cam',
  severity: 'hint',
  title: 'A cam that never moves its bar',
  means:
    'All counted symbols want the same of what this cam drives, so it is a plain disc. The bar could be fixed where it ' +
    'stands, and cam, spring and guide saved.',
  reckoned: 'What the counted symbols want of each segment on the cam: always shown, or never.',
  source: 'The design itself.',
  worked: 'A count of `0 2 3 5 6 7 8 9`: all of them show the top bar a.',
  remedy: 'Fix the bar to the face and leave out its cam, if no later count needs it.',
  notBeside: ['unused-segment', 'unlike-segments', 'twice-driven-segment', 'short-count'],
  examples: [
    {
      title: 'A bar that is always shown',
      text: lampBoard({ count: 'count low high', camL: 'cam «camL» on axle level 1 drives left' }),
    },
    { title: 'A bar that changes', text: lampBoard() },
  ],
  find(m, _, told) {
    if (told(m.name)) return [];
    return m.cams.flatMap((cam) => {
      const names = cam.segments.map(({ name }) => name);
      const wanted = names.map((name) => wants(m, name));
      const still = wanted.every(
        (row) => row.length > 0 && row[0] !== undefined && row.every((want) => want === row[0]),
      );
      if (!names.length || !still || told(...names)) return [];
      return [
        {
          message: `${cam.name} never moves bar ${names[0]}: every counted symbol ${wanted[0][0] ? 'shows' : 'hides'} it`,
          place: cam.place,
          about: [cam.name, ...names],
          fixes: [fix(`Leave out ${cam.name}`, { do: 'remove', place: cam.whole })],
        },
      ];
    });
  },
};
