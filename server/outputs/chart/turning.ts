/** The turn pointer: where it stands and how keys, buttons and time move it. Plain data; no drawing, no clock. */
import type { View } from './view.ts';

/** A moment: which count since home, and where across it (0 to the number of rests). */
export interface Moment {
  readonly lap: number;
  readonly across: number;
}

export const home: Moment = { lap: 0, across: 0 };

/** What of a view the pointer needs. */
export type Turns = Pick<View, 'rests' | 'laps'>;

const rounded = (across: number): number =>
  Math.abs(across - Math.round(across)) < 1e-6 ? Math.round(across) : across;

/** The moment, brought into a count: past the last rest the next count begins; before home the one before. */
export function moved(view: Turns, moment: Moment, by: number): Moment {
  if (view.rests === 0) return home;
  let lap = moment.lap;
  let across = rounded(moment.across + by);
  while (across > view.rests) {
    across = rounded(across - view.rests);
    lap += 1;
  }
  while (across < 0) {
    across = rounded(across + view.rests);
    lap -= 1;
  }
  return { lap: ((lap % view.laps) + view.laps) % view.laps, across };
}

/** Put at a place across the same count. */
export const put = (view: Turns, moment: Moment, across: number): Moment => ({
  lap: moment.lap,
  across: rounded(Math.min(view.rests, Math.max(0, across))),
});

/** How far the next rest is, forward (+1) or back (−1). */
export function toNextRest({ across }: Moment, way: 1 | -1): number {
  const next = way === 1 ? Math.floor(across + 1 + 1e-6) : Math.ceil(across - 1 - 1e-6);
  return next - across;
}

/** What a key does to the pointer: put it somewhere, move it, or step it to the next rest. */
export type KeyMove =
  | { readonly do: 'move'; readonly by: number }
  | { readonly do: 'put'; readonly across: number }
  | { readonly do: 'step'; readonly way: 1 | -1 };

/** Arrows turn by a tenth of a step (with Shift to the next rest), space steps, Home and End go to the ends. */
export function keyMove(view: Turns, key: string, shift: boolean): KeyMove | undefined {
  switch (key) {
    case 'ArrowRight':
    case 'ArrowUp':
      return shift ? { do: 'step', way: 1 } : { do: 'move', by: 0.1 };
    case 'ArrowLeft':
    case 'ArrowDown':
      return shift ? { do: 'step', way: -1 } : { do: 'move', by: -0.1 };
    case ' ':
      return { do: 'step', way: shift ? -1 : 1 };
    case 'PageUp':
      return { do: 'step', way: 1 };
    case 'PageDown':
      return { do: 'step', way: -1 };
    case 'Home':
      return { do: 'put', across: 0 };
    case 'End':
      return { do: 'put', across: view.rests };
    default:
      return undefined;
  }
}

/** Seconds that one step takes while playing, and for how long of it the bars rest. */
export const stepSeconds = 1.1;
const restShare = 0.35;

/** How far a step has come, 0 to 1, `elapsed` seconds after it began: at rest, then eased to the next. */
function playedShare(elapsed: number): number {
  const share = Math.min(1, Math.max(0, (elapsed / stepSeconds - restShare) / (1 - restShare)));
  return share * share * (3 - 2 * share);
}

/** The moment `elapsed` seconds after playing began at `start`; where motion is unwelcome it jumps from rest to rest. */
export function played(view: Turns, start: Moment, elapsed: number, still: boolean): Moment {
  const whole = Math.floor(elapsed / stepSeconds);
  const first = toNextRest(start, 1);
  const share = still ? 0 : playedShare(elapsed - whole * stepSeconds);
  if (whole === 0) return moved(view, start, first * share);
  return moved(view, start, first + (whole - 1) + share);
}
