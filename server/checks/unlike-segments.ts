import type { Mechanism, Segment } from '../../language/mechanism.ts';
import { apart, at, type Check, degrees, millimetres, named, symbols, wants } from './check.ts';
import { lampBoard } from './examples.ts';

export const unlikeSegments: Check = {
  code: 'unlike-segments',
  severity: 'error',
  title: 'Segments that are one piece should do different things',
  means:
    'A cam that drives several segments moves them as one piece. They have to be up at the same symbols, and slide ' +
    'along one line by one stroke; the first one’s follower rides on the cam.',
  reckoned:
    'For every counted symbol, whether the follower has to be up for each of them (raised if shown raised, lowered if ' +
    'shown lowered); their azimuths and strokes.',
  source: 'The design itself.',
  worked: '`cam camAD … drives a d` on digits: 7 shows a but not d, so no one piece can do both.',
  remedy: 'Give each a cam of its own, or join only segments that every counted symbol shows together.',
  notBeside: ['twice-driven-segment'],
  examples: [
    {
      title: 'Two bars that part ways at "low"',
      text: lampBoard({
        right: 'segment right { azimuth 180 deg }',
        camL: 'cam camL on axle level 1 drives left «right»',
        camR: '',
      }),
    },
    {
      title: 'Two bars that always go together',
      text: lampBoard({
        right: 'segment right { azimuth 180 deg }',
        camL: 'cam camL on axle level 1 drives left right',
        camR: '',
        table: 'glyphs lamps { segments left right   off = blank   low = left right   high = blank }',
        count: 'count off low',
      }),
    },
  ],
  find(m, _, told) {
    return m.cams.flatMap((cam) => {
      const [chief, ...others] = cam.segments;
      const first = named(m.segments, chief?.name);
      if (!first) return [];
      return others.flatMap((reference) => {
        const second = named(m.segments, reference.name);
        if (!second || second === first || told(second.name)) return [];
        const differing = partWays(m, first, second);
        const why = differing.length
          ? `${symbols(differing)} ${differing.length === 1 ? 'wants' : 'want'} one of them up and the other down`
          : unlikeSlides(first, second);
        if (!why) return [];
        return [
          {
            message: `bars ${first.name} and ${second.name} are one piece on ${cam.name}, but ${why}`,
            place: reference.place,
            about: [second.name, cam.name, first.name],
            figures: { symbols: differing },
            positions: m.count?.symbols.flatMap(({ text }, i) => (differing.includes(text) ? [i] : [])),
            related: [at(chief.place, `${first.name} rides on ${cam.name}`)],
          },
        ];
      });
    });
  },
};

/** Counted symbols for which the two followers would have to differ. */
function partWays(m: Mechanism, first: Segment, second: Segment): string[] {
  const up = (segment: Segment) => {
    const raised = segment.shown.value === 'raised';
    return wants(m, segment.name).map((want) => (want === undefined ? undefined : want === raised));
  };
  const [one, other] = [up(first), up(second)];
  const differing = m.count?.symbols.filter((_, i) => one[i] !== other[i]) ?? [];
  return [...new Set(differing.map(({ text }) => text))];
}

function unlikeSlides(first: Segment, second: Segment): string | undefined {
  if (first.azimuth && second.azimuth && apart(first.azimuth.value, second.azimuth.value) > 1e-6)
    return `they slide along ${degrees(first.azimuth.value)} and ${degrees(second.azimuth.value)}`;
  if (first.stroke && second.stroke && Math.abs(first.stroke.value - second.stroke.value) > 1e-6)
    return `their strokes are ${millimetres(first.stroke.value, 3)} and ${millimetres(second.stroke.value, 3)}`;
  return undefined;
}
