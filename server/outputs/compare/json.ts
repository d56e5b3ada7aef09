/** A comparison as JSON: the contract of `compare --format json`. Angles deg, lengths mm, forces N. */
import type { Finding } from '../../../language/mechanism.ts';
import { rounded, roundedThrough } from '../rounded.ts';
import type { FindingChanges } from './came-and-went.ts';
import { type Comparison, type MechanismComparison, partsDiffer } from './comparison.ts';
import type { Difference } from './differences.ts';
import { type Said, saidInWords } from './said.ts';
import { differencesInWords } from './wording.ts';
import type { Titles } from './written.ts';

export function comparisonJson(comparison: Comparison, { old, now }: Titles) {
  return {
    contract: 1,
    old,
    new: now,
    partsDiffer: partsDiffer(comparison),
    differences: comparison.differences.map(differenceJson),
    findings: findingsJson(comparison.findings),
    mechanisms: comparison.mechanisms.map(mechanismJson),
  };
}

const mechanismJson = (one: MechanismComparison) => ({
  name: one.name,
  ...(one.was !== undefined && { was: one.was }),
  differences: [...one.stated, ...one.follows].map(differenceJson),
  figures: one.figures.map(differenceJson),
  findings: findingsJson(one.findings),
  parts: one.parts.map(({ name, was, kind, made, fate, because, notes, fingerprint, before }) => ({
    name,
    ...(was !== undefined && { was }),
    kind,
    made,
    fate,
    because,
    notes,
    ...(fingerprint !== undefined && { fingerprint }),
    ...(before !== undefined && { before }),
  })),
  untold: one.untold,
  mixing: {
    free: one.mixing.free,
    interfaces: one.mixing.interfaces.map(({ kind, name, same, because, parts }) => ({
      kind,
      name,
      same,
      because,
      parts,
    })),
    together: one.mixing.together,
  },
});

/** `from`, `to`: numbers in `unit`, words, or names parted by blanks; absent on the side that has no such value. */
function differenceJson(one: Difference) {
  const { what, kind, name, was, property, from, to, by, because, at } = one;
  const unit = [to, from].flatMap((said) => (said && 'unit' in said && said.unit ? [said.unit] : []))[0];
  return {
    what,
    kind,
    name,
    ...(was !== undefined && { was }),
    ...(property !== undefined && { property }),
    ...(from && { from: saidJson(from) }),
    ...(to && { to: saidJson(to) }),
    ...(unit !== undefined && { unit }),
    ...(by !== undefined && { by }),
    ...(because !== undefined && { because }),
    ...(at !== undefined && { at }),
    text: differencesInWords([one])[0],
  };
}

const saidJson = (said: Said): number | string =>
  'number' in said ? rounded(said.number) : 'words' in said ? said.words : saidInWords(said);

const findingsJson = ({ came, went, changed }: FindingChanges) => ({
  came: came.map(findingJson),
  went: went.map(findingJson),
  changed: changed.map(({ from, to }) => ({ from: findingJson(from), to: findingJson(to) })),
});

const findingJson = ({ code, severity, message, about, figures, accepted }: Finding) => ({
  code,
  severity,
  message,
  about,
  figures: roundedThrough(figures) as Finding['figures'],
  ...(accepted !== undefined && { accepted }),
});
