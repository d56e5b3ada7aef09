import { createRequire } from 'node:module';
import Ajv from 'ajv';
import addFormats from 'ajv-formats';
import { expect, it } from 'vitest';
import { type FileReport, type ReportedFinding, reportText, summaryOf } from '../../../server/cli/findings.ts';
import { sarifOf } from '../../../server/cli/sarif.ts';

// Published schema: OASIS SARIF 2.1.0 (rtm.5), as @microsoft/jest-sarif ships it. It is draft 4, whose `id` and
// `$schema` are the only parts that later drafts read differently.
const {
  id: _,
  $schema: __,
  ...schema
} = createRequire(import.meta.url)('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json');
const ajv = new Ajv({ strict: false, allErrors: true, unicodeRegExp: false });
addFormats(ajv);
const valid = ajv.compile(schema);

const range = { start: { line: 3, character: 8 }, end: { line: 3, character: 9 } };
const finding: ReportedFinding = {
  code: 'unreachable-symbol',
  severity: 'error',
  message: 'position 4 cannot show 4',
  range,
  figures: { position: 4 },
  related: [{ file: 'other sign.lobe', message: 'the cam', range }],
  fixes: [{ title: 'turn it', edits: [{ file: 'berth.lobe', range, text: '22 mm' }] }],
};
const files: FileReport[] = [
  {
    file: 'berth.lobe',
    findings: [finding, { ...finding, severity: 'hint', code: 'needless-cam', accepted: 'spare' }],
  },
  { file: '-', findings: [] },
];
const report = { contract: 1 as const, files, summary: summaryOf(files) };

it('is valid against the published schema', () => {
  const log = sarifOf(report, '0.1.0', []);
  valid(log);
  expect(valid.errors).toBeNull();
});

it('counts what is accepted apart, and tells it last', () => {
  expect(report.summary).toEqual({ errors: 1, warnings: 0, information: 0, hints: 0, accepted: 1 });
  expect(reportText(report)).toBe(
    'berth.lobe:4:9: error unreachable-symbol: position 4 cannot show 4\n' +
      'berth.lobe:4:9: accepted needless-cam: position 4 cannot show 4 (spare)\n' +
      '1 error, 1 accepted\n',
  );
});
