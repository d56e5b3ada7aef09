/**
 * What ease may change of a mechanism: bars that are shown raised or lowered, the law of motion, the windows in which
 * cams rise and fall, the sense in which the shafts turn; and what of a mechanism no push depends on.
 */
import type { Cam, Given, Law, Mechanism, Part, Point, Segment, Sense, Shaft } from '../../language/mechanism.ts';
import { named } from '../checks/check.ts';
import type { CamFigure } from '../reckon/figures.ts';
import { degrees, radians } from '../reckon/motion/angles.ts';
import { leadingShaft } from '../reckon/motion/train.ts';

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
  /** All shafts turn the other way. */
  readonly turned?: true;
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

/** Where rises and falls lie in the room that is left: falls first, rises first, then every other way but both centred. */
const leanings = [[1, -1], [-1, 1], [1, 1], [-1, -1], [1, 0], [-1, 0], [0, 1], [0, -1]] as const; // biome-ignore format: a list

/** Windows that are tried beside what the design has: up to the whole step, and where room is left, every flank early, centred or late. */
export const windows: readonly Window[] = [
  ...[5 / 6, 11 / 12, 1, 3 / 4].map((travel): Window => ({ travel, rise: 0, fall: 0 })),
  ...leanings.flatMap(([rise, fall]) => [3 / 4, 5 / 6, 11 / 12].map((travel): Window => ({ travel, rise, fall }))),
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

// ---- what no push depends on ----------------------------------------------------------------------

export interface Unmoved {
  readonly what: string;
  readonly because: string;
}

/** What could be had for nothing, too, but changes nothing of the push. */
export function unmovedBy(m: Mechanism): Unmoved[] {
  return [
    {
      what: 'the levels of the cams',
      because:
        'nose, guide and return of a bar lie in the plane of its cam, whichever level that is (what its post meets does depend on it)',
    },
    {
      what: 'the phase of a shaft, and the symbol at home',
      because:
        'lobes follow from the count: a cam set round on its key gets them set round, too, and begun at another symbol the same steps come in the same order',
    },
    ...(isHanded(m)
      ? []
      : [
          {
            what: 'the sense of turning',
            because: 'the line of every follower goes through its shaft, so that mirrored cams take the same',
          },
        ]),
  ];
}

/** Whether some follower meets a cam that turns the other way differently: beside its shaft, or on an arm. */
const isHanded = ({ segments }: Mechanism): boolean =>
  segments.some(({ offset, follower }) => offset.value !== 0 || follower.value.kind === 'pivoted');

/** Whether the other sense of turning is tried; notes why not, where it might be lighter. */
export function triesTurning(m: Mechanism, leftAlone: LeftAlone[]): boolean {
  if (!isHanded(m)) return false;
  const stated = m.cams.find(({ lobes }) => lobes.by === 'angles');
  if (stated)
    leftAlone.push({
      cam: stated.name,
      because: 'its lobes are stated as angles, so that the sense of turning is kept',
    });
  return !stated;
}

// ---- as data ---------------------------------------------------------------------------------------

/** Without a negative zero. */
export const toThousandth = (value: number): number => Math.round(value * 1000) / 1000 + 0;

/** Travel and lateness of a window on one cam, rad, of whole thousandths of a degree as they are written. */
export function anglesOf({ travel, rise, fall }: Window, spacing: number) {
  const written = (angle: number) => radians(toThousandth(degrees(angle)));
  const room = (spacing * (1 - travel)) / 2;
  return { travel: written(travel * spacing), rise: written(rise * room), fall: written(fall * room) };
}

const is = <T>(value: T, { place }: Pick<Part, 'place'>): Given<T> => ({ value, place, by: 'stated' });

/** The mechanism as it is with a choice made. */
export function chosen(
  m: Mechanism,
  easy: readonly Easy[],
  { law, window, turned: round, flipped }: Choice,
): Mechanism {
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
    ...(round && { shafts: turnedRound(m) }),
    cams: m.cams.map((cam) => cams.get(cam.name) ?? cam),
    segments: m.segments.map((segment) => turned.get(segment.name) ?? segment),
  };
}

const opposite = (sense: Sense): Sense => (sense === 'clockwise' ? 'counterclockwise' : 'clockwise');

/** The shafts, turning the other way; where none says which way it turns, which is clockwise then, the leading one does. */
export function turnedRound(m: Mechanism): Shaft[] {
  const silent = m.shafts.every(({ turns }) => !turns);
  const leading = leadingShaft(m);
  return m.shafts.map((shaft) => {
    if (shaft.turns) return { ...shaft, turns: { ...shaft.turns, value: opposite(shaft.turns.value) } };
    return silent && shaft.name === leading ? { ...shaft, turns: is('counterclockwise', shaft) } : shaft;
  });
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
