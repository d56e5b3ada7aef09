import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../language/mechanism.ts';
import { reckon } from '../../../server/reckon/figures.ts';
import { degrees } from '../../../server/reckon/motion/angles.ts';
import { angle, count, digits, gear, given, mechanism, mesh, reference, shaft } from '../../mechanisms.ts';

const part = { place: { file: '', top: 0, from: 0, to: 0 }, whole: { file: '', top: 0, from: 0, to: 0 }, unclear: [] };

function train(more: Partial<Mechanism>): Mechanism {
  return mechanism({
    count: count(digits),
    shafts: [shaft('one', [0, 0]), shaft('two', [25, 0]), shaft('three', [50, 0])],
    gears: [gear('g1', 'one', 30), gear('g2', 'two', 20), gear('g3', 'three', 30)],
    meshes: [mesh('g1', 'g2'), mesh('g2', 'g3')],
    ...more,
  });
}

const shaftNamed = (m: Mechanism, name: string) => reckon(m).shafts.find((one) => one.name === name)!;

describe('the leading shaft', () => {
  const ratchet = {
    ...part,
    kind: 'ratchet' as const,
    name: 'r',
    shaft: reference('three'),
    process: train({}).process,
  };
  const push = { ...part, kind: 'push' as const, name: 'p', shaft: reference('two'), process: train({}).process };

  it('is the first where nothing else says so', () => expect(reckon(train({})).leading).toBe('one'));

  it('is the push’s, before that the ratchet’s, before that the one that says so', () => {
    expect(reckon(train({ pushes: [push] })).leading).toBe('two');
    expect(reckon(train({ pushes: [push], ratchets: [ratchet] })).leading).toBe('three');
    const leads = train({ pushes: [push], ratchets: [ratchet] });
    const shafts = leads.shafts.map((one) => (one.name === 'one' ? { ...one, leads: given(true as const) } : one));
    expect(reckon({ ...leads, shafts }).leading).toBe('one');
  });
});

describe('the train', () => {
  it('passes through an idler with exact fractions, each mesh turning the sense over', () => {
    const m = train({});
    expect(shaftNamed(m, 'two')).toMatchObject({ ratio: { num: -3, den: 2 }, sense: 1, path: ['one', 'two'] });
    expect(shaftNamed(m, 'three')).toMatchObject({ ratio: { num: 1, den: 1 }, sense: -1, turns: 'clockwise' });
    expect(degrees(shaftNamed(m, 'two').step)).toBeCloseTo(54, 12);
  });

  it('one tooth off at a mesh turns every shaft beyond it, each by its own ratio', () => {
    const off = (m: Mechanism) =>
      reckon(m).meshes.map(({ toothOff }) =>
        toothOff.map(({ shaft, turn }) => [shaft, Number(degrees(turn).toFixed(9))]),
      );
    // A tooth of 20 is 18°, which 20 to 30 makes 12°; a tooth of 30 is 12°.
    expect(off(train({}))).toEqual([
      [
        ['two', 18],
        ['three', 12],
      ],
      [['three', 12]],
    ]);
    const back = train({});
    const shafts = back.shafts.map((one) => (one.name === 'three' ? { ...one, leads: given(true as const) } : one));
    expect(off({ ...back, shafts })[1]).toEqual([
      ['one', 12],
      ['two', 18],
    ]);
    expect(off(train({ gears: [gear('g1', 'one', 30), gear('g2', 'two', 0), gear('g3', 'three', 30)] }))).toEqual([]);
  });

  it('turns clockwise by default, and says so; else as any shaft says', () => {
    expect(reckon(train({})).defaults).toContainEqual({
      of: 'one.turns',
      value: 'clockwise',
      because: 'no shaft says which way it turns',
    });
    const told = train({
      shafts: [shaft('one', [0, 0]), shaft('two', [25, 0], 'clockwise'), shaft('three', [50, 0])],
    });
    expect(shaftNamed(told, 'one').turns).toBe('counterclockwise');
    expect(reckon(told).defaults).toEqual([]);
  });

  it('lets a shaft keep the sense it states, against the meshes', () => {
    const m = train({
      shafts: [shaft('one', [0, 0], 'clockwise'), shaft('two', [25, 0], 'clockwise'), shaft('three', [50, 0])],
    });
    expect(shaftNamed(m, 'two')).toMatchObject({ ratio: { num: -3, den: 2 }, sense: -1 });
    expect(shaftNamed(m, 'three').turns).toBe('clockwise');
  });

  it('names the mesh that locks a loop, and only that', () => {
    const m = train({
      gears: [...train({}).gears, gear('g4', 'one', 40)],
      meshes: [...train({}).meshes, mesh('g4', 'g3')],
    });
    expect(reckon(m).lockedMeshes).toEqual([['g4', 'g3']]);
    expect(reckon(train({})).lockedMeshes).toEqual([]);
  });

  it('reckons a shaft that no mesh reaches as if it turned 1 : 1', () => {
    const m = train({ meshes: [mesh('g1', 'g2')] });
    const alone = shaftNamed(m, 'three');
    expect(alone.ratio).toBeUndefined();
    expect(alone.path).toEqual(['three']);
    expect(degrees(alone.step)).toBeCloseTo(-36, 12);
  });

  it('stays exact over a long train of awkward teeth, and sound beyond', () => {
    const long = (stages: number) => {
      const shafts = Array.from({ length: stages + 1 }, (_, i) => shaft(`s${i}`, [i * 100, 0]));
      return mechanism({
        count: count(digits),
        shafts,
        gears: shafts.slice(1).flatMap((_, i) => [gear(`a${i}`, `s${i}`, 97), gear(`b${i}`, `s${i + 1}`, 101)]),
        meshes: shafts.slice(1).map((_, i) => mesh(`a${i}`, `b${i}`)),
      });
    };
    expect(shaftNamed(long(5), 's5').ratio).toEqual({ num: -(97 ** 5), den: 101 ** 5 });
    const { ratio, step } = shaftNamed(long(40), 's40');
    expect(ratio!.num / ratio!.den).toBeCloseTo((97 / 101) ** 40, 9);
    expect(degrees(-step)).toBeCloseTo(36 * (97 / 101) ** 40, 6);
  });

  it('passes over meshes that are half written', () => {
    const m = train({
      gears: [gear('g1', 'one', 30, { teeth: undefined }), gear('g2', 'two', 0), gear('g3', 'two', 30)],
    });
    expect(reckon(m).meshes).toEqual([]);
    expect(reckon(m).missing.map((one) => one.wants)).toContain('g1.teeth');
  });
});

describe('gears at home', () => {
  // p = z·(centre-line azimuth − first mark)/360°, + ½ where the mark is a space; the teeth meet unless p₁ + p₂ ≡ ½.
  const pair = (first: number | undefined, second: number | undefined, teeth: readonly [number, number] = [70, 70]) =>
    reckon(
      mechanism({
        count: count(digits),
        shafts: [shaft('upper', [0, 35]), shaft('lower', [0, -35])],
        gears: [
          gear('upperGear', 'upper', teeth[0], { marks: first === undefined ? [] : [angle(first)] }),
          gear('lowerGear', 'lower', teeth[1], { marks: second === undefined ? [] : [angle(second)] }),
        ],
        meshes: [mesh('upperGear', 'lowerGear')],
      }),
    );

  it('mesh where both marks lie on the centre line, or a whole number of teeth beside it', () => {
    expect(pair(270, 90).meshes[0]!.phase).toBeCloseTo(0, 9);
    expect(pair(270 + 3 * (360 / 70), 90).meshes[0]!.phase).toBeCloseTo(0, 9);
    expect(pair(undefined, 90).meshes[0]!.phase).toBeCloseTo(0, 9);
  });

  it('clash by as much as the marks are off', () => {
    expect(Math.abs(pair(270 + 180 / 70, 90).meshes[0]!.phase!)).toBeCloseTo(0.5, 9);
    expect(pair(270 + 90 / 70, 90).meshes[0]!.phase).toBeCloseTo(-0.25, 9);
    expect(pair(270, 90 + 90 / 70).meshes[0]!.phase).toBeCloseTo(-0.25, 9);
  });

  it('are cut to suit where no mark says how', () => {
    const figures = pair(undefined, undefined, [30, 41]);
    expect(figures.meshes[0]!.phase).toBeUndefined();
    const [upper, lower] = figures.gears;
    // A tooth of the upper gear on the centre line, a space of the lower one.
    expect(degrees(upper!.toothAt)).toBeCloseTo(270, 9);
    const pitches = ((degrees(lower!.toothAt) - 90) * 41) / 360;
    expect(Math.abs(pitches - Math.floor(pitches))).toBeCloseTo(0.5, 9);
  });

  it('lie behind the deepest cam level', () => {
    expect(pair(270, 90).gears[0]!.level).toBe(1);
  });
});
