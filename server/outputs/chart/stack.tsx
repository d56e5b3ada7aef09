/** The stack: one cam in true profile as it turns, the others of its shaft faint, the push on its nose as it lies. */
import type { Place, Point, Segment } from '../../../language/mechanism.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { camAngle, liftAt } from '../../reckon/motion/lift.ts';
import { contactPoint, pitchPoint, pressureAngle, profileOutline, type RoundNose } from '../../reckon/shape/profile.ts';
import { FindingSign } from './marks.tsx';
import { TurnArrow } from './plan.tsx';
import { closedPath, polar } from './shapes.ts';
import type { Row, View } from './view.ts';
import { bearing, deg, fitted, listed, mm, px } from './words.ts';

/** The follower that rides on a row's cam. */
const rider = (row: Row): Segment | undefined => row.segments[0];

/** What rides on a row's cam, where base, nose and stroke give it. */
function noseOf(row: Row): RoundNose | undefined {
  const prime = row.figure?.primeRadius;
  const nose = rider(row)?.nose?.value;
  const offset = rider(row)?.offset.value ?? 0;
  return prime === undefined || nose === undefined || Math.abs(offset) >= prime ? undefined : { prime, nose, offset };
}

/** The push on the nose in the frame of its slide, mm and rad: x along the slide, y to its left. */
interface Contact {
  readonly centre: Point;
  readonly touch: Point;
  /** From the slide to the push on the nose, counter-clockwise. */
  readonly lean: number;
}

function contactOf(cam: CamFigure, nose: RoundNose, psi: number): Contact {
  const motion = liftAt(cam.lift, psi);
  return {
    centre: pitchPoint(nose, motion, 0),
    touch: contactPoint(nose, motion, 0),
    lean: -pressureAngle(nose, motion),
  };
}

/** Reach of the stack round its shaft, mm. */
function reachOf(rows: readonly Row[]): number {
  const reaches = rows.map(({ figure }) => (figure?.primeRadius ?? 0) + (figure?.lift.stroke ?? 0));
  return Math.max(1, ...reaches);
}

/** Why a cam's profile is not drawn. */
function noProfile(row: Row): string {
  if (row.wants.length > 0) return `no profile yet: give ${listed(row.wants)}`;
  const kind = rider(row)?.follower.value.kind;
  return kind === 'flat' || kind === 'pivoted' ? `profiles of ${kind} followers are not drawn` : 'no profile yet';
}

/** Where the chosen cam stands, in short. */
export function stackNote({ figure }: Row, t: number): string {
  if (!figure) return 'not reckoned yet';
  const psi = camAngle(figure.azimuth, figure.step, t);
  return `cam angle ${bearing(psi, 1)}, lift ${mm(liftAt(figure.lift, psi).lift)}`;
}

/** What the stack shows of the chosen cam, in words. */
export function stackSentence(row: Row, t: number): string {
  const cam = row.figure;
  if (!cam) return `${row.cam.name}: not reckoned yet`;
  const psi = camAngle(cam.azimuth, cam.step, t);
  const parts = [`${cam.name} at cam angle ${bearing(psi, 1)}`, `lift ${mm(liftAt(cam.lift, psi).lift)}`];
  const nose = noseOf(row);
  if (nose) parts.push(`pressure angle ${deg(Math.abs(contactOf(cam, nose, psi).lean))}`);
  else parts.push(noProfile(row));
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

/** The stack of one row's shaft, its cam drawn in full, `t` steps from home. */
export function Stack({ view, row, t, width, height, onSelect }: StackProps) {
  const cam = row.figure;
  const group = view.groups.find((each) => each.rows.includes(row));
  const others = (group?.rows ?? []).filter((each) => each !== row && noseOf(each));
  const nose = noseOf(row);
  const drawn = nose ? [row, ...others] : others;
  const scale = (Math.min(width, height) / 2 - 34) / reachOf(drawn);
  const theta = group?.figure ? group.figure.step * t : 0;
  const rotate = `rotate(${px((-theta * 180) / Math.PI)})`;
  const sentence = stackSentence(row, t);
  const sense =
    group?.figure && group.figure.step !== 0 ? ((group.figure.sense * view.direction) as 1 | -1) : undefined;
  return (
    <g role="group" aria-label={`Stack: ${sentence}`} transform={`translate(${px(width / 2)} ${px(height / 2)})`}>
      <title>{`Stack of ${group?.name || row.cam.name}`}</title>
      <desc>{sentence}</desc>
      {others.map((other, index) => (
        <OtherName
          key={other.cam.name}
          row={other}
          scale={scale}
          beside={besideWhat(other, others.slice(0, index), nose && row)}
        />
      ))}
      {cam && nose ? (
        <Chosen
          row={row}
          others={others}
          cam={cam}
          nose={nose}
          scale={scale}
          t={t}
          rotate={rotate}
          onSelect={onSelect}
        />
      ) : (
        <text class="lw-small lw-dim lw-middle">{fitted(noProfile(row), width - 8, 11)}</text>
      )}
      {cam && <Troubles row={row} scale={scale} theta={theta} />}
      {sense && (
        <TurnArrow
          radius={Math.max(14, (cam?.primeRadius ?? 0) * scale * 0.62)}
          from={sense === 1 ? 2.2 : 1.0}
          sense={sense}
        />
      )}
    </g>
  );
}

const paths = new WeakMap<CamFigure, Map<string, string>>();

/** A cam's profile as a path in px about its shaft, at cam angle 0; it does not change as the pointer moves. */
function profilePath(row: Row, scale: number): string {
  const cam = row.figure!;
  const nose = noseOf(row)!;
  let made = paths.get(cam);
  if (!made) {
    made = new Map();
    paths.set(cam, made);
  }
  const key = `${scale} ${nose.offset} ${nose.nose}`;
  let path = made.get(key);
  if (path === undefined) {
    path = closedPath(profileOutline(cam.lift, nose, 720), scale);
    made.set(key, path);
  }
  return path;
}

const together = (one: Row, other: Row): boolean =>
  Math.abs(Math.sin((one.figure!.azimuth - other.figure!.azimuth) / 2)) < 0.05;

/** What already stands at a follower's azimuth: how many names, and whether the chosen cam's push does. */
const besideWhat = (row: Row, named: readonly Row[], chosen: Row | undefined) => ({
  names: named.filter((other) => together(row, other)).length,
  push: chosen?.figure !== undefined && together(row, chosen),
});

/** Another cam's name, where its follower rides; out of the way of the push that is drawn. */
function OtherName(props: { row: Row; scale: number; beside: ReturnType<typeof besideWhat> }) {
  const { row, scale, beside } = props;
  const { azimuth: slide, primeRadius, lift } = row.figure!;
  const azimuth = slide + (beside.push ? 0.5 : 0);
  const at = polar((primeRadius! + lift.stroke) * scale + 14, azimuth);
  const upright = Math.abs(Math.cos(azimuth)) < 0.3;
  const anchor = upright ? 'lw-middle' : Math.cos(azimuth) < 0 ? 'lw-end' : '';
  const inward = upright ? 0 : -8 * Math.sign(Math.cos(azimuth));
  const down = 13 * beside.names * (Math.sin(azimuth) > 0.3 ? -1 : 1);
  return (
    <text class={`lw-small lw-dim ${anchor}`} x={px(at.x + inward)} y={px(-at.y + 4 + down)}>
      {fitted(row.cam.name, 64, 11)}
    </text>
  );
}

function Chosen(props: {
  row: Row;
  others: readonly Row[];
  cam: CamFigure;
  nose: RoundNose;
  scale: number;
  t: number;
  rotate: string;
  onSelect?: (place: Place) => void;
}) {
  const { row, others, cam, nose, scale, t, rotate, onSelect } = props;
  const contact = contactOf(cam, nose, camAngle(cam.azimuth, cam.step, t));
  return (
    <g onClick={onSelect && (() => onSelect(row.cam.place))}>
      <g transform={rotate}>
        <path class="lw-cam-ground" d={profilePath(row, scale)} />
        {others.map((other) => (
          <path key={other.cam.name} class="lw-other" d={profilePath(other, scale)} />
        ))}
        <path class="lw-cam" d={profilePath(row, scale)} />
        <circle class="lw-base" r={px((nose.prime - nose.nose) * scale)} />
        <circle class="lw-bore" r={px(Math.max(4, nose.prime * scale * 0.2))} />
        <path class="lw-stem" d={`M0 0H${px(nose.prime * scale * 0.2)}`} />
      </g>
      <Push contact={contact} azimuth={cam.azimuth} nose={nose.nose} scale={scale} />
    </g>
  );
}

/** Nose, contact point and the push on it: the pressure angle as the angle it is, drawn in the frame of the slide. */
function Push(props: { contact: Contact; azimuth: number; nose: number; scale: number }) {
  const { contact, azimuth, nose, scale } = props;
  const at = (point: Point) => ({ x: point.x * scale, y: -point.y * scale });
  const [centre, touch] = [at(contact.centre), at(contact.touch)];
  const ray = (angle: number, length: number) =>
    `L${px(centre.x + length * Math.cos(angle))} ${px(centre.y - length * Math.sin(angle))}`;
  const arc = 30;
  const end = { x: centre.x + arc * Math.cos(contact.lean), y: centre.y - arc * Math.sin(contact.lean) };
  const side = contact.lean < 0 ? -1 : 1;
  const label = { x: centre.x + 24, y: centre.y - side * (Math.abs(Math.sin(contact.lean)) * 44 + 12) };
  const turned = (-azimuth * 180) / Math.PI;
  return (
    <g transform={`rotate(${px(turned)})`}>
      <path class="lw-stem" d={`M${px(centre.x)} ${px(centre.y)}${ray(0, 52)}`} />
      <path
        class="lw-normal"
        d={`M${px(touch.x)} ${px(touch.y)}L${px(centre.x)} ${px(centre.y)}${ray(contact.lean, 46)}`}
      />
      {Math.abs(contact.lean) > 0.01 && (
        <path
          class="lw-angle"
          d={`M${px(centre.x + arc)} ${px(centre.y)}A${arc} ${arc} 0 0 ${side > 0 ? 0 : 1} ${px(end.x)} ${px(end.y)}`}
        />
      )}
      <circle class="lw-nose" cx={px(centre.x)} cy={px(centre.y)} r={px(Math.max(2.5, nose * scale))} />
      <circle class="lw-dot" cx={px(touch.x)} cy={px(touch.y)} r="2.5" />
      <g transform={`translate(${px(label.x)} ${px(label.y)}) rotate(${px(-turned)})`}>
        <text class="lw-small lw-bold lw-middle" y="4">
          {deg(Math.abs(contact.lean))}
        </text>
      </g>
    </g>
  );
}

/** The row's findings at their cam angles, outside the profile, upright whatever the turn. */
function Troubles({ row, scale, theta }: { row: Row; scale: number; theta: number }) {
  const cam = row.figure!;
  const radius = (cam.primeRadius ?? 0) * scale;
  return (
    <g>
      {row.marks.flatMap(({ tag, finding }) =>
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
