/**
 * The plan: every shaft from the front, with its gears and their marks, the way it turns, and at one level the cams and
 * flanges in true outline, so that what meets there is seen where it meets.
 */
import type { Place, Point, Shaft } from '../../../language/mechanism.ts';
import { inWords, isSlider, type Meeting, meets, nameOf } from '../../checks/clashes.ts';
import type { GearFigure } from '../../reckon/figures.ts';
import type { Body } from '../../reckon/shape/bodies.ts';
import { shared } from '../../reckon/shape/clearance.ts';
import { type Box, boxOf, nearest, type Polygon } from '../../reckon/shape/convex.ts';
import { carried } from '../../reckon/shape/movers.ts';
import type { Encounter } from '../../reckon/shape/over-turn.ts';
import { drawnOutline, type Slider } from '../../reckon/shape/posts.ts';
import type { Depth } from '../../reckon/shape/stack.ts';
import { gearOutline } from '../../reckon/shape/teeth.ts';
import { FrameLines, withFrame } from './frame-lines.tsx';
import { type Drawn, LedSign, Overlap } from './marks.tsx';
import { type PlacedText, patchOf, placeSigns, type Spot } from './placing.ts';
import { remembering } from './remember.ts';
import { closedPath, grown, outlinePath, polar, turned } from './shapes.ts';
import { findingOn, liftOf, type Row, type Tagged, type View } from './view.ts';
import { bearing, deg, listed, mm, px, tenths } from './words.ts';

/** Reach of what turns on a shaft, mm: else its bearing. */
function reachOf(view: View, shaft: Shaft): number {
  const bodies = view.bodies.filter((body) => body.shaft === shaft.name).map(({ outline }) => outline.greatest);
  const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name).map((gear) => gear.tipRadius);
  const cams = view.figures.cams
    .filter((cam) => cam.shaft === shaft.name)
    .map((cam) => (cam.primeRadius ?? 0) + cam.lift.stroke);
  return Math.max(...bodies, ...gears, ...cams, 2 * (shaft.bearing?.value ?? 6), 4);
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
  const box = boxOf([
    ...shafts.flatMap(({ x, y, reach }) => [
      { x: x - reach, y: y - reach },
      { x: x + reach, y: y + reach },
    ]),
    ...view.sliders.flatMap(({ kind, box: { left, right, bottom, top } }) =>
      kind === 'arm'
        ? [
            { x: left, y: bottom },
            { x: right, y: top },
          ]
        : [],
    ),
  ]);
  if (!box) return undefined;
  const whole = withFrame(view, box);
  return { shafts, box: grown(whole, 0.04 * Math.max(box.right - box.left, box.top - box.bottom)) };
}

// ---- one level ---------------------------------------------------------------------------

/** What two parts of a layer touch in. */
interface Clash {
  readonly parts: readonly [Meeting, Meeting];
  /** How deep at the worst moment, mm. */
  readonly deep: number;
  readonly found?: Tagged;
}

/** What lies in the depth of one cam and its flange, on every shaft. */
export interface Layer {
  readonly level: number;
  readonly cam: string;
  readonly bodies: readonly Body[];
  /** Arms, and stems, posts and guides that something touches there. */
  readonly sliders: readonly Slider[];
  readonly clashes: readonly Clash[];
}

const same = (one: Meeting, other: Meeting): boolean => one.kind === other.kind && nameOf(one) === nameOf(other);

/** The layer of a row's cam; undefined while it has no level or no shaft. */
export function layerOf(view: View, row: Row | undefined): Layer | undefined {
  const { stack, encounters } = view.figures;
  const own = stack.parts.filter(({ kind, name }) => (kind === 'cam' || kind === 'flange') && name === row?.cam.name);
  const level = own[0]?.level;
  if (!row || level === undefined) return undefined;
  const depth = { from: Math.min(...own.map(({ from }) => from)), to: Math.max(...own.map(({ to }) => to)) };
  const here = (part: { readonly depth: Depth }) => shared(part.depth, depth) !== undefined;
  const clash = (code: string, parts: Clash['parts'], { gap }: Encounter): Clash => ({
    parts,
    deep: -gap,
    found: findingOn(view, [code, 'large-nose'], parts.map(nameOf)),
  });
  const told = <One extends Encounter & { readonly depth: Depth }>(all: readonly One[]) =>
    all.filter((one) => meets(one) && here(one));
  const clashes = [
    ...told(encounters.clearances).map((one) => clash('neighbour-clash', one.between, one)),
    ...told(encounters.posts).map((one) => clash('post-clash', [one.of, one.against], one)),
  ];
  return {
    level,
    cam: row.cam.name,
    bodies: view.bodies.filter((body) => body.kind !== 'gear' && here(body)),
    sliders: view.sliders.filter(
      (slider) =>
        here(slider) &&
        (slider.kind === 'arm' || clashes.some(({ parts }) => parts.some((part) => same(part, slider)))),
    ),
    clashes: clashes.sort((one, other) => other.deep - one.deep),
  };
}

/** "camA touches camD, up to 0.8 mm deep" */
const clashSentence = ({ parts, deep }: Clash): string =>
  `${inWords(parts[0])} touches ${inWords(parts[1])}, up to ${mm(deep)} deep`;

/** What of the plan is said under its heading. */
export const planNote = (layer: Layer | undefined): string =>
  layer ? `from the front · level ${layer.level}` : 'from the front';

/** Where the plan says how the shafts stand, in words. */
export function planSentence(view: View, t: number, layer?: Layer): string {
  const shafts = view.mechanism.shafts.map((shaft) => {
    const figure = view.figures.shafts.find(({ name }) => name === shaft.name);
    const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name).map((gear) => `${gear.teeth} teeth`);
    const turned = figure ? `, turned ${bearing(Math.abs(figure.step * t))} ${figure.turns}` : '';
    return `${shaft.name}${gears.length > 0 ? ` with ${listed(gears)}` : ''}${turned}`;
  });
  return [...shafts, ...(layer?.clashes ?? []).map(clashSentence)].join('; ');
}

// ---- drawing -----------------------------------------------------------------------------

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

/** A shaft's name stands on its gears where these reach further than so many px, else beside them. */
const nameRoom = 44;
const nameHeight = 16;

/** How the plan's mm lie on the drawing, and how far everything has turned. */
interface Scene {
  readonly view: View;
  readonly t: number;
  readonly scale: number;
  readonly at: (point: Point) => Point;
  /** Whether a shaft's section is drawn. */
  readonly isCored: (placed: PlacedShaft) => boolean;
  /** Whether a shaft stands above the middle, where its name is out of the way above it. */
  readonly isAbove: (placed: PlacedShaft) => boolean;
}

const thetaOf = ({ view, t }: Scene, shaft: string): number =>
  (view.figures.shafts.find(({ name }) => name === shaft)?.step ?? 0) * t;

const place = ({ x, y }: Point): string => `translate(${px(x)} ${px(y)})`;

/** The plan in a width and height, turned to `t` steps from home. */
export function Plan(props: {
  view: View;
  plan: PlanLayout;
  /** The level whose cams are drawn. */
  layer?: Layer;
  t: number;
  width: number;
  height: number;
  chosen?: string;
  onSelect?: (place: Place) => void;
}) {
  const { view, plan, layer, t, width, height, chosen, onSelect } = props;
  const { box, shafts } = plan;
  const full = Math.min(width / (box.right - box.left), height / (box.top - box.bottom));
  const outside = shafts.some(({ reach }) => reach * full <= nameRoom) ? 2 * nameHeight : 0;
  const scale = Math.min(width / (box.right - box.left), (height - outside) / (box.top - box.bottom));
  const at = ({ x, y }: Point): Point => ({
    x: width / 2 + (x - (box.left + box.right) / 2) * scale,
    y: height / 2 - (y - (box.bottom + box.top) / 2) * scale,
  });
  const scene: Scene = {
    view,
    t,
    scale,
    at,
    isCored: ({ shaft: { name } }) =>
      layer?.bodies.some(({ kind, shaft }) => kind === 'shaft' && shaft === name) ?? false,
    isAbove: ({ y }) => y > (box.bottom + box.top) / 2 + 1e-6,
  };
  const sentence = planSentence(view, t, layer);
  return (
    <g role="group" aria-label={`Plan of the shafts: ${sentence}`}>
      <title>Plan of the shafts</title>
      <desc>{sentence}</desc>
      <FrameLines view={view} at={at} scale={scale} />
      {shafts.map((placed) => (
        <g
          key={placed.shaft.name}
          transform={place(at(placed))}
          onClick={onSelect && (() => onSelect(placed.shaft.place))}
        >
          <Gears scene={scene} placed={placed} bare={!layer} />
        </g>
      ))}
      {layer && <LayerParts scene={scene} layer={layer} shafts={shafts} />}
      {shafts.map((placed) => (
        <g key={placed.shaft.name} transform={place(at(placed))}>
          <ShaftEnd scene={scene} placed={placed} chosen={chosen === placed.shaft.name} />
        </g>
      ))}
      {layer && <Clashes scene={scene} layer={layer} shafts={shafts} />}
      {placeSigns(
        [...(layer ? clashSpots(scene, layer, shafts) : []), ...gearSpots(scene, shafts)],
        { left: 0, right: width, top: 0, bottom: height },
        shafts.map((placed) => patchOf(nameOfShaft(scene, placed))),
      ).map((sign) => (
        <LedSign key={sign.spots[0].found.tag} sign={sign} />
      ))}
    </g>
  );
}

function Gears({ scene, placed, bare }: { scene: Scene; placed: PlacedShaft; bare: boolean }) {
  const { view, scale } = scene;
  const { shaft, reach } = placed;
  const figure = view.figures.shafts.find(({ name }) => name === shaft.name);
  const gears = view.figures.gears.filter((gear) => gear.shaft === shaft.name);
  return (
    <g>
      <title>{`${shaft.name}${figure ? `: ${figure.turns}, ${deg(Math.abs(figure.step), 2)} a step` : ''}`}</title>
      <g transform={turned(thetaOf(scene, shaft.name))}>
        {gears.length === 0 && bare && <circle class="lw-other" r={px(reach * scale)} />}
        {[...gears]
          .sort((one, other) => other.tipRadius - one.tipRadius)
          .map((gear) => (
            <GearPlan key={gear.name} view={view} gear={gear} scale={scale} />
          ))}
      </g>
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

/** A body as it stands on its shaft. */
function bodyDrawn(scene: Scene, { shaft, outline }: Body, shafts: readonly PlacedShaft[]): Drawn | undefined {
  const placed = shafts.find((each) => each.shaft.name === shaft);
  const transform = placed && `${place(scene.at(placed))} ${turned(thetaOf(scene, shaft))}`;
  return transform === undefined ? undefined : { d: outlinePath(outline, scene.scale), transform };
}

/** A stem, arm, post or guide where its lift has taken it, mm. */
function slid({ t }: Scene, slider: Slider): Polygon {
  const { motion } = slider;
  return carried(drawnOutline(slider), motion, motion.cam ? liftOf(motion.cam, t) : 0);
}

const sliderDrawn = (scene: Scene, slider: Slider): Drawn => {
  const points = slid(scene, slider).map((point) => scene.at(point));
  return { d: closedPath(points.map(({ x, y }) => ({ x, y: -y }))) };
};

const order = ['flange', 'cam', 'shaft'];

function LayerParts({ scene, layer, shafts }: { scene: Scene; layer: Layer; shafts: readonly PlacedShaft[] }) {
  const chosen = (body: Body) => body.kind === 'cam' && body.name === layer.cam;
  const look = (body: Body) => {
    if (body.kind === 'shaft') return 'lw-bore';
    if (body.kind === 'flange') return 'lw-flange';
    return chosen(body) ? 'lw-cam lw-fine lw-cam-ground' : 'lw-other lw-filled';
  };
  return (
    <g>
      {layer.bodies
        .slice()
        .sort((one, other) => order.indexOf(one.kind) - order.indexOf(other.kind))
        .map((body) => {
          const drawn = bodyDrawn(scene, body, shafts);
          return (
            drawn && (
              <path key={`${body.kind} ${body.name}`} class={look(body)} {...drawn}>
                <title>{inWords(body)}</title>
              </path>
            )
          );
        })}
      {layer.sliders.map((slider) => (
        <path key={`${slider.kind} ${slider.segment}`} class="lw-slider" {...sliderDrawn(scene, slider)}>
          <title>{inWords(slider)}</title>
        </path>
      ))}
    </g>
  );
}

/** px of a shaft where no section of it is drawn. */
const boreOf = ({ scale }: Scene, { shaft, reach }: PlacedShaft): number =>
  Math.max(2.5, Math.min(reach * scale * 0.4, ((shaft.bearing?.value ?? 6) / 2) * scale));

/** Where the name of a shaft stands on the drawing: on its gears if they are large, else above or below them. */
function nameOfShaft(scene: Scene, placed: PlacedShaft): PlacedText {
  const rim = placed.reach * scene.scale;
  const { x, y } = scene.at(placed);
  const inside = Math.max(boreOf(scene, placed), scene.isCored(placed) ? rim * 0.25 : 0) + 15;
  const beside = scene.isAbove(placed) ? -rim - 6 : rim + 14;
  return { text: placed.shaft.name, x, y: y + (rim > nameRoom ? inside : beside), size: 11, middle: true };
}

/** The shaft itself, the way it turns, its name. */
function ShaftEnd({ scene, placed, chosen }: { scene: Scene; placed: PlacedShaft; chosen: boolean }) {
  const { view, scale } = scene;
  const { shaft, reach } = placed;
  const cored = scene.isCored(placed);
  const figure = view.figures.shafts.find(({ name }) => name === shaft.name);
  const rim = reach * scale;
  const bore = boreOf(scene, placed);
  return (
    <g>
      {!cored && (
        <g transform={turned(thetaOf(scene, shaft.name))}>
          <circle class="lw-bore" r={px(bore)} />
          <path class="lw-stem" d={`M0 0H${px(bore)}`} />
        </g>
      )}
      {figure && figure.step !== 0 && (
        <TurnArrow
          radius={Math.max(bore + 6, rim * (rim > nameRoom ? 0.42 : 0.6))}
          from={0.6}
          sense={view.direction === 1 ? figure.sense : figure.sense === 1 ? -1 : 1}
        />
      )}
      <text
        class={`lw-small lw-middle lw-halo${chosen ? ' lw-bold' : ''}`}
        y={px(nameOfShaft(scene, placed).y - scene.at(placed).y)}
      >
        {shaft.name}
      </text>
    </g>
  );
}

/** What touches at this moment is filled. */
function Clashes({ scene, layer, shafts }: { scene: Scene; layer: Layer; shafts: readonly PlacedShaft[] }) {
  const drawn = (part: Meeting): Drawn | undefined => {
    if (isSlider(part)) {
      const slider = layer.sliders.find((each) => same(each, part));
      return slider && sliderDrawn(scene, slider);
    }
    const body = scene.view.bodies.find((each) => same(each, part));
    return body && bodyDrawn(scene, body, shafts);
  };
  return (
    <g>
      {layer.clashes.map(({ parts }, index) => {
        const [one, two] = parts.map(drawn);
        return one && two && <Overlap key={index} id={`lw-clash-${index}`} one={one} two={two} />;
      })}
    </g>
  );
}

/** Every finding of the layer's clashes, where the deepest of them is; px. */
function clashSpots(scene: Scene, layer: Layer, shafts: readonly PlacedShaft[]): Spot[] {
  const signed = new Set<string>();
  return layer.clashes.flatMap(({ parts, found }) => {
    const spot = found && !signed.has(found.tag) ? spotOf(scene, layer, parts, shafts) : undefined;
    if (!found || !spot) return [];
    signed.add(found.tag);
    return [{ found, to: scene.at(spot) }];
  });
}

/** Where two parts meet, mm: on the line of two shafts, or where a slider is nearest to what it touches. */
function spotOf(scene: Scene, layer: Layer, parts: Clash['parts'], shafts: readonly PlacedShaft[]): Point | undefined {
  const sliders = parts.map((part) => layer.sliders.find((each) => same(each, part)));
  const bodies = parts.map((part) => scene.view.bodies.find((each) => same(each, part)));
  const centres = bodies.map((body) => shafts.find(({ shaft }) => shaft.name === body?.shaft));
  const [slider, other] = sliders;
  if (slider && other) return nearest(slid(scene, slider), slid(scene, other))[0];
  if (slider && centres[1]) return nearest(slid(scene, slider), [centres[1]])[0];
  const [one, two] = centres;
  if (!one || !two) return undefined;
  const [dx, dy] = [two.x - one.x, two.y - one.y];
  const distance = Math.hypot(dx, dy);
  const share = (bodies[0]!.outline.greatest + distance - bodies[1]!.outline.greatest) / 2 / distance;
  return { x: one.x + share * dx, y: one.y + share * dy };
}

/** What is wrong with how two gears mesh, where they do, and with one by itself, at its foot; px. */
function gearSpots({ view, at }: Scene, shafts: readonly PlacedShaft[]): Spot[] {
  const centreOf = (name: string | undefined) => shafts.find(({ shaft }) => shaft.name === name);
  const meshed = view.figures.meshes.flatMap(({ gears: names, azimuth, centreDistance }) => {
    const found = view.findings.find(({ finding: { about } }) => about.includes(names.join('–')));
    const [one, two] = names.map((name) => view.figures.gears.find((gear) => gear.name === name));
    const centre = centreOf(one?.shaft);
    if (!found || !one || !two || !centre) return [];
    const out = polar((centreDistance * one.pitchRadius) / (one.pitchRadius + two.pitchRadius), azimuth);
    return [{ found, to: at({ x: centre.x + out.x, y: centre.y + out.y }) }];
  });
  const single = view.figures.gears.flatMap(({ name, shaft, rootRadius }) => {
    const found = view.findings.find(({ finding: { about } }) => about.length === 1 && about[0] === name);
    const centre = centreOf(shaft);
    return found && centre ? [{ found, to: at({ x: centre.x, y: centre.y - rootRadius }) }] : [];
  });
  return [...meshed, ...single];
}
