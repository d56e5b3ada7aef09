import { at, type Check, list, named } from './check.ts';
import { lampBoard } from './examples.ts';

const wide = { everyCam: 'every cam { base 40 mm   travel 90 deg }', right: 'segment right { azimuth 0 deg }' };

export const unheldArm: Check = {
  code: 'unheld-arm',
  severity: 'information',
  title: 'A swinging arm whose way is not looked at',
  means:
    'Of a pivoted follower the nose’s motion and its pin are reckoned, but not the arm between them nor what hangs on it: ' +
    'whether it swings clear of cams, flanges, posts and other arms is not looked at. Nothing is wrong; nothing is proved.',
  reckoned: 'The pivot, as round as the nose, against all that lies at its level; nothing of the arm.',
  source: 'What is modelled here; an arm’s shape is the maker’s.',
  worked: 'An arm of 60 mm that is 6 mm wide and swings by 0.1 rad sweeps 6 mm at its nose.',
  remedy:
    'Draw the arm over the chart and look. Where it is clear, `accept unheld-arm on SEGMENT "drawn and found clear"`.',
  notBeside: ['short-arm'],
  examples: [
    {
      title: 'An arm',
      text: lampBoard({
        ...wide,
        left: 'segment left { azimuth 180 deg   «follower pivoted at 0 mm, 60 mm arm 60 mm» }',
      }),
    },
    { title: 'Followers in guides', text: lampBoard({ ...wide, left: 'segment left { azimuth 180 deg }' }) },
  ],
  find(m, _, told) {
    const arms = m.cams.flatMap(({ segments: [first] }) => {
      const segment = named(m.segments, first?.name);
      return segment?.follower.value.kind === 'pivoted' && !told(segment.name) ? [segment] : [];
    });
    if (arms.length === 0) return [];
    const names = arms.map(({ name }) => name);
    const [one, ...others] = arms;
    return [
      {
        message:
          `the arm${others.length > 0 ? 's' : ''} of ${list(names)} ${others.length > 0 ? 'are' : 'is'} not held against ` +
          `anything, only ${others.length > 0 ? 'their pivots' : 'its pivot'}: see that nothing lies in the way`,
        place: one.follower.place,
        about: names,
        related: others.map(({ name, follower }) => at(follower.place, `the arm of ${name}`)),
      },
    ];
  },
};
