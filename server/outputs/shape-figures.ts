/** The figures of shape as the command line prints them: keys, stacks, and how near everything comes. */
import { inWords } from '../checks/clashes.ts';
import type { Extreme, Figures } from '../reckon/figures.ts';
import { degrees, wrapped } from '../reckon/motion/angles.ts';
import type { Encounters } from '../reckon/shape/encounters.ts';
import type { Encounter } from '../reckon/shape/over-turn.ts';
import type { Depth } from '../reckon/shape/stack.ts';
import { rounded, roundedThrough } from './rounded.ts';

// ---- JSON --------------------------------------------------------------------------

/** What the contract has of keys, and beside it the stacks and everything that may meet. */
export function shapeJson({ keyed, stack, encounters }: Figures) {
  const { grid, clearances, posts, bars, windows } = encounters;
  return {
    keys: keyed.keys.map(({ name, waysOn, play, shaftRadius, boreRadius }) => ({
      name,
      waysOn,
      playDeg: rounded(degrees(play)),
      shaftRadius: rounded(shaftRadius),
      boreRadius: rounded(boreRadius),
    })),
    stack: {
      depth: rounded(stack.depth),
      levels: stack.levels.map(({ level, ...depth }) => ({ level, ...depthJson(depth) })),
      parts: stack.parts.map(({ kind, name, shaft, level, ...depth }) => ({
        kind,
        name,
        shaft,
        ...(level !== undefined && { level }),
        ...depthJson(depth),
      })),
      followers: stack.followers.map(({ segment, cam, level, stem }) => ({
        segment,
        cam,
        level,
        stem: depthJson(stem),
      })),
    },
    grid,
    clearances: clearances.map(({ between, depth, ...one }) => ({ between, ...encounterJson(one), ...shared(depth) })),
    posts: posts.map(({ of, against, depth, byDesign, ...one }) => ({
      of,
      against,
      ...encounterJson(one),
      ...(byDesign && { byDesign }),
      ...shared(depth),
    })),
    bars: bars.map(({ segments, plane, ...one }) => ({ segments, plane, ...encounterJson(one) })),
    windows: roundedThrough(windows),
    untold: [...keyed.unreckoned, ...encounters.unreckoned],
  };
}

const depthJson = ({ from, to }: Depth): Depth => ({ from: rounded(from), to: rounded(to) });

const shared = (depth: Depth) => ({ depth: depthJson(depth) });

function encounterJson({ gap, within, turn, touching, anyStand, moment }: Encounter & { readonly moment?: number }) {
  return {
    gap: rounded(gap),
    within: rounded(within),
    ...(turn !== undefined && { turnDeg: rounded(degrees(turn)) }),
    ...(moment !== undefined && { moment: rounded(moment) }),
    ...(touching.length > 0 && { touchingDeg: touching.map((edges) => edges.map((edge) => rounded(degrees(edge)))) }),
    ...(anyStand && { anyStand }),
  };
}

/** The least wall of a cam round its bore, and the cam angle at which it is. */
export function wallJson(figures: Figures, cam: string) {
  const wall = wallOf(figures, cam);
  return wall && { wall: { min: rounded(wall.value), at: rounded(degrees(wrapped(wall.at))) } };
}

/** The wall of a cam or gear between its profile and the bore, where it sits on a key. */
export const wallOf = ({ keyed }: Figures, name: string): Extreme | undefined =>
  keyed.parts.find((part) => part.name === name)?.wall;

// ---- text --------------------------------------------------------------------------

/** More pairs than this are not listed for people. */
const mostPairs = 12;

/** Without what touches because neither of two states where it ends. */
export const apartByDesign = (posts: Encounters['posts']) => posts.filter(({ byDesign }) => !byDesign);

interface NearPair extends Encounter {
  readonly one: string;
  readonly two: string;
}

/** The pairs that come nearest to each other, the nearest first; without those that touch by design. */
export function nearestPairs({ encounters: { clearances, posts, bars } }: Figures): readonly NearPair[] {
  const pairs: NearPair[] = [
    ...clearances.map(({ between: [one, two], ...rest }) => ({ ...rest, one: inWords(one), two: inWords(two) })),
    ...apartByDesign(posts).map(({ of, against, ...rest }) => ({ ...rest, one: inWords(of), two: inWords(against) })),
    ...bars.map(({ segments: [one, two], ...rest }) => ({ ...rest, one: `bar ${one}`, two: `bar ${two}` })),
  ];
  return pairs.sort((a, b) => a.gap - b.gap).slice(0, mostPairs);
}
