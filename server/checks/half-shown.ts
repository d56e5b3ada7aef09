import type { Mechanism } from '../../language/mechanism.ts';
import type { CamFigure } from '../reckon/figures.ts';
import {
  at,
  type Check,
  counted,
  type Found,
  fix,
  grouped,
  isUnique,
  millimetres,
  named,
  placeKey,
  rewriting,
  roundUp,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { byCause, causeInWords, placeIn, ranked, roomOf, smaller, titleOf, toldAlready, valueWithin } from './plays.ts';

export const halfShown: Check = {
  code: 'half-shown',
  severity: 'warning',
  title: 'A bar that may stand half-shown, for clearances and edges across its cam',
  means:
    'Even where its cam rests true, a bar stands higher or lower than the lift says: by the clearance of the cam’s key and of ' +
    'the shaft’s bearing, and by the printed edges of cam and nose. Together (root sum square) that is more than what the bar ' +
    'may lack to be shown, or may have left to be hidden.',
  reckoned:
    'Clearance of the key, clearance of the bearing, edge of the cam, edge of the nose: the root of the sum of their squares, ' +
    'against the least error of the lift, over all rests, at which the bar is read otherwise. An edge strays by its stated ' +
    'tolerance (`base 22 mm +/- 0.1 mm`), else by the process’s `spread`.',
  source: 'Derived here; root sum square as on the page of `short-rest`.',
  worked:
    'Stroke 3.5 mm, shown from 90 %: 0.35 mm may lack. Key 0.1 mm, bearing 0.2 mm, two edges of 0.1 mm: ' +
    '√(0.01 + 0.04 + 0.01 + 0.01) = 0.26 mm, and the bar is shown.',
  remedy:
    'A longer stroke, less clearance, a printer that keeps closer to size, or limits that let more of a bar lack.',
  notBeside: [...toldAlready, 'loose-fit'],
  examples: [
    {
      title: 'A short stroke',
      text: lampBoard({ everySegment: 'every segment { stroke «2 mm»   nose 1.5 mm }' }),
    },
    { title: 'A stroke that has room', text: lampBoard() },
  ],
  find(m, f, told) {
    const short = f.cams.flatMap((cam) => {
      const { liftError, liftMargin, segments } = cam;
      // Where a cam does not come home, its bars stop half-way in later counts anyway.
      if (!liftError || liftMargin === undefined || !cam.repeats || told(...segments)) return [];
      return liftError.rss > roomOf(m, f, cam) + 1e-9 ? [{ cam, place: placeOfStroke(m, cam) }] : [];
    });
    return grouped(short, ({ place }) => placeKey(place)).map((same): Found => {
      const cams = same.map(({ cam }) => cam).sort((a, b) => over(b) - over(a));
      return { ...foundOf(m, cams), place: same[0].place };
    });
  },
};

const over = ({ liftError, liftMargin }: CamFigure) => liftError!.rss - liftMargin!;

function placeOfStroke(m: Mechanism, { name, segments: [bar] }: CamFigure) {
  const segment = named(m.segments, bar);
  return segment?.stroke?.place ?? segment?.place ?? named(m.cams, name)!.place;
}

function foundOf(m: Mechanism, cams: readonly CamFigure[]): Omit<Found, 'place'> {
  const [{ segments, liftError, liftMargin, lift }] = cams;
  const { rss, worst, from } = liftError!;
  const margin = liftMargin!;
  const bars = cams.flatMap((cam) => cam.segments).filter(isUnique);
  const others = bars.filter((bar) => !segments.includes(bar));
  const segment = named(m.segments, segments[0]);
  const gaps = byCause(
    from.filter(({ kind }) => kind !== 'edge'),
    ({ length }) => length,
  );
  const mend = gaps.map(([share]) => {
    const rest = from.filter((other) => other !== share).map(({ length }) => length);
    const value = valueWithin(share.cause.value, [share.length], rest, margin, { byRss: true, lost: share.lost });
    return { share, ...smaller(m, share.cause, share.by, value) };
  });
  const [less] = mend.filter(({ text }) => text !== undefined);
  // The margin is a share of the stroke, or of what of it shows in a window.
  const stroke = margin > 0 ? millimetres(roundUp((lift.stroke * rss) / margin, 0.1)) : undefined;
  const mends = [
    ...(stroke ? [`stroke ${stroke}`] : []),
    ...(less ? [`${millimetres(Number.parseFloat(less.text!), 3)} for ${causeInWords(less.share.by)}`] : []),
  ];
  return {
    message:
      `${counted('bar', segments)} may stand half-shown even where the cam rests true: ${
        segments.length === 1 ? 'it strays' : 'they stray'
      } by ±${millimetres(rss, 2)} (root sum square; ±${millimetres(worst, 2)} at worst), and ${
        segments.length === 1 ? 'is' : 'are'
      } read right within ${millimetres(margin, 2)}; ${ranked(from, ({ length }) => millimetres(length, 2))}` +
      `${mends.length ? `; ${mends.join(', or ')} would do` : ''}${
        others.length ? `; so it is for ${counted('bar', others)}` : ''
      }`,
    about: [...bars, ...cams.map(({ name }) => name)],
    figures: { rss, worst, margin, from: from.map(({ what }) => what), fromMm: from.map(({ length }) => length) },
    related: from.flatMap(({ cause, by }) => {
      const place = placeIn(m, cause, by);
      return place ? [at(place, causeInWords(by))] : [];
    }),
    fixes: [
      ...(stroke && segment?.stroke
        ? [fix(`Give a stroke of ${stroke}`, rewriting(segment.stroke, segment, 'stroke', stroke))]
        : []),
      ...(less?.changes?.length ? [fix(titleOf(less.share.by, less.text!), ...less.changes)] : []),
    ],
  };
}
