import { describe, expect, it } from 'vitest';
import { degrees, radians } from '../../server/reckon/motion/angles.ts';
import {
  activeContactRatio,
  backlashAngle,
  contactRatio,
  filletReach,
  gearSize,
  idealCentreDistance,
  leastShift,
  shiftForTip,
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

describe('tips and the fillets at the roots', () => {
  /** d_Ff against d_Nf, ISO 21771: where cutter and mate end on the line of action, by their coordinates. */
  function byCoordinates(m: number, z1: number, z2: number, x1: number, x2: number, alpha: number, a: number): number {
    const [r, rb] = [(m * z1) / 2, ((m * z1) / 2) * Math.cos(alpha)];
    // The rack's straight flank ends m below its reference line, which the shift moves out; the line of action touches
    // the base circle at T and passes the pitch point (r, 0).
    const touching = { x: rb * Math.cos(alpha), y: rb * Math.sin(alpha) };
    const share = (r - m * (1 - x1) - touching.x) / (r - touching.x);
    const form = share * Math.hypot(r - touching.x, touching.y);
    const working = Math.acos(((m * (z1 + z2)) / 2) * (Math.cos(alpha) / a));
    const start = { x: rb * Math.cos(working), y: rb * Math.sin(working) };
    const along = { x: Math.sin(working), y: -Math.cos(working) };
    // |T + t·along − (a, 0)| = r_a of the mate, the nearer of both.
    const tip = m * (z2 / 2 + 1 + x2);
    const b = along.x * (start.x - a) + along.y * start.y;
    const c = (start.x - a) ** 2 + start.y ** 2 - tip ** 2;
    return form - (-b - Math.sqrt(b * b - c));
  }
  const reach = (m: number, z1: number, z2: number, x1: number, x2: number, alpha = standard) => {
    const a = idealCentreDistance(m, z1 + z2, alpha, x1 + x2);
    const found = filletReach(gearSize(m, z1, alpha, x1), x1, gearSize(m, z2, alpha, x2), m, alpha, a)!;
    expect(found).toBeCloseTo(byCoordinates(m, z1, z2, x1, x2, alpha, a), 7);
    return found;
  };

  it('are the same by the coordinates of where rack and mate end on the line of action (derived)', () => {
    for (const [z1, z2, x1, x2] of [
      [20, 20, 0, 0],
      [13, 60, 0.3, -0.3],
      [40, 25, 0.5, 0.6],
      [200, 200, 1.2, 1.2],
    ]) {
      reach(1.5, z1, z2, x1, x2);
      reach(4, z1, z2, x1, x2, radians(25));
    }
  });

  it('never meet of gears without shift: only a rack’s, whose teeth end where the cutter’s do, come as far (ISO 53)', () => {
    for (const z of [18, 30, 70]) {
      for (const mate of [18, 60, 400]) expect(reach(1, z, mate, 0, 0)).toBeLessThan(0);
      expect(reach(1, z, 1e8, 0, 0)).toBeCloseTo(0, 6);
    }
    // Cancelling shifts leave the rack where it was.
    expect(reach(1, 30, 60, 0.5, -0.5)).toBeLessThan(0);
  });

  it('start on the base circle at the least shift, 1 − z·sin² α/2', () => {
    const [z, x] = [12, leastShift(12, standard)];
    const [one, two] = [gearSize(1, z, standard, x), gearSize(1, 40, standard, -x)];
    const room = 26 * Math.sin(standard) - Math.sqrt(two.tipRadius ** 2 - two.baseRadius ** 2);
    expect(filletReach(one, x, two, 1, standard, 26)).toBeCloseTo(-room, 9);
  });

  it('meet where large shifts of many teeth bring the centres closer than the tips grow', () => {
    // 200 teeth each, shifted by 1.2: still 0.14 m between tips and roots.
    expect(reach(1, 200, 200, 1.2, 1.2)).toBeGreaterThan(0.03);
    expect(reach(1, 200, 200, 0.5, 0.5)).toBeLessThan(0.02);
  });
});

it('the shift for a tip is the greatest that leaves it so thick', () => {
  const shift = shiftForTip(12, standard, 0.2, leastShift(12, standard), 0.8)!;
  expect(tipThickness(12, standard, shift)).toBeCloseTo(0.2, 6);
  expect(tipThickness(12, standard, shift + 0.01)).toBeLessThan(0.2);
  expect(shiftForTip(5, standard, 0.4, leastShift(5, standard), 1)).toBeUndefined();
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
