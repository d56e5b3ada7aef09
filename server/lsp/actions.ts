/** What can be done: about a finding, fixes, each proved when it is asked for, and accepting it; at `count`, ease. */
import { type LangiumDocument, type LangiumDocuments, URI } from 'langium';
import type { CodeActionProvider } from 'langium/lsp';
import {
  type CancellationToken,
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  type Diagnostic,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { FileEdits } from '../../language/edits.ts';
import type { Design } from '../../language/generated/ast.ts';
import { keywords } from '../../language/keywords.ts';
import type { Finding, Fix } from '../../language/mechanism.ts';
import type { DesignDocument } from '../../language/services.ts';
import type { Analysis } from '../analysis.ts';
import { pages } from '../checks/index.ts';
import { easeKnown, easingText } from '../easing.ts';
import { proveAcceptance, proveWays, type Scene } from '../fixes.ts';
import { easeInShort, peakInWords } from '../outputs/ease.ts';
import { effortOf, measureOf } from '../search/effort.ts';
import type { FindingData } from './findings.ts';
import type { DesignServices } from './services.ts';

/** What an offered ease remembers: the file, the statement of the mechanism, and the version of the text. */
interface EaseData {
  readonly ease: string;
  readonly top: number;
  readonly version: number;
}

/** The longest go at a search without a pause, ms. */
const longestGo = 20;

/** More findings than this are not looked into at once. */
const most = 12;

export class DesignActions implements CodeActionProvider {
  private readonly services: DesignServices;
  private readonly documents: () => LangiumDocuments;

  constructor(services: DesignServices) {
    this.services = services;
    this.documents = () => services.shared.workspace.LangiumDocuments;
  }

  getCodeActions(document: LangiumDocument, params: CodeActionParams): CodeAction[] {
    const wanted = params.context.only ?? [CodeActionKind.QuickFix, CodeActionKind.RefactorRewrite];
    const analysis = this.services.Analyses.of(document.uri);
    const isWanted = (offered: string) => wanted.some((kind) => offered === kind || offered.startsWith(`${kind}.`));
    if (!analysis) return [];
    return [
      ...(isWanted(CodeActionKind.QuickFix) ? this.aboutFindings(document, analysis, params) : []),
      ...(isWanted(CodeActionKind.RefactorRewrite) ? this.ease(document, analysis, params) : []),
    ];
  }

  private scene(document: LangiumDocument, analysis: Analysis): Scene {
    return {
      document: document as DesignDocument,
      analysis,
      designOf: (file) => this.open(file)?.parseResult.value as Design | undefined,
      read: (file) => this.open(file)?.textDocument.getText(),
    };
  }

  private aboutFindings(
    document: LangiumDocument,
    analysis: Analysis,
    { context, range }: CodeActionParams,
  ): CodeAction[] {
    const scene = this.scene(document, analysis);
    const current = document.diagnostics ?? [];
    const here = current.filter(
      (one) => one.range.start.line <= range.end.line && one.range.end.line >= range.start.line,
    );
    return here.slice(0, most).flatMap((diagnostic) => {
      const data = diagnostic.data as FindingData | undefined;
      const finding = data && analysis.findings[data.index];
      const asked = context.diagnostics.find(
        ({ code, message }) => code === diagnostic.code && message === diagnostic.message,
      );
      return finding && asked ? [...this.fixes(finding, asked, scene), ...this.acceptance(finding, asked, scene)] : [];
    });
  }

  // ---- ease ----

  /** At `count`: what is searched only when it is chosen; its figures where that was done before. */
  private ease(document: LangiumDocument, analysis: Analysis, { range }: CodeActionParams): CodeAction[] {
    return analysis.mechanisms.flatMap(({ mechanism, figures }) => {
      const place = mechanism.count && this.services.Places.find(mechanism.count.place);
      const isHere =
        place?.uri === document.uri.toString() &&
        place.range.start.line <= range.end.line &&
        place.range.end.line >= range.start.line;
      if (!isHere || !figures.forces.cases.length) return [];
      const known = easeKnown(mechanism);
      if (known && ('because' in known || !known.after)) return [];
      const now = peakInWords({ measure: measureOf(mechanism, figures) }, effortOf(mechanism, figures, figures.forces));
      const title = known ? easeInShort(known) : `Ease the push (now ${now}): search bars, law, windows and turning …`;
      const data: EaseData = { ease: document.uri.toString(), top: mechanism.place.top, version: analysis.version };
      return [{ title, kind: CodeActionKind.RefactorRewrite, data }];
    });
  }

  /**
   * Searches for what an ease offered before is to change; other questions are answered meanwhile. Without an edit where
   * nothing is better (the client is told why), or the text is another by now.
   */
  async resolve(action: CodeAction, token: CancellationToken): Promise<CodeAction> {
    const data = action.data as Partial<EaseData> | undefined;
    const document = typeof data?.ease === 'string' ? this.open(data.ease) : undefined;
    const analysis = document && this.services.Analyses.of(document.uri);
    const { window } = this.services.shared.lsp.Connection ?? {};
    const mechanism = analysis?.resolved.mechanisms.find(({ place }) => place.top === data?.top);
    const isStale = () => document?.textDocument.version !== data?.version || token.isCancellationRequested;
    if (!document || !analysis || !mechanism || analysis.version !== data?.version) return action;
    const progress = await window?.createWorkDoneProgress().catch(() => undefined);
    progress?.begin('Easing the push', 0, undefined, true);
    try {
      const steps = easingText(mechanism, this.scene(document, analysis));
      for (;;) {
        const until = performance.now() + longestGo;
        let step = steps.next();
        while (!step.done && performance.now() < until) step = steps.next();
        if (step.done) {
          const { eased, files } = step.value;
          if (files.length && !('because' in eased))
            return { ...action, title: easeInShort(eased), edit: this.edit(files) };
          window?.showInformationMessage(
            'because' in eased
              ? `The push cannot be eased: ${eased.because}`
              : 'Nothing that was tried needs a lower push and passes all checks.',
          );
          return action;
        }
        progress?.report(Math.round(step.value * 100));
        await new Promise((resolve) => setTimeout(resolve, 0));
        if (isStale() || progress?.token.isCancellationRequested) return action;
      }
    } finally {
      progress?.done();
    }
  }

  private open(file: string): LangiumDocument | undefined {
    return this.documents().getDocument(URI.parse(file));
  }

  private fixes(finding: Finding, diagnostic: Diagnostic, scene: Scene): CodeAction[] {
    const proved = finding.fixes.flatMap((fix) => proveWays(finding, fix, scene));
    return proved.map(({ title, files }, i) => ({
      title,
      kind: CodeActionKind.QuickFix,
      diagnostics: [diagnostic],
      isPreferred: i === 0,
      edit: this.edit(files),
    }));
  }

  /** An `accept` statement for the finding, with room for the maker's reason: on the chief part where that is enough. */
  private acceptance(finding: Finding, diagnostic: Diagnostic, scene: Scene): CodeAction[] {
    if (!pages.some(({ code }) => code === finding.code)) return [];
    const chief = finding.about[0];
    const on = chief && /^[\p{L}_][\p{L}\d_]*$/u.test(chief) && !keywords.has(chief) ? [` on ${chief}`, ''] : [''];
    for (const where of on) {
      const statement = `accept ${finding.code}${where} "because …"`;
      const fix: Fix = { title: `Accept this finding (${finding.code}) …`, changes: [{ do: 'add', statement }] };
      const proved = proveAcceptance(finding, fix, scene);
      if (!proved) continue;
      const { title, files } = proved;
      return [{ title, kind: CodeActionKind.QuickFix, diagnostics: [diagnostic], edit: this.edit(files) }];
    }
    return [];
  }

  private edit(files: readonly FileEdits[]): WorkspaceEdit {
    const changes = files.flatMap(({ file, edits }) => {
      const text = this.open(file)?.textDocument;
      if (!text) return [];
      const written = edits.map(({ from, to, text: newText }) => ({
        range: { start: text.positionAt(from), end: text.positionAt(to) },
        newText,
      }));
      return [[file, written] as const];
    });
    return { changes: Object.fromEntries(changes) };
  }
}
