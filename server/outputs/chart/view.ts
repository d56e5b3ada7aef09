/**
 * What the drawings read of one reckoned mechanism: rows, tags of findings, the turn as the count steps it.
 *
 * `across` is the chart's own axis: 0 at home, 1 one step later as the mechanism runs, up to the number of rests of a
 * count. `t` counts forward steps from home, without end; a lap is one whole count.
 */
import type { Cam, Finding, Mechanism, Place, Point, Segment, Severity, Shaft } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { CamFigure, Figures, FollowedLift, ShaftFigure } from '../../reckon/figures.ts';
import { turn } from '../../reckon/motion/angles.ts';
import { camAngle, liftAt, wholeWidth } from '../../reckon/motion/lift.ts';
import { seenAs, shareShown } from '../../reckon/motion/positions.ts';
import { barOutline, faceCentre, rectangleOutline } from '../../reckon/shape/bars.ts';
import { type Body, bodiesOf } from '../../reckon/shape/bodies.ts';
import { type Box, boxOf } from '../../reckon/shape/convex.ts';
import { type Slider, slidersOf } from '../../reckon/shape/posts.ts';
import type { Ghost, GhostRow } from '../compare/ghost.ts';
import { grown } from './shapes.ts';

/** A finding and the tag by which picture and list name it: "E1". */
export interface Tagged {
  readonly tag: string;
  readonly finding: Finding;
}

/** A finding where it stands across the turn; nowhere in particular where `at` is empty. */
export interface TurnMark extends Tagged {
  readonly at: readonly number[];
}

export interface RowMark extends TurnMark {
  /** The cam angles that it tells of, rad: of the chief row's cam alone. */
  readonly angles: readonly number[];
}

export interface Row {
  readonly cam: Cam;
  readonly figure?: CamFigure;
  readonly segments: readonly Segment[];
  /** The least and the most angle of its rises and falls, rad; absent where nothing moves. */
  readonly flanks?: readonly [number, number];
  readonly marks: readonly RowMark[];
  /** What is missing for its figures: "camA.base". */
  readonly wants: readonly string[];
  /** How it was in the version that the chart is held against. */
  readonly ghost?: GhostRow;
}

/** The cams of one shaft in stack order. */
export interface Group {
  readonly name: string;
  readonly shaft?: Shaft;
  readonly figure?: ShaftFigure;
  readonly rows: readonly Row[];
}

export interface View {
  readonly mechanism: Mechanism;
  readonly figures: Figures;
  readonly title: string;
  /** Rest positions of one count; 0 while there is no count. */
  readonly rests: number;
  /** +1 where the mechanism steps forward, −1 where it runs in reverse. */
  readonly direction: 1 | -1;
  /** Counts until every shaft is home. */
  readonly laps: number;
  /** Whether each count looks like the first. */
  readonly repeats: boolean;
  readonly groups: readonly Group[];
  readonly rows: readonly Row[];
  readonly findings: readonly Tagged[];
  readonly accepted: readonly Finding[];
  /** Those that lie on no row. */
  readonly general: readonly Tagged[];
  readonly face: Box;
  /** What turns, in true outline: cut once, however often it is drawn. */
  readonly bodies: readonly Body[];
  /** Stems, posts and guides as they stand when lowered. */
  readonly sliders: readonly Slider[];
  /** The bars as drawn, with their slides. */
  readonly bars: readonly DrawnBar[];
  /** Segments that give no bar to draw. */
  readonly unplaced: readonly Segment[];
  /** Return springs, bands or a push: what can pinch or fly out. */
  readonly stored: boolean;
  /** Where a number other than the text's is tried: which, as the strips say it. */
  readonly tried?: string;
  /** The older version that is drawn behind. */
  readonly ghost?: Ghost;
}

/** A bar as its reader sees it. */
export interface FaceBar {
  readonly segment: { readonly name: string };
  /** Outline when lowered, mm, face coordinates. */
  readonly outline: readonly Point[];
  /** Unit vector of the slide. */
  readonly slide: Point;
  readonly window?: readonly Point[];
}

export interface DrawnBar extends FaceBar {
  readonly segment: Segment;
}

/** All bars of a face, and the box that holds them wherever they stand. */
export interface FacePlan<Bar extends FaceBar = FaceBar> {
  readonly face: Box;
  readonly bars: readonly Bar[];
}

const severities: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

const severityLetter = (severity: Severity): string => severity[0]!.toUpperCase();

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** Findings in order of weight, each with its tag. */
export function tagged(findings: readonly Finding[]): Tagged[] {
  return severities.flatMap((severity) =>
    findings
      .filter((finding) => finding.severity === severity && finding.accepted === undefined)
      .map((finding, index) => ({ finding, tag: `${severityLetter(severity)}${index + 1}` })),
  );
}

/** The gravest finding of one of these codes that tells of all these parts, or of some of them and nothing else. */
export function findingOn(
  { findings }: Pick<View, 'findings'>,
  codes: readonly string[],
  names: readonly string[],
): Tagged | undefined {
  return findings.find(({ finding }) => codes.includes(finding.code) && tells(finding, names));
}

export const tells = ({ about }: Finding, names: readonly string[]): boolean =>
  names.every((name) => about.includes(name)) || about.every((name) => names.includes(name));

/** Steps from home of a place across the turn, in a lap. */
export const stepsAt = (view: Pick<View, 'rests' | 'direction'>, across: number, lap = 0): number =>
  view.direction * (across + lap * view.rests);

/** The rest position that stands at a whole number across. */
export const restAt = (view: Pick<View, 'rests' | 'direction'>, across: number): number =>
  view.rests === 0 ? 0 : (((view.direction * across) % view.rests) + view.rests) % view.rests;

/** Where rest position `index` stands across one turn; home stands at both ends. */
export function acrossOfRest(view: Pick<View, 'rests' | 'direction'>, index: number): number[] {
  if (index === 0) return [0, view.rests];
  return [view.direction === 1 ? index : view.rests - index];
}

/** Where across one turn the cam angle `psi` (rad) lies under the follower. */
export function acrossOfAngle(
  view: Pick<View, 'rests' | 'direction'>,
  cam: Pick<CamFigure, 'azimuth' | 'step'>,
  psi: number,
): number[] {
  if (!Number.isFinite(cam.step) || cam.step === 0) return [];
  const period = turn / Math.abs(cam.step);
  const first = ((((view.direction * (cam.azimuth - psi)) / cam.step) % period) + period) % period;
  const found: number[] = [];
  for (let at = first; at <= view.rests + 1e-9 && found.length < 400; at += period) found.push(at);
  return found;
}

/** Lift of a cam's follower, mm, at `t` steps from home. */
export const liftOf = (cam: CamFigure, t: number): number => liftAt(cam.lift, camAngle(cam.azimuth, cam.step, t)).lift;

/** The cam whose lobes move a segment. */
export const camOf = (view: Pick<View, 'figures'>, segment: string): CamFigure | undefined =>
  view.figures.cams.find((cam) => cam.segments.includes(segment));

/** How a bar stands on the face. */
export interface BarStanding {
  readonly segment: { readonly name: string };
  readonly lift: number;
  readonly seen: 'shown' | 'hidden' | 'between';
  /** Where the glyphs want something else at this rest. */
  readonly wrong: boolean;
}

export interface BarState extends BarStanding {
  readonly segment: Segment;
  /** How much of it the reader sees, 0 hidden to 1 shown. */
  readonly share: number;
}

/** What one segment does at `t` steps from home; `rest` is the position that stands there, if one does. */
function barState(view: Pick<View, 'mechanism' | 'figures'>, segment: Segment, t: number, rest?: number): BarState {
  const cam = camOf(view, segment.name);
  const lift = cam ? liftOf(cam, t) : 0;
  const stroke = segment.stroke?.value ?? cam?.lift.stroke ?? 1;
  const share = stroke > 0 ? Math.min(1, Math.max(0, shareShown(view.mechanism, segment, stroke)(lift))) : 0;
  const seen = seenAs(view.mechanism, share);
  const wanted =
    rest === undefined
      ? undefined
      : view.figures.positions[rest]?.bars.find((bar) => bar.segment === segment.name)?.wanted;
  return { segment, lift, share, seen, wrong: wanted !== undefined && wanted !== seen };
}

/** What every bar does at `across` of a lap, in the order of the text. */
export function barsAt(view: View, across: number, lap = 0): BarState[] {
  const atRest = Number.isInteger(across) && view.rests > 0;
  const rest = atRest ? restAt(view, across) : undefined;
  return view.mechanism.segments.map((segment) => barState(view, segment, stepsAt(view, across, lap), rest));
}

/** The lap and the place across of so many forward steps from home; a rest that is near enough is meant. */
export function momentAt({ rests, direction, laps }: View, steps: number): { lap: number; across: number } {
  const whole = rests * laps;
  const far = whole > 0 ? (((direction * steps) % whole) + whole) % whole : 0;
  const near = Math.abs(far - Math.round(far)) < 0.02 ? Math.round(far) % (whole || 1) : far;
  const lap = rests > 0 ? Math.floor(near / rests) : 0;
  return { lap, across: near - lap * rests };
}

/** What of a view tells moments in words. */
export type Read = Pick<View, 'rests' | 'direction'> & { readonly figures: Pick<Figures, 'positions'> };

/** The symbol at a whole number across. */
export const symbolAt = (view: Read, across: number): string =>
  view.figures.positions[restAt(view, Math.round(across))]?.symbol ?? '';

/** The moment in words: "at 3", "between 3 and 4". */
export function momentOf(view: Read, across: number): string {
  if (view.rests === 0) return 'home';
  const quoted = (at: number) => symbolAt(view, at).trim() || 'blank';
  if (Number.isInteger(across)) return `at ${quoted(across)}`;
  return `between ${quoted(Math.floor(across))} and ${quoted(Math.ceil(across))}`;
}

/** The place in the text that made a lobe of a cam. */
export function lobePlace(row: Row, lobe: number): Place {
  const { lobes } = row.cam;
  if (lobes.by === 'symbols') return lobes.place;
  const from = row.figure?.lift.lobes[lobe]?.from;
  if (lobes.by === 'angles' && from !== undefined) {
    const apart = (angle: number) => Math.abs(Math.sin((angle - from) / 2));
    const nearest = [...lobes.lobes].sort((one, other) => apart(one.from.value) - apart(other.from.value))[0];
    if (nearest) return nearest.place;
  }
  return row.cam.whole;
}

/** Findings that the strips under the rows show for every step: on a row only at the worst. */
const stripCodes = new Set(['slack-return', 'guide-jam']);

function rowMarks(
  view: Pick<View, 'rests' | 'direction'>,
  named: (name: string) => boolean,
  figure: CamFigure | undefined,
  all: readonly Tagged[],
  isRow: (name: string) => boolean,
): RowMark[] {
  return all.flatMap(({ tag, finding }) => {
    const rows = finding.about.filter(isRow);
    const inStrip = stripCodes.has(finding.code);
    const here = inStrip ? rows.length > 0 && named(rows[0]!) : rows.some(named);
    if (!here) return [];
    const chief = rows.length > 0 && named(rows[0]!);
    const angles = chief ? (finding.angles ?? []) : [];
    const points = figure ? angles.flatMap((psi) => acrossOfAngle(view, figure, psi)) : [];
    const positions = finding.positions?.slice(0, inStrip ? 1 : undefined) ?? [];
    // What stands at every rest is told once, not at each.
    const everywhere = positions.length > 1 && positions.length >= view.rests;
    const rests = everywhere ? [] : positions.flatMap((index) => acrossOfRest(view, index));
    const at = points.length > 0 ? points : rests;
    return [{ tag, finding, angles, at: [...new Set(at)].sort((one, other) => one - other) }];
  });
}

const byLevel = (one: Cam, other: Cam) => (one.level?.value ?? Infinity) - (other.level?.value ?? Infinity) || 0;

function groupsOf(mechanism: Mechanism, rowOf: (cam: Cam) => Row, figures: Figures): Group[] {
  const known = mechanism.shafts.map((shaft) => ({
    name: shaft.name,
    shaft,
    figure: figures.shafts.find((figure) => figure.name === shaft.name),
    rows: mechanism.cams
      .filter((cam) => cam.shaft?.name === shaft.name)
      .sort(byLevel)
      .map(rowOf),
  }));
  const names = new Set(mechanism.shafts.map((shaft) => shaft.name));
  const loose = mechanism.cams.filter((cam) => cam.shaft === undefined || !names.has(cam.shaft.name)).map(rowOf);
  const groups: Group[] = known.filter((group) => group.rows.length > 0);
  return loose.length > 0 ? [...groups, { name: '', rows: loose }] : groups;
}

const strokeOf = (segment: Segment): number => segment.stroke?.value ?? 0;

/** The bars that are drawn, and the box round them. */
export function facePlanOf(mechanism: Mechanism): FacePlan<DrawnBar> {
  const bars = drawnBars(mechanism);
  return { face: faceBox(bars), bars };
}

function drawnBars(mechanism: Mechanism): DrawnBar[] {
  const drawn = mechanism.segments.flatMap((segment) => (segment.bar ? [{ segment, bar: segment.bar.value }] : []));
  const centre = faceCentre(drawn.map(({ bar }) => bar));
  return drawn.map(({ segment, bar }) => {
    const azimuth = segment.azimuth?.value ?? 0;
    return {
      segment,
      outline: barOutline(bar, centre),
      slide: { x: Math.cos(azimuth), y: Math.sin(azimuth) },
      window: segment.window && rectangleOutline(segment.window.value),
    };
  });
}

const shifted = (point: Point, slide: Point, by: number): Point => ({
  x: point.x + slide.x * by,
  y: point.y + slide.y * by,
});

/** The outline of a bar lifted by `lift` mm. */
export const liftedBar = (bar: FaceBar, lift: number): Point[] =>
  bar.outline.map((point) => shifted(point, bar.slide, lift));

function faceBox(bars: readonly DrawnBar[]): Box {
  const points = bars.flatMap((bar) => [
    ...bar.outline,
    ...liftedBar(bar, strokeOf(bar.segment)),
    ...(bar.window ?? []),
  ]);
  const box = boxOf(points) ?? { left: -20, right: 20, bottom: -35, top: 35 };
  return grown(box, 0.03 * Math.max(box.right - box.left, box.top - box.bottom));
}

/** What a mechanism is called, the turn as the count steps it, and whether something in it can pinch or fly out. */
export function turnsOf(
  mechanism: Mechanism,
  figures: Figures,
): Pick<View, 'title' | 'rests' | 'direction' | 'laps' | 'repeats' | 'stored'> {
  const dens = figures.shafts.map((shaft) => shaft.ratio?.den ?? 1);
  return {
    title: mechanism.about.title ?? mechanism.name,
    rests: figures.positions.length,
    direction: mechanism.runs.value === 'reverse' ? -1 : 1,
    laps: dens.reduce((whole, den) => Math.min(3600, (whole * den) / gcd(whole, den)), 1),
    repeats: figures.cams.every((cam) => cam.repeats),
    stored: mechanism.springs.length + mechanism.bands.length + mechanism.pushes.length > 0,
  };
}

/** Everything the drawings need, from what was reckoned. */
export function viewOf({ mechanism, figures, findings }: Reckoned, ghost?: Ghost): View {
  const all = tagged(findings);
  const axis = turnsOf(mechanism, figures);
  const driving = new Map<string, string>();
  for (const cam of mechanism.cams)
    for (const segment of cam.segments) if (!driving.has(segment.name)) driving.set(segment.name, cam.name);
  const rowName = (name: string) => (mechanism.cams.some((cam) => cam.name === name) ? name : driving.get(name));
  const isRow = (name: string) => rowName(name) !== undefined;
  const rowOf = (cam: Cam): Row => {
    const figure = figures.cams.find((each) => each.name === cam.name);
    const segments = cam.segments.flatMap(
      ({ name }) => mechanism.segments.find((segment) => segment.name === name) ?? [],
    );
    const behind = ghost?.rows.find((row) => row.cam === cam.name);
    const owners = [cam.name, ...segments.map((segment) => segment.name)];
    return {
      cam,
      figure,
      segments,
      flanks: figure && flankRange(figure.lift),
      marks: rowMarks(axis, (name) => rowName(name) === cam.name, figure, all, isRow),
      wants: [
        ...new Set(figures.missing.map(({ wants }) => wants).filter((wants) => owners.includes(wants.split('.')[0]!))),
      ],
      ...(behind && { ghost: behind }),
    };
  };
  const groups = groupsOf(mechanism, rowOf, figures);
  const rows = groups.flatMap((group) => group.rows);
  const onRows = new Set(rows.flatMap((row) => row.marks.map((mark) => mark.tag)));
  return {
    mechanism,
    figures,
    ...axis,
    groups,
    rows,
    findings: all,
    accepted: findings.filter((finding) => finding.accepted !== undefined),
    general: all.filter(({ tag }) => !onRows.has(tag)),
    ...facePlanOf(mechanism),
    bodies: bodiesOf(mechanism, figures, figures.stack).bodies,
    sliders: slidersOf(mechanism, figures, figures.stack).sliders,
    unplaced: mechanism.segments.filter((segment) => !segment.bar),
    ...(ghost && { ghost }),
  };
}

/** Revision, rests, direction, author, licence, what it is held against: the line under the title. */
export function aboutLine({ mechanism: { about, runs }, rests, ghost }: View): string {
  const parts = [
    about.revision && `revision ${about.revision}`,
    rests > 0 && `${rests} rests a turn`,
    runs.value !== 'forward' && `runs ${runs.value}`,
    about.author,
    about.licence,
    ghost && `against ${ghost.of}`,
  ];
  return parts.filter(Boolean).join(' · ');
}

/** The row that the greatest pressure angle of all lies on, else the first: the one to look at when none is chosen. */
export function steepestRow(view: View): Row | undefined {
  const angle = (row: Row) => Math.abs(row.figure?.pressureAngle?.value ?? -1);
  return view.rows.reduce<Row | undefined>((best, row) => (!best || angle(row) > angle(best) ? row : best), undefined);
}

/** The angles that a cam's rises and falls take: the least and the most of them; none where nothing moves. */
function flankRange({ lobes }: FollowedLift): readonly [number, number] | undefined {
  const widths = lobes.flatMap(({ before, after }) => [wholeWidth(before), wholeWidth(after)]);
  return widths.length > 0 ? [Math.min(...widths), Math.max(...widths)] : undefined;
}

/** Flanks of a lift program as stretches of cam angle, each with the lobe it belongs to. */
export const flanksOf = (lift: FollowedLift): { lobe: number; side: 0 | 1; from: number; to: number }[] =>
  lift.lobes.flatMap((lobe, index) => [
    { lobe: index, side: 0 as const, from: lobe.from - lobe.before.width, to: lobe.from },
    { lobe: index, side: 1 as const, from: lobe.to, to: lobe.to + lobe.after.width },
  ]);
