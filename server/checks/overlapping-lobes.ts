import type { Cam, Fix } from '../../language/mechanism.ts';
import type { CamFigure, Overlap } from '../reckon/figures.ts';
import {
  azimuth,
  type Check,
  degrees,
  degreesWritten,
  fix,
  list,
  millimetres,
  named,
  plain,
  rewriting,
  setting,
  symbols,
} from './check.ts';
import { lampBoard } from './examples.ts';

export const overlappingLobes: Check = {
  code: 'overlapping-lobes',
  severity: 'error',
  title: 'Lobes of one cam run into each other',
  means:
    'A rise starts before the fall before it has ended, so that the bar does not come down in between; or a fall starts ' +
    'before the rise has ended, so that it never gets all the way up.',
  reckoned:
    'The follower rides on whatever stands highest: where lobes overlap, the lift is their maximum. The valley (or crest) ' +
    'is the lift where the two flanks cross.',
  source: 'Derived here.',
  worked:
    'Rests 36° apart and a travel of 40°: the flanks on both sides of a single low rest overlap by 4°, and at simple ' +
    'harmonic motion 2.4 % of the stroke remain in the valley.',
  remedy:
    'Shorten the travel to the angle between two rests at most; or set a `late` rise or fall nearer to the middle.',
  notBeside: ['shaft-drift'],
  examples: [
    {
      title: 'Flanks too wide for a single low rest',
      text: lampBoard({
        count: 'count low off low high',
        camL: 'cam «camL» on axle level 1 drives left { travel 130 deg }',
      }),
    },
    { title: 'Flanks that just meet', text: lampBoard({ everyCam: 'every cam { base 20 mm   travel 120 deg }' }) },
  ],
  find(m, f, told) {
    return f.cams.flatMap((figure) => {
      const cam = named(m.cams, figure.name);
      const overlaps = figure.overlaps.filter(({ by }) => by > 1e-6);
      if (!cam || !overlaps.length || told(figure.name)) return [];
      const deepest = overlaps.reduce((worst, overlap) =>
        lost(overlap, figure) > lost(worst, figure) ? overlap : worst,
      );
      const positions = [...new Set(overlaps.flatMap((overlap) => overlap.positions))];
      const suffering = positions.map((position) => f.positions[position]?.symbol).filter((text) => text !== undefined);
      const height = shareOfStroke(deepest, figure);
      const what = deepest.crest ? `gets only ${height} up` : `still stands ${height} up between them`;
      const fixes = remedies(cam, figure, Math.max(...overlaps.map(({ by }) => by)));
      const mend =
        figure.travel > figure.spacing + 1e-9 ? `; travel ${degreesWritten(figure.spacing, 1)} would do` : '';
      return [
        {
          message: `lobes of ${cam.name} run into each other by ${degrees(deepest.by)} at ${azimuth(deepest.at)}: bar ${
            figure.segments[0]
          } ${what}${suffering.length ? `, and ${symbols(suffering)} ${new Set(suffering).size === 1 ? 'suffers' : 'suffer'}` : ''}${mend}`,
          place: cam.place,
          about: [cam.name, ...figure.segments],
          figures: { valley: deepest.valley, at: inDegrees(deepest.at), by: inDegrees(deepest.by), symbols: suffering },
          positions,
          angles: overlaps.map(({ at }) => at),
          fixes,
        },
      ];
    });
  },
};

const inDegrees = (angle: number): number => (angle * 180) / Math.PI;

/** Lift that is missing in a crest, or left over in a valley. */
function lost({ crest, valley }: Overlap, { lift }: CamFigure): number {
  return crest ? lift.stroke - valley : valley;
}

function shareOfStroke({ valley }: Overlap, { lift }: CamFigure): string {
  return lift.relative
    ? `${plain(100 * valley)} % of its stroke`
    : `${millimetres(valley, 2)} of its ${millimetres(lift.stroke, 2)}`;
}

/** Narrower flanks: the travel down to what lies between rests, or one flank by as much as they overlap. */
function remedies(cam: Cam, { travel, spacing }: CamFigure, by: number): Fix[] {
  if (cam.travel && travel > spacing) {
    const text = degreesWritten(Math.floor((spacing * 180e3) / Math.PI + 1e-6) * (Math.PI / 180e3));
    return [fix(`Shorten the travel to ${text}`, rewriting(cam.travel, cam, 'travel', text))];
  }
  const widths = [
    ...(cam.rise ? [{ what: 'rise', width: cam.rise.width }] : []),
    ...(cam.fall ? [{ what: 'fall', width: cam.fall.width }] : []),
    ...(cam.lobes.by === 'angles'
      ? cam.lobes.lobes.flatMap(({ before, after }) =>
          [before, after].flatMap((width) => (width ? [{ what: 'flank', width }] : [])),
        )
      : []),
  ];
  const late = (['rise', 'fall'] as const).filter((what) => cam[what]?.late);
  const centred = late.map((what) => setting(cam.name, `${what} late`, '0 deg'));
  const narrower = widths
    .filter(({ width }) => width.value > by)
    .map(({ what, width }) => {
      const text = degreesWritten(Math.floor(((width.value - by) * 1800) / Math.PI) * (Math.PI / 1800));
      return fix(`Shorten the ${what} to ${text}`, { do: 'replace', place: width.place, text });
    });
  return [...(centred.length ? [fix(`Centre the ${list(late)}`, ...centred)] : []), ...narrower];
}
