import { type Check, fix, millimetres, roundUp, setting } from './check.ts';
import { framedBoard } from './examples.ts';

export const thinPlate: Check = {
  code: 'thin-plate',
  severity: 'error',
  title: 'A plate too thin for the heads of its screws',
  means:
    'The heads of the screws lie flush in the plates of the frame. Here a plate is so thin that a head leaves it no wall to ' +
    'press on, or goes through.',
  reckoned:
    'The cone of the head, 90°, from its theoretical diameter and the process’s clearance a side down to the hole: deep by ' +
    'half of what the one is wider than the other. Below it the process’s wall has to be left.',
  source: 'ISO 10642 and ISO 7046 for the heads, ISO 273 (medium) for the holes; the wall is common practice.',
  worked: 'M3 with a socket: (6.72 + 2 · 0.2 − 3.4)/2 = 1.86 mm deep, and a wall of 0.8 mm: 2.66 mm at least.',
  remedy: 'Thicker plates, or smaller screws.',
  examples: [
    { title: 'Plates of 2 mm', text: framedBoard('frame { thickness «2 mm»   screws 3 mm cross }') },
    { title: 'Plates of 4 mm', text: framedBoard('frame { thickness 4 mm   screws 3 mm cross }') },
  ],
  find(m, f) {
    const { frame } = m;
    if (!frame || !f.frame) return [];
    const least = f.frame.seatDepth + frame.process.wall.value;
    const { value, place } = frame.thickness;
    if (value >= least - 1e-9) return [];
    const would = millimetres(roundUp(least, 0.1));
    return [
      {
        message: `the plates of the frame are ${millimetres(value)} thick, and the heads of M${f.frame.screw.diameter} screws lie ${millimetres(f.frame.seatDepth, 2)} deep in them: ${would} would do`,
        place,
        about: ['frame'],
        figures: { thickness: value, least },
        fixes: [fix(`Make the plates ${would} thick`, setting('frame', 'thickness', would))],
      },
    ];
  },
};
