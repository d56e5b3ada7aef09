/**
 * Ease: what costs nothing (which bars are shown raised and which lowered, the law of motion, the windows of rise and fall,
 * the sense in which the shafts turn) searched for the lowest peak push. Exhaustive over a stated grid.
 */
import type { Change, Finding, Law, Mechanism, Segment } from '../../language/mechanism.ts';
import { finding } from '../checks/index.ts';
import { newlyGrave } from '../checks/tally.ts';
import { type Figures, reckoning } from '../reckon/figures.ts';
import { type Friction, frictionInUse, runs } from '../reckon/force/model.ts';
import { forcesOf } from '../reckon/force/steps.ts';
import { paused } from '../reckon/pausing.ts';
import { touch } from '../reckon/shape/over-turn.ts';
import {
  chosen,
  type Easy,
  easyCams,
  type LeftAlone,
  triesTurning,
  type Unmoved,
  unmovedBy,
  type Window,
} from './candidates.ts';
import { type Effort, effortOf, measureOf } from './effort.ts';
import { Shortlist, searchOver } from './grid.ts';
import { best, concerned, local } from './proof.ts';
import { written } from './written.ts';

/** What was tried, to the last combination. */
export interface Grid {
  /** Segments that were tried raised and lowered. */
  readonly flips: readonly string[];
  /** Beside those that the design has. */
  readonly laws: readonly Law[];
  readonly windows: readonly Window[];
  /** Both senses of turning were tried. */
  readonly turned: boolean;
  readonly combinations: number;
}

export interface Eased {
  /** What `peak` is of. */
  readonly measure: 'push' | 'torque';
  readonly friction: Friction;
  readonly before: Effort;
  /** Absent where nothing in the grid is better and passes all checks. */
  readonly after?: Effort;
  readonly mechanism?: Mechanism;
  readonly changes: readonly Change[];
  /** The changes in a maker's words. */
  readonly words: readonly string[];
  /** What would newly be worth knowing: no errors and no warnings are among it. */
  readonly notes: readonly string[];
  readonly leftAlone: readonly LeftAlone[];
  /** What was not tried, as no push depends on it. */
  readonly unmoved: readonly Unmoved[];
  /** What it takes the other way, where it runs one way only: another order of the symbols, so that it is not tried. */
  readonly backwards?: { readonly before: number; readonly after?: number };
  readonly grid: Grid;
  /** No combination of the grid is better and passes all checks. */
  readonly proved: boolean;
}

/** Why it cannot be searched, and what would allow it. */
export interface Uneasy {
  readonly because: string;
}

/** Most cams whose bars are tried both ways. */
const mostFlips = 16;

/** Searches; yields the share done, 0 to 1, and pauses often. Whoever stops asking has cancelled it. */
export function* easing(m: Mechanism): Generator<number, Eased | Uneasy> {
  const given = yield* paused(reckoning(m), 0);
  const because = whyNot(m, given);
  if (because !== undefined) return { because };
  const { easy, leftAlone } = easyCams(m, given.cams);
  if (!easy.length)
    return {
      because:
        'the lobes of all cams are stated as angles, so that there is nothing to try; lobes that follow from count can be eased',
    };
  const flipping = yield* flippable(m, given, easy, leftAlone);
  const turned = triesTurning(m, leftAlone);
  const search = searchOver(m, given, easy, flipping, turned);
  const before = effortOf(m, given, given.forces);
  const kept = new Shortlist(before.peak);
  for (const [i, config] of search.configs.entries()) {
    yield* paused(search.try(config, kept), 0.1 + (0.5 * i) / search.configs.length);
  }
  const outcome = yield* best(m, given, before, easy, flipping, kept);
  const { found } = outcome;
  const { changes, words } = outcome.choice ? written(m, easy, outcome.choice) : { changes: [], words: [] };
  return {
    measure: measureOf(m, given),
    friction: frictionInUse(m),
    before,
    ...(found && { after: found.effort, mechanism: found.mechanism }),
    changes,
    words,
    notes: outcome.notes ?? [],
    leftAlone,
    unmoved: unmovedBy(m),
    ...(m.runs.value !== 'either' && {
      backwards: {
        before: backwardsPeak(m, given),
        ...(found && { after: backwardsPeak(found.mechanism, found.figures) }),
      },
    }),
    grid: {
      flips: flipping.flatMap((i) => easy[i].segments.map(({ name }) => name)),
      laws: search.laws,
      windows: search.windows,
      turned,
      combinations: search.configs.length * 2 ** flipping.length,
    },
    proved: outcome.proved,
  };
}

/** Numbers of the cams whose bars are tried both ways; notes why the others are not. */
function* flippable(
  m: Mechanism,
  given: Figures,
  easy: readonly Easy[],
  leftAlone: LeftAlone[],
): Generator<number, number[]> {
  const before = yield* paused(finding(m, given), 0);
  const flipping: number[] = [];
  for (const [i, { cam, flips, segments }] of easy.entries()) {
    if (!flips) continue;
    const share = (0.1 * i) / easy.length;
    if (flipping.length === mostFlips) {
      leftAlone.push({ cam: cam.name, because: `more than ${mostFlips} cams; only its law and window are tried` });
      continue;
    }
    const turned = chosen(m, easy, { flipped: new Set([i]) });
    const figures = yield* paused(reckoning(turned), share);
    const grave = newlyGrave(before, yield* paused(finding(turned, figures), share));
    const own = grave.find(({ code, about }) => local.has(code) && concerned(about, easy).every((one) => one === i));
    const met = own ? undefined : discMet(figures, grave, segments);
    if (!own && !met) flipping.push(i);
    else {
      const way = segments[0]?.shown.value === 'raised' ? 'lowered' : 'raised';
      leftAlone.push({
        cam: cam.name,
        because: `shown ${way}, ${met ?? `there would be ${own!.code}`}; only its law and window are tried`,
      });
    }
  }
  return flipping;
}

/** What of a bar would run into a disc, and which: as no law and no window changes how far it goes, none of them would mend it. */
function discMet({ encounters }: Figures, grave: readonly Finding[], segments: readonly Segment[]): string | undefined {
  for (const { of, against, gap } of encounters.posts) {
    if (!(gap < -touch) || !segments.some(({ name }) => name === of.segment)) continue;
    if (against.kind !== 'flange' && against.kind !== 'gear') continue;
    const told = grave.some(
      ({ code, about }) => code === 'post-clash' && [of.segment, against.name].every((one) => about.includes(one)),
    );
    if (told)
      return `its ${of.kind} would run into the ${against.kind === 'gear' ? 'gear' : 'flange of'} ${against.name}`;
  }
  return undefined;
}

/** The peak of the same mechanism stepped the other way. */
function backwardsPeak(m: Mechanism, figures: Figures): number {
  const runsBack = { ...m, runs: { ...m.runs, value: runs(m, 'forward') ? 'reverse' : 'forward' } } as const;
  return effortOf(runsBack, figures, forcesOf(runsBack, figures, { defaults: [], missing: [] }, 'in use')).peak;
}

function whyNot(m: Mechanism, figures: Figures): string | undefined {
  if (!m.count || figures.positions.length < 2)
    return 'there is no count of two symbols or more, so that there are no steps to ease';
  if (!m.cams.length) return 'there are no cams';
  if (!m.springs.length && !m.bands.length)
    return 'no spring and no band returns the bars, so that no push can be reckoned; give a spring';
  if (figures.forces.cases.length) return undefined;
  const wanted = figures.missing.map(({ figure, wants }) => `${wants} (${figure})`);
  return `the push cannot be reckoned${wanted.length ? `; it wants ${wanted.slice(0, 4).join(', ')}` : '; lobewright check tells why'}`;
}
