import { type Check, symbol } from './check.ts';
import { lampBoard } from './examples.ts';

export const shortCount: Check = {
  code: 'short-count',
  severity: 'error',
  title: 'A count with nothing to step to',
  means: 'With one symbol there is no next one: whatever the step, nothing can change.',
  reckoned: 'The different symbols of the count; at least two are needed.',
  source: 'Derived here.',
  worked: '`count 8`: one rest position, a step of 360°.',
  remedy: 'Name at least two symbols, in the order a forward step shows them.',
  examples: [
    { title: 'One symbol', text: lampBoard({ count: '«count low»' }) },
    { title: 'Two symbols', text: lampBoard({ count: 'count off high' }) },
  ],
  find(m) {
    if (!m.count || new Set(m.count.symbols.map(({ text }) => text)).size > 1) return [];
    return [
      {
        message: `the count names only ${symbol(m.count.symbols[0].text)}, so there is nothing to step to; name at least two symbols, such as count 0 1 2`,
        place: m.count.place,
        about: [m.name],
        figures: { positions: m.count.symbols.length * m.count.times },
      },
    ];
  },
};
