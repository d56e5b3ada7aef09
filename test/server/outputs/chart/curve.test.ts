import { expect, it } from 'vitest';
import { curvePoints, flanksAcross } from '../../../../server/outputs/chart/curve.ts';
import { acrossOfAngle, acrossOfRest, liftOf, restAt, stepsAt, viewOf } from '../../../../server/outputs/chart/view.ts';
import { camAngle, liftAt } from '../../../../server/reckon/motion/lift.ts';
import { berthSign, examples, reckonedExample } from './designs.ts';

const reversed = () => berthSign(['count 0', 'runs reverse\n  count 0']);

it('draws the lift that is followed, at rests and between', () => {
  for (const reckoned of [...examples.map(reckonedExample), reversed()]) {
    const view = viewOf(reckoned);
    for (const cam of view.figures.cams) {
      const points = curvePoints(view, cam, [0, view.rests]);
      let worst = 0;
      for (let i = 0; i <= 100; i++) {
        const across = (view.rests * i) / 100;
        const after = points.findIndex((point) => point.across >= across);
        const [one, two] = [points[Math.max(0, after - 1)], points[after]];
        const along = two.across > one.across ? (across - one.across) / (two.across - one.across) : 0;
        const drawn = one.share + along * (two.share - one.share);
        worst = Math.max(worst, Math.abs(drawn - liftOf(cam, stepsAt(view, across)) / cam.lift.stroke));
      }
      // A curve 30 px high drawn in chords is off by less than a fifth of a px.
      expect(worst).toBeLessThan(0.006);
    }
  }
});

it('knows rises from falls as the mechanism runs', () => {
  for (const reckoned of [reckonedExample('berth-sign'), reckonedExample('lock-countdown'), reversed()]) {
    const view = viewOf(reckoned);
    for (const cam of view.figures.cams) {
      const flanks = flanksAcross(view, cam);
      expect(flanks.length).toBeGreaterThan(0);
      for (const { from, to, rises } of flanks) {
        const [start, end] = [from + 1e-6, to - 1e-6].map((across) => liftOf(cam, stepsAt(view, across)));
        expect(end > start).toBe(rises);
      }
    }
  }
});

it('finds a cam angle across the turn', () => {
  for (const reckoned of [reckonedExample('berth-sign'), reckonedExample('lock-countdown'), reversed()]) {
    const view = viewOf(reckoned);
    for (const cam of view.figures.cams) {
      for (const psi of [0, 1, 2.5, 6]) {
        const found = acrossOfAngle(view, cam, psi);
        expect(found.length).toBeGreaterThan(0);
        for (const across of found) {
          expect(Math.cos(camAngle(cam.azimuth, cam.step, stepsAt(view, across)) - psi)).toBeCloseTo(1, 9);
        }
      }
    }
  }
});

it('lists rests in the order in which they come', () => {
  const forward = { rests: 12, direction: 1 } as const;
  const backward = { rests: 12, direction: -1 } as const;
  expect([0, 1, 11, 12].map((across) => restAt(forward, across))).toEqual([0, 1, 11, 0]);
  expect([0, 1, 11, 12].map((across) => restAt(backward, across))).toEqual([0, 11, 1, 0]);
  expect(acrossOfRest(forward, 3)).toEqual([3]);
  expect(acrossOfRest(backward, 3)).toEqual([9]);
  expect(acrossOfRest(backward, 0)).toEqual([0, 12]);
});

it('draws a cam that is always up, and one that never moves', () => {
  const view = viewOf(berthSign(['drives a\n', 'drives a { lobe from 0 deg to 360 deg }\n']));
  const cam = view.figures.cams[0];
  const shares = curvePoints(view, cam, [0, view.rests]).map(({ share }) => share);
  expect(new Set(shares)).toEqual(new Set([liftAt(cam.lift, 0).lift / cam.lift.stroke]));
});
