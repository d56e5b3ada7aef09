import { type Check, fix, millimetres } from './check.ts';
import { framedBoard } from './examples.ts';

export const screwClash: Check = {
  code: 'screw-clash',
  severity: 'error',
  title: 'A screw of the frame in the way of something',
  means:
    'A pillar stands round every screw from the face plate to the back plate. Here something runs into it somewhere on the ' +
    'turn, or a wall, bearing or post of the frame itself stands there.',
  reckoned:
    'The pillar’s circle against all that bars sweep over their strokes, all that cams, flanges, gears and spacers sweep as ' +
    'they turn, the way of a button, and the guides, bearings and posts of the frame; they are to stay the process’s ' +
    'clearance apart. A pillar is 1¼ threads in radius, or three walls round its hole, whichever is more.',
  source: 'Derived here.',
  worked:
    'The pillar of an M3 screw is 3.75 mm in radius. At 26 mm from a shaft whose flanges reach to 24.5 mm it is 2.25 mm ' +
    'in their way.',
  remedy:
    'Another place for the screw; or leave all places to the frame, which puts screws at the corners, outside all that moves.',
  examples: [
    {
      title: 'A screw in a flange',
      text: framedBoard('frame { screw at «0 mm, 26 mm»   screw at 0 mm, -40 mm }'),
    },
    { title: 'Screws at the corners', text: framedBoard('frame { }') },
  ],
  find(m, f) {
    return (f.frame?.clashes ?? []).map(({ at, place, with: name, gap, better }) => {
      const there = better && `${millimetres(better.x)}, ${millimetres(better.y)}`;
      const by =
        gap < 0 ? `is ${millimetres(-gap, 2)} in the way of ${name}` : `comes within ${millimetres(gap, 2)} of ${name}`;
      return {
        message: `the screw at ${millimetres(at.x)}, ${millimetres(at.y)} ${by}, which wants ${millimetres(m.frame!.process.clearance.value, 2)}${there ? `; at ${there} it has room` : ''}`,
        place,
        about: ['frame', name],
        figures: { gap, x: at.x, y: at.y },
        fixes: there ? [fix(`Put the screw at ${there}`, { do: 'replace', place, text: there })] : [],
      };
    });
  },
};
