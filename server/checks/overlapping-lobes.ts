import type { Cam, Fix, Mechanism } from '../../language/mechanism.ts';
import type { CamFigure, Figures, Overlap } from '../reckon/figures.ts';
import {
  apartInWords,
  at,
  azimuth,
  type Check,
  degrees,
  degreesAtMost,
  degreesWritten,
  fix,
  grouped,
  inDegrees,
  isUnique,
  list,
  millimetres,
  named,
  placeKey,
  plain,
  setting,
  symbols,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { betweenRests, rewritingWidth, tooWide, type Width, widthsOf } from './flanks.ts';

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
        camL: 'cam camL on axle level 1 drives left { travel «130 deg» }',
      }),
    },
    {
      title: 'Flanks that are late the wrong way',
      text: lampBoard({
        count: 'count low off low high',
        camL: 'cam «camL» on axle level 1 drives left { rise 85 deg late -5 deg   fall 85 deg late 5 deg }',
      }),
    },
    { title: 'Flanks that just meet', text: lampBoard({ everyCam: 'every cam { base 20 mm   travel 120 deg }' }) },
  ],
  find(m, f, told) {
    const all = f.cams.flatMap((figure): Case[] => {
      const cam = named(m.cams, figure.name);
      const overlaps = figure.overlaps.filter(({ by }) => by > 1e-6);
      if (!cam || !overlaps.length || told(figure.name)) return [];
      const deepest = overlaps.reduce((worst, one) => (lost(one, figure) > lost(worst, figure) ? one : worst));
      const wide = tooWide(cam, figure);
      return [{ cam, figure, overlaps, deepest, wide: wide.sort((a, b) => b.width.value - a.width.value) }];
    });
    return grouped(all, ({ cam, wide }) => placeKey(wide[0]?.width.place ?? cam.place)).map((same) => {
      const worst = same.reduce((worst, one) =>
        lost(one.deepest, one.figure) > lost(worst.deepest, worst.figure) ? one : worst,
      );
      const { cam, figure, overlaps, deepest, wide } = worst;
      const [cause] = wide;
      const sharing = cause ? usersOf(cause, m, f).filter((one) => one.cam !== cam && !told(one.cam.name)) : [];
      const users = [{ cam, figure }, ...sharing];
      const bars = users.flatMap(({ figure }) => figure.segments);
      const positions = [
        ...same.flatMap((one) => one.overlaps.flatMap((each) => each.positions)),
        ...(cause ? spoiltOf(f, bars) : []),
      ]
        .filter(isUnique)
        .sort((a, b) => a - b);
      const suffering = positions.flatMap((position) => f.positions[position]?.symbol ?? []).filter(isUnique);
      const spacing = Math.min(...users.map(({ cam, figure }) => betweenRests(cam, figure)));
      const clauses = [
        ...(sharing.length
          ? [`${list(sharing.map(({ cam }) => cam.name))} ${single(sharing) ? 'has' : 'have'} that ${cause.what}, too`]
          : []),
        ...(cause && cam.lobes.by !== 'angles'
          ? [`${degreesAtMost(spacing)}${lateOnes(cam).length ? ', centred,' : ''} would do`]
          : []),
      ];
      return {
        message: [
          `${cause ? because(cause, spacing) : ''}lobes of ${cam.name} run into each other by ${notNothing(deepest.by)} at ${azimuth(
            deepest.at,
          )}: bar ${figure.segments[0]} ${standing(deepest, figure)}${
            suffering.length ? `, and ${symbols(suffering)} ${single(suffering) ? 'suffers' : 'suffer'}` : ''
          }`,
          ...clauses,
        ].join('; '),
        place: cause?.width.place ?? cam.place,
        about: [...users.map(({ cam }) => cam.name), ...bars],
        figures: {
          valley: deepest.valley,
          at: inDegrees(deepest.at),
          by: inDegrees(deepest.by),
          symbols: suffering,
          ...(cause && { travel: inDegrees(cause.width.value), limit: inDegrees(spacing) }),
        },
        positions,
        angles: overlaps.map((overlap) => overlap.at),
        related: cause ? users.map(({ cam }) => at(cam.place, `${cam.name} uses it`)) : [],
        fixes: remedies(worst, spacing),
      };
    });
  },
};

/** A cam whose lobes run into each other. */
interface Case {
  readonly cam: Cam;
  readonly figure: CamFigure;
  readonly overlaps: readonly Overlap[];
  /** The one that costs the most lift. */
  readonly deepest: Overlap;
  /** Its stated angles that are wider than what lies between two rests, the widest first. */
  readonly wide: readonly Width[];
}

/** The cams for which this number is too wide. */
function usersOf({ width }: Width, m: Mechanism, f: Figures): { cam: Cam; figure: CamFigure }[] {
  return f.cams.flatMap((figure) => {
    const cam = named(m.cams, figure.name);
    const uses = cam && tooWide(cam, figure).some((one) => placeKey(one.width.place) === placeKey(width.place));
    return uses ? [{ cam, figure }] : [];
  });
}

const single = ({ length }: readonly unknown[]): boolean => length === 1;

const spoiltOf = ({ positions }: Figures, bars: readonly string[]): number[] =>
  positions.filter(({ wrong }) => wrong.some((name) => bars.includes(name))).map(({ index }) => index);

function because({ what, width }: Width, spacing: number): string {
  const [wide, most] = apartInWords(inDegrees(width.value), inDegrees(spacing), 2);
  return `${what} ${wide} deg is longer than the ${most}° between two rests: `;
}

/** An angle that is more than nothing, even where rounding would leave nothing. */
const notNothing = (angle: number): string => (inDegrees(angle) < 0.05 ? 'less than 0.1°' : degrees(angle));

/** Lift that is missing in a crest, or left over in a valley. */
function lost({ crest, valley }: Overlap, { lift }: CamFigure): number {
  return crest ? lift.stroke - valley : valley;
}

/** How the bar stands where the flanks cross. */
function standing(overlap: Overlap, figure: CamFigure): string {
  const { stroke, relative } = figure.lift;
  const said = (lift: number) => (relative ? `${plain(100 * lift)} %` : millimetres(lift, 2));
  const whole = relative ? 'its stroke' : `its ${said(stroke)}`;
  const missing = lost(overlap, figure);
  const hardly = said(overlap.valley) === said(overlap.crest ? stroke : 0);
  const least = relative ? 'less than 0.1 %' : 'less than 0.01 mm';
  if (overlap.crest)
    return hardly ? `stops ${least} short of ${whole}` : `gets only ${said(overlap.valley)} of ${whole} up`;
  return `still stands ${hardly ? least : said(missing)} of ${whole} up between them`;
}

const lateOnes = (cam: Cam): ('rise' | 'fall')[] => (['rise', 'fall'] as const).filter((what) => cam[what]?.late);

/** Narrower flanks: down to what lies between rests, or one flank by as much as they overlap; late ones centred. */
function remedies({ cam, figure, overlaps, wide }: Case, spacing: number): Fix[] {
  const late = lateOnes(cam);
  const centring = late.map((what) => setting(cam.name, `${what} late`, '0 deg'));
  if (wide.length && cam.lobes.by !== 'angles') {
    const text = degreesAtMost(spacing);
    const shortening = wide.map((one) => rewritingWidth(one, cam, text));
    const shorten = `Shorten the ${list(wide.map(({ what }) => what))} to ${text}`;
    return [fix(`${shorten}${late.length ? ` and centre the ${list(late)}` : ''}`, ...shortening, ...centring)];
  }
  const by = Math.max(...overlaps.map((one) => one.by));
  const narrower = widthsOf(cam, figure)
    .filter(({ width }) => width.value > by)
    .map((one) => {
      const text = degreesWritten(Math.floor(((one.width.value - by) * 1800) / Math.PI) * (Math.PI / 1800));
      return fix(`Shorten the ${one.what} to ${text}`, rewritingWidth(one, cam, text));
    });
  return [...(late.length ? [fix(`Centre the ${list(late)}`, ...centring)] : []), ...narrower];
}
