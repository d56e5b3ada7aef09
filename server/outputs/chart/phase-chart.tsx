/** The phase chart: every cam's lift across one turn, its rests, its findings; and the pointer that runs over it. */
import type { Place } from '../../../language/mechanism.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { curvePaths, curvePoints } from './curve.ts';
import { faceSentence, SmallFace, WhereMark } from './face.tsx';
import { freeStretches, ghostKey, type Layout, type PlacedGroup, type PlacedRow, rowAbout, thinned } from './layout.ts';
import { findingSentence, Mark } from './marks.tsx';
import { firstAcross, lastAcross, spare, xOf } from './placing.ts';
import { remembering } from './remember.ts';
import { RankedList, StripMoments, Strips } from './strips.tsx';
import { Words } from './texts.tsx';
import {
  acrossOfAngle,
  type BarState,
  barsAt,
  liftOf,
  lobePlace,
  type Row,
  restAt,
  stepsAt,
  symbolAt,
  type View,
} from './view.ts';
import { bearing, deg, degRange, fitted, listed, mm, px, textWidth } from './words.ts';

export interface PhaseChartProps {
  readonly view: View;
  readonly layout: Layout;
  /** Which count since home is drawn: they differ only where a shaft drifts. */
  readonly lap?: number;
  /** The part whose row is lit: a cam, or a segment of one. */
  readonly chosen?: string;
  readonly onSelect?: (place: Place) => void;
  /** A row was chosen, by its cam's name. */
  readonly onChoose?: (cam: string) => void;
}

/** The rows, rests and findings; give it to an `svg` of the layout's size. */
export function PhaseChart({ view, layout, lap = 0, chosen, onSelect, onChoose }: PhaseChartProps) {
  return (
    <g>
      <Hatch />
      <Rests view={view} layout={layout} lap={lap} onSelect={onSelect} />
      {!layout.narrow && view.rows.some((row) => row.figure?.pressureAngle) && (
        <RightHeading view={view} layout={layout} />
      )}
      {layout.groups.map((placed) => (
        <g
          key={placed.group.name}
          role="group"
          aria-label={placed.group.shaft ? `Shaft ${placed.group.name}` : 'Cams without a shaft'}
        >
          <GroupHeading layout={layout} placed={placed} onSelect={onSelect} />
          {placed.rows.map((placed) => (
            <CamRow
              key={placed.row.cam.name}
              view={view}
              layout={layout}
              placed={placed}
              lap={lap}
              lit={isChosen(placed.row, chosen)}
              onSelect={onSelect}
              onChoose={onChoose}
            />
          ))}
        </g>
      ))}
      <Strips view={view} layout={layout} onSelect={onSelect} />
      <Axis view={view} layout={layout} />
      <RankedList layout={layout} onSelect={onSelect} />
    </g>
  );
}

/** Whether a part's name means this row: its cam or one of its segments. */
export const isChosen = (row: Row, name: string | undefined): boolean =>
  name !== undefined && (row.cam.name === name || row.cam.segments.some((segment) => segment.name === name));

/** The hatch under a curve in high contrast. */
function Hatch() {
  return (
    <defs>
      <pattern id="lw-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path class="lw-hatch-line" d="M0 0V6" />
      </pattern>
    </defs>
  );
}

function Rests({ view, layout, lap, onSelect }: PhaseChartProps & { lap: number }) {
  if (view.rests === 0) return null;
  const lines = thinned(view.rests, layout.step < 3 ? layout.headEvery : 1);
  return (
    <g>
      <RestMargins view={view} layout={layout} />
      <g aria-hidden="true">
        {lines.map((at) => (
          <path
            key={at}
            class={at === view.rests ? 'lw-rest lw-past' : 'lw-rest'}
            d={`M${px(xOf(layout, at))} ${layout.rowsTop}V${layout.strips.bottom}`}
          />
        ))}
      </g>
      {thinned(view.rests, layout.headEvery).map((at) => {
        const position = view.figures.positions[restAt(view, at)];
        const place = view.mechanism.count?.symbols[restAt(view, at) % view.mechanism.count.symbols.length]?.place;
        const states = barsAt(view, at, lap);
        const past = at === view.rests;
        const wrong = states.filter((state) => state.wrong).map((state) => state.segment.name);
        return (
          <g
            key={at}
            class="lw-head"
            role="group"
            aria-label={`Rest ${restAt(view, at)}, ${position?.symbol.trim() || 'blank'}: ${faceSentence(states)}`}
            onClick={onSelect && place && (() => onSelect(place))}
          >
            <title>{`Rest ${restAt(view, at)}: ${faceSentence(states)}`}</title>
            <text class={past ? 'lw-symbol lw-dim' : 'lw-symbol'} x={px(xOf(layout, at))} y={layout.symbolLine}>
              {position?.symbol.trim() ? position.symbol : '␣'}
            </text>
            {at % layout.faceEvery === 0 && (
              <g class={past ? 'lw-past' : undefined}>
                <RestFace layout={layout} view={view} states={states} at={at} />
              </g>
            )}
            {layout.wrongLine !== undefined && wrong.length > 0 && (
              <text
                class={past ? 'lw-small lw-middle lw-dim' : 'lw-small lw-bold lw-middle'}
                x={px(xOf(layout, at))}
                y={layout.wrongLine}
              >
                {wrongNames(wrong, Math.max(layout.step * layout.headEvery - 2, 24))}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

/** "✗ a d", "a d" or, where there is no room for names, their number. */
const wrongNames = (names: readonly string[], room: number): string =>
  [`✗ ${names.join(' ')}`, names.join(' ')].find((text) => textWidth(text, 11, true) <= room) ?? `✗ ${names.length}`;

function RestFace({
  view,
  layout,
  states,
  at,
}: {
  view: View;
  layout: Layout;
  states: readonly BarState[];
  at: number;
}) {
  return (
    <SmallFace
      view={view}
      states={states}
      x={xOf(layout, at)}
      y={layout.faceTop}
      height={layout.faceHeight}
      widest={layout.faceWidth}
    />
  );
}

/** Each row's own rest margin as a tint round its rests, where it has been reckoned. */
function RestMargins({ view, layout }: { view: View; layout: Layout }) {
  return (
    <g aria-hidden="true">
      {layout.groups.flatMap(({ rows }) =>
        rows.flatMap(({ row, ceiling, floor }) => {
          const { restMargin, step } = row.figure ?? {};
          if (restMargin === undefined || !step) return [];
          const half = Math.min(0.5, restMargin / Math.abs(step)) * layout.step;
          return Array.from({ length: view.rests + 1 }, (_, at) => (
            <rect
              key={`${row.cam.name} ${at}`}
              class="lw-margin"
              x={px(xOf(layout, at) - half)}
              y={ceiling - 4}
              width={px(2 * half)}
              height={floor - ceiling + 8}
            />
          ));
        }),
      )}
    </g>
  );
}

function RightHeading({ view, layout }: { view: View; layout: Layout }) {
  const limit = view.mechanism.limits.pressureAngle.value;
  return (
    <g>
      <text class="lw-small lw-dim" x={layout.right + 12} y={layout.rowsTop - 20}>
        pressure angle
      </text>
      <text class="lw-small lw-dim" x={layout.right + 12} y={layout.rowsTop - 6}>
        {`limit ${deg(limit)}`}
      </text>
    </g>
  );
}

function GroupHeading(props: { layout: Layout; placed: PlacedGroup; onSelect?: (place: Place) => void }) {
  const { layout, placed, onSelect } = props;
  const { group, heading, words } = placed;
  const place = group.shaft?.place;
  return (
    <g onClick={onSelect && place && (() => onSelect(place))}>
      <path class="lw-rule" d={`M0 ${heading - 16.5}H${layout.width}`} />
      <Words class="lw-heading" placed={words[0]} />
      <Words class="lw-small lw-dim" placed={words[1]} />
    </g>
  );
}

/** "travel 25°"; "flanks 20°–25°" where they differ or none of them is as wide as the travel. */
const flanksInWords = (flanks: NonNullable<Row['flanks']>, { travel }: CamFigure): string =>
  `${travel !== undefined && flanks[0] === flanks[1] ? 'travel' : 'flanks'} ${degRange(flanks)}`;

/** Everything the row says, for those who hear it. */
function rowSentence(view: View, row: Row): string {
  const { cam, figure } = row;
  const parts = [`${cam.name} drives ${listed(cam.segments.map((segment) => segment.name))}`];
  if (cam.shaft) parts.push(`on ${cam.shaft.name}${cam.level ? `, level ${cam.level.value}` : ''}`);
  if (figure) {
    const up = view.figures.positions.filter((position) => figure.raisedAt[position.index]);
    if (figure.lift.always) parts.push('up all round');
    else if (figure.lift.lobes.length === 0) parts.push('down all round');
    else parts.push(`up at ${listed(up.map((position) => position.symbol.trim() || 'blank')) || 'no rest'}`);
    if (!figure.lift.relative) parts.push(`stroke ${mm(figure.lift.stroke)}`);
    if (row.flanks) parts.push(flanksInWords(row.flanks, figure));
    if (figure.pressureAngle)
      parts.push(
        `greatest pressure angle ${deg(Math.abs(figure.pressureAngle.value))} at cam angle ${bearing(figure.pressureAngle.at)}`,
      );
    const flanks = figure.flankAngles?.flat().map((angle) => deg(Math.abs(angle))) ?? [];
    if (flanks.length > 0) parts.push(`pressure angles of its flanks ${listed(flanks)}`);
  }
  if (row.wants.length > 0) parts.push(`missing: ${listed(row.wants)}`);
  for (const mark of row.marks) parts.push(findingSentence(mark.finding, mark.tag));
  if (row.ghost?.changes.length) parts.push(`changed since ${view.ghost?.of}: ${row.ghost.changes.join(', ')}`);
  return parts.join('; ');
}

function CamRow(props: {
  view: View;
  layout: Layout;
  placed: PlacedRow;
  lap: number;
  lit: boolean;
  onSelect?: (place: Place) => void;
  onChoose?: (cam: string) => void;
}) {
  const { view, layout, placed, lap, lit, onSelect, onChoose } = props;
  const { row, top, bottom } = placed;
  const pick = (place: Place) => {
    onChoose?.(row.cam.name);
    onSelect?.(place);
  };
  const live = onChoose !== undefined || onSelect !== undefined;
  const select = live ? () => pick(row.cam.whole) : undefined;
  return (
    <g
      class={lit ? 'lw-row lw-chosen' : 'lw-row'}
      role={live ? 'button' : 'group'}
      tabindex={live ? 0 : undefined}
      aria-pressed={live ? lit : undefined}
      aria-label={rowSentence(view, row)}
      onClick={select}
      onKeyDown={
        select &&
        ((event: KeyboardEvent) => {
          if (event.key !== 'Enter') return;
          event.preventDefault();
          select();
        })
      }
    >
      <title>{`${row.cam.name}: ${row.segments.map((segment) => segment.name).join(' ')}`}</title>
      <desc>{rowSentence(view, row)}</desc>
      <rect class="lw-plate lw-hit" x="1" y={top + 1.5} width={layout.width - 2} height={bottom - top - 2} rx="4" />
      <RowName view={view} layout={layout} placed={placed} lit={lit} />
      <Changed placed={placed} />
      {view.rests > 0 && row.figure && (
        <LiftCurve view={view} layout={layout} placed={placed} lap={lap} onSelect={live ? pick : undefined} />
      )}
      {(view.rests === 0 || !row.figure) && (
        <text class="lw-small lw-dim" x={layout.left + 8} y={placed.floor - 10}>
          {fitted(wanting(view, row), layout.right - layout.left - 16, 11)}
        </text>
      )}
      {placed.marks.map((mark) => (
        <Mark key={`${mark.mark.tag} ${mark.x}`} mark={mark} floor={placed.floor} onSelect={onSelect} />
      ))}
    </g>
  );
}

/** Why a row has no curve. */
function wanting(view: View, row: Row): string {
  if (row.wants.length > 0) return `no curve yet: give ${listed(row.wants)}`;
  if (view.rests === 0) return 'no curve yet: give a count, such as count 0 1 2 3';
  return 'no curve yet';
}

function RowName({ view, layout, placed, lit }: { view: View; layout: Layout; placed: PlacedRow; lit: boolean }) {
  const { row, ceiling, floor } = placed;
  if (layout.narrow) {
    const [name, about, steepest] = placed.above;
    return (
      <g>
        <Words class={lit ? 'lw-bold' : undefined} placed={name} />
        <Words class="lw-small lw-dim" placed={about} />
        {steepest && <Words class="lw-small" placed={steepest} />}
      </g>
    );
  }
  const middle = (ceiling + floor) / 2;
  return (
    <g>
      <WhereMark view={view} names={row.cam.segments.map((segment) => segment.name)} x={6} y={middle - 13} />
      <text class={lit ? 'lw-bold' : undefined} x="34" y={px(middle - 2)}>
        {fitted(row.cam.name, layout.left - 44, 12, lit)}
      </text>
      <text class="lw-small lw-dim" x="34" y={px(middle + 13)}>
        {fitted(rowAbout(row), layout.left - 40, 11)}
      </text>
      {row.figure?.pressureAngle && <Steepest view={view} layout={layout} row={row} middle={middle} />}
    </g>
  );
}

function Steepest({ view, layout, row, middle }: { view: View; layout: Layout; row: Row; middle: number }) {
  const { value, at } = row.figure!.pressureAngle!;
  const over = Math.abs(value) > view.mechanism.limits.pressureAngle.value + 1e-9;
  return (
    <g>
      <text class="lw-bold" x={layout.right + 12} y={px(middle - 2)}>
        {deg(Math.abs(value))}
      </text>
      {over && (
        <path
          class="lw-over"
          d={`M${layout.right + 12} ${px(middle + 2)}h${px(textWidth(deg(Math.abs(value)), 12, true))}`}
        />
      )}
      <text class="lw-small lw-dim" x={layout.right + 12} y={px(middle + 14)}>
        {over ? 'too steep' : `at ${bearing(at)}`}
      </text>
    </g>
  );
}

interface Drawn extends Pick<View, 'rests' | 'direction'> {
  readonly cam: CamFigure;
  readonly lap: number;
  readonly from: number;
  readonly to: number;
  readonly layout: Pick<Layout, 'left' | 'step'>;
  readonly floor: number;
  readonly ceiling: number;
}

/** A piece of a cam's curve; while one types elsewhere it is not reckoned again. */
const drawnCurve = remembering(
  120,
  ({ cam, layout, ...rest }: Drawn) =>
    JSON.stringify([cam.lift, cam.azimuth, cam.step, layout.left, layout.step, rest]),
  ({ cam, lap, from, to, layout, floor, ceiling, ...axis }) =>
    curvePaths(curvePoints(axis, cam, [from, to], lap), (across) => xOf(layout, across), floor, floor - ceiling),
);

function LiftCurve(props: {
  view: View;
  layout: Layout;
  placed: PlacedRow;
  lap: number;
  onSelect?: (place: Place) => void;
}) {
  const { view, layout, placed, lap, onSelect } = props;
  const { row, ceiling, floor } = placed;
  const cam = row.figure!;
  const { rests, direction } = view;
  const x = (across: number) => xOf(layout, across);
  const ends = [firstAcross, lastAcross(view.rests)] as const;
  const pieces = [
    { from: ends[0], to: 0, past: true },
    { from: 0, to: view.rests, past: false },
    { from: view.rests, to: ends[1], past: true },
  ];
  const drawn = pieces.map(({ past, ...ends }) => ({
    from: ends.from,
    past,
    ...drawnCurve({ cam, rests, direction, lap, ...ends, layout, floor, ceiling }),
  }));
  return (
    <g>
      <path class="lw-floor" d={`M${px(x(ends[0]))} ${floor}H${px(x(ends[1]))}`} />
      {drawn.map(({ from, past, ground }) => (
        <path key={from} class={past ? 'lw-lift lw-past' : 'lw-lift'} d={ground} fill="url(#lw-hatch)" />
      ))}
      <GhostCurve view={view} layout={layout} placed={placed} />
      {drawn.map(({ from, past, line }) => (
        <path key={from} class={past ? 'lw-curve lw-past' : 'lw-curve'} d={line} />
      ))}
      {onSelect &&
        cam.lift.lobes.map((lobe, index) => (
          <LobeTarget key={lobe.from} {...{ view, layout, placed, index }} onSelect={onSelect} />
        ))}
      <FlankAngles placed={placed} />
    </g>
  );
}

/** The older version's curve, dashed, on the ground of the newer: one turn of its own across the same width. */
function GhostCurve({ view, layout, placed }: { view: View; layout: Layout; placed: PlacedRow }) {
  const { ghost } = view;
  const was = placed.row.ghost?.was;
  if (!was || !ghost || ghost.rests === 0) return null;
  const { rests, direction } = ghost;
  const scale = view.rests / rests;
  const { line } = drawnCurve({
    cam: was,
    rests,
    direction,
    lap: 0,
    from: firstAcross / scale,
    to: lastAcross(view.rests) / scale,
    layout: { left: layout.left + spare * layout.step * (1 - scale), step: layout.step * scale },
    floor: placed.floor,
    ceiling: placed.ghostCeiling,
  });
  return <path class="lw-ghost" d={line} />;
}

/** What changed on a row, in words, with the stroke that the older curve is drawn with. */
function Changed({ placed: { changed } }: { placed: PlacedRow }) {
  if (!changed) return null;
  return (
    <g>
      <path class="lw-ghost" d={`M${px(changed.x - ghostKey + 2)} ${px(changed.y - 4)}h${ghostKey - 8}`} />
      <Words class="lw-small" placed={changed} />
    </g>
  );
}

/** What a click on one lobe hits. */
function LobeTarget(props: {
  view: View;
  layout: Layout;
  placed: PlacedRow;
  index: number;
  onSelect: (place: Place) => void;
}) {
  const { view, layout, placed, index, onSelect } = props;
  const cam = placed.row.figure!;
  const lobe = cam.lift.lobes[index]!;
  const width = (lobe.to - lobe.from + lobe.before.width + lobe.after.width) / Math.abs(cam.step);
  const start = cam.step * view.direction < 0 ? lobe.from - lobe.before.width : lobe.to + lobe.after.width;
  return (
    <g>
      {acrossOfAngle(view, cam, start)
        .flatMap((from) => (from + width > view.rests ? [from, from - view.rests] : [from]))
        .map((from) => {
          const left = xOf(layout, Math.max(from, firstAcross));
          const right = xOf(layout, Math.min(from + width, lastAcross(view.rests)));
          return (
            <rect
              key={from}
              class="lw-hit lw-lobe"
              x={px(left)}
              y={placed.ceiling}
              width={px(Math.max(0, right - left))}
              height={placed.floor - placed.ceiling}
              fill="none"
              onClick={(event: MouseEvent) => {
                event.stopPropagation();
                onSelect(lobePlace(placed.row, index));
              }}
            >
              <title>{`${placed.row.cam.name}: up from ${bearing(lobe.from)} to ${bearing(lobe.to)}`}</title>
            </rect>
          );
        })}
    </g>
  );
}

function FlankAngles({ placed }: { placed: PlacedRow }) {
  return (
    <g aria-hidden="true">
      {placed.angles.map(({ text, x, y, end, tooSteep }) => (
        <text
          key={x}
          class={`lw-small lw-halo ${end ? 'lw-end' : ''} ${tooSteep ? 'lw-bold' : 'lw-dim'}`}
          x={px(x)}
          y={px(y)}
        >
          {text}
        </text>
      ))}
    </g>
  );
}

/** The turn of the leading shaft under the rows. */
function Axis({ view, layout }: { view: View; layout: Layout }) {
  const { leading } = view.figures;
  if (layout.turns.length === 0) return null;
  return (
    <g aria-hidden="true">
      {!layout.narrow && (
        <text class="lw-small lw-dim" x="0" y={layout.axisLine}>
          {fitted(`turn of ${leading ?? 'the leading shaft'}`, layout.left - 30, 11)}
        </text>
      )}
      {layout.turns.map(({ text, x, y }) => (
        <text key={x} class="lw-small lw-middle lw-dim" x={px(x)} y={y}>
          {text}
        </text>
      ))}
    </g>
  );
}

/** The turn pointer: a hairline, behind the texts and signs of the rows, that ends in the face of its moment. */
export function Pointer(props: {
  view: View;
  layout: Layout;
  across: number;
  lap?: number;
  states: readonly BarState[];
}) {
  const { view, layout, across, lap = 0, states } = props;
  const x = xOf(layout, across);
  const { pointerFaceTop: top, pointerFaceHeight: height } = layout;
  const half = 26;
  const boxX = Math.min(Math.max(x - half, 2), layout.width - 2 * half - 2);
  return (
    <g class="lw-pointer-group">
      <path
        class="lw-pointer"
        d={freeStretches(layout, x, layout.rowsTop - 4, top - 4)
          .map(([from, to]) => `M${px(x)} ${px(from)}V${px(to)}`)
          .join('')}
      />
      <path
        class="lw-pointer-head"
        d={`M${px(x - 5)} ${layout.rowsTop - 12}H${px(x + 5)}L${px(x)} ${layout.rowsTop - 4}Z`}
      />
      {layout.groups
        .flatMap(({ rows }) => rows)
        .map(({ row, ceiling, floor }) => {
          const { figure } = row;
          if (!figure || !(figure.lift.stroke > 0)) return null;
          const share = liftOf(figure, stepsAt(view, across, lap)) / figure.lift.stroke;
          return (
            <circle key={row.cam.name} class="lw-bead" cx={px(x)} cy={px(floor - share * (floor - ceiling))} r="3.5" />
          );
        })}
      <StripMoments view={view} layout={layout} across={across} />
      <rect class="lw-pointer-grip" x={px(boxX)} y={top - 4} width={2 * half} height={height + 8} rx="5" />
      <SmallFace view={view} states={states} x={boxX + half} y={top} height={height} widest={2 * half - 8} />
      <text class="lw-small lw-bold lw-middle" x={px(boxX + half)} y={top + height + 18}>
        {pointerWord(view, across)}
      </text>
    </g>
  );
}

const pointerWord = (view: View, across: number): string =>
  Number.isInteger(across)
    ? symbolAt(view, across).trim() || 'blank'
    : `${symbolAt(view, Math.floor(across)).trim() || '␣'} → ${symbolAt(view, Math.ceil(across)).trim() || '␣'}`;
