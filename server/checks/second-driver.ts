import type { Part } from '../../language/mechanism.ts';
import { at, type Check, fix } from './check.ts';
import { lampBoard } from './examples.ts';

export const secondDriver: Check = {
  code: 'second-driver',
  severity: 'warning',
  title: 'Two ratchets or two pushes',
  means:
    'One ratchet sets the step and one push drives it; where two are said, the first counts. A second ratchet could only ' +
    'fight the first, and which shaft leads decides what every other ratio is reckoned against.',
  reckoned:
    'The leading shaft is the one that `leads`, else the first ratchet’s, else the first push’s, else the first shaft.',
  source: 'The frame of reference of the language.',
  worked: '`ratchet click on upper` and `ratchet clack on lower`: the step is reckoned on upper.',
  remedy: 'Keep one of each.',
  examples: [
    {
      title: 'A second ratchet',
      text: lampBoard({ more: 'ratchet click on axle { teeth 3 }\nratchet «clack» on axle { teeth 3 }' }),
    },
    { title: 'One of each', text: lampBoard({ more: 'ratchet click on axle { teeth 3 }' }) },
  ],
  find(m) {
    const again = (parts: readonly Part[], say: (second: string, first: string) => string) =>
      parts.slice(1).map((part) => ({
        message: say(part.name, parts[0].name),
        place: part.place,
        about: [part.name, parts[0].name],
        related: [at(parts[0].place, `${parts[0].name} comes first`)],
        fixes: [
          fix(`Leave out ${part.name}`, {
            do: 'remove',
            place: part.whole,
          }),
        ],
      }));
    return [
      ...again(
        m.ratchets,
        (second, first) => `ratchet ${second} is a second one beside ${first}, and one ratchet sets the step`,
      ),
      ...again(
        m.pushes,
        (second, first) => `push ${second} is a second one beside ${first}, and one push drives the step`,
      ),
    ];
  },
};
