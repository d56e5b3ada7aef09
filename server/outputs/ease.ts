/** What ease has found, as the command line prints it: JSON for programs, tables for people. */
import { grouped, list, plain } from '../checks/check.ts';
import type { Window } from '../search/candidates.ts';
import type { Eased, Uneasy } from '../search/ease.ts';
import type { Effort, StepEase } from '../search/effort.ts';
import { lawWritten } from '../search/written.ts';
import { table } from './figures.ts';
import { roundedThrough } from './rounded.ts';

interface Edit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** One mechanism, what was found of it, and the edits that would carry it out. */
export interface EaseResult {
  readonly name: string;
  readonly eased: Eased | Uneasy;
  readonly files: readonly { readonly file: string; readonly edits: readonly Edit[] }[];
}

/** Of one mechanism; `where` turns an edit into what the caller prints of edits. */
export function easeJson(
  { name, eased, files }: EaseResult,
  where: (edit: Edit & { readonly file: string }) => unknown,
) {
  if ('because' in eased) return { name, because: eased.because };
  const { measure, friction, before, after, words, notes, leftAlone, unmoved, backwards, grid, proved } = eased;
  return {
    name,
    measure,
    friction,
    better: after !== undefined,
    proved,
    before: effortJson(before),
    ...(after && { after: effortJson(after) }),
    changes: words,
    edits: files.flatMap(({ file, edits }) => edits.map((edit) => where({ ...edit, file }))),
    notes,
    leftAlone,
    changesNothing: unmoved,
    ...(backwards && {
      backwards: roundedThrough(
        Object.fromEntries(Object.entries(backwards).filter(([, peak]) => Number.isFinite(peak))),
      ),
    }),
    grid: {
      shownEitherWay: grid.flips,
      laws: grid.laws.map(lawWritten),
      windows: roundedThrough(grid.windows),
      bothSenses: grid.turned,
      combinations: grid.combinations,
    },
  };
}

/** What jams has no figure. */
const effortJson = ({ peak, runningOn, steps }: Effort) =>
  roundedThrough({ ...(Number.isFinite(peak) && { peak }), runningOn, steps });

// ---- for people ------------------------------------------------------------------------------------------

/** "9.5 N", "51 N·mm", "jammed". */
export function peakInWords({ measure }: Pick<Eased, 'measure'>, { peak }: Pick<Effort, 'peak'>): string {
  if (!Number.isFinite(peak)) return 'jammed';
  return measure === 'push' ? `${plain(peak, 1)} N` : `${plain(peak, 0)} N·mm`;
}

/** "Ease the push: 9.5 N → 3.5 N". */
export const easeInShort = (eased: Eased): string =>
  `Ease the ${eased.measure}: ${peakInWords(eased, eased.before)} → ${peakInWords(eased, eased.after ?? eased.before)}`;

/** A report of one mechanism; `written` that its file has been changed. */
export function easeText({ name, eased }: EaseResult, written: boolean): string {
  if ('because' in eased) return `${name}: ${eased.because}\n`;
  const { before, after, words, notes, leftAlone, unmoved, friction } = eased;
  const head = after
    ? `${name}: peak ${eased.measure} ${peakInWords(eased, before)} → ${peakInWords(eased, after)}, ${friction}`
    : `${name}: peak ${eased.measure} ${peakInWords(eased, before)}, ${friction}; nothing tried is better and passes all checks`;
  const parts = [
    head,
    table(
      'Steps, at most (N·mm at the leading shaft, N of the push; negative: falling bars drive on)',
      ['from', 'to', 'torque', after ? '→' : '', 'push', after ? '→ ' : '', 'least', after ? ' →' : ''],
      before.steps.map((step, i) => stepRow(step, after?.steps[i])),
    ),
    runningOn(before, after),
    block('Changes', words),
    block('Worth knowing then', notes),
    block(
      'Left alone',
      leftAlone.map(({ cam, because }) => `${cam}: ${because}`),
    ),
    gridInWords(eased),
    block(
      'Changes nothing of the push, so that it was not tried',
      unmoved.map(({ what, because }) => `${what}: ${because}`),
    ),
    backwardsInWords(eased),
    after
      ? written
        ? 'Written. A bar shown the other way moves on its follower: print cams and bars anew.'
        : 'lobewright ease --write puts the changes into the file.'
      : '',
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

/** A titled list; nothing where it is empty. */
const block = (title: string, lines: readonly string[]): string =>
  lines.length ? [title, ...lines.map((line) => `  ${line}`)].join('\n') : '';

function stepRow(step: StepEase, after: StepEase | undefined): string[] {
  const said = (value: number | undefined, decimals: number) => (value === undefined ? 'jams' : plain(value, decimals));
  const push = (one: StepEase | undefined) => (one?.peakPush === undefined ? '' : plain(one.peakPush, 1));
  return [
    step.from,
    step.to,
    said(step.peakTorque, 0),
    after ? said(after.peakTorque, 0) : '',
    push(step),
    push(after),
    said(step.leastTorque, 0),
    after ? said(after.leastTorque, 0) : '',
  ];
}

function runningOn(before: Effort, after: Effort | undefined): string {
  if (before.runningOn <= 0 && (after?.runningOn ?? 0) <= 0) return '';
  const said = ({ runningOn }: Effort) => (runningOn > 0.05 ? `${plain(runningOn, 1)} N·mm` : 'nothing');
  return `Falling bars drive on with ${said(before)}${after ? ` → ${said(after)}` : ''}`;
}

function backwardsInWords(eased: Eased): string {
  if (!eased.backwards) return '';
  const { before, after } = eased.backwards;
  const said = (peak: number) => peakInWords(eased, { peak });
  const now = after === undefined || said(after) === said(before) ? said(before) : `${said(before)} → ${said(after)}`;
  return `Stepped the other way it takes ${now} at most; the symbols then come in the opposite order, so that this was not tried.`;
}

/** Where a flank lies in the room that its step leaves. */
const placed = { '-1': 'early', 0: 'centred', 1: 'late' } as const;

/** "92 and 100 % centred", "75, 83 and 92 % with rise and fall each early, centred or late". */
function windowsInWords(windows: readonly Window[]): string[] {
  const leaning = ({ rise, fall }: Window) =>
    rise === fall ? placed[rise] : `rising ${placed[rise]} and falling ${placed[fall]}`;
  const shares = (same: readonly Window[]) => {
    const percent = same.map(({ travel }) => travel * 100).sort((a, b) => a - b);
    return `${list(percent.map((share) => plain(share, 0)))} %`;
  };
  const leanings = grouped(windows, leaning).map((same) => ({ words: leaning(same[0]), shares: shares(same) }));
  return grouped(leanings, ({ shares }) => shares).map((same) => {
    const words =
      same.length < 8 ? list(same.map(({ words }) => words)) : 'with rise and fall each early, centred or late';
    return `${same[0].shares} ${words}`;
  });
}

function gridInWords({ grid, proved, after }: Eased): string {
  const { flips, laws, windows, turned, combinations } = grid;
  return [
    `Tried: ${plain(combinations, 0)} combinations, all of`,
    `  shown raised or lowered: ${flips.join(' ') || 'no bar'}`,
    `  one law for all: as given${laws.map((law) => `, ${lawWritten(law)}`).join('')}`,
    `  one window for all, as a share of the angle between two rests: as given${windowsInWords(windows)
      .map((one) => `; ${one}`)
      .join('')}`,
    ...(turned ? ['  the shafts turning as given and the other way'] : []),
    proved
      ? `${after ? 'Proved' : 'That is proved'} for these combinations only.`
      : 'Not all that might be better could be checked: not proved.',
  ].join('\n');
}
