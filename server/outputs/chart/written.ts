/** The phase chart without a picture: what it draws as JSON for programs, and as lines of text for a terminal. */
import type { Reckoned } from '../../protocol.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { degrees } from '../../reckon/motion/angles.ts';
import type { Ghost, GhostRow } from '../compare/ghost.ts';
import { rounded } from '../rounded.ts';
import { curvePoints, flanksAcross } from './curve.ts';
import { aboutLine, liftOf, type Row, stepsAt, symbolAt, type View, viewOf } from './view.ts';

// ---- JSON ------------------------------------------------------------------------------

/**
 * What the chart draws of each mechanism. `across` counts steps from home as the mechanism runs; a curve is a list of
 * points [across, lift in mm], straight between them; angles deg. What is not reckoned is absent.
 */
export function chartJson(mechanisms: readonly Reckoned[], ghosts: readonly Ghost[] = []) {
  return {
    contract: 1,
    mechanisms: mechanisms.map((reckoned) => {
      const view = viewOf(reckoned, behind(reckoned, ghosts));
      return {
        name: view.mechanism.name,
        title: view.title,
        runs: view.mechanism.runs.value,
        symbols: rests(view).map((across) => symbolAt(view, across)),
        rows: view.rows.map((row) => rowJson(view, row)),
        findings: view.findings.map(({ tag, finding: { severity, code, message } }) => ({
          tag,
          severity,
          code,
          message,
        })),
        ...(view.ghost && { against: { of: view.ghost.of, beside: view.ghost.beside } }),
      };
    }),
  };
}

const behind = ({ mechanism }: Reckoned, ghosts: readonly Ghost[]): Ghost | undefined =>
  ghosts.find((ghost) => ghost.mechanism === mechanism.name);

function rowJson(view: View, { cam, figure, segments, marks, wants, ghost }: Row) {
  return {
    cam: cam.name,
    ...(cam.shaft && { shaft: cam.shaft.name }),
    ...(cam.level && { level: cam.level.value }),
    segments: segments.map(({ name }) => name),
    ...(figure && drawnJson(view, figure)),
    marks: marks.map(({ tag, at }) => ({ tag, at: at.map(rounded) })),
    wants,
    ...(view.ghost && ghost && { against: ghostJson(view.ghost, ghost) }),
  };
}

/** The older curve counts its own steps across. */
const ghostJson = (of: Ghost, { changes, was }: GhostRow) => ({
  changes,
  ...(was && curveJson(of, was)),
});

/** Without a stroke the curve is one of shares. */
function curveJson(axis: Pick<View, 'rests' | 'direction'>, cam: CamFigure) {
  const { stroke, relative } = cam.lift;
  return {
    ...(relative ? {} : { stroke: rounded(stroke) }),
    curve: curvePoints(axis, cam, [0, axis.rests]).map(({ across, share }) => [
      rounded(across),
      rounded(relative ? share : share * stroke),
    ]),
  };
}

function drawnJson(view: View, cam: CamFigure) {
  return {
    ...curveJson(view, cam),
    flanks: flanksAcross(view, cam).map(({ from, to, lobe, side, rises }) => {
      const angle = cam.flankAngles?.[lobe]?.[side];
      return {
        from: rounded(from),
        to: rounded(to),
        rises,
        ...(angle !== undefined && { pressureAngle: rounded(degrees(Math.abs(angle))) }),
      };
    }),
  };
}

/** Every rest of one count, across. */
const rests = (view: View): number[] => Array.from({ length: view.rests }, (_, across) => across);

// ---- text ------------------------------------------------------------------------------

/** One line for each cam, from home round to home: up, down, and how it goes from one to the other. */
export function chartText(mechanisms: readonly Reckoned[], ghosts: readonly Ghost[] = []): string {
  return mechanisms.map((reckoned) => textOf(viewOf(reckoned, behind(reckoned, ghosts)))).join('\n');
}

function textOf(view: View): string {
  const turn = view.rests ? [...rests(view), view.rests] : [];
  const symbols = turn.map((across) => symbolAt(view, across));
  const cell = Math.max(2, ...symbols.map((symbol) => [...symbol].length));
  const heads = view.rows.map(({ cam, segments }) => [cam.name, ...segments.map(({ name }) => name)].join(' '));
  const under = view.ghost ? ['  before', '  changed'] : [];
  const left = Math.max(0, ...[...heads, ...under].map((head) => [...head].length)) + 2;
  const line = (head: string, rest: string) => `  ${padded(head, left)}${rest}`.trimEnd();
  return [
    [view.title, aboutLine(view)].filter(Boolean).join(' · '),
    ...(turn.length ? [line('', symbols.map((symbol) => padded(symbol, cell + 1)).join(''))] : []),
    ...view.rows.flatMap(({ figure, wants, ghost }, i) => [
      line(heads[i]!, figure && turn.length ? curveText(view, figure, turn, cell) : wantsText(wants)),
      ...(view.ghost && ghost ? againstLines(view.ghost, ghost, line, cell) : []),
    ]),
    ...(view.ghost?.beside ?? []).map((change) => `  changed: ${change}`),
    ...view.findings.map(({ tag, finding: { code, message } }) => `  ${tag} ${code}: ${message}`),
    '',
  ].join('\n');
}

/** How the follower went before, where that can be set under how it goes now, and what changed. */
function againstLines(
  of: Ghost,
  { was, changes }: GhostRow,
  line: (head: string, rest: string) => string,
  cell: number,
): string[] {
  const turn = Array.from({ length: of.rests + 1 }, (_, across) => across);
  return [
    ...(was ? [line('  before', curveText(of, was, turn, cell))] : []),
    ...(changes.length ? [line('  changed', changes.join(' · '))] : []),
  ];
}

const wantsText = (wants: readonly string[]): string => (wants.length ? `wants ${wants.join(', ')}` : '');

const padded = (text: string, width: number): string => text + ' '.repeat(Math.max(0, width - [...text].length));

function curveText(
  view: Pick<View, 'rests' | 'direction'>,
  cam: CamFigure,
  turn: readonly number[],
  cell: number,
): string {
  const share = (across: number) => liftOf(cam, stepsAt(view, across)) / (cam.lift.stroke || 1);
  return turn
    .map((across, i) => {
      const here = share(across);
      const stand = here > 0.9 ? '▔' : here < 0.1 ? '▁' : '─';
      return stand.repeat(cell) + (i + 1 < turn.length ? way(here, share(across + 0.5), share(across + 1)) : '');
    })
    .join('');
}

/** How a follower gets from one rest by the middle to the next. */
function way(from: number, middle: number, to: number): string {
  if (Math.abs(to - from) > 0.5) return to > from ? '╱' : '╲';
  if (middle < Math.min(from, to) - 0.1) return '∨';
  if (middle > Math.max(from, to) + 0.1) return '∧';
  return from > 0.9 ? '▔' : from < 0.1 ? '▁' : '─';
}
