import { isUnclear, type Key, type Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import type { KeyedPartFigure } from '../reckon/shape/keyed-parts.ts';
import {
  at,
  type Check,
  counted,
  degrees,
  type Found,
  fix,
  inDegrees,
  isUnique,
  list,
  named,
  plain,
  setting,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { isClearOfMarks } from './meshes.ts';

export const keyAmbiguous: Check = {
  code: 'key-ambiguous',
  severity: 'warning',
  title: 'A part that goes onto its key in more than one way',
  means:
    'The bore lets the part on turned round, and so turned it is another part: a cam lifts at other symbols, a gear stands ' +
    'with its teeth or its mark elsewhere. Nothing stops the builder from putting it on wrong. A hint where a cam without ' +
    'a flange goes on turned over; a flange tells its back from its front.',
  reckoned:
    'A spline goes on in as many ways as it has teeth, in one where `master` joins some; a flat in one, a square in four, ' +
    'a hexagon in six. Each of these turns is tried on the cam’s lift (alike to a thousandth of the stroke), and on a ' +
    'gear’s teeth and marks.',
  source: 'Derived here.',
  worked:
    'A square key has ways at 0°, 90°, 180° and 270°. A cam with two lobes opposite each other goes on rightly at 0° and ' +
    '180°, and wrongly at the other two.',
  remedy:
    'A key that goes on in one way: a flat, or a spline with `master 2`. Or mark the parts and accept it: ' +
    '`accept key-ambiguous on KEY "marked at the front"`.',
  examples: [
    {
      title: 'A square key',
      text: lampBoard({
        shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key four }\nkey four { shape «square»   across 8 mm }',
      }),
    },
    {
      title: 'A spline whose first two teeth are one',
      text: lampBoard({
        shaft:
          'shaft axle { at 0 mm, 0 mm   turns clockwise   key spline }\nkey spline { shape splined   teeth 12   master 2   outer 16 mm   inner 13 mm }',
      }),
    },
  ],
  find(m, f) {
    return m.keys.flatMap((key) => {
      const parts = f.keyed.parts.filter((part) => part.key === key.name && isClear(m, part));
      const unclear = ['shape', 'teeth', 'master'].some((property) => isUnclear(key, property));
      return unclear ? [] : [...turnedRound(m, f, key, parts), ...turnedOver(m, key, parts)];
    });
  },
};

const isClear = (m: Mechanism, { name }: KeyedPartFigure): boolean => {
  const gear = named(m.gears, name);
  return !gear || isClearOfMarks(gear);
};

function turnedRound(m: Mechanism, f: Figures, key: Key, parts: readonly KeyedPartFigure[]): Found[] {
  const wrong = parts.filter(({ wrongTurns }) => wrongTurns.length > 0);
  const figure = named(f.keyed.keys, key.name);
  if (!wrong.length || !figure) return [];
  const turns = wrong
    .flatMap(({ wrongTurns }) => wrongTurns)
    .sort((a, b) => a - b)
    .map((angle) => inDegrees(angle))
    .filter(isUnique);
  const ways = figure.waysOn.turned;
  const turned =
    turns.length > most
      ? `by a multiple of ${degrees((2 * Math.PI) / ways, 2)}`
      : `by ${list(
          turns.map((turn) => `${plain(turn, 2)}°`),
          'or',
        )}`;
  return [
    {
      message: `key ${key.name} goes on in ${ways} ways: turned ${turned}, ${list(few(namesOf(wrong)))} ${
        wrong.length === 1 ? 'is another part' : 'are other parts'
      }`,
      place: (key.shape?.value === 'splined' ? (key.master ?? key.teeth) : key.shape)?.place ?? key.place,
      about: [key.name, ...wrong.map(({ name }) => name)],
      figures: { ways, turns },
      related: partsAt(m, wrong),
      fixes:
        key.shape?.value === 'splined' && (key.teeth?.value ?? 0) > 2
          ? [fix(`Join the first two teeth of ${key.name}`, setting(key.name, 'master', '2'))]
          : [],
    },
  ];
}

/** More turns or parts than this are not told one by one. */
const most = 6;

const few = (names: readonly string[]): readonly string[] =>
  names.length > most ? [...names.slice(0, most), `${names.length - most} more`] : names;

function turnedOver(m: Mechanism, key: Key, parts: readonly KeyedPartFigure[]): Found[] {
  const wrong = parts.filter(
    ({ name, wrongFlips }) => wrongFlips.length > 0 && named(m.cams, name)?.flange.value === 0,
  );
  if (!wrong.length) return [];
  const one = wrong.length === 1;
  return [
    {
      severity: 'hint',
      message: `${counted('cam', namesOf(wrong))} ${one ? 'has' : 'have'} no flange and ${one ? 'goes' : 'go'} onto key ${key.name} turned over as well, and then ${one ? 'lifts' : 'lift'} elsewhere: mark the front`,
      place: key.place,
      about: [key.name, ...namesOf(wrong)],
      related: partsAt(m, wrong),
    },
  ];
}

const namesOf = (parts: readonly KeyedPartFigure[]): string[] => parts.map(({ name }) => name);

const partsAt = (m: Mechanism, parts: readonly KeyedPartFigure[]) =>
  parts.flatMap(({ name }) => {
    const part = named(m.cams, name) ?? named(m.gears, name);
    return part ? [at(part.place, `${name} goes on it`)] : [];
  });
