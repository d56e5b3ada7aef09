/** A symptom table for people: text for a terminal, markdown for a page beside the files. */
import type { NoTable, SymptomTable } from '../../search/symptoms.ts';
import { caution } from '../caution.ts';
import { assumed, bySymptom, faultInWords, inLines, labelOf, shortened, sizeInWords, spoiltInWords } from './words.ts';

export function symptomsText(table: SymptomTable | NoTable): string {
  if ('because' in table) return `${table.name}: ${table.because}\n`;
  const [{ faults: silent }] = table.groups;
  const blocks = bySymptom(table).map((group) =>
    [
      `Wrong at ${group.spoilt.map((position) => labelOf(table, position)).join(' ')}`,
      ...group.faults.map((fault) => `  * ${faultInWords(fault)}`),
      ...inLines(spoiltInWords(table, group), '    '),
    ].join('\n'),
  );
  const parts = [
    `${table.name}: ${sizeInWords(table)}`,
    assumed(table),
    shortened,
    ...blocks,
    listed('No face tells of these', silent.map(faultInWords)),
    listed(
      'These cannot be',
      table.impossible.map(({ what, because }) => `${what}: ${because}`),
    ),
    listed(
      'Not simulated',
      table.untold.map(({ of, because }) => `${of}: ${because}`),
    ),
    ...(table.stored ? [caution] : []),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

const listed = (title: string, lines: readonly string[]): string =>
  lines.length ? [title, ...lines.map((line) => `  ${line}`)].join('\n') : '';

export function symptomsMarkdown(table: SymptomTable | NoTable): string {
  if ('because' in table) return `# ${escaped(table.title)}\n\n${escaped(table.because)}.\n`;
  const [{ faults: silent }] = table.groups;
  const rows = bySymptom(table).map((group) => [
    group.spoilt.map((position) => labelOf(table, position)).join(' '),
    group.faults.map(faultInWords).join('; or '),
    spoiltInWords(table, group).join('; '),
  ]);
  const parts = [
    `# What was put together wrongly: ${escaped(table.title)}`,
    `${sizeInWords(table)}. ${assumed(table)} ${shortened}`,
    ['| Wrong at | What it may be | What is seen |', '| --- | --- | --- |', ...rows.map(row)].join('\n'),
    bullets('No face tells of these', silent.map(faultInWords)),
    bullets(
      'These cannot be',
      table.impossible.map(({ what, because }) => `${what}: ${because}`),
    ),
    bullets(
      'Not simulated',
      table.untold.map(({ of, because }) => `${of}: ${because}`),
    ),
    ...(table.stored ? [`> ${caution}`] : []),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

const row = (cells: readonly string[]): string => `| ${cells.map(escaped).join(' | ')} |`;
const bullets = (title: string, lines: readonly string[]): string =>
  lines.length ? [`## ${title}`, '', ...lines.map((line) => `- ${escaped(line)}`)].join('\n') : '';

/** Text that markdown takes for nothing but text. */
const escaped = (text: string): string => text.replace(/[\\`*_{}[\]<>#|&~]/g, '\\$&').replace(/\s+/g, ' ');
