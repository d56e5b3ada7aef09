import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Law, Point, Segment } from '../../language/mechanism.ts';
import { type CamFigure, reckon } from '../../server/reckon/figures.ts';
import { radians } from '../../server/reckon/motion/angles.ts';
import { liftAt } from '../../server/reckon/motion/lift.ts';
import { profileOf } from '../../server/reckon/shape/bodies.ts';
import { cam, given, lobesAt, mechanism, segment, shaft } from '../mechanisms.ts';
import { droppedArm, droppedNose, laidFace } from './turning.ts';

// Profiles as they are drawn and exported, turned under a follower by brute force (derived: the follower must give
// back the lift that everything else reads, programmed or cut short).

interface Case {
  readonly law: Law['name'];
  readonly lobes: number[][];
  readonly base: number;
  readonly follower: Partial<Segment>;
}

function turned({ law, lobes, base, follower }: Case): { figure: CamFigure; polygon: Point[] } {
  const m = mechanism({
    shafts: [shaft('only', [0, 0])],
    segments: [segment('a', 0, follower)],
    cams: [cam('camA', 'only', 'a', { base: given(base), law: given({ name: law }), lobes: lobesAt(...lobes) })],
  });
  const figures = reckon(m);
  const profile = profileOf(m, figures, 'camA');
  if ('because' in profile) throw new Error(profile.because);
  const polygon = Array.from(profile.x, (x, i) => ({ x, y: profile.y[i]! }));
  return { figure: figures.cams[0]!, polygon: dense(polygon) };
}

/** The polygon with points so close on its straight edges that what touches an edge touches a point. */
function dense(polygon: readonly Point[], pitch = 0.02): Point[] {
  return polygon.flatMap((p, i) => {
    const q = polygon[(i + 1) % polygon.length]!;
    const pieces = Math.max(1, Math.ceil(Math.hypot(q.x - p.x, q.y - p.y) / pitch));
    return Array.from({ length: pieces }, (_, j) => ({
      x: p.x + ((q.x - p.x) * j) / pieces,
      y: p.y + ((q.y - p.y) * j) / pieces,
    }));
  });
}

/** Greatest difference between what the follower does on the polygon and the followed lift, mm. */
function worst({ lift }: CamFigure, dropped: (psi: number) => number, every: number): number {
  let most = 0;
  for (let degree = 0.1; degree < 360; degree += every) {
    most = Math.max(most, Math.abs(dropped(radians(degree)) - liftAt(lift, radians(degree)).lift));
  }
  return most;
}

const laws = fc.constantFrom<Law['name']>('constant velocity', 'simple harmonic', 'cycloidal', 'modified sine');
/** A pair of lobes apart from each other, with flanks wide enough for a nose or far too narrow. */
const anyLobes = fc
  .tuple(
    fc.integer({ min: 0, max: 180 }),
    fc.integer({ min: 0, max: 60 }),
    fc.integer({ min: 8, max: 50 }),
    fc.integer({ min: 0, max: 60 }),
  )
  .map(([from, wide, flank, second]) => [
    [from, from + wide, flank],
    [from + 170, from + 170 + second, 60 - flank / 2],
  ]);
const size = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const runs = { numRuns: 12, endOnFailure: true };

describe('the follower on the polygon that is exported gives the followed lift to 0.005 mm', () => {
  it('with a round nose on a slide', () => {
    fc.assert(
      fc.property(laws, anyLobes, size(12, 25), size(1, 3), size(-3, 3), size(1, 5), (law, lobes, base, nose, e, s) => {
        const follower = { nose: given(nose), offset: given(e), stroke: given(s) };
        const { figure, polygon } = turned({ law, lobes, base, follower });
        // A flank far steeper than anything can climb may lean over its own foot.
        fc.pre(figure.pressureAngle!.value < radians(75));
        const lowered = Math.sqrt((base + nose) ** 2 - e ** 2);
        const nosed = (psi: number) => droppedNose(polygon, -psi, 0, e, nose) - lowered;
        expect(worst(figure, nosed, 1.3)).toBeLessThan(0.005);
      }),
      runs,
    );
  }, 60_000);

  it('in a hollow hardly wider than the nose', () => {
    const follower = { nose: given(1.69), stroke: given(5) };
    const { figure, polygon } = turned({ law: 'modified sine', lobes: [[122, 126, 10]], base: 18.7, follower });
    expect(worst(figure, (psi) => droppedNose(polygon, -psi, 0, 0, 1.69) - 20.39, 0.1)).toBeLessThan(0.004);
  });

  it('with a flat face', () => {
    fc.assert(
      fc.property(laws, anyLobes, size(15, 40), size(1, 5), (law, lobes, base, s) => {
        const follower = { follower: given({ kind: 'flat' } as const), stroke: given(s) };
        const { figure, polygon } = turned({ law, lobes, base, follower });
        expect(worst(figure, (psi) => laidFace(polygon, -psi, 0) - base, 1.3)).toBeLessThan(0.005);
      }),
      runs,
    );
  }, 60_000);

  it('with a flat face that turns on a corner from the foot of one flank to that of the other', () => {
    const follower = { follower: given({ kind: 'flat' } as const), stroke: given(2.6) };
    const { figure, polygon } = turned({ law: 'constant velocity', lobes: [[100, 123, 13]], base: 18, follower });
    expect(figure.lift.cut?.corners).toHaveLength(1);
    expect(worst(figure, (psi) => laidFace(polygon, -psi, 0) - 18, 0.1)).toBeLessThan(0.005);
  });

  it('in a corner at the foot of a steep ramp', () => {
    const follower = { nose: given(2.43), stroke: given(5), offset: given(-3) };
    const { figure, polygon } = turned({ law: 'constant velocity', lobes: [[150, 151, 10]], base: 24.14, follower });
    expect(figure.lift.cut?.corners).toHaveLength(1);
    const lowered = Math.sqrt(26.57 ** 2 - 9);
    expect(worst(figure, (psi) => droppedNose(polygon, -psi, 0, -3, 2.43) - lowered, 0.1)).toBeLessThan(0.004);
  });

  it('with a flat face that stands still at the foot of a steep ramp', () => {
    const follower = { follower: given({ kind: 'flat' } as const), stroke: given(3.6) };
    const { figure, polygon } = turned({ law: 'constant velocity', lobes: [[95, 140, 10]], base: 15.3, follower });
    expect(figure.lift.cut?.corners).toHaveLength(1);
    expect(worst(figure, (psi) => laidFace(polygon, -psi, 0) - 15.3, 1.3)).toBeLessThan(0.005);
  });

  it('with a nose on a swinging arm, on either side', () => {
    fc.assert(
      fc.property(
        laws,
        anyLobes,
        size(14, 25),
        size(1, 3),
        size(1, 4),
        fc.constantFrom(-1, 1),
        (law, lobes, base, nose, s, side) => {
          const pivot = { x: 20, y: 38 * side };
          const follower = {
            follower: given({ kind: 'pivoted', at: pivot, arm: 36 } as const),
            nose: given(nose),
            stroke: given(s),
          };
          const { figure, polygon } = turned({ law, lobes, base, follower });
          // The lowered nose's centre: the crossing of the arm's circle and the prime circle that lies nearer the azimuth.
          const prime = base + nose;
          const centres = Math.hypot(pivot.x, pivot.y);
          const corner = Math.acos((36 ** 2 + centres ** 2 - prime ** 2) / (2 * 36 * centres));
          const start = Math.atan2(-pivot.y, -pivot.x) + side * corner;
          const arm = { pivot, arm: 36, start, side };
          expect(worst(figure, (psi) => droppedArm(polygon, -psi, arm, nose), 11.3)).toBeLessThan(0.005);
        },
      ),
      { ...runs, numRuns: 6 },
    );
  }, 120_000);

  it('tells how much of an arm’s way undercut takes', () => {
    const follower = {
      follower: given({ kind: 'pivoted', at: { x: 20, y: 38 }, arm: 36 } as const),
      nose: given(3),
      stroke: given(5),
    };
    const { figure } = turned({ law: 'simple harmonic', lobes: [[90, 90, 14]], base: 14, follower });
    expect(figure.lostLift!.value).toBeGreaterThan(0.1);
  });
});
