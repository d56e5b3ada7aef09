import { mostPositions } from '../reckon/figures.ts';
import { turn } from '../reckon/motion/angles.ts';
import { at, type Check, degrees } from './check.ts';
import { lampBoard } from './examples.ts';

export const longCount: Check = {
  code: 'long-count',
  severity: 'error',
  title: 'More rest positions than a turn can hold',
  means: 'A step of less than a tenth of a degree is no step that a ratchet could hold; nothing is reckoned for it.',
  reckoned: 'Rest positions a turn = symbols of the count × its `times`; at most 3,600, a step of 0.1°.',
  source: 'A bound of this tool; common practice stays below a hundred.',
  worked: 'Ten digits `times 1000`: 10,000 rest positions, a step of 0.036°.',
  remedy: 'Count fewer symbols a turn. A longer series takes several numerals.',
  examples: [
    { title: 'Far too often a turn', text: lampBoard({ count: '«count off low high times 1201»' }) },
    {
      title: 'Four times a turn',
      text: lampBoard({
        count: 'count off low high times 4',
        everyCam: 'every cam { base 40 mm }',
        left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -60 mm, 0 mm }',
        right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 60 mm, 0 mm }',
      }),
    },
  ],
  find(m) {
    if (!m.count) return [];
    const positions = m.count.symbols.length * m.count.times;
    if (positions <= mostPositions) return [];
    return [
      {
        message: `${positions} rest positions a turn leave a step of ${degrees(turn / positions, 3)}; up to ${mostPositions} are reckoned`,
        place: m.count.place,
        about: [m.name],
        figures: { positions, limit: mostPositions },
        related: m.count.symbols
          .slice(0, 1)
          .map((first) => at(first.place, `${m.count!.symbols.length} symbols, ${m.count!.times} times`)),
      },
    ];
  },
};
