/** The files of printed parts in the formats asked for, and what is found wrong with the parts as they were generated. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../../reckon/figures.ts';
import { degrees } from '../../reckon/motion/angles.ts';
import { largeInWords, largePartsOf } from '../../reckon/parts/bed.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { type Parts, processesOf } from '../../reckon/parts/parts.ts';
import { threeMfOf } from './3mf.ts';
import { laidOut } from './beds.ts';
import type { Crew } from './crew.ts';
import { camCsv } from './csv.ts';
import { bedFiles, fileNames } from './file-names.ts';
import type { Format } from './formats.ts';
import { type FiledBed, listCsv, listJson, listMarkdown, partsList } from './list.ts';
import { type Meeting, pairsOf } from './meetings.ts';

export interface Wanted {
  readonly mechanism: Mechanism;
  readonly figures: MotionFigures;
  readonly all: Parts;
  /** Those of them that are written. */
  readonly parts: readonly PrintedPart[];
  readonly formats: readonly Format[];
  /** Without a look at what meets over a full turn. */
  readonly unchecked?: boolean;
}

export interface PartFiles {
  /** By name, without folders. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** What is worth telling, in a maker's words; what is wrong starts with "wrong:". */
  readonly told: readonly string[];
}

/** What is done next, in words. */
export type Doing = string;

/**
 * The files, their list among them. Yields before every part and pair of parts; whoever leaves off there has lost
 * nothing but time.
 */
export async function* partFiles(crew: Crew, wanted: Wanted): AsyncGenerator<Doing, PartFiles> {
  const { mechanism, figures, all, parts, formats: kinds } = wanted;
  const files = new Map<string, Uint8Array>();
  const told: string[] = [];
  const [own, ...stems] = fileNames([mechanism.name, ...all.parts.map(({ name }) => name)]);
  const put = (name: string, content: string | Uint8Array) =>
    files.set(name, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  const processes = processesOf(mechanism);
  const asked = new Set(parts);
  const built = wanted.unchecked ? parts : all.parts;
  const made = yield* inWords(
    crew(
      'make',
      built.map((part) => ({
        part,
        process: processes.get(part.process)!,
        about: mechanism.about,
        formats: asked.has(part) ? kinds : [],
        turned: !wanted.unchecked,
      })),
    ),
    (done) => `${built[Math.min(done, built.length - 1)].name} (${done + 1} of ${built.length})`,
  );
  const madeOf = new Map(built.map((part, i) => [part, made[i]]));
  for (const part of parts) {
    const stem = stems[all.parts.indexOf(part)];
    const { faults, files: own } = madeOf.get(part)!;
    told.push(...faults.map((because) => `wrong: ${because}`));
    for (const [format, content] of own) put(`${stem}.${format}`, content);
    if (!kinds.includes('csv') || part.kind !== 'cam') continue;
    const csv = camCsv(mechanism, figures, part.name);
    if (typeof csv === 'string') put(`${stem}.csv`, csv);
    else told.push(`no csv of ${part.name}: ${csv.because}`);
  }
  const clearance = mechanism.process.clearance.value;
  const pairs = wanted.unchecked
    ? []
    : pairsOf(
        mechanism,
        figures,
        built.map((part) => ({ part, sections: madeOf.get(part)!.sections! })),
        clearance,
      );
  // Others begin with them at once.
  const looking = crew('look', pairs);
  const laid = kinds.includes('3mf') ? laidOut(parts, processes) : [];
  const names = bedFiles(own, laid.length);
  const beds: FiledBed[] = laid.map((bed, i) => ({ ...bed, file: names[i] }));
  for (const [i, bed] of beds.entries()) {
    yield `bed ${i + 1} of ${beds.length}`;
    put(
      bed.file,
      threeMfOf(bed.laid, (part) => madeOf.get(part)!.mesh!, mechanism.about),
    );
  }
  if (beds.length > 1)
    told.push(`the parts lie on ${beds.length} beds, a file for each: ${names.join(', ')}; parts.md tells which where`);
  if (kinds.includes('3mf')) told.push(...largePartsOf(mechanism, parts).map(largeInWords));
  const list = partsList(mechanism, all, beds);
  put('parts.csv', listCsv(list));
  put('parts.md', listMarkdown(mechanism.about.title ?? mechanism.name, list));
  put('parts.json', listJson(mechanism.name, list));
  const met = yield* inWords(looking, (done) => `full turn, ${Math.round((100 * done) / pairs.length)} %`);
  told.push(...met.flat().flatMap((meeting) => metInWords(meeting, clearance)));
  told.push(...all.missing.map(({ because }) => `not made: ${because}`));
  told.push(...all.unmarked.map(({ because }) => `not engraved: ${because}`));
  return { files, told };
}

/** The same work, its progress in words. */
async function* inWords<Done>(
  steps: AsyncGenerator<number, Done>,
  words: (done: number) => Doing,
): AsyncGenerator<Doing, Done> {
  try {
    for (;;) {
      const { done, value } = await steps.next();
      if (done) return value;
      yield words(value);
    }
  } finally {
    await steps.return(undefined as never);
  }
}

function metInWords({ parts, gap, turn, contact, along }: Meeting, clearance: number): string[] {
  const both = parts.join(' and ');
  if (along) {
    const how = gap < 1e-6 ? 'lie on each other' : `come within ${gap.toFixed(2)} mm of each other`;
    return gap < clearance - 0.05 ? [`near: ${both} ${how} along the shafts`] : [];
  }
  const when = `at ${degrees(turn).toFixed(1)}° of the leading shaft`;
  if (gap < (contact ? -0.05 : -0.02)) return [`wrong: ${both} enter each other by ${(-gap).toFixed(2)} mm ${when}`];
  if (!contact && gap < clearance - 0.05)
    return [`near: ${both} come within ${Math.max(0, gap).toFixed(2)} mm ${when}`];
  return [];
}
