/** A comparison as text for a terminal, and as Markdown for a release note. */
import type { Finding } from '../../../language/mechanism.ts';
import { counted, grouped } from '../../checks/check.ts';
import { type FindingChanges, standing } from './came-and-went.ts';
import type { Comparison, MechanismComparison } from './comparison.ts';
import type { Fate, PartFate } from './fates.ts';
import type { Interface, Meeting, Mixing } from './mixing.ts';
import { differencesInWords } from './wording.ts';

/** A titled list of sentences. */
interface Block {
  readonly title: string;
  readonly lines: readonly string[];
}

/** What the two designs are called. */
export interface Titles {
  readonly old: string;
  readonly now: string;
}

const nothingChanges = 'Nothing of the mechanism changes.';

/** The blocks of one mechanism; those with nothing in them left out. */
function blocksOf(one: MechanismComparison): Block[] {
  const { was, name, stated, follows, figures, findings } = one;
  const blocks = [
    {
      title: 'Changed',
      lines: [...(was === undefined ? [] : [`mechanism ${name} was called ${was}`]), ...differencesInWords(stated)],
    },
    { title: 'What follows', lines: differencesInWords(follows) },
    { title: 'Figures', lines: differencesInWords(figures) },
    ...findingBlocks(findings),
  ].filter(({ lines }) => lines.length);
  return blocks.length ? [...blocks, ...partBlocks(one)] : [];
}

const fates = {
  again: 'Parts to make or get again',
  fits: 'Parts that differ, but fit',
  new: 'New parts',
  gone: 'Parts no longer wanted',
} as const satisfies Partial<Record<Fate, string>>;

function partBlocks({ parts, untold, mixing }: MechanismComparison): Block[] {
  const noted = parts.filter(({ fate, notes }) => fate === 'keeps' && notes.length);
  const kept = parts.filter(({ fate, notes }) => fate === 'keeps' && !notes.length);
  const named = kept.length === parts.length ? 'all' : madeInWords(kept);
  return [
    ...Object.entries(fates).map(([fate, title]) => ({
      title,
      lines: partsTogether(parts.filter((part) => part.fate === fate)),
    })),
    { title: 'Parts that stay', lines: [...partsTogether(noted), ...(kept.length ? [named] : [])] },
    { title: 'Parts of which nothing can be told', lines: untold.map(({ of, because }) => `${of}: ${because}`) },
    ...mixingBlocks(parts, mixing),
  ].filter(({ lines }) => lines.length);
}

/** Those of which the same is told as one. */
function partsTogether(parts: readonly PartFate[]): string[] {
  const groups = new Map<string, PartFate[]>();
  for (const part of parts) {
    const { was, because, notes } = part;
    const said = [...because, ...notes, ...(was === undefined ? [] : [`was called ${was}`])].join(', ');
    groups.set(said, [...(groups.get(said) ?? []), part]);
  }
  return [...groups].map(([said, group]) => (said ? `${madeInWords(group)}: ${said}` : madeInWords(group)));
}

/** How parts are called in a list, by kind; others go by their names alone. */
const called: Readonly<Partial<Record<PartFate['kind'], string>>> = {
  shaft: 'shaft',
  gear: 'gear',
  bar: 'bar',
  'ratchet wheel': 'ratchet wheel',
  spring: 'spring',
  band: 'band',
};

/** "shafts upper and lower, camA, bar e". */
function madeInWords(parts: readonly PartFate[]): string {
  const kinds = grouped(parts, ({ kind }) => kind);
  const names = kinds.map((group) => {
    const word = called[group[0].kind];
    const all = group.map(({ name }) => name);
    return word === undefined ? all.join(', ') : counted(word, all);
  });
  return names.join(', ');
}

function mixingBlocks(parts: readonly PartFate[], { free, interfaces, together }: Mixing): Block[] {
  if (!free) {
    return [
      { title: 'Where old and new parts do not go together', lines: meetingsInWords(interfaces) },
      {
        title: 'Parts to exchange together',
        lines: together.map((names) => madeInWords(parts.filter(({ name }) => names.includes(name)))),
      },
    ];
  }
  const stays = parts.every(({ fate }) => fate === 'keeps');
  return stays ? [] : [{ title: 'Old and new parts', lines: ['may be mixed: they meet each other as before'] }];
}

const everyMeeting: Readonly<Partial<Record<Meeting, string>>> = {
  'cam and bar': 'every cam and its bar',
  face: 'the face round every bar',
};

/** Where parts no longer meet as they did, the same of several places as one. */
function meetingsInWords(interfaces: readonly Interface[]): string[] {
  const groups = new Map<string, Interface[]>();
  for (const one of interfaces) {
    if (one.same) continue;
    const key = [one.kind, ...one.because].join('\n');
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].map((group) => {
    const [{ kind, because }] = group;
    const all = group.length > 1 && group.length === interfaces.filter((one) => one.kind === kind).length;
    const where = (all && everyMeeting[kind]) || group.map(({ name }) => name).join('; ');
    return `${where}: ${because.join(', ')}`;
  });
}

function findingBlocks({ came, went, changed }: FindingChanges): Block[] {
  return [
    { title: 'Found now', lines: came.map(findingInWords) },
    { title: 'No longer found', lines: went.map(findingInWords) },
    {
      title: 'Found as before, but',
      lines: changed.map(({ from, to }) => `${standing(to)} instead of ${standing(from)} ${to.code}: ${to.message}`),
    },
  ];
}

const findingInWords = (finding: Finding): string => `${standing(finding)} ${finding.code}: ${finding.message}`;

function fileBlocks({ differences, findings }: Comparison): Block[] {
  const lines = differencesInWords(differences);
  return [{ title: 'In the file', lines }, ...findingBlocks(findings)].filter((block) => block.lines.length);
}

/** All that there is to tell, by the mechanism it is of; '' for the file. */
function chaptersOf(comparison: Comparison): { readonly name: string; readonly blocks: readonly Block[] }[] {
  return [
    { name: '', blocks: fileBlocks(comparison) },
    ...comparison.mechanisms.map((one) => ({ name: one.name, blocks: blocksOf(one) })),
  ].filter(({ blocks }) => blocks.length);
}

export const changesNothing = (comparison: Comparison): boolean => chaptersOf(comparison).length === 0;

// ---- text --------------------------------------------------------------------------------

export function comparisonText(comparison: Comparison, { old, now }: Titles): string {
  const chapters = chaptersOf(comparison);
  if (!chapters.length) return `${nothingChanges}\n`;
  const parts = chapters.flatMap(({ name, blocks }) => [
    ...(name ? [name] : []),
    ...blocks.map(({ title, lines }) => [title, ...lines.map((line) => `  ${line}`)].join('\n')),
  ]);
  return `${[`${old} → ${now}`, ...parts].join('\n\n')}\n`;
}

// ---- Markdown ----------------------------------------------------------------------------

export function comparisonMarkdown(comparison: Comparison, { old, now }: Titles): string {
  const chapters = chaptersOf(comparison);
  const parts = chapters.flatMap(({ name, blocks }) => [
    ...(name ? [`## ${escaped(name)}`] : []),
    ...blocks.map(({ title, lines }) => [`### ${title}`, '', ...lines.map((line) => `- ${escaped(line)}`)].join('\n')),
  ]);
  const head = `# What changes from ${escaped(old)} to ${escaped(now)}`;
  return `${[head, ...(parts.length ? parts : [nothingChanges])].join('\n\n')}\n`;
}

/** Text that stands in Markdown for nothing but itself: no markup, no HTML, no link, nobody called by `@`. */
export const escaped = (text: string): string =>
  text
    .replace(/\s+/g, ' ')
    .replace(/[\\`*_{}[\]<>|~&#@!$^=]|(?<=\w):(?=\/\/)|(?<=\bwww)\./gi, (sign) => `&#${sign.charCodeAt(0)};`);
