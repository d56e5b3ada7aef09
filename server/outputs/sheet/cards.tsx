/** Cards for testing: the face at every rest, at a known scale, to cut out and hold beside the numeral. */
import { Bars, faceSentence, SmallFace } from '../chart/face.tsx';
import { aboutLine, barsAt, restAt, symbolAt, type View } from '../chart/view.ts';
import { fitted, plain, px } from '../chart/words.ts';
import { type Block, type Document, type Drawing, text, widest } from '../document/document.ts';
import { quoted, shownAs } from './told/words.ts';

/** CSS px to the mm. */
const pxPerMm = 96 / 25.4;

/** How tall a card may be, px: 240 mm, what A4 and Letter have between margins and foot. */
const tallest = 240 * pxPerMm;

/** Scales that are tried where true size finds no room, 1 : n. */
const scales = [1, 1.5, 2, 2.5, 3, 4, 5, 10, 20, 50];

const [aside, head, foot] = [8, 36, 8];

/** A card's size, px, at 1 : n. */
function sizeOf(
  { face }: View,
  n: number,
): { readonly width: number; readonly height: number; readonly scale: number } {
  const scale = pxPerMm / n;
  return {
    scale,
    width: Math.ceil((face.right - face.left) * scale) + 2 * aside,
    height: Math.ceil((face.top - face.bottom) * scale) + head + foot,
  };
}

const fits = ({ width, height }: { readonly width: number; readonly height: number }) =>
  width <= widest && height <= tallest;

/** The greatest of the usual scales, 1 : n, at which a card fits on the paper. */
export const usualScale = (view: View): number => scales.find((n) => fits(sizeOf(view, n))) ?? scales.at(-1)!;

/** Why no card fits at 1 : n; undefined where it does. */
export function tooLarge(view: View, n: number): string | undefined {
  const size = sizeOf(view, n);
  if (fits(size)) return undefined;
  const [wide, tall] = [size.width, size.height].map((side) => plain(side / pxPerMm, 0));
  return `a card of ${view.title} would be ${wide} by ${tall} mm, and a page holds 180 by 240 mm; 1:${usualScale(view)} fits`;
}

const scaleInWords = (n: number): string => (n === 1 ? 'true size' : `1 : ${plain(n)}`);

/** All cards of one mechanism at 1 : n. */
export function cardsDocument(view: View, n: number, version: string): Document {
  const rests = Array.from({ length: view.rests }, (_, across) => across);
  const cards: Block[] =
    rests.length > 0
      ? [
          text(
            `Print without fitting to the page, measure the rule, and cut along the dashed lines. Each card shows what a reader of the face sees at one rest, ${n === 1 ? 'at true size' : `at ${scaleInWords(n)} of its size`}; the rests come in the order of the steps.`,
          ),
          { kind: 'drawings', drawings: [rule] },
          { kind: 'drawings', cut: true, drawings: rests.map((across) => card(view, across, n)) },
        ]
      : [text('There are no cards: the text gives no count, or no glyphs.')];
  return {
    title: `Cards for testing: ${view.title}`,
    about: [aboutLine(view), scaleInWords(n), `drawn by Lobewright ${version}`].filter(Boolean).join(' · '),
    blocks: cards,
  };
}

/** 50 mm, to see that the printer kept the size. */
const rule: Drawing = {
  title: 'A rule of 50 mm',
  description: '50 mm from end to end, a stroke every 10 mm',
  caption: 'from end to end 50 mm: if not, print again without fitting to the page',
  width: 320,
  height: 26,
  body: (
    <g>
      <path class="lw-stem" d={`M2 20H${px(2 + 50 * pxPerMm)}`} />
      {[0, 10, 20, 30, 40, 50].map((at) => (
        <path key={at} class="lw-stem" d={`M${px(2 + at * pxPerMm)} ${at % 50 === 0 ? 8 : 13}V20`} />
      ))}
    </g>
  ),
};

function card(view: View, across: number, n: number): Drawing {
  const { width, height, scale } = sizeOf(view, n);
  const states = barsAt(view, across);
  const rest = restAt(view, across);
  const symbol = symbolAt(view, across);
  const { left, top } = view.face;
  return {
    title: `Rest ${rest}: ${quoted(symbol)}`,
    description: faceSentence(states),
    width,
    height,
    body: (
      <g>
        <text class="lw-title" x={aside} y="24">
          {fitted(shownAs(symbol), width - 2 * aside - 54, 17, true)}
        </text>
        <text class="lw-small lw-dim lw-end" x={width - aside} y="24">
          {`rest ${rest}`}
        </text>
        {view.bars.length === 0 ? (
          <SmallFace view={view} states={states} x={width / 2} y={head} height={height - head - foot} widest={width} />
        ) : (
          <g transform={`translate(${px(aside - left * scale)} ${px(head + top * scale)})`}>
            <Bars view={view} states={states} scale={scale} />
          </g>
        )}
      </g>
    ),
  };
}
