/** The documentation of the findings, as markdown: one page a finding, and an index. */
import type { FindingPage, PageExample } from '../../language/page.ts';

/** What an example raises, as the editor shows it. */
export interface Shown {
  readonly code: string;
  readonly severity: string;
  readonly message: string;
  /** The text at its place. */
  readonly at: string;
}

/** A page; `find` says what is found in a text. */
export function pageMarkdown(page: FindingPage, find: (text: string) => readonly Shown[]): string {
  return [
    `# ${page.title}`,
    `\`${page.code}\` · ${page.severity}`,
    page.means,
    ...section('How it is reckoned', page.reckoned, page.source && `Source: ${page.source}`),
    ...section('Worked example', page.worked),
    ...section('What to do', page.remedy),
    ...page.examples.flatMap((example) => exampleMarkdown(page, example, find)),
    '[All findings](../findings.md)',
  ]
    .join('\n\n')
    .concat('\n');
}

function section(heading: string, ...paragraphs: readonly (string | undefined)[]): string[] {
  const said = paragraphs.filter((paragraph) => paragraph !== undefined && paragraph !== '');
  return said.length ? [`## ${heading}`, ...(said as string[])] : [];
}

function exampleMarkdown(page: FindingPage, { title, text }: PageExample, find: (text: string) => readonly Shown[]) {
  const clean = text.replace(/[«»]/g, '');
  const found = text === clean ? [] : find(clean).filter(({ code }) => code === page.code);
  const heading = found.length ? `Found: ${title}` : `Not found: ${title}`;
  const fence = clean.includes('```') ? '````' : '```';
  return [
    `## ${heading}`,
    `${fence}lobe\n${clean.trimEnd()}\n${fence}`,
    ...found.map(({ severity, message, at }) => `> ${severity} at \`${oneLine(at)}\`: ${message}`),
  ];
}

/** What stands at a place, short enough for a line. */
function oneLine(text: string): string {
  const [first, ...more] = text.split('\n');
  return more.length ? `${first.trimEnd()} …` : first;
}

/** The list of all pages, by severity as they stand. */
export function indexMarkdown(
  groups: readonly { readonly title: string; readonly pages: readonly FindingPage[] }[],
): string {
  const table = (pages: readonly FindingPage[]) =>
    [
      '| code | severity | finds |',
      '| --- | --- | --- |',
      ...[...pages]
        .sort((a, b) => (a.code < b.code ? -1 : 1))
        .map(({ code, severity, title }) => `| [\`${code}\`](findings/${code}.md) | ${severity} | ${title} |`),
    ].join('\n');
  return [
    '# Findings',
    'What the editor and `lobewright check` tell of a design. An error cannot work as drawn, a warning may not; information ' +
      'is worth knowing, a hint is a suggestion. What a maker has judged and lets stand is listed apart: ' +
      '`accept CODE on NAME "why"`.',
    ...groups.flatMap(({ title, pages }) => [`## ${title}`, table(pages)]),
  ]
    .join('\n\n')
    .concat('\n');
}
