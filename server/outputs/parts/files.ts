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
import type { MadePart } from './making.ts';
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
  const { mechanism, figures, all, parts } = wanted;
  const files = new Map<string, Uint8Array>();
  const told: string[] = [];
  const put = (name: string, content: string | Uint8Array) =>
    files.set(name, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  const [own, ...stems] = fileNames([mechanism.name, ...all.parts.map(({ name }) => name)]);
  const made = yield* everyMade(crew, wanted);
  for (const part of parts) {
    const { faults, files: contents } = made.get(part)!;
    const stem = stems[all.parts.indexOf(part)];
    const csv = csvOf(wanted, part);
    for (const [format, content] of [...contents, ...csv.files]) put(`${stem}.${format}`, content);
    told.push(...faults.map((because) => `wrong: ${because}`), ...csv.told);
  }
  const clearance = mechanism.process.clearance.value;
  const turned = [...made].flatMap(([part, { sections }]) => (sections ? [{ part, sections }] : []));
  const pairs = pairsOf(mechanism, figures, turned, clearance);
  // Others begin with them at once.
  const looking = crew('look', pairs);
  const beds = yield* filledBeds(wanted, made, own);
  for (const { file, bytes } of beds) put(file, bytes);
  if (beds.length > 1) {
    const names = beds.map(({ file }) => file).join(', ');
    told.push(`the parts lie on ${beds.length} beds, a file for each: ${names}; parts.md tells which where`);
  }
  if (beds.length > 0) told.push(...largePartsOf(mechanism, parts).map(largeInWords));
  const list = partsList(mechanism, all, beds);
  put('parts.csv', listCsv(list));
  put('parts.md', listMarkdown(mechanism.about.title ?? mechanism.name, list));
  put('parts.json', listJson(mechanism.name, list));
  const met = yield* inWords(looking, (done) => `full turn, ${Math.round((100 * done) / pairs.length)} %`);
  told.push(
    ...met.flat().flatMap((meeting) => metInWords(meeting, clearance)),
    ...all.missing.map(({ because }) => `not made: ${because}`),
    ...all.unmarked.map(({ because }) => `not engraved: ${because}`),
  );
  return { files, told };
}

type Made = ReadonlyMap<PrintedPart, MadePart>;

/** The parts that are written; where all are looked at over a turn, the others too. */
async function* everyMade(
  crew: Crew,
  { mechanism, all, parts, formats, unchecked }: Wanted,
): AsyncGenerator<Doing, Made> {
  const processes = processesOf(mechanism);
  const asked = new Set(parts);
  const built = unchecked ? parts : all.parts;
  const tasks = built.map((part) => ({
    part,
    process: processes.get(part.process)!,
    about: mechanism.about,
    formats: asked.has(part) ? formats : [],
    turned: !unchecked,
  }));
  const made = yield* inWords(
    crew('make', tasks),
    (done) => `${built[Math.min(done, built.length - 1)].name} (${done + 1} of ${built.length})`,
  );
  return new Map(built.map((part, i) => [part, made[i]]));
}

/** Of a cam, where it is asked for: its lift and profile; or why there is none. */
function csvOf({ mechanism, figures, formats }: Wanted, { kind, name }: PrintedPart) {
  const csv = formats.includes('csv') && kind === 'cam' ? camCsv(mechanism, figures, name) : undefined;
  return {
    files: typeof csv === 'string' ? [['csv', csv] as const] : [],
    told: typeof csv === 'object' ? [`no csv of ${name}: ${csv.because}`] : [],
  };
}

type FilledBed = FiledBed & { readonly bytes: Uint8Array };

/** Where parts are laid on beds: each with its file. */
function* filledBeds({ mechanism, parts, formats }: Wanted, made: Made, own: string): Generator<Doing, FilledBed[]> {
  const laid = formats.includes('3mf') ? laidOut(parts, processesOf(mechanism)) : [];
  const names = bedFiles(own, laid.length);
  const beds: FilledBed[] = [];
  for (const [i, bed] of laid.entries()) {
    yield `bed ${i + 1} of ${laid.length}`;
    const bytes = threeMfOf(bed.laid, (part) => made.get(part)!.mesh!, mechanism.about);
    beds.push({ ...bed, file: names[i], bytes });
  }
  return beds;
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
