import type { Segment } from '../../language/mechanism.ts';
import type { ClearanceFigure } from '../reckon/shape/clearance.ts';
import type { PostGapFigure } from '../reckon/shape/posts.ts';
import { type Check, counted, fix, grouped, isUnique, millimetres, placeKey, rewriting, roundDown } from './check.ts';
import { depthInWords, inWords, type Meeting, meets, nameOf, noseBehind, relatedTo } from './clashes.ts';
import { lampBoard } from './examples.ts';
import { isOfShafts, neighbourClash } from './neighbour-clash.ts';
import { isOfPosts, postClash } from './post-clash.ts';

const board = (nose: string) => lampBoard({ everySegment: `every segment { stroke 3 mm   nose ${nose} }` });

export const largeNose: Check = {
  code: 'large-nose',
  severity: 'error',
  title: 'A nose larger than its lobe, for which there is no room',
  means:
    'Where they state no size of their own, a flange reaches out past the raised nose, a guide begins behind it, and a stem ' +
    'is as wide as it: a nose that is larger than its lobe is high drives all of these into each other and into their ' +
    'neighbours. Told once, at the nose; a nose that undercuts its cam is told as that.',
  reckoned:
    'Flange radius base + stroke + nose; a guide begins stroke + nose behind the tip; a stem is two noses wide. What runs ' +
    'into each other (see `neighbour-clash` and `post-clash`) counts as the nose’s where the nose is greater than the stroke ' +
    'and a smaller one, no thinner than a wall of the process, would clear it.',
  source: 'Derived here.',
  worked:
    'Base 20 mm, stroke 3 mm, nose 16 mm: flanges of 39 mm, and a post that slides from 38 mm is 1 mm in their way. A nose of ' +
    '14.9 mm clears it.',
  remedy: 'A smaller nose; or a radius for the flanges, an overhang for the guides and a width for the stems.',
  notBeside: [...new Set([...neighbourClash.notBeside!, ...postClash.notBeside!, 'undercut-cam'])],
  examples: [
    { title: 'Noses of five times the stroke', text: board('«16 mm»') },
    { title: 'Noses of half the stroke', text: board('1.5 mm') },
  ],
  find(m, f, told) {
    const between = (clash: ClearanceFigure | PostGapFigure): readonly [Meeting, Meeting] =>
      'of' in clash ? [clash.of, clash.against] : clash.between;
    const clashes = [
      ...f.encounters.clearances.filter((one) => meets(one) && isOfShafts(m, f, one, told)),
      ...f.encounters.posts.filter((one) => meets(one) && isOfPosts(m, f, one, told)),
    ].flatMap((clash) => {
      const cause = noseBehind(m, between(clash), clash);
      return cause ? [{ clash, ...cause }] : [];
    });
    return grouped(clashes, ({ nose }) => placeKey(nose.place)).flatMap((same) => {
      const sharing = m.segments.filter(({ nose }) => nose && placeKey(nose.place) === placeKey(same[0].nose.place));
      if (told(...sharing.map(({ name }) => name))) return [];
      const [{ clash, segment, nose }] = [...same].sort((a, b) => a.clash.gap - b.clash.gap);
      const [one, other] = between(clash);
      const others = same.length - 1;
      const smaller = millimetres(roundDown(Math.min(...same.map(({ most }) => most)), 0.1));
      const noses = m.segments.filter((one) => same.some((each) => each.segment === one));
      return [
        {
          message:
            `the nose of ${segment.name}, ${millimetres(nose.value)}, is larger than its lobe is high ` +
            `(${millimetres(segment.stroke!.value)}), and there is no room for it: ${inWords(one)} and ${inWords(other)} run into ` +
            `each other, ${depthInWords(clash)} deep${others > 0 ? `, and ${others} more ${others === 1 ? 'pair does' : 'pairs do'}` : ''}; ` +
            `nose ${smaller} would do`,
          place: nose.place,
          about: [...noses.map(({ name }) => name), ...same.flatMap((each) => between(each.clash).map(nameOf))].filter(
            isUnique,
          ),
          figures: { depth: -clash.gap, nose: nose.value },
          related: relatedTo(m, [one, other]),
          fixes: [fix(`Give ${counted('bar', named(noses))} nose ${smaller}`, ...changes(noses, smaller))],
        },
      ];
    });
  },
};

const named = (segments: readonly Segment[]) => segments.map(({ name }) => name);

/** One change for noses that share a number. */
const changes = (segments: readonly Segment[], text: string) =>
  grouped(segments, ({ nose }) => placeKey(nose!.place)).map(([segment]) =>
    rewriting(segment.nose!, segment, 'nose', text),
  );
