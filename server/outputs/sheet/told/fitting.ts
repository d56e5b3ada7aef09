/** What is no printed part: springs, elastic loops, the pawl. */
import { listed, mm, plain } from '../../chart/words.ts';
import { type Block, drawings, table, text } from '../../document/document.ts';
import { type Route, routeDrawings } from '../route.tsx';
import type { Sheet } from '../sheet.ts';
import { pushTrial, returnTrial } from './trials.ts';
import { capital } from './words.ts';

export const fittingTitle = ({ springs, routes, view: { mechanism } }: Sheet): string =>
  capital(
    listed([
      ...(springs.length > 0 ? ['springs'] : []),
      ...(routes.length > 0 ? [routes.length === 1 ? 'the loop' : 'the loops'] : []),
      ...(mechanism.ratchets.length > 0 ? ['the pawl'] : []),
      ...(mechanism.pushes.length > 0 ? ['the push'] : []),
    ]),
  );

/** Its steps are numbered from `first` on. */
export function fitting(sheet: Sheet, first: number): Block[] {
  const { view, springs, routes } = sheet;
  const { mechanism: m } = view;
  const items = [
    ...springs.map(({ name, bars, lowered }) => {
      const what =
        bars.length === 1
          ? `spring ${name} to bar ${bars[0]}`
          : `one spring ${name} to each of the bars ${listed(bars)}`;
      return `Fit ${what}${lowered === undefined ? '' : `, so that it draws back with ${plain(lowered)} N when the bar is lowered`}.`;
    }),
    ...routes.map(
      ({ name, stops }) =>
        `Lay loop ${name} counter-clockwise over ${listed(stops.map((stop) => stop.name))}, as it is drawn.`,
    ),
    ...m.ratchets.map(
      ({ name, shaft, teeth }) =>
        `Set the pawl into the wheel of ${name}${shaft ? ` on ${shaft.name}` : ''}${teeth ? `: ${teeth.value} teeth, one a step` : ''}.`,
    ),
    ...m.pushes.map(({ name }) => `Join ${name} to its arm, and the arm to what steps the wheel on.`),
  ];
  if (items.length === 0) return [];
  return [
    { kind: 'steps', first, items },
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
    ...routes.flatMap((route) => [...stopsOf(route), text(sumOf(route))]),
    ...returnTrial(sheet),
    ...pushTrial(sheet),
  ];
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
