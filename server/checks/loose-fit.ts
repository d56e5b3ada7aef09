import type { Mechanism, Place } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import type { AngleShare, LengthShare } from '../reckon/tolerance/play.ts';
import {
  type Check,
  counted,
  degrees,
  type Found,
  fix,
  grouped,
  inDegrees,
  isUnique,
  millimetres,
  placeKey,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { causeInWords, placeIn, restsOf, roomOf, smaller, titleOf, toldAlready, valueWithin } from './plays.ts';

export const looseFit: Check = {
  code: 'loose-fit',
  severity: 'warning',
  title: 'A fit so loose that its play alone spoils what is read',
  means:
    'One fit by itself lets a cam turn, or a bar stand off, further than the bar stays shown (or hidden): whatever else is made ' +
    'well, the numeral may stop half-shown.',
  reckoned:
    'The half-angle that a key, a mesh or a guide gives the cam, against the cam’s rest margin; the clearance of a key or ' +
    'a bearing, against what the bar’s lift may err at its rests.',
  source: 'Derived here; the sums are on the pages of `short-rest` and `half-shown`.',
  worked:
    'Stroke 3 mm, shown from 90 %: 0.3 mm may lack, and a bearing with 0.4 mm a side takes more. A square of 10 mm with ' +
    '0.7 mm of clearance lets its cam turn 0.7/5 rad, ±8.0°; in steps of 30° with a simple harmonic travel of 25° the bar ' +
    'is read right within 7.6°.',
  remedy: 'Less clearance, or a key with a longer lever.',
  notBeside: toldAlready,
  examples: [
    {
      title: 'A bearing that hardly holds',
      text: lampBoard({ shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   bearing 8 mm clearance «0.4 mm» }' }),
    },
    {
      title: 'A bearing that holds',
      text: lampBoard({ shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   bearing 8 mm clearance 0.2 mm }' }),
    },
  ],
  find(m, f, told) {
    return grouped(looseOnes(m, f, told), ({ place }) => placeKey(place)).map((same): Found => {
      const [loosest] = same.sort((a, b) => b.over - a.over);
      const bars = same.flatMap((one) => one.bars).filter(isUnique);
      const others = bars.filter((bar) => !loosest.bars.includes(bar));
      const { share, text, words } = loosest;
      return {
        message: `${words}${text ? `; ${text.text} would do` : ''}${
          others.length ? `; so it is for ${counted('bar', others)}` : ''
        }`,
        place: loosest.place,
        // Of cams that may rest astray, and of bars that may stand astray: what follows from it is told of neither.
        about: [share.by.of, ...same.map(({ cam, bars: [bar], share: its }) => ('angle' in its ? cam : bar))].filter(
          isUnique,
        ),
        figures: loosest.figures,
        fixes: text?.changes.length ? [fix(titleOf(share.by, text.text), ...text.changes)] : [],
      };
    });
  },
};

interface Loose {
  readonly cam: string;
  readonly bars: readonly string[];
  readonly share: AngleShare | LengthShare;
  readonly place: Place;
  /** Play over margin. */
  readonly over: number;
  readonly words: string;
  readonly text: ReturnType<typeof smaller>;
  readonly figures: Found['figures'];
}

function looseOnes(m: Mechanism, f: Figures, told: (...names: string[]) => boolean): Loose[] {
  const turned = restsOf(m, f, told).flatMap(({ cam, error, margin }) =>
    error.from.flatMap((share): Loose[] => {
      const place = placeIn(m, share.cause, share.by);
      if (!share.process || !place || !(share.angle > margin + 1e-9)) return [];
      const theirs = error.from.filter(({ by }) => by.of === share.by.of && by.property === share.by.property);
      const [own, rest] = [theirs, error.from.filter((other) => !theirs.includes(other))].map((shares) =>
        shares.map(({ angle }) => angle),
      );
      return [
        {
          cam: cam.name,
          bars: cam.segments,
          share,
          place,
          over: share.angle / margin,
          words:
            `${causeInWords(share.by)}, ${millimetres(share.cause.value, 3)}, by itself lets ${cam.name} rest ±${degrees(share.angle)} ` +
            `from its place, and ${counted('bar', cam.segments)} ${cam.segments.length === 1 ? 'is' : 'are'} read right within ${degrees(margin)}`,
          text: smaller(
            m,
            share.cause,
            share.by,
            valueWithin(share.cause.value, own, rest, margin, { lost: share.lost }),
          ),
          figures: { play: inDegrees(share.angle), margin: inDegrees(margin) },
        },
      ];
    }),
  );
  const raised = f.cams.flatMap((cam) => {
    const { name, segments, liftError } = cam;
    const liftMargin = cam.liftMargin === undefined ? undefined : roomOf(m, f, cam);
    return (liftError?.from ?? []).flatMap((share): Loose[] => {
      const place = placeIn(m, share.cause, share.by);
      if (share.kind === 'edge' || !place || liftMargin === undefined || !(share.length > liftMargin + 1e-9)) return [];
      const rest = liftError!.from.filter((other) => other !== share).map(({ length }) => length);
      return [
        {
          cam: name,
          bars: segments,
          share,
          place,
          over: share.length / liftMargin,
          words:
            `${causeInWords(share.by)}, ${millimetres(share.cause.value, 3)}, by itself lets ${counted('bar', segments)} stand so far from ` +
            `${segments.length === 1 ? 'its' : 'their'} lift, and ${segments.length === 1 ? 'it is' : 'they are'} read right within ${millimetres(liftMargin, 3)}`,
          text: smaller(
            m,
            share.cause,
            share.by,
            valueWithin(share.cause.value, [share.length], rest, liftMargin, { byRss: true, lost: share.lost }),
          ),
          figures: { play: share.length, margin: liftMargin },
        },
      ];
    });
  });
  return [...turned, ...raised].filter(({ cam, bars }) => !told(cam, ...bars));
}
