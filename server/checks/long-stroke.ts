import { steppingOf } from '../reckon/force/push.ts';
import { at, type Check, millimetres } from './check.ts';
import { pushedBoard } from './examples.ts';
import { remedyFor, trainFaults } from './pushes.ts';

export const longStroke: Check = {
  code: 'long-stroke',
  severity: 'error',
  title: 'A stroke that goes further than the pin',
  means:
    'The pin runs on a circle, and past its dead point it does not go on along the stroke. The button would stand still ' +
    'before it has been pushed in, and nothing can be reckoned of the push.',
  reckoned: 'stroke ≤ arm·(1 − sin start).',
  source: 'Derived here from the geometry of a pin that is driven along a straight line.',
  worked: 'Arm 14 mm and start −17°: the pin goes 14·(1 + 0.2924) = 18.1 mm along the stroke, and no further.',
  remedy: 'A shorter stroke, a longer arm, or a start further before the middle.',
  notBeside: trainFaults,
  examples: [
    {
      title: 'Past the dead point',
      text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke «19 mm» }'),
    },
    { title: 'Within it', text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }') },
  ],
  find(m, f, told) {
    return steppingOf(m, f).flatMap((stepping) => {
      const { push, sweep } = stepping;
      if (sweep !== undefined || told(m.name, push.shaft!.name)) return [];
      const [arm, start, stroke] = [push.arm!, push.start!, push.stroke!];
      const most = arm.value * (1 - Math.sin(start.value));
      const { says, fixes } = remedyFor(stepping);
      return [
        {
          message: `the stroke of ${push.name} is ${millimetres(stroke.value)}, but its pin goes no further than ${millimetres(most)} along it${says}`,
          place: stroke.place,
          about: [push.name, push.shaft!.name],
          figures: { stroke: stroke.value, most },
          related: [at(arm.place, `the arm of ${push.name}`)],
          fixes,
        },
      ];
    });
  },
};
