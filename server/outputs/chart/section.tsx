/** The stacks cut along their shafts, from the face backwards: what lies where, and how high; each shaft from its axis out. */
import type { Place } from '../../../language/mechanism.ts';
import type { StackedPart } from '../../reckon/shape/stack.ts';
import { FindingSign } from './marks.tsx';
import type { Row, View } from './view.ts';
import { mm, plain, px, textWidth } from './words.ts';

/** The stack of one shaft. */
interface Band {
  readonly shaft: string;
  readonly parts: readonly SectionPart[];
  /** mm. */
  readonly reach: number;
}

/** With its own greatest radius, and that of its shaft; mm. */
type SectionPart = StackedPart & { readonly radius: number; readonly core: number };

/** What is stacked on every shaft, with its greatest radius; a spacer as wide as its shaft and a little. */
function bandsOf(view: View): readonly Band[] {
  return view.mechanism.shafts.flatMap(({ name: shaft }) => {
    const here = view.figures.stack.parts.filter((part) => part.shaft === shaft);
    const radiusOf = ({ kind, name }: StackedPart) =>
      view.bodies.find((body) => body.kind === kind && body.name === name)?.outline.greatest;
    const core = here.flatMap((part) => (part.kind === 'shaft' ? (radiusOf(part) ?? []) : []))[0] ?? 3;
    const parts = here.map((part) => ({ ...part, core, radius: radiusOf(part) ?? core * 1.25 }));
    return parts.length > 0 ? [{ shaft, parts, reach: Math.max(...parts.map(({ radius }) => radius)) }] : [];
  });
}

/** Whether there is anything to cut. */
export const isStacked = ({ figures }: Pick<View, 'figures'>): boolean => figures.stack.depth > 0;

/** "21.8 mm deep, 5 levels" */
export function sectionNote({ figures: { stack } }: View): string {
  const count = stack.levels.length;
  return `${mm(stack.depth)} from the face back, ${count} ${count === 1 ? 'level' : 'levels'}`;
}

const partWords = ({ kind, name, from, to }: StackedPart): string =>
  `${kind === 'flange' ? `flange of ${name}` : kind === 'cam' ? name : `${kind} ${name}`}, ${mm(to - from)} from ${mm(from)} to ${mm(to)}`;

export const sectionSentence = (view: View): string =>
  [sectionNote(view), ...bandsOf(view).map(({ shaft, parts }) => `${shaft}: ${parts.map(partWords).join(', ')}`)].join(
    '; ',
  );

/** Room for the levels' numbers above, for a shaft's name, for the depths below; px. */
const headRoom = 18;
const footRoom = 18;
const nameRoom = 16;

export function Section(props: {
  view: View;
  row?: Row;
  width: number;
  height: number;
  onSelect?: (place: Place) => void;
}) {
  const { view, row, width, height, onSelect } = props;
  const { stack } = view.figures;
  const bands = bandsOf(view);
  if (!isStacked(view) || bands.length === 0) return null;
  const radial = bands.reduce((sum, { reach }) => sum + reach, 0);
  const up = Math.max(0.2, (height - headRoom - footRoom - bands.length * nameRoom) / radial);
  const x = (depth: number) => 12 + (depth / stack.depth) * (width - 40);
  const boxes: { y: number; band: Band }[] = [];
  let y = headRoom;
  for (const band of bands) {
    y += nameRoom + band.reach * up;
    boxes.push({ y, band });
  }
  const sentence = sectionSentence(view);
  const depths = [0, ...stack.levels.map(({ to }) => to)];
  const widest = Math.max(...depths.map((depth) => textWidth(plain(depth, 1), 11))) + 6;
  const every = Math.max(1, Math.ceil(widest / (x(stack.depth / stack.levels.length) - x(0))));
  return (
    <g role="group" aria-label={`Section of the stacks: ${sentence}`}>
      <title>Section of the stacks</title>
      <desc>{sentence}</desc>
      {depths.map((depth) => (
        <path key={depth} class="lw-rest" d={`M${px(x(depth))} ${headRoom}V${px(y + 4)}`} />
      ))}
      {stack.levels.map(({ level, from, to }, index) =>
        index % every === 0 ? (
          <text key={level} class="lw-small lw-dim lw-middle" x={px(x((from + to) / 2))} y="12">
            {level}
          </text>
        ) : null,
      )}
      {boxes.map(({ y: axis, band }) => (
        <g key={band.shaft}>
          {band.parts.map((part) => (
            <Part
              key={`${part.kind} ${part.name} ${part.from}`}
              part={part}
              left={x(part.from)}
              right={x(part.to)}
              axis={axis}
              radius={part.radius * up}
              core={part.core * up}
              chosen={part.kind === 'cam' && part.name === row?.cam.name}
              onSelect={onSelect && placeOf(view, part) && (() => onSelect(placeOf(view, part)!))}
            />
          ))}
          <path class="lw-pitch" d={`M${px(x(0) - 8)} ${px(axis)}H${px(x(stack.depth) + 8)}`} />
          <text class="lw-small lw-halo" x={px(x(0))} y={px(axis - band.reach * up - 4)}>
            {band.shaft}
          </text>
        </g>
      ))}
      <Signs view={view} boxes={boxes} x={x} up={up} />
      {depths.map((depth, index) =>
        index % every === 0 || index === depths.length - 1 ? (
          <text key={depth} class="lw-small lw-dim lw-middle" x={px(x(depth))} y={px(y + 17)}>
            {index === depths.length - 1 ? mm(Math.round(depth * 100) / 100) : plain(depth)}
          </text>
        ) : null,
      )}
    </g>
  );
}

function placeOf({ mechanism }: View, { kind, name }: StackedPart): Place | undefined {
  const all =
    kind === 'gear' ? mechanism.gears : kind === 'cam' || kind === 'flange' ? mechanism.cams : mechanism.shafts;
  return all.find((part) => part.name === name)?.place;
}

const looks = {
  cam: 'lw-other lw-cam-ground',
  flange: 'lw-flange',
  gear: 'lw-gear',
  spacer: 'lw-spacer',
  shaft: 'lw-bore',
} as const;

function Part(props: {
  part: SectionPart;
  left: number;
  right: number;
  axis: number;
  radius: number;
  core: number;
  chosen: boolean;
  onSelect?: () => void;
}) {
  const { part, left, right, axis, radius, core, chosen, onSelect } = props;
  const { kind, name } = part;
  const named = kind === 'cam' || kind === 'gear';
  const room = right - left - 4;
  return (
    <g onClick={onSelect}>
      <title>{partWords(part)}</title>
      <rect
        class={chosen ? 'lw-cam lw-fine lw-cam-ground' : looks[kind]}
        x={px(left)}
        y={px(axis - radius)}
        width={px(right - left)}
        height={px(radius)}
      />
      {named && textWidth(name, 11, chosen) < room + 4 && (
        <text
          class={`lw-small lw-middle lw-halo${chosen ? ' lw-bold' : ''}`}
          x={px((left + right) / 2)}
          y={px(radius - core > 16 ? axis - radius + 13 : axis - radius - 4)}
        >
          {name}
        </text>
      )}
    </g>
  );
}

/** Signs of stacks that do not fit together, on the first part that each is about. */
function Signs(props: {
  view: View;
  boxes: readonly { readonly y: number; readonly band: Band }[];
  x: (depth: number) => number;
  up: number;
}) {
  const { view, boxes, x, up } = props;
  return (
    <g>
      {view.findings.map(({ tag, finding }) => {
        if (finding.code !== 'level-clash') return null;
        const all = boxes.flatMap(({ y, band }) => band.parts.map((part) => ({ y, part })));
        const there = all.find(({ part }) => finding.about.includes(part.name) && part.kind !== 'shaft');
        if (!there) return null;
        const { y, part } = there;
        const middle = x((part.from + part.to) / 2);
        return (
          <FindingSign key={tag} severity={finding.severity} tag={tag} x={middle - 6} y={y - (part.radius * up) / 2} />
        );
      })}
    </g>
  );
}
