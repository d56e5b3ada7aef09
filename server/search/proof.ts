/** The best of the candidates that passes all checks, those that are reckoned finely at last. */
import type { Finding, Mechanism } from '../../language/mechanism.ts';
import { finding } from '../checks/index.ts';
import { findingKey, newlyGrave, tally } from '../checks/tally.ts';
import { type Figures, motionFigures, reckoning, refined } from '../reckon/figures.ts';
import { forcesOf } from '../reckon/force/steps.ts';
import { paused } from '../reckon/pausing.ts';
import { type Choice, chosen, type Easy } from './candidates.ts';
import { type Effort, effortOf } from './effort.ts';
import type { Candidate, Config, Shortlist } from './grid.ts';

/** The most candidates that are proved, and that all checks look at. */
const mostProved = 1500;
const mostChecked = 200;

/** Findings that depend on nothing but the law, the windows, and the flips of the parts they are about. */
export const local = new Set([
  'steep-cam',
  'undercut-cam',
  'thin-cam',
  'overlapping-lobes',
  'long-travel',
  'unreachable-symbol',
  'neighbour-clash',
  'post-clash',
  'bar-clash',
  'crowded-window',
]);

/** Of these, those that depend on the flanks alone: no window is wider than the angle between two rests. */
const ofFlanks = new Set(['steep-cam', 'long-travel']);

interface Found {
  readonly effort: Effort;
  readonly mechanism: Mechanism;
  readonly figures: Figures;
}

export interface Best {
  readonly notes?: readonly string[];
  readonly found?: Found;
  readonly choice?: Choice;
  readonly proved: boolean;
}

/** A combination, or all with one configuration in which some cams are (not) flipped, that a check forbids. */
interface Forbidden {
  readonly config: Config;
  /** Bits that matter, and what they are. */
  readonly bits: number;
  readonly mask: number;
}

/** The best candidate that passes all checks, finely at last. */
export function* best(
  m: Mechanism,
  given: Figures,
  before: Effort,
  easy: readonly Easy[],
  flipping: readonly number[],
  kept: Shortlist,
): Generator<number, Best> {
  const candidates = kept.inOrder();
  const coarse = yield* paused(finding(m, given), 0.6);
  let fine: Finding[] | undefined;
  const forbidden: Forbidden[] = [];
  const efforts = new Map<Candidate, Effort>();
  const passed = new Map<Candidate, Found>();
  let proofs = 0;
  let checked = 0;
  const done = () => 0.6 + 0.35 * Math.max(proofs / mostProved, checked / mostChecked);
  const choiceOf = ({ config, flipped }: Candidate): Choice => ({ ...config, flipped });
  const isForbidden = ({ config, mask }: Candidate): boolean =>
    forbidden.some((one) => one.config === config && (mask & one.bits) === one.mask);
  const forbid = ({ config, mask }: Candidate, grave: readonly Finding[]): void => {
    const whole = grave.some(({ code }) => ofFlanks.has(code));
    const about = whole ? [] : concerned(grave.find(({ code }) => local.has(code))?.about ?? [], easy);
    const few = flipping.reduce((sum, i, bit) => (about.includes(i) ? sum | (1 << bit) : sum), 0);
    const bits = whole ? 0 : few || 2 ** flipping.length - 1;
    forbidden.push({ config, bits, mask: mask & bits });
  };
  for (;;) {
    let top: { candidate: Candidate; peak: number } | undefined;
    let ranOut = false;
    for (const candidate of candidates) {
      if (top && candidate.bound > top.peak * (1 + 1e-9)) break;
      if (isForbidden(candidate)) continue;
      if (proofs >= mostProved || checked >= mostChecked) {
        ranOut = true;
        break;
      }
      yield done();
      const changed = passed.get(candidate)?.mechanism ?? chosen(m, easy, choiceOf(candidate));
      let effort = efforts.get(candidate);
      if (!effort) {
        proofs++;
        const told = { defaults: [], missing: [] };
        const motion = motionFigures(changed, told);
        yield done();
        effort = effortOf(changed, motion, forcesOf(changed, motion, told, 'in use'));
        efforts.set(candidate, effort);
      }
      const better = !top || isBetter(effort.peak, candidate, top.peak, top.candidate);
      if (!(effort.peak < before.peak * (1 - 1e-6)) || !better) continue;
      if (!passed.has(candidate)) {
        checked++;
        const figures = yield* paused(reckoning(changed), done());
        const grave = newlyGrave(coarse, yield* paused(finding(changed, figures), done()));
        if (grave.length) {
          forbid(candidate, grave);
          continue;
        }
        passed.set(candidate, { effort, mechanism: changed, figures });
      }
      top = { candidate, peak: effort.peak };
    }
    // What was not kept is no better than the limit.
    const proved = !ranOut && (!kept.isCut || (top !== undefined && top.peak <= kept.limit));
    if (!top) return { proved };
    const found = passed.get(top.candidate)!;
    fine ??= yield* paused(findingFinely(m, given), 0.97);
    const after = yield* paused(findingFinely(found.mechanism, found.figures), 0.97);
    const grave = newlyGrave(fine, after);
    if (!grave.length) {
      const known = tally(fine);
      const notes = after.filter(
        ({ code, severity, accepted, about }) =>
          severity === 'information' && accepted === undefined && !known.has(findingKey(code, about[0])),
      );
      return {
        found,
        choice: choiceOf(top.candidate),
        notes: notes.map(({ code, message }) => `${code}: ${message}`),
        proved,
      };
    }
    forbid(top.candidate, grave);
  }
}

/** A lower peak; of two alike, fewer changes. */
function isBetter(peak: number, candidate: Candidate, other: number, than: Candidate): boolean {
  const almost = 1e-9 * Math.abs(other);
  return peak < other - almost || (peak <= other + almost && candidate.count < than.count);
}

function* findingFinely(m: Mechanism, figures: Figures): Generator<void, Finding[]> {
  return yield* finding(m, yield* refined(m, figures));
}

/** Numbers of the cams that a finding is about, by their own names or those of their segments. */
export const concerned = (about: readonly string[], easy: readonly Easy[]): number[] =>
  easy.flatMap(({ cam, segments }, i) =>
    about.includes(cam.name) || segments.some(({ name }) => about.includes(name)) ? [i] : [],
  );
