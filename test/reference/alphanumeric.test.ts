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
    A: 0x00f7,
    B: 0x128f,
    C: 0x0039,
    D: 0x120f,
    E: 0x0079,
    F: 0x0071,
    G: 0x00bd,
    H: 0x00f6,
    I: 0x1209,
    J: 0x001e,
    K: 0x2470,
    L: 0x0038,
    M: 0x0536,
    N: 0x2136,
    O: 0x003f,
    P: 0x00f3,
    Q: 0x203f,
    R: 0x20f3,
    S: 0x00ed,
    T: 0x1201,
    U: 0x003e,
    V: 0x0c30,
    W: 0x2836,
    X: 0x2d00,
    Y: 0x00ee,
    Z: 0x0c09,
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
    A: 0x88cf,
    B: 0x2a3f,
    C: 0x00f3,
    D: 0x223f,
    E: 0x80f3,
    F: 0x80c3,
    G: 0x08fb,
    H: 0x88cc,
    I: 0x2233,
    J: 0x007c,
    K: 0x94c0,
    L: 0x00f0,
    M: 0x05cc,
    N: 0x11cc,
    O: 0x00ff,
    P: 0x88c7,
    Q: 0x10ff,
    R: 0x98c7,
    S: 0x88bb,
    T: 0x2203,
    U: 0x00fc,
    V: 0x44c0,
    W: 0x50cc,
    X: 0x5500,
    Y: 0x88bc,
    Z: 0x4433,
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

  it('shows no two symbols alike', () => {
    const faces = table.entries.map(({ lit }) => lit.join(' '));
    expect(new Set(faces).size).toBe(faces.length);
  });
});
