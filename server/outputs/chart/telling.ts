/** Where to look: the cam and the moment at which a finding, or the whole design, shows best. */
import { meets, nameOf } from '../../checks/clashes.ts';
import type { Encounter } from '../../reckon/shape/over-turn.ts';
import { flanksAcross } from './curve.ts';
import { layerOf } from './plan.tsx';
import { stripAt } from './strip-layout.ts';
import { home, type Moment, put } from './turning.ts';
import { acrossOfAngle, barsAt, momentAt, type Row, steepestRow, type Tagged, tells, type View } from './view.ts';

export interface Telling {
  readonly row?: Row;
  readonly moment: Moment;
}

/** Where a finding is seen: for what touches, the level and the moment at which it does so most. */
export function tellingOf(view: View, found: Tagged): Partial<Telling> {
  const marked = view.rows.find(({ marks }) => marks.some(({ tag }) => tag === found.tag));
  const worst = worstOf(view, found);
  if (worst) {
    const shows = (row: Row) => layerOf(view, row)?.clashes.some((clash) => clash.found?.tag === found.tag);
    const row = marked && shows(marked) ? marked : (view.rows.find(shows) ?? marked);
    return { row, moment: worst.moment === undefined ? undefined : momentAt(view, worst.moment) };
  }
  const at = stripAt(view, found) ?? marked?.marks.find(({ tag }) => tag === found.tag)?.at[0];
  return { row: marked, moment: at === undefined ? undefined : put(view, home, at) };
}

/** The deepest of the encounters that a finding tells. */
function worstOf({ figures }: View, { finding }: Tagged) {
  const { code } = finding;
  const { clearances, posts, bars } = figures.encounters;
  const all: (Encounter & { readonly moment?: number; readonly names: readonly string[] })[] = [
    ...(code === 'neighbour-clash' || code === 'large-nose' ? clearances : []).map((one) => ({
      ...one,
      names: one.between.map(({ name }) => name),
    })),
    ...(code === 'post-clash' || code === 'large-nose' ? posts : []).map((one) => ({
      ...one,
      names: [one.of, one.against].map(nameOf),
    })),
    ...(code === 'bar-clash' ? bars : []).map((one) => ({ ...one, names: one.segments })),
  ];
  return all
    .filter((one) => meets(one) && tells(finding, one.names))
    .reduce<(typeof all)[number] | undefined>((worst, one) => (worst && worst.gap <= one.gap ? worst : one), undefined);
}

/** What a standing drawing shows: the worst clash, where there is one, else the steepest flank. */
export function tellingView(view: View): Telling {
  for (const found of view.findings) {
    const { row, moment } = worstOf(view, found) ? tellingOf(view, found) : {};
    if (row) return { row, moment: moment ?? steepestMoment(view) };
  }
  return { row: steepestRow(view), moment: steepestMoment(view) };
}

const steepestMoment = (view: View): Moment => put(view, home, steepestAcross(view));

/**
 * The steepest moment of all, as far as it is reckoned; of flanks that are alike one that no finding points at, and of
 * those the one in whose step the fewest other bars move.
 */
function steepestAcross(view: View): number {
  const cam = steepestRow(view)?.figure;
  if (!cam?.pressureAngle || view.rests === 0) return 0;
  const { value, at } = cam.pressureAngle;
  const [first = 0] = acrossOfAngle(view, cam, at);
  const flanks = flanksAcross(view, cam);
  const steepest = flanks.find(({ from, to }) => first > from && first < to);
  if (!steepest) return first;
  const fromFoot = steepest.rises ? first - steepest.from : steepest.to - first;
  const moving = (across: number) => barsAt(view, across).filter(({ seen }) => seen === 'between').length;
  const marked = (across: number) =>
    view.rows.some(({ marks }) => marks.some(({ at }) => at.some((point) => Math.abs(point - across) < 0.3)));
  const cost = (across: number) => moving(across) + (marked(across) ? view.mechanism.segments.length : 0);
  return flanks
    .filter(({ lobe, side }) => (cam.flankAngles?.[lobe]?.[side] ?? 0) > value - 1e-6)
    .map(({ from, to, rises }) => (rises ? from + fromFoot : to - fromFoot))
    .filter((across) => across >= 0 && across <= view.rests)
    .reduce((best, across) => (cost(across) < cost(best) ? across : best), first);
}
