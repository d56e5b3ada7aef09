import { describe, expect, it } from 'vitest';
import { libraryTable } from '../tables.ts';

// "Segmented LED Display - ASCII Library" (2017, MIT licence): a bit a segment, the least significant first.
const fourteen = {
  order: 'a b c d e f g1 g2 h j k n m l',
  codes: {
    0: 0x0c3f,
    1: 0x0406,
    2: 0x00db,
    3: 0x008f,
    4: 0x00e6,
    5: 0x2069,
    6: 0x00fd,
    7: 0x0007,
    8: 0x00ff,
    9: 0x00ef,
  },
};
const sixteen = {
  order: 'a b c d e f g h k m n p r s t u',
  codes: {
    0: 0x44ff,
    1: 0x040c,
    2: 0x8877,
    3: 0x083f,
    4: 0x888c,
    5: 0x90b3,
    6: 0x88fb,
    7: 0x000f,
    8: 0x88ff,
    9: 0x88bf,
  },
};

describe.each(Object.entries({ fourteen, sixteen }))('%s segments', (name, { order, codes }) => {
  const table = libraryTable(name);
  const segments = order.split(' ');

  it('has the segments of the published set', () => {
    expect(table.segments).toEqual(segments);
  });

  it.each(Object.entries(codes))('shows %s as the published code has it', (symbol, code) => {
    const shown = segments.filter((_, bit) => (code >> bit) & 1);
    expect(table.entries.find((entry) => entry.symbol === symbol)?.lit).toEqual(shown);
  });
});
