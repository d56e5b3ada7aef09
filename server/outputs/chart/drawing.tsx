/** The whole drawing of one mechanism at one moment, as it stands in a file: chart, face, stack, plan, findings. */
import { caution } from '../caution.ts';
import { Face } from './face.tsx';
import { layoutOf, narrowWidth } from './layout.ts';
import { FindingSign } from './marks.tsx';
import { PhaseChart, Pointer } from './phase-chart.tsx';
import { type Layer, layerOf, Plan, planNote, planOf } from './plan.tsx';
import { isStacked, Section, sectionNote } from './section.tsx';
import { Stack, stackNote } from './stack.tsx';
import { tellingView } from './telling.ts';
import type { Moment } from './turning.ts';
import { aboutLine, barsAt, momentOf, type Row, stepsAt, type View } from './view.ts';
import { fitted, px, wrapped } from './words.ts';

/** What is said where no finding stands. */
export const soundSentence = (view: View): string =>
  view.figures.missing.length > 0 ? 'Nothing found wrong in what can be reckoned so far.' : 'Nothing found wrong.';

interface Panel {
  readonly kind: 'face' | 'plan' | 'stack' | 'section';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const heading = 44;

/** Panels in one column beside the chart, in a row below it, or (narrow) face and plan above the stack. */
function panelsOf(width: number, beside: number | undefined, top: number, below: number, plan: boolean): Panel[] {
  if (beside !== undefined) {
    const side = width - beside - 16;
    const half = plan ? (side - 24) / 2 : side;
    const upper = 230;
    return [
      { kind: 'face', x: beside, y: top, width: half, height: upper },
      ...(plan ? [{ kind: 'plan' as const, x: beside + half + 24, y: top, width: half, height: upper }] : []),
      { kind: 'stack', x: beside, y: top + heading + upper + 18, width: side, height: 300 },
      { kind: 'section', x: beside, y: top + 2 * heading + upper + 340, width: side, height: 170 },
    ];
  }
  if (width > narrowWidth) {
    const room = width - 32 - (plan ? 48 : 24);
    const small = room * (plan ? 0.27 : 0.5);
    const stack = room - small * (plan ? 2 : 1);
    const [y, height] = [below, 280];
    return [
      { kind: 'face', x: 16, y, width: small, height },
      ...(plan ? [{ kind: 'plan' as const, x: 40 + small, y, width: small, height }] : []),
      { kind: 'stack', x: width - 16 - stack, y, width: stack, height },
      { kind: 'section', x: 16, y: y + heading + height + 18, width: width - 32, height: 170 },
    ];
  }
  const half = (width - 32 - 16) / 2;
  return [
    { kind: 'face', x: 16, y: below, width: half, height: 210 },
    ...(plan ? [{ kind: 'plan' as const, x: 32 + half, y: below, width: half, height: 210 }] : []),
    { kind: 'stack', x: 16, y: below + heading + 226, width: width - 32, height: 300 },
    { kind: 'section', x: 16, y: below + 2 * heading + 544, width: width - 32, height: 170 },
  ];
}

const panelBottom = (panel: Panel): number => panel.y + heading + panel.height;

export interface Drawn {
  readonly height: number;
  readonly body: preact.JSX.Element;
}

/** Draws everything for a width in px; the height follows. */
export function drawingOf(view: View, width: number): Drawn {
  const beside = width >= 1000 ? width - 400 : undefined;
  const chartWidth = (beside !== undefined ? beside - 12 : width) - 28;
  const layout = layoutOf(view, chartWidth);
  const { row, moment } = tellingView(view);
  const { across, lap } = moment;
  const t = stepsAt(view, across, lap);
  const states = barsAt(view, across, lap);
  const plan = planOf(view);
  const layer = layerOf(view, row);
  const titled = 52;
  const chartBottom = titled + layout.height;
  const panels = panelsOf(width, beside, titled, chartBottom + 20, plan !== undefined).filter(
    ({ kind }) => (kind !== 'stack' || row) && (kind !== 'section' || isStacked(view)),
  );
  const listTop = Math.max(chartBottom, ...(beside === undefined ? panels.map(panelBottom) : [])) + 24;
  const listed = findingLines(view, beside !== undefined ? chartWidth : width - 32);
  const listBottom = listTop + listed.reduce((sum, entry) => sum + entry.height, 0);
  const bottom = Math.max(listBottom, ...panels.map(panelBottom));
  const cautions = view.stored ? wrapped(caution, width - 32, 11) : [];
  const height = Math.ceil(bottom + 16 + cautions.length * 16 + 8);
  let y = listTop;
  const body = (
    <g>
      <rect class="lw-ground" width={width} height={height} />
      <Heading view={view} width={width} />
      <g transform={`translate(14 ${titled})`}>
        <PhaseChart view={view} layout={layout} lap={view.repeats ? 0 : lap} />
        {view.rests > 0 && <Pointer view={view} layout={layout} across={across} lap={lap} states={states} />}
      </g>
      {panels.map((panel) => (
        <g key={panel.kind} transform={`translate(${px(panel.x)} ${px(panel.y)})`}>
          <text class="lw-heading" y="14">
            {panelTitle(panel.kind, row)}
          </text>
          <text class="lw-small lw-dim" y="31">
            {fitted(panelNote(panel.kind, view, row, moment, layer), panel.width, 11)}
          </text>
          <g transform={`translate(0 ${heading})`}>
            {panel.kind === 'face' && (
              <Face view={view} states={states} moment={momentOf(view, across)} {...size(panel)} />
            )}
            {panel.kind === 'plan' && plan && <Plan view={view} plan={plan} layer={layer} t={t} {...size(panel)} />}
            {panel.kind === 'stack' && row && <Stack view={view} row={row} t={t} {...size(panel)} />}
            {panel.kind === 'section' && <Section view={view} row={row} {...size(panel)} />}
          </g>
        </g>
      ))}
      {listed.map((entry) => {
        const at = y;
        y += entry.height;
        return (
          <g key={entry.key} transform={`translate(16 ${at})`}>
            {entry.tag && entry.severity && <FindingSign severity={entry.severity} tag={entry.tag} x={12} y={12} />}
            {entry.lines.map((line, index) => (
              <text key={line} class={entry.quiet ? 'lw-dim' : undefined} x={entry.tag ? 50 : 0} y={16 + index * 17}>
                {line}
              </text>
            ))}
          </g>
        );
      })}
      {cautions.map((line, index) => (
        <text key={line} class="lw-small lw-dim" x="16" y={height - 12 - (cautions.length - 1 - index) * 16}>
          {line}
        </text>
      ))}
    </g>
  );
  return { height, body };
}

const size = ({ width, height }: Panel) => ({ width, height });

function Heading({ view, width }: { view: View; width: number }) {
  return (
    <g>
      <text class="lw-title" x="16" y="26">
        {fitted(view.title, width - 32, 17, true)}
      </text>
      <text class="lw-small lw-dim" x="16" y="43">
        {fitted(aboutLine(view), width - 32, 11)}
      </text>
    </g>
  );
}

function panelTitle(kind: Panel['kind'], row: Row | undefined): string {
  if (kind === 'stack') return `Stack · ${row?.cam.name}`;
  return { face: 'Face', plan: 'Shafts', section: 'Section' }[kind];
}

function panelNote(
  kind: Panel['kind'],
  view: View,
  row: Row | undefined,
  { across, lap }: Moment,
  layer: Layer | undefined,
): string {
  if (kind === 'face') return momentOf(view, across);
  if (kind === 'plan') return planNote(layer);
  if (kind === 'section') return sectionNote(view);
  return row ? stackNote(row, stepsAt(view, across, lap)) : '';
}

interface ListEntry {
  readonly key: string;
  readonly tag?: string;
  readonly severity?: View['findings'][number]['finding']['severity'];
  readonly lines: readonly string[];
  readonly quiet: boolean;
  readonly height: number;
}

/** Findings in order of weight, then what is missing, then what the maker accepted. */
function findingLines(view: View, width: number): ListEntry[] {
  const entry = (key: string, text: string, rest: Partial<ListEntry> = {}): ListEntry => {
    const lines = wrapped(text, width - (rest.tag ? 50 : 0), 12);
    return { key, lines, quiet: false, height: lines.length * 17 + 9, ...rest };
  };
  const { missing } = view.figures;
  const beside = view.ghost?.beside ?? [];
  return [
    ...(beside.length ? [entry('beside', `Changed besides since ${view.ghost?.of}: ${beside.join(' · ')}`)] : []),
    ...view.findings.map(({ tag, finding }) =>
      entry(tag, `${finding.code}: ${finding.message}`, { tag, severity: finding.severity }),
    ),
    ...(view.findings.length === 0 ? [entry('none', soundSentence(view), { quiet: true })] : []),
    ...missing
      .slice(0, 12)
      .map(({ figure, wants }) =>
        entry(`missing ${figure} ${wants}`, `not reckoned: ${figure}; give ${wants}`, { quiet: true }),
      ),
    ...view.accepted.map((finding, index) =>
      entry(`accepted ${index}`, `accepted, ${finding.code}: ${finding.message} “${finding.accepted}”`, {
        quiet: true,
      }),
    ),
  ];
}
