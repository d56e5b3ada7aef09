/** Two lists of findings held against each other. */
import type { Finding } from '../../language/mechanism.ts';

export const findingKey = (code: string, name = ''): string => `${code} ${name}`;

/** How many findings of each code stand on each part, what is accepted left out. */
export function tally(
  findings: readonly Finding[],
  wanted: (finding: Finding) => boolean = () => true,
): Map<string, number> {
  const counts = new Map<string, number>();
  for (const finding of findings) {
    if (finding.accepted !== undefined || !wanted(finding)) continue;
    for (const name of finding.about.length ? finding.about : [undefined]) {
      const one = findingKey(finding.code, name);
      counts.set(one, (counts.get(one) ?? 0) + 1);
    }
  }
  return counts;
}

const graver: readonly ((finding: Finding) => boolean)[] = [
  ({ severity }) => severity === 'error',
  ({ severity }) => severity === 'error' || severity === 'warning',
];

/** Findings of `after` that are new, or graver than before: errors, and errors and warnings together, on each part. */
export function newlyGrave(before: readonly Finding[], after: readonly Finding[]): Finding[] {
  const keys = new Set(
    graver.flatMap((grave) => {
      const old = tally(before, grave);
      return [...tally(after, grave)].flatMap(([key, count]) => (count > (old.get(key) ?? 0) ? [key] : []));
    }),
  );
  if (!keys.size) return [];
  return after.filter(
    (finding) =>
      finding.accepted === undefined &&
      graver[1](finding) &&
      (finding.about.length ? finding.about : [undefined]).some((name) => keys.has(findingKey(finding.code, name))),
  );
}

/** Whether no error, and nothing worse than information, is new. */
export const nothingGraver = (before: readonly Finding[], after: readonly Finding[]): boolean =>
  newlyGrave(before, after).length === 0;
