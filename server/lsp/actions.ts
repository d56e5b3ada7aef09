/** What can be done about a finding: fixes, each proved when it is asked for, and accepting it. */
import { type LangiumDocument, type LangiumDocuments, URI } from 'langium';
import type { CodeActionProvider } from 'langium/lsp';
import {
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
import { pages } from '../checks/index.ts';
import { proveFix, proveWays, type Scene } from '../fixes.ts';
import type { FindingData } from './findings.ts';
import type { DesignServices } from './services.ts';

/** More findings than this are not looked into at once. */
const most = 12;

export class DesignActions implements CodeActionProvider {
  private readonly services: DesignServices;
  private readonly documents: () => LangiumDocuments;

  constructor(services: DesignServices) {
    this.services = services;
    this.documents = () => services.shared.workspace.LangiumDocuments;
  }

  getCodeActions(document: LangiumDocument, { context, range }: CodeActionParams): CodeAction[] {
    const wanted = context.only ?? [CodeActionKind.QuickFix];
    const analysis = this.services.Analyses.of(document.uri);
    if (!analysis || !wanted.some((kind) => CodeActionKind.QuickFix.startsWith(kind))) return [];
    const scene: Scene = {
      document: document as DesignDocument,
      analysis,
      designOf: (file) => this.open(file)?.parseResult.value as Design | undefined,
      read: (file) => this.open(file)?.textDocument.getText(),
    };
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
      const proved = proveFix(finding, fix, scene);
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
