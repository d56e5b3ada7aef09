/** Designs read from their text, for tests of what comes after it. */
import { readFileSync } from 'node:fs';
import type { Mechanism } from '../language/mechanism.ts';
import { resolveDocument } from '../language/resolve.ts';
import { createLobeServices, readDesign } from '../language/services.ts';

const services = createLobeServices();

export const mechanismsIn = (text: string): readonly Mechanism[] =>
  resolveDocument(readDesign(services, text)).mechanisms;

/** The mechanisms of one of the examples. */
export const example = (name: string): readonly Mechanism[] =>
  mechanismsIn(readFileSync(new URL(`../examples/${name}.lobe`, import.meta.url), 'utf8'));
