/** What `check` has to say, as the published contract has it: `--format json` prints just this. */
import type { Severity } from '../../language/mechanism.ts';
import type { TextRange } from '../protocol.ts';

export interface Report {
  readonly contract: 1;
  readonly files: readonly FileReport[];
  readonly summary: Summary;
}

export interface FileReport {
  readonly file: string;
  readonly findings: readonly ReportedFinding[];
}

export interface ReportedFinding {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  /** Lines and characters count from 0. */
  readonly range: TextRange;
  readonly figures: Readonly<Record<string, unknown>>;
  readonly related: readonly { readonly file: string; readonly message: string; readonly range: TextRange }[];
  readonly fixes: readonly ReportedFix[];
  readonly accepted?: string;
}

export interface ReportedFix {
  readonly title: string;
  readonly edits: readonly { readonly file: string; readonly range: TextRange; readonly text: string }[];
}

export interface Summary {
  readonly errors: number;
  readonly warnings: number;
  readonly information: number;
  readonly hints: number;
  readonly accepted: number;
}

export function summaryOf(files: readonly FileReport[]): Summary {
  const all = files.flatMap(({ findings }) => findings);
  const standing = all.filter(({ accepted }) => accepted === undefined);
  const count = (severity: Severity) => standing.filter((finding) => finding.severity === severity).length;
  return {
    errors: count('error'),
    warnings: count('warning'),
    information: count('information'),
    hints: count('hint'),
    accepted: all.length - standing.length,
  };
}

/** One line a finding, `file:line:column: severity code: message`, counted from 1; what is accepted comes last. */
export function reportText({ files, summary }: Report): string {
  const line = (file: string, { range, severity, code, message, accepted }: ReportedFinding) => {
    const place = `${file}:${range.start.line + 1}:${range.start.character + 1}`;
    return accepted === undefined
      ? `${place}: ${severity} ${code}: ${message}`
      : `${place}: accepted ${code}: ${message} (${accepted})`;
  };
  const lines = files.flatMap(({ file, findings }) =>
    findings.map((finding) => ({ text: line(file, finding), accepted: finding.accepted !== undefined })),
  );
  return [
    ...lines.filter(({ accepted }) => !accepted).map(({ text }) => text),
    ...lines.filter(({ accepted }) => accepted).map(({ text }) => text),
    summaryText(summary),
    '',
  ].join('\n');
}

function summaryText(summary: Summary): string {
  const counted = [
    [summary.errors, 'error', 'errors'],
    [summary.warnings, 'warning', 'warnings'],
    [summary.information, 'information', 'information'],
    [summary.hints, 'hint', 'hints'],
    [summary.accepted, 'accepted', 'accepted'],
  ] as const;
  const said = counted.filter(([number]) => number > 0).map(([n, one, many]) => `${n} ${n === 1 ? one : many}`);
  return said.length ? said.join(', ') : 'nothing wrong';
}
