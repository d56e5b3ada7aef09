/** One printed part as it is made, by itself: its surface, what is wrong with it, its files, its sections. */
import type { Mechanism, Process } from '../../../language/mechanism.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { dxfOf } from './dxf.ts';
import type { Format } from './formats.ts';
import { type Mesh, meshOf } from './mesh.ts';
import { type Section, sectionsOf } from './sections.ts';
import { faultsOf } from './soundness.ts';
import { stepOf } from './step.ts';
import { stlOf } from './stl.ts';
import { svgOf } from './svg.ts';

/** A part to make. Plain data, as what is made of it: both may be handed to another thread. */
export interface PartToMake {
  readonly part: PrintedPart;
  readonly process: Process;
  readonly about: Mechanism['about'];
  /** Nothing is written of a part without any, and nothing said: it is only to be looked at with others. */
  readonly formats: readonly Format[];
  /** Whether it is to be looked at over a turn. */
  readonly turned: boolean;
}

export interface MadePart {
  readonly faults: readonly string[];
  /** Whole files, by their endings. */
  readonly files: readonly (readonly [Format, string | Uint8Array])[];
  /** Of a part that goes into a file with others. */
  readonly mesh?: Mesh;
  readonly sections?: readonly Section[];
}

/** Throws as `meshOf` does. */
export async function madePart(task: PartToMake): Promise<MadePart> {
  const { part, process, about, formats: kinds, turned } = task;
  const mesh = meshOf(part);
  const files: [Format, string | Uint8Array][] = [];
  if (kinds.includes('stl')) files.push(['stl', stlOf(part, mesh)]);
  if (kinds.includes('step')) files.push(['step', stepOf(part, about)]);
  if (kinds.includes('dxf')) files.push(['dxf', await dxfOf(part)]);
  if (kinds.includes('svg')) files.push(['svg', svgOf(part)]);
  return {
    faults: kinds.length > 0 ? faultsOf(part, mesh, process).map(({ because }) => because) : [],
    files,
    ...(kinds.includes('3mf') && { mesh }),
    ...(turned && { sections: sectionsOf(part, mesh) }),
  };
}
