/** Elastic loops: where they run, and how hard they pull, at every rest position. Friction round the posts is left out. */
import type { Band, Mechanism } from '../../../language/mechanism.ts';
import type { PositionFigure } from '../figures.ts';
import { type Told, want } from '../missing.ts';
import { type Anchor, beltAround } from './belt.ts';
import { bandEnergy, bandTension } from './rubber.ts';

/** A loop whose anchors are all known. */
export interface Loop {
  readonly band: Band;
  /** The segments on whose hooks it pulls. */
  readonly segments: readonly string[];
  /** Its anchors, in the order of the text, with the segments' followers lifted (mm). */
  at(liftOf: (segment: string) => number): Anchor[];
  /** Its tension, N, along a path of so many mm; undefined where section, loop or shear modulus is not given. */
  tension(path: number): number | undefined;
  /** What it stores along a path of so many mm, N·mm; 0 where that is not known, or it is slack. */
  stored(path: number): number;
}

export interface BandFigure {
  readonly name: string;
  /** At each rest position: all the way round, mm; over the free loop; N (some ± 30 %). */
  readonly path: readonly number[];
  readonly stretch?: readonly number[];
  readonly tension?: readonly number[];
  /** Anchors that it touches at no rest position. */
  readonly untouched: readonly string[];
}

/** The loop of a band; undefined where a post's place or size, a hook, or a hooked bar's stroke is not given. */
export function loopOf(m: Mechanism, band: Band): Loop | undefined {
  const anchors = band.around.map(({ name, inside }) => {
    const side = inside ? -1 : 1;
    const post = m.posts.find((one) => one.name === name);
    if (post) {
      const { at, radius } = post;
      return at && radius && { name, x: at.value.x, y: at.value.y, radius: side * radius.value, dx: 0, dy: 0 };
    }
    const segment = m.segments.find((one) => one.name === name);
    if (!segment?.hook || !segment.azimuth || !segment.stroke) return undefined;
    const { hook, azimuth } = segment;
    // A hook passed on the other side is told by the sign of its radius, −0.
    return {
      name,
      ...hook.value,
      radius: side * 0,
      dx: Math.cos(azimuth.value),
      dy: Math.sin(azimuth.value),
      segment: name,
    };
  });
  if (!anchors.length || !anchors.every((anchor) => anchor !== undefined)) return undefined;
  const { section, loop, shear } = band;
  return {
    band,
    segments: anchors.flatMap((anchor) => ('segment' in anchor ? [anchor.segment] : [])),
    at: (liftOf) =>
      anchors.map((anchor) => {
        if (!('segment' in anchor)) return anchor;
        const lift = liftOf(anchor.segment);
        return { x: anchor.x + lift * anchor.dx, y: anchor.y + lift * anchor.dy, radius: anchor.radius };
      }),
    tension: (path) =>
      section && loop && shear
        ? bandTension(section.value.width * section.value.height, shear.value, path / loop.value)
        : undefined,
    stored: (path) =>
      section && loop && shear
        ? bandEnergy(section.value.width * section.value.height, shear.value, loop.value, path / loop.value)
        : 0,
  };
}

/** Whether a band's pull is known: its path, its section, its free length and its shear modulus. */
export const isWholeBand = (m: Mechanism, band: Band): boolean => loopOf(m, band)?.tension(0) !== undefined;

export function bandsOf(m: Mechanism, positions: readonly PositionFigure[]): BandFigure[] {
  return m.bands.flatMap((band) => {
    const known = loopOf(m, band);
    if (!known || !positions.length) return [];
    const belts = positions.map(({ bars }) => {
      const lifts = new Map(bars.map(({ segment, lift }) => [segment, lift]));
      return beltAround(known.at((segment) => lifts.get(segment) ?? 0));
    });
    const path = belts.map(({ length }) => length);
    const tension = path.flatMap((length) => known.tension(length) ?? []);
    return [
      {
        name: band.name,
        path,
        ...(band.loop && { stretch: path.map((length) => length / band.loop!.value) }),
        ...(tension.length === path.length && { tension }),
        untouched: band.around.flatMap(({ name }, i) =>
          belts.some(({ runs }) => runs.some(({ from, to }) => from === i || to === i)) ? [] : [name],
        ),
      },
    ];
  });
}

/** What bands lack. */
export function tellBands(m: Mechanism, told: Told): void {
  for (const band of m.bands) {
    const figure = `the tension of ${band.name}`;
    if (!band.around.length) want(told, band, figure, 'around');
    for (const property of ['section', 'loop', 'shear'] as const)
      if (!band[property]) want(told, band, figure, property);
    for (const { name } of band.around) {
      const post = m.posts.find((one) => one.name === name);
      if (post && !post.at) want(told, post, figure, 'at');
      if (post && !post.radius) want(told, post, figure, 'radius');
      const segment = m.segments.find((one) => one.name === name);
      if (segment && !segment.hook) want(told, segment, figure, 'hook');
      if (segment && !segment.stroke) want(told, segment, figure, 'stroke');
    }
  }
}
