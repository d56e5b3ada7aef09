/** Which findings came and which went between two designs: told apart by code and chief part, not by their numbers. */
import type { Finding } from '../../../language/mechanism.ts';
import { grouped } from '../../checks/check.ts';

export interface FindingChanges {
  readonly came: readonly Finding[];
  readonly went: readonly Finding[];
  /** Still there, but graver or milder than before, or accepted, or no longer so. */
  readonly changed: readonly { readonly from: Finding; readonly to: Finding }[];
}

/**
 * A finding is the same where its code and its chief part are; of those that are left, where it is about some of the same
 * parts: another one of them may be the worst now. `nowCalled`: the name that a part of the older design has in the newer.
 */
export function cameAndWent(
  old: readonly Finding[],
  now: readonly Finding[],
  nowCalled: (name: string) => string,
): FindingChanges {
  const before = new Map(now.map((finding): [Finding, Finding | undefined] => [finding, undefined]));
  const left = new Set(old);
  const pair = (isSame: (one: readonly string[], other: readonly string[]) => boolean) => {
    const byCode = grouped([...left], ({ code }) => code);
    for (const finding of now) {
      if (before.get(finding)) continue;
      const alike = byCode.find(([{ code }]) => code === finding.code) ?? [];
      const from = alike.find((one) => left.has(one) && isSame(one.about.map(nowCalled), finding.about));
      if (!from) continue;
      before.set(finding, from);
      left.delete(from);
    }
  };
  pair(([one], [other]) => one === other);
  pair((one, other) => one.some((name) => other.includes(name)));
  const came = now.filter((finding) => !before.get(finding));
  const changed = now.flatMap((to) => {
    const from = before.get(to);
    return from && standing(from) !== standing(to) ? [{ from, to }] : [];
  });
  return { came, went: old.filter((finding) => left.has(finding)), changed };
}

/** How a finding stands: its severity, or that it is accepted. */
export const standing = ({ severity, accepted }: Finding): string => (accepted === undefined ? severity : 'accepted');
