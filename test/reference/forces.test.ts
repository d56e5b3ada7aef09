/** Springs, rubber, guides, contact and arms against published and derived values. */
import { describe, expect, it } from 'vitest';
import {
  bergstraesser,
  bucklingLength,
  coilFigure,
  coilRate,
  solidLength,
  wireStrength,
} from '../../server/reckon/force/coils.ts';
import { driveTorque, jamFriction, type Stand } from '../../server/reckon/force/contact.ts';
import { type Cylinder, lineContact } from '../../server/reckon/force/hertz.ts';
import { armForce, armStrain } from '../../server/reckon/force/push.ts';
import { bandTension } from '../../server/reckon/force/rubber.ts';
import { roundConstant, shearModulus, torsionConstant, windUp } from '../../server/reckon/force/windup.ts';
import { degrees, radians } from '../../server/reckon/motion/angles.ts';
import { given, nowhere } from '../mechanisms.ts';

const part = { place: nowhere, whole: nowhere, unclear: [] };

/** The other common correction, K = (4w − 1)/(4w − 4) + 0.615/w (Shigley eq. 10-4); we correct by Bergsträsser. */
const wahl = (index: number): number => (4 * index - 1) / (4 * index - 4) + 0.615 / index;

describe('helical springs', () => {
  it('corrections by index: Bergsträsser, within 1.5 % of Wahl (Shigley eqs. 10-4 and 10-5; EN 13906-1 has ours, from memory)', () => {
    const table = [
      [4, 1.40375, 1.38462],
      [5, 1.3105, 1.29412],
      [6, 1.2525, 1.2381],
      [8, 1.18402, 1.17241],
      [10, 1.14483, 1.13514],
      [12, 1.11943, 1.11111],
    ];
    for (const [index, byWahl, byBergstraesser] of table) {
      expect(wahl(index!)).toBeCloseTo(byWahl!, 5);
      expect(bergstraesser(index!)).toBeCloseTo(byBergstraesser!, 5);
      expect(Math.abs(bergstraesser(index!) / wahl(index!) - 1)).toBeLessThan(0.015);
    }
  });

  it('1250 N at 30 mm, index 6 (V. B. Bhandari, machine-design text, Ex. 10.1; title from memory)', () => {
    // Wire from the stress: d = √(8·K·F·w/(π·τ)), half of 1090 MPa allowed; the book takes 7 mm, 8 turns, and 1 mm gaps.
    expect(Math.sqrt((8 * wahl(6) * 1250 * 6) / (Math.PI * 545))).toBeCloseTo(6.625083, 6);
    const rate = coilRate(81_370, 7, 42, 8);
    expect(rate).toBeCloseTo(41.20298, 6);
    expect(coilRate(81_370, 7, 42, 1) / (1250 / 30)).toBeCloseTo(7.911, 3);
    const deflection = 1250 / rate;
    expect(deflection).toBeCloseTo(30.337611, 6);
    const free = solidLength(7, 8) + 9 * 1 + deflection;
    expect(free).toBeCloseTo(109.337611, 6);
    expect(free / 9).toBeCloseTo(12.148623, 6);
  });

  it('20 lbf at 2 in, music wire of 0.080 in (Shigley Ex. 10-2: n 10.1, solid 0.964 in, free 3.264 in, critical 4.43 in)', () => {
    const inch = 25.4;
    const megaPsi = 6894.757293168361;
    const newton = 4.4482216152605;
    const [d, D] = [0.08 * inch, 0.8427 * inch];
    expect(D / d).toBeCloseTo(10.5335, 2);
    const rate = (20 * newton) / (2 * inch);
    const turns = coilRate(11.75 * megaPsi, d, D, 1) / rate;
    expect(turns).toBeCloseTo(10.0536, 2);
    const solid = solidLength(d, turns) / inch;
    expect(Math.abs(solid / 0.964 - 1)).toBeLessThan(0.005);
    // Free: solid and what it goes to solid at the robust linearity ξ = 0.15.
    const free = solid + 1.15 * 2;
    expect(Math.abs(free / 3.264 - 1)).toBeLessThan(0.005);
    expect(Math.abs(bucklingLength(D) / inch / 4.43 - 1)).toBeLessThan(0.005);
  });

  it('wire 0.5 mm, mean 5 mm, ten turns, 81.5 GPa: 0.509375 N/mm (derived), the modulus being the usual one', () => {
    const figure = coilFigure({
      ...part,
      kind: 'spring',
      name: 'coils',
      returns: [],
      coil: given('compression'),
      wire: given(0.5),
      mean: given(5),
      turns: given(10),
      free: given(20),
    });
    expect(figure).toMatchObject({
      rate: expect.closeTo(0.509375, 9),
      index: 10,
      modulusByDefault: true,
      solid: 6,
      range: 14,
    });
  });

  it('music wire of 0.1 and 6.5 mm bears 2211/d^0.145 (Shigley Table 10-4): 3087 and 1685 MPa', () => {
    expect(wireStrength(0.1)).toBeCloseTo(3087.4, 0);
    expect(wireStrength(1)).toBe(2211);
    expect(wireStrength(6.5)).toBeCloseTo(1685.5, 0);
  });
});

describe('rubber', () => {
  it('neo-Hookean stress over modulus: 1.055556, 1.75, 2.888889 at stretches 1.5, 2, 3 (derived)', () => {
    expect(bandTension(1, 1, 1.5)).toBeCloseTo(1.055556, 6);
    expect(bandTension(1, 1, 2)).toBeCloseTo(1.75, 12);
    expect(bandTension(1, 1, 3)).toBeCloseTo(2.888889, 6);
  });

  it('two strands of 1.5 by 1.5 mm, 0.4 MPa, twice their length: 3.15 N (derived)', () => {
    expect(2 * bandTension(2.25, 0.4, 2)).toBeCloseTo(3.15, 12);
  });

  it('bears nothing while slack', () => {
    expect(bandTension(2.25, 0.4, 1)).toBe(0);
    expect(bandTension(2.25, 0.4, 0.9)).toBe(0);
  });
});

describe('guides', () => {
  /** A round nose on a cam that turns clockwise under it, so that the force leans by `lean` (rad), friction included. */
  const leaning = (lean: number, friction: number, a: number, b: number, w: number): Stand => {
    const normal = lean - Math.atan(friction);
    return {
      x: 0,
      y: -1,
      normalX: Math.cos(normal),
      normalY: -Math.sin(normal),
      lift: 0,
      slope: 1,
      overhang: a,
      guide: b,
      stem: w,
      aside: 0,
      arm: 0,
      pivotX: 0,
      pivotY: 0,
    };
  };
  const table = [
    [0.1, 10, 20, 0, 78.6901, 1.21686],
    [0.25, 20, 30, 0, 59.7436, 1.51566],
    [0.25, 20, 30, 6, 60.2808, 1.50362],
  ] as const;

  it('multiply the force, F/P = 1/[cos α − μ sin α (2a + b − μw)/b] (derived; Rothbart §6.3.3, from memory)', () => {
    for (const [friction, a, b, w, , times] of table) {
      // At y = −1 and x = 0 the torque about the shaft is the force's part along the slide: F·cos α.
      const lean = radians(25);
      const torque = driveTorque(leaning(lean, friction, a, b, w), { back: 1, across: 0, drag: 0 }, friction, 1);
      expect(Math.abs(torque) / Math.cos(lean)).toBeCloseTo(times, 4);
    }
  });

  it('lock at tan α = b/[μ(2a + b − μw)] (derived; the same source)', () => {
    for (const [friction, a, b, w, angle] of table) {
      expect(jamFriction(leaning(radians(angle), friction, a, b, w), 1)).toBeCloseTo(friction, 4);
      expect(
        driveTorque(leaning(radians(angle - 0.01), friction, a, b, w), { back: 1, across: 0, drag: 0 }, friction, 1),
      ).toBeLessThan(Number.POSITIVE_INFINITY);
    }
  });
});

describe('a guide that is pushed beside its line', () => {
  /** Straight along the slide, friction included, so far to one side of it. */
  const beside = (friction: number, aside: number, guide: number): Stand => {
    const normal = -Math.atan(friction);
    return {
      x: 0,
      y: -1,
      normalX: Math.cos(normal),
      normalY: -Math.sin(normal),
      lift: 0,
      slope: 1,
      overhang: 0,
      guide,
      stem: 0,
      aside,
      arm: 0,
      pivotX: 0,
      pivotY: 0,
    };
  };

  it.each([
    [0.1, 5],
    [0.15, 3.333],
    [0.2, 2.5],
    [0.25, 2],
    [0.3, 1.667],
    [0.4, 1.25],
  ])(
    'with friction %d sticks from %d times its length on, 1/(2μ) (derived; 2 : 1 at 0.25 is common practice)',
    (friction, times) => {
      expect(1 / (2 * friction)).toBeCloseTo(times, 3);
      const push = { back: 1, across: 0, drag: 0 };
      const torque = (share: number) =>
        driveTorque(beside(friction, share * (10 / (2 * friction)), 10), push, friction, 1);
      expect(torque(1.0001)).toBe(Number.POSITIVE_INFINITY);
      // Halfway there, half of the push is lost to the guide: twice the force.
      expect(Math.abs(torque(0.5))).toBeCloseTo(2, 9);
    },
  );
});

describe('line contact', () => {
  const contact = (load: number, length: number, one: Cylinder, other: Cylinder) =>
    lineContact(load, length, one, other)!;

  it('wheel of 3 in, 1.25 in wide, 250 lbf on a flat rail, both cast iron (Shigley, Problem 3-142)', () => {
    const iron = { modulus: 14.5e6, poisson: 0.211 };
    const { halfWidth, pressure } = contact(
      250,
      1.25,
      { radius: 1.5, ...iron },
      { radius: Number.POSITIVE_INFINITY, ...iron },
    );
    expect(halfWidth).toBeCloseTo(0.00709508, 7);
    expect(pressure / 17945 - 1).toBeCloseTo(0, 4);
  });

  it('cast-iron wheel of 6 in, 2 in wide, 800 lbf on steel (Shigley, problem; the answer derived)', () => {
    const wheel = { radius: 3, modulus: 14.5e6, poisson: 0.211 };
    const steel = { radius: Number.POSITIVE_INFINITY, modulus: 30e6, poisson: 0.292 };
    const { halfWidth, pressure } = contact(800, 2, wheel, steel);
    expect(halfWidth / 0.0121354 - 1).toBeCloseTo(0, 4);
    expect(pressure / 20984 - 1).toBeCloseTo(0, 4);
  });

  it('printed nose of 3 mm on a cam of 12 mm, 5 mm long, 5 N (derived)', () => {
    const printed = { modulus: 3000, poisson: 0.35 };
    const { halfWidth, pressure } = contact(5, 5, { radius: 3, ...printed }, { radius: 12, ...printed });
    expect(halfWidth).toBeCloseTo(0.0422804, 7);
    expect(pressure).toBeCloseTo(15.0571, 4);
    // p = √(wE*/(πR)), the other form.
    const star = 3000 / (2 * (1 - 0.35 ** 2));
    expect(pressure).toBeCloseTo(Math.sqrt((1 * star) / (Math.PI * 2.4)), 9);
  });

  it('presses less in a hollow, and is no line where nose and hollow fit', () => {
    const printed = { modulus: 3000, poisson: 0.35 };
    const nose = { radius: 3, ...printed };
    const hollow = contact(5, 5, nose, { radius: -12, ...printed });
    expect(hollow.pressure).toBeLessThan(contact(5, 5, nose, { radius: 12, ...printed }).pressure);
    expect(lineContact(5, 5, nose, { radius: -3, ...printed })).toBeUndefined();
  });
});

describe('arms', () => {
  it('20 mm long, 1.2 thick, 6 wide, bent 1.5 mm, 3000 MPa: 0.675 % and 1.458 N (derived)', () => {
    const arm = { length: 20, thickness: 1.2, width: 6 };
    expect(armStrain(arm, 1.5)).toBeCloseTo(0.00675, 12);
    expect(armForce(arm, 1.5, 3000)).toBeCloseTo(1.458, 12);
  });

  it('root 3.28 mm thick, 9.5 wide, 19 long, 2 % strain, 1815 MPa: 32.5 N (Bayer, Snap-Fit Joints for Plastics, Example I)', () => {
    // The book's arm tapers to half and bends 2.4 mm (factor 1.09); strain and force at the root are those of a uniform
    // arm, which bends by 2/3·ε·l²/h (its factor 0.67).
    const thickness = (1.09 * 0.02 * 19 ** 2) / 2.4;
    expect(thickness).toBeCloseTo(3.27908, 4);
    const arm = { length: 19, thickness, width: 9.5 };
    const deflection = ((2 / 3) * 0.02 * 19 ** 2) / thickness;
    expect(armStrain(arm, deflection)).toBeCloseTo(0.02, 12);
    expect(armForce(arm, deflection, 1815)).toBeCloseTo(32.526, 2);
  });
});

describe('wind-up', () => {
  const key = (shape: 'square' | 'hexagon' | 'flat', sizes: object) => ({
    ...part,
    kind: 'key' as const,
    name: 'key',
    shape: given(shape),
    clearance: given(0.1),
    ...sizes,
  });

  it('torsion constants: 0.1406·a⁴, 0.1154·a⁴ (Roark, from memory; finite differences gave 0.1406 and 0.116, derived)', () => {
    expect(torsionConstant(key('square', { across: given(8) }))).toBeCloseTo(0.1406 * 4096, 9);
    expect(torsionConstant(key('hexagon', { across: given(8) }))).toBeCloseTo(0.1154 * 4096, 9);
  });

  it('a hexagon lies between the circles within and around it, a flat’s is that of the circle within', () => {
    const hexagon = torsionConstant(key('hexagon', { across: given(10) }))!;
    expect(hexagon).toBeGreaterThan(roundConstant(10));
    expect(hexagon).toBeLessThan(roundConstant(10 / Math.cos(Math.PI / 6)));
    expect(torsionConstant(key('flat', { outer: given(18), inner: given(14.4) }))).toBeCloseTo(roundConstant(16.2), 9);
  });

  it('a round bar of 8 mm, 40 mm long, under 200 N·mm of 1.111 GPa: T·L/(G·J) = 1.026° (derived)', () => {
    const shear = shearModulus({ name: 'pla', modulus: given(3000), poisson: given(0.35) })!;
    expect(shear).toBeCloseTo(1111.111, 3);
    expect(degrees(windUp(200, 40, shear, roundConstant(8)))).toBeCloseTo(1.0259, 3);
  });
});
