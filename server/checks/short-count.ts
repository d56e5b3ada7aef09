import type { Check } from './check.ts';
import { lampBoard } from './examples.ts';

export const shortCount: Check = {
  code: 'short-count',
  severity: 'error',
  title: 'A count with nothing to step to',
  means: 'With one rest position there is no next symbol: a step is a whole turn and nothing can change.',
  reckoned: 'Rest positions a turn = symbols of the count × its `times`; at least two are needed.',
  source: 'Derived here.',
  worked: '`count 8`: one rest position, a step of 360°.',
  remedy: 'Name at least two symbols, in the order a forward step shows them.',
  examples: [
    { title: 'One symbol', text: lampBoard({ count: '«count low»' }) },
    { title: 'Two symbols', text: lampBoard({ count: 'count off high' }) },
  ],
  find(m) {
    if (!m.count || m.unclear.includes('count')) return [];
    const positions = m.count.symbols.length * m.count.times;
    if (positions > 1) return [];
    return [
      {
        message: `the count names ${positions ? 'one symbol, so there is nothing to step to' : 'no symbol'}; name at least two, such as count 0 1 2`,
        place: m.count.place,
        about: [m.name],
        figures: { positions },
      },
    ];
  },
};
