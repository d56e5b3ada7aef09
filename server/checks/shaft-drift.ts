import { closestRests } from '../reckon/cams.ts';
import type { CamFigure } from '../reckon/figures.ts';
import { turn } from '../reckon/motion/angles.ts';
import { wholeWidth } from '../reckon/motion/lift.ts';
import { apart, at, type Check, counted, degrees, isUnique, list, named } from './check.ts';
import { gearedBoard } from './examples.ts';
import { teethFixes, wayTo } from './meshes.ts';

/** The rests of later counts fall between those of one step, and the stated travel finds no room between them. */
const crowded = ({ spacing, step, lift }: CamFigure): boolean =>
  spacing < Math.abs(step) - 1e-9 &&
  lift.lobes.some(({ before, after }) => Math.max(wholeWidth(before), wholeWidth(after)) > spacing + 1e-9);

export const shaftDrift: Check = {
  code: 'shaft-drift',
  severity: 'error',
  title: 'A cam shaft is not home after one count',
  means:
    'When the leading shaft has made its turn and the first symbol is due again, this shaft stands elsewhere than at the ' +
    'start, and its cams show something else: the numeral falls apart turn by turn. An idler that carries no cams may ' +
    'stand where it likes; that is information only.',
  reckoned:
    'The train as an exact fraction p/q turns of the shaft a turn of the leading one (teeth driving / teeth driven, mesh ' +
    'by mesh). Home after one count: q = 1. Else home after q counts: then the cam rests at D = n·q / gcd(p, n) angles, ' +
    'and lobes that serve all q counts are derived where no angle is wanted both ways, the rests lie 3° apart at least, and ' +
    'the stated travel fits between them.',
  source: 'Gear ratio of a train as in any machine design handbook; the rests are derived here.',
  worked:
    '70 teeth drive 71 with twelve rests a turn: 70/71 of a turn a count, 5.1° short of home each time, and 426 rests ' +
    'only 0.85° apart.',
  remedy:
    'Choose teeth so that the shaft makes whole turns (1 : 1, 2 : 1), or a simple fraction such as 1 : 2. The teeth of ' +
    'an idler cancel out.',
  examples: [
    {
      title: 'One tooth too many',
      text: gearedBoard({
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth «61»   width 5 mm   mark 90 deg }',
        lower: 'shaft lower { at 0 mm, -30.5 mm   turns counterclockwise }',
      }),
    },
    { title: 'Home after every turn', text: gearedBoard() },
  ],
  find(m, f) {
    const drifting = f.shafts.filter(({ ratio }) => ratio && ratio.den > 1);
    const spoilt = drifting.flatMap((shaft) => {
      const derived = (name: string) => named(m.cams, name)?.lobes.by !== 'angles';
      const cams = f.cams
        .filter((cam) => cam.shaft === shaft.name)
        .filter((cam) => !cam.repeats || (derived(cam.name) && (cam.spacing < closestRests || crowded(cam))))
        .map(({ name }) => name);
      return cams.length ? [{ shaft, cams }] : [];
    });
    const onTheWay = new Set(spoilt.flatMap(({ shaft }) => shaft.path));
    const idlers = drifting
      .filter(({ name }) => !onTheWay.has(name) && !m.cams.some((cam) => cam.shaft?.name === name))
      .map((shaft) => ({ shaft, cams: [] }));
    return [...spoilt, ...idlers].flatMap(({ shaft, cams }) => {
      const part = named(m.shafts, shaft.name);
      if (!part || !shaft.ratio) return [];
      const { num, den } = shaft.ratio;
      const way = wayTo(m, f, part.name);
      const last = way.at(-1);
      const short = apart(((num % den) / den) * turn, 0);
      const turns = `shaft ${part.name} makes ${Math.abs(num)}/${den} of a turn for each turn of ${f.leading}`;
      const fixes = cams.length ? teethFixes(m, f, part.name) : [];
      const gears = way.flatMap(({ inner, outer }) => [inner.name, outer.name]);
      return [
        {
          severity: cams.length ? 'error' : 'information',
          message: cams.length
            ? `${turns}, so after one count it stands ${degrees(short, 2)} from home and ${counted('cam', cams)} ${
                cams.length === 1 ? 'does' : 'do'
              } not show the same again; ${
                fixes.length
                  ? `${fixes[0].title.replace('Give', 'give')} and it comes home`
                  : 'it must make whole turns'
              }`
            : `${turns}; it carries no cams, so it does not matter that it is home only after ${den} counts`,
          place: last?.outer.teeth?.place ?? part.place,
          about: [part.name, ...cams, ...gears].filter(isUnique),
          figures: { ratio: `${num}/${den}`, counts: den, fromHome: (short * 180) / Math.PI },
          related: [
            at(part.place, `shaft ${part.name}${cams.length ? ` carries ${list(cams)}` : ''}`),
            ...(last?.inner.teeth ? [at(last.inner.teeth.place, `the teeth of ${last.inner.name}`)] : []),
          ],
          fixes,
        } as const,
      ];
    });
  },
};
