/** What every rest position shows, and which followers move in every step. */
import type { Mechanism, Segment } from '../../../language/mechanism.ts';
import type { BarFigure, CamFigure, PositionFigure, StepFigure } from '../figures.ts';
import { barOutline, covered, faceCentre } from '../shape/bars.ts';
import { liftAt } from './lift.ts';

type Seen = BarFigure['seen'];

const almost = 1e-9;

/**
 * What the reader sees of a bar at a lift of its follower. Shown: at least that share of the stroke (with a window:
 * of the window covered); hidden: at most that share. `shown lowered` counts from the other end.
 */
export function viewOf(m: Mechanism, segment: Segment, stroke: number): (lift: number) => Seen {
  const { shown, hidden } = m.limits;
  const share = shareShown(m, segment, stroke);
  return (lift) => {
    const now = share(lift);
    if (now >= shown.value - almost) return 'shown';
    return now <= hidden.value + almost ? 'hidden' : 'between';
  };
}

/** Share of a bar that the reader sees, 0 to 1, at a lift of its follower (mm); `stroke` is that of its cam. */
export function shareShown(m: Mechanism, segment: Segment, stroke: number): (lift: number) => number {
  const { window, bar, azimuth, shown } = segment;
  if (window && bar && azimuth) {
    const outline = barOutline(bar.value, faceCentre(m.segments.flatMap((other) => other.bar?.value ?? [])));
    return (lift) => covered(window.value, outline, azimuth.value, lift);
  }
  return shown.value === 'lowered' ? (lift) => 1 - lift / stroke : (lift) => lift / stroke;
}

/** The symbols of a count's rest positions, `times` worked in; none where the count is longer than `most`. */
export function symbolsOf(m: Mechanism, most: number): string[] {
  if (!m.count) return [];
  const { symbols, times } = m.count;
  if (!(times >= 1) || symbols.length * times > most) return [];
  return Array.from({ length: Math.floor(times) }, () => symbols.map((symbol) => symbol.text)).flat();
}

/** The segments that each symbol shows, for the symbols that the glyph table knows. */
export function litSegments(m: Mechanism): ReadonlyMap<string, ReadonlySet<string>> {
  return new Map(m.glyphs?.value.entries.map((entry) => [entry.symbol, new Set(entry.lit)]));
}

/** A segment and the cam that moves it. */
interface Driven {
  readonly segment: Segment;
  readonly cam: CamFigure;
  /** Lift at each rest position. */
  readonly lifts: readonly number[];
}

function drivenSegments(m: Mechanism, cams: readonly CamFigure[]): Driven[] {
  const drives = new Map<string, CamFigure>();
  for (const cam of cams) for (const name of cam.segments) if (!drives.has(name)) drives.set(name, cam);
  const lifts = new Map(cams.map((cam) => [cam, cam.rests.map((rest) => liftAt(cam.lift, rest).lift)]));
  return m.segments.flatMap((segment) => {
    const cam = drives.get(segment.name);
    return cam && cam.rests.length > 0 ? [{ segment, cam, lifts: lifts.get(cam)! }] : [];
  });
}

/** Every rest position of one count. Segments that no cam moves are left out. */
export function positionsOf(m: Mechanism, symbols: readonly string[], cams: readonly CamFigure[]): PositionFigure[] {
  const driven = drivenSegments(m, cams);
  const lit = litSegments(m);
  const known = new Set(m.glyphs?.value.segments);
  const views = driven.map(({ segment, cam }) => viewOf(m, segment, cam.lift.stroke));
  return symbols.map((symbol, index) => {
    const glyph = lit.get(symbol);
    const bars = driven.map(({ segment, lifts }, i): BarFigure => {
      const lift = lifts[index];
      const seen = views[i](lift);
      if (!glyph || !known.has(segment.name)) return { segment: segment.name, lift, seen };
      return { segment: segment.name, lift, seen, wanted: glyph.has(segment.name) ? 'shown' : 'hidden' };
    });
    return {
      index,
      symbol,
      shown: bars.filter((bar) => bar.seen === 'shown').map((bar) => bar.segment),
      bars,
      wrong: bars.filter((bar) => bar.wanted && bar.wanted !== bar.seen).map((bar) => bar.segment),
    };
  });
}

/** Every forward step of one count. A follower moves if its lift changes by more than what still counts as hidden. */
export function stepsOf(m: Mechanism, symbols: readonly string[], cams: readonly CamFigure[]): StepFigure[] {
  const driven = drivenSegments(m, cams);
  return symbols.map((from, index) => {
    const next = (index + 1) % symbols.length;
    const rising: string[] = [];
    const falling: string[] = [];
    for (const { segment, cam, lifts } of driven) {
      const change = lifts[next] - lifts[index];
      if (Math.abs(change) <= (m.limits.hidden.value + almost) * cam.lift.stroke) continue;
      (change > 0 ? rising : falling).push(segment.name);
    }
    return { index, from, to: symbols[next], rising, falling };
  });
}
