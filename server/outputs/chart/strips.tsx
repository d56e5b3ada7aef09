/** The strips under the rows: push, return, play, a step or a rest each; where it is narrow, their ranked list. */
import type { Place } from '../../../language/mechanism.ts';
import type { Layout } from './layout.ts';
import { Mark } from './marks.tsx';
import { firstAcross, lastAcross, xOf } from './placing.ts';
import {
  type PlayedRest,
  type PushedStep,
  type PushFigure,
  type PushPoint,
  playAtMoment,
  playSentence,
  pushAcross,
  pushAtMoment,
  pushSentence,
  type ReturnFigure,
  returnAtMoment,
  returnSentence,
  stripFigures,
} from './strip-figures.ts';
import { mostPlay, mostReturn, type PlacedStrip } from './strip-layout.ts';
import { Label, Words } from './texts.tsx';
import type { View } from './view.ts';
import { fitted, px } from './words.ts';

interface StripsProps {
  readonly view: View;
  readonly layout: Layout;
  readonly onSelect?: (place: Place) => void;
}

interface Standing {
  readonly view: View;
  readonly layout: Layout;
  readonly strip: PlacedStrip;
}

export function Strips({ view, layout, onSelect }: StripsProps) {
  const { strips, tried, quiet } = layout.strips;
  const { push, returns, play } = stripFigures(view);
  return (
    <g>
      {tried && (
        <g>
          <path class="lw-rule" d={`M0 ${px(tried.y - 15.5)}H${layout.width}`} />
          <Words class="lw-tried" placed={tried} />
        </g>
      )}
      {strips.map((strip) => {
        const standing = { view, layout, strip };
        return (
          <g key={strip.kind} role="group" aria-label={strip.words.map(({ text }) => text).join(', ')}>
            <path class="lw-rule" d={`M0 ${px(strip.top + 0.5)}H${layout.width}`} />
            {strip.kind === 'push' && push && <Push {...standing} push={push} />}
            {strip.kind === 'return' && returns && <Return {...standing} returns={returns} />}
            {strip.kind === 'play' && play && <Play {...standing} play={play} />}
            {strip.marks.map((mark) => (
              <Mark key={`${mark.mark.tag} ${mark.x}`} mark={mark} floor={strip.floor} onSelect={onSelect} />
            ))}
            {strip.words.map((word, i) => (
              <Words key={word.y} class={i === 0 ? 'lw-heading' : 'lw-small lw-dim'} placed={word} />
            ))}
            {strip.labels.map((label) => (
              <Label key={`${label.text} ${label.x}`} placed={label} />
            ))}
          </g>
        );
      })}
      {quiet && (
        <g>
          <path class="lw-rule" d={`M0 ${px(quiet.y - 17.5)}H${layout.width}`} />
          <Words class="lw-small lw-dim" placed={quiet} />
        </g>
      )}
    </g>
  );
}

const level = ({ strip: { floor, scale } }: Standing, value: number): number => floor - value * scale;

/** The line from end to end at a value. */
function Level(props: Standing & { value: number; look: string }) {
  const { view, layout, value, look } = props;
  const [from, to] = [firstAcross, lastAcross(view.rests)].map((across) => px(xOf(layout, across)));
  return <path class={look} d={`M${from} ${px(level(props, value))}H${to}`} />;
}

/** Beyond so many steps they are told by the table and the pointer alone. */
const mostTold = 120;

/** One step or rest, for the mouse and for those who hear it. */
function Told(props: Standing & { from: number; to: number; sentence: string }) {
  const { view, layout, strip, from, to, sentence } = props;
  if (view.rests > mostTold) return null;
  const [left, right] = [from, to].map((across) => xOf(layout, across));
  return (
    <g role="img" aria-label={sentence}>
      <title>{sentence}</title>
      <rect
        class="lw-hit"
        x={px(left!)}
        y={px(strip.top + 2)}
        width={px(right! - left!)}
        height={px(strip.bottom - strip.top - 3)}
        fill="none"
      />
    </g>
  );
}

// ---- push ----------------------------------------------------------------------------------------

/** Below this width of a step, px, its greatest and least are drawn alone. */
const leastStep = 4;

const pointsOf = ({ points, steps }: PushFigure, step: number): readonly PushPoint[] =>
  step >= leastStep
    ? points
    : steps.flatMap(({ jammed, peak, peakAt, least, leastAt }) => {
        if (jammed.length > 0) return [{ across: peakAt, total: Infinity, parts: [] }];
        const ends = [
          { across: peakAt, total: peak, parts: [] },
          { across: leastAt, total: least, parts: [] },
        ];
        return ends.sort((one, other) => one.across - other.across);
      });

/** Stretches of points for which something holds. */
function runs<One>(all: readonly One[], holds: (one: One) => boolean): One[][] {
  const found: One[][] = [];
  let open = false;
  for (const one of all) {
    if (holds(one)) {
      if (!open) found.push([]);
      found.at(-1)!.push(one);
    }
    open = holds(one);
  }
  return found;
}

function Push({ push, ...standing }: Standing & { push: PushFigure }) {
  const { view, layout, strip } = standing;
  const { rests, repeats } = view;
  const own = pointsOf(push, layout.step);
  const moved = (by: number) => own.map((point) => ({ ...point, across: point.across + by }));
  const before = repeats ? moved(-rests).filter(({ across }) => across >= firstAcross && across <= 0) : [];
  const after = repeats ? moved(rests).filter(({ across }) => across >= rests && across <= lastAcross(rests)) : [];
  return (
    <g>
      <g class="lw-past">
        <Pushed {...standing} points={before} />
        <Pushed {...standing} points={after} />
      </g>
      <Pushed {...standing} points={own} />
      {layout.step >= leastStep &&
        push.steps.map((step) => <Layers key={step.across} {...standing} {...{ push, step }} />)}
      {push.steps
        .filter(({ jammed }) => jammed.length > 0)
        .map(({ across }) => (
          <rect
            key={across}
            class="lw-jam"
            x={px(xOf(layout, across))}
            y={strip.ceiling}
            width={px(layout.step)}
            height={px(strip.floor - strip.ceiling)}
            fill="url(#lw-hatch)"
          />
        ))}
      <Level {...standing} value={0} look="lw-floor" />
      {strip.limit !== undefined && <Level {...standing} value={strip.limit} look="lw-limit" />}
      {push.limit !== undefined && <PastLimit {...standing} points={own} limit={push.limit} />}
      {push.steps.map((step) => (
        <Told
          key={step.across}
          {...standing}
          from={step.across}
          to={step.across + 1}
          sentence={pushSentence(view, push, step)}
        />
      ))}
    </g>
  );
}

const lineOf = (standing: Standing, points: readonly { across: number; total: number }[]): string =>
  points.map(({ across, total }) => `${px(xOf(standing.layout, across))} ${px(level(standing, total))}`).join('L');

/** The sum of the bars: its ground tinted above zero, hatched below. */
function Pushed({ points, ...standing }: Standing & { points: readonly PushPoint[] }) {
  const { layout, strip } = standing;
  const zero = px(strip.floor);
  const closed = (run: readonly { across: number; total: number }[]): string => {
    const [first, last] = [run[0]!, run.at(-1)!].map(({ across }) => px(xOf(layout, across)));
    return `M${first} ${zero}L${lineOf(standing, run)}L${last} ${zero}Z`;
  };
  return (
    <g>
      {runs(points, ({ total }) => Number.isFinite(total)).map((run) => (
        <g key={run[0]!.across}>
          <path
            class="lw-push-ground"
            d={closed(run.map(({ across, total }) => ({ across, total: Math.max(0, total) })))}
          />
          {run.some(({ total }) => total < 0) && (
            <path
              d={closed(run.map(({ across, total }) => ({ across, total: Math.min(0, total) })))}
              fill="url(#lw-hatch)"
            />
          )}
          <path class="lw-curve" d={`M${lineOf(standing, run)}`} />
        </g>
      ))}
    </g>
  );
}

/** What of the curve lies past the limit. */
function PastLimit({ points, limit, ...standing }: Standing & { points: readonly PushPoint[]; limit: number }) {
  return (
    <g>
      {runs(points, ({ total }) => total > limit && Number.isFinite(total)).map((run) => (
        <path key={run[0]!.across} class="lw-past-curve" d={`M${lineOf(standing, run)}`} />
      ))}
    </g>
  );
}

/**
 * The rising bars as layers of the sum, the one that takes the most at the peak lowest, on what all the others take
 * together. What falling bars give is taken off all alike.
 */
function Layers({ push, step, ...standing }: Standing & { push: PushFigure; step: PushedStep }) {
  const rising = step.shares.filter(({ segment, value }) => value > 0 && step.rising.includes(segment));
  if (step.jammed.length > 0 || rising.length === 0) return null;
  const points = push.points.filter(
    ({ across, total }) => across >= step.across && across <= step.across + 1 && total > 0,
  );
  const order = rising.map(({ segment }) => push.pieces.indexOf(segment));
  const layers = points.map(({ total, parts }) => {
    const all = parts.reduce((sum, part) => sum + Math.max(0, part), 0);
    let reached = parts.reduce((sum, part, i) => (order.includes(i) ? sum : sum + Math.max(0, part)), 0);
    return order.map((i) => {
      const under = reached;
      reached += Math.max(0, parts[i]!);
      return (under * total) / all;
    });
  });
  return (
    <g aria-hidden="true">
      {rising.map(({ segment }, layer) => (
        <path
          key={segment}
          class="lw-layer"
          d={`M${lineOf(
            standing,
            points.map(({ across }, i) => ({ across, total: layers[i]![layer]! })),
          )}`}
        />
      ))}
    </g>
  );
}

// ---- return and play -----------------------------------------------------------------------------

const columnWidth = ({ step }: Layout): number => Math.min(18, Math.max(1, step * 0.36));

/** An upright column from the floor to a value; open at the top where it goes on beyond `most`. */
function Column(props: Standing & { at: number; value: number; most: number; look: string }) {
  const { layout, strip, at, value, most, look } = props;
  const width = columnWidth(layout);
  const left = px(xOf(layout, at) - width / 2);
  const right = px(xOf(layout, at) + width / 2);
  const top = px(level(props, Math.min(value, most)));
  const floor = px(strip.floor);
  const roof = value > most + 1e-9 ? `M${right} ${top}` : `H${right}`;
  return <path class={look} d={`M${left} ${floor}V${top}${roof}V${floor}`} />;
}

function Return({ returns, ...standing }: Standing & { returns: ReturnFigure }) {
  const { view, layout, strip } = standing;
  const most = mostReturn(returns);
  const half = columnWidth(layout) / 2;
  return (
    <g>
      {returns.steps.map((step) => {
        const { across, ratio } = step;
        const middle = xOf(layout, across + 0.5);
        return (
          <g key={across}>
            {ratio === undefined ? (
              <path class="lw-no-fall" d={`M${px(middle - half)} ${px(strip.floor - 6)}H${px(middle + half)}`} />
            ) : (
              <Column
                {...standing}
                at={across + 0.5}
                value={ratio}
                most={most}
                look={ratio < returns.limit - 1e-9 ? 'lw-past-column' : 'lw-column'}
              />
            )}
            <Told {...standing} from={across} to={across + 1} sentence={returnSentence(view, returns, step)} />
          </g>
        );
      })}
      <Level {...standing} value={0} look="lw-floor" />
      <Level {...standing} value={returns.limit} look="lw-limit" />
    </g>
  );
}

/** Root sum square as a column, what it may be at worst as an outline round it. */
function Play({ play, ...standing }: Standing & { play: readonly PlayedRest[] }) {
  const { view } = standing;
  const shown = [
    ...play,
    ...play.filter(({ across }) => across === 0).map((rest) => ({ ...rest, across: view.rests })),
  ];
  return (
    <g>
      {shown.map((rest) => {
        const { across, share, worstShare } = rest;
        const past = across === view.rests;
        return (
          <g key={across} class={past ? 'lw-past' : undefined}>
            <Column {...standing} at={across} value={worstShare} most={mostPlay} look="lw-worst" />
            <Column
              {...standing}
              at={across}
              value={share}
              most={mostPlay}
              look={share > 1 + 1e-9 ? 'lw-past-column' : 'lw-column'}
            />
            {!past && <Told {...standing} from={across - 0.5} to={across + 0.5} sentence={playSentence(view, rest)} />}
          </g>
        );
      })}
      <Level {...standing} value={0} look="lw-floor" />
      <Level {...standing} value={1} look="lw-limit" />
    </g>
  );
}

// ---- the pointer's moment ------------------------------------------------------------------------

/** What each strip is where the pointer stands: beside it, with what it is the sum of. */
export function StripMoments({ view, layout, across }: { view: View; layout: Layout; across: number }) {
  const { push, returns, play } = stripFigures(view);
  const total = push && pushAcross(push, across).total;
  return (
    <g>
      {layout.strips.strips.map((strip) => {
        const [value, about] =
          strip.kind === 'push' && push
            ? pushAtMoment(push, across)
            : strip.kind === 'return' && returns
              ? returnAtMoment(returns, across)
              : play
                ? playAtMoment(view, play, across)
                : ['', ''];
        const [first, second] = strip.moment;
        return (
          <g key={strip.kind}>
            {strip.kind === 'push' && total !== undefined && Number.isFinite(total) && (
              <circle
                class="lw-bead"
                cx={px(xOf(layout, across))}
                cy={px(level({ view, layout, strip }, total))}
                r="3.5"
              />
            )}
            <text class="lw-bold" x="0" y={first}>
              {value}
            </text>
            <text class="lw-small" x="0" y={value ? second : first}>
              {fitted(about, layout.left - 4, 11)}
            </text>
          </g>
        );
      })}
    </g>
  );
}

// ---- narrow --------------------------------------------------------------------------------------

/** The hardest and slackest steps and the tightest rests, ranked, where there is no room for strips. */
export function RankedList({ layout, onSelect }: Omit<StripsProps, 'view'>) {
  const { columns, tried, quiet } = layout.list;
  return (
    <g>
      {tried && <Words class="lw-tried" placed={tried} />}
      {quiet && <Words class="lw-small lw-dim" placed={quiet} />}
      {columns.map(({ kind, heading, lines, marks }) => (
        <g key={kind} role="list" aria-label={heading.text}>
          <text class="lw-bold" x={px(heading.x)} y={heading.y}>
            {heading.text}
          </text>
          {marks.map((mark) => (
            <Mark key={mark.mark.tag} mark={mark} floor={mark.y} onSelect={onSelect} />
          ))}
          {lines.map((line) => (
            <g key={line.y} role="listitem">
              <Label placed={line} />
            </g>
          ))}
        </g>
      ))}
    </g>
  );
}
