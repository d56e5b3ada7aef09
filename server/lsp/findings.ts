/** Findings as the editor shows them. */
import type { DocumentValidator } from 'langium';
import { Cancellation, isOperationCancelled, type LangiumDocument } from 'langium';
import { type Diagnostic, DiagnosticSeverity, DiagnosticTag } from 'vscode-languageserver';
import type { Finding, Severity } from '../../language/mechanism.ts';
import type { DesignDocument } from '../../language/services.ts';
import type { Analysis } from '../analysis.ts';
import type { DesignServices } from './services.ts';

const severities: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** Hints about what could be left out are shown faded. */
const needless = new Set(['needless-cam', 'needless-accept', 'unused-segment']);

/** Findings of one file that are shown at most: as many as editors show, and no flood for the others. */
const mostShown = 1000;

/** What a diagnostic carries for the action that mends it: which of the text's findings it is. */
export interface FindingData {
  readonly code: string;
  readonly index: number;
}

/** Reads a text's whole way in place of the parser library's checks. */
export class DesignValidator implements DocumentValidator {
  private readonly services: DesignServices;

  constructor(services: DesignServices) {
    this.services = services;
  }

  async validateDocument(
    document: LangiumDocument,
    _options?: unknown,
    token = Cancellation.CancellationToken.None,
  ): Promise<Diagnostic[]> {
    try {
      const analysis = await this.services.Analyses.renew(document as DesignDocument, token);
      return this.diagnosticsOf(analysis);
    } catch (failure) {
      if (isOperationCancelled(failure)) throw failure;
      console.error('Reckoning failed:', failure);
      return [ourMistake(failure)];
    }
  }

  diagnosticsOf({ findings }: Analysis): Diagnostic[] {
    const open = findings.flatMap((finding, index) => (finding.accepted === undefined ? [{ finding, index }] : []));
    const shown = open.length > mostShown ? gravest(open) : open;
    return shown.flatMap(({ finding, index }) => this.diagnostic(finding, index) ?? []);
  }

  private diagnostic(finding: Finding, index: number): Diagnostic | undefined {
    const { Places, Settings } = this.services;
    const found = Places.find(finding.place);
    if (!found) return undefined;
    const { code, severity, message } = finding;
    const href = Settings.pageOf(code);
    return {
      range: found.range,
      severity: severities[severity],
      code,
      ...(href && { codeDescription: { href } }),
      source: 'lobewright',
      message,
      ...(needless.has(code) && { tags: [DiagnosticTag.Unnecessary] }),
      relatedInformation: finding.related.flatMap(({ place, message }) => {
        const location = Places.find(place);
        return location ? [{ location, message }] : [];
      }),
      data: { code, index } satisfies FindingData,
    };
  }
}

/** The gravest of too many findings, in the order of the text; the last says that there are more. */
function gravest<F extends { readonly finding: Finding; readonly index: number }>(findings: readonly F[]): F[] {
  const shown = [...findings]
    .sort((a, b) => severities[a.finding.severity] - severities[b.finding.severity] || a.index - b.index)
    .slice(0, mostShown)
    .sort((a, b) => a.index - b.index);
  const last = shown.pop()!;
  const message = `${last.finding.message}; there are ${findings.length - mostShown} more findings`;
  return [...shown, { ...last, finding: { ...last.finding, message } }];
}

/** Told at the head of a text that could not be reckoned through no fault of the maker's. */
function ourMistake(failure: unknown): Diagnostic {
  const start = { line: 0, character: 0 };
  const reason = failure instanceof Error ? failure.message : String(failure);
  return {
    range: { start, end: start },
    severity: DiagnosticSeverity.Error,
    source: 'lobewright',
    message: `this file could not be reckoned; the mistake is Lobewright's, please report it: ${reason}`,
  };
}
