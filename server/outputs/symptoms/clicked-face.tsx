/** The face, large, whose bars are clicked: each a box that is ticked, not ticked, or half. */
import type { Point } from '../../../language/mechanism.ts';
import type { Face, SymptomTable } from '../../search/symptoms.ts';
import { fitting, middleOf, nameOfBar } from '../chart/face.tsx';
import { closedPath } from '../chart/shapes.ts';
import { liftedBar } from '../chart/view.ts';
import { px } from '../chart/words.ts';
import type { SeenBar, SymptomPage } from './page-data.ts';

const size = { width: 220, height: 300 };

const ways = {
  '1': { checked: 'true', look: 'lw-shown', words: 'shown' },
  '0': { checked: 'false', look: 'lw-hidden', words: 'hidden' },
  '-': { checked: 'mixed', look: 'lw-between', words: 'half-way' },
} as const;

const wayOf = (table: SymptomTable, face: Face, name: string) =>
  ways[(face[table.segments.indexOf(name)] ?? '0') as keyof typeof ways];

export function ClickedFace(props: {
  page: SymptomPage;
  table: SymptomTable;
  face: Face;
  /** Somebody has told what is drawn; else it is only what should be. */
  sure: boolean;
  onClick: (bar: number) => void;
}) {
  const { page, table, face, sure, onClick } = props;
  const { scale, width, transform } = fitting(page.face, 0, 0, size.height, size.width);
  const centre = { x: (page.face.left + page.face.right) / 2, y: (page.face.bottom + page.face.top) / 2 };
  const drawn = new Set(page.bars.map(({ segment }) => segment.name));
  const undrawn = table.segments.filter((name) => !drawn.has(name));
  return (
    <>
      {page.bars.length > 0 && (
        <svg
          class={`lw-drawing lw-clicked-face${sure ? '' : ' lw-unsure'}`}
          viewBox={`0 0 ${px(width)} ${size.height}`}
          width={px(width)}
          height={size.height}
          role="group"
          aria-label="Bars"
        >
          <g transform={transform}>
            {page.bars
              .filter(({ segment }) => table.segments.includes(segment.name))
              .map((bar) => (
                <ClickedBar
                  key={bar.segment.name}
                  bar={bar}
                  way={wayOf(table, face, bar.segment.name)}
                  scale={scale}
                  name={nameOf(bar, scale, centre)}
                  onClick={() => onClick(table.segments.indexOf(bar.segment.name))}
                />
              ))}
          </g>
        </svg>
      )}
      {undrawn.length > 0 && (
        <div class="lw-undrawn" role="group" aria-label="Bars that the design does not place on the face">
          {undrawn.map((name) => {
            const { checked, words } = wayOf(table, face, name);
            return (
              <button
                key={name}
                type="button"
                role="checkbox"
                aria-checked={checked}
                aria-label={`bar ${name}: ${words}`}
                onClick={() => onClick(table.segments.indexOf(name))}
              >
                {name}: {words}
              </button>
            );
          })}
        </div>
      )}
    </>
  );
}

/** Where a bar's name stands: clear of the bar, shown or hidden. */
function nameOf(bar: SeenBar, scale: number, centre: Point): Point {
  const [shown, hidden] = [bar.shownAt, bar.hiddenAt].map((lift) => nameOfBar(bar, lift, scale, centre));
  const away = ({ x, y }: Point) => Math.hypot(x - centre.x * scale, y + centre.y * scale);
  return away(shown) < away(hidden) ? shown : hidden;
}

function ClickedBar(props: {
  bar: SeenBar;
  way: (typeof ways)[keyof typeof ways];
  scale: number;
  name: Point;
  onClick: () => void;
}) {
  const { bar, way, scale, name, onClick } = props;
  const { checked, look, words } = way;
  const { shownAt, hiddenAt, segment } = bar;
  const lift = checked === 'true' ? shownAt : checked === 'false' ? hiddenAt : (shownAt + hiddenAt) / 2;
  const d = closedPath(liftedBar(bar, lift), scale);
  const { x, y } = middleOf(bar, lift);
  const key = (event: KeyboardEvent) => {
    if (event.key !== ' ' && event.key !== 'Enter') return;
    event.preventDefault();
    onClick();
  };
  return (
    <g
      class="lw-clicked-bar"
      role="checkbox"
      tabindex={0}
      aria-checked={checked}
      aria-label={`bar ${segment.name}: ${words}`}
      onClick={onClick}
      onKeyDown={key}
    >
      <path class="lw-reach" d={closedPath(bar.outline, scale)} />
      <path class={look} d={d} />
      {bar.window && <path class="lw-window" d={closedPath(bar.window, scale)} />}
      {checked === 'mixed' && (
        <text class="lw-small lw-middle lw-halo lw-bold" x={px(x * scale)} y={px(-y * scale + 4)}>
          ½
        </text>
      )}
      <text class="lw-small lw-middle lw-dim" x={px(name.x)} y={px(name.y)}>
        {segment.name}
      </text>
    </g>
  );
}
