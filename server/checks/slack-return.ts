import type { Fix, Mechanism } from '../../language/mechanism.ts';
import { frictionInUse } from '../reckon/force/model.ts';
import type { CaseFigure, StepForce } from '../reckon/force/steps.ts';
import { at, type Check, fix, isUnique, named, newtons, plain, rewriting, roundUp } from './check.ts';
import { lampBoard } from './examples.ts';
import { casesInUse, positionAfter, stepInWords } from './forces.ts';

const everySegment = 'every segment { stroke 3 mm   nose 1.5 mm   guide 12 mm }';

export const slackReturn: Check = {
  code: 'slack-return',
  severity: 'warning',
  title: 'A bar that its return hardly draws back',
  means:
    'When the cam lets a bar down, its spring or the band must beat what hinders it: the drag of its guide, the friction of ' +
    'whatever pulls it sideways, its weight where that stands against it. Where it does so by less than the limit, the bar ' +
    'comes down late or not at all, on one build more than on the next. An error where it falls short of what hinders it.',
  reckoned:
    'The least over the closed step of: return force along the slide / (drag + μ·the return’s own force across the slide + ' +
    'opposing weight), against the limit `return`. The cam’s reaction is left out, as contact is just being lost.',
  source: 'Balance of forces; the limit of 1.5 is common practice.',
  worked: 'A preload of 0.36 N against a drag of 0.3 N is a ratio of 1.2; a limit of 1.5 wants 0.45 N.',
  remedy:
    'More preload, a stiffer spring or a shorter loop; grease; a looser guide. Where one band returns all bars, the step with the fewest bars up is the slackest.',
  notBeside: ['slack-band', 'untouched-anchor'],
  examples: [
    {
      title: 'A spring too weak',
      text: lampBoard({ everySegment, more: 'spring coils { returns left right   rate 0.1 N/mm   preload «0.36 N» }' }),
    },
    {
      title: 'Nothing returns it',
      text: lampBoard({ everySegment, more: 'spring coils { returns left   rate 0.1 N/mm   preload 0.9 N }' }).replace(
        'segment right',
        'segment «right»',
      ),
    },
    {
      title: 'Strong enough',
      text: lampBoard({ everySegment, more: 'spring coils { returns left right   rate 0.1 N/mm   preload 0.9 N }' }),
    },
  ],
  find(m, f, told) {
    const limit = m.limits.return.value;
    const slack = casesInUse(f)
      .flatMap(({ steps, direction }) =>
        steps.flatMap((step) => (step.returnMargin ? [{ step, direction, margin: step.returnMargin }] : [])),
      )
      .filter(
        ({ margin: { ratio, segment } }) =>
          ratio < limit - 1e-9 && returnIsClear(m, segment) && !told(segment, bandOf(m, segment)?.name ?? m.name),
      )
      .sort((a, b) => a.margin.ratio - b.margin.ratio);
    if (!slack.length) return [];
    const [{ step, direction, margin }] = slack;
    const { segment, ratio, back, hindrance } = margin;
    const others = slack
      .slice(1, 4)
      .map(
        (one) => `${stepInWords(f, one.step, one.direction)} (${one.margin.segment}, ${plain(one.margin.ratio, 2)})`,
      );
    const cause = causeOf(m, segment);
    const says =
      back === 0
        ? `nothing draws bar ${segment} back`
        : `bar ${segment} is drawn back with ${newtons(back)}, ${plain(ratio, 2)} times the ${newtons(hindrance)} that hinder it ${frictionInUse(m)} (limit ${plain(limit, 2)})`;
    return [
      {
        severity: ratio < 1 ? 'error' : 'warning',
        message: `${says}, in the step ${stepInWords(f, step, direction)}${others.length ? `; next slackest ${others.join(', ')}` : ''}${wouldDo(m, slack)}`,
        place: cause.place,
        about: slack.map((one) => one.margin.segment).filter(isUnique),
        figures: { ratio, limit, back, hindrance, steps: slack.map((one) => one.step.index) },
        positions: slack.map((one) => positionAfter(f, one.step, one.direction)).filter(isUnique),
        related: [at(m.limits.return.place, 'the limit'), ...cause.related],
        fixes: fixesFor(m, slack),
      },
    ];
  },
};

type Slack = {
  readonly step: StepForce;
  readonly direction: CaseFigure['direction'];
  readonly margin: NonNullable<StepForce['returnMargin']>;
};

/** The number that is to blame: a spring's preload, a band's loop, or, where neither returns it, the segment's name. */
function causeOf(m: Mechanism, segment: string) {
  const spring = springOf(m, segment);
  if (spring?.preload)
    return { place: spring.preload.place, related: [at(named(m.segments, segment)!.place, `bar ${segment}`)] };
  const band = bandOf(m, segment);
  if (band)
    return {
      place: band.loop?.place ?? band.place,
      related: [at(named(m.segments, segment)!.place, `bar ${segment}`)],
    };
  return { place: named(m.segments, segment)!.place, related: [] };
}

const bandOf = (m: Mechanism, segment: string) =>
  m.bands.find(({ around }) => around.some(({ name }) => name === segment));

const springOf = (m: Mechanism, segment: string) =>
  m.springs.find(({ returns }) => returns.some(({ name }) => name === segment));

/** Whether the text is understood where it says, or may say, what returns a bar: else that is told alone. */
function returnIsClear(m: Mechanism, segment: string): boolean {
  const own = [springOf(m, segment), bandOf(m, segment)].filter((one) => one !== undefined);
  const lists = [...m.springs, ...m.bands].some(
    ({ unclear }) => unclear.includes('returns') || unclear.includes('around'),
  );
  return own.length > 0 ? own.every(({ unclear }) => unclear.length === 0) : !lists;
}

/** The preload at which all bars of one spring come back; undefined where a band or nothing returns the slackest. */
function preloadFor(m: Mechanism, slack: readonly Slack[]) {
  const spring = springOf(m, slack[0].margin.segment);
  if (!spring?.preload || m.bands.length) return undefined;
  const own = slack.filter(({ margin }) => springOf(m, margin.segment) === spring);
  const lacking = Math.max(...own.map(({ margin }) => m.limits.return.value * margin.hindrance - margin.back));
  return { spring, preload: roundUp(spring.preload.value + lacking, 0.05) };
}

function wouldDo(m: Mechanism, slack: readonly Slack[]): string {
  const wanted = preloadFor(m, slack);
  return wanted ? `; preload ${newtons(wanted.preload)} would do` : '';
}

function fixesFor(m: Mechanism, slack: readonly Slack[]): Fix[] {
  const wanted = preloadFor(m, slack);
  if (!wanted) return [];
  const text = newtons(wanted.preload);
  return [
    fix(
      `Give ${wanted.spring.name} preload ${text}`,
      rewriting(wanted.spring.preload!, wanted.spring, 'preload', text),
    ),
  ];
}
