import { isGuess } from '../../language/mechanism.ts';
import { at, azimuth, type Check, counted, degrees, inDegrees, named } from './check.ts';
import { lampBoard } from './examples.ts';
import { besides, hasGuess, mendsOf } from './sizes.ts';

export const steepCam: Check = {
  code: 'steep-cam',
  severity: 'error',
  title: 'A flank too steep for its bar to follow',
  means:
    'Where the flank stands steep against the slide, the cam pushes the follower sideways into its guide rather than up. ' +
    'Over the limit of the pressure angle the bar wears, sticks and in the end jams.',
  reckoned:
    'tan α = (s′ − e)/(s + √(r₀² − e²)), with s′ = ds/dψ in mm/rad, the offset e and the prime radius r₀ = base + nose; the ' +
    'greatest |α| over all flanks. The smallest base is the least at which |α| stays within the limit and the pitch curve’s ' +
    'convex radius is greater than the nose; the one that is told leaves a wall round the key as well.',
  source:
    'Any handbook of cam design; the usual limit of 30° for a translating follower is in R. L. Norton, *Cam Design and ' +
    'Manufacturing Handbook*, 2nd ed. 2009 (Fig. 7-2).',
  worked:
    'Simple harmonic, 6 mm in 45°, no offset, limit 30°: r₀·(r₀ + 6) = (6·4/(2·tan 30°))², so r₀ = 18 mm. With a nose of ' +
    '1.5 mm the smallest base is 16.5 mm.',
  remedy: 'A greater base, a longer travel (up to the step), a shorter stroke, or a gentler law at the same travel.',
  notBeside: ['shaft-drift'],
  alsoOn: (rest) =>
    `, and so it is for ${counted(
      'bar',
      rest.flatMap(({ about }) => about.slice(1, 2)),
    )}`,
  examples: [
    {
      title: 'A base too small',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { base «4 mm»   travel 40 deg }' }),
    },
    {
      title: 'A base that will do',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { base 12 mm   travel 40 deg }' }),
    },
  ],
  find(m, f, told) {
    const limit = m.limits.pressureAngle.value;
    if (isGuess(m.limits, 'pressure angle', m.limits.pressureAngle)) return [];
    return f.cams
      .flatMap((figure) => {
        const cam = named(m.cams, figure.name);
        const { pressureAngle } = figure;
        if (!cam?.base || !pressureAngle || pressureAngle.value <= limit + 1e-9 || told(cam.name) || hasGuess(cam))
          return [];
        const bar = figure.segments[0];
        const { base, travel, words, fixes } = mendsOf(m, f, cam, figure);
        const pivoted = named(m.segments, bar)?.follower.value.kind === 'pivoted';
        const none = pivoted && base === undefined ? '; no base would do with the pivot where it stands' : '';
        return [
          {
            message: `bar ${bar} cannot follow its cam: pressure angle ${degrees(pressureAngle.value)} at ${azimuth(
              pressureAngle.at,
              0,
            )} (limit ${degrees(limit)})${besides(m, f, cam, figure)}${none}${words && `; ${words}`}`,
            place: cam.base.place,
            about: [cam.name, bar],
            figures: {
              pressureAngle: inDegrees(pressureAngle.value),
              at: inDegrees(pressureAngle.at),
              limit: inDegrees(limit),
              ...(base !== undefined && { smallestBase: base }),
              ...(travel !== undefined && { travel: inDegrees(travel) }),
            },
            angles: [pressureAngle.at],
            related: [
              at(cam.place, `${cam.name} drives ${bar}`),
              ...(m.limits.pressureAngle.by === 'stated' ? [at(m.limits.pressureAngle.place, 'the limit')] : []),
            ],
            fixes,
          },
        ];
      })
      .sort((a, b) => (b.figures.smallestBase ?? 0) - (a.figures.smallestBase ?? 0));
  },
};
