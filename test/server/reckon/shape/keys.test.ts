import { describe, expect, it } from 'vitest';
import type { Key } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians } from '../../../../server/reckon/motion/angles.ts';
import {
  keyedPartsOf,
  wallBetween,
  wrongFlips,
  wrongGearTurns,
  wrongTurns,
} from '../../../../server/reckon/shape/keyed-parts.ts';
import { boreSection, keyFigure, shaftSection } from '../../../../server/reckon/shape/keys.ts';
import { disc, type Outline, outlineThrough } from '../../../../server/reckon/shape/outline.ts';
import {
  cam,
  filament,
  gear,
  given,
  lobesAt,
  mechanism,
  numeral,
  reference,
  segment,
  shaft,
} from '../../../mechanisms.ts';
import { circle, grown, placed, regionOf, touches } from './oracle.ts';

const place = { file: 'test.lobe', top: 0, from: 0, to: 0 };
const key = (more: Partial<Key>): Key => ({
  kind: 'key',
  name: 'dee',
  place,
  whole: place,
  unclear: [],
  clearance: given(0.1),
  ...more,
});
const flat = key({ shape: given('flat'), outer: given(18), inner: given(14.4) });
const square = key({ shape: given('square'), across: given(8) });
const hexagon = key({ shape: given('hexagon'), across: given(9) });
const spline = (master?: number) =>
  key({
    shape: given('splined'),
    teeth: given(12),
    outer: given(16),
    inner: given(13),
    ...(master && { master: given(master) }),
  });
const figure = (one: Key) => {
  const found = keyFigure(one, filament);
  if ('because' in found) throw new Error(found.because);
  return found;
};
const section = (found: ReturnType<typeof boreSection>): Outline => {
  if ('because' in found) throw new Error(found.because);
  return found;
};

describe('keys by hand', () => {
  it('count the ways on as the symmetry of the section', () => {
    const ways = [flat, square, hexagon, spline(), spline(2)].map((one) => figure(one).waysOn.turned);
    expect(ways).toEqual([1, 4, 6, 12, 1]);
    expect(figure(hexagon).waysOn.flipped).toBe(6);
  });

  it('have a play of clearance over lever, both ways', () => {
    // derived: levers half a chord (√(18² − 14.4²)/2 = 5.4), half a square, a quarter of a hexagon's side, mean radius
    expect(figure(flat).play).toBeCloseTo(0.2 / 5.4, 12);
    expect(figure(square).play).toBeCloseTo(0.2 / 4, 12);
    expect(figure(hexagon).play).toBeCloseTo(0.2 / (9 / Math.sqrt(3) / 4), 12);
    expect(figure(spline(2)).play).toBeCloseTo(0.2 / 7.25, 12);
  });

  it('reach to their farthest point', () => {
    expect(figure(flat).boreRadius).toBeCloseTo(9.1);
    expect(figure(square).shaftRadius).toBeCloseTo(4 * Math.SQRT2);
    expect(figure(square).boreRadius).toBeCloseTo(4.1 * Math.SQRT2);
    expect(figure(hexagon).boreRadius).toBeCloseTo((4.6 * 2) / Math.sqrt(3));
  });
});

describe('sections against polygon booleans', () => {
  const jams = (one: Key, angle: number) => {
    const shaftRegion = regionOf(section(shaftSection(one)));
    const bore = regionOf(section(boreSection(one)));
    return placed(shaftRegion, angle, { x: 0, y: 0 }).subtract(bore).area() > 1e-3;
  };

  it.each([
    ['flat', flat],
    ['square', square],
    ['hexagon', hexagon],
    ['spline with a master', spline(2)],
    ['plain spline', spline()],
  ])('%s: the shaft goes into the bore on as many ways as reckoned', (_, one) => {
    let ways = 0;
    for (let degree = 0; degree < 360; degree += 30) if (!jams(one, radians(degree))) ways++;
    for (let degree = 45; degree < 360; degree += 90) if (!jams(one, radians(degree))) ways++;
    expect(ways).toBe(figure(one).waysOn.turned);
  });

  it.each([
    ['flat', flat],
    ['square', square],
    ['hexagon', hexagon],
    ['plain spline', spline()],
    ['spline of two joined teeth', spline(2)],
    ['spline of three joined teeth', spline(3)],
  ])('%s: a bore turned over goes on where its mirror says', (_, one) => {
    const { mirror, waysOn } = figure(one);
    const bore = section(boreSection(one));
    /** The bore turned over about cam angle 0, then turned on: what lay at ψ lies at angle − ψ. */
    const over = (angle: number) => {
      const points = Array.from({ length: bore.x.length }, (_, i) => ({ x: bore.x[i], y: -bore.y[i] })).reverse();
      return placed(regionOf(outlineThrough(points)!), angle, { x: 0, y: 0 });
    };
    const goesOn = (angle: number) =>
      regionOf(section(shaftSection(one)))
        .subtract(over(angle))
        .area() < 1e-3;
    for (let way = 0; way < waysOn.flipped; way++) {
      expect(goesOn(mirror + (way * 2 * Math.PI) / waysOn.flipped)).toBe(true);
    }
    expect(goesOn(mirror + Math.PI / waysOn.flipped)).toBe(false);
  });

  it.each([
    ['flat', flat],
    ['square', square],
    ['hexagon', hexagon],
    ['spline with a master', spline(2)],
  ])('%s: the play reckoned agrees with that of the sections', (_, one) => {
    let [free, jammed] = [0, radians(20)];
    for (let i = 0; i < 30; i++) {
      const middle = (free + jammed) / 2;
      if (jams(one, middle)) jammed = middle;
      else free = middle;
    }
    // clearance over lever is exact for small clearances; a hexagon's corners are taken as round
    const share = figure(one).play / (2 * free);
    const due = one === hexagon ? 2 : 1;
    expect(share).toBeGreaterThan(0.8 * due);
    expect(share).toBeLessThan(1.2 * due);
  });
});

describe('the wall round a bore', () => {
  it('is the difference of radii for a disc', () => {
    const wall = wallBetween(section(boreSection(flat)), disc(22)!);
    expect(wall.value).toBeCloseTo(22 - 9.1, 2);
  });

  it('is the plumb distance at a square bore near an edge, exact against offsets', () => {
    const bore = section(boreSection(square));
    const outside = section(shaftSection(key({ shape: given('hexagon'), across: given(16) })));
    const wall = wallBetween(bore, outside);
    const [one, two] = [regionOf(bore), circle(40).subtract(regionOf(outside))];
    expect(touches(grown(one, wall.value - 2e-3), two)).toBe(false);
    expect(touches(grown(one, wall.value + 2e-3), two)).toBe(true);
  });

  it('is negative where the base is smaller than the key', () => {
    expect(wallBetween(section(boreSection(flat)), disc(8)!).value).toBeCloseTo(8 - 9.1, 2);
  });
});

describe('a cam on its key', () => {
  const liftOf = (...lobes: number[][]) =>
    reckon(
      mechanism({
        shafts: [shaft('one', [0, 0], 'clockwise')],
        segments: [segment('a', 90)],
        cams: [cam('camA', 'one', 'a', { lobes: lobesAt(...lobes) })],
      }),
    ).cams[0].lift;

  it('is another cam when it goes on turned, unless its lobes repeat', () => {
    expect(
      wrongTurns(liftOf([10, 50, 20]), 4)
        .map(degrees)
        .map(Math.round),
    ).toEqual([90, 180, 270]);
    expect(
      wrongTurns(liftOf([10, 50, 20], [190, 230, 20]), 4)
        .map(degrees)
        .map(Math.round),
    ).toEqual([90, 270]);
    expect(wrongTurns(liftOf([10, 50, 20]), 1)).toEqual([]);
  });

  it('is the same when it goes on turned over only if a mirror line lies on the key', () => {
    expect(wrongFlips(liftOf([-20, 20, 15]), 1)).toEqual([]);
    expect(wrongFlips(liftOf([10, 50, 20]), 1)).toEqual([0]);
    expect(
      wrongFlips(liftOf([25, 65, 20]), 4)
        .map(degrees)
        .map(Math.round),
    ).toEqual([0, 180, 270]);
    // On a key whose own mirror line lies at 15°, a cam that is its own mirror image about 15° is none other.
    expect(wrongFlips(liftOf([-5, 35, 20]), 1, radians(30))).toEqual([]);
    expect(
      wrongFlips(liftOf([-20, 20, 15]), 1, radians(30))
        .map(degrees)
        .map(Math.round),
    ).toEqual([30]);
  });
});

describe('the parts of a mechanism', () => {
  const m = numeral({
    keys: [square],
    shafts: [shaft('upper', [0, 35], 'clockwise', { key: reference('dee') }), shaft('lower', [0, -35])],
    gears: [gear('upperGear', 'upper', 72), gear('lowerGear', 'lower', 68)],
  });
  const { parts, unreckoned } = keyedPartsOf(m, reckon(m));

  it('on keyed shafts have a wall, and wrong ways on', () => {
    expect(unreckoned).toEqual([]);
    expect(parts.map(({ name }) => name)).toEqual(['camA', 'camB', 'camF', 'camG', 'upperGear']);
    expect(parts[0].wall!.value).toBeGreaterThan(22 - 4.1 * Math.SQRT2 - 1e-3);
    expect(parts[0].wrongTurns).toHaveLength(3);
    expect(parts[4].wall!.value).toBeCloseTo(36 - 1.25 - 4.1 * Math.SQRT2, 6);
  });

  it('a gear goes on wrongly where its teeth or its marks then stand elsewhere', () => {
    const toothed = reckon(m).gears[0];
    expect(toothed.marks).toHaveLength(1);
    expect(wrongGearTurns(toothed, 4)).toHaveLength(3);
    expect(wrongGearTurns({ ...toothed, marks: [] }, 4)).toEqual([]);
    expect(
      wrongGearTurns({ ...toothed, marks: [], teeth: 70 }, 4)
        .map(degrees)
        .map(Math.round),
    ).toEqual([90, 270]);
    expect(
      wrongGearTurns({ ...toothed, marks: [0, Math.PI] }, 4)
        .map(degrees)
        .map(Math.round),
    ).toEqual([90, 270]);
  });

  it('whose key cannot be reckoned are told by their key', () => {
    const bad = { ...m, keys: [key({ shape: given('flat'), outer: given(10), inner: given(12) })] };
    expect(keyedPartsOf(bad, reckon(bad)).unreckoned).toEqual([
      { of: 'dee', because: expect.stringContaining('inner') },
    ]);
  });
});

describe('keys half written or impossible', () => {
  it.each([
    ['no shape', key({}), 'shape'],
    ['no size', key({ shape: given('square') }), 'across'],
    ['a flat outside its round', key({ shape: given('flat'), outer: given(10), inner: given(12) }), 'inner'],
    ['a flat shallower than the clearance', key({ shape: given('flat'), outer: given(10), inner: given(9.9) }), 'turn'],
    ['more joined teeth than teeth', spline(13), 'joins'],
  ])('%s: says why it cannot be reckoned', (_, one, word) => {
    expect(keyFigure(one, filament)).toEqual({ because: expect.stringContaining(word) });
  });
});
