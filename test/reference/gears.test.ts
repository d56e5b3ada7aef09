import { describe, expect, it } from 'vitest';
import { degrees, radians } from '../../server/reckon/motion/angles.ts';
import {
  activeContactRatio,
  backlashAngle,
  contactRatio,
  gearSize,
  idealCentreDistance,
  leastShift,
  tipClearance,
  tipThickness,
  workingPressureAngle,
} from '../../server/reckon/shape/gears.ts';

const standard = radians(20);

function ratioOf(m: number, first: number, second: number): number {
  const [one, two] = [gearSize(m, first, standard, 0), gearSize(m, second, standard, 0)];
  return contactRatio(one, two, m, standard, (m * (first + second)) / 2)!;
}

it('17 and 49 teeth of module 6 have the contact ratio 1.6330 (Khurmi and Gupta, ch. 12 example, from memory)', () => {
  expect(ratioOf(6, 17, 49)).toBeCloseTo(1.633, 4);
  // The path of contact, 28.924519 mm, is the ratio times the base pitch (derived).
  expect(ratioOf(6, 17, 49) * Math.PI * 6 * Math.cos(standard)).toBeCloseTo(28.924519, 6);
});

it('its approach, recess and arc of contact, its turns and its sliding are as printed (the same example)', () => {
  const [one, two] = [gearSize(6, 17, standard, 0), gearSize(6, 49, standard, 0)];
  const reach = (size: typeof one) =>
    Math.sqrt(size.tipRadius ** 2 - size.baseRadius ** 2) - size.pitchRadius * Math.sin(standard);
  const [recess, approach] = [reach(one), reach(two)];
  expect(approach).toBeCloseTo(15.508849, 6);
  expect(recess).toBeCloseTo(13.41567, 6);
  const arc = ratioOf(6, 17, 49) * Math.PI * 6;
  expect(arc).toBeCloseTo(30.7808, 4);
  // Printed: 34.6° and 12°, sliding over rolling 0.41 and 0.354.
  expect(degrees(arc / one.pitchRadius)).toBeCloseTo(34.58, 2);
  expect(degrees(arc / two.pitchRadius)).toBeCloseTo(12, 2);
  const sliding = (length: number) => length * (1 / one.pitchRadius + 1 / two.pitchRadius);
  expect(sliding(approach)).toBeCloseTo(0.4096, 4);
  expect(sliding(recess)).toBeCloseTo(0.3543, 4);
});

it.each([
  // Shigley, eq. 13-10 to 13-12 (from memory): 12.3231 teeth of an equal pair, 15.4436 for a ratio of 4, 16.45 for 13.
  [13, 13, 12, 12],
  [16, 64, 15, 60],
  [13, 16, 13, 17],
])('the tips of %i/%i teeth keep to the involute of the other, those of %i/%i reach below it', (z1, z2, z3, z4) => {
  const room = (pinion: number, gear: number) => {
    const { tipRadius, baseRadius } = gearSize(1, gear, standard, 0);
    return ((pinion + gear) / 2) * Math.sin(standard) - Math.sqrt(tipRadius ** 2 - baseRadius ** 2);
  };
  expect(room(z1, z2)).toBeGreaterThan(0);
  expect(room(z3, z4)).toBeLessThan(0);
});

it('12/24 and 20/20 teeth have contact ratios 1.511122 and 1.556838 (derived)', () => {
  expect(ratioOf(1, 12, 24)).toBeCloseTo(1.511122, 6);
  expect(ratioOf(1, 20, 20)).toBeCloseTo(1.556838, 6);
});

it('of few teeth the line of action ends at the base circles: z·tan α/π for an equal pair (derived)', () => {
  const active = (z1: number, z2: number) =>
    activeContactRatio(gearSize(2, z1, standard, 0), gearSize(2, z2, standard, 0), 2, standard, z1 + z2)!;
  expect(active(10, 10)).toBeCloseTo((10 * Math.tan(standard)) / Math.PI, 12);
  // 13 is the smallest equal pair without interference (Shigley, eq. 13-10, from memory): nothing is lost from there on.
  expect(active(12, 12)).toBeLessThan(ratioOf(2, 12, 12));
  for (const z of [13, 20, 60]) expect(active(z, z)).toBe(ratioOf(2, z, z));
  // Of an unequal pair only the pinion's end is past the tangent: 12 against 24, whose tips reach 0.313 m too far.
  expect(active(12, 24)).toBeCloseTo(
    ratioOf(2, 12, 24) -
      (Math.sqrt(13 ** 2 - (12 * Math.cos(standard)) ** 2) - 18 * Math.sin(standard)) / (Math.PI * Math.cos(standard)),
    12,
  );
});

describe('between tips and roots', () => {
  const clearance = (m: number, z1: number, z2: number, x1: number, x2: number) =>
    tipClearance(
      gearSize(m, z1, standard, x1),
      gearSize(m, z2, standard, x2),
      idealCentreDistance(m, z1 + z2, standard, x1 + x2),
    );

  it('lies 0.25 m of the basic rack, without shift and where the shifts cancel (ISO 53)', () => {
    expect(clearance(4, 12, 31, 0, 0)).toBeCloseTo(1, 12);
    expect(clearance(4, 12, 31, 0.4, -0.4)).toBeCloseTo(1, 12);
  });

  it('shift takes m·(z₁ + z₂)/2 + m·(x₁ + x₂) − a of it, the tip alteration that would give it back (ISO 21771)', () => {
    const [m, z, x] = [4, 12, 1];
    const a = idealCentreDistance(m, 2 * z, standard, 2 * x);
    expect(a).toBeCloseTo(53.9565, 4);
    expect(clearance(m, z, z, x, x)).toBeCloseTo(0.25 * m - (m * z + 2 * x * m - a), 12);
    expect(clearance(m, z, z, x, x)).toBeCloseTo(-1.0435, 4);
  });
});

it('the involute of 20° is 0.014904384 (derived), found back from shifted centres', () => {
  // inv α_w − inv α = 2·tan α·Σx/Σz, so a working pressure angle found back from the centre distance tells inv 20°.
  const distance = idealCentreDistance(1, 40, standard, 0.5);
  const working = workingPressureAngle(20, standard, distance)!;
  const involute = Math.tan(working) - working - (2 * Math.tan(standard) * 0.5) / 40;
  expect(involute).toBeCloseTo(0.014904384, 9);
});

it('16/40 teeth, two an inch, moved from 14 in to 14.25 in (Shigley, Ex. 13-1, from memory)', () => {
  expect(gearSize(0.5, 16, standard, 0).baseRadius).toBeCloseTo(3.7588, 4);
  expect(gearSize(0.5, 40, standard, 0).baseRadius).toBeCloseTo(9.3969, 4);
  expect(degrees(workingPressureAngle(14, standard, 14.25)!)).toBeCloseTo(22.6, 2);
});

it('sizes follow the basic rack of ISO 53 (addendum 1, dedendum 1.25)', () => {
  expect(gearSize(1.5, 20, standard, 0)).toMatchObject({ pitchRadius: 15, tipRadius: 16.5, rootRadius: 13.125 });
  expect(gearSize(1, 10, standard, 0.415)).toMatchObject({ tipRadius: 6.415, rootRadius: 4.165 });
});

describe('profile shift', () => {
  it('is least at 1 − z·sin² α/2: 10, 12 and 17 teeth (derived)', () => {
    expect(leastShift(10, standard)).toBeCloseTo(0.415111, 6);
    expect(leastShift(12, standard)).toBeCloseTo(0.298133, 6);
    expect(leastShift(17, standard)).toBeCloseTo(0.005689, 6);
  });

  it.each([
    [20, 17.09726],
    [14.5, 31.90294],
    [25, 11.19782],
  ])('is not wanted from 2/sin² α teeth on: at %d° (any text on gears)', (pressure, teeth) => {
    expect(leastShift(teeth, radians(pressure))).toBeCloseTo(0, 6);
  });

  it('leaves tips as thick as half a pitch at the pitch circle less what the involute takes (derived)', () => {
    // A rack has tips of π/2 − 2·tan α modules, which many teeth come near to.
    expect(tipThickness(1e7, standard, 0)).toBeCloseTo(Math.PI / 2 - 2 * Math.tan(standard), 5);
    // The involutes of both flanks, from the base circle out: points of a tooth at the tip, by unwinding.
    const [z, x] = [12, 0.3];
    const { baseRadius, tipRadius, pitchRadius } = gearSize(1, z, standard, x);
    const unwound = (radius: number) => {
      const t = Math.sqrt((radius / baseRadius) ** 2 - 1);
      return t - Math.atan(t);
    };
    const half = (Math.PI / 4 + x * Math.tan(standard)) / pitchRadius + unwound(pitchRadius) - unwound(tipRadius);
    expect(tipThickness(z, standard, x)).toBeCloseTo(2 * half * tipRadius, 12);
  });

  it('leaves the centre distance where the shifts cancel', () => {
    expect(idealCentreDistance(1, 40, standard, 0)).toBe(20);
  });

  it('moves it so that the shifted teeth mesh without play (ISO 21771; derived by their thickness)', () => {
    // Without play the tooth thicknesses on the working circles fill one pitch.
    const [z1, z2, x1, x2] = [12, 24, 0.3, 0.2];
    const a = idealCentreDistance(1, z1 + z2, standard, x1 + x2);
    const involute = (angle: number) => Math.tan(angle) - angle;
    const working = workingPressureAngle((z1 + z2) / 2, standard, a)!;
    const thickness = (z: number, x: number) => {
      const radius = ((z / 2) * Math.cos(standard)) / Math.cos(working);
      const halfAngle = (Math.PI / 2 + 2 * x * Math.tan(standard)) / z;
      return 2 * radius * (halfAngle + involute(standard) - involute(working));
    };
    const pitch = (Math.PI * Math.cos(standard)) / Math.cos(working);
    expect(thickness(z1, x1) + thickness(z2, x2)).toBeCloseTo(pitch, 10);
  });
});

it('0.2 mm of centre distance gives about 2Δa·tan α of backlash, and the exact involute value is near (derived)', () => {
  const angle = backlashAngle(0, 0.2, standard, 20);
  const involute = (a: number) => Math.tan(a) - a;
  const working = workingPressureAngle(40, standard, 40.2)!;
  const exact = (2 * 40.2 * (involute(working) - involute(standard))) / 20;
  expect(Math.abs(angle / exact - 1)).toBeLessThan(0.05);
  expect(backlashAngle(0.12, 0, standard, 35) * 35).toBeCloseTo(0.12, 12);
});
