/** What the tests of this room share: one set of services, and texts in, meaning out. */
import type { Finding, Mechanism, Place } from '../../language/mechanism.ts';
import { type Stretch, stretchOf } from '../../language/places.ts';
import { type Resolved, resolveDocument } from '../../language/resolve.ts';
import { createLobeServices, type DesignDocument, openDesign } from '../../language/services.ts';

export const services = createLobeServices();

export const uri = 'memory:/design.lobe';

const documents = new WeakMap<Resolved, DesignDocument>();

export function read(text: string, others: Readonly<Record<string, string>> = {}): DesignDocument {
  return openDesign(services, uri, (file) => (file === uri ? text : others[file]));
}

export function resolve(text: string, others: Readonly<Record<string, string>> = {}, previous?: Resolved): Resolved {
  const document = read(text, others);
  const resolved = resolveDocument(document, previous);
  documents.set(resolved, document);
  return resolved;
}

/** Where a place is in the text that was resolved. */
export const whereIs = (place: Place, resolved: Resolved): Stretch | undefined =>
  stretchOf(documents.get(resolved)!.parseResult.value, place);

/** The one mechanism of a text that holds these statements, and what was found wrong with it. */
export function mechanismOf(statements: string, rest = ''): { mechanism: Mechanism; problems: readonly Finding[] } {
  const { mechanisms, problems } = resolve(`mechanism M {\n${statements}\n}\n${rest}`);
  return { mechanism: mechanisms[0]!, problems };
}

/** A finding's code, its message and the text it stands at. */
export function told(text: string, findings: readonly Finding[], resolved: Resolved): [string, string, string][] {
  return findings.map(({ code, message, place }) => {
    const { from, to } = whereIs(place, resolved)!;
    return [code, message, text.slice(from, to)];
  });
}
