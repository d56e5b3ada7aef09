/** What turns the mechanism on the screen: the pointer's clock, and the buttons that step it and have it play. */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { home, type Moment, moved, played, put, type Turns, toNextRest } from './turning.ts';
import type { View } from './view.ts';

/** Whether motion is unwelcome: by the system's setting or the editor's own. */
const motionUnwelcome = (): boolean =>
  matchMedia('(prefers-reduced-motion: reduce)').matches || document.body.classList.contains('vscode-reduce-motion');

export interface Turning {
  readonly moment: Moment;
  readonly playing: boolean;
  readonly set: (moment: Moment) => void;
  readonly step: (way: 1 | -1) => void;
  readonly play: (on: boolean) => void;
}

/** The pointer's moment, and the clock that moves it. */
export function useTurning(view: Turns): Turning {
  const [moment, setMoment] = useState<Moment>(home);
  const [playing, setPlaying] = useState(false);
  const latest = useRef({ moment, view });
  latest.current = { moment, view };
  const frame = useRef(0);

  /** Runs a motion until it says that it is done. */
  const run = useCallback((at: (seconds: number) => Moment | undefined) => {
    cancelAnimationFrame(frame.current);
    const begun = performance.now();
    const next = (now: number) => {
      const there = at((now - begun) / 1000);
      if (!there) return;
      setMoment(there);
      frame.current = requestAnimationFrame(next);
    };
    frame.current = requestAnimationFrame(next);
  }, []);
  useEffect(() => () => cancelAnimationFrame(frame.current), []);

  const set = useCallback((to: Moment) => {
    cancelAnimationFrame(frame.current);
    setPlaying(false);
    setMoment(to);
  }, []);
  const step = useCallback(
    (way: 1 | -1) => {
      setPlaying(false);
      const { moment: start, view: now } = latest.current;
      const by = toNextRest(start, way);
      const end = moved(now, start, by);
      if (motionUnwelcome()) return set(end);
      let done = false;
      run((seconds) => {
        if (done) return undefined;
        const share = Math.min(1, seconds / 0.45);
        done = share === 1;
        return done ? end : moved(now, start, by * share * share * (3 - 2 * share));
      });
    },
    [run, set],
  );
  const play = useCallback(
    (on: boolean) => {
      cancelAnimationFrame(frame.current);
      setPlaying(on);
      if (!on) return;
      const { moment: start } = latest.current;
      const still = motionUnwelcome();
      run((seconds) => played(latest.current.view, start, seconds, still));
    },
    [run],
  );
  return { moment: put(view, moment, moment.across), playing, set, step, play };
}

export function Transport(props: {
  readonly view: Pick<View, 'laps' | 'repeats'>;
  readonly turning: Turning;
  readonly moment: string;
}) {
  const { view, turning, moment } = props;
  const { playing, play, step } = turning;
  return (
    <div class="lw-transport" role="group" aria-label="Turn the mechanism">
      <button type="button" title="Step back (Shift+Space)" onClick={() => step(-1)}>
        <Icon d="M11 3L5 8L11 13ZM3 3H5V13H3Z" /> <span class="lw-aside">Step back</span>
      </button>
      <button type="button" aria-pressed={playing} title={playing ? 'Pause' : 'Play'} onClick={() => play(!playing)}>
        <Icon d={playing ? 'M4 3H7V13H4ZM9 3H12V13H9Z' : 'M4 2.5L13 8L4 13.5Z'} />{' '}
        <span class="lw-aside">{playing ? 'Pause' : 'Play'}</span>
      </button>
      <button type="button" title="Step forward (Space)" onClick={() => step(1)}>
        <Icon d="M5 3L11 8L5 13ZM11 3H13V13H11Z" /> <span class="lw-aside">Step forward</span>
      </button>
      <span class="lw-moment" aria-live={playing ? 'off' : 'polite'}>
        {moment}
        {!view.repeats && view.laps > 1 && `, count ${turning.moment.lap + 1} of ${view.laps}`}
      </span>
    </div>
  );
}

const Icon = ({ d }: { d: string }) => (
  <svg class="lw-icon" width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
    <path d={d} />
  </svg>
);
