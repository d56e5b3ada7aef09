import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mechanism, Point, Rectangle, Segment } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians, turn } from '../../../../server/reckon/motion/angles.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { bodiesOf } from '../../../../server/reckon/shape/bodies.ts';
import { moved } from '../../../../server/reckon/shape/convex.ts';
import { liftAfter } from '../../../../server/reckon/shape/movers.ts';
import { disc, type Outline, outlineThrough } from '../../../../server/reckon/shape/outline.ts';
import { passing } from '../../../../server/reckon/shape/passing.ts';
import { type PostGapFigure, postGapsOf, type Slider, slidersOf } from '../../../../server/reckon/shape/posts.ts';
import { stackOf } from '../../../../server/reckon/shape/stack.ts';
import { cam, given, lobesAt, mechanism, segment, shaft } from '../../../mechanisms.ts';
import { gapBetween, placed, region, regionOf } from './oracle.ts';

const fine = 'fine';
const rectangle = (width: number, height: number, x: number, y: number) =>
  given<Rectangle>({ width, height, at: { x, y } });

interface Reckoned {
  readonly gaps: readonly PostGapFigure[];
  readonly unreckoned: readonly { readonly of: string; readonly because: string }[];
  readonly sliders: readonly Slider[];
  readonly outline: (name: string) => Outline;
}

function reckoned(m: Mechanism): Reckoned {
  const figures = reckon(m);
  const stack = stackOf(m);
  const bodies = bodiesOf(m, figures, stack);
  const sliders = slidersOf(m, figures, stack);
  const { gaps, unreckoned } = finished(postGapsOf(m, figures, sliders, bodies, fine));
  const outline = (name: string) => bodies.bodies.find((body) => body.kind === 'cam' && body.name === name)!.outline;
  return { gaps, unreckoned, sliders: sliders.sliders, outline };
}

const between = ({ gaps }: Reckoned, of: string, against: string): PostGapFigure | undefined =>
  gaps.find((gap) => {
    const other = 'segment' in gap.against ? gap.against.segment : gap.against.name;
    return `${gap.of.kind} ${gap.of.segment}` === of && `${gap.against.kind} ${other}` === against;
  });

/** Two cams on one shaft that turns counter-clockwise; a rides in front, b behind it. Flanges of 27 mm. */
const twoLevels = (a: Partial<Segment>, b: Partial<Segment>, lobesB: number[][] = [[80, 100, 20]]): Mechanism =>
  mechanism({
    shafts: [shaft('one', [0, 0], 'counterclockwise')],
    segments: [segment('a', 90, a), segment('b', 0, b)],
    cams: [
      cam('camA', 'one', 'a', { lobes: lobesAt([40, 60, 20]) }),
      cam('camB', 'one', 'b', { level: given(2), lobes: lobesAt(...lobesB) }),
    ],
  });

describe('stems, posts and guides', () => {
  const { sliders } = reckoned(twoLevels({}, { offset: given(4), post: rectangle(6, 20, 32, 4) }));
  const of = (kind: string, name: string) => sliders.find((one) => one.kind === kind && one.segment === name)!;
  const box = (points: readonly Point[]) => [
    Math.min(...points.map((p) => p.x)),
    Math.max(...points.map((p) => p.x)),
    Math.min(...points.map((p) => p.y)),
    Math.max(...points.map((p) => p.y)),
  ];

  it('lie in the plane of their cam, and from there to the face', () => {
    expect(of('stem', 'b').depth).toEqual({ from: 4.2, to: expect.closeTo(7.2) });
    expect(of('post', 'b').depth).toEqual({ from: 0, to: expect.closeTo(7.2) });
    expect(of('guide', 'b').depth).toEqual({ from: 0, to: expect.closeTo(7.2) });
    expect(sliders.some(({ kind, segment: name }) => kind === 'post' && name === 'a')).toBe(false);
  });

  it('run along the slide from the nose tip, offset to its left', () => {
    // derived: tip at √(23.5² − 4²) − 1.5 when lowered; guide from stroke + nose on, 14 mm long
    const tip = Math.sqrt(23.5 ** 2 - 16) - 1.5;
    const [left, right, bottom, top] = box(of('stem', 'b').outline);
    expect(left).toBeCloseTo(tip, 2);
    expect(right).toBeCloseTo(tip + 19, 6);
    expect([bottom, top]).toEqual([expect.closeTo(2.5), expect.closeTo(5.5)]);
    const guide = box(of('guide', 'b').outline);
    expect(guide).toEqual([tip + 5, tip + 19, 4 - 2.5, 4 + 2.5].map((value) => expect.closeTo(value, 6)));
  });
});

describe('gaps by hand', () => {
  it('of a post beside the flange before it', () => {
    const found = reckoned(twoLevels({}, { post: rectangle(6, 20, 31, 0) }));
    expect(between(found, 'post b', 'flange camA')).toMatchObject({
      gap: expect.closeTo(1, 6),
      depth: { from: 3, to: 4.2 },
      touching: [],
    });
    expect(between(found, 'post b', 'flange camB')).toBeUndefined();
  });

  it('of a post that moves toward the flange of another shaft, and when', () => {
    const m = twoLevels({}, { post: rectangle(6, 20, 31, 0) });
    const found = reckoned({
      ...m,
      shafts: [...m.shafts, shaft('two', [62, 0], 'clockwise')],
      segments: [...m.segments, segment('c', 0)],
      cams: [...m.cams, cam('camC', 'two', 'c', { lobes: lobesAt() })],
    });
    // the post's far edge stands at 34, raised at 37.5; the flange of the other shaft begins at 62 − 27 = 35
    const gap = between(found, 'post b', 'flange camC')!;
    expect(gap.gap).toBeCloseTo(-2.5, 6);
    // ψ = −turn: up from 80° to 100° is 260° to 280°
    expect(degrees(gap.turn!)).toBeCloseTo(270, 1);
    expect(gap.touching).toHaveLength(1);
    const [from, to] = gap.touching[0].map(degrees);
    expect(from).toBeGreaterThan(240);
    expect(from).toBeLessThan(260);
    expect(to).toBeGreaterThan(280);
    expect(to).toBeLessThan(300);
  });

  it('of a guide that begins before the lobe ends', () => {
    const found = reckoned(twoLevels({ overhang: given(2) }, {}));
    expect(between(found, 'guide a', 'cam camA')!.gap).toBeCloseTo(2 - 3.5, 2);
    expect(between(reckoned(twoLevels({}, {})), 'guide b', 'flange camA')!.gap).toBeCloseTo(0, 6);
  });

  it('of a guide that the crest of the cam before it passes, when it does', () => {
    // Guide from 22 + stroke + nose = 27, crest at 25.5; the middle of the lobe, 50°, comes to 0° after 310°.
    const gap = between(reckoned(twoLevels({}, {})), 'guide b', 'cam camA')!;
    expect(gap.gap).toBeCloseTo(1.5, 3);
    expect(degrees(gap.turn!)).toBeCloseTo(310, 1);
  });

  it('of posts against posts, and of a post that passes a guide', () => {
    const found = reckoned(twoLevels({ post: rectangle(40, 6, 20, 36) }, { post: rectangle(8, 40, 33, 22) }));
    expect(between(found, 'post a', 'post b')!.gap).toBeLessThan(-2.9);
    const through = reckoned(twoLevels({}, { post: rectangle(8, 8, 0, 34) }));
    expect(between(through, 'guide a', 'post b')!.gap).toBeLessThan(0);
  });

  it('leave out a stem on its own cam, and guides before stems', () => {
    const found = reckoned(twoLevels({ azimuth: given(0) }, {}));
    expect(between(found, 'stem a', 'cam camA')).toBeUndefined();
    expect(found.gaps.some(({ of, against }) => of.kind === 'stem' && against.kind === 'guide')).toBe(false);
  });
});

describe('gaps against polygon offsets', () => {
  const polygonAt = (slider: Slider, at: number) => {
    const lift = liftAfter(slider.motion, at);
    return region(moved(slider.outline, lift * slider.motion.along.x, lift * slider.motion.along.y));
  };

  it('of a post and the cam before it: to 0.01 mm, and no stand is nearer', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 34, noNaN: true }),
        fc.double({ min: -12, max: 12, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (x, y, tilt, from) => {
          const post = given<Rectangle>({ width: 5, height: 14, at: { x, y }, tilt: radians(tilt) });
          const found = reckoned(twoLevels({}, { post }, [[from, from + 30, 25]]));
          const gap = between(found, 'post b', 'cam camA');
          const slider = found.sliders.find((one) => one.kind === 'post')!;
          const outline = found.outline('camA');
          const { gap: stand } = passing(slider.outline, outline);
          // a post that enters the cam is told to a twentieth of how deep
          const least = Math.min(gap?.gap ?? 3, 1.05 * (gap?.gap ?? 3)) - 0.01;
          for (let degree = 0; degree < 360; degree += 0.5) {
            const at = radians(degree);
            expect(stand(liftAfter(slider.motion, at), 0, at, Infinity)).toBeGreaterThan(least);
          }
          if (gap?.turn === undefined) return;
          const due = gapBetween(polygonAt(slider, gap.turn), placed(regionOf(outline), gap.turn, { x: 0, y: 0 }));
          if (gap.gap > 0) expect(Math.abs(due - gap.gap)).toBeLessThan(0.01);
          else expect(due).toBeLessThan(0.002);
        },
      ),
      { numRuns: 25 },
    );
  }, 120_000);

  it('at any stand of a polygon and an outline: to 0.003 mm', () => {
    const square = [
      { x: 20, y: -4 },
      { x: 26, y: -5 },
      { x: 27, y: 4 },
      { x: 21, y: 6 },
    ];
    const star = outlineThrough(
      Array.from({ length: 720 }, (_, i) => {
        const angle = (i * turn) / 720;
        const radius = 15 + 2 * Math.sin(5 * angle);
        return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
      }),
    )!;
    const { gap } = passing(square, star);
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 10, noNaN: true }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: -7, max: 7, noNaN: true }),
        (x, y, turned) => {
          const due = gapBetween(region(moved(square, x, y)), placed(regionOf(star), turned, { x: 0, y: 0 }));
          const here = gap(x, y, turned, Infinity);
          if (due > 0) expect(Math.abs(here - due)).toBeLessThan(3e-3);
          else expect(here).toBeLessThan(1e-3);
        },
      ),
      { numRuns: 60 },
    );
  }, 60_000);

  it('stays where it is for a disc, whatever it is turned by', () => {
    const post = [
      { x: 12, y: -1 },
      { x: 14, y: -1 },
      { x: 14, y: 1 },
      { x: 12, y: 1 },
    ];
    const { gap } = passing(post, disc(10)!);
    for (const turned of [0, 1, 2, 5]) expect(gap(0, 0, turned, Infinity)).toBeCloseTo(2, 2);
  });
});

describe('what cannot be reckoned', () => {
  it.each<[string, Partial<Segment>, string]>([
    ['a post without size', { post: rectangle(0, 4, 30, 0) }, 'has no size'],
    ['a slide beside the prime circle', { offset: given(60) }, 'beside the prime circle'],
    ['no nose', { nose: undefined }, 'nose'],
    ['a pivoted follower', { follower: given({ kind: 'pivoted', at: { x: 0, y: 30 }, arm: 20 }) }, 'pivoted'],
  ])('%s: says why', (_, more, word) => {
    const { gaps, unreckoned } = reckoned(twoLevels({}, more));
    expect(unreckoned).toContainEqual({ of: 'b', because: expect.stringContaining(word) });
    for (const { gap } of gaps) expect(gap).not.toBeNaN();
  });

  it('a flat follower has its stem and guide all the same', () => {
    const flat = given({ kind: 'flat' } as const);
    const more = { follower: flat, nose: undefined, stem: given(4), overhang: given(4) };
    const { sliders } = reckoned(twoLevels({}, more));
    expect(sliders.filter((one) => one.segment === 'b').map(({ kind }) => kind)).toEqual(['stem', 'guide']);
  });

  it('a post through the shaft gives a depth at once', () => {
    const found = reckoned(twoLevels({}, { post: rectangle(30, 8, 6, 0) }));
    expect(between(found, 'post b', 'cam camA')).toMatchObject({ touching: [[0, expect.any(Number)]] });
    expect(between(found, 'post b', 'cam camA')!.gap).toBeLessThan(-10);
  });
});
