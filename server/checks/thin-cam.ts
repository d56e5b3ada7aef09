import { at, azimuth, type Check, counted, inDegrees, millimetres, named, roundUp } from './check.ts';
import { lampBoard } from './examples.ts';
import { baseFixes, baseRoundKey, hasGuess, leastBase, thinWall } from './sizes.ts';

const keyed = {
  shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { shape flat   outer 24 mm }',
};

export const thinCam: Check = {
  code: 'thin-cam',
  severity: 'warning',
  title: 'A cam with too little material round its key',
  means:
    'Between the keyed bore and the cam’s profile there is less material than the process makes a wall of: the cam comes ' +
    'out weak, or breaks where its key turns it. An error where the bore breaks out of the profile, so that there is no ' +
    'cam at all. A cam that is too steep or undercut as well is told as that, with a base that does for all.',
  reckoned:
    'The least distance between the bore with its clearance and the profile, all round, against the process’s `wall`. A ' +
    'base that surely does is that of the bore’s farthest point and the wall: outer/2 + clearance + wall for a spline and ' +
    'a flat; (across/2 + clearance)/cos 45° + wall for a square, with cos 30° for a hexagon.',
  source: 'Derived here; the wall is the process’s.',
  worked: 'A flat of 24 mm with a clearance of 0.1 mm reaches out 12.1 mm; a wall of 0.8 mm more makes base 12.9 mm.',
  remedy: 'A greater base, or a smaller key.',
  notBeside: ['shaft-drift', 'wide-offset', 'steep-cam', 'undercut-cam'],
  alsoOn: (rest) =>
    `, and so it is for ${counted(
      'cam',
      rest.map(({ about }) => about[0]),
    )}`,
  examples: [
    {
      title: 'A wall of less than two lines',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base «12.5 mm» }' }),
    },
    {
      title: 'A base smaller than the key',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base «11 mm» }' }),
    },
    {
      title: 'A base that will do',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base 13 mm }' }),
    },
  ],
  find(m, f, told) {
    return m.cams
      .flatMap((cam) => {
        const [thin, figure] = [thinWall(m, f, cam), named(f.cams, cam.name)];
        if (!cam.base || !thin || !figure || told(cam.name) || hasGuess(cam)) return [];
        const { key, wall, least } = thin;
        const breaksOut = wall.value <= 0;
        const base = leastBase(m, f, figure) ?? baseRoundKey(m, f, cam.name)!;
        const reach = millimetres(named(f.keyed.keys, key.name)!.boreRadius);
        const what = breaksOut
          ? `the bore of key ${key.name} breaks out of ${cam.name}: it reaches ${reach} from the centre, and the base is ${millimetres(cam.base.value)}`
          : `${cam.name} has ${millimetres(wall.value, 2)} of material left between its bore and its profile at ${azimuth(wall.at, 0)} (wall ${millimetres(least, 2)})`;
        return [
          {
            severity: breaksOut ? ('error' as const) : ('warning' as const),
            message: `${what}; base ${millimetres(roundUp(base, 0.1))} would do`,
            place: cam.base.place,
            about: [cam.name, key.name],
            figures: { wall: wall.value, at: inDegrees(wall.at), least, smallestBase: base },
            angles: [wall.at],
            related: [at((key.outer ?? key.across ?? key).place, `key ${key.name}`)],
            fixes: baseFixes(m, cam, base),
          },
        ];
      })
      .sort((a, b) => b.figures.smallestBase - a.figures.smallestBase);
  },
};
