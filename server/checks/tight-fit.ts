import { type Given, isUnclear, type Mechanism, type Part } from '../../language/mechanism.ts';
import { type Check, type Found, fix, grouped, list, millimetres, placeKey } from './check.ts';
import { lampBoard } from './examples.ts';

export const tightFit: Check = {
  code: 'tight-fit',
  severity: 'warning',
  title: 'A fit tighter than the machine can make',
  means:
    'What must run (a shaft in its bearing, a bar in its guide) has less play than the process needs, or a key less than its ' +
    'edges spread: it may bind, or not go together at all.',
  reckoned:
    'Bearing clearance and `fit` of a segment against the process’s `clearance`, the clearance of a key against its `spread`; ' +
    'all of them a side.',
  source: 'The process; what the library’s processes say is common practice.',
  worked:
    'Melted filament needs 0.2 mm a side to run: a bearing of 10 mm is bored 10.4 mm. Its edges spread by 0.1 mm.',
  remedy:
    'More clearance, or a process that keeps closer to size. Where a test print runs freely, say so in the process.',
  examples: [
    {
      title: 'A guide without room',
      text: lampBoard({ everySegment: 'every segment { stroke 3 mm   nose 1.5 mm   fit «0.05 mm» }' }),
    },
    {
      title: 'Room to run',
      text: lampBoard({ everySegment: 'every segment { stroke 3 mm   nose 1.5 mm   fit 0.2 mm }' }),
    },
  ],
  find(m) {
    return grouped(tightOnes(m), ({ given }) => placeKey(given.place)).map(foundAt);
  },
};

interface Tight {
  readonly part: Part;
  readonly given: Given<number>;
  readonly least: number;
  readonly what: string;
  /** What the process calls it. */
  readonly by: string;
}

function tightOnes(m: Mechanism): Tight[] {
  const running = 'a running fit of the process needs';
  const fits: Tight[] = [
    ...m.shafts.flatMap((part) => {
      const tight = { part, given: part.bearingClearance, least: part.process.clearance.value, by: running };
      return part.bearing && !isUnclear(part, 'bearing clearance') ? [{ ...tight, what: 'bearing' }] : [];
    }),
    ...m.segments.map((part) => {
      const least = part.process.clearance.value;
      return { part, given: part.fit, least, what: 'fit', by: running };
    }),
    ...m.keys.map((part) => {
      const least = m.process.spread.value;
      return { part, given: part.clearance, least, what: 'clearance', by: 'the edges of the process spread by' };
    }),
  ];
  return fits.filter(
    ({ given, least }) => (given.by === 'stated' || given.by === 'every') && given.value < least - 1e-9,
  );
}

function foundAt(same: readonly Tight[]): Found {
  const [{ given, least, what, by }] = same;
  const names = same.map(({ part }) => part.name);
  const text = millimetres(least, 3);
  return {
    message: `the ${what} of ${list(names)} leaves ${millimetres(given.value, 3)} a side, and ${by} ${text}`,
    place: given.place,
    about: names,
    figures: { clearance: given.value, least },
    fixes: [fix(`Leave ${text}`, { do: 'replace', place: given.place, text })],
  };
}
