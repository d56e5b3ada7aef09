/**
 * Every message between the language server, the extension and the chart, typed, in one file.
 * Method names are `lobewright/…`; parameters and results are plain JSON.
 */
import type { Finding, Mechanism, Place } from '../language/mechanism.ts';
import type { Ghost } from './outputs/compare/ghost.ts';
import type { PreviewScene, PreviewShape } from './outputs/preview/scene.ts';
import type { SymptomPage } from './outputs/symptoms/page-data.ts';
import type { Figures } from './reckon/figures.ts';

/** A zero-based range, as in the Language Server Protocol. */
export interface TextRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** One mechanism, reckoned. */
export interface Reckoned {
  readonly mechanism: Mechanism;
  readonly figures: Figures;
  readonly findings: readonly Finding[];
}

/** What the chart of one file shows. */
export interface ChartState {
  readonly uri: string;
  /** The document version this state was reckoned from. */
  readonly version: number;
  readonly mechanisms: readonly Reckoned[];
  /**
   * Set while the text does not parse: `mechanisms` are then those of the last good text, and this says why
   * in the words of the first finding, with its place.
   */
  readonly stale?: { readonly reason: string; readonly range: TextRange };
  /** Where it was asked for: the committed version of each mechanism, or why there is none to show. */
  readonly against?: { readonly ghosts: readonly Ghost[] } | Unknown;
}

/** Why something cannot be told, in a sentence for the maker. */
export interface Unknown {
  readonly because: string;
}

/** Server → client, after each reckoning: ask again if you show this file. */
export const chartChanged = 'lobewright/chartChanged';
export interface ChartChanged {
  readonly uri: string;
  readonly version: number;
  /** The text does not parse: its chart is that of the last good text. */
  readonly stale: boolean;
}

/** Client → server: the chart of a file; null while the file is not open or holds no mechanism. */
export const chartOf = 'lobewright/chartOf';
export interface ChartOf {
  readonly uri: string;
  /** Asks for the committed version as well. */
  readonly againstCommitted?: boolean;
}
export type ChartOfResult = ChartState | null;

/** Client → server: what the text of a file changes against its committed version; null while the file is not open. */
export const comparison = 'lobewright/comparison';
export interface ComparisonOf {
  readonly uri: string;
}
export type ComparisonResult = { readonly markdown: string } | Unknown | null;

/** What the page of symptoms of one file shows. */
export interface SymptomsState extends Omit<ChartState, 'mechanisms' | 'against'> {
  readonly pages: readonly SymptomPage[];
}

/** Client → server: every fault of assembly of a file's mechanisms; null as for the chart, and asked for as that is. */
export const symptomsOf = 'lobewright/symptomsOf';
export interface SymptomsOf {
  readonly uri: string;
}
export type SymptomsOfResult = SymptomsState | null;

/** What the preview of one file shows. */
export interface PreviewState extends Omit<ChartState, 'mechanisms' | 'against'> {
  readonly mechanisms: readonly { readonly name: string; readonly title: string }[];
  /** The mechanism that was asked for, else the first. */
  readonly scene: PreviewScene;
}

/**
 * Client → server: the parts of a mechanism in space, without their shapes; null as for the chart. Answered once
 * nothing is typed for a moment.
 */
export const previewOf = 'lobewright/previewOf';
export interface PreviewOf {
  readonly uri: string;
  readonly mechanism?: string;
}
export type PreviewOfResult = PreviewState | null;

/** Client → server: shapes that a scene names; those that the newest text no longer has are left out. */
export const shapesOf = 'lobewright/shapesOf';
export interface ShapesOf {
  readonly uri: string;
  readonly mechanism: string;
  readonly shapes: readonly string[];
}
export type ShapesOfResult = readonly PreviewShape[] | null;

/** Client → server: a paper of a design, as a file holds it; null while the file is not open, or is being changed. */
export const paper = 'lobewright/paper';
export type PaperName = 'sheet' | 'cards' | 'report';
export type PaperFormat = 'html' | 'pdf' | 'text' | 'json';
export interface PaperOf {
  readonly uri: string;
  readonly name: PaperName;
  readonly format: PaperFormat;
}
export type PaperResult = { readonly text: string } | { readonly base64: string } | Unknown | null;

/** Client → server: the files of a design's parts; null while the file is not open, is being changed, or nobody waits. */
export const partFilesOf = 'lobewright/partFilesOf';
export interface PartFilesOf {
  readonly uri: string;
  /** The one of the file; null where it holds one only. */
  readonly mechanism: string | null;
  readonly formats: readonly string[];
}
export type PartFilesOfResult =
  | {
      readonly mechanism: string;
      /** How many parts there are. */
      readonly parts: number;
      readonly files: readonly { readonly name: string; readonly base64: string }[];
      /** What is worth telling; what is wrong starts with "wrong:". */
      readonly told: readonly string[];
    }
  /** There are several mechanisms: one must be named. */
  | { readonly choose: readonly string[] }
  | Unknown
  | null;

/** Server → client: what of the files of a design's parts is being done. */
export const partFilesDoing = 'lobewright/partFilesDoing';
export interface PartFilesDoing {
  readonly uri: string;
  readonly doing: string;
}

/** Client → server: where a place is in the text now; null if it is gone. */
export const whereIs = 'lobewright/whereIs';
export interface WhereIs {
  readonly place: Place;
}
export type WhereIsResult = { readonly uri: string; readonly range: TextRange } | null;

/** Client → server: what stands at a position: the mechanism and the part whose statement holds it. */
export const partAt = 'lobewright/partAt';
export interface PartAt {
  readonly uri: string;
  readonly line: number;
  readonly character: number;
}
export type PartAtResult = { readonly mechanism: string; readonly part?: string } | null;

/** Client → server: the text of one of the library's own files (`lobe-library:/…`). */
export const libraryText = 'lobewright/libraryText';
export interface LibraryText {
  readonly uri: string;
}
export type LibraryTextResult = string | null;

/**
 * Server → client: the text of a design that the server cannot read for itself (it runs in a browser, or the folder is
 * a virtual one); null if there is no such file.
 */
export const fileText = 'lobewright/fileText';
export interface FileText {
  readonly uri: string;
}
export type FileTextResult = string | null;

/** Server → client: the text of a file as it was committed last; null where the commit has no such file. */
export const committedText = 'lobewright/committedText';
export type CommittedTextResult = { readonly text: string | null } | Unknown;

// ---- extension ⇄ chart webview -------------------------------------------------------

export type ToChart =
  | { readonly type: 'state'; readonly state: ChartState | null; readonly file: string; readonly against: boolean }
  | { readonly type: 'cursor'; readonly mechanism: string; readonly part?: string };

export type FromChart =
  | { readonly type: 'ready' }
  /** A click on something: select its text and give the text the focus. */
  | { readonly type: 'select'; readonly place: Place }
  /** Hold the chart against the committed version, or no longer. */
  | { readonly type: 'against'; readonly on: boolean };

// ---- extension ⇄ webview of symptoms -------------------------------------------------

export interface ToSymptoms {
  readonly type: 'state';
  readonly state: SymptomsState | null;
  readonly file: string;
}

export interface FromSymptoms {
  readonly type: 'ready';
}

// ---- extension ⇄ webview of the preview -----------------------------------------------

export type ToPreview =
  | { readonly type: 'state'; readonly state: PreviewState | null; readonly file: string }
  | { readonly type: 'shapes'; readonly shapes: readonly PreviewShape[] }
  | { readonly type: 'cursor'; readonly mechanism: string; readonly part?: string };

export type FromPreview =
  | { readonly type: 'ready' }
  /** Shapes that the state names and the page does not hold. */
  | { readonly type: 'shapes'; readonly mechanism: string; readonly shapes: readonly string[] }
  | { readonly type: 'select'; readonly place: Place }
  /** Another mechanism of the file. */
  | { readonly type: 'choose'; readonly mechanism: string };
