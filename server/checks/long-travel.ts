import {
  apartInWords,
  type Check,
  counted,
  degrees,
  degreesAtMost,
  fix,
  grouped,
  inDegrees,
  isUnique,
  named,
  placeKey,
  symbols,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { betweenRests, narrowerMends, rewritingWidth, tooWide } from './flanks.ts';

export const longTravel: Check = {
  code: 'long-travel',
  severity: 'warning',
  title: 'A rise or fall that takes longer than a step',
  means:
    'The flank reaches over the rests on both sides of it, so the bar is still on its way while the mechanism rests: it ' +
    'stands a little short of its end, and the least play shows. An error where that is so much that a symbol is spoilt. ' +
    'Where lobes run into each other for it, `overlapping-lobes` tells it instead.',
  reckoned:
    'travel ≤ δ, where δ is the angle between neighbouring rests on the cam: 360° / positions for a shaft that turns ' +
    '1 : 1 with the leading one. The same for `rise`, `fall` and the flanks of a stated lobe.',
  source: 'Derived here.',
  worked: 'Ten rest positions a turn are 36° apart. A travel of 40° spills 2° over each rest.',
  remedy: 'Shorten the travel to the step. Left out, it is 5/6 of the step, which leaves play a margin at both ends.',
  notBeside: ['shaft-drift', 'overlapping-lobes'],
  examples: [
    {
      title: 'Longer than the step',
      text: lampBoard({
        count: 'count off off high high',
        camL: 'cam camL on axle level 1 drives left { travel «100 deg» }',
      }),
    },
    { title: 'As long as the step', text: lampBoard({ everyCam: 'every cam { base 20 mm   travel 120 deg }' }) },
  ],
  find(m, f, told) {
    const long = f.cams.flatMap((figure) => {
      const cam = named(m.cams, figure.name);
      if (!cam || told(figure.name)) return [];
      const spacing = betweenRests(cam, figure);
      return tooWide(cam, figure).map((one) => ({ ...one, cam, figure, spacing, segments: figure.segments }));
    });
    return grouped(long, ({ width }) => placeKey(width.place)).map((same) => {
      const [{ cam, what, width }] = same;
      const spacing = Math.min(...same.map(({ spacing }) => spacing));
      const bars = same.flatMap(({ segments }) => segments).filter(isUnique);
      const spoilt = f.positions.filter(({ index, wrong, bars: all }) =>
        same.some(({ cam, figure }) =>
          all.some(
            (bar) =>
              wrong.includes(bar.segment) &&
              figure.segments.includes(bar.segment) &&
              narrowerMends(m, cam, figure, bar, index),
          ),
        ),
      );
      const text = degreesAtMost(spacing);
      const [wide, most] = apartInWords(inDegrees(width.value), inDegrees(spacing), 2);
      return {
        severity: spoilt.length ? 'error' : 'warning',
        message: `${what} ${wide} deg is longer than the ${most}° between two rests, so ${counted('bar', bars)} still ${
          bars.length === 1 ? 'moves' : 'move'
        } ${degrees((width.value - spacing) / 2, 2)} past a rest${
          spoilt.length ? ` and ${spoils(spoilt)}` : ''
        }; ${text} would do`,
        place: width.place,
        about: [...same.map(({ cam }) => cam.name), ...bars],
        figures: { travel: inDegrees(width.value), limit: inDegrees(spacing) },
        positions: spoilt.map(({ index }) => index),
        related: same.map(({ cam }) => ({ place: cam.place, message: `${cam.name} uses it` })),
        fixes: [fix(`Shorten the ${what} to ${text}`, rewritingWidth({ what, width }, cam, text))],
      };
    });
  },
};

function spoils(positions: readonly { symbol: string }[]): string {
  const texts = positions.map(({ symbol }) => symbol);
  return `${symbols(texts)} ${new Set(texts).size === 1 ? 'is' : 'are'} spoilt`;
}
