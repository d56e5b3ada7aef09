/** What every rest position shows, and which followers move in every step. */
import { isUnclear, type Mechanism, type Segment } from '../../../language/mechanism.ts';
import type { BarFigure, CamFigure, PositionFigure, StepFigure } from '../figures.ts';
import { barOutline, covered, faceCentre } from '../shape/bars.ts';
import { positive } from '../shape/followers.ts';
import { liftAt } from './lift.ts';

type Seen = BarFigure['seen'];

const almost = 1e-9;

/** What a share of a bar counts as: shown from `limits.shown` on, hidden up to `limits.hidden`. */
export function seenAs({ limits: { shown, hidden } }: Mechanism, share: number): Seen {
  if (share >= shown.value - almost) return 'shown';
  return share <= hidden.value + almost ? 'hidden' : 'between';
}

/**
 * Share of a bar that the reader sees, 0 to 1, at a lift of its follower (mm), of the `stroke` of its cam; with a
 * window, of the window that it covers. `shown lowered` counts from the other end.
 */
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

/** The segments that no cam names; none as long as no cam is written, or one is not written out. */
export function undriven(m: Mechanism): Segment[] {
  const unsaid = isUnclear(m, 'cam') || m.cams.some((cam) => !cam.segments.length || isUnclear(cam, 'drives'));
  if (!m.cams.length || unsaid) return [];
  const driven = new Set(m.cams.flatMap((cam) => cam.segments.map(({ name }) => name)));
  return m.segments.filter(({ name }) => !driven.has(name));
}

/** Every rest position of one count. Segments whose cam is not reckoned yet are left out. */
export function positionsOf(m: Mechanism, symbols: readonly string[], cams: readonly CamFigure[]): PositionFigure[] {
  const driven = new Map(drivenSegments(m, cams).map((one) => [one.segment, one]));
  const still = new Set(undriven(m));
  const lit = litSegments(m);
  const known = new Set(m.glyphs?.value.segments);
  const standing = m.segments
    .filter((segment) => driven.has(segment) || still.has(segment))
    .map((segment) => {
      const { cam, lifts } = driven.get(segment) ?? {};
      const stroke = cam?.lift.stroke ?? positive(segment.stroke) ?? 1;
      return { segment, lifts, share: shareShown(m, segment, stroke) };
    });
  return symbols.map((symbol, index) => {
    const glyph = lit.get(symbol);
    const bars = standing.map(({ segment, lifts, share: shareAt }): BarFigure => {
      const lift = lifts?.[index] ?? 0;
      const share = shareAt(lift);
      const bar = { segment: segment.name, lift, share, seen: seenAs(m, share) };
      if (!glyph || !known.has(segment.name)) return bar;
      return { ...bar, wanted: glyph.has(segment.name) ? 'shown' : 'hidden' };
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
