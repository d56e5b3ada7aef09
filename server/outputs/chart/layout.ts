/** Where everything of the phase chart stands, in px, from the view and a width: no drawing here. */

import { flanksAcross } from './curve.ts';
import {
  laneHeight,
  type Patch,
  type PlacedMark,
  type PlacedText,
  patchOf,
  placeMarks,
  signPatch,
  spare,
  xOf,
} from './placing.ts';
import { type PlacedList, type PlacedStrips, placeList, placeStrips, stripPatches } from './strip-layout.ts';
import type { Group, Row, View } from './view.ts';
import { deg, degRange, fitted, mm, textWidth } from './words.ts';

/** Up to here the chart takes its narrow form: names above the curves, one row. */
export const narrowWidth = 560;

/** The greatest pressure angle of a flank, beside it. */
export interface PlacedAngle extends PlacedText {
  readonly tooSteep: boolean;
}

export interface PlacedRow {
  readonly row: Row;
  readonly top: number;
  readonly bottom: number;
  /** The curve runs from `floor` (lowered) up to `ceiling` (full lift). */
  readonly ceiling: number;
  readonly floor: number;
  readonly marks: readonly PlacedMark[];
  readonly angles: readonly PlacedAngle[];
  /** What is written above the curve in the narrow form: the cam's name, about it, its steepest flank. */
  readonly above: readonly PlacedText[];
  /** Full lift of the older version's curve, which runs from the same floor. */
  readonly ghostCeiling: number;
  /** What changed since the older version, under the curve; absent where nothing did. */
  readonly changed?: PlacedText;
}

export interface PlacedGroup {
  readonly group: Group;
  /** Base line of its heading. */
  readonly heading: number;
  /** Its name, and how the shaft turns. */
  readonly words: readonly [PlacedText, PlacedText];
  readonly rows: readonly PlacedRow[];
}

export interface Layout {
  readonly width: number;
  readonly height: number;
  readonly narrow: boolean;
  readonly left: number;
  readonly right: number;
  /** px of one step. */
  readonly step: number;
  readonly symbolLine: number;
  readonly faceTop: number;
  readonly faceHeight: number;
  readonly faceWidth: number;
  /** Base line of the names of wrong bars; absent where no bar is wrong at rest. */
  readonly wrongLine?: number;
  readonly rowsTop: number;
  readonly rowsBottom: number;
  /** Base line of the axis; its turns of the leading shaft. */
  readonly axisLine: number;
  readonly turns: readonly PlacedText[];
  readonly groups: readonly PlacedGroup[];
  /** Only each so many-th rest carries a head, so that heads do not meet. */
  readonly headEvery: number;
  readonly faceEvery: number;
  readonly pointerFaceTop: number;
  readonly pointerFaceHeight: number;
  /** Texts and signs among the rows, which the turn pointer must not cover. */
  readonly taken: readonly Patch[];
  /** Under the rows; where it is narrow, `list` at the foot in their place. */
  readonly strips: PlacedStrips;
  readonly list: PlacedList;
}

/** A step that divides heads evenly: 1, 2, 5, 10, … */
function thinning(least: number): number {
  for (let scale = 1; ; scale *= 10) {
    for (const factor of [1, 2, 5]) if (scale * factor >= least) return scale * factor;
  }
}

const curveHeight = 30;

/** Height of the line that says what changed on a row, and room before it for the stroke that its curve is drawn with. */
const changedHeight = 16;
export const ghostKey = 22;

/** Heights of full lift, now and before: both to one scale, the higher one as high as a row lets it. */
function curveHeights({ figure, ghost }: Row): readonly [now: number, before: number] {
  const [now, before] = [figure?.lift, ghost?.was?.lift].map((lift) => (lift && !lift.relative ? lift.stroke : 0));
  if (!(now > 0 && before > 0)) return [curveHeight, curveHeight];
  const most = Math.max(now, before);
  return [(curveHeight * now) / most, (curveHeight * before) / most];
}

function placeChanged({ ghost }: Row, left: number, width: number, y: number): PlacedText | undefined {
  if (!ghost?.changes.length) return undefined;
  const text = fitted(ghost.changes.join(' · '), width - left - ghostKey - 8, 11);
  return { text, x: left + ghostKey, y, size: 11 };
}

/** The stretches of an upright line that no text and no sign takes, from above. */
export function freeStretches(
  { taken }: Pick<Layout, 'taken'>,
  x: number,
  top: number,
  bottom: number,
): [number, number][] {
  const met = taken.filter(({ left, right }) => left < x && x < right).sort((one, other) => one.top - other.top);
  const free: [number, number][] = [];
  let from = top;
  for (const patch of met) {
    if (patch.top > from) free.push([from, Math.min(patch.top, bottom)]);
    from = Math.max(from, patch.bottom);
  }
  if (from < bottom) free.push([from, bottom]);
  return free;
}

/** The greatest pressure angle of each flank; where all are alike or room is short, of the steepest alone. */
function placeAngles(
  view: View,
  { figure }: Row,
  layout: Pick<Layout, 'left' | 'step'>,
  middleLine: number,
): PlacedAngle[] {
  const angles = figure?.flankAngles;
  if (!angles) return [];
  const labels = flanksAcross(view, figure).flatMap(({ from, to, lobe, side, rises }) => {
    const angle = angles[lobe]?.[side];
    const middle = (from + to) / 2;
    return angle === undefined || middle < 0 || middle > view.rests ? [] : [{ rises, middle, angle: Math.abs(angle) }];
  });
  const greatest = Math.max(...labels.map(({ angle }) => angle));
  const alike = labels.every(({ angle }) => greatest - angle < 0.0087);
  const limit = view.mechanism.limits.pressureAngle.value;
  const steepest = labels.filter(({ angle }) => angle >= greatest - 1e-9).slice(0, 1);
  return (alike || layout.step < 54 ? steepest : labels).map(({ middle, rises, angle }) => ({
    text: deg(angle, 0),
    x: xOf(layout, middle) + (rises ? -7 : 7),
    y: middleLine - 3,
    size: 11,
    end: rises,
    bold: angle > limit + 1e-9,
    tooSteep: angle > limit + 1e-9,
  }));
}

/** "clockwise, 30° a step, leads". */
export function shaftSentence({ figure }: Pick<Group, 'figure'>): string {
  if (!figure) return '';
  const parts = [figure.turns === 'clockwise' ? '↻ clockwise' : '↺ counterclockwise'];
  if (figure.step) parts.push(`${deg(Math.abs(figure.step), 2)} a step`);
  if (figure.leads) parts.push('leads');
  return parts.join(', ');
}

function headingWords(group: Group, y: number): [PlacedText, PlacedText] {
  const text = group.shaft ? fitted(group.name, 240, 13, true) : 'on no shaft';
  const name = { text, x: 0, y, size: 13, bold: true };
  return [name, { text: shaftSentence(group), x: textWidth(text, 13, true) + 12, y, size: 11 }];
}

/** "a · 3.5 mm · 25°": the segments of a row, their stroke, the angle of its flanks. */
export function rowAbout({ cam, figure, flanks }: Row): string {
  return [
    cam.segments.map((segment) => segment.name).join(' '),
    ...(figure && !figure.lift.relative ? [mm(figure.lift.stroke)] : []),
    ...(flanks ? [degRange(flanks)] : []),
  ].join(' · ');
}

function wordsAbove(row: Row, width: number, y: number): PlacedText[] {
  const name = fitted(row.cam.name, 150, 12, true);
  const nameWidth = textWidth(name, 12, true);
  const angle = row.figure?.pressureAngle;
  return [
    { text: name, x: 4, y, size: 12, bold: true },
    { text: fitted(rowAbout(row), width - 130 - nameWidth, 11), x: 12 + nameWidth, y, size: 11 },
    ...(angle ? [{ text: `steepest ${deg(Math.abs(angle.value))}`, x: width - 4, y, size: 11, end: true }] : []),
  ];
}

/** Whole numbers from 0 to the number of rests, thinned; home always stands at both ends. */
export function thinned(rests: number, every: number): number[] {
  const kept: number[] = [];
  for (let at = 0; at < rests; at += every) if (at === 0 || rests - at >= every * 0.75) kept.push(at);
  return [...kept, rests];
}

function placeTurns(view: View, layout: Pick<Layout, 'left' | 'step' | 'axisLine' | 'headEvery'>): PlacedText[] {
  const { step } = view.figures;
  if (view.rests === 0 || step === undefined) return [];
  return thinned(view.rests, Math.max(layout.headEvery, Math.ceil(40 / layout.step))).map((at) => ({
    text: deg(step * at),
    x: xOf(layout, at),
    y: layout.axisLine,
    size: 11,
    middle: true,
  }));
}

/** `only`: the one row that the narrow form shows. */
export function layoutOf(view: View, width: number, only?: string): Layout {
  const narrow = width <= narrowWidth;
  const left = narrow ? 0 : 174;
  const rightRoom = narrow ? 0 : 100;
  const right = Math.max(left + 40, width - rightRoom);
  const step = (right - left) / (Math.max(1, view.rests) + 2 * spare);
  const widest = Math.max(12, ...view.figures.positions.map(({ symbol }) => textWidth(symbol, 15, true)));
  const headEvery = thinning((widest + 8) / step);
  const faceWidth = Math.min(30, Math.max(12, step - 8));
  const faceEvery = view.rests > 0 ? thinning(20 / step) : 1;
  const symbolLine = 18;
  const faceTop = 27;
  const counted = view.rests > 0;
  const faceHeight = counted && view.mechanism.segments.length > 0 ? 42 : 0;
  const wrong = view.figures.positions.some((position) => position.wrong.length > 0);
  const wrongLine = wrong ? faceTop + faceHeight + 14 : undefined;
  let y = counted ? (wrongLine ?? faceTop + faceHeight) + 18 : 34;
  const rowsTop = y;
  const groups = view.groups.flatMap((group): PlacedGroup[] => {
    const shown = only === undefined ? group.rows : group.rows.filter((row) => row.cam.name === only);
    if (shown.length === 0) return [];
    const heading = y + 17;
    y += 26;
    const rows = shown.map((row): PlacedRow => {
      const top = y;
      if (narrow) y += 20;
      const { marks, lanes } = placeMarks(row.marks, { left, step }, y + 2);
      const floor = y + 8 + lanes * laneHeight + curveHeight;
      const [height, ghostHeight] = curveHeights(row);
      const ceiling = floor - height;
      y = floor + 10;
      const changed = placeChanged(row, narrow ? 4 : left, width, y + 4);
      if (changed) y += changedHeight;
      const angles = counted ? placeAngles(view, row, { left, step }, (ceiling + floor) / 2) : [];
      const above = narrow ? wordsAbove(row, width, top + 17) : [];
      const ghostCeiling = floor - ghostHeight;
      return { row, top, bottom: y, ceiling, floor, marks, angles, above, ghostCeiling, changed };
    });
    y += 4;
    return [{ group, heading, words: headingWords(group, heading), rows }];
  });
  const rowsBottom = y;
  const none = { strips: [], bottom: rowsBottom };
  const strips = narrow || !counted ? none : placeStrips(view, { left, step, right, top: rowsBottom });
  const axisLine = strips.bottom + 16;
  const turns = placeTurns(view, { left, step, axisLine, headEvery });
  const pointerFaceTop = axisLine + 14;
  const pointerFaceHeight = counted && view.mechanism.segments.length > 0 ? 58 : 0;
  const foot = counted ? pointerFaceTop + pointerFaceHeight + 28 : rowsBottom + 10;
  const list = narrow && counted ? placeList(view, width, foot + 6) : { columns: [], bottom: foot };
  return {
    width,
    height: list.bottom,
    narrow,
    left,
    right,
    step,
    symbolLine,
    faceTop,
    faceHeight,
    faceWidth,
    wrongLine,
    rowsTop,
    rowsBottom,
    axisLine,
    turns,
    groups,
    headEvery,
    faceEvery,
    pointerFaceTop,
    pointerFaceHeight,
    strips,
    list,
    taken: [
      ...groups.flatMap(({ words, rows }) => [
        ...words.map(patchOf),
        ...rows.flatMap(({ marks, angles, above, changed }) => [
          ...marks.map(signPatch),
          ...[...angles, ...above, ...(changed ? [changed] : [])].map(patchOf),
        ]),
      ]),
      ...stripPatches(strips),
      ...turns.map(patchOf),
    ],
  };
}
