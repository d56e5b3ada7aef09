/** Where the strips under the rows stand, and the ranked list that takes their place where it is narrow; px. */
import {
  type Across,
  laneHeight,
  meet,
  type Patch,
  type PlacedMark,
  type PlacedText,
  patchOf,
  placeMarks,
  signPatch,
  within,
  xOf,
} from './placing.ts';
import {
  alike,
  backText,
  hardest,
  mostDriven,
  type PlayedRest,
  type PushedBack,
  type PushedStep,
  type PushFigure,
  pushText,
  type ReturnFigure,
  ratioText,
  slackest,
  stepName,
  stripFigures,
  tightest,
} from './strip-figures.ts';
import { symbolAt, type Tagged, type TurnMark, type View } from './view.ts';
import { deg, fitted, plain, textWidth } from './words.ts';

/** A text in a strip: in ink and bold where it is ranked, underlined in red where it is past its limit. */
export interface StripText extends PlacedText {
  readonly over?: boolean;
}

export interface PlacedStrip {
  readonly kind: 'push' | 'return' | 'play';
  readonly top: number;
  readonly bottom: number;
  /** Of the value 0, and of the greatest that is drawn. */
  readonly floor: number;
  readonly ceiling: number;
  /** px of one unit. */
  readonly scale: number;
  readonly limit?: number;
  /** Its name, and what it is measured in. */
  readonly words: readonly PlacedText[];
  /** Base lines, beside the strip, of what it is at the pointer's moment. */
  readonly moment: readonly [number, number];
  readonly labels: readonly StripText[];
  readonly marks: readonly PlacedMark[];
}

/** One column of the ranked list. */
export interface PlacedRanks {
  readonly kind: PlacedStrip['kind'];
  readonly heading: PlacedText;
  readonly lines: readonly StripText[];
  readonly marks: readonly PlacedMark[];
}

export interface PlacedStrips {
  readonly strips: readonly PlacedStrip[];
  /** That they are not those of the text. */
  readonly tried?: PlacedText;
  /** Why there are none. */
  readonly quiet?: PlacedText;
  readonly bottom: number;
}

interface Room extends Across {
  readonly right: number;
  readonly top: number;
}

/** Names of single letters stand close, others apart. */
const lettered = (names: readonly string[]): string =>
  names.join(names.every((name) => [...name].length === 1) ? '' : ' ');

export function placeStrips(view: View, room: Room): PlacedStrips {
  const { push, returns, play, missing } = stripFigures(view);
  const strips: PlacedStrip[] = [];
  const tried = triedText(view, room.right, { x: 0, y: room.top + 16 });
  let top = room.top + (tried ? triedHeight : 0);
  const add = (strip: PlacedStrip) => {
    strips.push(strip);
    top = strip.bottom;
  };
  if (push) add(placePush(view, push, { ...room, top }));
  if (returns) add(placeReturn(view, returns, { ...room, top }));
  const quiet: PlacedText | undefined =
    missing === undefined ? undefined : { text: missing, x: 0, y: top + 18, size: 11 };
  if (quiet) top += 28;
  if (play) add(placePlay(view, play, { ...room, top }));
  return {
    strips,
    ...(tried && { tried }),
    ...(quiet && { quiet: { ...quiet, text: fitted(quiet.text, room.right, 11) } }),
    bottom: top,
  };
}

const triedHeight = 24;

const triedText = ({ tried }: View, width: number, at: { x: number; y: number }): PlacedText | undefined =>
  tried === undefined ? undefined : { text: fitted(tried, width, 12, true), ...at, size: 12, bold: true };

/** Everything of the strips that the turn pointer must not cover. */
export const stripPatches = ({ strips, tried, quiet }: PlacedStrips): Patch[] => [
  ...strips.flatMap(({ words, labels, marks }) => [...words, ...labels].map(patchOf).concat(marks.map(signPatch))),
  ...[tried, quiet].flatMap((text) => (text ? [patchOf(text)] : [])),
];

// ---- what all strips share --------------------------------------------------------------

const headed = (name: string, about: string, top: number): PlacedText[] => [
  { text: name, x: 0, y: top + 17, size: 13, bold: true },
  { text: fitted(about, 170, 11), x: 0, y: top + 32, size: 11 },
];

const limitText = (text: string, { right }: Room, y: number): PlacedText => ({
  text: fitted(text, 86, 11),
  x: right + 12,
  y: y + 4,
  size: 11,
});

/** Labels in order of rank, each where it stands if nothing is there yet. */
function fitting(candidates: readonly (readonly StripText[])[], { left, right }: Room, taken: readonly Patch[]) {
  const patches = [...taken];
  return candidates.flatMap((together) => {
    const moved = together.filter(({ text }) => text !== '').map((text) => ({ ...text, ...within(text, left, right) }));
    const own = moved.map(patchOf);
    if (own.some((patch) => patches.some((other) => meet(patch, other)))) return [];
    patches.push(...own);
    return moved;
  });
}

const ranked = <One>(all: readonly One[], ...best: (One | undefined)[]): One[] => [
  ...new Set([...best.filter((one) => one !== undefined), ...all]),
];

function stripMarks(
  { findings }: View,
  places: Readonly<Record<string, (finding: TurnMark['finding']) => number | undefined>>,
): TurnMark[] {
  return findings.flatMap(({ tag, finding }) => {
    const at = Object.hasOwn(places, finding.code) ? places[finding.code] : undefined;
    if (!at) return [];
    const across = at(finding);
    return [{ tag, finding, at: across === undefined ? [] : [across] }];
  });
}

/** The place across of the worst step that a finding of forces tells. */
function worstStep({ direction, rests }: View, { figures, positions }: TurnMark['finding']): number | undefined {
  const told = figures.steps;
  const index = Array.isArray(told) ? Number(told[0]) : positions?.[0];
  if (index === undefined || !(index >= 0 && index < rests)) return undefined;
  return direction === 1 ? index : rests - 1 - index;
}

const middleOf = (across: number | undefined): number | undefined => (across === undefined ? undefined : across + 0.5);

/** Where across the turn the strips show a finding. */
export function stripAt(view: View, { tag }: Tagged): number | undefined {
  const { push, returns, play } = stripFigures(view);
  const marks = [
    ...(push ? pushMarks(view, push) : []),
    ...(returns ? returnMarks(view) : []),
    ...(play ? playMarks(view, play) : []),
  ];
  return marks.find((mark) => mark.tag === tag)?.at[0];
}

// ---- push ------------------------------------------------------------------------------------

const pushHeight = 80;

function pushMarks(view: View, { steps }: PushFigure): TurnMark[] {
  const stepOf = (finding: TurnMark['finding']): PushedStep | undefined => steps[worstStep(view, finding) ?? -1];
  return stripMarks(view, {
    'heavy-push': (finding) => stepOf(finding)?.peakAt,
    'cam-overruns': (finding) => stepOf(finding)?.leastAt,
    'guide-jam': (finding) => middleOf(worstStep(view, finding)),
  });
}

/** What the push is said to be past: its limit; of running on, what the ratchet holds, both at the leading shaft. */
const held = ({ mechanism, figures }: View): number | undefined => {
  const [ratchet] = mechanism.ratchets;
  const ratio = figures.shafts.find(({ name }) => name === ratchet?.shaft?.name)?.ratio;
  return ratchet?.hold && ratio && (ratchet.hold.value * Math.abs(ratio.num)) / ratio.den;
};

const isPast = ({ limit }: PushFigure, { peak }: PushedBack): boolean =>
  peak === undefined || (limit !== undefined && peak > limit + 1e-9);

function placePush(view: View, push: PushFigure, room: Room): PlacedStrip {
  const free = push.steps.filter(({ jammed }) => jammed.length === 0);
  const peak = Math.max(0, ...free.map((step) => step.peak));
  const least = Math.min(0, ...free.map((step) => step.least));
  const limit = push.limit !== undefined && push.limit <= 2.5 * peak ? push.limit : undefined;
  const most = Math.max(peak, limit ?? 0, -least) || 1;
  const scale = pushHeight / most;
  const { marks, lanes } = placeMarks(pushMarks(view, push), room, room.top + 4);
  const above = Math.max(12, 38 - (most - peak) * scale);
  const ceiling = room.top + lanes * laneHeight + above;
  const floor = ceiling + pushHeight;
  const driven = mostDriven(push);
  const worst = hardest(push);
  const hold = held(view);
  const yOf = (value: number) => floor - value * scale;
  const at = (across: number) => xOf(room, across);
  const labels = ranked(push.steps, worst).map((step): StripText[] => {
    const middle = { middle: true, size: 11 };
    if (step.jammed.length > 0) {
      const x = at(step.across + 0.5);
      const y = (floor + ceiling) / 2;
      return [
        { text: 'locks', x, y, bold: true, ...middle },
        { text: fitted(lettered(step.jammed), room.step, 11), x, y: y + 14, ...middle },
      ];
    }
    const x = at(step.peakAt);
    const y = yOf(step.peak);
    const over = push.limit !== undefined && step.peak > push.limit + 1e-9;
    const value = pushText(push, step.peak);
    return [
      {
        text: step === worst ? `hardest ${stepName(view, step.across)} · ${value}` : value.split(' ')[0]!,
        x,
        y: y - 20,
        ...middle,
        ...((over || step === worst) && { bold: true }),
        ...(over && { over }),
      },
      { text: lettersOf(step, room), x, y: y - 5, ...middle },
    ];
  });
  const onwards: StripText[] = driven
    ? [
        {
          text: `runs on ${stepName(view, driven.across)} · ${plain(driven.drives, 0)} N·mm`,
          x: at(driven.leastAt),
          y: yOf(Math.min(0, driven.least)) + 14,
          size: 11,
          middle: true,
          ...(hold !== undefined && driven.drives > hold + 1e-6 && { bold: true, over: true }),
        },
      ]
    : [];
  const words = headed('Push', `${push.unit} at ${push.at}, by bar`, room.top);
  const { back } = push;
  const below = back ? 16 : 0;
  if (back) {
    const over = isPast(push, back);
    const text = fitted(backText(push, back), 170, 11, over);
    words.push({ text, x: 0, y: room.top + 48, size: 11, ...(over && { bold: true }) });
  }
  if (push.limit !== undefined) {
    const shown = limit !== undefined;
    const text = `limit ${pushText(push, push.limit)}`;
    words.push(limitText(shown ? text : `↑ ${text}`, room, shown ? yOf(limit) : ceiling));
  }
  return {
    kind: 'push',
    top: room.top,
    bottom: Math.max(floor - least * scale + (driven ? 24 : 10), room.top + below + 78),
    floor,
    ceiling,
    scale,
    ...(limit !== undefined && { limit }),
    words,
    moment: [room.top + below + 50, room.top + below + 66],
    labels: fitting([labels[0] ?? [], onwards, ...labels.slice(1)], room, marks.map(signPatch)),
    marks,
  };
}

/** The bars that rise, as their layers lie, where there is room for all. */
function lettersOf({ rising, shares }: PushedStep, { step }: Room): string {
  const taking = shares.filter(({ segment, value }) => value > 0 && rising.includes(segment));
  const text = lettered(taking.map(({ segment }) => segment));
  return textWidth(text, 11) <= step + 14 ? text : '';
}

// ---- return ----------------------------------------------------------------------------------

const returnHeight = 44;

/** Columns end at this many times the limit; their numbers tell. */
export const mostReturn = ({ limit, steps }: ReturnFigure): number => {
  const most = Math.max(...steps.map(({ ratio }) => ratio ?? 0));
  return Math.min(Math.max(most, 1.3 * limit), 3 * limit) || 1;
};

const returnMarks = (view: View): TurnMark[] =>
  stripMarks(view, { 'slack-return': (finding) => middleOf(worstStep(view, finding)) });

function placeReturn(view: View, returns: ReturnFigure, room: Room): PlacedStrip {
  const most = mostReturn(returns);
  const scale = returnHeight / most;
  const { marks, lanes } = placeMarks(returnMarks(view), room, room.top + 4);
  const ceiling = room.top + lanes * laneHeight + 24;
  const floor = ceiling + returnHeight;
  const worst = slackest(returns);
  const same = alike(returns.steps.flatMap(({ ratio }) => ratio ?? []));
  const labels = ranked(returns.steps, worst).flatMap((step): StripText[][] => {
    const { ratio, segment, across } = step;
    if (ratio === undefined) return [];
    const over = ratio < returns.limit - 1e-9;
    const text =
      step !== worst
        ? ratioText(ratio)
        : same
          ? `${ratioText(ratio)} · alike in all`
          : `slackest ${stepName(view, across)} · ${ratioText(ratio)} · ${segment}`;
    const x = xOf(room, across + 0.5);
    const y = floor - Math.min(ratio, most) * scale - 5;
    const bold = over || step === worst;
    return [[{ text, x, y, size: 11, middle: true, ...(bold && { bold }), ...(over && { over }) }]];
  });
  return {
    kind: 'return',
    top: room.top,
    bottom: Math.max(floor + 10, room.top + 66),
    floor,
    ceiling,
    scale,
    limit: returns.limit,
    words: [
      ...headed('Return', '× what hinders the fall', room.top),
      limitText(`limit ${plain(returns.limit)}`, room, floor - returns.limit * scale),
    ],
    moment: [room.top + 50, room.top + 66],
    labels: fitting(labels, room, marks.map(signPatch)),
    marks,
  };
}

// ---- play ------------------------------------------------------------------------------------

const playHeight = 40;

/** Columns end at this share of the margin. */
export const mostPlay = 1.5;

/** "camD ±2.3° of 7.6°". */
const playText = ({ cam, rss, margin }: PlayedRest): string => `${cam} ±${deg(rss)} of ${deg(margin)}`;

function playMarks(view: View, play: readonly PlayedRest[]): TurnMark[] {
  const tightestOf = ({ about }: TurnMark['finding']) =>
    tightest(play.filter(({ cam }) => about.includes(cam)))?.across;
  return stripMarks(view, { 'short-rest': tightestOf, 'half-shown': tightestOf });
}

function placePlay(view: View, play: readonly PlayedRest[], room: Room): PlacedStrip {
  const most = Math.min(mostPlay, Math.max(1.15, ...play.map(({ worstShare }) => worstShare)));
  const scale = playHeight / most;
  const { marks, lanes } = placeMarks(playMarks(view, play), room, room.top + 4);
  const ceiling = room.top + lanes * laneHeight + 24;
  const floor = ceiling + playHeight;
  const worst = tightest(play);
  const labels: StripText[][] = worst
    ? [
        [
          {
            text: `${alike(play.map(({ share }) => share)) ? 'alike at every rest' : `tightest at ${symbolAt(view, worst.across).trim() || 'blank'}`} · ${playText(worst)}`,
            x: xOf(room, worst.across),
            y: floor - Math.max(1, Math.min(worst.worstShare, most)) * scale - 5,
            size: 11,
            bold: true,
            middle: true,
            ...(worst.share > 1 + 1e-9 && { over: true }),
          },
        ],
      ]
    : [];
  return {
    kind: 'play',
    top: room.top,
    bottom: Math.max(floor + 10, room.top + 66),
    floor,
    ceiling,
    scale,
    limit: 1,
    words: [...headed('Play', 'of the rest margin', room.top), limitText('rest margin', room, floor - scale)],
    moment: [room.top + 50, room.top + 66],
    labels: fitting(labels, room, marks.map(signPatch)),
    marks,
  };
}

// ---- narrow: the ranked list --------------------------------------------------------------------

/** Lines of a ranked list. */
const listed = 5;
const lineHeight = 17;

export interface PlacedList {
  readonly columns: readonly PlacedRanks[];
  readonly tried?: PlacedText;
  readonly quiet?: PlacedText;
  readonly bottom: number;
}

/** The hardest and slackest steps and the tightest rests in columns, from `from` down. */
export function placeList(view: View, width: number, from: number): PlacedList {
  const tried = triedText(view, width - 8, { x: 4, y: from + 14 });
  const top = from + (tried ? triedHeight : 0);
  const { push, returns, play, missing } = stripFigures(view);
  const parts = [
    push && {
      kind: 'push' as const,
      heading: 'Hardest steps',
      lines: pushLines(view, push),
      marks: pushMarks(view, push),
    },
    returns && {
      kind: 'return' as const,
      heading: 'Slackest returns',
      lines: returnLines(view, returns),
      marks: returnMarks(view),
    },
    play && {
      kind: 'play' as const,
      heading: 'Tightest rests',
      lines: playLines(view, play),
      marks: playMarks(view, play),
    },
  ].filter((part) => part !== undefined && part.lines.length > 0) as {
    kind: PlacedRanks['kind'];
    heading: string;
    lines: { text: string; over: boolean }[];
    marks: TurnMark[];
  }[];
  const column = (width - 8) / Math.max(1, parts.length);
  const quiet =
    missing === undefined ? undefined : { text: fitted(missing, width - 8, 11), x: 4, y: top + 14, size: 11 };
  const first = top + (quiet ? 24 : 0);
  // Signs stand in lanes of their own, under the headings.
  const signs = Math.max(0, ...parts.map(({ marks }) => marks.length)) > 0 ? laneHeight : 0;
  const columns = parts.map(({ kind, heading, lines, marks }, i): PlacedRanks => {
    const x = 4 + i * column;
    let reached = x + 13;
    return {
      kind,
      heading: { text: fitted(heading, column - 10, 12, true), x, y: first + 14, size: 12, bold: true },
      marks: marks.flatMap((mark): PlacedMark[] => {
        const sign = { mark, x: reached, y: first + 14 + laneHeight / 2 + 4, points: [] };
        const { right } = signPatch(sign);
        if (right > x + column) return [];
        reached = right + 14;
        return [sign];
      }),
      lines: lines.slice(0, listed).map(({ text, over }, line) => ({
        text: fitted(text, column - 10, 11, line === 0 || over),
        x,
        y: first + 14 + signs + (line + 1) * lineHeight,
        size: 11,
        ...((line === 0 || over) && { bold: true }),
        ...(over && { over }),
      })),
    };
  });
  const lines = Math.max(0, ...columns.map((each) => each.lines.length));
  return {
    columns,
    ...(tried && { tried }),
    ...(quiet && { quiet }),
    bottom: first + (lines > 0 ? 26 + signs + lines * lineHeight : 0),
  };
}

function pushLines(view: View, push: PushFigure) {
  const order = [...push.steps].sort(
    (one, other) => other.jammed.length - one.jammed.length || (other.jammed.length ? 0 : other.peak - one.peak),
  );
  const lines = order.map((step) => {
    const { across, jammed, peak, rising } = step;
    const name = stepName(view, across);
    if (jammed.length > 0) return { text: `${name} locks · ${lettered(jammed)}`, over: true };
    const bars = lettered(step.shares.map(({ segment }) => segment).filter((segment) => rising.includes(segment)));
    return {
      text: [`${name} · ${pushText(push, peak)}`, bars].filter(Boolean).join(' · '),
      over: push.limit !== undefined && peak > push.limit + 1e-9,
    };
  });
  const { back } = push;
  return back ? [lines[0]!, { text: backText(push, back), over: isPast(push, back) }, ...lines.slice(1)] : lines;
}

const returnLines = (view: View, { limit, steps }: ReturnFigure) =>
  steps
    .flatMap(({ ratio, ...step }) => (ratio === undefined ? [] : [{ ratio, ...step }]))
    .sort((one, other) => one.ratio - other.ratio)
    .map(({ across, ratio, segment }) => ({
      text: `${stepName(view, across)} · ${ratioText(ratio)} · ${segment}`,
      over: ratio < limit - 1e-9,
    }));

const playLines = (view: View, play: readonly PlayedRest[]) =>
  [...play]
    .sort((one, other) => other.share - one.share)
    .map((rest) => ({
      text: `${symbolAt(view, rest.across).trim() || '␣'} · ${rest.cam} ${deg(rest.rss)} of ${deg(rest.margin)}`,
      over: rest.share > 1 + 1e-9,
    }));
