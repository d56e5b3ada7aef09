/** What returns the bars: springs of their own, and bands over their hooks. */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import { loopOf } from './bands.ts';
import { beltAround } from './belt.ts';
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
  /** Pulls on all segments, in the order of the mechanism, at these lifts (mm, same order). */
  readonly pullsAt: (lifts: ArrayLike<number>) => Pull[];
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
    const hooks = band.around.flatMap(({ name }, anchor) => {
      const segment = index.get(name);
      return segment === undefined ? [] : [{ segment, anchor }];
    });
    return [{ loop, hooks }];
  });
  const slides = m.segments.map(slideOf);
  return {
    returned: new Set(
      [...springs, ...loops.flatMap(({ hooks }) => hooks.map(({ segment }) => ({ at: segment })))].map(
        ({ at }) => m.segments[at].name,
      ),
    ),
    coupled: loops.length > 0,
    sprungBack: (segment, lift) =>
      springs.reduce((sum, { at, rate, preload }) => (at === segment ? sum + preload + rate * lift : sum), 0),
    pullsAt(lifts) {
      const pulls = m.segments.map((): Pull => ({ back: 0, across: 0 }));
      for (const { at, rate, preload } of springs) pulls[at].back += preload + rate * lifts[at];
      for (const { loop, hooks } of loops) {
        const { length, pull } = beltAround(loop.at((name) => lifts[index.get(name)!]));
        const tension = loop.tension(length) ?? 0;
        if (tension === 0) continue;
        for (const { segment, anchor } of hooks) {
          const { x, y } = pull[anchor];
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
      const strung = loops.map(({ loop }) =>
        loop.stored(beltAround(loop.at((name) => lifts[index.get(name)!])).length),
      );
      return [...coiled, ...strung].reduce((sum, energy) => sum + energy, 0);
    },
  };
}

const slideOf = ({ azimuth }: Segment): Point => ({
  x: Math.cos(azimuth?.value ?? 0),
  y: Math.sin(azimuth?.value ?? 0),
});
