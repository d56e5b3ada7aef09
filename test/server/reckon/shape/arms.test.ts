import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Follower, Mechanism, Point, Rectangle, Segment } from '../../../../language/mechanism.ts';
import { type Figures, reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians } from '../../../../server/reckon/motion/angles.ts';
import { liftAt } from '../../../../server/reckon/motion/lift.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { bodiesOf } from '../../../../server/reckon/shape/bodies.ts';
import { apart, distanceTo, hull, meetings, sweptRound } from '../../../../server/reckon/shape/convex.ts';
import { carried, seenFrom, swayOf } from '../../../../server/reckon/shape/movers.ts';
import { arc, type Outline, outlineThrough, squareToEdge } from '../../../../server/reckon/shape/outline.ts';
import { passing } from '../../../../server/reckon/shape/passing.ts';
import { type PostGapFigure, postGapsOf, slidersOf } from '../../../../server/reckon/shape/posts.ts';
import { stackOf } from '../../../../server/reckon/shape/stack.ts';
import { cam, given, lobesAt, mechanism, segment, shaft } from '../../../mechanisms.ts';
import { placed, type Region, region, regionOf, touches } from './oracle.ts';

interface Reckoned {
  readonly figures: Figures;
  readonly gaps: readonly PostGapFigure[];
  readonly unreckoned: readonly { readonly of: string; readonly because: string }[];
  readonly outline: (name: string) => Outline;
}

function reckoned(m: Mechanism): Reckoned {
  const figures = reckon(m);
  const stack = stackOf(m);
  const bodies = bodiesOf(m, figures, stack);
  const { gaps, unreckoned } = finished(postGapsOf(m, figures, slidersOf(m, figures, stack), bodies, 'fine'));
  const outline = (name: string) => bodies.bodies.find((body) => body.kind === 'cam' && body.name === name)!.outline;
  return { figures, gaps, unreckoned, outline };
}

const between = ({ gaps }: Reckoned, of: string, against: string): PostGapFigure | undefined =>
  gaps.find((gap) => {
    const other = 'segment' in gap.against ? gap.against.segment : gap.against.name;
    const names = [`${gap.of.kind} ${gap.of.segment}`, `${gap.against.kind} ${other}`];
    return names.includes(of) && names.includes(against);
  });

const pivoted = (x: number, y: number, arm: number, stem: number, more: Partial<Segment> = {}): Partial<Segment> => ({
  follower: given<Follower>({ kind: 'pivoted', at: { x, y }, arm }),
  stem: given(stem),
  ...more,
});

/** Two shafts, the second at x, y; a swings on the first, which turns counter-clockwise, b slides away on the second. */
const neighbours = (
  at: readonly [number, number],
  a: Partial<Segment>,
  lobesA: number[][],
  lobesB: number[][],
): Mechanism =>
  mechanism({
    shafts: [shaft('one', [0, 0], 'counterclockwise', { leads: given(true) as never }), shaft('two', at, 'clockwise')],
    segments: [segment('a', 90, { nose: given(2), ...a }), segment('b', 0, { guide: undefined, post: undefined })],
    cams: [
      cam('camA', 'one', 'a', { lobes: lobesAt(...lobesA) }),
      cam('camB', 'two', 'b', { lobes: lobesAt(...lobesB) }),
    ],
  });

/**
 * Where pivot and nose of a stand when its nose has gone so far along its arc: from the triangle of shaft, pivot and
 * nose alone, of the two places on the prime circle the one nearer the azimuth (90°); rising leads away from the shaft.
 */
function armAt(pivot: Point, arm: number, prime: number, lift: number): readonly [Point, Point] {
  const centres = Math.hypot(pivot.x, pivot.y);
  const inward = Math.atan2(-pivot.y, -pivot.x);
  const corner = Math.acos((arm ** 2 + centres ** 2 - prime ** 2) / (2 * arm * centres));
  const ends = [1, -1].map((side) => {
    const at = (angle: number) => ({ x: pivot.x + arm * Math.cos(angle), y: pivot.y + arm * Math.sin(angle) });
    return { lowered: at(inward + side * corner), now: at(inward + side * (corner + lift / arm)) };
  });
  return [pivot, ends.sort((p, q) => q.lowered.y - p.lowered.y)[0].now];
}

/** All that lies within `round` of the straight line between two points. */
const within = (round: number, points: readonly Point[]) =>
  region(hull(points.flatMap((centre) => arc(centre, round, 0, 2 * Math.PI, 360))));

/** Arm and nose after a forward turn of the first shaft, grown by so much all round. */
function armRegion({ figures }: Reckoned, pivot: Point, arm: number, stem: number, at: number, by: number): Region {
  const [start, end] = armAt(pivot, arm, 24, liftAt(figures.cams[0].lift, radians(90) - at).lift);
  return within(stem / 2 + by, [start, end]).add(within(2 + by, [end]));
}

describe('an arm beside the cam of another shaft', () => {
  it('has its least gap to 0.01 mm against polygon offsets, and no stand is nearer', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 60, noNaN: true }),
        fc.double({ min: -10, max: 45, noNaN: true }),
        fc.double({ min: 2, max: 6, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (x, y, stem, from) => {
          const pivot = { x: 34, y: 22 };
          const m = neighbours(
            [x + 10, y],
            pivoted(pivot.x, pivot.y, 34, stem),
            [[40, 60, 60]],
            [[from, from + 20, 40]],
          );
          const found = reckoned(m);
          const gap = ['arm a', 'nose a']
            .flatMap((of) => between(found, of, 'cam camB') ?? [])
            .sort((p, q) => p.gap - q.gap)[0];
          const other = regionOf(found.outline('camB'));
          const meets = (at: number, by: number) =>
            touches(armRegion(found, pivot, 34, stem, at, by), placed(other, -at, { x: x + 10, y }));
          const due = gap?.gap ?? 3;
          // Shrunk by more nothing would be left of a nose or an arm.
          if (due < -0.8) return;
          const least = Math.min(due, 1.05 * due) - 0.01;
          for (let i = 0; i < 24; i++) expect(meets(radians(15 * i + (from % 15)), least)).toBe(false);
          if (gap?.turn === undefined) return;
          expect(meets(gap.turn, gap.gap + 0.01)).toBe(true);
          if (gap.gap > 0) expect(meets(gap.turn, gap.gap - 0.01)).toBe(false);
        },
      ),
      { numRuns: 12 },
    );
  });

  it('misses no stand, however quickly both move', () => {
    const pivot = { x: 34, y: 22 };
    const turns = fc.double({ min: 0, max: 360, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 48, max: 62, noNaN: true }), turns, turns, turns, (far, azimuth, mine, other) => {
        const at = [
          34 + 0.5 * far * Math.cos(radians(azimuth)),
          22 + far * Math.abs(Math.sin(radians(azimuth))),
        ] as const;
        const lobes = [
          [[mine, mine, 12]],
          [
            [other, other, 10],
            [other + 60, other + 60, 10],
          ],
        ];
        const found = reckoned(neighbours(at, pivoted(pivot.x, pivot.y, 34, 3), lobes[0], lobes[1]));
        const gap = between(found, 'arm a', 'cam camB');
        const { x, y } = found.outline('camB');
        let least = 3;
        for (let degree = 0; degree < 360; degree += 0.5) {
          const turned = radians(degree);
          const [p, q] = armAt(pivot, 34, 24, liftAt(found.figures.cams[0].lift, radians(90) - turned).lift);
          const [c, s] = [Math.cos(turned), Math.sin(turned)];
          for (let i = 0; i < x.length; i++) {
            const [u, v] = [at[0] + x[i] * c + y[i] * s, at[1] + y[i] * c - x[i] * s];
            least = Math.min(least, Math.sqrt(squareToEdge(u, v, p.x, p.y, q.x, q.y)) - 1.5);
          }
        }
        // What lies within the middle line's reach is told by how deep alone.
        if (least < -1.4) return;
        expect(gap?.gap ?? 3).toBeLessThan(least + 0.006);
        expect(gap?.gap ?? 3).toBeGreaterThan(least - 0.05);
      }),
      { numRuns: 12 },
    );
  });

  it('meets a lobe that reaches it at one angle only: 217.4° of the turn, found to 0.2°', () => {
    // The lowered arm lies in the way of a crest of camB that faces its nearest point at 217.4°, and of nothing else.
    const pivot = { x: 34, y: 22 };
    const [p, q] = armAt(pivot, 34, 24, 0);
    const along = { x: (q.x - p.x) / 34, y: (q.y - p.y) / 34 };
    const outward = { x: along.y, y: -along.x };
    const side = outward.y > 0 ? outward : { x: -outward.x, y: -outward.y };
    const foot = { x: p.x + 17 * along.x, y: p.y + 17 * along.y };
    // Base 22, stroke 3.5: the crest enters an arm of 4 mm by 0.05 mm.
    const at = { x: foot.x + (25.5 + 2 - 0.05) * side.x, y: foot.y + (25.5 + 2 - 0.05) * side.y };
    const towards = degrees(Math.atan2(-side.y, -side.x));
    // Shaft two turns clockwise: the cam angle that lies at `towards` after 217.4° is towards + 217.4°.
    const crest = (((towards + 217.4) % 360) + 360) % 360;
    const found = reckoned(neighbours([at.x, at.y], pivoted(pivot.x, pivot.y, 34, 4), [], [[crest, crest, 25]]));
    const gap = between(found, 'arm a', 'cam camB')!;
    expect(gap.gap).toBeCloseTo(-0.05, 3);
    expect(Math.abs(degrees(gap.turn!) - 217.4)).toBeLessThan(0.2);
    expect(gap.touching).toHaveLength(1);
    const [from, to] = gap.touching[0].map(degrees);
    expect(to - from).toBeLessThan(12);
    expect(from).toBeLessThan(217.4);
    expect(to).toBeGreaterThan(217.4);
  });

  it('is held against its flange, shaft and gear no less, where they lie at its level', () => {
    const pivot = { x: 34, y: 22 };
    const m = neighbours([70, 22], pivoted(pivot.x, pivot.y, 34, 4), [[40, 60, 60]], []);
    const thick = m.cams.map((one) => (one.name === 'camA' ? { ...one, thickness: given(4.5) } : one));
    const found = reckoned({ ...m, cams: thick });
    // The pivot end lies nearest: its own disc (2 mm) 36 mm from the other shaft, whose flange reaches to 27 mm.
    expect(between(found, 'pivot a', 'flange camB')).toBeUndefined();
    expect(
      between(
        reckoned({ ...m, shafts: [m.shafts[0], shaft('two', [64, 22], 'clockwise')], cams: thick }),
        'arm a',
        'flange camB',
      )!.gap,
    ).toBeCloseTo(30 - 27 - 2, 6);
  });
});

describe('an arm and its own cam', () => {
  const alone = (a: Partial<Segment>, lobes: number[][]): Mechanism =>
    mechanism({
      shafts: [shaft('one', [0, 0], 'counterclockwise')],
      segments: [segment('a', 90, { nose: given(2), ...a })],
      cams: [cam('camA', 'one', 'a', { lobes: lobesAt(...lobes) })],
    });

  it('clears it where it stands square to the radius, however near its nose is', () => {
    // Pivot on the tangent of the prime circle: the arm's middle line keeps 24 mm from the shaft, 2 mm from the cam.
    expect(between(reckoned(alone(pivoted(40, 24, 40, 3), [])), 'arm a', 'cam camA')).toBeUndefined();
    // As wide as its nose it only touches where the nose does.
    expect(between(reckoned(alone(pivoted(40, 24, 40, 4), [])), 'arm a', 'cam camA')).toBeUndefined();
  });

  it('lies on it where its middle line comes nearer to the shaft than base and half its width (derived)', () => {
    // Pivot at 40, 10: the line to the nose passes the shaft nearer than the prime circle.
    const [p, q] = armAt({ x: 40, y: 10 }, 40, 24, 0);
    const line = Math.abs(p.x * q.y - p.y * q.x) / 40;
    expect(line).toBeLessThan(24);
    const found = reckoned(alone(pivoted(40, 10, 40, 3), []));
    expect(between(found, 'arm a', 'cam camA')!.gap).toBeCloseTo(line - 1.5 - 22, 3);
    // What the cam's edge passes right through is told as at least half its width.
    const through = between(reckoned(alone(pivoted(40, 0, 40, 2), [[100, 130, 30]])), 'arm a', 'cam camA')!;
    expect(through.gap).toBeCloseTo(-1, 1);
    expect(through.within).toBeGreaterThan(1);
    // One wider than its nose rides on the cam itself.
    expect(between(reckoned(alone(pivoted(40, 24, 40, 6), [])), 'arm a', 'cam camA')!.gap).toBeCloseTo(-1, 2);
  });

  it('meets a flank where polygon booleans have it do so, and nowhere else', () => {
    const pivot = { x: 40, y: 24 };
    const lobes = [[100, 130, 30]];
    const found = reckoned(alone(pivoted(pivot.x, pivot.y, 40, 3), lobes));
    const gap = between(found, 'arm a', 'cam camA')!;
    const own = regionOf(found.outline('camA'));
    const shank = (at: number) => {
      const [p, q] = armAt(pivot, 40, 24, liftAt(found.figures.cams[0].lift, radians(90) - at).lift);
      const nose = region(arc(q, 2.003, 0, 2 * Math.PI, 2000).slice(1));
      return region(hull([p, q].flatMap((centre) => arc(centre, 1.5, 0, 2 * Math.PI, 720)))).subtract(nose);
    };
    const inside = (at: number) =>
      shank(at)
        .intersect(placed(own, at, { x: 0, y: 0 }))
        .area();
    expect(gap.gap).toBeLessThan(-0.05);
    expect(inside(gap.turn!)).toBeGreaterThan(0.01);
    const told = (at: number) => gap.touching.some(([from, to]) => at > from && at < to);
    for (let degree = 0.5; degree < 360; degree += 1) {
      const at = radians(degree);
      if (told(at)) expect(inside(at)).toBeGreaterThan(0);
      else expect(inside(at)).toBeLessThan(1e-3);
    }
  });
});

describe('arms and what slides', () => {
  const pair = (a: Partial<Segment>, b: Partial<Segment>, more: Partial<Mechanism> = {}): Mechanism =>
    mechanism({
      shafts: [shaft('one', [0, 0], 'counterclockwise'), shaft('two', [200, 0], 'clockwise')],
      segments: [segment('a', 90, { nose: given(2), ...a }), segment('b', 90, { nose: given(2), ...b })],
      cams: [
        cam('camA', 'one', 'a', { lobes: lobesAt([40, 60, 60]) }),
        cam('camB', 'two', 'b', { lobes: lobesAt([140, 160, 60]) }),
      ],
      ...more,
    });
  const rectangle = (width: number, height: number, x: number, y: number) =>
    given<Rectangle>({ width, height, at: { x, y } });

  it('posts and pivots: by hand', () => {
    const arm = pivoted(40, 24, 40, 3);
    // The lowered arm lies along y = 24 from 0 to 40 and swings up to the left; a post that never moves stands below.
    const still = { lobes: lobesAt() };
    const m = pair(arm, { guide: undefined, post: rectangle(10, 4, 30, 18) });
    const low = { ...m, cams: [m.cams[0], { ...m.cams[1], ...still }] };
    expect(between(reckoned(low), 'arm a', 'post b')!.gap).toBeCloseTo(24 - 1.5 - 20, 4);
    // Two pins at one place are one pin, but two arms in one plane are not one.
    const shared = reckoned(pair(arm, pivoted(40, 24, 150, 3)));
    expect(between(shared, 'pivot a', 'pivot b')).toBeUndefined();
    expect(between(shared, 'arm a', 'pivot b')!.gap).toBeLessThan(-3);
  });

  it('stems, guides and other arms: as all stands show them', () => {
    const stem = reckoned(pair(pivoted(196, 30, 196.1, 3), { guide: given(20), stem: given(4) }));
    expect(between(stem, 'arm a', 'stem b')).toBeDefined();
    expect(between(stem, 'arm a', 'guide b')).toBeDefined();
    const one = { x: 120, y: 40 };
    const two = { x: 100, y: 34 };
    const m = pair(pivoted(one.x, one.y, 121, 3), pivoted(two.x, two.y, 102, 5));
    const found = reckoned(m);
    const gap = between(found, 'arm a', 'arm b')!;
    const lifts = found.figures.cams.map(({ lift }) => lift);
    const here = (at: number, by: number) => {
      const a = armAt(one, 121, 24, liftAt(lifts[0], radians(90) - at).lift);
      const b = armAt({ x: two.x - 200, y: two.y }, 102, 24, liftAt(lifts[1], radians(90) + at).lift);
      const moved = b.map(({ x, y }) => ({ x: x + 200, y }));
      return touches(within(1.5 + by, a), within(2.5, moved));
    };
    for (let degree = 0; degree < 360; degree += 10) expect(here(radians(degree), gap.gap - 0.01)).toBe(false);
    expect(here(gap.turn!, gap.gap + 0.01)).toBe(true);
  });

  it('a nose wider than its stem is held by itself', () => {
    const wide = pair({ stem: given(2), guide: undefined }, { post: rectangle(10, 4, 3 + 5, 24), guide: undefined });
    const m = { ...wide, cams: wide.cams.map((one) => ({ ...one, lobes: lobesAt() })) };
    expect(between(reckoned(m), 'nose a', 'post b')!.gap).toBeCloseTo(1, 6);
  });

  it('without a width say why they are not held', () => {
    const { unreckoned, gaps } = reckoned(pair({ ...pivoted(40, 24, 40, 3), stem: undefined }, {}));
    expect(unreckoned).toContainEqual({ of: 'a', because: expect.stringContaining('stem') });
    expect(gaps.some(({ of, against }) => of.kind === 'arm' || against.kind === 'arm')).toBe(false);
    const short = reckoned(pair(pivoted(0, 300, 40, 3), {}));
    expect(short.unreckoned).toContainEqual({ of: 'a', because: expect.stringContaining('reach') });
  });
});

describe('an arm as its own frame sees it', () => {
  const place = fc.record({
    x: fc.double({ min: -60, max: 60, noNaN: true }),
    y: fc.double({ min: -60, max: 60, noNaN: true }),
  });
  const rise = fc.double({ min: 0, max: 6, noNaN: true });
  const swing = (pivot: Point, each: number) => ({
    segment: 'a',
    along: { x: 1, y: 0 },
    rate: 0,
    swing: { pivot, each },
  });

  it('shifts and turns by no more than is said, and what turns lies to it as on the face', () => {
    const each = fc.double({ min: -0.1, max: 0.1, noNaN: true });
    fc.assert(
      fc.property(place, place, place, each, rise, rise, (axis, pivot, point, by, one, two) => {
        const motion = swing(pivot, by);
        const seen = seenFrom(axis, motion);
        const [a, b] = [seen(one), seen(two)];
        const sway = swayOf(axis, motion);
        expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThanOrEqual(sway.reach * Math.abs(one - two) + 1e-9);
        expect(Math.abs(a.turned - b.turned)).toBeCloseTo(sway.each * Math.abs(one - two), 9);
        // A point that swings is as far from one that stands still, on the face and in the frame that swings with it.
        const [swung] = carried([point], motion, one);
        const still = { x: axis.x + 10, y: axis.y - 4 };
        const [c, s] = [Math.cos(a.turned), Math.sin(a.turned)];
        const own = { x: 10 * c - 4 * s, y: -4 * c - 10 * s };
        const shifted = { x: point.x - axis.x + a.x, y: point.y - axis.y + a.y };
        expect(Math.hypot(shifted.x - own.x, shifted.y - own.y)).toBeCloseTo(
          Math.hypot(swung.x - still.x, swung.y - still.y),
          6,
        );
      }),
    );
  });

  it('never comes nearer than its bound within a shift and a sweep', () => {
    const star = outlineThrough(
      Array.from({ length: 360 }, (_, i) => {
        const angle = radians(i);
        const radius = 15 + 3 * Math.sin(3 * angle);
        return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
      }),
    )!;
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    const far = fc.double({ min: 16, max: 40, noNaN: true });
    fc.assert(
      fc.property(
        far,
        place,
        fc.double({ min: 0, max: 6, noNaN: true }),
        part,
        part,
        part,
        (out, end, turned, dx, dy, dt) => {
          const { gap, bound } = passing(
            [
              { x: out, y: 0 },
              { x: out + Math.abs(end.x), y: end.y },
            ],
            star,
          );
          const sure = bound(0, 0, turned, 2, 0.3, 100);
          expect(gap(1.4 * dx, 1.4 * dy, turned + 0.3 * dt, Infinity)).toBeGreaterThan(sure - 1e-9);
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('points, edges and polygons', () => {
  it('lie as far apart as all shifts at which they meet say', () => {
    const place = fc.record({
      x: fc.double({ min: -10, max: 10, noNaN: true }),
      y: fc.double({ min: -10, max: 10, noNaN: true }),
    });
    const shape = fc.array(place, { minLength: 1, maxLength: 7 }).map(hull);
    fc.assert(
      fc.property(shape, shape, (one, two) => {
        // Discs of 1 mm round every corner, so that nothing is a mere point or edge; all shifts at which they meet.
        const round = (points: readonly Point[]) => hull(points.flatMap((p) => arc(p, 1, 0, 2 * Math.PI, 64)));
        const due = distanceTo(meetings(round(one), round(two)), 0, 0);
        expect(Math.abs(due - (apart(one, two) - 2))).toBeLessThan(5e-3);
        expect(apart(two, one)).toBeCloseTo(apart(one, two), 9);
      }),
      { numRuns: 20 },
    );
    const edge = [
      { x: 0, y: 0 },
      { x: 4, y: 0 },
    ];
    expect(apart(edge, [{ x: 7, y: 0 }])).toBe(3);
    expect(
      apart(edge, [
        { x: 6, y: 0 },
        { x: 9, y: 0 },
      ]),
    ).toBe(2);
    expect(
      apart(edge, [
        { x: 2, y: -3 },
        { x: 2, y: 1 },
      ]),
    ).toBe(-1);
    expect(distanceTo(edge, 6, 0)).toBe(2);
  });

  it('a sweep about a pivot covers every stand, and hardly more', () => {
    const bar = [
      { x: 10, y: -1 },
      { x: 40, y: -1 },
      { x: 40, y: 2 },
      { x: 10, y: 2 },
    ];
    const pivot = { x: -5, y: 3 };
    const all = sweptRound(bar, pivot, 0.7);
    const far = Math.max(...all.map(({ x, y }) => Math.hypot(x - pivot.x, y - pivot.y)));
    const reach = Math.hypot(45, 4);
    expect(far).toBeGreaterThanOrEqual(reach);
    expect(far).toBeLessThan(reach + 2e-3);
    for (let i = 0; i <= 50; i++) {
      const [c, s] = [Math.cos((0.7 * i) / 50), Math.sin((0.7 * i) / 50)];
      for (const { x, y } of bar) {
        const [dx, dy] = [x - pivot.x, y - pivot.y];
        expect(distanceTo(all, pivot.x + dx * c - dy * s, pivot.y + dx * s + dy * c)).toBeLessThan(1e-9);
      }
    }
  });
});
