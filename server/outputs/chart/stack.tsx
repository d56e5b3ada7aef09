/** The stack: one cam in true profile as it turns, the others of its shaft faint, the push on its follower as it lies. */
import type { Place, Point } from '../../../language/mechanism.ts';
import type { CamFigure, FollowedLift } from '../../reckon/figures.ts';
import { camAngle, liftAt } from '../../reckon/motion/lift.ts';
import { type Rider as AnyRider, camOutline } from '../../reckon/shape/cutting.ts';
import { boreSection } from '../../reckon/shape/keys.ts';
import type { Outline } from '../../reckon/shape/outline.ts';
import { contactPoint, pitchPoint, pressureAngle, profileOutline } from '../../reckon/shape/profile.ts';
import { FindingSign } from './marks.tsx';
import { TurnArrow } from './plan.tsx';
import { remembering } from './remember.ts';
import { closedPath, polar } from './shapes.ts';
import type { Row, View } from './view.ts';
import { bearing, deg, fitted, listed, mm, px, tenths } from './words.ts';

/** What rides on the cams that are drawn. */
type Rider = Exclude<AnyRider, { readonly kind: 'pivoted' }>;

/** A cam that can be drawn, and what rides on it. */
interface Plate {
  readonly row: Row;
  readonly cam: CamFigure;
  readonly rider: Rider;
  /** Where the follower stands when lowered, mm from the shaft. */
  readonly radius: number;
}

/** A row's cam with its follower, where base, nose and stroke give it. */
function plateOf(row: Row): Plate | undefined {
  const { figure: cam, segments } = row;
  const segment = segments[0];
  if (!cam || !segment || cam.lift.relative) return undefined;
  const base = row.cam.base?.value ?? 0;
  if (segment.follower.value.kind === 'flat') {
    return base > 0 ? { row, cam, rider: { kind: 'flat', base }, radius: base } : undefined;
  }
  const [prime, nose, offset] = [cam.primeRadius, segment.nose?.value, segment.offset.value];
  if (prime === undefined || nose === undefined || Math.abs(offset) >= prime) return undefined;
  return { row, cam, rider: { kind: 'round', prime, nose, offset }, radius: prime };
}

/** The push on a follower in the frame of its slide, mm and rad: x along the slide, y to its left. */
interface Contact {
  /** The nose's centre; on a flat face the middle of the face. */
  readonly centre: Point;
  readonly touch: Point;
  /** From the slide to the push, counter-clockwise. */
  readonly lean: number;
}

function contactOf({ cam, rider }: Plate, psi: number): Contact {
  const motion = liftAt(cam.lift, psi);
  if (rider.kind === 'flat') {
    const height = rider.base + motion.lift;
    return { centre: { x: height, y: 0 }, touch: { x: height, y: motion.slope }, lean: 0 };
  }
  return {
    centre: pitchPoint(rider, motion, 0),
    touch: contactPoint(rider, motion, 0),
    lean: -pressureAngle(rider, motion),
  };
}

/** Why a cam's profile is not drawn. */
function noProfile(row: Row): string {
  if (row.wants.length > 0) return `no profile yet: give ${listed(row.wants)}`;
  const pivoted = row.segments[0]?.follower.value.kind === 'pivoted';
  return pivoted ? 'cams of pivoted followers are not drawn yet' : 'no profile yet';
}

const standing = (cam: CamFigure, t: number) => {
  const psi = camAngle(cam.azimuth, cam.step, t);
  const { lift, stroke, relative } = { ...cam.lift, lift: liftAt(cam.lift, psi).lift };
  const height = relative ? `${Math.round((lift / stroke) * 100)} % of the stroke` : mm(lift);
  return { psi, text: `cam angle ${bearing(psi, 1)}, lift ${height}` };
};

/** Where the chosen cam stands, in short. */
export const stackNote = ({ figure }: Row, t: number): string =>
  figure ? standing(figure, t).text : 'not reckoned yet';

/** What the stack shows of the chosen cam, in words. */
export function stackSentence(row: Row, t: number): string {
  if (!row.figure) return `${row.cam.name}: not reckoned yet`;
  const { psi, text } = standing(row.figure, t);
  const plate = plateOf(row);
  const push = plate ? `pressure angle ${deg(Math.abs(contactOf(plate, psi).lean))}` : noProfile(row);
  return `${row.cam.name} at ${text}, ${push}`;
}

export interface StackProps {
  readonly view: View;
  readonly row: Row;
  readonly t: number;
  readonly width: number;
  readonly height: number;
  readonly onSelect?: (place: Place) => void;
}

/** The stack of one row's shaft, its cam drawn in full, `t` steps from home. */
export function Stack({ view, row, t, width, height, onSelect }: StackProps) {
  const plate = plateOf(row);
  const group = view.groups.find((each) => each.rows.includes(row));
  const others = (group?.rows ?? []).flatMap((each) => (each === row ? [] : (plateOf(each) ?? [])));
  const reach = Math.max(1, ...[plate ?? [], others].flat().map(({ radius, cam }) => radius + cam.lift.stroke));
  const room = Math.min(width / 2 - (others.length > 0 ? 62 : 34), height / 2 - 34);
  const scale = Math.max(1, room) / reach;
  const turning = group?.figure;
  const theta = turning ? turning.step * t : 0;
  const sentence = stackSentence(row, t);
  const sense = turning && turning.step !== 0 ? ((turning.sense * view.direction) as 1 | -1) : undefined;
  return (
    <g role="group" aria-label={`Stack: ${sentence}`} transform={`translate(${px(width / 2)} ${px(height / 2)})`}>
      <title>{`Stack of ${group?.name || row.cam.name}`}</title>
      <desc>{sentence}</desc>
      <g onClick={onSelect && (() => onSelect(row.cam.place))} transform={`rotate(${px((-theta * 180) / Math.PI)})`}>
        {plate && <path class="lw-cam-ground" d={cutPath(cutOf(plate, scale))} />}
        {others.map((other) => (
          <path key={other.row.cam.name} class="lw-other" d={faintPath(cutOf(other, scale))} />
        ))}
        {plate && <path class="lw-cam" d={cutPath(cutOf(plate, scale))} />}
        {plate && <circle class="lw-base" r={px(baseOf(plate) * scale)} />}
        {(plate ?? others[0]) && <Bore view={view} row={row} scale={scale} />}
      </g>
      {others.map((other, index) => (
        <OtherName
          key={other.row.cam.name}
          plate={other}
          scale={scale}
          beside={besideWhat(other, others.slice(0, index), plate)}
        />
      ))}
      {sense && plate && (
        <TurnArrow
          radius={reach * scale + 12}
          from={plate.cam.azimuth + Math.PI + (sense === 1 ? 0.45 : 1.1)}
          sense={sense}
        />
      )}
      {plate && <Push plate={plate} contact={contactOf(plate, standing(plate.cam, t).psi)} scale={scale} />}
      {plate && <Troubles plate={plate} scale={scale} theta={theta} />}
      {!plate && <text class="lw-small lw-dim lw-middle lw-halo">{fitted(noProfile(row), width - 8, 11)}</text>}
    </g>
  );
}

const baseOf = ({ rider }: Plate): number => (rider.kind === 'flat' ? rider.base : rider.prime - rider.nose);

interface Cut {
  readonly lift: FollowedLift;
  readonly rider: Rider;
  readonly scale: number;
}

/** A profile as a path in px about the shaft, at cam angle 0; it turns, but does not change, as the pointer moves. */
const cutPath = remembering(
  16,
  (cut: Cut) => JSON.stringify(cut),
  ({ lift, rider, scale }) => outlinePath(camOutline(lift, rider), scale),
);

/** The same for a faint neighbour: points of contact two degrees apart; of a flat follower the true outline. */
const faintPath = remembering(
  48,
  (cut: Cut) => JSON.stringify(cut),
  ({ lift, rider, scale }) =>
    rider.kind === 'flat'
      ? outlinePath(camOutline(lift, rider), scale)
      : closedPath(profileOutline(lift, rider, 180), scale, tenths),
);

const cutOf = ({ cam: { lift }, rider }: Plate, scale: number): Cut => ({ lift, rider, scale });

/** An outline as a closed path; vertices closer than half a px to the last are left out. */
function outlinePath(outline: Outline | undefined, scale: number): string {
  if (!outline) return '';
  const points: string[] = [];
  let [lastX, lastY] = [Infinity, Infinity];
  for (let i = 0; i < outline.x.length; i++) {
    const [x, y] = [outline.x[i] * scale, -outline.y[i] * scale];
    if (Math.hypot(x - lastX, y - lastY) < 0.5) continue;
    points.push(`${tenths(x)} ${tenths(y)}`);
    [lastX, lastY] = [x, y];
  }
  return points.length > 2 ? `M${points.join('L')}Z` : circlePath(outline.greatest * scale);
}

const circlePath = (radius: number): string =>
  `M${px(radius)} 0A${px(radius)} ${px(radius)} 0 1 0 ${px(-radius)} 0A${px(radius)} ${px(radius)} 0 1 0 ${px(radius)} 0Z`;

/** The keyed bore as it is, or a plain one with a line at cam angle 0. */
function Bore({ view, row, scale }: { view: View; row: Row; scale: number }) {
  const shaft = view.mechanism.shafts.find(({ name }) => name === row.cam.shaft?.name);
  const key = view.mechanism.keys.find(({ name }) => name === shaft?.key?.name);
  const section = key && boreSection(key);
  if (section && !('because' in section)) {
    return <path class="lw-bore" d={outlinePath(section, scale)} />;
  }
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
function OtherName(props: { plate: Plate; scale: number; beside: ReturnType<typeof besideWhat> }) {
  const { plate, scale, beside } = props;
  const azimuth = plate.cam.azimuth + (beside.push ? 0.5 : 0);
  const at = polar((plate.radius + plate.cam.lift.stroke) * scale + 14, azimuth);
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

/** Follower, contact point and the push: the pressure angle as the angle it is, drawn in the frame of the slide. */
function Push({ plate, contact, scale }: { plate: Plate; contact: Contact; scale: number }) {
  const at = (point: Point) => ({ x: point.x * scale, y: -point.y * scale });
  const [centre, touch] = [at(contact.centre), at(contact.touch)];
  const { lean } = contact;
  const ray = (angle: number, length: number) =>
    `L${px(centre.x + length * Math.cos(angle))} ${px(centre.y - length * Math.sin(angle))}`;
  const arc = 30;
  const end = { x: centre.x + arc * Math.cos(lean), y: centre.y - arc * Math.sin(lean) };
  const side = lean < 0 ? -1 : 1;
  const label = { x: centre.x + 24, y: centre.y - side * (Math.abs(Math.sin(lean)) * 44 + 14) };
  const turned = (-plate.cam.azimuth * 180) / Math.PI;
  return (
    <g transform={`rotate(${px(turned)})`}>
      <path class="lw-stem" d={`M${px(centre.x)} ${px(centre.y)}${ray(0, 52)}`} />
      {plate.rider.kind === 'flat' ? (
        <path class="lw-stem" d={`M${px(centre.x)} ${px(centre.y - 24)}v48`} />
      ) : (
        <g>
          <path
            class="lw-normal"
            d={`M${px(touch.x)} ${px(touch.y)}L${px(centre.x)} ${px(centre.y)}${ray(lean, 46)}`}
          />
          {Math.abs(lean) > 0.01 && (
            <path
              class="lw-angle"
              d={`M${px(centre.x + arc)} ${px(centre.y)}A${arc} ${arc} 0 0 ${side > 0 ? 0 : 1} ${px(end.x)} ${px(end.y)}`}
            />
          )}
          <circle class="lw-nose" cx={px(centre.x)} cy={px(centre.y)} r={px(Math.max(2.5, plate.rider.nose * scale))} />
        </g>
      )}
      <circle class="lw-dot" cx={px(touch.x)} cy={px(touch.y)} r="2.5" />
      <g transform={`translate(${px(label.x)} ${px(label.y)}) rotate(${px(-turned)})`}>
        <text class="lw-small lw-bold lw-middle lw-halo" y="4">
          {deg(Math.abs(lean))}
        </text>
      </g>
    </g>
  );
}

/** The row's findings at their cam angles, inside the profile, upright whatever the turn. */
function Troubles({ plate, scale, theta }: { plate: Plate; scale: number; theta: number }) {
  const radius = plate.radius * scale;
  return (
    <g>
      {plate.row.marks.flatMap(({ tag, finding }) =>
        (finding.angles ?? []).slice(0, 12).map((psi) => {
          const foot = polar(radius - 4, psi + theta);
          const at = polar(Math.max(30, radius - 34), psi + theta);
          return (
            <g key={`${tag} ${psi}`}>
              <path
                class={`lw-lead lw-${finding.severity}`}
                d={`M${px(at.x)} ${px(-at.y)}L${px(foot.x)} ${px(-foot.y)}`}
              />
              <FindingSign severity={finding.severity} tag={tag} x={at.x} y={-at.y} />
            </g>
          );
        }),
      )}
    </g>
  );
}
