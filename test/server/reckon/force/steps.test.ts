import { describe, expect, it } from 'vitest';
import type { Law, Mechanism, Segment } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { loopOf } from '../../../../server/reckon/force/bands.ts';
import { beltAround } from '../../../../server/reckon/force/belt.ts';
import { driveTorque, type Turning } from '../../../../server/reckon/force/contact.ts';
import { momentAt, torquesAt } from '../../../../server/reckon/force/courses.ts';
import { forceModel } from '../../../../server/reckon/force/model.ts';
import { standOn } from '../../../../server/reckon/force/stands.ts';
import { forcesOf } from '../../../../server/reckon/force/steps.ts';
import { camAngle, liftAt } from '../../../../server/reckon/motion/lift.ts';
import { example } from '../../../designs.ts';
import { cam, count, given, lobesAt, mechanism, nowhere, reference, segment, shaft } from '../../../mechanisms.ts';

const part = { place: nowhere, whole: nowhere, unclear: [] };
const spring = (returns: readonly string[], rate: number, preload: number) => ({
  ...part,
  kind: 'spring' as const,
  name: 'coils',
  returns: returns.map(reference),
  rate: given(rate),
  preload: given(preload),
});
const told = () => ({ defaults: [], missing: [] });
const numbers = (count: number) => Array.from({ length: count }, (_, i) => `${i}`);

/** One cam of one lobe, fully up from 90° to 150° of it, flanks of 45°. */
function single(
  follower: Partial<Segment>,
  law: Law['name'] = 'simple harmonic',
  more: Partial<Mechanism> = {},
): Mechanism {
  return mechanism({
    count: count(numbers(8)),
    shafts: [shaft('axle', [0, 0], 'clockwise')],
    segments: [segment('a', 90, { stroke: given(6), drag: given(0), ...follower })],
    cams: [
      cam('camA', 'axle', 'a', { base: given(30), law: given({ name: law } as Law), lobes: lobesAt([90, 150, 45]) }),
    ],
    springs: [spring(['a'], 0.2, 1.5)],
    ...more,
  });
}

const model = (m: Mechanism) => forceModel(m, reckon(m), told())!;

/** ∫ torque dθ over a stretch of steps, by Simpson's rule on pieces between the flanks' ends. */
function work(m: Mechanism, from: number, to: number, direction: 'forward' | 'reverse' = 'forward'): number {
  const forces = model(m);
  const step = (2 * Math.PI) / 8;
  const pieces = 4000;
  const width = (to - from) / pieces;
  const at = (t: number) => torquesAt(forces, momentAt(forces, t), 0, direction).reduce((a, b) => a + b, 0);
  let total = 0;
  for (let i = 0; i < pieces; i++) {
    const start = from + i * width;
    total += ((at(start + 1e-12) + 4 * at(start + width / 2) + at(start + width - 1e-12)) * width) / 6;
  }
  return total * step;
}

describe('without friction, the work of a turn is the change of what the returns store', () => {
  const pivoted = { follower: given({ kind: 'pivoted' as const, at: { x: 40, y: 20 }, arm: 38 }) };
  const followers: [string, Partial<Segment>][] = [
    ['a round nose', {}],
    ['a nose to the left of the shaft', { offset: given(5) }],
    ['a nose to the right', { offset: given(-4) }],
    ['a flat face', { follower: given({ kind: 'flat' }) }],
    ['a nose on an arm', pivoted],
    ['a nose on an arm on the other side', { follower: given({ kind: 'pivoted', at: { x: -40, y: 20 }, arm: 38 }) }],
  ];
  it.each(followers)('of %s', (_, follower) => {
    const m = single(follower);
    const figures = reckon(m);
    const [{ lift, azimuth, step }] = figures.cams;
    const energy = (t: number) => {
      const s = liftAt(lift, camAngle(azimuth, step, t)).lift;
      return 1.5 * s + 0.1 * s * s;
    };
    for (const [from, to] of [
      [0, 1.3],
      [1.3, 2.6],
      [3.2, 5.9],
      [0, 8],
    ] as const) {
      const stored = energy(to) - energy(from);
      expect(work(m, from, to)).toBeCloseTo(stored, 5);
    }
  });

  it('of three bars on one band', () => {
    const m = mechanism({
      count: count(numbers(8)),
      shafts: [shaft('axle', [0, 0], 'clockwise')],
      segments: [
        segment('a', 90, { stroke: given(6), drag: given(0), hook: given({ x: 0, y: 60 }) }),
        segment('b', 200, { stroke: given(5), drag: given(0), hook: given({ x: -50, y: -20 }), offset: given(3) }),
        segment('c', 330, { stroke: given(4), drag: given(0), hook: given({ x: 55, y: -25 }) }),
      ],
      cams: [
        cam('camA', 'axle', 'a', { base: given(30), lobes: lobesAt([90, 150, 45]) }),
        cam('camB', 'axle', 'b', { base: given(30), level: given(2), lobes: lobesAt([10, 80, 40], [200, 230, 50]) }),
        cam('camC', 'axle', 'c', { base: given(30), level: given(3), lobes: lobesAt([300, 350, 45]) }),
      ],
      posts: [{ ...part, kind: 'post', name: 'peg', at: given({ x: 0, y: -70 }), radius: given(3) }],
      bands: [
        {
          ...part,
          kind: 'band',
          name: 'loop',
          around: ['a', 'b', 'peg', 'c'].map((name) => ({ ...reference(name), inside: false })),
          section: given({ width: 1.5, height: 1.5 }),
          loop: given(200),
          shear: given(0.4),
        },
      ],
    });
    const forces = model(m);
    const loop = loopOf(m, m.bands[0]!)!;
    // Neo-Hookean: the strand's whole energy is section · loop · G/2 · (λ² + 2/λ − 3).
    const energy = (t: number) => {
      const lifts = new Map(
        forces.pieces.map(({ segment, cam: { lift, azimuth, step } }) => [
          segment,
          liftAt(lift, camAngle(azimuth, step, t)).lift,
        ]),
      );
      const stretch = beltAround(loop.at((name) => lifts.get(name)!)).length / 200;
      return 2.25 * 200 * 0.2 * (stretch ** 2 + 2 / stretch - 3);
    };
    for (const [from, to] of [
      [0, 1],
      [1, 2.5],
      [2.5, 6],
      [0, 8],
    ] as const) {
      // 1e-6 of what goes to and fro.
      expect(Math.abs(work(m, from, to) - (energy(to) - energy(from)))).toBeLessThan(5e-5);
    }
  });
});

describe('by hand', () => {
  it('four bars that rise together: 96 N·mm, times a friction factor of 1.4 134.4 (derived: F·L·π/(2β))', () => {
    const names = ['a', 'b', 'c', 'd'];
    const m = mechanism({
      count: count(numbers(8)),
      shafts: [shaft('axle', [0, 0], 'clockwise')],
      segments: names.map((name) => segment(name, 90, { stroke: given(6), drag: given(0) })),
      cams: names.map((name, i) =>
        cam(`cam${name}`, 'axle', name, { level: given(i + 1), base: given(30), lobes: lobesAt([90, 150, 45]) }),
      ),
      springs: [{ ...spring(names, 1e-9, 2) }],
    });
    const forces = model(m);
    const total = (t: number) => torquesAt(forces, momentAt(forces, t), 0, 'forward').reduce((a, b) => a + b, 0);
    const most = Math.max(...Array.from({ length: 8001 }, (_, i) => total(i / 1000)));
    expect(most).toBeCloseTo(96, 4);
    expect(most * 1.4).toBeCloseTo(134.4, 4);
  });

  it('a dwelling nose takes μF(q − nose), on either side of the turn', () => {
    const m = single({});
    const forces = model(m);
    expect(torquesAt(forces, momentAt(forces, 4), 0.3, 'forward')).toEqual([expect.closeTo(0.3 * 1.5 * 30, 9)]);
    expect(torquesAt(forces, momentAt(forces, 4), 0.3, 'reverse')).toEqual([expect.closeTo(0.3 * 1.5 * 30, 9)]);
  });

  // R = (F + drag)/[cos(α + φ) − μ sin(α + φ)(2a + b ∓ μw)/b], torque R·[q sin(α + φ) − nose·sin φ]; falling
  // R = (F − drag)/[cos A + μ|sin A|(2a + b + μw)/b], A = φ − |α|. Derived from the balance of the stem.
  it.each([
    ['rising', 1],
    ['falling', -1],
  ] as const)('%s, the force between nose and cam is that of the balance', (_, way) => {
    const [mu, q, nose, slope, a, b, w, load, drag] = [0.25, 31.5, 1.5, 7, 4, 14, 3, 2, 0.3];
    const rider = { kind: 'round', prime: q, nose, offset: 0 } as const;
    const stand = standOn(rider, { lift: 0, slope: way * slope, curve: 0 }, { guide: b, stem: w, overhang: a })!;
    const phi = Math.atan(mu);
    const alpha = Math.atan(slope / q);
    const angle = way > 0 ? alpha + phi : phi - alpha;
    const guide = (mu * Math.abs(Math.sin(angle)) * (2 * a + b - way * mu * w)) / b;
    const pressing = (load + way * drag) / (Math.cos(angle) - way * guide);
    const expected = pressing * (q * Math.sin(angle) - nose * Math.sin(phi));
    expect(driveTorque(stand, { back: load, across: 0, drag }, mu, 1)).toBeCloseTo(expected, 9);
  });

  it('turned the other way round, a mirrored slide takes the same', () => {
    const rider = { kind: 'round', prime: 24, nose: 2, offset: 3 } as const;
    const guide = { guide: 12, stem: 4, overhang: 6 };
    const load = { back: 1.7, across: 0.2, drag: 0.4 };
    for (const slope of [-6, -1, 0, 2, 7]) {
      const stand = standOn(rider, { lift: 1, slope, curve: 0 }, guide)!;
      const mirrored = standOn({ ...rider, offset: -3 }, { lift: 1, slope: -slope, curve: 0 }, guide)!;
      for (const way of [1, -1] as const) {
        expect(driveTorque(mirrored, load, 0.3, -way as Turning)).toBeCloseTo(driveTorque(stand, load, 0.3, way), 9);
      }
    }
  });
});

describe('the berth sign', () => {
  const [sign] = example('berth-sign');
  const { cases, jamFriction } = forcesOf(sign!, reckon(sign!), told(), 'all');

  it('has every case, and says which the findings use', () => {
    expect(cases.map(({ friction, direction }) => `${friction} ${direction}`)).toEqual([
      'greased forward',
      'dry forward',
      'pessimistic forward',
      'greased reverse',
      'dry reverse',
      'pessimistic reverse',
    ]);
    expect(cases.filter(({ usedByFindings }) => usedByFindings)).toEqual([cases[0]]);
  });

  it('asks more of the hand the more friction there is', () => {
    for (const [index, { peakTorque }] of cases[0]!.steps.entries()) {
      expect(cases[1]!.steps[index]!.peakTorque).toBeGreaterThan(peakTorque!);
    }
  });

  it('has peaks, shares and pushes as a scan of the step has them', () => {
    const forces = model(sign!);
    const push = sign!.pushes[0]!;
    for (const { index, peakTorque, leastTorque, shares, peakPush } of cases[0]!.steps) {
      const totals = Array.from({ length: 2001 }, (_, i) =>
        torquesAt(forces, momentAt(forces, index + i / 2000), 'greased', 'forward').reduce((a, b) => a + b, 0),
      );
      expect(peakTorque).toBeCloseTo(Math.max(...totals), 0);
      expect(Math.abs(peakTorque! - Math.max(...totals))).toBeLessThan(0.004 * Math.max(...totals) + 0.05);
      expect(Math.abs(leastTorque! - Math.min(...totals))).toBeLessThan(0.3);
      expect(shares.reduce((total, { torque }) => total + torque, 0)).toBeCloseTo(peakTorque!, 0);
      const pushes = totals.map((total, i) => total / (14 * Math.cos(push.start!.value + ((i / 2000) * Math.PI) / 6)));
      expect(Math.abs(peakPush! - Math.max(...pushes))).toBeLessThan(0.03);
    }
  });

  it('locks at the friction that the formula gives', () => {
    // tan(α + φ) = b/(μ(2a + b − μw)): the worst stand by a scan.
    const { lift } = reckon(sign!).cams[0]!;
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < 7200; i++) {
      const { lift: s, slope } = liftAt(lift, (i * Math.PI) / 3600);
      if (Math.abs(slope) < 1e-9) continue;
      const alpha = Math.atan(Math.abs(slope) / (23.5 + s));
      const side = (mu: number) => (mu * (2 * (5 - s) + 14 - mu * 3)) / 14;
      let [free, stuck] = [0, 3];
      while (stuck - free > 1e-10) {
        const mu = (free + stuck) / 2;
        if (Math.tan(alpha + Math.atan(mu)) * side(mu) < 1 && alpha + Math.atan(mu) < Math.PI / 2) free = mu;
        else stuck = mu;
      }
      least = Math.min(least, stuck);
    }
    expect(jamFriction[0]!.segment).toBe('a');
    expect(Math.abs(jamFriction[0]!.friction! - least)).toBeLessThan(0.002);
  });
});

it('the energy at rest is the work that the returns take from rest to rest', () => {
  const [sign] = example('berth-sign');
  const { stored, cases } = forcesOf(sign!, reckon(sign!), told(), 'all');
  // Seven springs of 0.08 N/mm at 0.9 N: each bar that is up holds 0.9·3.5 + 0.04·3.5² N·mm more than one that is down.
  const up = 0.9 * 3.5 + 0.04 * 3.5 ** 2;
  const bars = reckon(sign!).positions.map(({ shown }) => shown.length);
  expect(stored.map((energy) => energy - stored[11]!)).toEqual(
    bars.map((count) => expect.closeTo((count - 1) * up, 6)),
  );
  expect(cases).toHaveLength(6);
});

describe('what is not known', () => {
  it('nothing returns the bars: no case, and that is said', () => {
    const m = single({}, 'simple harmonic', { springs: [] });
    const lacks = told();
    expect(forcesOf(m, reckon(m), lacks, 'all')).toEqual({
      cases: [],
      jamFriction: [],
      pressed: [],
      resting: [],
      stored: [],
    });
    expect(lacks.missing).toEqual([expect.objectContaining({ wants: 'spring' })]);
  });

  it('a cam without a base: none', () => {
    const m = single({}, 'simple harmonic', {});
    const bare = { ...m, cams: m.cams.map(({ base: _, ...rest }) => rest) };
    expect(forcesOf(bare, reckon(bare), told(), 'all').cases).toEqual([]);
  });
});
