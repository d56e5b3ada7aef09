import type { Bar, Fix, Mechanism, Segment } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import type { BarGapFigure } from '../reckon/shape/face.ts';
import { isAstray } from './bar-astray.ts';
import {
  at,
  type Check,
  counted,
  fix,
  isUnique,
  list,
  millimetres,
  named,
  roundDown,
  setting,
  type Told,
} from './check.ts';
import { byCause, type Cause, camFigureOf, clearOf, depthInWords, isClear, kin, meets, momentOf } from './clashes.ts';
import { lampBoard } from './examples.ts';

export const barClash: Check = {
  code: 'bar-clash',
  severity: 'error',
  title: 'Bars on one plane that run into each other',
  means:
    'Two bars of the face lie in one plane and want the same place, at rest or while one of them slides past: they jam, or ' +
    'one lifts the other.',
  reckoned:
    'The outlines of all bars of a plane, with tilt and ends, each moved along its slide by its lift, through every step. ' +
    'Depth: how far a corner of one enters the other at most. Bars that one cam drives are one piece.',
  source: 'Derived here.',
  worked:
    'A bar whose edge lies at x = 20 mm and one that slides from x = 22 mm by 3 mm towards it are 1 mm in each other when ' +
    'it is raised.',
  remedy: 'Shorter bars, mitred ends, bars further apart, or another `plane` for one of them.',
  notBeside: [
    'undriven-segment',
    'twice-driven-segment',
    'unlike-segments',
    'shaft-drift',
    'unmeshed-shaft',
    'locked-train',
  ],
  examples: [
    {
      title: 'One slides into the other',
      text: lampBoard({
        right: 'segment right { azimuth 0 deg   bar «84 mm by 4 mm at 2 mm, 0 mm»   post 2 mm by 4 mm at 43 mm, 0 mm }',
      }),
    },
    {
      title: 'In two planes',
      text: lampBoard({
        right:
          'segment right { azimuth 0 deg   bar 84 mm by 4 mm at 2 mm, 0 mm plane 2   post 2 mm by 4 mm at 43 mm, 0 mm }',
      }),
    },
  ],
  find(m, f, told) {
    const clashes = f.encounters.bars.filter((one) => meets(one) && isTold(m, f, one, told));
    return byCause(
      clashes,
      ({ segments }) => segments,
      ({ segments }) => laterOf(m, segments),
    ).map((cause) => {
      const { chief, clashes } = cause;
      const [deepest, ...more] = clashes;
      const other = otherThan(chief, deepest);
      const [segment, others] = [named(m.segments, chief)!, clashes.map((clash) => otherThan(chief, clash))];
      const moment = momentOf(m, f, deepest, deepest.segments);
      const also = more.map((clash) => otherThan(chief, clash));
      const always = deepest.turn === undefined && !deepest.anyStand;
      return {
        message: `${counted('bar', [chief, other])} run into each other, ${depthInWords(deepest)} deep ${
          always ? 'wherever they stand' : moment.words
        }${also.length > 0 ? `; so do ${chief} and ${list(also)}` : ''}`,
        place: segment.bar!.place,
        about: [chief, ...others, ...cams(f, [chief, ...others])].filter(isUnique),
        figures: { depth: -deepest.gap, plane: deepest.plane, ...moment.figures },
        ...(moment.positions.length > 0 && { positions: moment.positions }),
        related: others.flatMap((name) => {
          const bar = named(m.segments, name)?.bar;
          return bar ? [at(bar.place, `bar ${name}`)] : [];
        }),
        fixes: remedies(m, cause, segment),
      };
    });
  },
};

function isTold(m: Mechanism, f: Figures, { segments }: BarGapFigure, told: Told): boolean {
  return isClear(m, f, segments) && !segments.some((name) => isAstray(m, name)) && !told(...kin(f, segments));
}

const otherThan = (chief: string, { segments: [one, other] }: BarGapFigure) => (one === chief ? other : one);

/** Of two segments the one that comes later in the text. */
function laterOf({ segments }: Mechanism, [one, other]: readonly [string, string]): string {
  const place = (name: string) => segments.findIndex((segment) => segment.name === name);
  return place(one) > place(other) ? one : other;
}

const cams = (f: Figures, names: readonly string[]) => names.flatMap((name) => camFigureOf(f, name)?.name ?? []);

function remedies(m: Mechanism, { clashes }: Cause<BarGapFigure>, segment: Segment): Fix[] {
  const { name } = segment;
  const bar = segment.bar!.value;
  const planes = m.segments.flatMap((one) => one.bar?.value.plane ?? []);
  const plane = String(Math.max(...planes) + 1);
  const shorter = shortened(bar, Math.max(...clashes.map(clearOf)));
  return [
    ...(shorter
      ? [
          fix(
            `Make the bar of ${name} ${shorter.text} ${shorter.side === 'width' ? 'wide' : 'high'}`,
            setting(name, `bar ${shorter.side}`, shorter.text),
          ),
        ]
      : []),
    ...(bar.ends === 'square' ? [fix(`Mitre the ends of ${name}`, setting(name, 'bar ends', 'mitred'))] : []),
    fix(`Put ${name} on plane ${plane}`, setting(name, 'bar plane', plane)),
  ];
}

/** A bar cut by so much at both ends; none where little would be left of it. */
function shortened({ width, height }: Bar, by: number): { side: 'width' | 'height'; text: string } | undefined {
  const side = width > height ? 'width' : 'height';
  const [long, thick] = [Math.max(width, height), Math.min(width, height)];
  const length = roundDown(long - 2 * by, 0.1);
  return length > thick ? { side, text: millimetres(length) } : undefined;
}
