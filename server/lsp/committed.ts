/**
 * The committed version of a design: its texts from the client, its mechanisms reckoned apart from all that is open. What
 * was reckoned is kept until the commit has other texts.
 */
import type { Connection } from 'vscode-languageserver';
import { createLobeServices, openDesign } from '../../language/services.ts';
import { type Analysis, analysing, refining } from '../analysis.ts';
import { comparing, type Design, mechanismPairs } from '../outputs/compare/comparison.ts';
import { type Ghost, ghostOf } from '../outputs/compare/ghost.ts';
import { comparisonMarkdown } from '../outputs/compare/written.ts';
import {
  type ChartState,
  type CommittedTextResult,
  type ComparisonResult,
  committedText,
  type Reckoned,
  type Unknown,
} from '../protocol.ts';
import type { Figures } from '../reckon/figures.ts';
import { inGoes } from './goes.ts';

/** What the committed version is called in what is told. */
const calledCommitted = 'the committed version';

interface Known {
  /** By file; null where the commit has none. */
  readonly texts: ReadonlyMap<string, string | null>;
  readonly design: Promise<Design>;
}

export class Committed {
  private readonly connection: Connection;
  private readonly known = new Map<string, Known>();
  private readonly ghosts = new WeakMap<Figures, { readonly old: Figures | undefined; readonly ghost: Ghost }>();

  constructor(connection: Connection) {
    this.connection = connection;
  }

  /** A closed file is forgotten. */
  forget(uri: string): void {
    this.known.delete(uri);
  }

  /** What a chart is held against. */
  async against({ uri, mechanisms }: ChartState): Promise<ChartState['against']> {
    const old = await this.of(uri);
    if ('because' in old) return old;
    const { pairs } = mechanismPairs(old.mechanisms, mechanisms);
    return {
      ghosts: mechanisms.map((now) => this.ghost(pairs.find(([, other]) => other === now)?.[0], now)),
    };
  }

  private ghost(old: Reckoned | undefined, now: Reckoned): Ghost {
    const known = this.ghosts.get(now.figures);
    if (known && known.old === old?.figures) return known.ghost;
    const ghost = ghostOf(old, now, calledCommitted);
    this.ghosts.set(now.figures, { old: old?.figures, ghost });
    return ghost;
  }

  /** What a text changes, its analysis reckoned finely. */
  async comparison(uri: string, now: Analysis): Promise<ComparisonResult> {
    if (now.broken) return { because: `The text cannot be read whole: ${now.broken.message}.` };
    const old = await this.of(uri);
    if ('because' in old) return old;
    const comparison = (await inGoes(comparing(old, designIn(now))))!;
    const name = decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
    return { markdown: comparisonMarkdown(comparison, { old: calledCommitted, now: name }) };
  }

  /** The design as it was committed, or why there is none. */
  private async of(uri: string): Promise<Design | Unknown> {
    const known = this.known.get(uri);
    const texts = new Map<string, string | null>();
    const ask = async (file: string): Promise<Unknown | undefined> => {
      const answer = await this.connection.sendRequest<CommittedTextResult>(committedText, { uri: file });
      if ('because' in answer) return answer;
      texts.set(file, answer.text);
      return undefined;
    };
    const because = await ask(uri);
    if (because) return because;
    if (texts.get(uri) === null) return { because: 'The last commit has no such file: it is not committed yet.' };
    for (const file of known?.texts.keys() ?? []) if (file !== uri) await ask(file);
    if (known && [...known.texts].every(([file, text]) => texts.get(file) === text)) return known.design;
    const design = this.reckoned(uri, texts, ask);
    this.known.set(uri, { texts, design });
    design.catch(() => this.known.delete(uri));
    return design;
  }

  private async reckoned(
    uri: string,
    texts: ReadonlyMap<string, string | null>,
    ask: (file: string) => Promise<Unknown | undefined>,
  ): Promise<Design> {
    for (;;) {
      const services = createLobeServices();
      const missing = new Set<string>();
      const document = openDesign(services, uri, (file) => {
        if (!texts.has(file)) missing.add(file);
        return texts.get(file) ?? undefined;
      });
      const unknown = [...missing];
      if (!unknown.length) {
        const coarse = (await inGoes(analysing(document, services.shared.workspace.LangiumDocuments)))!;
        return designIn((await inGoes(refining(coarse, document)))!);
      }
      // What cannot be asked for is missing, as it is for a design that imports what is not there.
      for (const file of unknown) if (await ask(file)) (texts as Map<string, string | null>).set(file, null);
    }
  }
}

const designIn = ({ resolved, mechanisms, findings }: Analysis): Design => ({
  glyphs: resolved.glyphs,
  processes: resolved.processes,
  materials: resolved.materials,
  mechanisms,
  findings,
});
