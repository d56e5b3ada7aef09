/** What ease says no push depends on, whatever the numeral; and that the sense of turning counts beside a shaft. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mechanism, Sense } from '../../../language/mechanism.ts';
import { motionFigures } from '../../../server/reckon/figures.ts';
import { forcesOf, type StepForce } from '../../../server/reckon/force/steps.ts';
import { triesTurning, unmovedBy } from '../../../server/search/candidates.ts';
import { angle, cam, count, digits, given, nowhere, numeral, reference, segment, shaft } from '../../mechanisms.ts';

const part = { place: nowhere, whole: nowhere, unclear: [] };
const bars = [...'abfgdce'];
const hooks = { a: [0, 70], b: [40, 35], f: [-40, 35], d: [0, -70], c: [40, -35], e: [-40, -35] };

const sprung: Partial<Mechanism> = {
  springs: [
    { ...part, kind: 'spring', name: 'coils', returns: bars.map(reference), rate: given(0.08), preload: given(0.9) },
  ],
};
const banded: Partial<Mechanism> = {
  springs: [{ ...part, kind: 'spring', name: 'coil', returns: [reference('g')], rate: given(0.08), preload: given(1) }],
  bands: [
    {
      ...part,
      kind: 'band',
      name: 'rim',
      around: [...'bafecd'].map((name) => ({ ...reference(name), inside: false })),
      section: given({ width: 1, height: 1 }),
      loop: given(180),
      shear: given(0.4),
    },
  ],
};

interface Drawn {
  readonly symbols: readonly string[];
  readonly levels: readonly number[];
  readonly turns: Sense;
  readonly travel: number;
  readonly late: number;
  readonly lowered: readonly boolean[];
  readonly mass: number;
  readonly banded: boolean;
}

const drawn = fc.record<Drawn>({
  symbols: fc.shuffledSubarray(digits, { minLength: 3 }),
  levels: fc.shuffledSubarray([1, 2, 3, 4, 5, 6, 7], { minLength: 7 }),
  turns: fc.constantFrom('clockwise', 'counterclockwise'),
  travel: fc.double({ min: 0.6, max: 0.9, noNaN: true }),
  late: fc.double({ min: -0.05, max: 0.05, noNaN: true }),
  lowered: fc.array(fc.boolean(), { minLength: 7, maxLength: 7 }),
  mass: fc.constantFrom(0, 12),
  banded: fc.boolean(),
});

function made({ symbols, levels, turns, travel, late, lowered, mass, banded: isBanded }: Drawn, offset = 0): Mechanism {
  const width = given((travel * 2 * Math.PI) / symbols.length);
  const shift = given((late * 2 * Math.PI) / symbols.length);
  const plain = numeral();
  const other: Sense = turns === 'clockwise' ? 'counterclockwise' : 'clockwise';
  return {
    ...plain,
    ...(isBanded ? banded : sprung),
    count: count(symbols),
    shafts: [shaft('upper', [0, 35], turns), shaft('lower', [0, -35], other)],
    segments: plain.segments.map((one, i) =>
      segment(one.name, (one.azimuth!.value * 180) / Math.PI, {
        offset: given(offset),
        mass: given(mass),
        shown: given(lowered[i] ? 'lowered' : 'raised'),
        ...(one.name in hooks && {
          hook: given({ x: hooks[one.name as keyof typeof hooks][0]!, y: hooks[one.name as keyof typeof hooks][1]! }),
        }),
      }),
    ),
    cams: plain.cams.map((one, i) =>
      cam(one.name, one.shaft!.name, one.segments[0]!.name, {
        level: given(levels[i]!),
        rise: { width, late: shift },
        fall: { width, late: given(-shift.value) },
      }),
    ),
  };
}

/** Of every case, what every step takes. */
function taken(m: Mechanism): number[][][] {
  const told = { defaults: [], missing: [] };
  const { cases } = forcesOf(m, motionFigures(m, told), told, 'all');
  expect(cases).toHaveLength(6);
  const of = ({ peakTorque = 1e9, leastTorque = 1e9, meanTorque = 1e9, returnMargin }: StepForce) => [
    peakTorque,
    leastTorque,
    meanTorque,
    returnMargin?.ratio ?? -1,
  ];
  return cases.map(({ steps }) => steps.map(of));
}

function expectAlike(one: readonly number[][][], other: readonly number[][][]): void {
  const [a, b] = [one.flat(2), other.flat(2)];
  expect(a).toHaveLength(b.length);
  for (const [i, value] of a.entries()) expect(b[i]!).toBeCloseTo(value, 6);
}

const runs = { numRuns: 25 };

describe('no push depends on', () => {
  it('the levels of the cams', () => {
    fc.assert(
      fc.property(drawn, fc.shuffledSubarray([1, 2, 3, 4, 5, 6, 7], { minLength: 7 }), (design, levels) => {
        expect(taken(made({ ...design, levels }))).toEqual(taken(made(design)));
      }),
      runs,
    );
  });

  it('the symbol at home: the same steps come in the same order', () => {
    fc.assert(
      fc.property(drawn, fc.nat(), (design, by) => {
        const first = by % design.symbols.length;
        const turnedRound = <T>(all: readonly T[]): T[] => [...all.slice(first), ...all.slice(0, first)];
        expectAlike(
          taken(made(design)).map(turnedRound),
          taken(made({ ...design, symbols: turnedRound(design.symbols) })),
        );
      }),
      runs,
    );
  });

  it('the phase of a shaft: where its gear’s marks lie, and so its cams, at home', () => {
    fc.assert(
      fc.property(drawn, fc.double({ min: 0, max: 360, noNaN: true }), (design, mark) => {
        const m = made(design);
        const gears = m.gears.map((gear) => ({ ...gear, marks: [angle(mark)] }));
        expect(taken({ ...m, gears })).toEqual(taken(m));
      }),
      runs,
    );
  });

  it('the sense of turning, where every follower’s line goes through its shaft', () => {
    fc.assert(
      fc.property(drawn, (design) => {
        const turns: Sense = design.turns === 'clockwise' ? 'counterclockwise' : 'clockwise';
        expectAlike(taken(made(design)), taken(made({ ...design, turns })));
      }),
      runs,
    );
    const straight = made({ ...fc.sample(drawn, 1)[0]! });
    expect(triesTurning(straight, [])).toBe(false);
    expect(unmovedBy(straight).map(({ what }) => what)).toContain('the sense of turning');
  });
});

describe('beside its shaft', () => {
  it('a follower takes another push the other way round, which is what running back through the count is', () => {
    fc.assert(
      fc.property(drawn, (design) => {
        const turns: Sense = design.turns === 'clockwise' ? 'counterclockwise' : 'clockwise';
        const [one, other] = [made(design, 4), made({ ...design, turns }, 4)];
        const peak = (m: Mechanism) => Math.max(...taken(m)[1]!.map(([most]) => most!));
        expect(peak(other)).not.toBeCloseTo(peak(one), 3);
        // The count backwards from home, reversed: each step of it is a step of the other sense, by another name.
        const [home, ...rest] = design.symbols;
        const back = made({ ...design, symbols: [home!, ...rest.reverse()] }, 4);
        const steps = (m: Mechanism, way: number) => taken(m).slice(way, way + 3);
        expectAlike(
          steps(other, 0),
          steps(back, 3).map((all) => [...all].reverse()),
        );
      }),
      runs,
    );
  });

  it('it is tried, unless the lobes of a cam are stated as angles', () => {
    const m = made(fc.sample(drawn, 1)[0]!, 4);
    const leftAlone: { cam: string; because: string }[] = [];
    expect(triesTurning(m, leftAlone)).toBe(true);
    expect(unmovedBy(m).map(({ what }) => what)).not.toContain('the sense of turning');
    const stated = { ...m, cams: [{ ...m.cams[0]!, lobes: { by: 'angles' as const, lobes: [] } }, ...m.cams.slice(1)] };
    expect(triesTurning(stated, leftAlone)).toBe(false);
    expect(leftAlone.map(({ cam }) => cam)).toEqual(['camA']);
  });
});
