/** Figures → Findings: the list of all checks, and one run of them over a mechanism. */

import type { Acceptance, Finding, Mechanism } from '../../language/mechanism.ts';
import type { FindingPage } from '../../language/page.ts';
import type { Figures } from '../reckon/figures.ts';
import { finished } from '../reckon/pausing.ts';
import { armClash } from './arm-clash.ts';
import { barAstray } from './bar-astray.ts';
import { barClash } from './bar-clash.ts';
import { camOverruns } from './cam-overruns.ts';
import { cannotAssemble } from './cannot-assemble.ts';
import { centreDistance } from './centre-distance.ts';
import { type Check, type Found, grouped, placeKey, type Told } from './check.ts';
import { coincidentShafts } from './coincident-shafts.ts';
import { contrarySpring } from './contrary-spring.ts';
import { crossedLimits } from './crossed-limits.ts';
import { crowdedWindow } from './crowded-window.ts';
import { cutGuide } from './cut-guide.ts';
import { doubleStep } from './double-step.ts';
import { guideJam } from './guide-jam.ts';
import { halfShown } from './half-shown.ts';
import { heavyPush } from './heavy-push.ts';
import { idleKey } from './idle-key.ts';
import { keyAmbiguous } from './key-ambiguous.ts';
import { largeFrame } from './large-frame.ts';
import { largeNose } from './large-nose.ts';
import { largePart } from './large-part.ts';
import { levelClash } from './level-clash.ts';
import { lockedTrain } from './locked-train.ts';
import { longCount } from './long-count.ts';
import { longStroke } from './long-stroke.ts';
import { longTravel } from './long-travel.ts';
import { lookAlikeSymbols } from './look-alike-symbols.ts';
import { looseFit } from './loose-fit.ts';
import { marksApart } from './marks-apart.ts';
import { mirrorParts } from './mirror-parts.ts';
import { missingSegment } from './missing-segment.ts';
import { missingValue } from './missing-value.ts';
import { needless, needlessAccept } from './needless-accept.ts';
import { needlessCam } from './needless-cam.ts';
import { neighbourClash } from './neighbour-clash.ts';
import { oddLayers } from './odd-layers.ts';
import { overlappingLobes } from './overlapping-lobes.ts';
import { pointedTeeth } from './pointed-teeth.ts';
import { postClash } from './post-clash.ts';
import { rubbingLevels } from './rubbing-levels.ts';
import { screwClash } from './screw-clash.ts';
import { secondDriver } from './second-driver.ts';
import { shaftDrift } from './shaft-drift.ts';
import { shortArm } from './short-arm.ts';
import { shortCount } from './short-count.ts';
import { shortFace } from './short-face.ts';
import { shortPush } from './short-push.ts';
import { shortRest } from './short-rest.ts';
import { slackBand } from './slack-band.ts';
import { slackReturn } from './slack-return.ts';
import { smallFeature } from './small-feature.ts';
import { steepCam } from './steep-cam.ts';
import { stepMismatch } from './step-mismatch.ts';
import { teethClash } from './teeth-clash.ts';
import { thinCam } from './thin-cam.ts';
import { thinGear } from './thin-gear.ts';
import { thinPlate } from './thin-plate.ts';
import { thinWall } from './thin-wall.ts';
import { tightFit } from './tight-fit.ts';
import { tightTips } from './tight-tips.ts';
import { tiredArm } from './tired-arm.ts';
import { tiredSpring } from './tired-spring.ts';
import { turnDirection } from './turn-direction.ts';
import { twiceDrivenSegment } from './twice-driven-segment.ts';
import { uncountedSymbol } from './uncounted-symbol.ts';
import { undercutCam } from './undercut-cam.ts';
import { undercutGear } from './undercut-gear.ts';
import { undrivenSegment } from './undriven-segment.ts';
import { unheldArm } from './unheld-arm.ts';
import { unheldFitting } from './unheld-fitting.ts';
import { unheldPost } from './unheld-post.ts';
import { unheldShaft } from './unheld-shaft.ts';
import { unknownSymbol } from './unknown-symbol.ts';
import { unlikeGears } from './unlike-gears.ts';
import { unlikeSegments } from './unlike-segments.ts';
import { unmeshedShaft } from './unmeshed-shaft.ts';
import { unreachableSymbol } from './unreachable-symbol.ts';
import { unscrewedFrame } from './unscrewed-frame.ts';
import { untouchedAnchor } from './untouched-anchor.ts';
import { unusedSegment } from './unused-segment.ts';
import { weakMesh } from './weak-mesh.ts';
import { wideBar } from './wide-bar.ts';
import { wideOffset } from './wide-offset.ts';

/** In the order they run: what may be the cause of another finding comes before it. */
export const checks: readonly Check[] = [
  missingValue,
  shortCount,
  longCount,
  crossedLimits,
  // glyphs and segments
  unknownSymbol,
  uncountedSymbol,
  lookAlikeSymbols,
  missingSegment,
  undrivenSegment,
  twiceDrivenSegment,
  unlikeSegments,
  unusedSegment,
  needlessCam,
  barAstray,
  // the train
  coincidentShafts,
  secondDriver,
  lockedTrain,
  unmeshedShaft,
  shaftDrift,
  turnDirection,
  stepMismatch,
  unlikeGears,
  undercutGear,
  centreDistance,
  weakMesh,
  tightTips,
  pointedTeeth,
  marksApart,
  teethClash,
  levelClash,
  idleKey,
  keyAmbiguous,
  tightFit,
  // the cams
  overlappingLobes,
  longTravel,
  wideOffset,
  shortArm,
  steepCam,
  undercutCam,
  shortFace,
  thinCam,
  thinGear,
  unreachableSymbol,
  // springs, and the hand's push
  contrarySpring,
  tiredSpring,
  untouchedAnchor,
  slackBand,
  longStroke,
  shortPush,
  doubleStep,
  tiredArm,
  slackReturn,
  guideJam,
  heavyPush,
  camOverruns,
  // what can touch
  largeNose,
  neighbourClash,
  rubbingLevels,
  armClash,
  postClash,
  unheldArm,
  barClash,
  crowdedWindow,
  // the frame
  largeFrame,
  thinPlate,
  screwClash,
  unscrewedFrame,
  wideBar,
  unheldShaft,
  unheldPost,
  unheldFitting,
  cutGuide,
  cannotAssemble,
  // making
  smallFeature,
  thinWall,
  largePart,
  oddLayers,
  // play
  looseFit,
  shortRest,
  halfShown,
  mirrorParts,
];

/** The pages of all findings that follow from figures. */
export const pages: readonly FindingPage[] = [...checks, needlessAccept];

const codes = pages.map(({ code }) => code);
const lateCodes: ReadonlySet<string> = new Set(checks.flatMap(({ code, late }) => (late ? [code] : [])));

/**
 * All findings of a mechanism, sorted by place, those that the design accepts marked. One mistake, one finding:
 * what a check names in `notBeside` silences it on the same part.
 */
export const findingsOf = (m: Mechanism, f: Figures): Finding[] => finished(finding(m, f));

/** The same; pauses before each check. */
export function* finding(m: Mechanism, f: Figures): Generator<void, Finding[]> {
  const serious = new Map<string, Set<string>>();
  const unused = new Set(m.acceptances);
  const all: Finding[] = [];
  const isWrong = () => [...serious.values()].some((names) => names.size > 0);
  for (const check of checks) {
    yield;
    if (check.last && isWrong()) continue;
    const told: Told = (...names) =>
      check.notBeside?.some((code) => names.some((name) => serious.get(code)?.has(name))) ?? false;
    const findings = check
      .find(m, f, told)
      .filter(({ about }) => !told(about[0]))
      .map((found) => accepted(complete(check, found), m, unused));
    // What the design accepts hides nothing: its maker has judged that alone.
    const names = findings.filter(
      ({ severity, accepted }) => accepted === undefined && (severity === 'error' || severity === 'warning'),
    );
    serious.set(check.code, new Set(names.flatMap(({ about }) => about)));
    all.push(...(check.alsoOn ? joined(findings, check.alsoOn) : findings));
  }
  // What stands wrong may be the only reason that parts are other ones than were accepted.
  const mayCome = f.encounters.grid !== 'fine' || isWrong();
  const surely = [...unused].filter(({ code }) => !(mayCome && lateCodes.has(code)));
  all.push(...needless(m, surely, codes).map((found) => accepted(complete(needlessAccept, found), m, unused)));
  return all.sort(byPlace);
}

function complete({ code, severity }: FindingPage, found: Found): Finding {
  return { figures: {}, related: [], fixes: [], severity, ...found, code };
}

/** Marks a finding that the design accepts, and notes that the acceptance was needed. */
function accepted(finding: Finding, m: Mechanism, unused: Set<Acceptance>): Finding {
  const reasons = m.acceptances.filter(
    ({ code, on }) => code === finding.code && (on === undefined || on === m.name || finding.about.includes(on)),
  );
  for (const reason of reasons) unused.delete(reason);
  return reasons.length ? { ...finding, accepted: reasons[0].reason } : finding;
}

/** Of findings that stand at one number the first, the worst, speaks for all. */
function joined(findings: readonly Finding[], alsoOn: NonNullable<Check['alsoOn']>): Finding[] {
  const key = ({ place, accepted }: Finding) => `${placeKey(place)} ${accepted ?? ''}`;
  return grouped(findings, key).map(([worst, ...rest]) =>
    rest.length
      ? {
          ...worst,
          message: `${worst.message}${alsoOn(rest)}`,
          about: [...new Set([worst, ...rest].flatMap(({ about }) => about))],
          related: [...worst.related, ...rest.flatMap(({ related }) => related.slice(0, 1))],
        }
      : worst,
  );
}

function byPlace(a: Finding, b: Finding): number {
  return (
    a.place.top - b.place.top ||
    a.place.from - b.place.from ||
    a.place.to - b.place.to ||
    (a.code < b.code ? -1 : a.code > b.code ? 1 : 0)
  );
}
