/** What number of the text makes a place of a part as thin as it is. */
import type { Given, Mechanism, Part, Place } from '../../language/mechanism.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import type { ThinPlace } from '../reckon/parts/thin.ts';
import { fix, grouped, millimetres, named, placeKey, rewriting, roundUp, type Told } from './check.ts';
import { isAccepted } from './clashes.ts';
import { isUndercut } from './sizes.ts';

export interface Cause {
  readonly place: Place;
  /** A property that may be given another number, and what of it each millimetre of the part takes. */
  readonly size?: { readonly word: string; readonly given: Given<number>; readonly part: Part; readonly times: number };
  /** What else the maker may give a greater size. */
  readonly words?: string;
}

/** The number at fault; where none is, the part's name. */
export function causeOf(m: Mechanism, thin: ThinPlace): Cause {
  const name = { place: thin.place };
  if (thin.kind === 'bar') return ofBar(m, thin) ?? name;
  if (thin.kind === 'gear') {
    const module = named(m.gears, thin.part)?.module;
    return module ? { place: module.place, words: 'a greater module' } : name;
  }
  if (thin.kind === 'cam') {
    const cam = named(m.cams, thin.part);
    // The flange lies behind.
    const radius = thin.from === 0 && cam && cam.flange.value > 0 ? cam.flangeRadius : undefined;
    if (cam && radius) return { place: radius.place, words: 'a greater flange' };
    return cam?.base ? { place: cam.base.place, words: 'a greater base' } : name;
  }
  if (thin.kind === 'shaft') {
    const shaft = named(m.shafts, thin.part);
    const key = named(m.keys, shaft?.key?.name);
    if (shaft?.bearing && Math.abs(shaft.bearing.value - thin.thickness) < alike)
      return { place: shaft.bearing.place, size: { word: 'bearing', given: shaft.bearing, part: shaft, times: 1 } };
    return key ? { place: (key.outer ?? key.across ?? key).place, words: 'a greater key' } : name;
  }
  return name;
}

/** A number of the text is at fault where the part is as thin, mm. */
const alike = 2e-3;

function ofBar(m: Mechanism, { part, thickness }: ThinPlace): Cause | undefined {
  const cam = m.cams.find(({ segments }) => segments[0]?.name === part);
  const segments = cam ? cam.segments.flatMap(({ name }) => named(m.segments, name) ?? []) : [];
  const is = (value: number | undefined) => value !== undefined && Math.abs(value - thickness) < alike;
  for (const segment of segments) {
    const { stem, nose, post, bar } = segment;
    if (post && post.by !== 'default' && is(Math.min(post.value.width, post.value.height)))
      return { place: post.place, words: 'a wider post' };
    if (stem && is(stem.value))
      return { place: stem.place, size: { word: 'stem', given: stem, part: segment, times: 1 } };
    if (bar && is(Math.min(bar.value.width, bar.value.height))) return { place: bar.place, words: 'a wider bar' };
    if (nose && is(2 * nose.value))
      return { place: nose.place, size: { word: 'nose', given: nose, part: segment, times: 0.5 } };
  }
  return undefined;
}

/** The number that would do, as a clause and as a fix. */
export function enough({ size, words }: Cause, least: number) {
  const value = size && millimetres(roundUp(least * size.times, 0.05), 2);
  return {
    mends: size ? `; ${size.word} ${value} would do` : words ? `; ${words} would do` : '',
    fixes: size
      ? [fix(`Give ${size.part.name} ${size.word} ${value}`, rewriting(size.given, size.part, size.word, value!))]
      : [],
  };
}

/** Those that one number makes thin, together, the thinnest first. */
export const byCause = (m: Mechanism, thin: readonly ThinPlace[]) =>
  grouped(
    [...thin]
      .sort((a, b) => a.thickness - b.thickness || (a.part < b.part ? -1 : 1))
      .map((place) => ({ thin: place, cause: causeOf(m, place) })),
    ({ cause }) => placeKey(cause.place),
  );

/** Whether a mistake of its own, of its profile or of its key tells it already. */
export function isTold(m: Mechanism, f: Figures, { kind, part }: ThinPlace, told: Told): boolean {
  if (kind === 'cam' && isMisshapen(m, named(f.cams, part))) return true;
  const on = named(m.cams, part)?.shaft ?? named(m.gears, part)?.shaft ?? named(m.ratchets, part)?.shaft;
  const key = named(m.shafts, on?.name ?? part)?.key?.name;
  return told(part, ...(key === undefined ? [] : [key]));
}

/** Whether a cam's profile is not what it was meant to be, which is told: what is thin of it follows. */
function isMisshapen(m: Mechanism, cam: CamFigure | undefined): boolean {
  if (!cam) return false;
  const wrong = {
    'undercut-cam': isUndercut(cam),
    'overlapping-lobes': cam.overlaps.length > 0,
    'steep-cam': (cam.pressureAngle?.value ?? 0) > m.limits.pressureAngle.value + 1e-9,
  };
  const names = [cam.name, ...cam.segments];
  return Object.entries(wrong).some(([code, is]) => is && !isAccepted(m, code, names));
}
