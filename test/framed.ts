/** The examples with a frame, whatever their text says of one. */
import { readFileSync } from 'node:fs';
import type { Mechanism } from '../language/mechanism.ts';
import { mechanismsIn } from './designs.ts';

const statement = /\n {2}frame \{[^}]*\}/;

export function framed(name: string, frame = 'frame { }', change = (text: string): string => text): Mechanism {
  const text = readFileSync(new URL(`../examples/${name}.lobe`, import.meta.url), 'utf8').replace(statement, '');
  return mechanismsIn(change(text.replace('\n  every segment', `\n  ${frame}\n  every segment`)))[0]!;
}
