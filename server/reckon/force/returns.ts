/** What returns the bars: springs of their own, and bands over their hooks. */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import { loopOf } from './bands.ts';
import { after, beltTracer, lengthOf } from './belt.ts';
import { springsOf } from './springs.ts';

/** Pull on one segment, N: back along its slide, and across it (to its left positive). */
export interface Pull {
  back: number;
  across: number;
}

export interface Returns {
  /** Segments that a spring or a band returns. */
  readonly returned: ReadonlySet<string>;
  /** A band ties some of them together. */
  readonly coupled: boolean;
  /** Pull back of a segment's own springs, N, at its lift (mm). */
  readonly sprungBack: (segment: number, lift: number) => number;
  /**
   * Pulls on all segments, in the order of the mechanism, at these lifts (mm, same order). To be read before it is asked
   * again: what it gives then takes their place.
   */
  readonly pullsAt: (lifts: ArrayLike<number>) => readonly Readonly<Pull>[];
  /** Energy that they store, N·mm. */
  readonly storedAt: (lifts: ArrayLike<number>) => number;
}

/** The springs and bands whose numbers are known. */
export function returnsOf(m: Mechanism): Returns {
  const index = new Map(m.segments.map(({ name }, i) => [name, i]));
  const springs = springsOf(m).flatMap(({ name, rate, lowered }) => {
    if (lowered === undefined || lowered < 0) return [];
    const returns = m.springs.find((spring) => spring.name === name)!.returns;
    return returns.flatMap((segment) => {
      const at = index.get(segment.name);
      return at === undefined ? [] : [{ at, rate, preload: lowered }];
    });
  });
  const loops = m.bands.flatMap((band) => {
    const loop = loopOf(m, band);
    if (!loop || loop.tension(0) === undefined) return [];
    /** The segment on whose hook it pulls, by the number of the anchor. */
    const hooked = band.around.map(({ name }) => index.get(name));
    return [{ loop, hooked, traced: beltTracer(hooked.length) }];
  });
  const slides = m.segments.map(slideOf);
  const pulls = m.segments.map((): Pull => ({ back: 0, across: 0 }));
  return {
    returned: new Set(
      [...springs.map(({ at }) => at), ...loops.flatMap(({ hooked }) => hooked)].flatMap((at) =>
        at === undefined ? [] : m.segments[at].name,
      ),
    ),
    coupled: loops.length > 0,
    sprungBack: (segment, lift) =>
      springs.reduce((sum, { at, rate, preload }) => (at === segment ? sum + preload + rate * lift : sum), 0),
    pullsAt(lifts) {
      for (const pull of pulls) {
        pull.back = 0;
        pull.across = 0;
      }
      for (const { at, rate, preload } of springs) pulls[at].back += preload + rate * lifts[at];
      for (const { loop, hooked, traced } of loops) {
        const anchors = loop.at((name) => lifts[index.get(name)!]);
        const trace = traced(anchors);
        const tension = loop.tension(lengthOf(anchors, trace)) ?? 0;
        if (tension === 0) continue;
        const { touched, dx, dy } = trace;
        for (let k = 0; k < touched.length; k++) {
          const segment = hooked[touched[k]];
          if (segment === undefined) continue;
          const out = after(touched, k);
          const [x, y] = [dx[out] - dx[k], dy[out] - dy[k]];
          const along = slides[segment];
          pulls[segment].back -= tension * (x * along.x + y * along.y);
          pulls[segment].across += tension * (y * along.x - x * along.y);
        }
      }
      return pulls;
    },
    storedAt(lifts) {
      const coiled = springs.map(({ at, rate, preload }) => {
        // A spring's force reaches back to its free length, whatever holds it at its preload.
        const most = preload + rate * lifts[at];
        return rate > 0 ? (most * most) / (2 * rate) : most * lifts[at];
      });
      const strung = loops.map(({ loop, traced }) => {
        const anchors = loop.at((name) => lifts[index.get(name)!]);
        return loop.stored(lengthOf(anchors, traced(anchors)));
      });
      return [...coiled, ...strung].reduce((sum, energy) => sum + energy, 0);
    },
  };
}

const slideOf = ({ azimuth }: Segment): Point => ({
  x: Math.cos(azimuth?.value ?? 0),
  y: Math.sin(azimuth?.value ?? 0),
});
