import { isGuess, type Segment } from '../../language/mechanism.ts';
import type { CamFigure } from '../reckon/figures.ts';
import { at, azimuth, type Check, counted, inDegrees, millimetres, named, roundUp } from './check.ts';
import { roomForNose } from './clashes.ts';
import { lampBoard } from './examples.ts';
import { hasGuess, isUndercut, type Mends, mendsOf, noseToBlame } from './sizes.ts';

/** Less lost lift than this nobody feels. */
const felt = 0.01;

export const undercutCam: Check = {
  code: 'undercut-cam',
  severity: 'error',
  title: 'A nose too large for the bend of its cam',
  means:
    'Where the nose’s path bends outwards more sharply than the nose is round, no cam can be cut that leads it there: the ' +
    'tool takes away what it left before, a sharp edge stays, and the bar does not rise as high as it should. Told at the ' +
    'nose where it is larger than its lobe is high and a smaller one would do, else at the base. ' +
    'Information only where the path has a corner, as at the end of a rise at constant velocity, on which the nose ' +
    'turns and loses a little.',
  reckoned:
    'ρ = [(s′ − e)² + q²]^(3/2)/[(s′ − e)(2s′ − e) + q² − q·s″], q = √(r₀² − e²) + s, r₀ = base + nose: the least convex ' +
    'radius of the nose’s path, which must be greater than the nose. Under a flat face base + s + s″ must be greater than ' +
    '0. The lost lift is the programmed one less that of the follower on the profile as it is cut.',
  source:
    'Any handbook of cam design, as R. L. Norton, *Cam Design and Manufacturing Handbook* (from memory), which advises a ' +
    'radius of two to three times the nose.',
  worked:
    'Polynomial 3-4-5, 6 mm in 60° on a prime radius of 20 mm: the least radius is 11.70 mm at 47.29°, and a nose of ' +
    '3 mm leaves a cam of 8.70 mm there. A nose of 12 mm would undercut it.',
  remedy: 'A greater base, a smaller nose, a longer travel, or a law with less acceleration.',
  notBeside: ['shaft-drift', 'overlapping-lobes', 'wide-offset', 'steep-cam'],
  alsoOn: (rest) =>
    `, and so it is for ${counted(
      'bar',
      rest.map(({ about }) => about[1]),
    )}`,
  examples: [
    {
      title: 'A large nose on a quick rise',
      text: lampBoard({
        left: 'segment left { azimuth 180 deg   nose 9 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }',
        camL: 'cam camL on axle level 1 drives left { base «10 mm»   travel 30 deg }',
      }),
    },
    {
      title: 'A nose that fits the bend',
      text: lampBoard({
        left: 'segment left { azimuth 180 deg   nose 2 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }',
        camL: 'cam camL on axle level 1 drives left { base 17 mm   travel 30 deg }',
      }),
    },
  ],
  find(m, f, told) {
    return f.cams
      .flatMap((figure) => {
        const cam = named(m.cams, figure.name);
        const segment = named(m.segments, figure.segments[0]);
        const { lostLift } = figure;
        const cornered = lostLift !== undefined && lostLift.value >= felt && !isUndercut(figure);
        if (!cam?.base || !segment || told(cam.name) || !(isUndercut(figure) || cornered)) return [];
        if (hasGuess(cam) || isGuess(segment, 'offset', segment.offset)) return [];
        const lost =
          lostLift && lostLift.value >= 0.005
            ? `${millimetres(lostLift.value, 2)} of its ${millimetres(figure.lift.stroke, 2)} lift`
            : '';
        const blamed = cornered ? undefined : noseToBlame(m, figure);
        const { base, travel, nose, words, fixes }: Mends = cornered
          ? cornerMends
          : mendsOf(m, f, cam, figure, blamed && roomForNose(m, f, blamed));
        const where = cornered ? lostLift.at : figure.profileCurvature!.convexMin!.at;
        return [
          {
            severity: cornered ? ('information' as const) : ('error' as const),
            message: `${cornered ? cornerOf(segment, where) : bendOf(segment, figure, where)}${
              lost && `${cornered ? ' and' : `, and bar ${segment.name}`} loses ${lost}`
            }${words && `; ${words}`}`,
            place: cornered && cam.law.by !== 'default' ? cam.law.place : (blamed ?? cam.base).place,
            about: [cam.name, segment.name],
            figures: {
              at: inDegrees(where),
              ...(lostLift && { lostLift: lostLift.value }),
              ...(radiusAt(figure) !== undefined && { radius: radiusAt(figure)! }),
              ...(segment.nose && { nose: segment.nose.value }),
              ...(base !== undefined && { smallestBase: base }),
              ...(nose !== undefined && { largestNose: nose }),
              ...(travel !== undefined && { travel: inDegrees(travel) }),
            },
            angles: [where],
            related: [
              at(cam.place, `${cam.name} drives ${segment.name}`),
              ...(blamed
                ? [at(cam.base.place, `the base of ${cam.name}`)]
                : segment.nose
                  ? [at(segment.nose.place, `the nose of ${segment.name}`)]
                  : []),
            ],
            fixes,
          },
        ];
      })
      .sort(
        (a, b) =>
          Number(b.severity === 'error') - Number(a.severity === 'error') ||
          (a.figures.largestNose ?? Infinity) - (b.figures.largestNose ?? Infinity) ||
          roundUp(b.figures.smallestBase ?? 0, 0.1) - roundUp(a.figures.smallestBase ?? 0, 0.1) ||
          (b.figures.lostLift ?? 0) - (a.figures.lostLift ?? 0),
      );
  },
};

const cornerMends: Mends = { words: 'a law that slows down at its ends would do', fixes: [] };

/** The radius at the sharpest bend: of the nose's path; under a flat face none can be told. */
const radiusAt = ({ pitchCurvature }: CamFigure): number | undefined => pitchCurvature?.convexMin?.value;

function bendOf(segment: Segment, figure: CamFigure, where: number): string {
  const spot = `${figure.name} is undercut at ${azimuth(where, 0)}`;
  const radius = radiusAt(figure);
  if (radius === undefined || !segment.nose)
    return `${spot}: the flat face of bar ${segment.name} cuts away its own edge`;
  return `${spot}: there the path of the nose bends to a radius of ${millimetres(radius, 2)}, and the nose is ${millimetres(segment.nose.value, 2)}`;
}

const cornerOf = ({ name }: Segment, where: number): string =>
  `bar ${name} turns on a corner of its cam at ${azimuth(where, 0)}`;
