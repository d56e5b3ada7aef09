/**
 * The laws of motion on the unit interval: y(0) = 0, y(1) = 1, with y′ and y″.
 *
 * A rise of stroke L over the angle β has lift L·y, slope (L/β)·y′ and curve (L/β²)·y″. Closed forms as in any
 * handbook of cam design; the two composite laws are those with c = 4 + π and c = 2 + π.
 */
import type { Law } from '../../../language/mechanism.ts';

/** Lift, slope and curve of a law at one point; also used with the stroke and angle of a real flank. */
export interface Motion {
  readonly lift: number;
  readonly slope: number;
  readonly curve: number;
}

/** A part of the unit interval on which y″ is continuous up to and including both ends. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly at: (x: number) => Motion;
}

/** Greatest |y′|, |y″| and |y‴| over the unit interval; infinite where the law jumps. */
export interface Peaks {
  readonly velocity: number;
  readonly acceleration: number;
  readonly jerk: number;
}

const { PI, sin, cos, sqrt } = Math;

const whole = (at: (x: number) => Motion): readonly Stretch[] => [{ from: 0, to: 1, at }];

/** The second half of a law that is antisymmetric about its middle. */
const mirrored = (half: (x: number) => Motion) => (x: number) => {
  const { lift, slope, curve } = half(1 - x);
  return { lift: 1 - lift, slope, curve: -curve };
};

const simpleHarmonic = (x: number): Motion => ({
  lift: (1 - cos(PI * x)) / 2,
  slope: (PI / 2) * sin(PI * x),
  curve: ((PI * PI) / 2) * cos(PI * x),
});

const cycloidal = (x: number): Motion => ({
  lift: x - sin(2 * PI * x) / (2 * PI),
  slope: 1 - cos(2 * PI * x),
  curve: 2 * PI * sin(2 * PI * x),
});

const polynomial345 = (x: number): Motion => ({
  lift: x * x * x * (10 + x * (-15 + x * 6)),
  slope: x * x * (30 + x * (-60 + x * 30)),
  curve: x * (60 + x * (-180 + x * 120)),
});

const polynomial4567 = (x: number): Motion => ({
  lift: x * x * x * x * (35 + x * (-84 + x * (70 - x * 20))),
  slope: x * x * x * (140 + x * (-420 + x * (420 - x * 140))),
  curve: x * x * (420 + x * (-1680 + x * (2100 - x * 840))),
});

const trapezoidHalf = (x: number): Motion => {
  const c = 2 + PI;
  if (x <= 1 / 8) {
    return {
      lift: (4 * PI * x - sin(4 * PI * x)) / (2 * PI * c),
      slope: (2 * (1 - cos(4 * PI * x))) / c,
      curve: (8 * PI * sin(4 * PI * x)) / c,
    };
  }
  if (x <= 3 / 8) {
    return {
      lift: (64 * PI * PI * x * x - 16 * PI * PI * x + 32 * PI * x + PI * PI - 8) / (16 * PI * c),
      slope: (8 * PI * x - PI + 2) / c,
      curve: (8 * PI) / c,
    };
  }
  return {
    lift: (4 * PI * x + 4 * PI * PI * x - PI * PI + sin(4 * PI * x)) / (2 * PI * c),
    slope: (2 * (1 + PI + cos(4 * PI * x))) / c,
    curve: (-8 * PI * sin(4 * PI * x)) / c,
  };
};

const trapezoidSecondHalf = mirrored(trapezoidHalf);

const modifiedSine = (x: number): Motion => {
  const c = 4 + PI;
  if (x <= 1 / 8 || x >= 7 / 8) {
    return {
      lift: ((x < 0.5 ? 0 : 4) + PI * x - sin(4 * PI * x) / 4) / c,
      slope: (PI * (1 - cos(4 * PI * x))) / c,
      curve: (4 * PI * PI * sin(4 * PI * x)) / c,
    };
  }
  const u = (4 * PI * x) / 3 - PI / 6;
  return {
    lift: (2 + PI * x - (9 / 4) * cos(u)) / c,
    slope: (PI * (1 + 3 * sin(u))) / c,
    curve: (4 * PI * PI * cos(u)) / c,
  };
};

const steady = whole((x) => ({ lift: x, slope: 1, curve: 0 }));

/** Velocity rises and falls evenly over the share p at each end: peak factors 1/(1−p) and 1/(p(1−p)). */
function blended(p: number): readonly Stretch[] {
  if (!(p > 0)) return steady;
  const share = Math.min(p, 0.5);
  const velocity = 1 / (1 - share);
  const ramp = (x: number): Motion => ({
    lift: (velocity * x * x) / (2 * share),
    slope: (velocity * x) / share,
    curve: velocity / share,
  });
  const middle = (x: number): Motion => ({ lift: velocity * (x - share / 2), slope: velocity, curve: 0 });
  return [
    { from: 0, to: share, at: ramp },
    ...(share < 0.5 ? [{ from: share, to: 1 - share, at: middle }] : []),
    { from: 1 - share, to: 1, at: mirrored(ramp) },
  ];
}

const fixed: Readonly<Record<Exclude<Law['name'], 'constant velocity'>, readonly Stretch[]>> = {
  'constant acceleration': blended(0.5),
  'simple harmonic': whole(simpleHarmonic),
  cycloidal: whole(cycloidal),
  'polynomial 3-4-5': whole(polynomial345),
  'polynomial 4-5-6-7': whole(polynomial4567),
  'modified trapezoid': whole((x) => (x <= 0.5 ? trapezoidHalf(x) : trapezoidSecondHalf(x))),
  'modified sine': whole(modifiedSine),
};

/** The law in stretches of continuous y″, so that its curve can be taken from either side of a joint. */
export function stretches(law: Law): readonly Stretch[] {
  return law.name === 'constant velocity' ? blended(law.blended ?? 0) : fixed[law.name];
}

/** The law at x; before 0 and after 1 it rests. At a joint the curve is that of the earlier side. */
export function motion(parts: readonly Stretch[], x: number): Motion {
  if (x <= 0) return { lift: 0, slope: 0, curve: 0 };
  if (x >= 1) return { lift: 1, slope: 0, curve: 0 };
  let i = 0;
  while (i + 1 < parts.length && x > parts[i].to) i++;
  return parts[i].at(x);
}

/** Peak factors of a law, in closed form. */
export function peaks(law: Law): Peaks {
  switch (law.name) {
    case 'constant velocity': {
      const p = Math.min(law.blended ?? 0, 0.5);
      if (!(p > 0)) return { velocity: 1, acceleration: Infinity, jerk: Infinity };
      return { velocity: 1 / (1 - p), acceleration: 1 / (p * (1 - p)), jerk: Infinity };
    }
    case 'constant acceleration':
      return { velocity: 2, acceleration: 4, jerk: Infinity };
    case 'simple harmonic':
      return { velocity: PI / 2, acceleration: (PI * PI) / 2, jerk: Infinity };
    case 'cycloidal':
      return { velocity: 2, acceleration: 2 * PI, jerk: 4 * PI * PI };
    case 'polynomial 3-4-5':
      return { velocity: 15 / 8, acceleration: 10 / sqrt(3), jerk: 60 };
    case 'polynomial 4-5-6-7':
      return { velocity: 35 / 16, acceleration: (84 * sqrt(5)) / 25, jerk: 52.5 };
    case 'modified trapezoid':
      return { velocity: 2, acceleration: (8 * PI) / (2 + PI), jerk: (32 * PI * PI) / (2 + PI) };
    case 'modified sine':
      return { velocity: (4 * PI) / (4 + PI), acceleration: (4 * PI * PI) / (4 + PI), jerk: (16 * PI ** 3) / (4 + PI) };
  }
}
