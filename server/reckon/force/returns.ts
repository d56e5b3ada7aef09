/** What returns the bars: springs of their own, bands over their hooks, their weight. */
import { isUnclear, type Mechanism, type Point, type Segment } from '../../../language/mechanism.ts';
import { type Told, want } from '../missing.ts';
import { positive } from '../shape/followers.ts';
import { type Anchor, beltAround } from './belt.ts';
import { coilFigure } from './coils.ts';
import { bandTension } from './rubber.ts';

/** Pull on one segment, N: back along its slide, and across it (to its left positive). */
export interface Pull {
  back: number;
  across: number;
}

export interface Returns {
  /** Segments that a spring or a band returns. */
  readonly returned: ReadonlySet<string>;
  readonly bands: readonly ReckonedBand[];
  /** Pulls of springs and bands on all segments, in the order of the mechanism, at these lifts (mm, same order). */
  readonly pullsAt: (lifts: ArrayLike<number>) => Pull[];
}

export interface ReckonedBand {
  readonly name: string;
  /** Tension, N, and stretch (path/loop; not more than 1: slack), at these lifts. */
  readonly at: (lifts: ArrayLike<number>) => { readonly tension: number; readonly stretch: number };
}

/** The springs and bands whose numbers are known; `told` says what the others lack. */
export function returnsOf(m: Mechanism, told: Told): Returns {
  const index = new Map(m.segments.map(({ name }, i) => [name, i]));
  const springs = m.springs.flatMap((spring) => {
    const rate = positive(spring.rate) ?? rateOfCoil(spring);
    if (rate === undefined) want(told, spring, 'push and return', 'rate');
    if (!spring.preload) want(told, spring, 'push and return', 'preload');
    const preload = spring.preload?.value;
    if (rate === undefined || preload === undefined || preload < 0) return [];
    return spring.returns.flatMap(({ name }) => (index.has(name) ? [{ at: index.get(name)!, rate, preload }] : []));
  });
  const bands = m.bands.flatMap((band) => bandOf(m, band, index, told) ?? []);
  const slides = m.segments.map(slideOf);
  return {
    returned: new Set([
      ...springs.map(({ at }) => m.segments[at].name),
      ...bands.flatMap(({ hooks }) => hooks.map(({ segment }) => m.segments[segment].name)),
    ]),
    bands,
    pullsAt(lifts) {
      const pulls = m.segments.map((): Pull => ({ back: 0, across: 0 }));
      for (const { at, rate, preload } of springs) pulls[at].back += preload + rate * lifts[at];
      for (const { hooks, at } of bands) {
        const { tension, pull } = at(lifts);
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
  };
}

const rateOfCoil = (spring: Mechanism['springs'][number]): number | undefined => {
  const coil = coilFigure(spring);
  return 'because' in coil ? undefined : coil.rate;
};

const slideOf = ({ azimuth }: Segment): Point => ({
  x: Math.cos(azimuth?.value ?? 0),
  y: Math.sin(azimuth?.value ?? 0),
});

interface StrungBand extends ReckonedBand {
  readonly hooks: readonly { readonly segment: number; readonly anchor: number }[];
  readonly at: (lifts: ArrayLike<number>) => {
    readonly tension: number;
    readonly stretch: number;
    /** Of each anchor by the band's two runs, each with a tension of 1. */
    readonly pull: readonly Point[];
  };
}

function bandOf(
  m: Mechanism,
  band: Mechanism['bands'][number],
  index: ReadonlyMap<string, number>,
  told: Told,
): StrungBand | undefined {
  const lacking = (['section', 'loop', 'shear'] as const).filter((property) => band[property] === undefined);
  for (const property of lacking) want(told, band, 'push and return', property);
  const anchors: Anchor[] = [];
  const hooks: { segment: number; anchor: number; at: Point; along: Point }[] = [];
  for (const [i, { name, inside }] of band.around.entries()) {
    const post = m.posts.find((one) => one.name === name);
    const segment = index.get(name);
    if (post) {
      if (!post.at) want(told, post, 'push and return', 'at');
      if (!post.radius) want(told, post, 'push and return', 'radius');
      if (!post.at || !post.radius) return undefined;
      anchors.push({ ...post.at.value, radius: inside ? -post.radius.value : post.radius.value });
    } else if (segment !== undefined) {
      const { hook, azimuth, unclear } = m.segments[segment];
      if (!hook) want(told, m.segments[segment], 'push and return', 'hook');
      if (!hook || !azimuth || isUnclear({ unclear }, 'azimuth')) return undefined;
      anchors.push({ ...hook.value, radius: 0 });
      hooks.push({ segment, anchor: i, at: hook.value, along: slideOf(m.segments[segment]) });
    } else return undefined;
  }
  if (lacking.length > 0 || anchors.length < 2 || !(band.loop!.value > 0)) return undefined;
  const { width, height } = band.section!.value;
  const at = (lifts: ArrayLike<number>) => {
    for (const { segment, anchor, at, along } of hooks) {
      anchors[anchor] = { x: at.x + lifts[segment] * along.x, y: at.y + lifts[segment] * along.y, radius: 0 };
    }
    const { length, pull } = beltAround(anchors);
    const stretch = length / band.loop!.value;
    return { stretch, pull, tension: bandTension(width * height, band.shear!.value, stretch) };
  };
  return { name: band.name, hooks, at };
}
