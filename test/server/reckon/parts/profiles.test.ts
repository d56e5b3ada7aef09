import { describe, expect, it } from 'vitest';
import type { Follower, Mechanism, Point } from '../../../../language/mechanism.ts';
import { type FollowedLift, type MotionFigures, reckon } from '../../../../server/reckon/figures.ts';
import { radians, turn } from '../../../../server/reckon/motion/angles.ts';
import { lobesByAngles } from '../../../../server/reckon/motion/lobes.ts';
import { profileLoop } from '../../../../server/reckon/parts/cam.ts';
import { camProfile } from '../../../../server/reckon/parts/cam-profile.ts';
import { gearOutlineLoop } from '../../../../server/reckon/parts/gear-outline.ts';
import { distanceToEdge, edgesOf, flattened, loopArea } from '../../../../server/reckon/parts/loop.ts';
import type { Loop } from '../../../../server/reckon/parts/part.ts';
import { profileOf, riderOn } from '../../../../server/reckon/shape/bodies.ts';
import { rideOf } from '../../../../server/reckon/shape/cutting.ts';
import { gearSize, involute } from '../../../../server/reckon/shape/gears.ts';
import { signedDistance } from '../../../../server/reckon/shape/outline.ts';
import { example } from '../../../designs.ts';
import { cam, gear, given, numeral, segment } from '../../../mechanisms.ts';

/** Five micrometres: what a fitted curve may stand off the true one, mm. */
const near = 0.005;

const distanceTo = (loop: Loop) => {
  const edges = edgesOf(loop);
  return (p: Point) => Math.min(...edges.map((edge) => distanceToEdge(p, edge)));
};

const loopOf = (m: Mechanism, figures: MotionFigures, name: string): Loop => {
  const loop = profileLoop(m, figures, name);
  if ('because' in loop) throw new Error(loop.because);
  return loop;
};

/** The greatest distance of the fitted profile's points from the outline cut as polygons, and of true contacts from the fitted profile. */
function strays(
  m: Mechanism,
  name: string,
): { readonly contacts: number; readonly outline: number; readonly arcs: number } {
  const figures = reckon(m);
  const loop = loopOf(m, figures, name);
  const outline = profileOf(m, figures, name);
  const rider = riderOn(m, figures, name);
  if ('because' in outline || 'because' in rider) throw new Error('no outline');
  const { lift } = figures.cams.find((one) => one.name === name)!;
  const ride = rideOf(lift, rider)!;
  const off = distanceTo(loop);
  const contacts = Math.max(...Array.from({ length: 3600 }, (_, i) => off(ride.stand((i * turn) / 3600).touch)));
  const back = Math.max(...flattened(loop, 2e-4).map(({ x, y }) => Math.abs(signedDistance(outline, x, y))));
  return { contacts, outline: back, arcs: loop.length };
}

describe('a cam’s profile as arcs', () => {
  for (const name of ['berth-sign', 'lock-countdown', 'pier-flag', 'score-tally', 'signal-box', 'weir-gauge']) {
    it(`keeps within 5 µm of every contact: ${name}`, () => {
      for (const m of example(name)) {
        for (const one of m.cams) {
          const { contacts, outline, arcs } = strays(m, one.name);
          expect(contacts, one.name).toBeLessThan(near);
          // the polygon itself is true to a micrometre
          expect(outline, one.name).toBeLessThan(near + 0.0015);
          expect(arcs, one.name).toBeLessThan(200);
        }
      }
    });
  }

  const withFollower = (follower: Follower, more: object = {}, ofCam: object = {}) =>
    numeral({
      segments: numeral().segments.map((one) =>
        one.name === 'a' ? segment('a', 90, { follower: given(follower), ...more }) : one,
      ),
      cams: numeral().cams.map((one) =>
        one.name === 'camA' ? cam('camA', 'upper', 'a', { base: given(22), ...ofCam }) : one,
      ),
    });
  for (const [what, m] of Object.entries({
    'a slide beside the shaft': withFollower({ kind: 'round' }, { offset: given(6) }),
    'a flat face': withFollower({ kind: 'flat' }, {}, { base: given(30) }),
    'a nose on an arm': withFollower({ kind: 'pivoted', at: { x: 30, y: 58 }, arm: 28 }),
    'an undercut cam': withFollower({ kind: 'round' }, { nose: given(6), stroke: given(9) }, { base: given(14) }),
    'flanks with hollow corners': withFollower({ kind: 'round' }, {}, { law: given({ name: 'constant velocity' }) }),
  })) {
    it(`keeps within 5 µm of every contact: ${what}`, () => {
      const { contacts, outline } = strays(m, 'camA');
      expect(contacts).toBeLessThan(near);
      expect(outline).toBeLessThan(near + 0.0015);
    });
  }

  it('is really cut under where the test says so', () => {
    const m = withFollower({ kind: 'round' }, { nose: given(6), stroke: given(9) }, { base: given(14) });
    expect(reckon(m).cams.find(({ name }) => name === 'camA')!.lift.cut?.corners.length).toBeGreaterThan(0);
  });

  it('has flanks alike fitted once: a cam of three equal lobes is a third of itself, turned', () => {
    const lobes = [0, 120, 240].map((from) => ({
      from: radians(from),
      to: radians(from + 30),
      before: radians(20),
      after: radians(25),
    }));
    const rider = { kind: 'round', prime: 23.5, nose: 1.5, offset: 2 } as const;
    /** The profile, and how often the lift is looked at for it. */
    const fitted = (count: number) => {
      let looks = 0;
      const lift: FollowedLift = { stroke: 4, ...lobesByAngles(lobes.slice(0, count), { name: 'cycloidal' }) };
      const watched = new Proxy(lift, {
        get(all, key) {
          if (key === 'always') looks++;
          return Reflect.get(all, key);
        },
      });
      return { loop: camProfile(watched, rider)!, looks: () => looks };
    };
    const { loop, looks } = fitted(3);
    // Each flank more costs a comparison, not a fit.
    expect(looks()).toBeLessThan(1.8 * fitted(1).looks());
    expect(loop.length % 3).toBe(0);
    const third = loop.length / 3;
    const [c, s] = [Math.cos(turn / 3), Math.sin(turn / 3)];
    loop.forEach((from, i) => {
      const to = loop[(i + third) % loop.length];
      expect(Math.hypot(to.x - c * from.x + s * from.y, to.y - s * from.x - c * from.y)).toBeLessThan(1e-6);
      expect(to.bulge).toBeCloseTo(from.bulge, 6);
    });
  });

  it('is a true circle where the follower never moves', () => {
    const m = numeral({ cams: [cam('still', 'upper', 'a', { lobes: { by: 'angles', lobes: [] }, base: given(20) })] });
    const loop = loopOf(m, reckon(m), 'still');
    expect(loop).toHaveLength(2);
    expect(loopArea(loop)).toBeCloseTo(Math.PI * 400, 9);
  });
});

describe('a gear’s outline', () => {
  const outline = (teeth: number, shift = 0, thinner = 0): Loop =>
    gearOutlineLoop(gear('g', 'upper', teeth, { shift: given(shift) }), thinner, 0)!;

  /** Of the upper flank of the tooth about angle 0: half a tooth's angle at a radius, ISO 21771. */
  const half = (teeth: number, shift: number, radius: number): number => {
    const { baseRadius } = gearSize(1, teeth, radians(20), shift);
    const at = (Math.PI / 2 + 2 * shift * Math.tan(radians(20))) / teeth + involute(radians(20));
    return at - involute(Math.acos(baseRadius / radius));
  };

  for (const [teeth, shift] of [
    [70, 0],
    [20, 0],
    [30, 0.3],
    [17, 0],
    [12, 0.4],
  ] as const) {
    it(`has involute flanks to 5 µm: ${teeth} teeth, shift ${shift}`, () => {
      const { tipRadius, rootRadius, baseRadius } = gearSize(1, teeth, radians(20), shift);
      const off = distanceTo(outline(teeth, shift));
      // above the rounded root, whose top lies at most a rounding's radius from its bottom
      const from = Math.max(rootRadius + 0.38, baseRadius);
      for (let i = 0; i <= 200; i++) {
        const radius = from + ((tipRadius - from) * i) / 200;
        const angle = half(teeth, shift, radius);
        for (const side of [1, -1])
          expect(off({ x: radius * Math.cos(angle), y: side * radius * Math.sin(angle) }), `${radius}`).toBeLessThan(
            near,
          );
      }
      const radii = flattened(outline(teeth, shift), 1e-3).map(({ x, y }) => Math.hypot(x, y));
      expect(Math.max(...radii)).toBeCloseTo(tipRadius, 9);
      expect(Math.min(...radii)).toBeCloseTo(rootRadius, 3);
    });
  }

  it('has teeth thinner by their half of the backlash on the pitch circle', () => {
    const width = (loop: Loop) => {
      // the tooth about angle 0 where the pitch circle cuts its flanks
      const points = flattened(loop, 1e-4).filter(({ x, y }) => Math.abs(Math.atan2(y, x)) < Math.PI / 40);
      const angle = points.flatMap((p, i) => {
        const q = points[i + 1];
        if (!q) return [];
        const [a, b] = [Math.hypot(p.x, p.y) - 20, Math.hypot(q.x, q.y) - 20];
        if (a > 0 === b > 0) return [];
        const share = a / (a - b);
        return [Math.atan2(p.y + share * (q.y - p.y), p.x + share * (q.x - p.x))];
      });
      return 20 * (Math.max(...angle) - Math.min(...angle));
    };
    // half a pitch, π·m/2 (ISO 53)
    expect(width(outline(40))).toBeCloseTo(Math.PI / 2, 3);
    expect(width(outline(40, 0, 0.1))).toBeCloseTo(Math.PI / 2 - 0.1, 3);
  });
});
