import { type Check, fix, millimetres, setting } from './check.ts';
import { framedBoard } from './examples.ts';

/** Plates as thick as this, mm, leave the shortest screws of all sizes a hold. */
const held = 4;

export const unscrewedFrame: Check = {
  code: 'unscrewed-frame',
  severity: 'error',
  title: 'A frame that no screws hold together',
  means:
    'Screws go through a plate into a pillar from both ends and cut their thread there. Here none is sold of a length that ' +
    'does, or the pillars find no corner.',
  reckoned:
    'The shortest of the lengths sold that goes two threads deep into the pillar (1¼ where it is short); from both ends together they must not meet ' +
    'in its middle. Corners are looked for up to 40 mm beyond all that moves.',
  source: 'Lengths of ISO 10642 and ISO 7046; the depth is common practice for a screw that cuts its own thread.',
  worked: 'Plates of 27 mm: an M3 screw would have to be 31 mm long at least, and the longest sold is 30 mm.',
  remedy: 'Thinner plates, other screws, or places of your own for them (`screw at`).',
  examples: [
    { title: 'Plates as thick as a plank', text: framedBoard('frame { thickness «27 mm» }') },
    { title: 'Plates of 4 mm', text: framedBoard('frame { }') },
  ],
  find(m, f) {
    const { frame } = m;
    if (!frame || !f.frame) return [];
    const { screws, lengths, screw } = f.frame;
    const about = ['frame'];
    if (screws.length === 0) {
      return [
        {
          message: 'the frame finds no corner for its screws; say where they stand: screw at X, Y',
          place: frame.place,
          about,
        },
      ];
    }
    if (lengths.front !== undefined && lengths.back !== undefined) return [];
    const would = millimetres(held);
    return [
      {
        message: `no M${screw.diameter} screw is of a length that goes through plates of ${millimetres(frame.thickness.value)} and holds in the pillars between them, ${millimetres(f.frame.between)} long`,
        place: frame.thickness.by === 'stated' ? frame.thickness.place : frame.place,
        about,
        figures: { thickness: frame.thickness.value, between: f.frame.between },
        fixes:
          frame.thickness.value > held
            ? [fix(`Make the plates ${would} thick`, setting('frame', 'thickness', would))]
            : [],
      },
    ];
  },
};
