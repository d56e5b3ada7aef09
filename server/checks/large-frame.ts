import { largest } from '../reckon/frame/plan.ts';
import { type Check, millimetres } from './check.ts';
import { framedBoard } from './examples.ts';

const right = (bar: string) => `segment right { azimuth 0 deg   bar ${bar} }`;

export const largeFrame: Check = {
  code: 'large-frame',
  severity: 'error',
  title: 'A frame too large to be laid out',
  means:
    'A frame goes round all that moves. Here that is so wide or so high that a slip of the finger is likelier than a numeral, and ' +
    'no frame is laid out: no plate, no bearing, no guide is made.',
  reckoned: `What cams, gears and bars cover over a whole turn, side to side and top to bottom: ${millimetres(largest)} at most.`,
  source: 'A limit of this tool; no machine that prints plates in one piece is larger than that (common practice).',
  worked: 'A bar at 4000 mm where 40 mm was meant: a frame 4070 mm wide.',
  remedy: 'The number that is wrong; a larger numeral stands in a frame of your own.',
  notBeside: ['bar-astray'],
  examples: [
    {
      title: 'A bar two noughts too far away',
      text: framedBoard('«frame» { }', { right: right('4 mm by 20 mm at 4000 mm, 0 mm') }),
    },
    {
      title: 'The bar where it belongs',
      text: framedBoard('frame { }', { right: right('4 mm by 20 mm at 40 mm, 0 mm') }),
    },
  ],
  find(m, f) {
    const { frame } = m;
    if (!frame || !f.oversize) return [];
    const { width, height, by } = f.oversize;
    return [
      {
        message: `the frame would have to go round ${millimetres(width)} by ${millimetres(height)}, of which ${by} reaches farthest: more than ${millimetres(largest)} is not laid out`,
        place: frame.place,
        about: ['frame', by],
        figures: { width, height },
      },
    ];
  },
};
