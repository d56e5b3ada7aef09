import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Law } from '../../../language/mechanism.ts';
import { type FollowedLift, reckon } from '../../../server/reckon/figures.ts';
import { degrees, radians, turn } from '../../../server/reckon/motion/angles.ts';
import { liftAt } from '../../../server/reckon/motion/lift.ts';
import { lobesByAngles } from '../../../server/reckon/motion/lobes.ts';
import { cutOf, lostLift } from '../../../server/reckon/shape/undercut.ts';
import { cam, given, lobesAt, mechanism, segment, shaft } from '../../mechanisms.ts';
import { droppedNose } from '../../reference/turning.ts';

interface Point {
  readonly x: number;
  readonly y: number;
}

/** The profile that a cutter of radius `nose` leaves, ray by ray: the nearest that any of its stands comes. */
function milled(lift: FollowedLift, prime: number, offset: number, nose: number, rays = 3600): Point[] {
  const stands = Array.from({ length: 2 * rays }, (_, i) => {
    const psi = (i * turn) / (2 * rays);
    const q = Math.sqrt(prime ** 2 - offset ** 2) + liftAt(lift, psi).lift;
    return { x: q * Math.cos(psi) - offset * Math.sin(psi), y: q * Math.sin(psi) + offset * Math.cos(psi) };
  });
  const far = Math.ceil(
    (2 * rays * (2 * Math.asin(Math.min(1, nose / prime)) + Math.asin(Math.abs(offset) / prime))) / turn,
  );
  return Array.from({ length: rays }, (_, ray) => {
    const angle = (ray * turn) / rays;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    let nearest = Infinity;
    for (let j = 2 * ray - far; j <= 2 * ray + far; j++) {
      const { x, y } = stands[(j + 4 * rays) % (2 * rays)]!;
      const [along, aside] = [x * c + y * s, y * c - x * s];
      if (Math.abs(aside) < nose) nearest = Math.min(nearest, along - Math.sqrt(nose * nose - aside * aside));
    }
    return { x: nearest * c, y: nearest * s };
  });
}

const one = (law: Law['name'], stroke: number, width: number, top: number): FollowedLift => ({
  stroke,
  ...lobesByAngles([{ from: radians(90), to: radians(90 + top), before: radians(width), after: radians(width) }], {
    name: law,
  } as Law),
});

/** The nose dropped on the milled profile stands where the followed lift says. */
function agrees(programmed: FollowedLift, base: number, offset: number, nose: number): number {
  const prime = base + nose;
  const cut = cutOf(programmed, { kind: 'round', prime, offset, nose }, true);
  const followed = { ...programmed, ...(cut && { cut }) };
  const polygon = milled(programmed, prime, offset, nose);
  const lowered = Math.sqrt(prime ** 2 - offset ** 2);
  let worst = 0;
  for (let i = 0; i < 720; i++) {
    const psi = (i * turn) / 720;
    const dropped = droppedNose(polygon, -psi, 0, offset, nose) - lowered;
    worst = Math.max(worst, Math.abs(dropped - liftAt(followed, psi).lift));
  }
  return worst;
}

function differs(followed: FollowedLift): void {
  const [corner] = followed.cut!.corners;
  const tiny = 1e-5;
  for (let i = 1; i < 20; i++) {
    const psi = corner!.from + ((corner!.to - corner!.from) * i) / 20;
    const [before, here, after] = [psi - tiny, psi, psi + tiny].map((at) => liftAt(followed, at));
    expect((after!.lift - before!.lift) / (2 * tiny)).toBeCloseTo(here!.slope, 5);
    expect((after!.slope - before!.slope) / (2 * tiny)).toBeCloseTo(here!.curve, 3);
  }
}

describe('an undercut cam', () => {
  it('gives the lift that the nose really has on the profile that is left', () => {
    expect(agrees(one('simple harmonic', 5, 14, 0), 12, 0, 3)).toBeLessThan(0.01);
    expect(agrees(one('cycloidal', 4, 20, 6), 15, 2, 3)).toBeLessThan(0.01);
    expect(agrees(one('constant velocity', 4, 25, 10), 20, 0, 2)).toBeLessThan(0.01);
    expect(agrees(one('constant velocity', 6, 10, 3), 14, -2, 2.5)).toBeLessThan(0.03);
  });

  it('gives it where hundreds of lobes are narrower than the nose', () => {
    const lobes = Array.from({ length: 150 }, (_, i) => {
      const from = radians(2.4 * i + (i % 3) * 0.4);
      return { from, to: from + radians(0.2), before: radians(0.3), after: radians(0.3) };
    });
    const programmed = { stroke: 3.5, ...lobesByAngles(lobes, { name: 'simple harmonic' }) };
    expect(agrees(programmed, 22, 0, 1.5)).toBeLessThan(0.01);
    const cut = cutOf(programmed, { kind: 'round', prime: 23.5, offset: 0, nose: 1.5 }, true)!;
    expect(cut.corners).toHaveLength(150);
  });

  it('does so for any lobes', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<Law['name']>('constant velocity', 'simple harmonic', 'polynomial 3-4-5', 'modified sine'),
        fc.array(
          fc.tuple(fc.integer({ min: 0, max: 359 }), fc.integer({ min: 0, max: 60 }), fc.integer({ min: 10, max: 40 })),
          { minLength: 1, maxLength: 3 },
        ),
        fc.double({ min: 1, max: 6, noNaN: true }),
        fc.double({ min: 10, max: 30, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 1, max: 4, noNaN: true }),
        (name, lobes, stroke, base, offset, nose) => {
          const law = { name } as Law;
          const planned = lobes.map(([from, wide, flank]) => ({
            from: radians(from),
            to: radians(from + wide),
            before: radians(flank),
            after: radians(flank),
          }));
          expect(agrees({ stroke, ...lobesByAngles(planned, law) }, base, offset, nose)).toBeLessThan(0.05);
        },
      ),
      { numRuns: 15, endOnFailure: true },
    );
  }, 120_000);

  it('gives the lift that a flat face really has', () => {
    for (const [base, programmed] of [
      [22, one('simple harmonic', 3.5, 25, 20)],
      [15, one('cycloidal', 4, 40, 0)],
      [20, one('constant velocity', 3, 30, 30)],
    ] as const) {
      const cut = cutOf(programmed, { kind: 'flat', base }, true)!;
      const followed = { ...programmed, cut };
      const rays = 3600;
      const angle = (i: number) => (i * turn) / rays;
      const heights = Array.from({ length: rays }, (_, i) => base + liftAt(programmed, angle(i)).lift);
      // Along each ray the nearest that any stand of the face comes; on that polygon the face is dropped again.
      const polygon = heights.map((_, ray) => {
        let nearest = Infinity;
        for (let j = -600; j <= 600; j++)
          nearest = Math.min(nearest, heights[(ray + j + rays) % rays]! / Math.cos(angle(j)));
        return nearest;
      });
      let lost = 0;
      for (let i = 0; i < rays; i += 10) {
        let dropped = 0;
        for (let j = -600; j <= 600; j++) {
          dropped = Math.max(dropped, polygon[(i + j + rays) % rays]! * Math.cos(angle(j)));
        }
        expect(dropped - base).toBeCloseTo(liftAt(followed, angle(i)).lift, 2);
        lost = Math.max(lost, heights[i]! - dropped);
      }
      expect(lostLift(programmed, cut).value).toBeCloseTo(lost, 2);
    }
  });

  it('has slopes and curves that are the differences of its lift', () => {
    const programmed = one('simple harmonic', 5, 14, 0);
    const cut = cutOf(programmed, { kind: 'round', prime: 15, offset: 1, nose: 3 }, true)!;
    const followed = { ...programmed, cut };
    differs(followed);
    const arm = { kind: 'pivoted', prime: 15, nose: 3, pivot: { x: 20, y: 38 }, arm: 40 } as const;
    for (const y of [38, -38]) {
      const swung = cutOf(programmed, { ...arm, pivot: { x: 20, y } }, true)!;
      expect(swung.corners).toHaveLength(1);
      differs({ ...programmed, cut: swung });
    }
  });

  it('is told with the lift that is lost, and read by everything', () => {
    const m = mechanism({
      shafts: [shaft('only', [0, 0])],
      segments: [segment('a', 0, { stroke: given(5), nose: given(3) })],
      cams: [cam('camA', 'only', 'a', { base: given(12), lobes: lobesAt([90, 90, 14]) })],
    });
    const figure = reckon(m).cams[0]!;
    expect(figure.lostLift!.value).toBeGreaterThan(0.1);
    expect(degrees(figure.lostLift!.at)).toBeCloseTo(90, 3);
    expect(liftAt(figure.lift, radians(90)).lift).toBeCloseTo(5 - figure.lostLift!.value, 9);
    // The corner lies on the axis of the lobe, and the nose's centre the nose's radius above it.
    const corner = figure.lift.cut!.corners[0]!;
    expect(corner.x).toBeCloseTo(0, 9);
    expect(corner.y + 3).toBeCloseTo(15 + 5 - figure.lostLift!.value, 9);
  });

  it('loses nothing where every radius is larger than the nose', () => {
    const wide = one('simple harmonic', 3, 40, 20);
    expect(cutOf(wide, { kind: 'round', prime: 25, offset: 0, nose: 1.5 }, true)).toBeUndefined();
    expect(lostLift(wide, undefined).value).toBe(0);
  });
});
