import { describe, expect, it } from 'vitest';
import { degrees, radians } from '../../server/reckon/motion/angles.ts';
import {
  backlashAngle,
  contactRatio,
  gearSize,
  idealCentreDistance,
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

it('12/24 and 20/20 teeth have contact ratios 1.511122 and 1.556838 (derived)', () => {
  expect(ratioOf(1, 12, 24)).toBeCloseTo(1.511122, 6);
  expect(ratioOf(1, 20, 20)).toBeCloseTo(1.556838, 6);
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
