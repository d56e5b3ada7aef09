/** The newest analysis of every text, and the last good mechanisms for its chart. */
import { type Cancellation, interruptAndCheck, type URI } from 'langium';
import type { DesignDocument } from '../../language/services.ts';
import { type Analysis, analysing, building, refining } from '../analysis.ts';
import type { ChartChanged, ChartState, Reckoned } from '../protocol.ts';
import { inGoes, rest } from './goes.ts';
import type { DesignServices } from './services.ts';

interface Known {
  readonly analysis: Analysis;
  /** Of the newest text that parsed; its mechanisms stay on the chart while the text is broken. */
  readonly good: readonly Reckoned[];
}

/** Rest after the last analysis before it is refined, ms. */
const restBefore = 120;

export class Analyses {
  private readonly services: DesignServices;
  private readonly known = new Map<string, Known>();
  private readonly listeners: ((changed: ChartChanged) => void)[] = [];
  private readonly refinedListeners: ((document: DesignDocument, analysis: Analysis) => void)[] = [];

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

  /** Told when the newest analysis of a text has been refined, and its findings are others than before. */
  onRefined(listener: (document: DesignDocument, analysis: Analysis) => void): void {
    this.refinedListeners.push(listener);
  }

  /** Analyses a linked text anew, lets other work in between its mechanisms, and has it refined when there is time. */
  async renew(document: DesignDocument, token: Cancellation.CancellationToken): Promise<Analysis> {
    const known = this.known.get(document.uri.toString());
    const steps = analysing(document, this.services.shared.workspace.LangiumDocuments, known?.analysis);
    for (;;) {
      const { done, value } = steps.next();
      if (done) {
        this.keep(document, value);
        this.refine(document, value).catch((failure: unknown) => console.error('Refining failed:', failure));
        return value;
      }
      await interruptAndCheck(token);
    }
  }

  /** Reckons finely, then random builds, once nothing has been typed for a moment; drops it for a newer analysis. */
  private async refine(document: DesignDocument, analysis: Analysis): Promise<void> {
    await rest(restBefore);
    const refined = await this.inGoes(document, analysis, refining(analysis, document));
    if (!refined) return;
    if (refined !== analysis) {
      this.keep(document, refined);
      if (!sameFindings(refined, analysis)) for (const listener of this.refinedListeners) listener(document, refined);
    }
    const whole = await this.inGoes(document, refined, building(refined));
    if (whole && whole !== refined) this.keep(document, whole);
  }

  /** The newest analysis of a text, what meets reckoned finely; undefined where there is none, or a newer text is not analysed yet. */
  async fine(document: DesignDocument): Promise<Analysis | undefined> {
    for (;;) {
      const analysis = this.of(document.uri);
      const refined = analysis && (await this.inGoes(document, analysis, refining(analysis, document)));
      // What is refined meanwhile stands in the place of what it was refined from.
      if (refined || this.of(document.uri) === analysis) return refined;
    }
  }

  /**
   * Work about what the chart of a text shows, begun when nothing has been typed for a moment and dropped for a newer
   * text; undefined where the text holds no mechanism, or the work is no longer wanted.
   */
  async atRest<T>(
    document: DesignDocument,
    work: (state: ChartState) => Generator<void, T>,
    isWanted: () => boolean,
  ): Promise<T | undefined> {
    for (;;) {
      await rest(restBefore);
      const state = this.chartOf(document.uri.toString());
      if (!state || !isWanted()) return undefined;
      const done = await inGoes(work(state), () => isWanted() && document.textDocument.version === state.version);
      if (done !== undefined) return done;
    }
  }

  /** Undefined once the analysis that the work is about is no longer the newest. */
  private inGoes<T>(document: DesignDocument, about: Analysis, steps: Generator<void, T>): Promise<T | undefined> {
    const isNewest = () => this.of(document.uri) === about && document.textDocument.version === about.version;
    return inGoes(steps, isNewest);
  }

  private keep({ uri, textDocument }: DesignDocument, analysis: Analysis): void {
    const name = uri.toString();
    const good = analysis.broken ? (this.known.get(name)?.good ?? analysis.mechanisms) : analysis.mechanisms;
    this.known.set(name, { analysis, good });
    const changed = { uri: name, version: textDocument.version, stale: analysis.broken !== undefined };
    for (const listener of this.listeners) listener(changed);
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

/** Whether two analyses of one text tell the same. */
function sameFindings(one: Analysis, other: Analysis): boolean {
  const told = ({ findings }: Analysis) =>
    JSON.stringify(
      findings.map(({ code, severity, message, place, accepted }) => [code, severity, message, place, accepted]),
    );
  return told(one) === told(other);
}
