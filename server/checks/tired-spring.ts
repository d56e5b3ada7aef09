import type { Band, Fix, Spring } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { allowedShare, type CoilAtWork, type CoilFigure, coilStress, wireStrength } from '../reckon/force/coils.ts';
import { greatestStretch } from '../reckon/force/rubber.ts';
import { leastReserve, type SpringFigure } from '../reckon/force/springs.ts';
import { at, type Check, type Found, fix, millimetres, named, plain, rewriting, roundUp, symbol } from './check.ts';
import { banded, lampBoard } from './examples.ts';
import { springCaution } from './springs.ts';

const coils = (kind: string, sizes: string) =>
  lampBoard({ more: `spring coils { returns left right   coil ${kind}   ${sizes}   preload 0.9 N }` });

export const tiredSpring: Check = {
  code: 'tired-spring',
  severity: 'warning',
  title: 'A spring that is worked too hard',
  means:
    'With its bar raised the coil lies turn on turn (an error: the bar cannot rise further), has little left until it does, or its ' +
    `wire is twisted more than it bears, so that it sets and grows weaker. A band that is stretched too far tires and tears. ${springCaution}`,
  reckoned:
    'At the greatest force F = preload + rate·stroke: deflection F/R against free − (n + 2)·d, with 15 % of it in reserve; stress ' +
    'τ = K·8FD/(πd³), K = (w + 0.5)/(w − 0.75), w = D/d, against 0.56 (compression) or 0.45 (extension) of the tensile strength ' +
    '2211/d^0.145 MPa of music wire. The stress when solid stands in the figures. A band: path/loop ≤ 3 at every rest position.',
  source:
    'EN 13906-1 and -2 for the shares (from memory); Shigley’s Mechanical Engineering Design, eqs. 10-3 and 10-5, Tables 10-1 and ' +
    '10-4, §10-7 for the reserve. Initial tension, the hooks of an extension spring, heat and fatigue are left out. A stretch of 3 for rubber is common practice.',
  worked:
    'Wire 0.3 mm, mean 5 mm, ten turns: 0.066 N/mm. At 0.9 N and 3 mm more it is 1.1 N, 16.6 mm short of free; solid is 3.6 mm, so that ' +
    'free 22.8 mm or more leaves the reserve.',
  remedy: 'A longer free length; thicker wire with more turns for the same rate; less preload.',
  notBeside: ['contrary-spring'],
  examples: [
    {
      title: 'Solid before the bar is up',
      text: coils('compression', 'wire 0.3 mm   mean 5 mm   turns 10   free «20 mm»'),
    },
    { title: 'Nothing in reserve', text: coils('compression', 'wire 0.3 mm   mean 5 mm   turns 10   free «21 mm»') },
    { title: 'Wire too thin', text: coils('extension', 'wire «0.16 mm»   mean 3 mm   turns 6   free 12 mm') },
    { title: 'A band stretched too far', text: banded('loop «45 mm»') },
    { title: 'A band at ease', text: banded('loop 100 mm') },
    { title: 'At ease', text: coils('compression', 'wire 0.3 mm   mean 5 mm   turns 10   free 25 mm') },
  ],
  find(m, f) {
    return [
      ...m.springs.flatMap((spring) => {
        const figure = named(f.springs, spring.name);
        return figure?.coil && figure.work ? coilFound(spring, figure, figure.coil, figure.work) : [];
      }),
      ...m.bands.flatMap((band) => bandFound(band, f)),
    ];
  },
};

function bandFound(band: Band, f: Figures): Found[] {
  const { stretch, path } = named(f.bands, band.name) ?? {};
  if (!band.loop || !stretch || !path) return [];
  const most = Math.max(...stretch);
  if (most <= greatestStretch + 1e-9) return [];
  const at = stretch.indexOf(most);
  const loop = millimetres(roundUp(path[at] / greatestStretch, 1));
  return [
    {
      message: `at ${symbol(f.positions[at].symbol)} band ${band.name} is stretched to ${plain(most, 2)} times its loop, more than ${greatestStretch}; loop ${loop} would do`,
      place: band.loop.place,
      about: [band.name],
      figures: { stretch: most, path: path[at], loop: Number.parseFloat(loop) },
      positions: [at],
      fixes: [fix(`Give ${band.name} loop ${loop}`, rewriting(band.loop, band, 'loop', loop))],
    },
  ];
}

function coilFound(spring: Spring, figure: SpringFigure, coil: CoilFigure, work: CoilAtWork): Found[] {
  const { deflection, reserve, force, stress } = work;
  const raised = `with its bar raised ${spring.name} bears ${plain(force, 2)} N`;
  if (reserve !== undefined && reserve < leastReserve - 1e-9) {
    const free = roundUp(coil.solid + (1 + leastReserve) * deflection, 0.5);
    const would = `free ${millimetres(free)} would do`;
    const goes = `and must go ${millimetres(deflection)} from its free length`;
    return [
      {
        severity: reserve < 0 ? 'error' : 'warning',
        message:
          reserve < 0
            ? `${raised} ${goes}, but is solid after ${millimetres(coil.range!)}; ${would}`
            : `${raised} ${goes}, which leaves ${plain(100 * reserve, 1)} % until it is solid, less than ${100 * leastReserve} %; ${would}`,
        place: spring.free!.place,
        about: [spring.name],
        figures: { force, deflection, range: coil.range!, reserve: 100 * reserve, free },
        related: [at(spring.turns!.place, `its turns: ${millimetres(coil.solid, 2)} when solid`)],
        fixes: [
          fix(
            `Give ${spring.name} free ${millimetres(free)}`,
            rewriting(spring.free!, spring, 'free', millimetres(free)),
          ),
        ],
      },
    ];
  }
  if (stress <= coil.allowed + 1e-9) return [];
  const stronger = strongerWire(spring, figure, coil, work);
  return [
    {
      message: `${raised}, which twists its wire with ${plain(stress, 0)} MPa; wire of ${millimetres(spring.wire!.value, 2)} bears ${plain(coil.allowed, 0)} MPa${
        stronger ? `; wire ${millimetres(stronger.wire, 2)} with ${plain(stronger.turns)} turns would do` : ''
      }`,
      place: spring.wire!.place,
      about: [spring.name],
      figures: { force, stress, allowed: coil.allowed, index: coil.index },
      related: [at(spring.mean!.place, `its mean diameter: ${plain(coil.index, 1)} times the wire`)],
      fixes: stronger ? [strongerFix(spring, coil, work, stronger)] : [],
    },
  ];
}

interface Wound {
  readonly wire: number;
  readonly turns: number;
}

/** The next thicker wire that bears the force, with the turns that keep the rate. */
function strongerWire(spring: Spring, { rate }: SpringFigure, coil: CoilFigure, work: CoilAtWork): Wound | undefined {
  const [wire, mean] = [spring.wire!.value, spring.mean!.value];
  const rise = work.force - (spring.preload?.value ?? 0);
  for (let thick = roundUp(wire + 1e-6, 0.02); thick < mean / 2; thick += 0.02) {
    const turns = Math.round(2 * spring.turns!.value * (thick / wire) ** 4) / 2;
    const wound = (rate * spring.turns!.value * (thick / wire) ** 4) / turns;
    const force = work.force + rise * (wound / rate - 1);
    if (coilStress(force, thick, mean) <= allowedShare[coil.kind] * wireStrength(thick)) return { wire: thick, turns };
  }
  return undefined;
}

function strongerFix(spring: Spring, coil: CoilFigure, work: CoilAtWork, { wire, turns }: Wound): Fix {
  const solid = (turns + (coil.kind === 'compression' ? 2 : 1)) * wire;
  const room = coil.kind === 'compression' ? (1 + leastReserve) * 1.05 * work.deflection : wire;
  const free = spring.free && spring.free.value < solid + room ? roundUp(solid + room, 0.5) : undefined;
  return fix(
    `Wind ${spring.name} of ${millimetres(wire, 2)} wire in ${plain(turns)} turns`,
    rewriting(spring.wire!, spring, 'wire', millimetres(wire, 2)),
    rewriting(spring.turns!, spring, 'turns', plain(turns)),
    ...(spring.free && free ? [rewriting(spring.free, spring, 'free', millimetres(free))] : []),
  );
}
