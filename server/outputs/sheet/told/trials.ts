/** What to try at a stage: what to turn, what must move, what is to be seen. */
import { symbolAt } from '../../chart/view.ts';
import { deg, listed, mm, plain } from '../../chart/words.ts';
import type { Block } from '../../document/document.ts';
import { type Sheet, senseOf, type WorkedStep } from '../sheet.ts';
import type { Stage } from '../stages.ts';
import { does, quoted, turnsInWords } from './words.ts';

type Line = readonly [string, string];

const trial = (...lines: readonly Line[]): Block[] => [{ kind: 'trial', title: 'Try it', lines }];

export function stageTrial(sheet: Sheet, stage: Stage): Block[] {
  const leading = sheet.view.figures.shafts.find(({ leads }) => leads);
  if (!leading || leading.step === 0) return [];
  const hand = { name: leading.name, sense: turnsInWords(senseOf(sheet.view, leading.name)!), step: leading.step };
  if (stage.kind === 'train') return [...trainTrial(sheet, stage, hand), ...barsTrial(sheet, stage, hand)];
  if (stage.kind === 'close' && sheet.view.mechanism.frame) return closedTrial(hand);
  if (stage.kind !== 'bars' || stage.bars.length === 0) return [];
  return stage.tries.length > 0 ? barsTrial(sheet, stage, hand) : guidesTrial(sheet, stage);
}

/** Of bars whose shafts no gear joins yet. */
function guidesTrial({ view }: Sheet, { bars }: Stage): Block[] {
  const strokes = view.mechanism.segments.flatMap(({ name, stroke }) =>
    stroke && bars.includes(name) ? [stroke.value] : [],
  );
  const by = [...new Set(strokes)].map(mm).join(' or ');
  return trial(
    [
      'Push',
      `${listed(bars)} outwards by hand${by === '' ? '' : `, by ${by}`}, and back onto ${bars.length === 1 ? 'its cam' : 'their cams'}.`,
    ],
    ['Must move', `${bars.length === 1 ? 'It' : 'Each'} alone, freely, in its guide and its slot.`],
    ['See', 'It stands square in its slot at both ends of its way. Its cam moves it once the gears are in.'],
  );
}

/** The shaft that is turned by hand. */
interface Hand {
  readonly name: string;
  readonly sense: string;
  readonly step: number;
}

const angle = (step: number): string => deg(Math.abs(step), 3);

function trainTrial({ view }: Sheet, { steps }: Stage, hand: Hand): Block[] {
  const first = view.mechanism.frame ? 'gear' : 'shaft';
  if (!steps.some(({ kind, part }) => kind === first && (first === 'gear' || part === hand.name))) return [];
  const { figures } = view;
  const others = figures.shafts.filter(({ name, step }) => name !== hand.name && step !== 0);
  const moved = others.map(({ name, step }) => `${name} ${turnsInWords(senseOf(view, name)!)} by ${angle(step)}`);
  return trial(
    ['Turn', `${hand.name} by hand, ${hand.sense}, one step: ${angle(hand.step)}.`],
    ['Must move', moved.length > 0 ? `${listed(moved)}.` : `${hand.name} alone, freely.`],
    [
      'See',
      figures.meshes.length > 0
        ? `After ${view.laps === 1 ? 'one turn' : `${view.laps} turns`} of ${hand.name} all marks stand as they are drawn, and nothing binds on the way.`
        : 'Nothing binds on the way round.',
    ],
  );
}

/** Whether anything rubs since the plates have closed over it. */
const closedTrial = ({ name, sense }: Hand): Block[] =>
  trial(
    ['Turn', `${name} by hand, ${sense}, once round, before the last turn of the screws and after it.`],
    ['Must move', 'All as before, and no harder.'],
    ['See', 'No shaft is pinched between the plates: it shifts a little along its axis at every place of the turn.'],
  );

function barsTrial({ view }: Sheet, { tries: bars, seen, raisedAtHome }: Stage, hand: Hand): Block[] {
  if (bars.length === 0) return [];
  const moving = seen.filter(({ rising, falling }) => rising.length + falling.length > 0);
  const strokes = view.mechanism.segments.flatMap(({ name, stroke }) =>
    stroke && bars.includes(name) ? [stroke.value] : [],
  );
  const by = [...new Set(strokes)].map(mm).join(' or ');
  const standing = (raised: readonly string[]) => does(raised, 'is raised', 'are raised')[0] ?? 'all are lowered';
  return trial(
    [
      'Turn',
      `${hand.name} ${hand.sense} from home, step by step of ${angle(hand.step)}; hold the bars lightly against their cams.`,
    ],
    ['At home', `${standing(raisedAtHome)}.`],
    ...moving.map(
      ({ from, to, rising, falling, raised }): Line => [
        `${quoted(from)} → ${quoted(to)}`,
        `${[...does(rising, 'rises', 'rise'), ...does(falling, 'falls', 'fall')].join('; ')}. Then ${standing(raised)}.`,
      ],
    ),
    [
      'See',
      moving.length > 0
        ? `Each moves${by === '' ? '' : ` by ${by}`} and stops where it is said. Turn on until the marks stand as they are drawn.`
        : `${does(bars, 'does not move', 'do not move')[0]} in a whole count.`,
    ],
  );
}

/** Whether what was fitted draws the bars back. */
export function returnTrial({ view, springs, routes, steps }: Sheet): Block[] {
  if (springs.length + routes.length === 0) return [];
  const forces = springs.flatMap(({ lowered, raised }) =>
    lowered === undefined || raised === undefined
      ? []
      : [`${plain(lowered)} N at first and ${plain(raised)} N at last`],
  );
  const weak = slackest(steps);
  return trial(
    ['Push', 'Every lowered bar outwards by hand, as far as its stroke, and let go.'],
    ['Must move', `That bar alone${forces.length > 0 ? `, against ${forces.join(' or ')}` : ''}.`],
    ['See', 'It comes back onto its cam by itself.'],
    [
      'Then turn',
      `${view.figures.leading ?? 'the leading shaft'} once round, by hand: every falling bar must follow by itself.`,
    ],
    ...(weak
      ? [
          [
            'Watch',
            `${weak.slackest!.bar} in ${quoted(weak.from)} → ${quoted(weak.to)}: its return has the least to spare, ${plain(weak.slackest!.ratio, 1)} times what hinders it.`,
          ] as const,
        ]
      : []),
  );
}

/** Whether one push makes one step. */
export function pushTrial(sheet: Sheet): Block[] {
  const { view, steps } = sheet;
  const [push] = view.mechanism.pushes;
  const [ratchet] = view.mechanism.ratchets;
  if (!push && !ratchet) return [];
  const hard = hardest(steps);
  return trial(
    push
      ? ['Push', `${push.name} once, all the way${push.stroke ? ` (${mm(push.stroke.value)})` : ''}, and let go.`]
      : ['Turn', `${view.figures.leading ?? 'the leading shaft'} on by one step.`],
    [
      'Must move',
      view.rests > 1
        ? `The face from ${quoted(symbolAt(view, 0))} to ${quoted(symbolAt(view, 1))}, and no farther.`
        : 'One step, and no farther.',
    ],
    [
      'See',
      `It rests there${ratchet ? `, and ${ratchet.name} ${view.mechanism.runs.value === 'either' ? 'holds it there' : 'lets nothing turn back'}` : ''}.`,
    ],
    ...(hard ? [['Hardest', `${quoted(hard.from)} → ${quoted(hard.to)}: ${effort(sheet, hard)}.`] as const] : []),
  );
}

// ---- the steps that tell most -----------------------------------------------------------------

const most = (steps: readonly WorkedStep[], of: (step: WorkedStep) => number | undefined): WorkedStep | undefined =>
  steps
    .filter((step) => of(step) !== undefined)
    .reduce<WorkedStep | undefined>((best, step) => (best && of(best)! >= of(step)! ? best : step), undefined);

export const hardest = (steps: readonly WorkedStep[]): WorkedStep | undefined => most(steps, ({ torque }) => torque);

const slackest = (steps: readonly WorkedStep[]): WorkedStep | undefined =>
  most(steps, ({ slackest }) => slackest && -slackest.ratio);

/** "31.5 N at button", "44 N·mm at upper". */
export const effort = ({ view: { mechanism, figures } }: Sheet, { torque, push }: WorkedStep): string =>
  push !== undefined
    ? `${plain(push, 1)} N at ${mechanism.pushes[0].name}`
    : `${plain(torque!, 0)} N·mm at ${figures.leading ?? 'the leading shaft'}`;
