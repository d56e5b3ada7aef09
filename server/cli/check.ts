/** `check`: every finding of every file named. */
import type { Finding } from '../../language/mechanism.ts';
import { applied, type ProvedFix, proveFix, proveWays, type Scene } from '../fixes.ts';
import { roundedThrough } from '../outputs/rounded.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { type Opened, openFile, openText } from './designs.ts';
import { print, writeOut, writeWhole } from './files.ts';
import { type FileReport, type Report, type ReportedFinding, reportText, summaryOf } from './findings.ts';
import type { Status } from './verbs.ts';

/** Fixes carried out on one file; each may let another be seen. */
const mostFixes = 200;

export async function check(given: Arguments, version: string): Promise<Status> {
  if (!given.files.length) throw new Refusal('check wants a FILE; lobewright check --help tells more');
  const format = lastOf(given, 'format') ?? 'text';
  const files: FileReport[] = [];
  for (const path of [...new Set(given.files)]) {
    let opened = await openFile(path, given);
    if (given.options.has('fix')) opened = mend(opened, given);
    files.push(reportOf(opened, format !== 'text'));
  }
  files.sort((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0));
  const report: Report = { contract: 1, files, summary: summaryOf(files) };
  const out = lastOf(given, 'out');
  const text = await written(report, format, version);
  if (out === undefined) print(text);
  else writeOut(out, text);
  return report.summary.errors ? 1 : 0;
}

async function written(report: Report, format: string, version: string): Promise<string> {
  if (format === 'text') return reportText(report);
  if (format === 'json') return `${JSON.stringify(report, undefined, 2)}\n`;
  const [{ sarifOf }, { pages }] = await Promise.all([import('./sarif.ts'), import('./pages.ts')]);
  return `${JSON.stringify(sarifOf(report, version, pages), undefined, 2)}\n`;
}

function reportOf(opened: Opened, withFixes: boolean): FileReport {
  const scene = sceneOf(opened);
  return {
    file: opened.path,
    findings: opened.analysis.findings.flatMap(
      (finding) => reported(finding, opened, withFixes ? scene : undefined) ?? [],
    ),
  };
}

/** A finding as the contract has it; fixes are proved where there is a scene to prove them in. */
function reported(finding: Finding, opened: Opened, scene: Scene | undefined): ReportedFinding | undefined {
  const place = opened.placeOf(finding.place);
  if (!place) return undefined;
  const { code, severity, message, figures, accepted } = finding;
  const proved = scene && accepted === undefined ? finding.fixes.flatMap((fix) => proveWays(finding, fix, scene)) : [];
  return {
    code,
    severity,
    message,
    range: place.range,
    figures: roundedThrough(figures) as Finding['figures'],
    related: finding.related.flatMap(({ place, message }) => {
      const found = opened.placeOf(place);
      return found ? [{ file: found.file, message, range: found.range }] : [];
    }),
    fixes: proved.map(({ title, files }) => ({
      title,
      edits: files.flatMap(({ file, edits }) =>
        edits.map(({ from, to, text }) => {
          const { file: name, range } = opened.placeOf({ file, top: -1, from, to })!;
          return { file: name, range, text };
        }),
      ),
    })),
    ...(accepted !== undefined && { accepted }),
  };
}

const sceneOf = ({ document, analysis, designOf, read }: Opened): Scene => ({ document, analysis, designOf, read });

/** Carries out the first true fix of each finding until none is left; only the file itself is written, once. */
function mend(first: Opened, given: Arguments): Opened {
  if (given.options.has('set') || given.options.has('process')) {
    throw new Refusal('--fix mends the design as it is written; leave out --set and --process');
  }
  let opened = first;
  for (let round = 0; round < mostFixes; round++) {
    const fix = firstTrueFix(opened);
    if (!fix) break;
    opened = openText(opened.path, opened.uri, applied(opened.text, fix.files[0]!.edits));
  }
  if (opened.text === first.text) return opened;
  if (opened.path === '-') throw new Refusal('--fix cannot write to standard input; name a file');
  writeWhole(opened.path, opened.text);
  return opened;
}

function firstTrueFix(opened: Opened): ProvedFix | undefined {
  const scene = sceneOf(opened);
  for (const finding of opened.analysis.findings) {
    if (finding.accepted !== undefined) continue;
    for (const fix of finding.fixes) {
      const proved = proveFix(finding, fix, scene);
      if (proved?.files.length === 1 && proved.files[0]!.file === opened.uri) return proved;
    }
  }
  return undefined;
}
