/** Designs taken the whole way, for tests of the chart. */
import { readFileSync } from 'node:fs';
import { createLobeServices, readDesign } from '../../../../language/services.ts';
import { analyse } from '../../../../server/analysis.ts';
import type { Reckoned } from '../../../../server/protocol.ts';

const services = createLobeServices();

export function reckonedAll(text: string): readonly Reckoned[] {
  return analyse(readDesign(services, text), services.shared.workspace.LangiumDocuments).mechanisms;
}

export const example = (name: string): string => readFileSync(`examples/${name}.lobe`, 'utf8');

export const examples = [
  'berth-sign',
  'lock-countdown',
  'pier-flag',
  'score-tally',
  'signal-box',
  'weir-gauge',
  'wrong-on-purpose',
];

export const reckonedExample = (name: string): Reckoned => reckonedAll(example(name))[0];

/** The berth sign with changes to its text; each must change something. */
export function berthSign(...changes: readonly (readonly [string, string])[]): Reckoned {
  let text = example('berth-sign');
  for (const [from, to] of changes) {
    if (!text.includes(from)) throw new Error(`the berth sign does not say "${from}"`);
    text = text.replace(from, to);
  }
  return reckonedAll(text)[0];
}
