import { type Given, isUnclear, type Mechanism, type Part, type Process } from '../../language/mechanism.ts';
import { type Check, type Found, fix, grouped, list, millimetres, placeKey, setting } from './check.ts';
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
    'all of them a side. Where bores come out `undersize`, half of that is lost on each side: what is left on the mean of a ' +
    'bearing, too, is held against the `spread`.',
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
      title: 'A key, of a printer whose holes come out undersize',
      text: `${lampBoard({
        shaft:
          'shaft axle { at 0 mm, 0 mm   turns clockwise   key drive }\nkey drive { shape flat   outer 10 mm   clearance «0.12 mm» }',
        more: 'made with narrow',
      })}\nprocess narrow { undersize 0.1 mm }\n`,
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
  /** The property that would say it. */
  readonly property: string;
}

function tightOnes(m: Mechanism): Tight[] {
  const running = 'a running fit of the process needs';
  const fits: Tight[] = [
    ...m.shafts.flatMap((part): Tight[] => {
      if (!part.bearing || isUnclear(part, 'bearing clearance')) return [];
      const { bearingClearance: given, process } = part;
      const [needed, edged] = [process.clearance.value, process.undersize.value > 0 ? edgesNeed(process) : 0];
      const tight = { part, given, what: 'bearing', property: 'bearing clearance' };
      return [
        edged > needed ? { ...tight, least: edged, by: edgesSay(process) } : { ...tight, least: needed, by: running },
      ];
    }),
    ...m.segments.map((part) => {
      const least = part.process.clearance.value;
      return { part, given: part.fit, least, what: 'fit', property: 'fit', by: running };
    }),
    ...m.keys.map((part) => {
      const given = part.clearance;
      return {
        part,
        given,
        least: edgesNeed(m.process),
        what: 'clearance',
        property: 'clearance',
        by: edgesSay(m.process),
      };
    }),
  ];
  return fits.filter(({ given: { by, value }, least }) => by !== 'default' && value < least - 1e-9);
}

/** What a hole must be drawn wider a side, so that its edges and those of what goes in seldom meet. */
const edgesNeed = ({ spread, undersize }: Process): number => spread.value + undersize.value / 2;

const edgesSay = ({ undersize }: Process): string =>
  undersize.value > 0
    ? `with holes ${millimetres(undersize.value, 3)} undersize, and edges that spread, the process needs`
    : 'the edges of the process spread by';

function foundAt(same: readonly Tight[]): Found {
  const [{ part, given, least, what, by, property }] = same;
  const names = same.map(({ part }) => part.name);
  const text = millimetres(least, 3);
  return {
    message: `the ${what} of ${list(names)} leaves ${millimetres(given.value, 3)} a side, and ${by} ${text}`,
    place: given.place,
    about: names,
    figures: { clearance: given.value, least },
    fixes: [
      given.by === 'process'
        ? fix(`Give ${part.name} ${property} ${text}`, setting(part.name, property, text))
        : fix(`Leave ${text}`, { do: 'replace', place: given.place, text }),
    ],
  };
}
