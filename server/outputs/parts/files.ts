/** The files of printed parts in the formats asked for, and what is found wrong with the parts as they were generated. */
import type { Manifold } from 'manifold-3d';
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../../reckon/figures.ts';
import { degrees } from '../../reckon/motion/angles.ts';
import { largeInWords, largePartsOf } from '../../reckon/parts/bed.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { type Parts, processesOf } from '../../reckon/parts/parts.ts';
import { threeMfOf } from './3mf.ts';
import { laidOut } from './beds.ts';
import { camCsv } from './csv.ts';
import { dxfOf } from './dxf.ts';
import { bedFiles, fileNames } from './file-names.ts';
import type { Format } from './formats.ts';
import { type FiledBed, listCsv, listJson, listMarkdown, partsList } from './list.ts';
import { meetingsOf, type Sectioned } from './meetings.ts';
import { type Mesh, meshOf } from './mesh.ts';
import { sectionsOf } from './sections.ts';
import { type Kernel, solidFrom } from './solids.ts';
import { faultsOf } from './soundness.ts';
import { stepOf } from './step.ts';
import { stlOf } from './stl.ts';
import { svgOf } from './svg.ts';

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
 * nothing but time. The parts' solids are given back to the kernel however it ends.
 */
export async function* partFiles(kernel: Kernel, wanted: Wanted): AsyncGenerator<Doing, PartFiles> {
  const { mechanism, figures, all, parts, formats: kinds } = wanted;
  const files = new Map<string, Uint8Array>();
  const told: string[] = [];
  const [own, ...stems] = fileNames([mechanism.name, ...all.parts.map(({ name }) => name)]);
  const put = (name: string, content: string | Uint8Array) =>
    files.set(name, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  const solids = new Map<PrintedPart, Manifold>();
  const meshes = new Map<PrintedPart, Mesh>();
  const beds: FiledBed[] = [];
  const processes = processesOf(mechanism);
  try {
    for (const [i, part] of parts.entries()) {
      yield `${part.name} (${i + 1} of ${parts.length})`;
      const stem = stems[all.parts.indexOf(part)];
      const mesh = meshOf(kernel, part);
      const solid = solidFrom(kernel, mesh);
      solids.set(part, solid);
      for (const { because } of faultsOf(kernel, part, solid, processes.get(part.process)!))
        told.push(`wrong: ${because}`);
      if (kinds.includes('3mf')) meshes.set(part, mesh);
      if (kinds.includes('stl')) put(`${stem}.stl`, stlOf(part, mesh));
      if (kinds.includes('step')) put(`${stem}.step`, stepOf(part, mechanism.about));
      if (kinds.includes('dxf')) put(`${stem}.dxf`, await dxfOf(part));
      if (kinds.includes('svg')) put(`${stem}.svg`, svgOf(part));
      if (kinds.includes('csv') && part.kind === 'cam') {
        const csv = camCsv(mechanism, figures, part.name);
        if (typeof csv === 'string') put(`${stem}.csv`, csv);
        else told.push(`no csv of ${part.name}: ${csv.because}`);
      }
    }
    if (kinds.includes('3mf') && parts.length > 0) {
      const laid = laidOut(parts, processes);
      const names = bedFiles(own, laid.length);
      for (const [i, bed] of laid.entries()) {
        yield `bed ${i + 1} of ${laid.length}`;
        put(
          names[i],
          threeMfOf(bed.laid, (part) => meshes.get(part)!, mechanism.about),
        );
        beds.push({ ...bed, file: names[i] });
      }
      if (beds.length > 1)
        told.push(
          `the parts lie on ${beds.length} beds, a file for each: ${names.join(', ')}; parts.md tells which where`,
        );
      told.push(...largePartsOf(mechanism, parts).map(largeInWords));
    }
    if (!wanted.unchecked) {
      const made = all.parts.map((part) => {
        const solid = solids.get(part) ?? solidFrom(kernel, meshOf(kernel, part));
        solids.set(part, solid);
        return { part, sections: sectionsOf(part, solid) };
      });
      told.push(...(yield* overATurn(mechanism, figures, made)));
    }
  } finally {
    for (const solid of solids.values()) solid.delete();
  }
  const list = partsList(mechanism, all, beds);
  put('parts.csv', listCsv(list));
  put('parts.md', listMarkdown(mechanism.about.title ?? mechanism.name, list));
  put('parts.json', listJson(mechanism.name, list));
  told.push(...all.missing.map(({ because }) => `not made: ${because}`));
  told.push(...all.unmarked.map(({ because }) => `not engraved: ${because}`));
  return { files, told };
}

async function* overATurn(
  m: Mechanism,
  figures: MotionFigures,
  made: readonly Sectioned[],
): AsyncGenerator<Doing, string[]> {
  const clearance = m.process.clearance.value;
  const steps = meetingsOf(m, figures, made, clearance);
  for (;;) {
    const { done, value } = steps.next();
    if (!done) {
      yield `full turn, ${Math.round(100 * value)} %`;
      continue;
    }
    return value.flatMap(({ parts: names, gap, turn, contact, along }) => {
      if (along) {
        const how = gap < 1e-6 ? 'lie on each other' : `come within ${gap.toFixed(2)} mm of each other`;
        return gap < clearance - 0.05 ? [`near: ${names.join(' and ')} ${how} along the shafts`] : [];
      }
      const when = `at ${degrees(turn).toFixed(1)}° of the leading shaft`;
      if (gap < (contact ? -0.05 : -0.02))
        return [`wrong: ${names.join(' and ')} enter each other by ${(-gap).toFixed(2)} mm ${when}`];
      if (!contact && gap < clearance - 0.05)
        return [`near: ${names.join(' and ')} come within ${Math.max(0, gap).toFixed(2)} mm ${when}`];
      return [];
    });
  }
}
