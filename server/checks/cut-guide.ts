import { type Check, millimetres, named, plain } from './check.ts';
import { framedBoard } from './examples.ts';

/** Warned of below this share of its length, but for what a clearance takes, mm. */
const share = 0.5;
const touching = 0.2;

const right = (guide: string) =>
  `segment right { azimuth 0 deg   guide ${guide}   bar 4 mm by 20 mm at 40 mm, 0 mm   post 4 mm by 4 mm at 40 mm, 0 mm }`;
const left = (bar: string) => `segment left { azimuth 90 deg   ${bar}   post 4 mm by 4 mm at 0 mm, 34 mm }`;

export const cutGuide: Check = {
  code: 'cut-guide',
  severity: 'warning',
  title: 'A guide that others leave little of',
  means:
    'The walls of a guide hang on the face plate from there back to the stem. Where another part moves, or goes in, there is ' +
    'no wall. Here less than half of the guide’s length is left, and the bar leans more than its guide says.',
  reckoned:
    'The stretches of both walls that nothing but the bar itself passes, over a whole turn and on its way in from the back; ' +
    'the shorter sum of the two.',
  source: 'Derived here.',
  worked:
    'A guide of 6 mm, and another bar that is 4 mm wide and goes in across it, with 0.4 mm beside it: less than 2 mm are left.',
  remedy: 'A longer guide; or bars that cross it elsewhere.',
  notBeside: [
    'undercut-cam',
    'steep-cam',
    'large-nose',
    'post-clash',
    'neighbour-clash',
    'level-clash',
    'bar-astray',
    'unlike-segments',
    'twice-driven-segment',
  ],
  examples: [
    {
      title: 'A guide where another bar goes in',
      text: framedBoard('frame { }', { right: right('«6 mm»'), left: left('bar 4 mm by 24 mm at 28 mm, 10 mm') }),
    },
    {
      title: 'A guide of its own',
      text: framedBoard('frame { }', {
        right: right('6 mm'),
        left: left('bar 4 mm by 24 mm at 28 mm, 24 mm'),
      }),
    },
  ],
  find(m, f) {
    return (f.frame?.guides ?? []).flatMap(({ segment: name, left, stated }) => {
      const guide = named(m.segments, name)?.guide;
      if (!guide || left >= share * stated - touching) return [];
      return [
        {
          message: `others leave ${millimetres(left)} of the guide of ${name}, ${millimetres(stated)} long: ${plain((100 * left) / stated, 0)} %`,
          place: guide.place,
          about: [name],
          figures: { left, guide: stated },
        },
      ];
    });
  },
};
