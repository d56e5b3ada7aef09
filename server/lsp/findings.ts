/** Findings as the editor shows them. */
import type { DocumentValidator } from 'langium';
import { Cancellation, type LangiumDocument } from 'langium';
import { type Diagnostic, DiagnosticSeverity, DiagnosticTag } from 'vscode-languageserver';
import type { Finding, Severity } from '../../language/mechanism.ts';
import type { DesignDocument } from '../../language/services.ts';
import type { DesignServices } from './services.ts';

const severities: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** Hints about what could be left out are shown faded. */
const needless = new Set(['needless-cam', 'needless-accept', 'unused-segment']);

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
    const analysis = await this.services.Analyses.renew(document as DesignDocument, token);
    return analysis.findings.flatMap((finding, index) =>
      finding.accepted === undefined ? (this.diagnostic(finding, index) ?? []) : [],
    );
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
