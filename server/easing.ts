/** Ease of a mechanism as edits of its text: searched, written, and proved on a copy of the text. */
import { editsFor, type FileEdits } from '../language/edits.ts';
import type { Mechanism } from '../language/mechanism.ts';
import { refining } from './analysis.ts';
import { nothingGraver } from './checks/tally.ts';
import { carryingOut, groundOf, type Scene } from './fixes.ts';
import { paused } from './reckon/pausing.ts';
import { type Eased, easing, type Uneasy } from './search/ease.ts';
import { effortOf } from './search/effort.ts';

export interface EasedText {
  readonly eased: Eased | Uneasy;
  /** None where nothing is better. */
  readonly files: readonly FileEdits[];
}

/** What has been searched is kept on the mechanism, which stays the same while its text does. */
const kept = new WeakMap<Mechanism, Eased | Uneasy>();

/** What a search of a mechanism has found, where it was searched already. */
export const easeKnown = (mechanism: Mechanism): Eased | Uneasy | undefined => kept.get(mechanism);

/** Searches a mechanism of a text; yields the share done and pauses often. */
export function* easingText(mechanism: Mechanism, scene: Scene): Generator<number, EasedText> {
  const eased = kept.get(mechanism) ?? (yield* easing(mechanism));
  kept.set(mechanism, eased);
  if ('because' in eased || !eased.after) return { eased, files: [] };
  yield 0.98;
  const files = editsFor(eased.changes, groundOf(mechanism, scene));
  const untrue = files.length ? whyUntrue(eased, files, mechanism, scene) : undefined;
  const because = untrue ? yield* paused(untrue, 0.99) : 'the text gives no place to write it';
  return because === undefined
    ? { eased, files }
    : { eased: { because: `a lower peak was found, but it cannot be written: ${because}` }, files: [] };
}

/** Why the edits do not give what was searched; undefined where they do. */
function* whyUntrue(
  eased: Eased,
  files: readonly FileEdits[],
  { place }: Mechanism,
  scene: Scene,
): Generator<void, string | undefined> {
  const before = yield* refining(scene.analysis, scene.document);
  const { after } = yield* carryingOut(files, place.top, scene);
  const own = (findings: typeof after.findings) => findings.filter((finding) => finding.place.top === place.top);
  if (!nothingGraver(own(before.findings), own(after.findings))) return 'written, other findings would stand';
  const there = after.mechanisms.find(({ mechanism }) => mechanism.place.top === place.top);
  const peak = there && effortOf(there.mechanism, there.figures, there.figures.forces).peak;
  const isTrue = peak !== undefined && Math.abs(peak - eased.after!.peak) <= 1e-6 * eased.after!.peak;
  return isTrue ? undefined : 'written, it would take another push';
}
