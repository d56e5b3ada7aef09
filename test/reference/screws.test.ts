/** Screws and their holes against the standards' figures. */
import { describe, expect, it } from 'vitest';
import { diameters, headsOf, screwOf } from '../../language/screws.ts';

describe('screws with countersunk heads', () => {
  // A head of 90° is as high as its theoretical diameter is wider than the thread, by half.
  const height = (diameter: number, head: 'socket' | 'cross') => (screwOf(diameter, head)!.headDiameter - diameter) / 2;

  it('have the heads of ISO 10642 (supplier tables): M3 6.72 mm, 1.86 high', () => {
    expect(screwOf(3, 'socket')!.headDiameter).toBe(6.72);
    expect(height(3, 'socket')).toBeCloseTo(1.86, 9);
  });

  it('have the heads of ISO 10642, M4 and M5: 8.96 and 11.2 mm, 2.48 and 3.1 high (from memory)', () => {
    expect([4, 5].map((diameter) => screwOf(diameter, 'socket')!.headDiameter)).toEqual([8.96, 11.2]);
    expect(height(4, 'socket')).toBeCloseTo(2.48, 9);
    expect(height(5, 'socket')).toBeCloseTo(3.1, 9);
  });

  it('have the heads of ISO 7046: M3 at most 1.65 high (supplier table)', () => {
    expect(height(3, 'cross')).toBeCloseTo(1.65, 9);
  });

  it('have the heads of ISO 7046, M2.5, M4 and M5: 1.5, 2.7 and 2.7 high (from memory)', () => {
    expect([2.5, 4, 5].map((diameter) => height(diameter, 'cross'))).toEqual(
      [1.5, 2.7, 2.7].map((k) => expect.closeTo(k, 9)),
    );
  });

  it('pass the medium holes of ISO 273: M3 3.4 mm (supplier table); M2.5 2.9, M4 4.5, M5 5.5 (from memory)', () => {
    const holes = diameters().map((diameter) => [diameter, screwOf(diameter, headsOf(diameter)[0]!)!.hole]);
    expect(holes).toEqual([[2.5, 2.9], [3, 3.4], [4, 4.5], [5, 5.5]]); // biome-ignore format: a table
  });

  it('cut their thread in the tap drill’s hole: M3 2.5 mm, pitch 0.5 (thread table)', () => {
    const { diameter, pitch } = screwOf(3, 'socket')!;
    expect([pitch, diameter - pitch]).toEqual([0.5, 2.5]);
  });

  it('have no socket below M3, as ISO 10642 begins there', () => {
    expect(diameters('socket')).toEqual([3, 4, 5]);
    expect(headsOf(2.5)).toEqual(['cross']);
  });
});
