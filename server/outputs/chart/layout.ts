/** Where everything of the phase chart stands, in px, from the view and a width: no drawing here. */

import { signReach } from './marks.tsx';
import type { Group, Row, RowMark, View } from './view.ts';
import { textWidth } from './words.ts';

/** Up to here the chart takes its narrow form: names above the curves, one row. */
export const narrowWidth = 560;

export interface PlacedMark {
  readonly mark: RowMark;
  /** Where its sign stands. */
  readonly x: number;
  readonly y: number;
  /** Where on the turn it points at; empty: nowhere in particular. */
  readonly points: readonly number[];
}

export interface PlacedRow {
  readonly row: Row;
  readonly top: number;
  readonly bottom: number;
  /** The curve runs from `floor` (lowered) up to `ceiling` (full lift). */
  readonly ceiling: number;
  readonly floor: number;
  readonly marks: readonly PlacedMark[];
}

export interface PlacedGroup {
  readonly group: Group;
  /** Base line of its heading. */
  readonly heading: number;
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
  readonly axisLine: number;
  readonly groups: readonly PlacedGroup[];
  /** Only each so many-th rest carries a head, so that heads do not meet. */
  readonly headEvery: number;
  readonly faceEvery: number;
  readonly pointerFaceTop: number;
  readonly pointerFaceHeight: number;
}

/** Rests beyond the ends, in steps, that are still drawn. */
const spare = 0.42;

export const xOf = (layout: Pick<Layout, 'left' | 'step'>, across: number): number =>
  layout.left + (across + spare) * layout.step;

export const acrossOf = (layout: Pick<Layout, 'left' | 'step'>, x: number): number =>
  (x - layout.left) / layout.step - spare;

export const firstAcross = -spare;
export const lastAcross = (rests: number): number => rests + spare;

/** A step that divides heads evenly: 1, 2, 5, 10, … */
function thinning(least: number): number {
  for (let scale = 1; ; scale *= 10) {
    for (const factor of [1, 2, 5]) if (scale * factor >= least) return scale * factor;
  }
}

const curveHeight = 30;
const laneHeight = 24;

function placeMarks(
  row: Row,
  layout: Pick<Layout, 'left' | 'step'>,
  lane: number,
): { marks: PlacedMark[]; lanes: number } {
  const ends: number[] = [];
  const placed: PlacedMark[] = [];
  const signs = row.marks.flatMap((mark) => {
    const points = mark.at.map((across) => xOf(layout, across));
    const { left, right } = signReach(mark.tag);
    const clusters: number[][] = [];
    for (const x of points) {
      const last = clusters.at(-1);
      if (last && x - last.at(-1)! < left + right + 4) last.push(x);
      else clusters.push([x]);
    }
    return clusters.length === 0
      ? [{ mark, points: [], x: left + 2 }]
      : clusters.map((cluster) => ({ mark, points: cluster, x: cluster[0]! }));
  });
  for (const sign of signs.sort((one, other) => one.x - other.x)) {
    const { left, right } = signReach(sign.mark.tag);
    let level = ends.findIndex((end) => sign.x - left >= end);
    if (level < 0) level = ends.length;
    ends[level] = sign.x + right;
    placed.push({ ...sign, y: lane + level * laneHeight + laneHeight / 2 });
  }
  return { marks: placed, lanes: ends.length };
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
      const { marks, lanes } = placeMarks(row, { left, step }, y + 2);
      const ceiling = y + 8 + lanes * laneHeight;
      const floor = ceiling + curveHeight;
      y = floor + 10;
      return { row, top, bottom: y, ceiling, floor, marks };
    });
    y += 4;
    return [{ group, heading, rows }];
  });
  const rowsBottom = y;
  const axisLine = rowsBottom + 16;
  const pointerFaceTop = axisLine + 14;
  const pointerFaceHeight = counted && view.mechanism.segments.length > 0 ? 58 : 0;
  return {
    width,
    height: counted ? pointerFaceTop + pointerFaceHeight + 28 : rowsBottom + 10,
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
    groups,
    headEvery,
    faceEvery,
    pointerFaceTop,
    pointerFaceHeight,
  };
}
