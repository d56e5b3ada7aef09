import { type Check, list, millimetres } from './check.ts';
import { lampBoard } from './examples.ts';
import { byCause, enough, isTold } from './thin.ts';

export const thinWall: Check = {
  code: 'thin-wall',
  severity: 'warning',
  title: 'A printed part with a wall thinner than the process makes',
  means:
    'Somewhere a printed part has less material than the process’s wall: it comes out weak, or with a gap between its lines. ' +
    'Corners and the tips of teeth may be thinner. What a key leaves of a cam or a gear is told by itself, and so is what is too ' +
    'small for the nozzle.',
  reckoned:
    'In every slab of every part as it is exported, the least straight way across the material between two places of the ' +
    'edge that lie more than three times as far from each other along it, against the process’s `wall`; of a piece that ' +
    'is small all round, its width.',
  source:
    'Derived here; that along an edge which turns by T the way is at most 1/cos(T/2) of the chord is Schur’s; the wall is the process’s.',
  worked:
    'A bar 0.6 mm wide is a strip with 0.6 mm between its sides, less than a wall of 0.8 mm, two lines of 0.4 mm.',
  remedy: 'A greater size, or a process that makes thinner walls.',
  late: true,
  notBeside: ['thin-cam', 'thin-gear', 'undercut-gear', 'small-feature'],
  examples: [
    {
      title: 'A bar thinner than two lines',
      text: lampBoard({ left: 'segment left { azimuth 180 deg   bar «0.6 mm by 20 mm at -40 mm, 0 mm» }' }),
    },
    {
      title: 'A bar as wide as the wall',
      text: lampBoard({ left: 'segment left { azimuth 180 deg   bar 0.8 mm by 20 mm at -40 mm, 0 mm }' }),
    },
  ],
  find(m, f, told) {
    const thin = (f.thin ?? []).filter(
      (thin) => thin.of === 'wall' && thin.thickness >= thin.nozzle - 1e-6 && !isTold(m, f, thin, told),
    );
    return byCause(m, thin).map((same) => {
      const [{ thin, cause }] = same;
      const others = same.slice(1).map((one) => one.thin.part);
      const { mends, fixes } = enough(cause, thin.least);
      return {
        message: `${thin.part} is ${millimetres(thin.thickness, 2)} thin at its thinnest (wall ${millimetres(thin.least, 2)})${others.length ? `, and so ${others.length === 1 ? 'is' : 'are'} ${list(others)}` : ''}${mends}`,
        place: cause.place,
        about: [thin.part, ...others],
        figures: { wall: thin.thickness, least: thin.least, x: thin.at.x, y: thin.at.y },
        fixes,
      };
    });
  },
};
