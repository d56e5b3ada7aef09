import { expect, it } from 'vitest';
import {
  home,
  keyMove,
  moved,
  played,
  put,
  stepSeconds,
  toNextRest,
} from '../../../../server/outputs/chart/turning.ts';

const view = { rests: 12, laps: 3 };

it('moves through a count into the next, and home after the last', () => {
  expect(moved(view, home, 1)).toEqual({ lap: 0, across: 1 });
  expect(moved(view, { lap: 0, across: 11 }, 1)).toEqual({ lap: 0, across: 12 });
  expect(moved(view, { lap: 0, across: 12 }, 1)).toEqual({ lap: 1, across: 1 });
  expect(moved(view, { lap: 2, across: 11.5 }, 1)).toEqual({ lap: 0, across: 0.5 });
  expect(moved(view, home, -1)).toEqual({ lap: 2, across: 11 });
});

it('does not drift off a rest', () => {
  let moment = home;
  for (let i = 0; i < 120; i++) moment = moved(view, moment, 0.1);
  expect(moment.across).toBe(12);
});

it('stays at home where nothing is counted', () => {
  expect(moved({ rests: 0, laps: 1 }, home, 1)).toEqual(home);
});

it('steps to the next rest from a rest and from between', () => {
  expect(toNextRest({ lap: 0, across: 3 }, 1)).toBeCloseTo(1);
  expect(toNextRest({ lap: 0, across: 3 }, -1)).toBeCloseTo(-1);
  expect(toNextRest({ lap: 0, across: 3.4 }, 1)).toBeCloseTo(0.6);
  expect(toNextRest({ lap: 0, across: 3.4 }, -1)).toBeCloseTo(-0.4);
});

it('reads keys', () => {
  expect(keyMove(view, 'ArrowRight', false)).toEqual({ do: 'move', by: 0.1 });
  expect(keyMove(view, 'ArrowLeft', true)).toEqual({ do: 'step', way: -1 });
  expect(keyMove(view, ' ', false)).toEqual({ do: 'step', way: 1 });
  expect(keyMove(view, ' ', true)).toEqual({ do: 'step', way: -1 });
  expect(keyMove(view, 'Home', false)).toEqual({ do: 'put', across: 0 });
  expect(keyMove(view, 'End', false)).toEqual({ do: 'put', across: 12 });
  expect(keyMove(view, 'x', false)).toBeUndefined();
});

it('puts the pointer on the chart, never off it', () => {
  expect(put(view, home, -3).across).toBe(0);
  expect(put(view, home, 99).across).toBe(12);
});

it('plays from rest to rest: dwells, then moves; where motion is unwelcome it jumps', () => {
  expect(played(view, home, 0.1, false).across).toBe(0);
  expect(played(view, home, stepSeconds - 1e-6, false).across).toBeCloseTo(1, 3);
  expect(played(view, home, stepSeconds * 2.01, false).across).toBeCloseTo(2, 1);
  for (let seconds = 0; seconds < 20; seconds += 0.05) {
    expect(Number.isInteger(played(view, home, seconds, true).across)).toBe(true);
  }
});

it('never runs backwards while it plays', () => {
  let last = 0;
  for (let seconds = 0; seconds < 11 * stepSeconds; seconds += 0.01) {
    const { lap, across } = played(view, home, seconds, false);
    const now = lap * view.rests + across;
    expect(now).toBeGreaterThanOrEqual(last - 1e-9);
    last = now;
  }
});
