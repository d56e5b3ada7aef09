/**
 * The stack: one cam in true profile as it turns, the others of its shaft faint, and the follower as what it is, with
 * the push on it as it lies.
 */
import type { Place, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { camAngle, liftAt } from '../../reckon/motion/lift.ts';
import { flangeRadius, profileOf, riderOn } from '../../reckon/shape/bodies.ts';
import { type Box, boxOf, moved } from '../../reckon/shape/convex.ts';
import { type Ride, type Rider, rideOf, type Stand } from '../../reckon/shape/cutting.ts';
import { inSlideFrame } from '../../reckon/shape/followers.ts';
import { boreSection, type Unreckoned } from '../../reckon/shape/keys.ts';
import { carried } from '../../reckon/shape/movers.ts';
import type { Outline } from '../../reckon/shape/outline.ts';
import { drawnOutline, type Slider } from '../../reckon/shape/posts.ts';
import { FindingSign, LedSign } from './marks.tsx';
import { TurnArrow } from './plan.tsx';
import { closedPath, outlinePath, polar, turned } from './shapes.ts';
import { findingOn, type Row, type View } from './view.ts';
import { bearing, deg, fitted, listed, mm, px, textWidth } from './words.ts';

/** A cam that can be drawn, and what rides on it. */
interface Plate {
  readonly row: Row;
  readonly cam: CamFigure;
  readonly segment: Segment;
  readonly rider: Rider;
  readonly ride: Ride;
  readonly outline: Outline;
}

const plates = new WeakMap<Row, Plate | Unreckoned>();

/** A row's cam with its follower, cut once, or why it cannot be. */
function plateOf(view: View, row: Row): Plate | Unreckoned {
  const known = plates.get(row);
  if (known) return known;
  const plate = plateAnew(view, row);
  plates.set(row, plate);
  return plate;
}

function plateAnew({ mechanism, figures }: View, row: Row): Plate | Unreckoned {
  const { figure: cam, segments } = row;
  const [segment] = segments;
  if (row.wants.length > 0) return { because: `no profile yet: give ${listed(row.wants)}` };
  if (!cam || !segment) return { because: 'no profile yet' };
  const rider = riderOn(mechanism, figures, cam.name);
  if ('because' in rider) return { because: `no profile yet: ${rider.because}` };
  const outline = profileOf(mechanism, figures, cam.name);
  if ('because' in outline) return { because: `no profile: ${outline.because}` };
  const ride = rideOf(cam.lift, rider);
  return ride ? { row, cam, segment, rider, ride, outline } : { because: 'no profile yet' };
}

const rotated = ({ x, y }: Point, by: number): Point => {
  const [c, s] = [Math.cos(by), Math.sin(by)];
  return { x: x * c - y * s, y: x * s + y * c };
};

/** The pressure angle of a stand, signed as the angle it is: from the follower's way to the push, −π to π. */
function leanOf({ ahead, normal }: Stand): number {
  const lean = normal - ahead;
  return Math.atan2(Math.sin(lean), Math.cos(lean));
}

const standing = (cam: CamFigure, t: number) => {
  const psi = camAngle(cam.azimuth, cam.step, t);
  const { lift, stroke, relative } = { ...cam.lift, lift: liftAt(cam.lift, psi).lift };
  const height = relative ? `${Math.round((lift / stroke) * 100)} % of the stroke` : mm(lift);
  return { psi, text: `cam angle ${bearing(psi, 1)}, lift ${height}` };
};

/** Where the chosen cam stands, and how round or cut under it is, in short. */
export function stackNote({ figure }: Row, t: number): string {
  if (!figure) return 'not reckoned yet';
  const shape = curvatureWords(figure);
  return shape ? `${standing(figure, t).text} · ${shape}` : standing(figure, t).text;
}

/** "r 4.69 mm": the least convex radius; "0.42 mm lost to undercut" */
function curvatureWords({ profileCurvature, lostLift, lift }: CamFigure): string | undefined {
  if (lift.cut && lostLift) return `${mm(lostLift.value)} lost to undercut`;
  const least = profileCurvature?.convexMin;
  return least && lift.lobes.length > 0 ? `least r ${mm(least.value)}` : undefined;
}

/** What the stack shows of the chosen cam, in words. */
export function stackSentence(view: View, row: Row, t: number): string {
  if (!row.figure) return `${row.cam.name}: not reckoned yet`;
  const { psi, text } = standing(row.figure, t);
  const plate = plateOf(view, row);
  if ('because' in plate) return `${row.cam.name} at ${text}, ${plate.because}`;
  const { cam, ride } = plate;
  const stand = ride.stand(psi);
  const parts = [
    `${row.cam.name} at ${text}`,
    `pressure angle ${deg(Math.abs(leanOf(stand)))}`,
    `touches ${mm(Math.hypot(stand.touch.x, stand.touch.y))} from the shaft`,
  ];
  const least = cam.profileCurvature?.convexMin;
  if (least) parts.push(`least radius ${mm(least.value)} at cam angle ${bearing(least.at)}`);
  const corners = cam.lift.cut?.corners.length ?? 0;
  if (corners > 0) parts.push(`undercut, ${corners} ${corners > 1 ? 'corners' : 'corner'}`);
  return parts.join(', ');
}

export interface StackProps {
  readonly view: View;
  readonly row: Row;
  readonly t: number;
  readonly width: number;
  readonly height: number;
  readonly onSelect?: (place: Place) => void;
}

/** How the stack's mm about the shaft lie on the drawing. */
interface Scene {
  readonly view: View;
  readonly scale: number;
  /** The turn of the shaft. */
  readonly theta: number;
}

/** The stack of one row's shaft, its cam drawn in full, `t` steps from home. */
export function Stack({ view, row, t, width, height, onSelect }: StackProps) {
  const made = plateOf(view, row);
  const plate = 'because' in made ? undefined : made;
  const group = view.groups.find((each) => each.rows.includes(row));
  const others = (group?.rows ?? []).flatMap((each) => {
    const other = each === row ? undefined : plateOf(view, each);
    return other && !('because' in other) ? [other] : [];
  });
  const flange = flangeOf(view, row);
  const fit = fitOf(view, plate, others, flange ?? 0, width, height);
  const turning = group?.figure;
  const scene: Scene = { view, scale: fit.scale, theta: turning ? turning.step * t : 0 };
  const sentence = stackSentence(view, row, t);
  const sense = turning && turning.step !== 0 ? ((turning.sense * view.direction) as 1 | -1) : undefined;
  const stand = plate?.ride.stand(standing(plate.cam, t).psi);
  return (
    <g role="group" aria-label={`Stack: ${sentence}`} transform={`translate(${px(fit.x)} ${px(fit.y)})`}>
      <title>{`Stack of ${group?.name || row.cam.name}`}</title>
      <desc>{sentence}</desc>
      {plate && flange !== undefined && <circle class="lw-flange" r={px(flange * fit.scale)} />}
      {plate && <Slide scene={scene} plate={plate} t={t} room={fit.room} />}
      <g onClick={onSelect && (() => onSelect(row.cam.place))} transform={turned(scene.theta)}>
        {plate && <path class="lw-cam-ground" d={outlinePath(plate.outline, fit.scale)} />}
        {others.map(({ cam, outline }) => (
          <path key={cam.name} class="lw-other" d={outlinePath(outline, fit.scale)} />
        ))}
        {plate && <path class="lw-cam" d={outlinePath(plate.outline, fit.scale)} />}
        {plate && <circle class="lw-base" r={px(plate.row.cam.base!.value * fit.scale)} />}
        {(plate ?? others[0]) && <Bore view={view} row={row} scale={fit.scale} />}
      </g>
      {others.map((other, index) => (
        <OtherName
          key={other.cam.name}
          plate={other}
          radius={fit.reach * fit.scale}
          beside={besideWhat(other, others.slice(0, index), plate)}
        />
      ))}
      {sense && plate && (
        <TurnArrow
          radius={fit.reach * fit.scale + 12}
          from={plate.cam.azimuth + Math.PI + (sense === 1 ? 0.45 : 1.1)}
          sense={sense}
        />
      )}
      {plate && <Curvature scene={scene} plate={plate} />}
      {plate && <Troubles scene={scene} plate={plate} />}
      {plate && stand && <Push scene={scene} plate={plate} stand={stand} />}
      <KeySigns view={view} row={row} />
      {'because' in made && (
        <text class="lw-small lw-dim lw-middle lw-halo">{fitted(made.because, width - 8, 11)}</text>
      )}
    </g>
  );
}

function flangeOf({ mechanism }: View, { cam }: Row): number | undefined {
  return cam.flange.value > 0 ? flangeRadius(mechanism, cam.name) : undefined;
}

interface Fit {
  readonly scale: number;
  /** Where the shaft stands, px. */
  readonly x: number;
  readonly y: number;
  /** The farthest that anything reaches round the shaft, mm. */
  readonly reach: number;
  /** What of the panel is drawn on, px about the shaft, y up. */
  readonly room: Box;
}

/** px beyond the cams that a follower and its angle take. */
const followerRoom = 54;

/** Fits the cams, the follower where it rides and the pivot of its arm into the panel. */
function fitOf(
  { mechanism }: View,
  plate: Plate | undefined,
  others: readonly Plate[],
  flange: number,
  width: number,
  height: number,
): Fit {
  const reach = Math.max(1, flange, ...[plate ?? [], others].flat().map(({ outline }) => outline.greatest));
  const kind = plate?.segment.follower.value;
  const azimuth = plate?.cam.azimuth ?? 0;
  const pivot =
    kind?.kind === 'pivoted' ? inSlideFrame(mechanism, plate!.cam.shaft, plate!.segment, kind.at) : undefined;
  const at = pivot && rotated(pivot, azimuth);
  const nosed = polar(reach + (plate?.segment.nose?.value ?? 0), azimuth);
  const round = boxOf([...cornersOf({ left: -reach, right: reach, bottom: -reach, top: reach }), nosed])!;
  const withPivot = at ? boxOf([...cornersOf(round), at])! : round;
  const away = { x: Math.cos(azimuth), y: Math.sin(azimuth) };
  const least = others.length > 0 ? 62 : 32;
  const margin = (out: number) => Math.max(0, out) * (followerRoom - 26);
  const edges = {
    left: Math.max(least, 32 + margin(-away.x)),
    right: Math.max(least, 32 + margin(away.x)),
    top: 26 + margin(away.y),
    bottom: 26 + margin(-away.y),
  };
  const fitBox = (box: Box): Omit<Fit, 'reach'> => {
    const [wide, tall] = [box.right - box.left, box.top - box.bottom];
    const scale = Math.max(
      1 / reach,
      Math.min((width - edges.left - edges.right) / wide, (height - edges.top - edges.bottom) / tall),
    );
    const x = edges.left + (width - edges.left - edges.right - wide * scale) / 2 - box.left * scale;
    const y = edges.top + (height - edges.top - edges.bottom - tall * scale) / 2 + box.top * scale;
    return { scale, x, y, room: { left: -x, right: width - x, bottom: y - height, top: y } };
  };
  const [near, far] = [fitBox(round), fitBox(withPivot)];
  // A pivot far off would leave no room for the cam: its arm then runs out of the picture.
  return { ...(far.scale > 0.5 * near.scale ? far : near), reach };
}

const cornersOf = ({ left, right, bottom, top }: Box): Point[] => [
  { x: left, y: bottom },
  { x: right, y: top },
];

/** The keyed bore as it is, or a plain one with a line at cam angle 0. */
function Bore({ view, row, scale }: { view: View; row: Row; scale: number }) {
  const shaft = view.mechanism.shafts.find(({ name }) => name === row.cam.shaft?.name);
  const key = view.mechanism.keys.find(({ name }) => name === shaft?.key?.name);
  const section = key && boreSection(key);
  if (section && !('because' in section)) return <path class="lw-bore" d={outlinePath(section, scale)} />;
  const radius = Math.max(4, ((shaft?.bearing?.value ?? 8) / 2) * scale);
  return (
    <g>
      <circle class="lw-bore" r={px(radius)} />
      <path class="lw-stem" d={`M0 0H${px(radius)}`} />
    </g>
  );
}

const together = (one: CamFigure, other: CamFigure): boolean =>
  Math.abs(Math.sin((one.azimuth - other.azimuth) / 2)) < 0.05;

/** What already stands at a follower's azimuth: how many names, and whether the chosen cam's push does. */
const besideWhat = ({ cam }: Plate, named: readonly Plate[], chosen: Plate | undefined) => ({
  names: named.filter((other) => together(cam, other.cam)).length,
  push: chosen !== undefined && together(cam, chosen.cam),
});

/** Another cam's name, where its follower rides; out of the way of the push that is drawn. */
function OtherName(props: { plate: Plate; radius: number; beside: ReturnType<typeof besideWhat> }) {
  const { plate, radius, beside } = props;
  const azimuth = plate.cam.azimuth + (beside.push ? 0.5 : 0);
  const at = polar(radius + 15, azimuth);
  const upright = Math.abs(Math.cos(azimuth)) < 0.3;
  const anchor = upright ? 'lw-middle' : Math.cos(azimuth) < 0 ? 'lw-end' : '';
  const inward = upright ? 0 : -8 * Math.sign(Math.cos(azimuth));
  const down = 13 * beside.names * (Math.sin(azimuth) > 0.3 ? -1 : 1);
  return (
    <text class={`lw-small lw-dim ${anchor}`} x={px(at.x + inward)} y={px(-at.y + 4 + down)}>
      {fitted(plate.row.cam.name, 64, 11)}
    </text>
  );
}

/** The azimuth, the follower's stem in its guide, or its arm on its pivot. */
function Slide({ scene, plate, t, room }: { scene: Scene; plate: Plate; t: number; room: Box }) {
  const { view, scale } = scene;
  const { cam, segment, ride } = plate;
  const kind = segment.follower.value;
  const out = polar(1000, cam.azimuth);
  const shaft = view.mechanism.shafts.find(({ name }) => name === cam.shaft)?.at?.value;
  const psi = camAngle(cam.azimuth, cam.step, t);
  const lift = liftAt(cam.lift, psi).lift;
  // The nose is drawn with the push on it, an arm with its pivot.
  const sliders = shaft
    ? view.sliders.filter(({ segment: name, kind }) => name === segment.name && isGuided(kind))
    : [];
  const centre = rotated(ride.stand(psi).centre, cam.azimuth - psi);
  return (
    <g>
      <clipPath id="lw-stack-room">
        <rect
          x={px(room.left)}
          y={px(-room.top)}
          width={px(room.right - room.left)}
          height={px(room.top - room.bottom)}
        />
      </clipPath>
      <g clip-path="url(#lw-stack-room)">
        <path class="lw-pitch" d={`M0 0L${px(out.x)} ${px(-out.y)}`}>
          <title>{`azimuth ${bearing(cam.azimuth, 1)}`}</title>
        </path>
        {sliders.map(({ kind, outline, motion }) => {
          const here = moved(carried(outline, motion, motion.cam ? lift : 0), -shaft!.x, -shaft!.y);
          return (
            <path key={kind} class={kind === 'guide' ? 'lw-guide' : 'lw-slider'} d={closedPath(here, scale)}>
              <title>{`${kind} of ${segment.name}`}</title>
            </path>
          );
        })}
        {kind.kind === 'pivoted' && shaft && (
          <Arm
            scale={scale}
            from={{ x: kind.at.x - shaft.x, y: kind.at.y - shaft.y }}
            to={centre}
            half={segment.stem && segment.stem.value / 2}
            pivot={segment.nose!.value}
            title={`arm of ${segment.name}, ${mm(kind.arm)} on its pivot${segment.stem ? `, ${mm(segment.stem.value)} wide` : ''}`}
          />
        )}
      </g>
      <AzimuthName azimuth={cam.azimuth} aside={asideOf(scene, plate)} room={room} />
    </g>
  );
}

/** The azimuth in degrees, where its line leaves the picture. */
function AzimuthName({ azimuth, aside, room }: { azimuth: number; aside: number; room: Box }) {
  const [c, s] = [Math.cos(azimuth), Math.sin(azimuth)];
  const along = Math.min(
    Math.abs(c) > 1e-9 ? (c > 0 ? room.right : -room.left) / Math.abs(c) : Infinity,
    Math.abs(s) > 1e-9 ? (s > 0 ? room.top : -room.bottom) / Math.abs(s) : Infinity,
  );
  const upright = Math.abs(s) > Math.abs(c);
  const x = (along - (upright ? 8 : 4)) * c + (upright ? aside + 18 : 0);
  const y = -(along - 8) * s + (upright ? 4 : -aside - 9);
  return (
    <text class={`lw-small lw-dim lw-halo${upright ? '' : c > 0 ? ' lw-end' : ''}`} x={px(x)} y={px(y)}>
      {bearing(azimuth)}
    </text>
  );
}

const isGuided = (kind: Slider['kind']): boolean => kind === 'stem' || kind === 'guide';

interface ArmProps {
  readonly scale: number;
  readonly from: Point;
  readonly to: Point;
  /** Of its width, where that is stated. */
  readonly half: number | undefined;
  /** Radius of its pivot. */
  readonly pivot: number;
  readonly title: string;
}

/** An arm from its pivot to the nose's centre, a line where its width is not known; mm about the shaft. */
function Arm({ scale, from, to, half, pivot: round, title }: ArmProps) {
  const pivot = { x: px(from.x * scale), y: px(-from.y * scale) };
  return (
    <g>
      <title>{title}</title>
      {half ? (
        <path class="lw-slider" d={closedPath(drawnOutline({ outline: [from, to], round: half }), scale)} />
      ) : (
        <path class="lw-base" d={`M${pivot.x} ${pivot.y}L${px(to.x * scale)} ${px(-to.y * scale)}`} />
      )}
      <circle class="lw-nose" cx={pivot.x} cy={pivot.y} r={px(Math.max(5, round * scale))} />
      <circle class="lw-dot" cx={pivot.x} cy={pivot.y} r="2" />
    </g>
  );
}

/** Contact point and push: the pressure angle as the angle it is, drawn with the follower's way to the right. */
function Push({ scene, plate, stand }: { scene: Scene; plate: Plate; stand: Stand }) {
  const { view, scale } = scene;
  const { cam, rider, segment } = plate;
  const at = (point: Point) => {
    const { x, y } = rotated(point, -stand.ahead);
    return { x: x * scale, y: -y * scale };
  };
  const [centre, touch] = [at(stand.centre), at(stand.touch)];
  const lean = leanOf(stand);
  const limit = view.mechanism.limits.pressureAngle.value;
  const over = Math.abs(lean) > limit + 1e-9;
  const ray = (angle: number, length: number) =>
    `L${px(centre.x + length * Math.cos(angle))} ${px(centre.y - length * Math.sin(angle))}`;
  const arc = rider.kind === 'flat' ? 30 : Math.max(30, rider.nose * scale + 12);
  const end = { x: centre.x + arc * Math.cos(lean), y: centre.y - arc * Math.sin(lean) };
  const side = lean < 0 ? -1 : 1;
  const words = over ? `${deg(Math.abs(lean))} > ${deg(limit)}` : deg(Math.abs(lean));
  const away = Math.max(14 + Math.abs(Math.sin(lean)) * (arc + 14), asideOf(scene, plate) + 6);
  const turn = cam.azimuth - stand.psi + stand.ahead;
  const wide = textWidth(words, 11, true) / 2;
  const label = {
    x: centre.x + arc - 6,
    y: centre.y - side * (away + Math.max(0, wide - 8) * Math.abs(Math.sin(turn)) + 4),
  };
  return (
    <g transform={turned(turn)}>
      <path class="lw-stem" d={`M${px(centre.x)} ${px(centre.y)}${ray(0, arc + 22)}`} />
      {rider.kind === 'flat' ? (
        <Face
          half={(segment.stem ? segment.stem.value / 2 : (cam.faceReach?.value ?? 0)) * scale}
          x={centre.x}
          touch={touch.y}
        />
      ) : (
        <g>
          <path
            class={over ? 'lw-normal lw-over' : 'lw-normal'}
            d={`M${px(touch.x)} ${px(touch.y)}L${px(centre.x)} ${px(centre.y)}${ray(lean, arc + 16)}`}
          />
          {Math.abs(lean) > 0.01 && (
            <path
              class="lw-angle"
              d={`M${px(centre.x + arc)} ${px(centre.y)}A${arc} ${arc} 0 0 ${side > 0 ? 0 : 1} ${px(end.x)} ${px(end.y)}`}
            />
          )}
          <circle class="lw-nose" cx={px(centre.x)} cy={px(centre.y)} r={px(Math.max(2.5, rider.nose * scale))} />
        </g>
      )}
      <circle class="lw-dot" cx={px(touch.x)} cy={px(touch.y)} r="2.5" />
      <g transform={`translate(${px(label.x)} ${px(label.y)}) ${turned(-turn)}`}>
        <text class="lw-small lw-bold lw-middle lw-halo" y="4">
          {words}
        </text>
      </g>
    </g>
  );
}

/** How far a follower's stem and guide reach to either side of its azimuth, px. */
function asideOf({ view, scale }: Scene, { cam, segment }: Plate): number {
  const shaft = view.mechanism.shafts.find(({ name }) => name === cam.shaft)?.at?.value ?? { x: 0, y: 0 };
  const sides = view.sliders
    .filter(({ segment: name, kind }) => name === segment.name && isGuided(kind))
    .flatMap(({ outline }) => outline.map((point) => moved([point], -shaft.x, -shaft.y)[0]))
    .map((point) => Math.abs(rotated(point, -cam.azimuth).y));
  return Math.max(0, ...sides) * scale;
}

/** A flat face as wide as its stem, dashed on to where the cam touches beyond; the push square to it. */
function Face({ half, x, touch }: { half: number; x: number; touch: number }) {
  const wide = Math.max(6, half);
  return (
    <g>
      <path class="lw-normal" d={`M${px(x)} ${px(touch)}h46`} />
      <path class="lw-flat" d={`M${px(x)} ${px(-wide)}V${px(wide)}`} />
      {Math.abs(touch) > wide && <path class="lw-base" d={`M${px(x)} ${px(Math.sign(touch) * wide)}V${px(touch)}`} />}
    </g>
  );
}

/** Where the profile is roundest, with a circle of that radius; corners that undercut has left. */
function Curvature({ scene: { scale, theta }, plate }: { scene: Scene; plate: Plate }) {
  const { cam, ride } = plate;
  const least = cam.profileCurvature?.convexMin;
  const corners = cam.lift.cut?.corners ?? [];
  const placed = (point: Point) => {
    const { x, y } = rotated(point, theta);
    return { x: x * scale, y: -y * scale };
  };
  return (
    <g>
      {least && corners.length === 0 && cam.lift.lobes.length > 0 && (
        <LeastRadius stand={ride.stand(least.at)} radius={least.value} scale={scale} placed={placed} />
      )}
      {corners.map((corner) => {
        const { x, y } = placed(corner);
        return (
          <path key={corner.from} class="lw-corner" d={`M${px(x - 5)} ${px(y)}l5 -5l5 5l-5 5Z`}>
            <title>{`corner, ridden on for ${deg(corner.to - corner.from)}`}</title>
          </path>
        );
      })}
    </g>
  );
}

function LeastRadius(props: { stand: Stand; radius: number; scale: number; placed: (point: Point) => Point }) {
  const { stand, radius, scale, placed } = props;
  const inwards = (by: number) => {
    const back = polar(-by, stand.normal);
    return placed({ x: stand.touch.x + back.x, y: stand.touch.y + back.y });
  };
  const touch = inwards(0);
  const centre = inwards(radius);
  return (
    <g>
      <title>{`least radius of the profile: ${mm(radius)}`}</title>
      <circle class="lw-radius" cx={px(centre.x)} cy={px(centre.y)} r={px(radius * scale)} />
      <circle class="lw-dot" cx={px(touch.x)} cy={px(touch.y)} r="1.5" />
      {radius * scale > 9 && (
        <text class="lw-small lw-dim lw-middle" x={px(centre.x)} y={px(centre.y + 4)}>
          r
        </text>
      )}
    </g>
  );
}

/** The row's findings at their cam angles, inside the profile, upright whatever the turn. */
function Troubles({ scene: { view, scale, theta }, plate }: { scene: Scene; plate: Plate }) {
  const { cam, ride, outline, row } = plate;
  const wall = view.figures.keyed.parts.find(({ kind, name }) => kind === 'cam' && name === cam.name)?.wall;
  return (
    <g>
      {row.marks.flatMap((mark) =>
        mark.angles.slice(0, 12).map((psi) => {
          const thin = mark.finding.code === 'thin-cam';
          const foot = thin ? polar(outline.least, psi) : ride.stand(psi).touch;
          const at = rotated(foot, theta);
          const to = { x: at.x * scale, y: -at.y * scale };
          const out = Math.hypot(to.x, to.y) || 1;
          const share = Math.max(30, out - 34) / out;
          return (
            <g key={`${mark.tag} ${psi}`}>
              <LedSign sign={{ from: { x: to.x * share, y: to.y * share }, spots: [{ found: mark, to }] }} />
              {thin && wall && (
                <text class="lw-small lw-bold lw-halo" x={px(to.x * share + 26)} y={px(to.y * share + 4)}>
                  {mm(wall.value)}
                </text>
              )}
            </g>
          );
        }),
      )}
    </g>
  );
}

/** What is wrong with the way the cam goes on its key, in the bore. */
function KeySigns({ view, row }: { view: View; row: Row }) {
  const shaft = view.mechanism.shafts.find(({ name }) => name === row.cam.shaft?.name);
  const names = [row.cam.name, ...(shaft?.key ? [shaft.key.name] : [])];
  const found = names.flatMap((name) => findingOn(view, ['key-ambiguous'], [name]) ?? [])[0];
  return found ? <FindingSign severity={found.finding.severity} tag={found.tag} x={-6} y={0} /> : null;
}
