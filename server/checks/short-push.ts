import { steppingOf } from '../reckon/force/push.ts';
import { at, type Check, degrees, inDegrees } from './check.ts';
import { pushedBoard } from './examples.ts';
import { remedyFor, stepSaid, trainFaults, windowOf } from './pushes.ts';

export const shortPush: Check = {
  code: 'short-push',
  severity: 'error',
  title: 'A push that does not reach the next tooth',
  means:
    'One push turns the shaft by less than a step: the pawl does not drop behind the next tooth, and the numeral falls ' +
    'back or stays between symbols. A warning where it reaches the step, but not the play on top of it: it may catch, or not.',
  reckoned:
    'sweep = asin(stroke/arm + sin start) − start, at the push’s own shaft; it must exceed σ + play, with σ the step of that ' +
    'shaft and the ratchet’s play brought to it.',
  source: 'Derived here from the geometry of a pin that is driven along a straight line.',
  worked:
    'Arm 14 mm, start −17°, stroke 7 mm: asin(0.5 − 0.2924) + 17° = 28.98°, less than a step of 30°. With 8.2 mm it is 34.06°, ' +
    'and a play of 0.5° is well passed.',
  remedy: 'A longer stroke, a shorter arm, or a start that lies as far before the middle as the end lies behind it.',
  notBeside: trainFaults,
  examples: [
    { title: 'Too short', text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke «7 mm» }') },
    {
      title: 'Within the play',
      text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke «7.3 mm» }'),
    },
    { title: 'Far enough', text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }') },
  ],
  find(m, f, told) {
    return steppingOf(m, f).flatMap((stepping) => {
      const { push, ratchet, step, sweep } = stepping;
      const { least } = windowOf(stepping);
      if (sweep === undefined || sweep > least - 1e-9 || told(m.name, push.shaft!.name)) return [];
      const { says, fixes } = remedyFor(stepping);
      return [
        {
          severity: sweep < step ? 'error' : 'warning',
          message: `one push of ${push.name} turns ${push.shaft!.name} by ${degrees(sweep, 2)}, but ${stepSaid(stepping)}${says}`,
          place: push.stroke!.place,
          about: [push.name, push.shaft!.name],
          figures: { sweep: inDegrees(sweep), step: inDegrees(step), least: inDegrees(least) },
          related: ratchet?.play ? [at(ratchet.play.place, `the play of ${ratchet.name}`)] : [],
          fixes,
        },
      ];
    });
  },
};
