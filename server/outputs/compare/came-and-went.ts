/** Which findings came and which went between two designs: told apart by code and chief part, not by their numbers. */
import type { Finding } from '../../../language/mechanism.ts';

export interface FindingChanges {
  readonly came: readonly Finding[];
  readonly went: readonly Finding[];
  /** Still there, but graver or milder than before, or accepted, or no longer so. */
  readonly changed: readonly { readonly from: Finding; readonly to: Finding }[];
}

/** `nowCalled`: the name that a part of the older design has in the newer. */
export function cameAndWent(
  old: readonly Finding[],
  now: readonly Finding[],
  nowCalled: (name: string) => string,
): FindingChanges {
  const left = new Map<string, Finding[]>();
  for (const finding of old) {
    const key = `${finding.code} ${finding.about[0] === undefined ? '' : nowCalled(finding.about[0])}`;
    left.set(key, [...(left.get(key) ?? []), finding]);
  }
  const came: Finding[] = [];
  const changed: { from: Finding; to: Finding }[] = [];
  for (const finding of now) {
    const same = left.get(`${finding.code} ${finding.about[0] ?? ''}`);
    const from = same?.shift();
    if (!from) came.push(finding);
    else if (standing(from) !== standing(finding)) changed.push({ from, to: finding });
  }
  const stays = new Set([...left.values()].flat());
  return { came, went: old.filter((finding) => stays.has(finding)), changed };
}

/** How a finding stands: its severity, or that it is accepted. */
export const standing = ({ severity, accepted }: Finding): string => (accepted === undefined ? severity : 'accepted');
