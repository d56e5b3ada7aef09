/**
 * What ease may change of a mechanism: bars that are shown raised or lowered, the law of motion, the windows in which
 * cams rise and fall. Each as plain data and as changes of the text, which mean the same.
 */
import type { Cam, Change, Given, Law, Mechanism, Part, Point, Segment } from '../../language/mechanism.ts';
import { degreesWritten, isUnique, millimetres, named, setting } from '../checks/check.ts';
import type { CamFigure } from '../reckon/figures.ts';
import { degrees, radians } from '../reckon/motion/angles.ts';

/** What may be changed of each cam; cams that are left alone are not here. */
export interface Easy {
  readonly cam: Cam;
  readonly segments: readonly Segment[];
  /** Angle between its rests, rad. */
  readonly spacing: number;
  /** Its lobes follow from the count, so that its bars may be shown the other way. */
  readonly flips: boolean;
  /** No `rise` or `fall` of its own sets its flanks apart. */
  readonly windows: boolean;
}

export interface LeftAlone {
  readonly cam: string;
  readonly because: string;
}

/** Where flanks lie between two rests: a share of the angle between them, and later or earlier by a share of what is left. */
export interface Window {
  readonly travel: number;
  /** −1: against the rest before; 0: centred; +1: against the rest after. */
  readonly rise: -1 | 0 | 1;
  readonly fall: -1 | 0 | 1;
}

/** Of the grid; undefined leaves every cam what it has. */
export interface Choice {
  readonly law?: Law;
  readonly window?: Window;
  /** Numbers of the cams, in the list of those that may be changed, whose bars are shown the other way. */
  readonly flipped: ReadonlySet<number>;
}

/** Laws that are tried beside what the design has; constant velocity only blended, as it else starts with a blow. */
export const laws: readonly Law[] = [
  { name: 'constant velocity', blended: 0.2 },
  { name: 'simple harmonic' },
  { name: 'modified sine' },
  { name: 'polynomial 3-4-5' },
  { name: 'cycloidal' },
  { name: 'constant acceleration' },
  { name: 'modified trapezoid' },
  { name: 'polynomial 4-5-6-7' },
];

/** Windows that are tried beside what the design has: up to the whole step, and where room is left, falls first or rises first. */
export const windows: readonly Window[] = [
  { travel: 5 / 6, rise: 0, fall: 0 },
  { travel: 11 / 12, rise: 0, fall: 0 },
  { travel: 1, rise: 0, fall: 0 },
  ...[3 / 4, 5 / 6, 11 / 12].flatMap((travel): Window[] => [
    { travel, rise: 1, fall: -1 },
    { travel, rise: -1, fall: 1 },
  ]),
];

/** The cams that may be changed, and why the others are not. */
export function easyCams(m: Mechanism, figures: readonly CamFigure[]): { easy: Easy[]; leftAlone: LeftAlone[] } {
  const easy: Easy[] = [];
  const leftAlone: LeftAlone[] = [];
  const driven = m.cams.flatMap(({ segments }) => segments.map(({ name }) => name));
  for (const cam of m.cams) {
    const figure = named(figures, cam.name);
    const leave = (because: string) => leftAlone.push({ cam: cam.name, because });
    if (!figure) continue;
    if (cam.lobes.by === 'angles') {
      leave('its lobes are stated as angles');
      continue;
    }
    const segments = cam.segments.flatMap(({ name }) => named(m.segments, name) ?? []);
    const shared = segments.some(({ name }) => driven.filter((one) => one === name).length > 1);
    const unknown = segments.find(({ name }) => !m.glyphs?.value.segments.includes(name));
    if (cam.lobes.by === 'symbols') leave('its lobes are stated; only its law and window are tried');
    else if (shared) leave('another cam drives its segment too; only its law and window are tried');
    else if (unknown) leave(`the glyphs do not speak of ${unknown.name}; only its law and window are tried`);
    const flips = cam.lobes.by === 'count' && !shared && !unknown;
    const windows = !cam.rise && !cam.fall;
    if (!windows) leave('its rise or fall is stated; its window is kept');
    easy.push({ cam, segments, spacing: figure.spacing, flips, windows });
  }
  return { easy, leftAlone };
}

// ---- as data ---------------------------------------------------------------------------------------

/** Without a negative zero. */
const toThousandth = (value: number): number => Math.round(value * 1000) / 1000 + 0;

/** Travel and lateness of a window on one cam, rad, of whole thousandths of a degree as they are written. */
function anglesOf({ travel, rise, fall }: Window, spacing: number) {
  const written = (angle: number) => radians(toThousandth(degrees(angle)));
  const room = (spacing * (1 - travel)) / 2;
  return { travel: written(travel * spacing), rise: written(rise * room), fall: written(fall * room) };
}

const is = <T>(value: T, { place }: Pick<Part, 'place'>): Given<T> => ({ value, place, by: 'stated' });

/** The mechanism as it is with a choice made. */
export function chosen(m: Mechanism, easy: readonly Easy[], { law, window, flipped }: Choice): Mechanism {
  const cams = new Map(
    easy.map(({ cam, spacing, windows }) => {
      const angles = window && windows && anglesOf(window, spacing);
      const width = angles && is(angles.travel, cam);
      const apart = window && (window.rise !== 0 || window.fall !== 0);
      const changed: Cam = {
        ...cam,
        ...(law && { law: is(law, cam) }),
        ...(width && !apart && { travel: width }),
        ...(width &&
          apart && { rise: { width, late: is(angles.rise, cam) }, fall: { width, late: is(angles.fall, cam) } }),
      };
      return [cam.name, changed];
    }),
  );
  const turned = new Map(
    [...flipped].flatMap((i) => easy[i].segments.map((segment) => [segment.name, shownOtherwise(segment)])),
  );
  return {
    ...m,
    cams: m.cams.map((cam) => cams.get(cam.name) ?? cam),
    segments: m.segments.map((segment) => turned.get(segment.name) ?? segment),
  };
}

/**
 * A segment shown the other way. Its bar moves on its follower, so that the face looks the same: without a window, by
 * the stroke, so that it is shown where it was; with one, to the far side of the window, so that it covers as much of it
 * when shown, and as little when hidden, as before. What reaches up to it goes along.
 */
export function shownOtherwise(segment: Segment): Segment {
  const { bar, post, shown } = segment;
  const move = faceMove(segment);
  const moved = ({ x, y }: Point): Point => ({ x: toThousandth(x + move.x), y: toThousandth(y + move.y) });
  return {
    ...segment,
    shown: { ...shown, value: shown.value === 'raised' ? 'lowered' : 'raised', by: 'stated' },
    ...(bar && { bar: { ...bar, value: { ...bar.value, at: moved(bar.value.at) } } }),
    ...(post && { post: { ...post, value: { ...post.value, at: moved(post.value.at) } } }),
  };
}

function faceMove({ azimuth, stroke, bar, window, shown }: Segment): Point {
  if (!azimuth || !stroke) return { x: 0, y: 0 };
  const slide = { x: Math.cos(azimuth.value), y: Math.sin(azimuth.value) };
  const off = (bar: Point, window: Point): number => (bar.x - window.x) * slide.x + (bar.y - window.y) * slide.y;
  const by =
    bar && window
      ? -(2 * off(bar.value.at, window.value.at) + stroke.value)
      : shown.value === 'raised'
        ? stroke.value
        : -stroke.value;
  return { x: by * slide.x, y: by * slide.y };
}

/** Whether a law or a window is what every cam has, that may be changed, already. */
export const isGiven = (easy: readonly Easy[], { law, window }: Pick<Choice, 'law' | 'window'>): boolean =>
  easy.every(
    (one) =>
      (!law || saidOf(one, 'law') === lawWritten(law)) &&
      (!window ||
        !one.windows ||
        (window.rise === 0 &&
          window.fall === 0 &&
          saidOf(one, 'travel') === degreesWritten(anglesOf(window, one.spacing).travel))),
  );

// ---- as text ---------------------------------------------------------------------------------------

export function lawWritten(law: Law): string {
  return 'blended' in law && law.blended !== undefined
    ? `${law.name} blended ${toThousandth(law.blended * 100)} %`
    : law.name;
}

/** A choice as changes of the text, and in a maker's words. */
export function written(
  m: Mechanism,
  easy: readonly Easy[],
  { law, window, flipped }: Choice,
): { changes: Change[]; words: string[] } {
  const changes: Change[] = [];
  const words: string[] = [];
  const put = (property: Property, cams: readonly Easy[], value: (easy: Easy) => string) => {
    const lacking = cams.filter((easy) => saidOf(easy, property) !== value(easy));
    changes.push(...settings(m, property, cams, value));
    if (lacking.length) words.push(...inWords(property, lacking, value));
  };
  if (law) put('law', easy, () => lawWritten(law));
  const windowed = easy.filter(({ windows }) => windows);
  if (window) {
    const angles = ({ spacing }: Easy) => anglesOf(window, spacing);
    if (window.rise === 0 && window.fall === 0) put('travel', windowed, (easy) => degreesWritten(angles(easy).travel));
    else {
      for (const flank of ['rise', 'fall'] as const)
        put(
          flank,
          windowed,
          (easy) => `${degreesWritten(angles(easy).travel)} late ${degreesWritten(angles(easy)[flank])}`,
        );
    }
  }
  for (const i of [...flipped].sort((a, b) => a - b)) {
    for (const segment of easy[i].segments) {
      const after = shownOtherwise(segment);
      changes.push(
        setting(segment.name, 'shown', after.shown.value),
        ...moving(segment, after, 'bar'),
        ...moving(segment, after, 'post'),
      );
      words.push(`${segment.name} shown ${after.shown.value}${placeInWords(segment, after)}`);
    }
  }
  return { changes, words };
}

function placeInWords({ bar, hook }: Segment, after: Segment): string {
  if (!bar || !after.bar) return '; move what shows it by the stroke, so that it is seen where it was';
  const { x, y } = after.bar.value.at;
  return `, its bar at ${millimetres(x, 3)}, ${millimetres(y, 3)}, so that it is seen where it was${hook ? '; its hook stays' : ''}`;
}

function moving(before: Segment, after: Segment, property: 'bar' | 'post'): Change[] {
  const [old, now] = [before[property], after[property]];
  if (!old || !now || old.by === 'default') return [];
  return (['x', 'y'] as const)
    .filter((side) => now.value.at[side] !== toThousandth(old.value.at[side]))
    .map((side) => setting(before.name, `${property} ${side}`, millimetres(now.value.at[side], 3)));
}

type Property = 'law' | 'travel' | 'rise' | 'fall';

/** What a cam has already, stated or by default; nothing of a rise and a fall, which are tried only where there is none. */
function saidOf({ cam, spacing }: Easy, property: Property): string | undefined {
  if (property === 'law') return lawWritten(cam.law.value);
  return property === 'travel' ? degreesWritten(cam.travel?.value ?? (5 / 6) * spacing) : undefined;
}

/** One value for all where all cams take the same and no other cam would take it too, else one for each cam that needs it. */
function settings(m: Mechanism, property: Property, cams: readonly Easy[], value: (easy: Easy) => string): Change[] {
  const alike = cams.length === m.cams.length && cams.every((easy) => value(easy) === value(cams[0]));
  const changes = cams
    .filter((easy) => saidOf(easy, property) !== value(easy))
    .map((easy): Change => {
      const { cam } = easy;
      const given = property === 'law' || property === 'travel' ? cam[property] : undefined;
      if (alike && given?.by === 'every') return { do: 'replace', place: given.place, text: value(easy) };
      if (alike && given?.by !== 'stated') return setting('every cam', property, value(easy));
      return setting(cam.name, property, value(easy));
    });
  return changes.filter((one, i) => changes.findIndex((other) => JSON.stringify(other) === JSON.stringify(one)) === i);
}

function inWords(property: string, cams: readonly Easy[], value: (easy: Easy) => string): string[] {
  const values = cams.map(value).filter(isUnique);
  return values.map((text) => {
    const names = cams.filter((easy) => value(easy) === text).map(({ cam }) => cam.name);
    return `${property} ${text} for ${names.join(', ')}`;
  });
}
