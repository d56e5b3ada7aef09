import { describe, expect, it } from 'vitest';
import { foundBy, measuredIn, movedIn } from '../../../../server/outputs/coupon/found.ts';
import { ladderOf } from '../../../../server/outputs/coupon/ladder.ts';
import { couponParts } from '../../../../server/outputs/coupon/shapes.ts';
import { writtenInto } from '../../../../server/outputs/coupon/written.ts';
import { regionArea } from '../../../../server/reckon/parts/loop.ts';
import { cam, given, mechanism, segment, shaft } from '../../../mechanisms.ts';
import { solidKernel, solidOf } from '../parts/solids.ts';

const design = () =>
  mechanism({
    shafts: [{ ...shaft('upper', [0, 0]), bearing: given(10) }],
    segments: [segment('a', 90, { stem: given(3) })],
    cams: [cam('camA', 'upper', 'a')],
  });

describe('the ladder', () => {
  const { rows, process } = ladderOf(design());

  it('takes its sizes from the design, and usual ones where it has none', () => {
    expect(process).toBe('filament');
    expect(rows.map(({ name, size, from }) => [name, size, from])).toEqual([
      ['bores', 10, 'upper'],
      ['pegs', 10, 'upper'],
      ['slots', 3, 'a'],
      ['gaps', 1, undefined],
    ]);
  });

  it('widens from a quarter of the clearance of the process to twice it', () => {
    const [bores, pegs, , gaps] = rows;
    expect(bores!.rungs.map(({ clearance }) => +clearance.toFixed(3))).toEqual([
      0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4,
    ]);
    expect(bores!.rungs[3]!.nominal).toBeCloseTo(10.4, 9);
    expect(pegs!.rungs[3]!.nominal).toBeCloseTo(9.6, 9);
    // ISO 53: a space of the basic rack is half a pitch, π·m/2, wide on the pitch line.
    expect(gaps!.rungs[0]!.nominal).toBeCloseTo(Math.PI / 2 + 0.05, 9);
  });
});

describe('the parts of a coupon', () => {
  it('are one solid each, as large as drawn, and every trial piece is a clearance smaller than its rung', async () => {
    const m = design();
    const parts = couponParts(m, ladderOf(m));
    const kernel = await solidKernel();
    for (const part of parts) {
      const solid = solidOf(kernel, part, 0.002);
      const volume = part.prisms.reduce(
        (sum, { from, to, regions }) => sum + (to - from) * regions.reduce((area, one) => area + regionArea(one), 0),
        0,
      );
      expect(solid.status(), part.name).toBe('NoError');
      expect(solid.decompose().length, part.name).toBe(1);
      expect(Math.abs(solid.volume() / volume - 1), part.name).toBeLessThan(2e-3);
      solid.delete();
    }
    // The plate: eight bores and eight slots go through it.
    const plate = solidOf(kernel, parts[0]!, 0.01);
    expect(plate.genus()).toBe(16);
    plate.delete();
  });

  it('fit into their rungs with the clearance that is told: the tooth by what a kernel of solids measures', async () => {
    const m = design();
    const ladder = ladderOf(m);
    const kernel = await solidKernel();
    const [plate, , , , tooth] = couponParts(m, ladder);
    const [body, trial] = [plate!, tooth!].map((part) => solidOf(kernel, part, 0.002));
    // In the middle of the fourth space, pitch line on pitch line: half the backlash is left on each flank.
    const box = body!.boundingBox();
    const pitch = (box.max[0] - 3) / 8;
    const seated = trial!.translate(3 + 3.5 * pitch - 1.5, -0.25, 0);
    const overlap = body!.intersect(seated);
    expect(overlap.volume()).toBeLessThan(1e-9);
    expect(body!.minGap(seated, 2)).toBeCloseTo(0.1 * Math.cos((20 * Math.PI) / 180), 4);
    for (const solid of [body!, trial!, seated, overlap]) solid.delete();
  });
});

describe('what was found', () => {
  const ladder = ladderOf(design());

  it('is read from a few words', () => {
    expect(movedIn('bores 3, slot: 4; gaps none')).toEqual([
      { row: 'bores', rung: 3 },
      { row: 'slots', rung: 4 },
      { row: 'gaps', rung: 'none' },
    ]);
    expect(measuredIn('pegs 9,92 9,8mm 9.71, bores 10,02 mm')).toEqual([
      { row: 'pegs', sizes: [9.92, 9.8, 9.71] },
      { row: 'bores', sizes: [10.02] },
    ]);
    expect(measuredIn('pegs 9.9 9.8mm 9.71 mm')).toEqual([{ row: 'pegs', sizes: [9.9, 9.8, 9.71] }]);
  });

  it.each([
    ['bore 0', /one rung, 1 to 8/],
    ['bores 3 4', /one rung/],
    ['boers 3', /no row of the coupon .* did you mean bores/],
    ['bores 3, bores 4', /said twice/],
  ])('%s is told what is wrong with it', (text, why) => {
    expect(movedIn(text)).toEqual({ because: expect.stringMatching(why) });
  });

  it.each([
    ['pegs 9.92,9.81', /'9.92,9.81' is no size; write sizes in mm, with blanks between them/],
    ['pegs 9.92, 9.81', /'9.81' stands in no row; sizes of a row follow its name with blanks between them/],
    ['4,2', /'4,2' stands in no row/],
    ['pegs wide', /'wide' is no size/],
    ['pegs', /sizes of the first rungs/],
  ])('measured %s too', (text, why) => {
    expect(measuredIn(text)).toEqual({ because: expect.stringMatching(why) });
  });

  it('gives the clearance of the row that needs the most', () => {
    const { clearance } = foundBy(ladder, movedIn('bores 3, slots 5, gaps 2') as never, []);
    expect(clearance!.row).toBe('slots');
    expect(clearance!.value).toBeCloseTo(0.25, 9);
  });

  it('gives none where something moves nowhere', () => {
    const found = foundBy(ladder, movedIn('bores 3, slots none') as never, []);
    expect(found.clearance).toBeUndefined();
    expect(found.beyond).toEqual(['slots']);
  });

  it('gives how much narrower than drawn bores come out, and only bores, and writes it', () => {
    const sizes = [0.05, 0.1, 0.15].map((clearance) => 10 + 2 * clearance - 0.13);
    const found = foundBy(ladder, [], [{ row: 'bores', sizes }]);
    expect(found.undersize).toBeCloseTo(0.13, 9);
    expect(foundBy(ladder, [], [{ row: 'pegs', sizes }]).undersize).toBeUndefined();
    expect(foundBy(ladder, [], [{ row: 'bores', sizes: [11, 11, 11] }]).undersize).toBe(0);
    const { values, changes } = writtenInto(design(), found);
    expect(values).toEqual([{ property: 'undersize', from: 0, to: 0.13 }]);
    expect(changes).toEqual([{ do: 'set', object: 'filament', property: 'undersize', value: '0.13 mm' }]);
    // The library's own process is left as it is: a copy says it.
    const { process } = design();
    const usual = Object.fromEntries(
      Object.entries(process).map(([word, one]) => [
        word,
        typeof one === 'object' && 'by' in one ? { ...one, by: 'default' } : one,
      ]),
    ) as unknown as typeof process;
    const { process: name, changes: copied } = writtenInto({ ...design(), process: usual }, found);
    expect(name).toBe('measuredFilament');
    expect(JSON.stringify(copied)).toContain('spread 0.1 mm   undersize 0.13 mm   clearance 0.2 mm');
  });

  it('gives the spread of edges about the mean of their row', () => {
    // Errors of the edges: 0.05, 0.03, 0.04, 0.06, 0.02 mm inward; s = 0.0158114 (n − 1), worked by hand.
    const inward = [0.05, 0.03, 0.04, 0.06, 0.02];
    const sizes = inward.map((error, i) => 10 - 2 * 0.05 * (i + 1) - 2 * error);
    const { spread, inward: mean } = foundBy(ladder, [], [{ row: 'pegs', sizes }]);
    expect(spread!.value).toBeCloseTo(3 * 0.0158114, 6);
    expect(mean[0]!.value).toBeCloseTo(0.04, 9);
    expect(foundBy(ladder, [], [{ row: 'pegs', sizes: sizes.slice(0, 4) }]).spread).toBeUndefined();
  });
});
