/**
 * A report to paste when asking for help: what a design is, what is found, what is seen at every rest, from which parts.
 * Nothing of whoever wrote it: no author, no folders, no comments of the text.
 */
import type { Finding, Severity } from '../../language/mechanism.ts';
import type { Reckoned } from '../protocol.ts';
import { fingerprintOf } from '../reckon/parts/fingerprint.ts';
import { blanksOf, processesOf } from '../reckon/parts/parts.ts';
import { table } from './figures.ts';
import { rounded } from './rounded.ts';

/** Where in the design's own text a finding stands, from 1; absent where it stands in another file. */
export type Where = (finding: Finding) => { readonly line: number; readonly column: number } | undefined;

export interface Reported {
  readonly version: string;
  readonly mechanisms: readonly Reckoned[];
  /** All of them, those of the text too. */
  readonly findings: readonly Finding[];
  readonly where: Where;
}

const severities: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

/** The object that `report --format json` prints. */
export function reportJson({ version, mechanisms, findings, where }: Reported) {
  return {
    contract: 1,
    lobewright: version,
    mechanisms: mechanisms.map(mechanismJson),
    findings: inOrder(findings).map((finding) => ({
      code: finding.code,
      severity: finding.severity,
      message: impersonal(finding.message),
      ...where(finding),
      ...(finding.accepted !== undefined && { accepted: impersonal(finding.accepted) }),
    })),
  };
}

function mechanismJson({ mechanism: m, figures }: Reckoned) {
  return {
    name: m.name,
    ...(m.about.title !== undefined && { title: impersonal(m.about.title) }),
    ...(m.about.revision !== undefined && { revision: impersonal(m.about.revision) }),
    assembled: m.assembled.value,
    runs: m.runs.value,
    processes: [...processesOf(m)].map(([name, { nozzle, layer, spread, clearance, wall, drag, material }]) => ({
      name,
      nozzle: nozzle.value,
      layer: layer.value,
      spread: spread.value,
      clearance: clearance.value,
      wall: wall.value,
      drag: drag.value,
      material: material.name,
    })),
    rests: figures.positions.map(({ index, symbol, shown, wrong }) => ({ index, symbol, shown, wrong })),
    parts: blanksOf(m, figures, figures.stack).blanks.map((part) => ({
      name: part.name,
      kind: part.kind,
      count: part.seats.length,
      fingerprint: fingerprintOf(part),
    })),
    defaults: figures.defaults,
    missing: figures.missing.map(({ figure, wants }) => ({ figure, wants })),
  };
}

/** By weight, what is accepted last. */
function inOrder(findings: readonly Finding[]): Finding[] {
  const weight = ({ severity, accepted }: Finding) => severities.indexOf(severity) + (accepted === undefined ? 0 : 10);
  return [...findings].sort((a, b) => weight(a) - weight(b));
}

/** Folders may be called after their owner: of a path from the root, or of an address, the last name alone stays. */
export const impersonal = (text: string): string =>
  text
    .replace(/(["'“])(?:[a-z]:|~)?[\\/][^"'”\n]*[\\/]([^\\/"'”\n]*)(?=["'”])/gi, '$1…/$2')
    .replace(/\b[a-z][\w+.-]*:\/\/[^\s"'<>]*?([^/\\\s"'<>]*)(?=[\s"'<>]|$)/gi, '…/$1')
    .replace(/(?<![\w.…])(?:[a-z]:|~)?[\\/](?:[^\\/\s"'<>:]+[\\/])+([^\\/\s"'<>]*)/gi, '…/$1');

// ---- as text -------------------------------------------------------------------------------

/** One fenced block: it reads the same as plain text and where Markdown is drawn, whatever names the design has. */
export function reportText(reported: Reported): string {
  const report = reportJson(reported);
  const found = report.findings.map(findingLine);
  const said = [
    [`Lobewright ${report.lobewright}`, ...(found.length > 0 ? found : ['nothing wrong is found'])].join('\n'),
    ...report.mechanisms.map(mechanismText),
  ].join('\n\n');
  const longest = Math.max(2, ...[...said.matchAll(/`+/g)].map(([ticks]) => ticks.length));
  const fence = '`'.repeat(longest + 1);
  return `${fence}text\n${said}\n${fence}\n`;
}

type Report = ReturnType<typeof reportJson>;

function findingLine({ code, severity, message, line, column, accepted }: Report['findings'][number]): string {
  const place = line === undefined ? '' : `${line}:${column}: `;
  return accepted === undefined
    ? `${place}${severity} ${code}: ${message}`
    : `${place}accepted ${code}: ${message} (${accepted})`;
}

function mechanismText(mechanism: Report['mechanisms'][number]): string {
  const { name, title, revision, assembled, runs, processes, rests, parts, defaults, missing } = mechanism;
  const facts = [
    ...(title === undefined ? [] : [title]),
    ...(revision === undefined ? [] : [`revision ${revision}`]),
    `assembled ${assembled}`,
    `runs ${runs}`,
  ];
  return [
    `${name}: ${facts.join(', ')}`,
    table(
      'Processes, mm and N',
      ['name', 'nozzle', 'layer', 'spread', 'clearance', 'wall', 'drag', 'material'],
      processes.map(({ name: process, material, ...values }) => [
        process,
        ...[values.nozzle, values.layer, values.spread, values.clearance, values.wall, values.drag].map(
          (value) => `${rounded(value)}`,
        ),
        material,
      ]),
    ),
    table(
      'Bars seen at every rest',
      ['', 'symbol', 'shown', 'wrong'],
      rests.map(({ index, symbol, shown, wrong }) => [`${index}`, symbol, shown.join(' '), wrong.join(' ')]),
    ),
    table(
      'Parts',
      ['name', 'kind', 'count', 'fingerprint'],
      parts.map((part) => [part.name, part.kind, `${part.count}`, part.fingerprint]),
    ),
    table(
      'Taken for granted',
      ['value of', 'is', 'because'],
      defaults.map(({ of, value, because }) => [of, value, because]),
    ),
    table(
      'Not reckoned',
      ['figure', 'wants'],
      missing.map(({ figure, wants }) => [figure, wants]),
    ),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}
