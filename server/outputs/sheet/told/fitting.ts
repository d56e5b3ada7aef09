/**
 * What is no printed part: springs, elastic loops, the pawl. Into a frame springs and loops go before it is closed, where
 * they can still be reached; its pawl is a part, and goes in with the back plate.
 */

import type { SpringMount } from '../../../reckon/frame/spring-mounts.ts';
import { listed, mm, plain } from '../../chart/words.ts';
import { type Block, drawings, table, text } from '../../document/document.ts';
import { type Route, routeDrawings } from '../route.tsx';
import type { Sheet } from '../sheet.ts';
import { pushTrial, returnTrial } from './trials.ts';
import { capital } from './words.ts';

export interface Fitting {
  readonly title: string;
  /** Its steps are numbered from `first` on. */
  readonly blocks: (first: number) => Block[];
  readonly steps: number;
}

/** What draws the bars back, and what steps the whole on; apart where a frame closes in between. */
export const fittings = (sheet: Sheet): Fitting[] =>
  (sheet.view.mechanism.frame
    ? [joined(returning(sheet)), joined(stepping(sheet))]
    : [joined(returning(sheet), stepping(sheet))]
  ).filter(({ steps }) => steps > 0);

interface Group {
  readonly title: readonly string[];
  readonly items: readonly string[];
  readonly after: readonly Block[];
}

const joined = (...groups: readonly Group[]): Fitting => {
  const items = groups.flatMap((group) => group.items);
  return {
    title: capital(listed(groups.flatMap((group) => group.title))),
    steps: items.length,
    blocks: (first) => [{ kind: 'steps', first, items }, ...groups.flatMap((group) => group.after)],
  };
};

function returning(sheet: Sheet): Group {
  const { view, springs, routes } = sheet;
  const held = view.figures.frame?.springs ?? [];
  const items = [
    ...springs.flatMap(({ name, bars, lowered }) => {
      const own = bars.filter((bar) => !held.some(({ spring, segment }) => spring === name && segment === bar));
      const what =
        own.length === 1 ? `spring ${name} to bar ${own[0]}` : `one spring ${name} to each of the bars ${listed(own)}`;
      const force =
        lowered === undefined ? '' : `, so that it draws back with ${plain(lowered)} N when the bar is lowered`;
      return [
        ...held.filter(({ spring }) => spring === name).map(hung),
        ...(own.length > 0 ? [`Fit ${what}${force}.`] : []),
      ];
    }),
    ...routes.map(
      ({ name, stops }) =>
        `Lay loop ${name} counter-clockwise over ${listed(stops.map((stop) => stop.name))}, as it is drawn.`,
    ),
  ];
  return {
    title: [
      ...(springs.length > 0 ? ['springs'] : []),
      ...(routes.length > 0 ? [routes.length === 1 ? 'the loop' : 'the loops'] : []),
    ],
    items,
    after: [
      ...table(
        'Springs',
        ['spring', 'bars', 'N/mm', 'N lowered', 'N raised', 'mm free', 'mm lowered', 'mm raised'],
        springs.map(({ name, bars, rate, lowered, raised, lengths }) => [
          name,
          bars.join(' '),
          ...[rate, lowered, raised].map((value) => (value === undefined ? '' : plain(value, 3))),
          ...[lengths?.free, lengths?.lowered, lengths?.raised].map((value) =>
            value === undefined ? '' : plain(value, 1),
          ),
        ]),
      ),
      ...drawings(...routeDrawings(view, 420)),
      ...table(
        'Where springs sit in the frame',
        [
          'spring',
          'bar',
          'at the bar, x, y',
          'at the frame, x, y',
          'on the',
          'mm behind the face',
          'mm beside the slide',
          'mm long, lowered',
        ],
        held.map(({ spring, segment, moving, fixed, plate, depth, aside, size }) => [
          spring,
          segment,
          `${plain(moving.x, 1)}, ${plain(moving.y, 1)}`,
          `${plain(fixed.x, 1)}, ${plain(fixed.y, 1)}`,
          plate,
          plain(depth, 1),
          plain(Math.abs(aside), 1),
          plain(size.lowered, 1),
        ]),
      ),
      ...routes.flatMap((route) => [...stopsOf(route), text(sumOf(route))]),
      ...returnTrial(sheet),
    ],
  };
}

/** Where a spring goes that a frame holds. */
function hung({ spring, segment, size, fixed, plate }: SpringMount): string {
  const later = plate === 'back plate' ? ', when you lay that on' : '';
  const there = `the ${plate} at x ${plain(fixed.x, 1)}, y ${plain(fixed.y, 1)} mm${later}`;
  return size.kind === 'compression'
    ? `Spring ${spring} of ${segment}: squeeze it to ${plain(size.lowered, 1)} mm with tweezers and let it out between the seat on bar ${segment} and the one on ${there}, a nib in each of its ends.`
    : `Spring ${spring} of ${segment}: hook it into the groove of the peg on ${there}, then into that of the peg on bar ${segment}.`;
}

function stepping(sheet: Sheet): Group {
  const { mechanism: m, figures } = sheet.view;
  const seated = (name: string) => figures.frame?.pawls.some(({ ratchet }) => ratchet === name);
  return {
    title: [...(m.ratchets.length > 0 ? ['the pawl'] : []), ...(m.pushes.length > 0 ? ['the push'] : [])],
    items: [
      ...m.ratchets.map(({ name, shaft, teeth }) => {
        const on = shaft ? ` on ${shaft.name}` : '';
        const each = teeth ? `: ${teeth.value} teeth, one a step` : '';
        return seated(name)
          ? `Feel the pawl of ${name} fall in at every tooth of its wheel${on}${each}.`
          : `Set the pawl into the wheel of ${name}${on}${each}.`;
      }),
      ...m.pushes.map(({ name }) => `Join ${name} to its arm, and the arm to what steps the wheel on.`),
    ],
    after: pushTrial(sheet),
  };
}

const stopsOf = ({ name, stops }: Route): Block[] =>
  table(
    `Way of ${name} at home, counter-clockwise`,
    ['', 'over', 'a', 'x, mm', 'y, mm', 'radius, mm', 'passed', 'straight to the next, mm'],
    stops.map(({ name: over, kind, at, radius, side, toNext }, i) => [
      `${i + 1}`,
      over,
      kind,
      plain(at.x),
      plain(at.y),
      radius === undefined ? '' : plain(radius),
      side === 'inside' ? 'on its other side' : '',
      toNext === undefined ? 'not touched' : plain(toNext, 1),
    ]),
  );

function sumOf({ name, length, free, tension }: Route): string {
  const said = [
    `${name} is ${mm(length)} long all round at home`,
    ...(free === undefined ? [] : [`drawn out from ${mm(free)} to ${plain(length / free)} times its free length`]),
    ...(tension === undefined ? [] : [`and pulls with ${plain(tension, 1)} N, some ± 30 %`]),
  ];
  return `${said.join(', ')}.`;
}
