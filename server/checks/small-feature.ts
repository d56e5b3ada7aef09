import { type Check, list, millimetres } from './check.ts';
import { lampBoard } from './examples.ts';
import { byCause, enough, isTold } from './thin.ts';

export const smallFeature: Check = {
  code: 'small-feature',
  severity: 'warning',
  title: 'A feature too small for the nozzle',
  means:
    'A printed part has a web, a pin, a hole or a gap between teeth narrower than the line that the process’s nozzle lays: such a ' +
    'web is left out of the print, such a hole closes. The tips of a gear’s or a wheel’s teeth may be thinner, and so may corners.',
  reckoned:
    'In every slab of every part as it is exported, the least straight way across the material, and across holes and the gaps of a gear’s teeth, ' +
    'between two places of the edge that lie more than three times as far from each other along it; of pieces and holes ' +
    'that are small all round, the width. Beyond the pitch circle of a gear and the roots of a wheel nothing is looked at.',
  source: 'Common practice: nothing is printed narrower than one line; the nozzle is the process’s.',
  worked: 'A stem of 0.3 mm is narrower than a nozzle of 0.4 mm: no line fits into it, and the slicer leaves it out.',
  remedy: 'A greater size, or a process with a finer nozzle.',
  late: true,
  notBeside: ['thin-cam', 'thin-gear', 'undercut-gear'],
  examples: [
    {
      title: 'A stem as thin as a line',
      text: lampBoard({ left: 'segment left { azimuth 180 deg   stem «0.3 mm»   bar 4 mm by 20 mm at -40 mm, 0 mm }' }),
    },
    {
      title: 'A stem of two lines',
      text: lampBoard({ left: 'segment left { azimuth 180 deg   stem 0.8 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }' }),
    },
  ],
  find(m, f, told) {
    const small = (f.thin ?? []).filter(
      (thin) => (thin.of === 'hollow' || thin.thickness < thin.nozzle - 1e-6) && !isTold(m, f, thin, told),
    );
    return byCause(m, small).map((same) => {
      const [{ thin, cause }] = same;
      const { of, part, thickness, nozzle } = thin;
      const others = same.slice(1).map((one) => one.thin.part);
      const { mends, fixes } = of === 'wall' ? enough(cause, thin.least) : { mends: '', fixes: [] };
      const what = of === 'wall' ? 'is' : 'has a hole or a gap';
      return {
        message: `${part} ${what} ${millimetres(thickness, 2)} ${of === 'wall' ? 'thin' : 'wide'} at its narrowest, less than the nozzle of ${millimetres(nozzle, 2)}${others.length ? `, and so ${others.length === 1 ? 'is' : 'are'} ${list(others)}` : ''}${mends}`,
        place: cause.place,
        about: [part, ...others],
        figures: { thickness, nozzle },
        fixes,
      };
    });
  },
};
