/** Bars put into each other's guides: possible where they are alike, and seen where they stand at different levels. */
import type { Mechanism, Point, Segment } from '../../../language/mechanism.ts';
import { grouped, list, named } from '../../checks/check.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { barOutline, faceCentre, rectangleOutline } from '../../reckon/shape/bars.ts';
import { inSlideFrame } from '../../reckon/shape/followers.ts';
import type { Ground, Seat } from './build.ts';
import type { Faults, RuledOut, Suspect } from './fault.ts';

export function barFaults(ground: Ground): Faults {
  const pieces = ground.figures.cams.flatMap((cam) => {
    const shape = shapeOf(ground.m, cam);
    return shape === undefined ? [] : [{ cam, shape }];
  });
  const alike = grouped(pieces, ({ shape }) => shape);
  const possible = alike.flatMap((group) =>
    group.flatMap(({ cam: one }, i) => group.slice(i + 1).map(({ cam: other }) => exchanged(ground, one, other))),
  );
  const alone = alike.flatMap((group) => (group.length === 1 ? group[0].cam.segments : []));
  const impossible: RuledOut[] =
    alone.length > 0 && pieces.length > 1
      ? [
          {
            what: `${list(alone)} in another bar's guide`,
            because: alone.length === 1 ? 'no other bar is like it' : 'no two of them are alike',
          },
        ]
      : [];
  return { possible, impossible, untold: [] };
}

/**
 * Each then rides in the other's guide on what lies there at its own level: on the same shaft on the other's cam; on
 * another shaft on the cam at that level, or on nothing.
 */
function exchanged({ m, figures }: Ground, one: CamFigure, other: CamFigure): Suspect {
  const under = (place: CamFigure, bar: CamFigure): Seat | 'nothing' => {
    const cam = figures.cams.find(({ shaft, level }) => shaft === place.shaft && level === bar.level);
    return cam ? { cam: cam.name, turned: 0, over: false } : 'nothing';
  };
  const names = [one, other].map(({ segments }) => list(segments));
  const level = one.level === other.level;
  return {
    fault: {
      kind: 'bars exchanged',
      about: [...one.segments, ...other.segments],
      what: `bars ${names[0]} and ${names[1]} are exchanged`,
      ...(level && { note: 'they are one part' }),
      ...(!level && named(m.segments, one.segments[0]) && { note: 'each then stands at the other\u2019s depth' }),
    },
    build: level
      ? {}
      : {
          under: new Map([
            [one.name, under(one, other)],
            [other.name, under(other, one)],
          ]),
        },
  };
}

/** All that must be alike for a piece to go into another's guide, as text; undefined of what is not written out. */
function shapeOf(m: Mechanism, cam: CamFigure): string | undefined {
  const segments = cam.segments.map((name) => named(m.segments, name));
  const [follower] = segments;
  const statement = named(m.cams, cam.name);
  if (!follower?.azimuth || !statement || cam.level === undefined || segments.some((one) => !one?.bar))
    return undefined;
  const { stroke, nose, guide, overhang, stem, fit, offset, follower: kind, shown } = follower;
  const numbers = [stroke, nose, guide, overhang, stem, fit, offset].map((given) => given?.value ?? '-');
  const pivot = kind.value.kind === 'pivoted' ? [framed(m, cam, follower, kind.value.at), kind.value.arm] : [];
  const centre = faceCentre(m.segments.flatMap(({ bar }) => bar?.value ?? []));
  const bars = segments.map((segment) => {
    const { bar, post, hook } = segment!;
    const outline = barOutline(bar!.value, centre);
    const parts = [outline, post ? rectangleOutline(post.value) : outline, hook ? [hook.value] : []];
    // A corner is as good as the next to begin with.
    return [
      bar!.value.plane,
      ...parts.map((points) =>
        points
          .map((point) => framed(m, cam, follower, point))
          .sort()
          .join(' '),
      ),
    ].join();
  });
  return [kind.value.kind, shown.value, statement.thickness.value, ...numbers, ...pivot, ...bars].join(';');
}

/** A point of the face as the slide sees it, to a hundredth of a mm. */
function framed(m: Mechanism, cam: CamFigure, follower: Segment, point: Point): string {
  const seen = inSlideFrame(m, cam.shaft, follower, point);
  return seen ? [seen.x, seen.y].map((value) => (Math.round(value * 100) / 100 || 0).toFixed(2)).join('/') : '';
}
