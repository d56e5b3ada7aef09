/** The plan: every shaft from the front, with its gears, their marks and the way it turns. */
import type { Place, Shaft } from '../../../language/mechanism.ts';
import type { GearFigure } from '../../reckon/figures.ts';
import { remembering } from './remember.ts';
import { type Box, boxOf, closedPath, gearOutline, grown, polar } from './shapes.ts';
import type { View } from './view.ts';
import { bearing, deg, listed, px, tenths } from './words.ts';

/** Reach of what turns on a shaft, mm: its gears, else its cams, else its bearing. */
function reachOf(view: View, shaft: Shaft): number {
  const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name).map((gear) => gear.tipRadius);
  const cams = view.figures.cams
    .filter((cam) => cam.shaft === shaft.name)
    .map((cam) => (cam.primeRadius ?? 0) + cam.lift.stroke);
  return Math.max(...gears, ...cams, 2 * (shaft.bearing?.value ?? 6), 4);
}

interface PlacedShaft {
  readonly shaft: Shaft;
  readonly x: number;
  readonly y: number;
  readonly reach: number;
}

export interface PlanLayout {
  readonly shafts: readonly PlacedShaft[];
  readonly box: Box;
}

/** Where the shafts stand; undefined where no shaft says where it is. */
export function planOf(view: View): PlanLayout | undefined {
  const shafts = view.mechanism.shafts.flatMap((shaft) =>
    shaft.at ? [{ shaft, ...shaft.at.value, reach: reachOf(view, shaft) }] : [],
  );
  const box = boxOf(
    shafts.flatMap(({ x, y, reach }) => [
      { x: x - reach, y: y - reach },
      { x: x + reach, y: y + reach },
    ]),
  );
  return box && { shafts, box: grown(box, 0.04 * Math.max(box.right - box.left, box.top - box.bottom)) };
}

/** A gear's outline in px; it changes neither as the pointer moves nor as one types elsewhere. */
const gearPath = remembering(
  24,
  (given: { gear: GearFigure; shift: number; scale: number }) => JSON.stringify(given),
  ({ gear, shift, scale }) => closedPath(gearOutline(gear, shift), scale, tenths),
);

/** An arrow along a circle, in the sense of a turn, about 0, 0; angles rad, y down on the drawing. */
export function TurnArrow({ radius, from, sense }: { radius: number; from: number; sense: 1 | -1 }) {
  const to = from + sense * 0.65;
  const [start, end] = [polar(radius, from), polar(radius, to)];
  const heading = to + (sense * Math.PI) / 2;
  const tip = { x: end.x + 7 * Math.cos(heading), y: end.y + 7 * Math.sin(heading) };
  const wing = (side: number) => ({
    x: end.x + 4 * Math.cos(heading + side * (Math.PI / 2)),
    y: end.y + 4 * Math.sin(heading + side * (Math.PI / 2)),
  });
  const [one, other] = [wing(1), wing(-1)];
  return (
    <g aria-hidden="true">
      <path
        class="lw-arrow"
        d={`M${px(start.x)} ${px(-start.y)}A${px(radius)} ${px(radius)} 0 0 ${sense === 1 ? 0 : 1} ${px(end.x)} ${px(-end.y)}`}
      />
      <path
        class="lw-arrow-head"
        d={`M${px(tip.x)} ${px(-tip.y)}L${px(one.x)} ${px(-one.y)}L${px(other.x)} ${px(-other.y)}Z`}
      />
    </g>
  );
}

/** Where the plan says how the shafts stand, in words. */
export function planSentence(view: View, t: number): string {
  const shafts = view.mechanism.shafts.map((shaft) => {
    const figure = view.figures.shafts.find(({ name }) => name === shaft.name);
    const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name).map((gear) => `${gear.teeth} teeth`);
    const turned = figure ? `, turned ${bearing(Math.abs(figure.step * t))} ${figure.turns}` : '';
    return `${shaft.name}${gears.length > 0 ? ` with ${listed(gears)}` : ''}${turned}`;
  });
  return shafts.join('; ');
}

/** A shaft's name stands on its gears where these reach further than so many px, else beside them. */
const nameRoom = 44;
const nameHeight = 16;

/** The plan in a width and height, turned to `t` steps from home. */
export function Plan(props: {
  view: View;
  plan: PlanLayout;
  t: number;
  width: number;
  height: number;
  chosen?: string;
  onSelect?: (place: Place) => void;
}) {
  const { view, plan, t, width, height, chosen, onSelect } = props;
  const { box, shafts } = plan;
  const full = Math.min(width / (box.right - box.left), height / (box.top - box.bottom));
  const outside = shafts.some(({ reach }) => reach * full <= nameRoom) ? 2 * nameHeight : 0;
  const scale = Math.min(width / (box.right - box.left), (height - outside) / (box.top - box.bottom));
  const x = (at: number) => width / 2 + (at - (box.left + box.right) / 2) * scale;
  const y = (at: number) => height / 2 - (at - (box.bottom + box.top) / 2) * scale;
  return (
    <g role="group" aria-label={`Plan of the shafts: ${planSentence(view, t)}`}>
      <title>Plan of the shafts</title>
      <desc>{planSentence(view, t)}</desc>
      {shafts.map((placed) => (
        <g key={placed.shaft.name} transform={`translate(${px(x(placed.x))} ${px(y(placed.y))})`}>
          <ShaftPlan
            view={view}
            placed={placed}
            above={placed.y > (box.bottom + box.top) / 2 + 1e-6}
            scale={scale}
            t={t}
            chosen={chosen}
            onSelect={onSelect}
          />
        </g>
      ))}
    </g>
  );
}

function ShaftPlan(props: {
  view: View;
  placed: PlacedShaft;
  /** Whether it stands above the middle, where its name is out of the way above it. */
  above: boolean;
  scale: number;
  t: number;
  chosen?: string;
  onSelect?: (place: Place) => void;
}) {
  const { view, placed, above, scale, t, chosen, onSelect } = props;
  const { shaft, reach } = placed;
  const figure = view.figures.shafts.find(({ name }) => name === shaft.name);
  const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name);
  const turned = -((figure?.step ?? 0) * t * 180) / Math.PI;
  const rim = reach * scale;
  const bore = Math.max(2.5, Math.min(rim * 0.4, ((shaft.bearing?.value ?? 6) / 2) * scale));
  const nameInside = rim > nameRoom;
  return (
    <g onClick={onSelect && (() => onSelect(shaft.place))}>
      <title>{`${shaft.name}${figure ? `: ${figure.turns}, ${deg(Math.abs(figure.step), 2)} a step` : ''}`}</title>
      <g transform={`rotate(${px(turned)})`}>
        {gears.length === 0 && <circle class="lw-other" r={px(rim)} />}
        {[...gears]
          .sort((one, other) => other.tipRadius - one.tipRadius)
          .map((gear) => (
            <GearPlan key={gear.name} view={view} gear={gear} scale={scale} />
          ))}
        <circle class="lw-bore" r={px(bore)} />
        <path class="lw-stem" d={`M0 0H${px(bore)}`} />
      </g>
      {figure && figure.step !== 0 && (
        <TurnArrow
          radius={Math.max(bore + 6, rim * (nameInside ? 0.42 : 0.6))}
          from={0.6}
          sense={view.direction === 1 ? figure.sense : figure.sense === 1 ? -1 : 1}
        />
      )}
      <text
        class={`lw-small lw-middle${chosen === shaft.name ? ' lw-bold' : ''}`}
        y={px(nameInside ? bore + 15 : above ? -rim - 6 : rim + 14)}
      >
        {shaft.name}
      </text>
    </g>
  );
}

function GearPlan({ view, gear, scale }: { view: View; gear: GearFigure; scale: number }) {
  const shift = view.mechanism.gears.find(({ name }) => name === gear.name)?.shift.value ?? 0;
  const mark = (angle: number) => {
    const at = polar((gear.rootRadius - 3.2 / scale) * scale, angle);
    return { x: px(at.x), y: px(-at.y) };
  };
  return (
    <g>
      <path class="lw-gear" d={gearPath({ gear, shift, scale })} />
      <circle class="lw-pitch" r={px(gear.pitchRadius * scale)} />
      {gear.marks.map((angle) => (
        <circle key={angle} class="lw-dot" cx={mark(angle).x} cy={mark(angle).y} r="2.5" />
      ))}
    </g>
  );
}
