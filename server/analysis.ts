/**
 * One text's whole way: what is wrong with the text, what its mechanisms mean, what is reckoned of them, what the
 * checks find. Pure: a linked document in, plain data out. What is reckoned of a mechanism is kept on that object,
 * which stays the same while its text does: so a keystroke costs one mechanism, not forty.
 */
import type { LangiumDocuments } from 'langium';
import { URI } from 'langium';
import type { Finding, Mechanism, Place } from '../language/mechanism.ts';
import { stretchOf } from '../language/places.ts';
import { readsWhole, textFindings } from '../language/problems.ts';
import { type Resolved, resolveDocument } from '../language/resolve.ts';
import type { DesignDocument } from '../language/services.ts';
import { finding } from './checks/index.ts';
import type { Reckoned } from './protocol.ts';
import type { Early, Figures } from './reckon/figures.ts';
import { built, reckoning, refined } from './reckon/figures.ts';
import { finished } from './reckon/pausing.ts';

export interface Analysis {
  /** The file, as a URI. */
  readonly file: string;
  readonly version: number;
  readonly resolved: Resolved;
  readonly mechanisms: readonly Reckoned[];
  /** What is wrong with the text itself. */
  readonly problems: readonly Finding[];
  /** Of the text, of its meaning and of the checks, in the order of the text. */
  readonly findings: readonly Finding[];
  /** The first finding that keeps the text from being read whole. */
  readonly broken?: Finding;
}

/** A stretch of a file's text, by offsets. */
export interface Stretch {
  readonly file: string;
  readonly from: number;
  readonly to: number;
}

/** Findings of a text that could not be read whole. */
const unreadable = new Set(['unreadable-text', 'unexpected-text', 'deep-nesting']);

const kept = new WeakMap<Mechanism, Reckoned>();

/** A mechanism with its figures and findings, reckoned once: what meets coarsely, unless it has been refined. */
function* reckoned(mechanism: Mechanism): Generator<void, Reckoned> {
  return kept.get(mechanism) ?? (yield* keep(mechanism, yield* reckoning(mechanism)));
}

/** The same, refined at once. */
const wholly = (early?: Early) =>
  function* (mechanism: Mechanism): Generator<void, Reckoned> {
    const known = kept.get(mechanism);
    if (known) early?.(mechanism, known.figures, known.figures.stack);
    const figures = known?.figures ?? (yield* reckoning(mechanism, 'fine', early));
    return known && isFine(known) ? known : yield* keep(mechanism, yield* refined(mechanism, figures));
  };

function* keep(mechanism: Mechanism, figures: Figures): Generator<void, Reckoned> {
  const known = { mechanism, figures, findings: yield* finding(mechanism, figures) };
  kept.set(mechanism, known);
  return known;
}

const isFine = ({ figures }: Reckoned): boolean => figures.encounters.grid === 'fine';

/** Analyses a linked document; pauses often, so that others may have the processor. `reckon`: how each mechanism is reckoned. */
export function* analysing(
  document: DesignDocument,
  documents: LangiumDocuments,
  previous?: Analysis,
  reckon = reckoned,
): Generator<void, Analysis> {
  const problems = textFindings(document, documents);
  const resolved = resolveDocument(document, previous?.resolved);
  const mechanisms: Reckoned[] = [];
  for (const mechanism of resolved.mechanisms) {
    yield;
    mechanisms.push(yield* reckon(mechanism));
  }
  const broken = readsWhole(document) ? undefined : problems.find(({ code }) => unreadable.has(code));
  return {
    file: document.uri.toString(),
    version: document.textDocument.version,
    resolved,
    mechanisms,
    problems,
    findings: allFindings(document, problems, resolved, mechanisms),
    ...(broken && { broken }),
  };
}

/** The analysis with what meets reckoned finely; itself, where that is done. Pauses often. */
export function* refining(analysis: Analysis, document: DesignDocument): Generator<void, Analysis> {
  if (analysis.mechanisms.every(isFine)) return analysis;
  const mechanisms: Reckoned[] = [];
  for (const { mechanism } of analysis.mechanisms) {
    const known = yield* reckoned(mechanism);
    mechanisms.push(isFine(known) ? known : yield* keep(mechanism, yield* refined(mechanism, known.figures)));
  }
  const { problems, resolved } = analysis;
  return { ...analysis, mechanisms, findings: allFindings(document, problems, resolved, mechanisms) };
}

/** The analysis with random builds, which no finding needs; itself, where that is done. Pauses often. */
export function* building(analysis: Analysis): Generator<void, Analysis> {
  const isBuilt = ({ figures }: Reckoned) => 'builds' in figures;
  if (analysis.mechanisms.every(isBuilt)) return analysis;
  const mechanisms: Reckoned[] = [];
  for (const { mechanism } of analysis.mechanisms) {
    const known = yield* reckoned(mechanism);
    const whole = isBuilt(known) ? known : { ...known, figures: yield* built(mechanism, known.figures) };
    kept.set(mechanism, whole);
    mechanisms.push(whole);
  }
  return { ...analysis, mechanisms };
}

/** The same, finely at once. */
export const analysingFinely = (document: DesignDocument, documents: LangiumDocuments, previous?: Analysis) =>
  analysing(document, documents, previous, wholly());

/** The whole way in one go, finely. */
export const analyse = (document: DesignDocument, documents: LangiumDocuments, early?: Early): Analysis =>
  finished(analysing(document, documents, undefined, wholly(early)));

function allFindings(
  document: DesignDocument,
  problems: readonly Finding[],
  resolved: Resolved,
  mechanisms: readonly Reckoned[],
): Finding[] {
  return inOrder([...problems, ...resolved.problems, ...mechanisms.flatMap(({ findings }) => findings)], document);
}

function inOrder(findings: readonly Finding[], document: DesignDocument): Finding[] {
  const at = new Map(findings.map((finding) => [finding, stretchOf(document.parseResult.value, finding.place)]));
  const compare = (a: Finding, b: Finding): number => {
    const [one, other] = [at.get(a), at.get(b)];
    return (
      (one?.from ?? 0) - (other?.from ?? 0) ||
      (one?.to ?? 0) - (other?.to ?? 0) ||
      (a.code < b.code ? -1 : a.code > b.code ? 1 : a.message < b.message ? -1 : a.message > b.message ? 1 : 0)
    );
  };
  return [...findings].sort(compare);
}

/** Where a place is in the text of its file now; undefined if the file or the statement is gone. */
export function locate(place: Place, documents: LangiumDocuments): Stretch | undefined {
  const document = documents.getDocument(URI.parse(place.file)) as DesignDocument | undefined;
  const stretch = document && stretchOf(document.parseResult.value, place);
  return stretch && { file: place.file, from: stretch.from, to: stretch.to };
}
