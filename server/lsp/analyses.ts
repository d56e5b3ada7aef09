/** The newest analysis of every text, and the last good mechanisms for its chart. */
import { type Cancellation, interruptAndCheck, type URI } from 'langium';
import type { DesignDocument } from '../../language/services.ts';
import { type Analysis, analysing } from '../analysis.ts';
import type { ChartChanged, ChartState, Reckoned } from '../protocol.ts';
import type { DesignServices } from './services.ts';

interface Known {
  readonly analysis: Analysis;
  /** Of the newest text that parsed; its mechanisms stay on the chart while the text is broken. */
  readonly good: readonly Reckoned[];
}

export class Analyses {
  private readonly services: DesignServices;
  private readonly known = new Map<string, Known>();
  private readonly listeners: ((changed: ChartChanged) => void)[] = [];

  constructor(services: DesignServices) {
    this.services = services;
    services.shared.workspace.DocumentBuilder.onUpdate((_changed, deleted) => {
      for (const uri of deleted) this.known.delete(uri.toString());
    });
  }

  /** Told after each analysis of a text. */
  onChange(listener: (changed: ChartChanged) => void): void {
    this.listeners.push(listener);
  }

  /** Analyses a linked text anew; lets other work in between its mechanisms. */
  async renew(document: DesignDocument, token: Cancellation.CancellationToken): Promise<Analysis> {
    const known = this.known.get(document.uri.toString());
    const steps = analysing(document, this.services.shared.workspace.LangiumDocuments, known?.analysis);
    for (;;) {
      const { done, value } = steps.next();
      if (done) return this.keep(document, value);
      await interruptAndCheck(token);
    }
  }

  private keep({ uri, textDocument }: DesignDocument, analysis: Analysis): Analysis {
    const name = uri.toString();
    const good = analysis.broken ? (this.known.get(name)?.good ?? analysis.mechanisms) : analysis.mechanisms;
    this.known.set(name, { analysis, good });
    const changed = { uri: name, version: textDocument.version, stale: analysis.broken !== undefined };
    for (const listener of this.listeners) listener(changed);
    return analysis;
  }

  /** The newest analysis of a text; undefined before its first. */
  of(uri: URI | string): Analysis | undefined {
    return this.known.get(uri.toString())?.analysis;
  }

  /** What the chart of a file shows; null where it holds no mechanism. */
  chartOf(uri: string): ChartState | null {
    const known = this.known.get(uri);
    if (!known?.good.length) return null;
    const { analysis, good } = known;
    const broken = analysis.broken;
    const location = broken && this.services.Places.find(broken.place);
    const range = location?.range ?? { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
    return {
      uri,
      version: analysis.version,
      mechanisms: good,
      ...(broken && { stale: { reason: broken.message, range } }),
    };
  }
}
