/** A report in the Static Analysis Results Interchange Format 2.1.0 (OASIS standard). */

import type { Severity } from '../../language/mechanism.ts';
import type { FindingPage } from '../../language/page.ts';
import type { TextRange } from '../protocol.ts';
import type { Report, ReportedFinding } from './findings.ts';

const schema = 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json';

const level: Record<Severity, string> = { error: 'error', warning: 'warning', information: 'note', hint: 'note' };

/** The SARIF log of one run; `pages` explain the codes that occur. */
export function sarifOf(report: Report, version: string, pages: readonly FindingPage[]): object {
  const codes = [...new Set(report.files.flatMap(({ findings }) => findings.map(({ code }) => code)))].sort();
  return {
    $schema: schema,
    version: '2.1.0',
    runs: [
      {
        tool: {
          driver: { name: 'Lobewright', semanticVersion: version, rules: codes.map((code) => rule(code, pages)) },
        },
        columnKind: 'utf16CodeUnits',
        invocations: [{ executionSuccessful: true }],
        artifacts: report.files.map(({ file }) => ({ location: artifact(file), roles: ['analysisTarget'] })),
        results: report.files.flatMap(({ file, findings }) =>
          findings.map((finding) => result(file, finding, codes.indexOf(finding.code))),
        ),
      },
    ],
  };
}

function rule(id: string, pages: readonly FindingPage[]): object {
  const page = pages.find(({ code }) => code === id);
  if (!page) return { id };
  const markdown = [page.means, page.reckoned, page.remedy].filter((part) => part !== undefined).join('\n\n');
  return {
    id,
    shortDescription: { text: page.title },
    help: { text: markdown, markdown },
    defaultConfiguration: { level: level[page.severity] },
  };
}

function result(file: string, finding: ReportedFinding, ruleIndex: number): object {
  return {
    ruleId: finding.code,
    ruleIndex,
    level: level[finding.severity],
    message: { text: finding.message },
    locations: [{ physicalLocation: location(file, finding.range) }],
    ...(finding.related.length && {
      relatedLocations: finding.related.map(({ file, message, range }, id) => ({
        id,
        message: { text: message },
        physicalLocation: location(file, range),
      })),
    }),
    ...(finding.fixes.length && {
      fixes: finding.fixes.map(({ title, edits }) => ({
        description: { text: title },
        artifactChanges: [...new Set(edits.map(({ file }) => file))].map((file) => ({
          artifactLocation: artifact(file),
          replacements: edits
            .filter((edit) => edit.file === file)
            .map(({ range, text }) => ({ deletedRegion: region(range), insertedContent: { text } })),
        })),
      })),
    }),
    ...(finding.accepted !== undefined && {
      suppressions: [{ kind: 'inSource', status: 'accepted', justification: finding.accepted }],
    }),
    properties: { severity: finding.severity, figures: finding.figures },
  };
}

const location = (file: string, range: TextRange) => ({ artifactLocation: artifact(file), region: region(range) });

/** Lines and columns count from 1; the end column is the one after the last character. */
const region = ({ start, end }: TextRange) => ({
  startLine: start.line + 1,
  startColumn: start.character + 1,
  endLine: end.line + 1,
  endColumn: end.character + 1,
});

/** A path as a relative or absolute URI reference. */
function artifact(file: string): { uri: string } {
  if (file === '-') return { uri: 'stdin' };
  if (/^[a-z][a-z0-9+.-]+:/i.test(file)) return { uri: file };
  const path = file.replaceAll('\\', '/').split('/').map(encodeURIComponent).join('/');
  return { uri: path.startsWith('/') ? `file://${path}` : path };
}
