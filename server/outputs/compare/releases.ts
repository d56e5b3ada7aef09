/** All releases of a design side by side: which part of which release fits in place of which. */

import type { Reckoned } from '../../protocol.ts';
import type { Blank } from '../../reckon/parts/engraving.ts';
import { fingerprintOf } from '../../reckon/parts/fingerprint.ts';
import { blanksOf } from '../../reckon/parts/parts.ts';
import { table } from '../figures.ts';
import { type Design, mechanismPairs } from './comparison.ts';
import { differencesOf } from './differences.ts';
import { pairsOf } from './fates.ts';
import { featuresOf } from './fit.ts';
import { sheetOf } from './sheet.ts';
import { escaped } from './written.ts';

/** A release as it was read, or why it was not. */
export interface Release {
  readonly name: string;
  readonly design?: Design;
  readonly because?: string;
}

/** One part in one release. */
export interface Made {
  readonly release: string;
  /** Its name there. */
  readonly name: string;
  /** Parts of one number fit in place of each other. */
  readonly fit: number;
  /** Parts of one letter are the same shape. */
  readonly shape: string;
  readonly fingerprint: string;
}

export interface Lineage {
  /** Its name in the newest release that has it. */
  readonly name: string;
  readonly kind: Blank['kind'];
  readonly made: readonly Made[];
}

export interface ReleasedMechanism {
  readonly name: string;
  readonly parts: readonly Lineage[];
}

export interface Releases {
  readonly releases: readonly { readonly name: string; readonly because?: string }[];
  readonly mechanisms: readonly ReleasedMechanism[];
}

/** A part through the releases; `fits` and `shapes` number what was met so far. */
interface Line {
  readonly kind: Blank['kind'];
  readonly made: Made[];
  readonly fits: Map<string, number>;
  readonly shapes: Map<string, { readonly fit: number; readonly letter: string }>;
}

/** A mechanism through the releases: its newest version, and the line of each of its parts. */
interface Thread {
  newest: Reckoned;
  lines: Map<Blank, Line>;
  readonly all: Line[];
}

/** `releases`: the oldest first. */
export function releasesOf(releases: readonly Release[]): Releases {
  const threads: Thread[] = [];
  for (const { name, design } of releases) {
    if (!design) continue;
    const { pairs } = mechanismPairs(
      threads.map(({ newest }) => newest),
      design.mechanisms,
    );
    for (const now of design.mechanisms) {
      const before = pairs.find(([, other]) => other === now)?.[0];
      const thread = before && threads.find(({ newest }) => newest === before);
      if (thread) goOn(thread, now, name);
      else threads.push(begun(now, name));
    }
  }
  return {
    releases: releases.map(({ name, because }) => ({ name, ...(because !== undefined && { because }) })),
    mechanisms: threads.map(({ newest, all }) => ({
      name: newest.mechanism.name,
      parts: all.map(({ kind, made }) => ({ name: made.at(-1)!.name, kind, made })),
    })),
  };
}

const partsIn = ({ mechanism, figures }: Reckoned): readonly Blank[] =>
  blanksOf(mechanism, figures, figures.stack).blanks;

function begun(now: Reckoned, release: string): Thread {
  const lines = new Map(partsIn(now).map((part) => [part, newLine(part)]));
  for (const [part, line] of lines) note(line, part, now, release);
  return { newest: now, lines, all: [...lines.values()] };
}

const newLine = ({ kind }: Blank): Line => ({ kind, made: [], fits: new Map(), shapes: new Map() });

function goOn(thread: Thread, now: Reckoned, release: string): void {
  const { matched } = differencesOf(sheetOf(thread.newest), sheetOf(now));
  const parts = partsIn(now);
  const before = pairsOf([...thread.lines.keys()], parts, matched);
  const lines = new Map<Blank, Line>();
  for (const part of parts) {
    const known = thread.lines.get(before.get(part)!);
    const line = known ?? newLine(part);
    if (!known) thread.all.push(line);
    note(line, part, now, release);
    lines.set(part, line);
  }
  // A part that is left out once may come back.
  for (const [part, line] of thread.lines) if (![...before.values()].includes(part)) lines.set(part, line);
  thread.newest = now;
  thread.lines = lines;
}

function note(line: Line, part: Blank, now: Reckoned, release: string): void {
  const fingerprint = fingerprintOf(part);
  const met = JSON.stringify(featuresOf(part, now));
  const fit = line.shapes.get(fingerprint)?.fit ?? line.fits.get(met) ?? new Set(line.fits.values()).size + 1;
  line.fits.set(met, fit);
  const shape = line.shapes.get(fingerprint) ?? { fit, letter: letterOf(line.shapes.size) };
  line.shapes.set(fingerprint, shape);
  line.made.push({ release, name: part.name, fit, shape: shape.letter, fingerprint });
}

/** a … z, aa, ab, … */
function letterOf(index: number): string {
  const letter = String.fromCharCode(97 + (index % 26));
  return index < 26 ? letter : `${letterOf(Math.floor(index / 26) - 1)}${letter}`;
}

// ---- written --------------------------------------------------------------------------------

const legend = 'The same number: one fits in place of the other. The same letter: the same shape.';

/** Why releases are left out of the table. */
const absences = ({ releases }: Releases): string[] =>
  releases.flatMap(({ name, because }) => (because === undefined ? [] : [`${name} is left out: ${because}`]));

function grid(all: Releases, { parts }: ReleasedMechanism): { heads: string[]; rows: string[][] } {
  const names = all.releases.filter(({ because }) => because === undefined).map(({ name }) => name);
  const cell = ({ made }: Lineage, release: string) => {
    const one = made.find((each) => each.release === release);
    return one ? `${one.fit}${one.shape}` : '–';
  };
  return {
    heads: ['part', ...names],
    rows: parts.map((line) => [line.name, ...names.map((release) => cell(line, release))]),
  };
}

export function releasesText(all: Releases): string {
  const tables = all.mechanisms.map((one) => {
    const { heads, rows } = grid(all, one);
    return table(one.name, heads, rows);
  });
  return `${[...tables, legend, ...absences(all)].join('\n\n')}\n`;
}

export function releasesMarkdown(all: Releases): string {
  const tables = all.mechanisms.flatMap((one) => {
    const { heads, rows } = grid(all, one);
    const line = (cells: readonly string[]) => `| ${cells.map(escaped).join(' | ')} |`;
    return [
      `## ${escaped(one.name)}`,
      [line(heads), `|${heads.map(() => ' --- |').join('')}`, ...rows.map(line)].join('\n'),
    ];
  });
  return `${['# Which part of which release fits which', ...tables, legend, ...absences(all).map(escaped)].join('\n\n')}\n`;
}

export const releasesJson = ({ releases, mechanisms }: Releases, file: string) => ({
  contract: 1,
  file,
  releases,
  mechanisms,
});
