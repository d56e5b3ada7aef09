import { steppingOf } from '../reckon/force/push.ts';
import { at, type Check, degrees, inDegrees } from './check.ts';
import { pushedBoard } from './examples.ts';
import { remedyFor, stepSaid, trainFaults, windowOf } from './pushes.ts';

export const doubleStep: Check = {
  code: 'double-step',
  severity: 'error',
  title: 'A push that may step twice',
  means:
    'One push carries the shaft as far as the tooth after the next: the numeral skips a symbol. A warning where it falls ' +
    'short of two steps by less than the play: then it skips one now and then.',
  reckoned: 'sweep = asin(stroke/arm + sin start) − start, at the push’s own shaft, must stay under 2σ − play.',
  source: 'Derived here from the geometry of a pin that is driven along a straight line.',
  worked: 'Arm 14 mm, start −17°, stroke 16 mm: asin(1.1429 − 0.2924) + 17° = 75.3°, more than two steps of 30°.',
  remedy: 'A shorter stroke or a longer arm; a stop for the button where it has gone one step and its reserve.',
  notBeside: trainFaults,
  examples: [
    { title: 'Two steps', text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke «16 mm» }') },
    {
      title: 'Nearly two',
      text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke «13.6 mm» }'),
    },
    { title: 'One', text: pushedBoard('push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }') },
  ],
  find(m, f, told) {
    return steppingOf(m, f).flatMap((stepping) => {
      const { push, ratchet, step, sweep } = stepping;
      const { most } = windowOf(stepping);
      if (sweep === undefined || sweep < most + 1e-9 || told(m.name, push.shaft!.name)) return [];
      const { says, fixes } = remedyFor(stepping);
      return [
        {
          severity: sweep >= 2 * step ? 'error' : 'warning',
          message: `one push of ${push.name} turns ${push.shaft!.name} by ${degrees(sweep, 2)}, to the tooth after the next: ${stepSaid(stepping)}${says}`,
          place: push.stroke!.place,
          about: [push.name, push.shaft!.name],
          figures: { sweep: inDegrees(sweep), step: inDegrees(step), most: inDegrees(most) },
          related: ratchet?.play ? [at(ratchet.play.place, `the play of ${ratchet.name}`)] : [],
          fixes,
        },
      ];
    });
  },
};
