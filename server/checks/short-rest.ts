import type { Change, Fix, Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { pushTurn, steppingOf, strokeFor } from '../reckon/force/push.ts';
import { drivenOn } from '../reckon/force/steps.ts';
import type { AngleShare } from '../reckon/tolerance/play.ts';
import {
  at,
  type Check,
  counted,
  degrees,
  degreesAtMost,
  type Found,
  fix,
  grouped,
  inDegrees,
  isUnique,
  millimetres,
  named,
  placeKey,
  plain,
  rewriting,
  roundDown,
  roundUp,
  setting,
} from './check.ts';
import { lampBoard } from './examples.ts';
import {
  byCause,
  causedByGaps,
  causeInWords,
  placeIn,
  type Rest,
  ranked,
  restsOf,
  smaller,
  titleOf,
  toldAlready,
  valueWithin,
} from './plays.ts';
import { windowOf } from './pushes.ts';

const playing = {
  count: 'count off low high times 4',
  shaft:
    'shaft axle { at 0 mm, 0 mm   turns clockwise   key drive }\nkey drive { shape square   across 10 mm   clearance 0.1 mm }',
  everyCam: 'every cam { base 22 mm   travel 25 deg }',
  everySegment: 'every segment { stroke 3 mm   nose 1.5 mm   guide 14 mm }',
};

export const shortRest: Check = {
  code: 'short-rest',
  severity: 'warning',
  title: 'A bar that may stop half-shown, for the play on the way to its cam',
  means:
    'What plays between the ratchet and the cam lets the cam rest beside its place, further than its bar stays shown (or ' +
    'hidden). A warning where that is likely: where independent plays, added by the root of the sum of their squares, ' +
    'are more than the margin. Information where it takes all of them at their worst.',
  reckoned:
    'Rest margin: the least turn, over all rests and both ways, from a rest to where the followed lift no longer keeps the bar ' +
    'shown from `shown`, or hidden up to `hidden`. Rest error, as half-angles on the cam’s shaft: the ratchet’s play and its ' +
    'wheel’s key; for every mesh on the way both gears’ keys and half the backlash, but no key of a gear that passes ' +
    'the turn on from tooth to tooth, an idler, for none of it goes through that key; the cam’s own key; the guide’s tilt ' +
    '`fit·(1 + 2a/b)` over the prime radius, a the overhang in use and b the guide’s length; how far the cam’s shaft stays wound ' +
    'up. A key’s half-angle is its clearance over its lever. A shaft winds up by T·L/(G·J): under the peak torque of a step by ' +
    'what `figures` tells, and of that as much stays at a rest as the friction of the noses on their cams bears; the cam then ' +
    'lies behind, as the step goes. What a push carries beyond the step, where nothing holds the train back, is a shift: it is added ' +
    'as it is, and never inside the root.',
  source:
    'Derived here; worst case and root sum square as in any handbook of tolerances, for instance Shigley’s *Mechanical ' +
    'Engineering Design*, ch. 1.',
  worked:
    'A flat of 18 mm with 14.4 mm across it has a lever of 5.4 mm: 0.1 mm of clearance are ±1.06°. Two such keys, a ratchet ' +
    'with ±0.5° and a tilt of ±0.84° come to ±1.79°, ±3.46° at worst. Steps of 30° and a simple harmonic travel of 25° leave a ' +
    'margin of 2.5° + 25°·acos(0.8)/180° = 7.62°.',
  remedy:
    'Less clearance where most of it comes from, a key with a longer lever, the ratchet on the shaft of the cams that need ' +
    'it, or a shorter travel: the bar then rests longer. Where a push carries beyond the step: a shorter stroke, or a ratchet that ' +
    'holds the train against the falling bars.',
  notBeside: [...toldAlready, 'double-step', 'loose-fit'],
  examples: [
    {
      title: 'A ratchet with too much play',
      text: lampBoard({ ...playing, more: 'ratchet click on axle { teeth 12   play «8 deg»   hold 60 Nmm }' }),
    },
    {
      title: 'One that keeps its place',
      text: lampBoard({ ...playing, more: 'ratchet click on axle { teeth 12   play 1 deg   hold 60 Nmm }' }),
    },
  ],
  find(m, f, told) {
    const short = restsOf(m, f, told)
      .filter(({ cam, overAtWorst }) => overAtWorst > 1e-9 && !told(cam.name))
      .map((rest) => ({ rest, place: placeOfRest(m, rest) }));
    const likely = ({ rest }: { rest: Rest }) => rest.overByRss > 1e-9;
    return grouped(short, (one) => placeKey(one.place)).map((same): Found => {
      const rests = same.map(({ rest }) => rest).sort((a, b) => b.overByRss - a.overByRss);
      const [worst] = rests;
      return {
        ...foundOf(m, f, worst, rests),
        severity: same.some(likely) ? 'warning' : 'information',
        place: same[0].place,
      };
    });
  },
};

/** The number that causes most of it: how far a push carries, where that alone is more, else of the plays. */
function placeOfRest(m: Mechanism, { cam, error, shift }: Rest) {
  const [most] = byCause(error.from, ({ angle }) => angle);
  const push = shift > error.rss ? m.pushes[0]?.stroke?.place : undefined;
  return push ?? placeIn(m, most[0].cause, most[0].by) ?? named(m.cams, cam.name)!.place;
}

function foundOf(m: Mechanism, f: Figures, worst: Rest, rests: readonly Rest[]): Omit<Found, 'place' | 'severity'> {
  const { cam, error, margin, shift, marginAhead, overByRss } = worst;
  const ahead = shift > 0 && shift + error.worst - marginAhead > error.worst - margin;
  const bars = rests.flatMap(({ cam: { segments } }) => segments).filter(isUnique);
  const others = bars.filter((bar) => !cam.segments.includes(bar));
  const [gap] = causedByGaps(error.from)[0] ?? [];
  const mend = gap && smaller(m, gap.cause, gap.by, valueForAll(gap, rests));
  const travel = travelFix(m, rests);
  const pushed = ahead ? pushRemedies(m, f, rests) : [];
  const mends = [
    ...pushed.map(({ says }) => says),
    ...(mend ? [`${gap.by.property} ${mend.text} of ${gap.by.of}`] : []),
    ...(travel ? [`travel ${travel.text}`] : []),
  ];
  const likely = overByRss > 1e-9;
  const ends = likely
    ? `rests within ±${degrees(error.rss, 2)} of its place (±${degrees(error.worst, 2)} at worst)`
    : `rests within ±${degrees(error.worst, 2)} of its place at worst (±${degrees(error.rss, 2)} by root sum square)`;
  return {
    message:
      `${counted('bar', cam.segments)} may stop half-shown${likely ? '' : ' where everything is at its worst'}: ${cam.name} ${ends}` +
      `${ahead ? ` and ${degrees(shift, 2)} ahead of it, as push ${f.forwardRest?.push} goes further than the step and nothing holds the train` : ''}` +
      `, and is read right within ${degrees(ahead ? marginAhead : margin, 2)}; ${ranked(error.from, ({ angle }) => `±${degrees(angle, 2)}`)}` +
      `${mends.length ? `; ${mends.join(', or ')} would do` : ''}` +
      `${others.length ? `; so it is for ${counted('bar', others)}` : ''}`,
    about: [cam.name, ...rests.map(({ cam }) => cam.name), ...bars, (gap ?? error.from[0]).by.of].filter(isUnique),
    figures: {
      margin: inDegrees(margin),
      worst: inDegrees(error.worst),
      rss: inDegrees(error.rss),
      ...(shift > 0 && { ahead: inDegrees(shift) }),
      from: error.from.map(({ what }) => what),
      fromDeg: error.from.map(({ angle }) => inDegrees(angle)),
    },
    related: byCause(error.from, ({ angle }) => angle).flatMap(([share]) => {
      const place = placeIn(m, share.cause, share.by);
      return place ? [at(place, causeInWords(share.by))] : [];
    }),
    fixes: [
      ...pushed.map((one) => one.fix),
      ...(mend?.changes.length ? [fix(titleOf(gap.by, mend.text), ...mend.changes)] : []),
      ...(travel ? [travel.fix] : []),
    ],
  };
}

/** What keeps a push from leaving the train ahead: a shorter stroke that still steps, or a ratchet that holds. */
function pushRemedies(m: Mechanism, f: Figures, rests: readonly Rest[]): { says: string; fix: Fix }[] {
  const [stepping] = steppingOf(m, f);
  const { push, ratchet } = stepping;
  const { least, most } = windowOf(stepping);
  // As far ahead as leaves each of these cams within its margin, brought back to the push's shaft.
  const ahead = Math.min(
    ...rests.map(({ cam, error, marginAhead }) => ((marginAhead - error.worst) * stepping.step) / Math.abs(cam.step)),
  );
  const along = strokeFor(push.arm!.value, push.start!.value, least + ahead);
  const stroke = along === undefined ? Number.NaN : roundDown(along, 0.1);
  const sweep = pushTurn(push.arm!.value, push.start!.value, stroke);
  const text = millimetres(stroke);
  const hold = `${plain(roundUp(drivenOn(m, f, f.forces) * 1.05, 5), 0)} Nmm`;
  return [
    ...(sweep !== undefined && sweep > least && sweep < most
      ? [
          {
            says: `stroke ${text} of ${push.name}`,
            fix: fix(`Give ${push.name} stroke ${text}`, rewriting(push.stroke!, push, 'stroke', text)),
          },
        ]
      : []),
    ...(ratchet && Number.parseFloat(hold) > 0
      ? [
          {
            says: `hold ${hold} of ${ratchet.name}`,
            fix: fix(
              `Give ${ratchet.name} hold ${hold}`,
              ratchet.hold ? rewriting(ratchet.hold, ratchet, 'hold', hold) : setting(ratchet.name, 'hold', hold),
            ),
          },
        ]
      : []),
  ];
}

/** The value of a cause at which every one of these cams keeps within its margin. */
function valueForAll({ cause: { value }, by, lost }: AngleShare, rests: readonly Rest[]): number | undefined {
  const values = rests.map(({ error, margin, shift, marginAhead }) => {
    const isHis = (share: AngleShare) => share.by.of === by.of && share.by.property === by.property;
    const [own, others] = [error.from.filter(isHis), error.from.filter((share) => !isHis(share))].map((shares) =>
      shares.map(({ angle }) => angle),
    );
    const room = Math.min(margin, marginAhead - shift);
    return own.length === 0 ? value : valueWithin(value, own, others, room, { lost });
  });
  return values.reduce(
    (least, one) => (least === undefined || one === undefined ? undefined : Math.min(least, one)),
    value,
  );
}

/**
 * A shorter travel of all these cams, at which even the worst error stays within the margin: a margin is half the
 * distance of two rests less a part of the travel that its law gives.
 */
function travelFix(m: Mechanism, rests: readonly Rest[]): { text: string; fix: Fix } | undefined {
  const wanted = rests.map(({ cam, overAtWorst, margin }) => {
    const part = named(m.cams, cam.name);
    const { travel, spacing, shortestTravel } = cam;
    if (!part || part.rise || part.fall || part.lobes.by === 'angles' || travel === undefined) return Number.NaN;
    const shorter = (travel * (spacing / 2 - margin - overAtWorst)) / (spacing / 2 - margin);
    return shorter > 0 && shorter >= (shortestTravel ?? 0) ? shorter : Number.NaN;
  });
  const least = Math.min(...wanted);
  if (!(least > 0)) return undefined;
  const text = degreesAtMost(least);
  const changes = rests.map(({ cam }): Change => {
    const part = named(m.cams, cam.name)!;
    return part.travel ? rewriting(part.travel, part, 'travel', text) : setting(part.name, 'travel', text);
  });
  const distinct = changes.filter((one, i) => changes.findIndex((other) => sameChange(one, other)) === i);
  return { text, fix: fix(`Shorten the travel to ${text}`, ...distinct) };
}

const sameChange = (a: Change, b: Change): boolean => JSON.stringify(a) === JSON.stringify(b);
