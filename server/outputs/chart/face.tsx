/** The face: the bars as their reader sees them, large with windows and names, or small at a rest. */
import type { Place, Point } from '../../../language/mechanism.ts';
import { meets } from '../../checks/clashes.ts';
import { area, type Box, boxOf, common, nearest, type Polygon } from '../../reckon/shape/convex.ts';
import type { BarGapFigure } from '../../reckon/shape/face.ts';
import { near } from '../../reckon/shape/over-turn.ts';
import { FrameLines, withFrame } from './frame-lines.tsx';
import { LedSign, Overlap } from './marks.tsx';
import { type Patch, type PlacedText, patchOf, placeSigns } from './placing.ts';
import { closedPath } from './shapes.ts';
import {
  type BarStanding,
  type BarState,
  type DrawnBar,
  type FaceBar,
  type FacePlan,
  findingOn,
  liftedBar,
  momentAt,
  symbolAt,
  type View,
} from './view.ts';
import { fitted, listed, mm, plain, px, textWidth } from './words.ts';

export interface Fitting {
  readonly scale: number;
  readonly width: number;
  /** Transform from mm (y up) to the drawing's px. */
  readonly transform: string;
}

/** Fits a box of the face into a height (and a greatest width), its upper left corner at x, y. */
export function fitting(box: Box, x: number, y: number, height: number, widest: number): Fitting {
  const [wide, tall] = [box.right - box.left, box.top - box.bottom];
  const scale = Math.min(height / tall, widest / wide);
  const down = y + (height - tall * scale) / 2;
  return {
    scale,
    width: wide * scale,
    transform: `translate(${px(x - box.left * scale)} ${px(down + box.top * scale)})`,
  };
}

export const middleOf = (bar: FaceBar, lift: number) => {
  const points = liftedBar(bar, lift);
  const sum = points.reduce((total, { x, y }) => ({ x: total.x + x, y: total.y + y }), { x: 0, y: 0 });
  return { x: sum.x / points.length, y: sum.y / points.length };
};

const stateOf = <State extends BarStanding>(states: readonly State[], bar: FaceBar): State | undefined =>
  states.find(({ segment }) => segment.name === bar.segment.name);

/** What the bars show, in words: "shows a, b and c; d is between". */
export function faceSentence(states: readonly BarState[]): string {
  const named = (seen: BarState['seen']) => states.filter((state) => state.seen === seen).map((s) => s.segment.name);
  const [shown, between] = [named('shown'), named('between')];
  const parts = [shown.length > 0 ? `shows ${listed(shown)}` : 'shows nothing'];
  if (between.length > 0) parts.push(`${listed(between)} ${between.length > 1 ? 'stand' : 'stands'} between`);
  const wrong = states.filter((state) => state.wrong).map((state) => state.segment.name);
  if (wrong.length > 0) parts.push(`wrong: ${listed(wrong)}`);
  return parts.join('; ');
}

/** A small face with its centre line at `x`, its top at `y`. */
export function SmallFace(props: {
  view: FacePlan;
  states: readonly BarStanding[];
  x: number;
  y: number;
  height: number;
  widest: number;
}) {
  const { view, states, x, y, height, widest } = props;
  if (view.bars.length === 0) return <Pips states={states} x={x} y={y} height={height} widest={widest} />;
  const { scale, width, transform } = fitting(view.face, 0, y, height, widest);
  return (
    <g class="lw-small-face" transform={`translate(${px(x - width / 2)} 0)`}>
      <g transform={transform}>
        {view.bars.map((bar) => {
          const state = stateOf(states, bar);
          const seen = state?.seen ?? 'hidden';
          const lift = state?.lift ?? 0;
          const d = closedPath(liftedBar(bar, lift), scale);
          const { x: cx, y: cy } = middleOf(bar, lift);
          const at = `translate(${px(cx * scale)} ${px(-cy * scale)})`;
          return (
            <g key={bar.segment.name}>
              <path class={`lw-${seen}${state?.wrong ? ' lw-wrong-bar' : ''}`} d={d} />
              {state?.wrong && (
                <g transform={at}>
                  <path class="lw-strike" d="M-7 7L7 -7" />
                  <path class="lw-strike-ink" d="M-7 7L7 -7" />
                </g>
              )}
            </g>
          );
        })}
      </g>
    </g>
  );
}

/** Where no segment gives a bar: one square each, in the order of the text. */
function Pips(props: { states: readonly BarStanding[]; x: number; y: number; height: number; widest: number }) {
  const { states, x, y, height, widest } = props;
  const columns = Math.max(1, Math.floor(widest / 9));
  const left = x - (Math.min(columns, states.length) * 9) / 2;
  const rows = Math.ceil(states.length / columns);
  const top = y + Math.max(0, (height - rows * 9) / 2);
  return (
    <g>
      {states.map(({ segment, seen, wrong }, index) => (
        <rect
          key={segment.name}
          class={`lw-${seen}${wrong ? ' lw-wrong-bar' : ''}`}
          x={px(left + (index % columns) * 9 + 1)}
          y={px(top + Math.floor(index / columns) * 9 + 1)}
          width="7"
          height="7"
        />
      ))}
    </g>
  );
}

/** Where on the face the bars of a row sit. */
export function WhereMark({ view, names, x, y }: { view: View; names: readonly string[]; x: number; y: number }) {
  if (view.bars.length === 0) return null;
  const { scale, transform } = fitting(view.face, x, y, 26, 20);
  return (
    <g class="lw-small-face" transform={transform} aria-hidden="true">
      {view.bars.map((bar) => (
        <path
          key={bar.segment.name}
          class={names.includes(bar.segment.name) ? 'lw-shown' : 'lw-hidden'}
          d={closedPath(bar.outline, scale)}
        />
      ))}
    </g>
  );
}

/** The large face, its upper left corner at 0, 0; its own height is `faceHeight`. */
export function Face(props: {
  view: View;
  states: readonly BarState[];
  moment: string;
  width: number;
  height: number;
  /** Segments to outline and name in bold. */
  lit?: readonly string[];
  onSelect?: (place: Place) => void;
}) {
  const { view, states, moment, width, height, lit = [], onSelect } = props;
  const gap = gapNote(view);
  const tall = gap ? height - 20 : height;
  const box = withFrame(view, view.face);
  const { scale, width: wide, transform } = fitting(box, 0, 0, tall, width);
  const centre = { x: (view.face.left + view.face.right) / 2, y: (view.face.bottom + view.face.top) / 2 };
  const middleAt = { x: ((box.left + box.right) / 2) * scale, y: (-(box.bottom + box.top) / 2) * scale };
  const frame = {
    left: middleAt.x - width / 2,
    right: middleAt.x + width / 2,
    top: middleAt.y - tall / 2,
    bottom: middleAt.y + tall / 2,
  };
  const names = view.bars.map((bar) => patchOf(nameOfBar(bar, stateOf(states, bar)?.lift ?? 0, scale, centre)));
  return (
    <g role="group" aria-label={`Face ${moment}: ${faceSentence(states)}`}>
      <title>{`Face ${moment}`}</title>
      <desc>{gap ? `${faceSentence(states)}; ${gap}` : faceSentence(states)}</desc>
      <g transform={`translate(${px((width - wide) / 2)} 0)`}>
        <g transform={transform}>
          <FrameLines view={view} at={({ x, y }) => ({ x: x * scale, y: -y * scale })} scale={scale} />
          <Bars view={view} states={states} scale={scale} lit={lit} onSelect={onSelect} />
          <Gaps view={view} states={states} scale={scale} frame={frame} taken={names} />
        </g>
      </g>
      {gap && (
        <text class="lw-small lw-dim lw-middle" x={px(width / 2)} y={height - 4}>
          {fitted(gap, width, 11)}
        </text>
      )}
      {view.bars.length === 0 && <PipList states={states} width={width} />}
    </g>
  );
}

/** All bars with their windows and names, `scale` px to the mm, the face's origin at 0, 0. */
export function Bars(props: {
  view: View;
  states: readonly BarState[];
  scale: number;
  lit?: readonly string[];
  onSelect?: (place: Place) => void;
}) {
  const { view, states, scale, lit = [], onSelect } = props;
  const centre = { x: (view.face.left + view.face.right) / 2, y: (view.face.bottom + view.face.top) / 2 };
  return (
    <g>
      {view.bars.map((bar, index) => (
        <LargeBar
          key={bar.segment.name}
          index={index}
          bar={bar}
          state={stateOf(states, bar)}
          scale={scale}
          centre={centre}
          chosen={lit.includes(bar.segment.name)}
          onSelect={onSelect}
        />
      ))}
    </g>
  );
}

// ---- gaps --------------------------------------------------------------------------------

/** The pairs of bars worth a dimension: the nearest on each plane if near, and all that touch somewhere in the turn. */
function tellingGaps({ figures }: Pick<View, 'figures'>): readonly BarGapFigure[] {
  const bars = figures.encounters.bars.filter(({ gap }) => gap < near);
  const planes = [...new Set(bars.map(({ plane }) => plane))];
  const least = planes.map((plane) =>
    bars.filter((pair) => pair.plane === plane).reduce((one, other) => (other.gap < one.gap ? other : one)),
  );
  return bars.filter((pair) => least.includes(pair) || meets(pair));
}

/** "a–b touch: 0.4 mm, 3 → 4", of the nearest pair; nothing where none comes near. */
export function gapNote(view: View): string | undefined {
  const [first, ...rest] = tellingGaps(view);
  if (!first) return undefined;
  const nearestPair = rest.reduce((one, other) => (other.gap < one.gap ? other : one), first);
  const { segments, gap, moment, within } = nearestPair;
  const deep = `${plain(Math.abs(gap), within > 0.02 ? 1 : 2)} mm`;
  const pair = segments.join('–');
  const what = meets(nearestPair) ? `${pair} touch: ${deep}` : `least gap ${pair}: ${deep}`;
  return moment === undefined || view.rests === 0 ? what : `${what}, ${stepOf(view, momentAt(view, moment).across)}`;
}

/** The moment in short: "3", "3 → 4". */
function stepOf(view: View, across: number): string {
  const [from, to] = [Math.floor(across), Math.ceil(across)].map((at) => symbolAt(view, at).trim() || 'blank');
  return Number.isInteger(across) ? from : `${from} → ${to}`;
}

/** A pair of bars as it stands now: what they cover together, or their nearest points; mm. */
interface Standing {
  readonly pair: BarGapFigure;
  readonly one: Polygon;
  readonly two: Polygon;
  readonly both?: Polygon;
  readonly ends: readonly [Point, Point];
}

function standingOf(pair: BarGapFigure, view: View, states: readonly BarState[]): Standing | undefined {
  const [one, two] = pair.segments.map((name) => {
    const bar = view.bars.find(({ segment }) => segment.name === name);
    return bar && liftedBar(bar, stateOf(states, bar)?.lift ?? 0);
  });
  if (!one || !two) return undefined;
  const both = common(one, two);
  return both.length > 2 && area(both) > 1e-6
    ? { pair, one, two, both, ends: [both[0], both[0]] }
    : { pair, one, two, ends: nearest(one, two) };
}

/** The gaps that tell most, as they are now; what touches is filled, and carries its finding's sign within a frame. */
function Gaps(props: {
  view: View;
  states: readonly BarState[];
  scale: number;
  frame: Patch;
  taken: readonly Patch[];
}) {
  const { view, states, scale, frame, taken } = props;
  const pairs = tellingGaps(view).flatMap((pair) => standingOf(pair, view, states) ?? []);
  const onDrawing = ({ x, y }: Point): Point => ({ x: x * scale, y: -y * scale });
  const signed = new Set<string>();
  const spots = pairs.flatMap(({ pair, both, ends }) => {
    const found = meets(pair) ? findingOn(view, ['bar-clash'], pair.segments) : undefined;
    if (!found || signed.has(found.tag)) return [];
    signed.add(found.tag);
    return [{ found, to: onDrawing(middle(both ?? ends)) }];
  });
  const labels = pairs.flatMap(({ both, ends }) => (both ? [] : [patchOf(lengthLabel(...ends, scale))]));
  return (
    <g>
      {pairs.map(({ pair, one, two, both, ends }, index) =>
        both ? (
          <Overlap
            key={pair.segments.join()}
            id={`lw-bars-${index}`}
            one={{ d: closedPath(one, scale) }}
            two={{ d: closedPath(two, scale) }}
          />
        ) : (
          <Dimension
            key={pair.segments.join()}
            from={ends[0]}
            to={ends[1]}
            scale={scale}
            title={`gap of ${listed(pair.segments)}`}
          />
        ),
      )}
      {placeSigns(spots, frame, [...taken, ...labels]).map((sign) => (
        <LedSign key={sign.spots[0].found.tag} sign={sign} />
      ))}
    </g>
  );
}

const middle = (points: readonly Point[]): Point => ({
  x: points.reduce((sum, { x }) => sum + x, 0) / points.length,
  y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
});

/** The direction of a length on the drawing, and how long it is, mm. */
function stretchOf(from: Point, to: Point) {
  const apart = Math.hypot(to.x - from.x, to.y - from.y);
  const along = apart > 1e-9 ? { x: (to.x - from.x) / apart, y: (from.y - to.y) / apart } : { x: 1, y: 0 };
  return { apart, along };
}

/** The number of a length, beside its middle. */
function lengthLabel(from: Point, to: Point, scale: number): PlacedText {
  const { apart, along } = stretchOf(from, to);
  const text = mm(apart);
  return {
    text,
    x: ((from.x + to.x) / 2) * scale + Math.abs(along.y) * (textWidth(text, 11) / 2 + 7),
    y: (-(from.y + to.y) / 2) * scale + 4 + Math.abs(along.x) * 14 * Math.sign(along.x * along.y || 1),
    size: 11,
    middle: true,
  };
}

/** A length between two points with its number; mm, y up. */
function Dimension({ from, to, scale, title }: { from: Point; to: Point; scale: number; title: string }) {
  const [a, b] = [from, to].map(({ x, y }) => ({ x: x * scale, y: -y * scale }));
  const { apart, along } = stretchOf(from, to);
  const tick = ({ x, y }: Point) =>
    `M${px(x - 4 * along.y)} ${px(y + 4 * along.x)}L${px(x + 4 * along.y)} ${px(y - 4 * along.x)}`;
  const out = apart * scale < 12 ? 7 : 0;
  const { text, x, y } = lengthLabel(from, to, scale);
  return (
    <g>
      <title>{`${title}: ${text}`}</title>
      <path
        class="lw-stem"
        d={`M${px(a.x - out * along.x)} ${px(a.y - out * along.y)}L${px(b.x + out * along.x)} ${px(b.y + out * along.y)}${tick(a)}${tick(b)}`}
      />
      <text class="lw-small lw-middle lw-halo" x={px(x)} y={px(y)}>
        {text}
      </text>
    </g>
  );
}

// ---- one bar -------------------------------------------------------------------------------

/** A bar's name: beside its middle, on the side of the face's centre. */
export function nameOfBar(bar: FaceBar, lift: number, scale: number, centre: Point): PlacedText {
  const { x, y } = middleOf(bar, lift);
  const box = boxOf(bar.outline)!;
  const upright = box.top - box.bottom > box.right - box.left;
  const [away, half] = upright
    ? [centre.x - x, (box.right - box.left) / 2]
    : [centre.y - y, (box.top - box.bottom) / 2];
  // Beside an upright bar a name needs its own width.
  const room = upright ? 7.5 + textWidth(bar.segment.name, 11) / 2 : 11;
  const by = (away < -1e-9 ? -1 : 1) * (half * scale + room);
  const at = upright ? { x: x * scale + by, y: -y * scale + 4 } : { x: x * scale, y: -y * scale - by + 4 };
  return { ...at, text: bar.segment.name, size: 11, middle: true };
}

function LargeBar(props: {
  index: number;
  bar: DrawnBar;
  state?: BarState;
  scale: number;
  centre: Point;
  chosen: boolean;
  onSelect?: (place: Place) => void;
}) {
  const { index, bar, state, scale, centre, chosen, onSelect } = props;
  const lift = state?.lift ?? 0;
  const d = closedPath(liftedBar(bar, lift), scale);
  const window = bar.window && closedPath(bar.window, scale);
  const { x, y } = middleOf(bar, lift);
  const name = nameOfBar(bar, lift, scale, centre);
  const clip = `lw-window-${index}`;
  const place = bar.segment.bar?.place ?? bar.segment.place;
  const sentence = `${bar.segment.name}: lift ${mm(lift)}, ${plain((state?.share ?? 0) * 100, 0)} % shown`;
  const seen = state?.seen ?? 'hidden';
  const ink = seen === 'hidden' ? 0 : Math.max(0.12, state?.share ?? 0);
  return (
    <g class={chosen ? 'lw-chosen' : undefined} onClick={onSelect && (() => onSelect(place))}>
      <title>{sentence}</title>
      <path class="lw-hidden" d={d} />
      {window && (
        <clipPath id={clip}>
          <path d={window} />
        </clipPath>
      )}
      {ink > 0 && (
        <path class="lw-shown" d={d} fill-opacity={px(ink)} clip-path={window ? `url(#${clip})` : undefined} />
      )}
      {window && <path class="lw-window" d={window} />}
      {chosen && <path class="lw-plate" d={d} />}
      <text class={`lw-small lw-middle ${chosen ? 'lw-bold' : 'lw-dim'}`} x={px(name.x)} y={px(name.y)}>
        {name.text}
      </text>
      {state?.wrong && (
        <g transform={`translate(${px(x * scale)} ${px(-y * scale)})`}>
          <path class="lw-strike" d="M-9 9L9 -9" />
          <path class="lw-strike-ink" d="M-9 9L9 -9" />
        </g>
      )}
    </g>
  );
}

function PipList({ states, width }: { states: readonly BarState[]; width: number }) {
  return (
    <g>
      {states.slice(0, 16).map(({ segment, seen }, index) => (
        <g key={segment.name} transform={`translate(${px(width / 2 - 30)} ${index * 18 + 4})`}>
          <rect class={`lw-${seen}`} width="12" height="12" />
          <text class="lw-small" x="20" y="10">
            {segment.name}
          </text>
        </g>
      ))}
    </g>
  );
}
