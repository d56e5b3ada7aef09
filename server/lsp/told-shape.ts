/** What hover tells of the shape of parts: depth in the stack, the wall round the bore, and what comes nearest. */
import { inWords, isSlider, type Meeting } from '../checks/clashes.ts';
import { apartByDesign } from '../outputs/shape-figures.ts';
import type { Figures } from '../reckon/figures.ts';
import { degrees } from '../reckon/motion/angles.ts';
import { type Encounter, touch } from '../reckon/shape/over-turn.ts';
import type { Depth } from '../reckon/shape/stack.ts';
import { deg, mm, round } from './said.ts';

const behind = ({ from, to }: Depth): string => `${mm(from)} to ${mm(to)} behind the face`;

/** Depth, wall and nearest neighbour of a cam with its flange, of a gear, or of a shaft's keyed section. */
export function turningLines(figures: Figures, kind: 'cam' | 'gear' | 'shaft', name: string): (string | undefined)[] {
  const { stack, keyed, cams, encounters } = figures;
  const layers = stack.parts.filter((part) => part.name === name && part.kind !== 'spacer');
  const depth = layers.length > 0 && {
    from: Math.min(...layers.map(({ from }) => from)),
    to: Math.max(...layers.map(({ to }) => to)),
  };
  const level = layers.find((layer) => layer.level !== undefined)?.level;
  const flange = layers.some((layer) => layer.kind === 'flange') ? ', with its flange' : '';
  const part = keyed.parts.find((one) => one.kind === kind && one.name === name);
  const cam = cams.find((one) => kind === 'cam' && one.name === name);
  const { lostLift: lost, faceReach: face } = cam ?? {};
  const own = (one: Meeting) =>
    !isSlider(one) && one.name === name && (one.kind === kind || (kind === 'cam' && one.kind === 'flange'));
  const { clearances, posts } = encounters;
  return [
    depth ? `${level === undefined ? '' : `level ${level}: `}${behind(depth)}${flange}` : undefined,
    lost && lost.value > 5e-4 ? `undercut takes ${mm(lost.value)} of its lift at ${deg(lost.at)}` : undefined,
    face && `touches the face of ${cam!.segments[0]} up to ${mm(face.value)} off its middle at ${deg(face.at)}`,
    part?.wall &&
      `wall ${round(part.wall.value, 2)} mm round the bore of ${part.key}${kind === 'cam' ? ` at ${deg(part.wall.at)}` : ''}`,
    nearest(figures, own, [
      ...clearances.map(({ between: [one, two], ...rest }) => ({ ...rest, one, two })),
      ...apartByDesign(posts).map(({ of: one, against: two, ...rest }) => ({ ...rest, one, two })),
    ]),
  ];
}

/** Depth of a follower, and what comes nearest to it, its post and guide, and to the bar on its plane. */
export function slidingLines(figures: Figures, name: string, swings: boolean): (string | undefined)[] {
  const { stack, encounters } = figures;
  const follower = stack.followers.find(({ segment }) => segment === name);
  const bars = encounters.bars.filter(({ segments }) => segments.includes(name));
  const bar = leastOf(bars);
  const other = bar?.segments[0] === name ? bar.segments[1] : bar?.segments[0];
  return [
    follower && `its ${swings ? 'arm' : 'stem'} lies at level ${follower.level}, ${behind(follower.stem)}`,
    nearest(
      figures,
      (one) => isSlider(one) && one.segment === name,
      apartByDesign(encounters.posts).map(({ of: one, against: two, ...rest }) => ({ ...rest, one, two })),
    ),
    bar && `its bar ${gapWords(figures, bar, `bar ${other}`)}`,
  ];
}

/** On how many ways a key lets a part go on, and how far that can turn. */
export function keyLines({ keyed }: Figures, name: string): (string | undefined)[] {
  const key = keyed.keys.find((one) => one.name === name);
  const because = keyed.unreckoned.find(({ of }) => of === name)?.because;
  if (!key) return [because];
  const { turned, flipped } = key.waysOn;
  const walls = keyed.parts.flatMap(({ key: on, name: part, wall }) => (on === name && wall ? [{ part, wall }] : []));
  const thinnest = walls.reduce<(typeof walls)[number] | undefined>(
    (least, one) => (least && least.wall.value <= one.wall.value ? least : one),
    undefined,
  );
  return [
    `parts go on ${turned} way${turned === 1 ? '' : 's'}, turned over ${flipped}; play ${deg(key.play)}`,
    thinnest && `thinnest wall round its bore: ${round(thinnest.wall.value, 2)} mm, of ${thinnest.part}`,
  ];
}

type Pair = Encounter & { readonly one: Meeting; readonly two: Meeting };

/** The pair, one of which is the part's own, that comes nearest. */
function nearest(figures: Figures, own: (one: Meeting) => boolean, pairs: readonly Pair[]): string | undefined {
  const least = leastOf(pairs.filter(({ one, two }) => own(one) || own(two)));
  if (!least) return undefined;
  const [mine, other] = own(least.one) ? [least.one, least.two] : [least.two, least.one];
  const words = inWords(mine);
  return `${words.charAt(0).toLowerCase()}${words.slice(1)} ${gapWords(figures, least, inWords(other))}`;
}

const leastOf = <E extends Encounter>(all: readonly E[]): E | undefined =>
  all.reduce<E | undefined>((least, one) => (least && least.gap <= one.gap ? least : one), undefined);

/** "comes within 0.4 mm of camD when upper has turned 217.4°"; no finer than the grid. */
function gapWords({ leading, encounters }: Figures, { gap, turn, anyStand }: Encounter, other: string): string {
  const fine = encounters.grid === 'fine';
  const size = `${round(Math.abs(gap), fine ? 2 : 1)} mm`;
  const when =
    turn === undefined || leading === undefined
      ? ''
      : ` when ${leading} has turned ${round(degrees(turn), fine ? 1 : 0)}°`;
  const any = anyStand ? ', at some stand' : '';
  return gap < -touch ? `runs ${size} into ${other}${when}${any}` : `comes within ${size} of ${other}${when}${any}`;
}
