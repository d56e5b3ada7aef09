import { frictionInUse } from '../reckon/force/model.ts';
import { freeingGuide } from '../reckon/force/steps.ts';
import { at, type Check, fix, millimetres, named, plain, rewriting, roundUp, setting } from './check.ts';
import { lampBoard } from './examples.ts';
import { casesInUse, stepInWords } from './forces.ts';

const board = (guide: string) =>
  lampBoard({
    everySegment: `every segment { stroke 3 mm   nose 1.5 mm   overhang 12 mm   ${guide} }`,
    more: 'spring coils { returns left right   rate 0.1 N/mm   preload 0.9 N }',
  });

export const guideJam: Check = {
  code: 'guide-jam',
  severity: 'error',
  title: 'A follower that locks in its guide',
  means:
    'The cam pushes the nose sideways as well as up, and the guide answers with two reactions whose friction holds the stem ' +
    'back. From some friction on they hold it whatever the force: the bar binds, on dry builds first.',
  reckoned:
    'It locks where tan(α + φ) ≥ b/(μ(2a + b − μd)): α the pressure angle, φ = atan μ the friction of the sliding nose, a the ' +
    'overhang in use (overhang − lift), b the guide’s length, d the stem’s width; at every stand of the followed lift, in both ' +
    'directions. Friction is what `assembled` says; the least friction at which it locks is told.',
  source:
    'Balance of forces and moments of the stem; the same in Rothbart, *Cam Design Handbook*, §6.3.3 (from memory).',
  worked:
    'Overhang 20 mm, guide 30 mm, friction 0.25, a stem without width: a follower without friction at its nose locks from 59.7° on.',
  remedy:
    'A longer guide, or one that begins nearer to the cam; less pressure angle (a greater base, a longer travel); grease.',
  notBeside: ['steep-cam', 'undercut-cam', 'wide-offset'],
  examples: [
    { title: 'A guide too short', text: board('guide «3 mm»') },
    { title: 'A longer guide', text: board('guide 12 mm') },
  ],
  find(m, f) {
    const jams = casesInUse(f).flatMap(({ steps, direction }) =>
      steps.flatMap((step) => step.jammed.map((segment) => ({ segment, step, direction }))),
    );
    return [...new Set(jams.map(({ segment }) => segment))].flatMap((name) => {
      const segment = named(m.segments, name);
      const cam = f.cams.find(({ segments }) => segments[0] === name);
      if (!segment || !cam) return [];
      const [{ step, direction }] = jams.filter((jam) => jam.segment === name);
      const from = f.forces.jamFriction.find((jam) => jam.segment === name)?.friction;
      const free = freeingGuide(m, f, name);
      const guide = free === undefined ? undefined : millimetres(roundUp(free * 1.02, 0.5));
      return [
        {
          message: `bar ${name} locks in its guide ${frictionInUse(m)}, in the step ${stepInWords(f, step, direction)}${
            from === undefined ? '' : `: it can be lifted only up to a friction of ${plain(from, 2)}`
          }${guide ? `; guide ${guide} would do` : ''}`,
          place: segment.guide?.place ?? segment.place,
          about: [name, cam.name],
          figures: { ...(from !== undefined && { friction: from }), ...(free !== undefined && { guide: free }) },
          positions: [step.index],
          related: [at(segment.place, `bar ${name}`)],
          fixes: [
            ...(guide && segment.guide
              ? [fix(`Give ${name} guide ${guide}`, rewriting(segment.guide, segment, 'guide', guide))]
              : []),
            ...(frictionInUse(m) === 'dry' ? [fix('Grease it', setting('', 'assembled', 'greased'))] : []),
          ],
        },
      ];
    });
  },
  alsoOn: (rest) => `; so do ${rest.map(({ about }) => about[0]).join(', ')}`,
};
