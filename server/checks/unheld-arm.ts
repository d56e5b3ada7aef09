import { isUnclear, type Mechanism, type Segment } from '../../language/mechanism.ts';
import { at, type Check, fix, list, millimetres, named, setting } from './check.ts';
import { lampBoard } from './examples.ts';

const wide = { everyCam: 'every cam { base 40 mm   travel 90 deg }', right: 'segment right { azimuth 0 deg }' };
const arm = 'follower pivoted at -41.5 mm, 60 mm arm 60 mm';

export const unheldArm: Check = {
  code: 'unheld-arm',
  severity: 'information',
  title: 'A swinging arm of which nobody knows how wide it is',
  means:
    'Of a pivoted follower the nose’s motion and its pin are reckoned. The text does not say how wide the arm between them is, ' +
    'so whether it swings clear of cams, flanges, posts and other arms is not looked at. Nothing is wrong; nothing is proved.',
  reckoned:
    'Without `stem` only the pivot, as round as the nose, is held against all that lies at its level. With it the arm, straight ' +
    'from the pivot to the nose’s centre, is, over a whole turn, against its own cam too: see `post-clash`.',
  source: 'What is modelled here.',
  worked:
    'An arm of 60 mm swings by 0.05 rad where its nose rises by 3 mm. Half of `stem 2 mm` is 1 mm: so much is wanted ' +
    'between its middle line and all that turns.',
  remedy: 'Say how wide it is: `stem 2 mm`.',
  notBeside: ['short-arm'],
  examples: [
    {
      title: 'An arm of no width',
      text: lampBoard({ ...wide, left: `segment left { azimuth 180 deg   «${arm}» }` }),
    },
    {
      title: 'The same, 2 mm wide',
      text: lampBoard({ ...wide, left: `segment left { azimuth 180 deg   ${arm}   stem 2 mm }` }),
    },
  ],
  find(m, _, told) {
    const arms = m.cams.flatMap(({ segments: [first] }) => {
      const segment = named(m.segments, first?.name);
      const isUnheld = segment && isArm(segment) && !segment.stem && !isUnclear(segment, 'stem');
      return isUnheld && !told(segment.name) ? [segment] : [];
    });
    if (arms.length === 0) return [];
    const names = arms.map(({ name }) => name);
    const [one, ...others] = arms;
    return [
      {
        message:
          `the arm${others.length > 0 ? 's' : ''} of ${list(names)} ${others.length > 0 ? 'are' : 'is'} held against nothing: ` +
          `the text does not say how wide ${others.length > 0 ? 'they are' : 'it is'}; stem would`,
        place: one.follower.place,
        about: names,
        related: others.map(({ name, follower }) => at(follower.place, `the arm of ${name}`)),
        fixes: widthsOfOthers(m).map((width) =>
          fix(
            `Make ${list(names.map((name) => `the arm of ${name}`))} ${width} wide`,
            ...names.map((name) => setting(name, 'stem', width)),
          ),
        ),
      },
    ];
  },
};

const isArm = ({ follower }: Segment): boolean => follower.value.kind === 'pivoted';

/** As wide as another arm is, each width once. */
const widthsOfOthers = (m: Mechanism): string[] => [
  ...new Set(m.segments.flatMap((one) => (isArm(one) && one.stem ? [millimetres(one.stem.value, 3)] : []))),
];
