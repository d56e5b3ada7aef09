/** The chart that plays: in the editor's panel and in pages. Everything it shows comes from its props. */
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Place } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import { caution } from '../caution.ts';
import type { Ghost } from '../compare/ghost.ts';
import { soundSentence } from './drawing.tsx';
import { Face, faceSentence } from './face.tsx';
import { FiguresTable } from './figures-table.tsx';
import { type Layout, layoutOf, narrowWidth } from './layout.ts';
import { findingSentence, SignIcon } from './marks.tsx';
import { isChosen, PhaseChart, Pointer } from './phase-chart.tsx';
import { acrossOf, xOf } from './placing.ts';
import { layerOf, Plan, planNote, planOf } from './plan.tsx';
import { isStacked, Section, sectionNote } from './section.tsx';
import { Stack, stackNote } from './stack.tsx';
import { forcesSentences, stripFigures } from './strip-figures.ts';
import { tellingOf } from './telling.ts';
import { Transport, type Turning, useTurning } from './transport.tsx';
import { Trying } from './trying.tsx';
import { keyMove, moved, put } from './turning.ts';
import { aboutLine, barsAt, momentOf, steepestRow, stepsAt, type Tagged, type View, viewOf } from './view.ts';
import { digitsSentence, type Trial, triedView } from './what-if.ts';

/** An older version that the chart may be held against. */
export interface Against {
  /** What it is called where it is offered: "the committed version". */
  readonly label: string;
  readonly on: boolean;
  readonly onToggle: (on: boolean) => void;
  /** Of every mechanism, while it is drawn. */
  readonly ghosts: readonly Ghost[];
  /** Why there is none, though it was asked for. */
  readonly because?: string;
}

export interface ChartProps {
  readonly mechanisms: readonly Reckoned[];
  /** The part whose statement holds the text's cursor; its mechanism is shown and its row lit. */
  readonly selected?: { readonly mechanism: string; readonly part?: string };
  /** A click on something that a place in the text made. */
  readonly onSelect?: (place: Place) => void;
  /** Why the chart is not that of the text as it stands: a banner says so. */
  readonly stale?: string;
  readonly against?: Against;
  /** px, until the element's own width is known; default 960. */
  readonly width?: number;
}

export function Chart({ mechanisms, selected, onSelect, stale, against, width = 960 }: ChartProps) {
  const root = useRef<HTMLDivElement>(null);
  const measured = useWidth(root, width);
  const [picked, pick] = useState<string>();
  useEffect(() => pick(undefined), [selected?.mechanism]);
  const shown = mechanisms.find(({ mechanism }) => mechanism.name === (picked ?? selected?.mechanism)) ?? mechanisms[0];
  return (
    <div class="lw-chart" ref={root}>
      {stale !== undefined && (
        <p class="lw-stale" role="status">
          <strong>Last good chart.</strong> The text as it stands cannot be read: {stale}
        </p>
      )}
      {mechanisms.length > 1 && (
        <label class="lw-chooser">
          Mechanism{' '}
          <select
            aria-label="Mechanism"
            value={shown?.mechanism.name}
            onChange={(event) => pick(event.currentTarget.value)}
          >
            {mechanisms.map(({ mechanism }) => (
              <option key={mechanism.name} value={mechanism.name}>
                {mechanism.about.title ? `${mechanism.about.title} (${mechanism.name})` : mechanism.name}
              </option>
            ))}
          </select>
        </label>
      )}
      {shown ? (
        <Playing
          key={shown.mechanism.name}
          reckoned={shown}
          part={selected?.mechanism === shown.mechanism.name ? selected.part : undefined}
          onSelect={onSelect}
          against={against}
          width={measured}
        />
      ) : (
        <p class="lw-empty">
          No mechanism here yet. One begins with a line such as: mechanism Sign {'{ count 0 1 2 3 }'}
        </p>
      )}
    </div>
  );
}

/** The element's own width, followed as it changes. */
function useWidth(element: { current: HTMLElement | null }, first: number): number {
  const [width, set] = useState(first);
  useLayoutEffect(() => {
    const node = element.current;
    if (!node) return;
    set(node.clientWidth || first);
    const observer = new ResizeObserver(() => set(node.clientWidth || first));
    observer.observe(node);
    return () => observer.disconnect();
  }, []);
  return width;
}

/** The view of the text, or of what is tried instead until the mechanism's text changes; and the bar to try it at. */
function useTrying(text: View) {
  const written = useMemo(() => JSON.stringify(text.mechanism), [text]);
  const [tried, set] = useState<{ readonly of: string; readonly trial?: Trial }>();
  const trial = tried?.of === written ? tried.trial : undefined;
  const view = useMemo(() => (trial ? triedView(text, trial) : text), [text, trial]);
  const bar = useMemo(
    () =>
      stripFigures(text).push && (
        <Trying
          key={written}
          mechanism={text.mechanism}
          sentence={trial && digitsSentence(view)}
          onTry={(trial) => set((before) => (before?.trial === trial ? before : { of: written, trial }))}
        />
      ),
    [text, view, written],
  );
  return { view, bar };
}

/** What changed beside the rows: as much as one reads in a line. */
const mostBeside = 6;

function besideInWords({ ghost }: View): string {
  const { beside = [] } = ghost ?? {};
  const more = beside.length - mostBeside;
  return [...beside.slice(0, mostBeside), ...(more > 0 ? [`and ${more} more`] : [])].join(' · ');
}

/** Holds the chart against an older version, or no longer; says why where that cannot be. */
function HeldAgainst({ label, on, onToggle, because }: Against) {
  return (
    <span class="lw-against">
      <label>
        <input type="checkbox" checked={on} onChange={(event) => onToggle(event.currentTarget.checked)} /> Against{' '}
        {label}
      </label>
      {on && because !== undefined && (
        <span class="lw-quiet" role="status">
          {because}
        </span>
      )}
    </span>
  );
}

interface PlayingProps extends Pick<ChartProps, 'onSelect' | 'against'> {
  readonly reckoned: Reckoned;
  readonly part?: string;
  readonly width: number;
}

function Playing({ reckoned, part, onSelect, against, width }: PlayingProps) {
  const ghost = against?.on ? against.ghosts.find((each) => each.mechanism === reckoned.mechanism.name) : undefined;
  const text = useMemo(() => viewOf(reckoned, ghost), [reckoned, ghost]);
  const beside = besideInWords(text);
  const { view, bar: trying } = useTrying(text);
  const turning = useTurning(view);
  const { across, lap } = turning.moment;
  const narrow = width <= narrowWidth;
  const isBeside = width >= 1000;
  const [rowName, setRowName] = useState<string>();
  useEffect(() => setRowName(undefined), [part]);
  const row = view.rows.find((each) => isChosen(each, rowName ?? part)) ?? steepestRow(view);
  const chosen = rowName ?? part;
  const chartWidth = isBeside ? width - 420 : width;
  const lit = row && isChosen(row, chosen) ? row.cam.segments.map(({ name }) => name) : [];
  const layout = useMemo(
    () => layoutOf(view, chartWidth, narrow ? row?.cam.name : undefined),
    [view, chartWidth, narrow, narrow && row?.cam.name],
  );
  const drawnLap = view.repeats ? 0 : lap;
  const chart = useMemo(
    () => (
      <PhaseChart
        view={view}
        layout={layout}
        lap={drawnLap}
        chosen={chosen}
        onSelect={onSelect}
        onChoose={setRowName}
      />
    ),
    [view, layout, drawnLap, chosen, onSelect],
  );
  const { set } = turning;
  const show = useCallback(
    (found: Tagged) => {
      const { row, moment } = tellingOf(text, found);
      if (row) setRowName(row.cam.name);
      if (moment) set(moment);
      onSelect?.(found.finding.place);
    },
    [text, set, onSelect],
  );
  const findings = useMemo(() => <Findings view={text} onShow={show} />, [text, show]);
  const table = useMemo(() => <FiguresTable view={view} />, [view]);
  const plan = useMemo(() => planOf(view), [view]);
  const layer = useMemo(() => layerOf(view, row), [view, row]);
  const side = sizes(width, isBeside, narrow, plan !== undefined);
  const section = useMemo(
    () => isStacked(view) && <Section view={view} row={row} {...side.section} onSelect={onSelect} />,
    [view, row, side.section.width, onSelect],
  );
  const states = barsAt(view, across, lap);
  const t = stepsAt(view, across, lap);
  const moment = momentOf(view, across);
  return (
    <div class={isBeside ? 'lw-beside' : narrow ? 'lw-narrow' : 'lw-below'}>
      <header class="lw-bar">
        <h1>{view.title}</h1>
        {view.rests > 0 && <Transport view={view} turning={turning} moment={moment} />}
        {narrow && row && view.rows.length > 1 && (
          <label class="lw-chooser">
            Cam{' '}
            <select aria-label="Cam" value={row.cam.name} onChange={(event) => setRowName(event.currentTarget.value)}>
              {view.rows.map(({ cam }) => (
                <option key={cam.name} value={cam.name}>
                  {cam.name}
                </option>
              ))}
            </select>
          </label>
        )}
        {against && <HeldAgainst {...against} />}
        <p>{aboutLine(view)}</p>
        {beside && <p>Changed besides: {beside}</p>}
        {trying}
      </header>
      <div class="lw-main">
        <div class="lw-phase">
          <svg
            class="lw-drawing"
            width={layout.width}
            height={layout.height}
            role="group"
            aria-label={`Phase chart of ${view.title}`}
          >
            {chart}
          </svg>
          {view.rests > 0 && (
            <PointerLayer view={view} layout={layout} turning={turning} moment={moment} states={states} />
          )}
        </div>
        <div class="lw-side">
          <figure>
            <figcaption>
              Face <span>{moment}</span>
            </figcaption>
            <svg class="lw-drawing" {...side.face}>
              <Face view={view} states={states} moment={moment} {...side.face} lit={lit} onSelect={onSelect} />
            </svg>
          </figure>
          {plan && (
            <figure>
              <figcaption>
                Shafts <span>{planNote(layer)}</span>
              </figcaption>
              <svg class="lw-drawing" {...side.plan}>
                <Plan view={view} plan={plan} layer={layer} t={t} {...side.plan} chosen={part} onSelect={onSelect} />
              </svg>
            </figure>
          )}
          {row && (
            <figure>
              <figcaption>
                Stack · {row.cam.name} <span>{stackNote(row, t)}</span>
              </figcaption>
              <svg class="lw-drawing" {...side.stack}>
                <Stack view={view} row={row} t={t} {...side.stack} onSelect={onSelect} />
              </svg>
            </figure>
          )}
          {section && (
            <figure>
              <figcaption>
                Section <span>{sectionNote(view)}</span>
              </figcaption>
              <svg class="lw-drawing" {...side.section}>
                {section}
              </svg>
            </figure>
          )}
        </div>
      </div>
      {view.tried && <p class="lw-quiet">Found of the text as it stands:</p>}
      {findings}
      <details class="lw-figures">
        <summary>{['The figures as tables', view.tried].filter(Boolean).join(', ')}</summary>
        {table}
      </details>
      {view.stored && <p class="lw-caution">{caution}</p>}
    </div>
  );
}

/** Sizes of the side drawings for a whole width. */
function sizes(width: number, beside: boolean, narrow: boolean, plan: boolean) {
  if (beside) {
    const half = plan ? 188 : 400;
    return {
      face: { width: half, height: 230 },
      plan: { width: half, height: 230 },
      stack: { width: 392, height: 300 },
      section: { width: 392, height: 170 },
    };
  }
  const room = width - 24;
  const small = Math.floor(narrow ? (plan ? (room - 16) / 2 : room) : (room - 32) * (plan ? 0.27 : 0.5));
  const height = narrow ? 200 : 280;
  return {
    face: { width: small, height },
    plan: { width: small, height },
    stack: { width: narrow ? room : Math.floor((room - 32) * (plan ? 0.46 : 0.5)), height: 280 },
    section: { width: room, height: 170 },
  };
}

/** The pointer over the chart: only this, the face, the stack and the plan are drawn anew as it moves. */
function PointerLayer(props: {
  view: View;
  layout: Layout;
  turning: Turning;
  moment: string;
  states: ReturnType<typeof barsAt>;
}) {
  const { view, layout, turning, moment, states } = props;
  const { across } = turning.moment;
  const layer = useRef<SVGSVGElement>(null);
  const dragTo = (event: PointerEvent) => {
    const box = layer.current!.getBoundingClientRect();
    turning.set(put(view, turning.moment, snapped(acrossOf(layout, event.clientX - box.left), layout)));
  };
  const down = (event: PointerEvent) => {
    if (event.button !== 0) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    dragTo(event);
  };
  const move = (event: PointerEvent) => {
    if ((event.currentTarget as Element).hasPointerCapture(event.pointerId)) dragTo(event);
  };
  const key = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const what = keyMove(view, event.key, event.shiftKey);
    if (!what) return;
    event.preventDefault();
    if (what.do === 'step') turning.step(what.way);
    else if (what.do === 'put') turning.set(put(view, turning.moment, what.across));
    else turning.set(moved(view, turning.moment, what.by));
  };
  const x = xOf(layout, across);
  return (
    <svg class="lw-drawing lw-pointer-layer" width={layout.width} height={layout.height} ref={layer}>
      <rect
        class="lw-scrub"
        x={layout.left}
        y={layout.strips.bottom}
        width={layout.right - layout.left}
        height={layout.pointerFaceTop + layout.pointerFaceHeight + 28 - layout.strips.bottom}
        onPointerDown={down}
        onPointerMove={move}
      />
      <g
        class="lw-handle"
        role="slider"
        tabindex={0}
        aria-label="Turn pointer"
        aria-valuemin={0}
        aria-valuemax={view.rests}
        aria-valuenow={Math.round(across * 100) / 100}
        aria-valuetext={[`${moment}: ${faceSentence(states)}`, ...forcesSentences(view, across)].join('; ')}
        onPointerDown={down}
        onPointerMove={move}
        onKeyDown={key}
      >
        <rect
          class="lw-grip"
          x={x - 6}
          y={layout.rowsTop - 12}
          width="12"
          height={layout.strips.bottom - layout.rowsTop + 12}
        />
        <Pointer view={view} layout={layout} across={across} lap={turning.moment.lap} states={states} />
      </g>
    </svg>
  );
}

/** A drag catches on a rest within 4 px. */
function snapped(across: number, layout: Layout): number {
  const rest = Math.round(across);
  return Math.abs(across - rest) * layout.step < 4 ? rest : across;
}

/** The findings in order of weight, those that the maker accepted apart; a click shows one on the chart. */
function Findings({ view, onShow }: { view: View; onShow: (found: Tagged) => void }) {
  const { findings, accepted, figures } = view;
  return (
    <section class="lw-findings" aria-label="Findings">
      {findings.length === 0 && <p class="lw-quiet">{soundSentence(view)}</p>}
      <ul>
        {findings.map((found) => (
          <li key={found.tag}>
            <button type="button" aria-label={findingSentence(found.finding, found.tag)} onClick={() => onShow(found)}>
              <SignIcon severity={found.finding.severity} tag={found.tag} />
              <span>
                <b>{found.finding.code}</b> {found.finding.message}
              </span>
            </button>
          </li>
        ))}
      </ul>
      {figures.missing.length > 0 && (
        <details class="lw-missing">
          <summary>{`Not reckoned yet: ${figures.missing.length}`}</summary>
          <ul>
            {figures.missing.map(({ figure, wants }) => (
              <li key={`${figure} ${wants}`}>
                {figure}: give <code>{wants}</code>
              </li>
            ))}
          </ul>
        </details>
      )}
      {accepted.length > 0 && (
        <details class="lw-accepted">
          <summary>{`Accepted: ${accepted.length}`}</summary>
          <ul>
            {accepted.map((finding) => (
              <li key={`${finding.code} ${finding.message}`}>
                <b>{finding.code}</b> {finding.message} “{finding.accepted}”
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
