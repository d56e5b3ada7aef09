/** The files of a design's parts for the editor to write. What makes them is large, and loaded when they are asked for. */
import type { Analysis } from '../analysis.ts';
import { type Format, formats } from '../outputs/parts/formats.ts';
import type * as Maker from '../outputs/parts/maker.ts';
import type { PartFilesOf, PartFilesOfResult } from '../protocol.ts';
import { partsInSteps } from '../reckon/parts/parts.ts';
import { inGoes, rest } from './goes.ts';

/** Loads what makes files of parts. */
export type PartsMaker = () => typeof Maker;

export interface PartsSupply {
  /** Reckoned finely. */
  readonly analysis: Analysis;
  readonly make?: PartsMaker;
  readonly isWanted: () => boolean;
  readonly tell: (doing: string) => void;
}

export async function partFilesOf(asked: PartFilesOf, supply: PartsSupply): Promise<PartFilesOfResult> {
  const { mechanisms, broken } = supply.analysis;
  if (broken) return { because: broken.message };
  if (mechanisms.length === 0) return { because: 'The design holds no mechanism.' };
  if (!supply.make)
    return { because: 'A browser makes no parts: the desktop editor does, and so does "lobewright export".' };
  const wanted = formats.filter((format) => Array.isArray(asked.formats) && asked.formats.includes(format));
  if (wanted.length === 0) return { because: `There is no such format; there are ${formats.join(', ')}.` };
  const named = mechanisms.filter(({ mechanism }) => asked.mechanism === null || mechanism.name === asked.mechanism);
  if (named.length !== 1) return { choose: mechanisms.map(({ mechanism }) => mechanism.name) };
  return made(named[0], wanted, supply.make, supply);
}

async function made(
  { mechanism, figures }: Analysis['mechanisms'][number],
  wanted: readonly Format[],
  make: PartsMaker,
  { isWanted, tell }: PartsSupply,
): Promise<PartFilesOfResult> {
  const all = await inGoes(partsInSteps(mechanism, figures, figures.stack), isWanted);
  if (!all) return null;
  const { alone, partFiles } = make();
  const steps = partFiles(alone, { mechanism, figures, all, parts: all.parts, formats: wanted });
  for (;;) {
    const { done, value } = await steps.next();
    if (done) {
      const files = [...value.files].map(([name, bytes]) => ({ name, base64: Buffer.from(bytes).toString('base64') }));
      return { mechanism: mechanism.name, parts: all.parts.length, files, told: value.told };
    }
    tell(value);
    await rest(0);
    if (isWanted()) continue;
    await steps.return(undefined as never);
    return null;
  }
}
