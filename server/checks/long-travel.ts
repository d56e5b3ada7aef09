import type { Cam, Given } from '../../language/mechanism.ts';
import type { CamFigure } from '../reckon/figures.ts';
import {
  type Check,
  counted,
  degrees,
  degreesWritten,
  fix,
  grouped,
  named,
  placeKey,
  rewriting,
  symbols,
} from './check.ts';
import { lampBoard } from './examples.ts';

export const longTravel: Check = {
  code: 'long-travel',
  severity: 'warning',
  title: 'A rise or fall that takes longer than a step',
  means:
    'The flank reaches over the rests on both sides of it, so the bar is still on its way while the mechanism rests: it ' +
    'stands a little short of its end, and the least play shows. An error where that is so much that a symbol is spoilt.',
  reckoned:
    'travel ≤ δ, where δ is the angle between neighbouring rests on the cam: 360° / positions for a shaft that turns ' +
    '1 : 1 with the leading one. The same for `rise`, `fall` and the flanks of a stated lobe.',
  source: 'Derived here.',
  worked: 'Ten rest positions a turn are 36° apart. A travel of 40° spills 2° over each rest.',
  remedy: 'Shorten the travel to the step. Left out, it is 5/6 of the step, which leaves play a margin at both ends.',
  notBeside: ['shaft-drift'],
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
      if (!cam || !figure.step || !figure.lift.lobes.length || told(figure.name)) return [];
      // Stated lobes need not serve the rests of all counts, only those of one.
      const spacing = cam.lobes.by === 'angles' ? Math.abs(figure.step) : figure.spacing;
      return widthsOf(cam)
        .filter(({ width }) => width.value > spacing + 1e-9)
        .map((one) => ({ ...one, cam, spacing, segments: figure.segments }));
    });
    return grouped(long, ({ width }) => placeKey(width.place)).map((same) => {
      const [{ cam, what, width }] = same;
      const spacing = Math.min(...same.map(({ spacing }) => spacing));
      const bars = same.flatMap(({ segments }) => segments);
      const spoilt = f.positions.filter(({ wrong }) => wrong.some((name) => bars.includes(name)));
      const text = written(spacing);
      return {
        severity: spoilt.length ? 'error' : 'warning',
        message: `${what} ${degreesWritten(width.value, 1)} is longer than the ${degrees(spacing, 2)} between two rests, so ${counted(
          'bar',
          bars,
        )} still ${bars.length === 1 ? 'moves' : 'move'} ${degrees((width.value - spacing) / 2, 2)} past a rest${
          spoilt.length ? ` and ${spoils(spoilt)}` : ''
        }; ${text} would do`,
        place: width.place,
        about: [...same.map(({ cam }) => cam.name), ...bars],
        figures: { travel: (width.value * 180) / Math.PI, limit: (spacing * 180) / Math.PI },
        positions: spoilt.map(({ index }) => index),
        related: same.map(({ cam }) => ({ place: cam.place, message: `${cam.name} uses it` })),
        fixes: [
          what === 'travel'
            ? fix(`Shorten the travel to ${text}`, rewriting(width, cam, 'travel', text))
            : fix(`Shorten the ${what} to ${text}`, { do: 'replace', place: width.place, text }),
        ],
      };
    });
  },
};

/** The angles of rise and fall that a cam states. */
function widthsOf(cam: Cam): { what: string; width: Given<number> }[] {
  return [
    ...(cam.travel ? [{ what: 'travel', width: cam.travel }] : []),
    ...(cam.rise ? [{ what: 'rise', width: cam.rise.width }] : []),
    ...(cam.fall ? [{ what: 'fall', width: cam.fall.width }] : []),
    ...(cam.lobes.by === 'angles'
      ? cam.lobes.lobes
          .flatMap(({ before, after }) => [before, after])
          .flatMap((width) => (width ? [{ what: 'flank', width }] : []))
      : []),
  ];
}

/** Rounded down, so that it is not longer than the step again. */
function written(spacing: CamFigure['spacing']): string {
  return degreesWritten(Math.floor((spacing * 180e3) / Math.PI + 1e-6) * (Math.PI / 180e3));
}

function spoils(positions: readonly { symbol: string }[]): string {
  const texts = positions.map(({ symbol }) => symbol);
  return `${symbols(texts)} ${new Set(texts).size === 1 ? 'is' : 'are'} spoilt`;
}
