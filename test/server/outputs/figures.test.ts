import { describe, expect, it } from 'vitest';
import { banded } from '../../../server/checks/examples.ts';
import { figuresJson, figuresText } from '../../../server/outputs/figures.ts';
import { nearestPairs } from '../../../server/outputs/shape-figures.ts';
import { built, reckon } from '../../../server/reckon/figures.ts';
import { finished } from '../../../server/reckon/pausing.ts';
import { example, mechanismsIn } from '../../designs.ts';
import { angle, cam, count, given, lobesAt, mechanism, numeral, segment, shaft } from '../../mechanisms.ts';

const berth = example('berth-sign')[0]!;

describe('figures as JSON', () => {
  const { contract, mechanisms } = figuresJson([reckon(berth)]);
  const [sign] = mechanisms;

  it('carry the contract’s number and the mechanism’s name and step', () => {
    expect(contract).toBe(1);
    expect(sign).toMatchObject({ name: 'BerthSign', stepDeg: 30 });
  });

  it('give positions, steps, shafts and meshes in degrees and millimetres', () => {
    expect(sign!.positions[11]).toEqual({ index: 11, symbol: '-', shown: ['g'] });
    expect(sign!.steps[0]).toEqual({ index: 0, from: '0', to: '1', rising: [], falling: ['a', 'f', 'd', 'e'] });
    expect(sign!.shafts).toEqual([
      { name: 'upper', turns: 'clockwise', degPerStep: 30, leads: true },
      { name: 'lower', turns: 'counterclockwise', degPerStep: 30, leads: false },
    ]);
    // 0.12 mm of backlash on a pitch radius of 35 mm is 0.196443°; the contact ratio of two wheels of 70 is derived.
    // The basic rack leaves a quarter of the module between tips and roots (ISO 53).
    expect(sign!.meshes).toEqual([
      {
        gears: ['upperGear', 'lowerGear'],
        centreDistance: 70,
        idealCentreDistance: 70,
        contactRatio: 1.807649,
        activeContactRatio: 1.807649,
        tipClearance: 0.25,
        backlashDeg: 0.196443,
        // One of 70 teeth.
        toothOffDeg: [{ shaft: 'lower', deg: 5.142857 }],
      },
    ]);
  });

  it('rank, once built, where friction works', () => {
    expect(sign).not.toHaveProperty('frictionWork');
    const figures = finished(built(berth, reckon(berth)));
    const { frictionWork } = figuresJson([figures]).mechanisms[0]!;
    expect(frictionWork).toHaveLength(7 + 7 + 2);
    expect(frictionWork![0]).toMatchObject({ at: 'nose', of: expect.any(String), cam: expect.stringMatching(/^cam/) });
    const works = frictionWork!.map(({ work }) => work);
    expect(works).toEqual([...works].sort((a, b) => b - a));
    expect(figuresText(figures)).toContain('grease first');
  });

  it('list, once built, the parts to print and to buy', () => {
    const { parts } = figuresJson([finished(built(berth, reckon(berth)))]).mechanisms[0]!;
    const camA = parts!.find(({ name }) => name === 'camA')!;
    expect(camA).toMatchObject({ kind: 'cam', count: 1, made: 'printed' });
    expect([camA.fingerprint, camA.labels]).toEqual([expect.stringMatching(/^[0-9a-f]{16}$/), expect.any(String)]);
    expect(parts!.at(-1)).toEqual({ name: expect.stringContaining('coils'), kind: 'bought', count: 7, made: 'bought' });
    expect(figuresJson([reckon(berth)]).mechanisms[0]!.parts).toBeUndefined();
  });

  it('give springs their rate and force, and bands their tension at each position', () => {
    expect(sign!.springs).toEqual([{ name: 'coils', rate: 0.08, lowered: 0.9, raised: 1.18 }]);
    expect(sign!.bands).toEqual([]);
    const more =
      'loop 100 mm }\n  spring coils { returns left   coil compression   wire 0.5 mm   mean 5 mm   turns 10   free 30 mm   preload 0.9 N';
    const [board] = figuresJson(mechanismsIn(banded(more)).map(reckon)).mechanisms;
    // 0.9 · (1.52 − 1.52⁻²) N: neo-Hookean.
    expect(board!.bands).toMatchObject([{ name: 'rim', path: [152, 158, 164], stretch: [1.52, 1.58, 1.64] }]);
    expect(board!.bands[0]!.tension![0]).toBeCloseTo(0.9 * (1.52 - 1.52 ** -2), 6);
    expect(board!.springs).toMatchObject([
      { name: 'coils', rate: 0.509375, coil: 'compression', index: 10, correction: 1.135135, solid: 6, range: 24 },
    ]);
    expect(board!.defaults).toContainEqual({
      of: 'coils.modulus',
      value: '81.5 GPa',
      because: 'the shear modulus of spring wire to EN 10270-1',
    });
  });

  it('give every cam its lobes, sorted, and its shape', () => {
    const camA = sign!.cams.find((one) => one.name === 'camA')!;
    expect(camA).toMatchObject({
      shaft: 'upper',
      level: 1,
      segments: ['a'],
      raisedAt: ['0', '2', '3', '5', '6', '7', '8', '9', 'C'],
      raisedAtPositions: [0, 2, 3, 5, 6, 7, 8, 9, 10],
      lobes: [
        { from: 87.5, to: 92.5 },
        { from: 147.5, to: 182.5 },
        { from: 237.5, to: 392.5 },
      ],
      lostLift: 0,
    });
    expect(camA.pressureAngle!.max).toBeCloseTo(26.5748, 3);
    expect(camA.smallestBase).toBeCloseTo(18.6437, 3);
    for (const { lobes } of sign!.cams) {
      for (const { from, to } of lobes) {
        expect(from).toBeGreaterThanOrEqual(0);
        expect(from).toBeLessThan(360);
        expect(to).toBeGreaterThanOrEqual(from);
        expect(to).toBeLessThanOrEqual(from + 360);
      }
      expect(lobes.map(({ from }) => from)).toEqual(lobes.map(({ from }) => from).sort((a, b) => a - b));
    }
  });

  it('give keys, walls and the stack by its depths', () => {
    // A flat key's half play is clearance over half the chord: 2·0.1/(√(18² − 15²)/2); derived.
    const [key] = sign!.keys;
    expect(key).toMatchObject({ name: 'dee', waysOn: { turned: 1, flipped: 1 } });
    const { outer, inner, clearance } = berth.keys[0]!;
    const half = Math.sqrt(outer!.value ** 2 - inner!.value ** 2) / 2;
    expect(key!.playDeg).toBeCloseTo(((2 * clearance.value) / half) * (180 / Math.PI), 5);
    const camA = sign!.cams.find(({ name }) => name === 'camA')!;
    expect(camA.wall!.min).toBeCloseTo(berth.cams[0]!.base!.value - key!.boreRadius, 2);
    const { levels, parts, depth } = sign!.stack;
    expect(levels[0]).toEqual({ level: 1, from: 0, to: expect.closeTo(4.2, 6) });
    expect(depth).toBe(levels.at(-1)!.to);
    expect(parts).toContainEqual({ kind: 'cam', name: 'camA', shaft: 'upper', level: 1, from: 0, to: 3 });
  });

  it('give every pair that may meet its least gap, and when', () => {
    const pair = sign!.clearances.find(({ between: [one] }) => one.kind === 'cam')!;
    expect(pair.gap).toBeGreaterThan(0);
    expect(pair.depth.to).toBeGreaterThan(pair.depth.from);
    for (const { turnDeg, moment } of sign!.clearances) {
      if (turnDeg !== undefined) expect(turnDeg / 30).toBeCloseTo(moment!, 5);
    }
    expect(sign!.bars.every(({ segments, plane }) => segments.length === 2 && plane === 1)).toBe(true);
    const clash = figuresJson([reckon(numeral({ shafts: [shaft('upper', [0, 20]), shaft('lower', [0, -20])] }))]);
    expect(Math.min(...clash.mechanisms[0]!.clearances.map(({ gap }) => gap))).toBeLessThan(0);
  });

  it('mark what touches by design, and leave it out of the nearest pairs for people', () => {
    const byDesign = sign!.posts.filter((one) => one.byDesign);
    // Every guide begins where the flanges before it on its shaft end: base + stroke + nose.
    expect(byDesign.map(({ of, against }) => `${of.kind} ${of.segment} ${JSON.stringify(against)}`)).toEqual(
      expect.arrayContaining([expect.stringMatching(/^guide b .*flange.*camA/)]),
    );
    for (const { gap } of byDesign) expect(Math.abs(gap)).toBeLessThan(1e-3);
    expect(nearestPairs(reckon(berth)).every(({ gap }) => gap > 0.5)).toBe(true);
    const stated = example('berth-sign')[0]!;
    const wide = {
      ...stated,
      segments: stated.segments.map((one) => ({ ...one, overhang: { ...one.overhang!, by: 'stated' as const } })),
    };
    expect(figuresJson([reckon(wide)]).mechanisms[0]!.posts.some((one) => one.byDesign)).toBe(false);
  });

  it('hold no more digits than a millionth, and are the same to the byte', () => {
    const text = JSON.stringify(figuresJson([reckon(berth)]));
    expect(text).toBe(JSON.stringify(figuresJson([reckon(example('berth-sign')[0]!)])));
    expect(text).not.toMatch(/\.\d{7}/);
    expect(text).not.toMatch(/-0[,}\]]|null|NaN/);
  });

  it('leave out what is not reckoned, and say what it wants and where', () => {
    const m = numeral({
      cams: numeral().cams.map((one) => ({ ...one, base: undefined })),
      segments: numeral().segments.map((one) => (one.name === 'e' ? { ...one, stroke: undefined } : one)),
    });
    const [half] = figuresJson([reckon(m)], (place) => place.file).mechanisms;
    expect(half!.cams[0]!.pressureAngle).toBeUndefined();
    expect(half!.cams[0]!.smallestBase).toBeGreaterThan(0);
    expect(half!.missing).toContainEqual({ figure: 'pressure angle of camA', wants: 'camA.base', place: 'test.lobe' });
    expect(half!.missing).toContainEqual({ figure: 'lift of camE', wants: 'e.stroke', place: 'test.lobe' });
    expect(half!.positions).toHaveLength(10);
  });

  it('name a lobe at the turn’s end as one at its start', () => {
    const m = mechanism({
      count: count(['0', '1']),
      shafts: [shaft('only', [0, 0], 'clockwise')],
      segments: [segment('a', 0)],
      cams: [cam('camA', 'only', 'a', { travel: angle(30), lobes: lobesAt([360 - 1e-10, 20]) })],
    });
    const [one] = figuresJson([reckon(m)]).mechanisms;
    expect(one!.cams[0]!.lobes).toEqual([{ from: 0, to: 20 }]);
  });

  it('are empty of what a count too long would give', () => {
    const m = numeral({ count: { ...numeral().count!, times: 1000 } });
    const [one] = figuresJson([reckon(m)]).mechanisms;
    expect(one!.positions).toEqual([]);
    expect(one!.stepDeg).toBeUndefined();
  });
});

describe('figures as text', () => {
  it('are tables, with columns that hold nothing left out', () => {
    const text = figuresText(reckon(berth));
    expect(text.split('\n').slice(0, 8)).toEqual([
      'BerthSign',
      '  step 30 deg',
      '  12 rest positions a turn',
      '  shaft upper leads',
      '',
      'Positions',
      '      symbol  shown',
      '   0  0       a b f d c e',
    ]);
    expect(text).toContain('camE  lower      3  e         0 2 6 8 C          117.5–122.5');
    expect(text).not.toContain('wrong');
    expect(text).not.toContain('Not reckoned');
  });

  it('name the wrong bars of a position, and the lift that is lost', () => {
    const cams = numeral().cams.map((one) =>
      one.name === 'camA' ? { ...one, base: given(9), lobes: lobesAt([90, 90, 16]) } : one,
    );
    const segments = numeral().segments.map((one) => ({ ...one, nose: given(4) }));
    const text = figuresText(reckon(numeral({ cams, segments })));
    expect(text).toContain('wrong');
    expect(text).toContain('lost lift mm');
  });
});
