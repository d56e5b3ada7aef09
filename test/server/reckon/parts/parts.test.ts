import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { radians } from '../../../../server/reckon/motion/angles.ts';
import { areaOf, boxOf, flattened, loopArea } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { type Parts, partsOf } from '../../../../server/reckon/parts/parts.ts';
import { within } from '../../../../server/reckon/parts/shaft.ts';
import { shaftLoop } from '../../../../server/reckon/shape/keys.ts';
import { example, mechanismsIn } from '../../../designs.ts';
import { given } from '../../../mechanisms.ts';

const made = (m: Mechanism): Parts => partsOf(m, reckon(m));
const [berth] = example('berth-sign');
const all = made(berth);
const named = (parts: Parts, name: string): PrintedPart => {
  const part = parts.parts.find((one) => one.name === name);
  if (!part) throw new Error(`no ${name}`);
  return part;
};
const levels = ({ prisms }: PrintedPart) => prisms.map(({ from, to }) => [from, to]);
const slab = ({ prisms }: PrintedPart, i: number) => prisms.at(i)!.regions;

describe('the parts of a numeral', () => {
  it('are two shafts, two gears, seven cams, seven bars, a spacer, a wheel, an arm and a button', () => {
    const count = (kind: string) => all.parts.filter((part) => part.kind === kind).length;
    expect(['shaft', 'gear', 'cam', 'bar', 'spacer', 'ratchet wheel', 'push arm', 'button'].map(count)).toEqual([
      2, 2, 7, 7, 1, 1, 1, 1,
    ]);
    expect(all.missing).toEqual([]);
  });

  it('are what the text says is bought, and a spring for every bar', () =>
    expect(all.bought).toEqual([
      { what: 'M3 x 10 countersunk screw', count: 4 },
      { what: 'spring coils, 0.08 N/mm, 0.9 N when lowered', count: 7 },
    ]));

  for (const name of ['berth-sign', 'lock-countdown', 'pier-flag', 'score-tally', 'signal-box', 'weir-gauge']) {
    it(`have unique names and slabs from back to front that share faces: ${name}`, () => {
      for (const m of example(name)) {
        const { parts } = made(m);
        expect(new Set(parts.map((part) => part.name)).size).toBe(parts.length);
        for (const part of parts) {
          expect(part.prisms[0].from, part.name).toBe(0);
          part.prisms.forEach(({ from, to, regions }, i) => {
            expect(to, part.name).toBeGreaterThan(from);
            if (i > 0) expect(from, part.name).toBe(part.prisms[i - 1].to);
            for (const { outer, holes } of regions) {
              expect(loopArea(outer), part.name).toBeGreaterThan(0);
              for (const hole of holes) expect(loopArea(hole), part.name).toBeLessThan(0);
            }
          });
        }
      }
    });
  }
});

describe('a cam', () => {
  const part = named(all, 'camA');
  it('stands on its flange, its front in its place behind the face', () => {
    expect(levels(part)).toEqual([
      [0, expect.closeTo(1.2)],
      [expect.closeTo(1.2), expect.closeTo(4.2)],
    ]);
    expect(part.seats).toEqual([{ x: 0, y: 35, z: -4.2, turn: 0, moves: { with: 'shaft', name: 'upper' } }]);
  });

  it('has a flange of base, stroke and nose, and the keyed bore with its clearance through both', () => {
    const [flange] = slab(part, 0);
    expect(boxOf([flange.outer]).right).toBeCloseTo(22 + 3.5 + 1.5, 9);
    // by hand: a flat of 18 mm, 0.8 of it across the flat, 0.1 mm of clearance round it
    const { left, right, bottom, top } = boxOf(flange.holes);
    expect([left, right, bottom, top]).toEqual([-9.1, 7.3, -9.1, 9.1].map((x) => expect.closeTo(x, 9)));
    expect(slab(part, 1)[0].holes).toEqual(flange.holes);
  });
});

describe('a shaft', () => {
  it('is keyed as long as its stack and what lies behind it, with journals half as long as its bearing is wide', () => {
    // four levels of 4.2 mm, a gear of 5, a wheel of 4, an arm of 4 between clearances of 0.2
    expect(levels(named(all, 'upper'))).toEqual([
      [0, 5],
      [5, expect.closeTo(5 + 4 * 4.2 + 5 + 4 + 4.4)],
      [expect.closeTo(35.2), expect.closeTo(40.2)],
    ]);
    expect(named(all, 'upper').seats[0].z).toBeCloseTo(-35.2, 9);
    expect(areaOf(slab(named(all, 'upper'), 0))).toBeCloseTo(25 * Math.PI, 9);
  });

  it('lets its parts on past the front journal: the section as far as the bearing reaches', () => {
    const [{ outer }] = slab(named(made(example('lock-countdown')[0]), 'knob'), -1);
    const { left, top } = boxOf([outer]);
    expect([left, top]).toEqual([expect.closeTo(-4, 9), expect.closeTo(4, 9)]);
    const farthest = Math.max(...flattened(outer, 1e-4).map(({ x, y }) => Math.hypot(x, y)));
    expect(farthest).toBeCloseTo(5, 9);
    // derived: a square of 8 mm less what of it stands out of a circle of 5 mm radius
    const corner = Math.acos(4 / 5);
    const rest = 4 * (25 * (Math.PI / 4 - corner)) + 4 * 4 * 3;
    expect(loopArea(outer)).toBeCloseTo(rest, 9);
  });

  it('has no front journal where a bar passes before it', () => {
    const all = made(example('lock-countdown')[0]);
    expect(levels(named(all, 'drum'))).toHaveLength(2);
    expect(levels(named(all, 'knob'))).toHaveLength(3);
  });

  it('keeps a section that lies within its bearing', () => {
    const key = { ...example('lock-countdown')[0].keys[0], across: given(6) };
    const section = shaftLoop(key);
    if ('because' in section) throw new Error(section.because);
    expect(loopArea(within(section, 5))).toBeCloseTo(36, 9);
  });
});

describe('a bar', () => {
  it('has its nose at the origin, its stem thinner than its cam by the clearance on both sides', () => {
    const part = named(all, 'a');
    expect(levels(part)[0]).toEqual([0, expect.closeTo(2.6)]);
    const { left } = boxOf(slab(part, 0).map(({ outer }) => outer));
    expect(left).toBeCloseTo(0, 9);
    expect(part.seats[0]).toMatchObject({ x: expect.closeTo(0), y: 35 + 22, turn: radians(90) });
    expect(part.seats[0].z).toBeCloseTo(-2.8, 9);
  });

  it('reaches from its plane to before the face, as thick there as its cam', () => {
    const part = named(all, 'f');
    expect(part.seats[0].z + part.prisms.at(-1)!.to).toBeCloseTo(3.2, 9);
    const { left, right, bottom, top } = boxOf(slab(part, -1).map(({ outer }) => outer));
    expect([right - left, top - bottom]).toEqual([expect.closeTo(6), expect.closeTo(44)]);
  });

  it('is one piece where one cam drives several, or a post stands beside its stem', () => {
    const parts = made(example('lock-countdown')[0]);
    for (const part of parts.parts.filter(({ kind }) => kind === 'bar'))
      expect(slab(part, 0), part.name).toHaveLength(1);
    const joint = berth.cams.map((cam) =>
      cam.name === 'camA' ? { ...cam, segments: [...cam.segments, ...berth.cams[1].segments] } : cam,
    );
    const both = named(made({ ...berth, cams: joint.filter(({ name }) => name !== 'camB') }), 'a');
    expect(slab(both, 0)).toHaveLength(1);
    expect(slab(both, -1)).toHaveLength(2);
  });

  it('carries a peg at its hook, back to where its band lies', () => {
    const text = `mechanism M { made with filament glyphs decimal count 0 1
      shaft s { at 0 mm, 0 mm key k } key k { shape square across 8 mm }
      every cam { base 20 mm } every segment { stroke 3 mm nose 1.5 mm guide 12 mm }
      segment a { azimuth 90 deg bar 30 mm by 6 mm at 0 mm, 60 mm hook at 6 mm, 40 mm }
      segment g { azimuth 270 deg bar 30 mm by 6 mm at 0 mm, -60 mm hook at 0 mm, -45 mm }
      cam ca on s level 1 drives a  cam cg on s level 2 drives g
      band loop { around a, g section 1 mm by 2 mm loop 120 mm shear 0.4 MPa } }`;
    const parts = made(mechanismsIn(text)[0]);
    const part = named(parts, 'a');
    // the stem of g ends 4.2 + 3 mm behind the face; behind it lie the band's 2 mm and a clearance
    expect(part.seats[0].z).toBeCloseTo(-(7.2 + 2 + 0.2), 9);
    const [peg] = slab(part, 0);
    expect(loopArea(peg.outer)).toBeCloseTo(Math.PI * 1.6 ** 2, 6);
  });

  it('is made without its arm, and says so', () => {
    const [first, ...rest] = berth.segments;
    const follower = given({ kind: 'pivoted' as const, at: { x: 30, y: 60 }, arm: 30 });
    const missing = (stem: typeof first.stem) =>
      made({ ...berth, segments: [{ ...first, follower, stem }, ...rest] }).missing.map(({ because }) => because);
    expect(missing(undefined)).toEqual(['the text gives the arm of a no width']);
    expect(missing(given(3))).toEqual([
      'the text says neither how the arm of a is borne on its pivot nor how the bar hangs on it',
    ]);
  });
});

describe('what lies behind the stacks', () => {
  it('is a wheel whose teeth let it turn as the shaft does', () => {
    const part = named(all, 'stepper');
    const [{ outer }] = slab(part, 0);
    const at = (angle: number) => {
      const points = flattened(outer, 1e-3).map(({ x, y }) => ({ angle: Math.atan2(y, x), radius: Math.hypot(x, y) }));
      return points.reduce((best, p) => (Math.abs(p.angle - angle) < Math.abs(best.angle - angle) ? p : best)).radius;
    };
    // clockwise: seen from the pawl the cam angle grows, and with it the back of the tooth
    expect(at(radians(3))).toBeLessThan(at(radians(15)));
    expect(at(radians(15))).toBeLessThan(at(radians(27)));
  });

  it('is an arm whose pin stands where the push starts, and a button round it', () => {
    const [arm, button] = [named(all, 'button arm'), named(all, 'button')];
    expect(arm.seats[0].turn).toBeCloseTo(radians(17), 9);
    const pin = { x: 14 * Math.cos(radians(17)), y: 35 + 14 * Math.sin(radians(17)) };
    expect(button.seats[0]).toMatchObject({ x: expect.closeTo(pin.x, 9), y: expect.closeTo(pin.y, 9) });
    // the pin goes out to 14 mm as it passes square to its way, and back to where its push ends
    const end = 14 * Math.sqrt(1 - (8.2 / 14 - Math.sin(radians(17))) ** 2);
    const { left, right } = boxOf(slab(button, 0)[0].holes);
    expect(right).toBeCloseTo(14 - pin.x + 2.2, 9);
    expect(left).toBeCloseTo(end - pin.x - 2.2, 9);
  });

  it('fills the shaft up to it with a spacer', () => {
    const moved = berth.ratchets.map((ratchet) => ({ ...ratchet, shaft: { ...ratchet.shaft!, name: 'lower' } }));
    const { parts } = made({ ...berth, ratchets: moved, gears: berth.gears.slice(0, 1), meshes: [] });
    expect(parts.map(({ name }) => name)).toContain('lower spacer behind');
  });
});
