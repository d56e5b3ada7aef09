/** Designs to compare, read from their text. */
import { editsFor } from '../../../../language/edits.ts';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { createLobeServices, readDesign } from '../../../../language/services.ts';
import { type Analysis, analyse } from '../../../../server/analysis.ts';
import { applied } from '../../../../server/fixes.ts';
import { type Comparison, compared, type Design } from '../../../../server/outputs/compare/comparison.ts';
import type { Difference } from '../../../../server/outputs/compare/differences.ts';

const services = createLobeServices();
const uri = 'memory:/compared.lobe';

function read(text: string): { readonly analysis: Analysis; readonly document: ReturnType<typeof readDesign> } {
  const document = readDesign(services, text, uri);
  return { document, analysis: analyse(document, services.shared.workspace.LangiumDocuments) };
}

export function design(text: string): Design {
  const { resolved, mechanisms, findings } = read(text).analysis;
  return { ...resolved, mechanisms, findings };
}

export const compare = (old: string, now: string): Comparison => compared(design(old), design(now));

/** The only mechanism of two texts, compared. */
export function compareOne(old: string, now: string) {
  const { mechanisms } = compare(old, now);
  if (mechanisms.length !== 1) throw new Error(`${mechanisms.length} mechanisms`);
  return mechanisms[0]!;
}

/** A text with one value set, as a fix or `--set` would; undefined where it cannot be. */
export function withValue(
  text: string,
  pick: (mechanism: Mechanism) => { readonly object: string; readonly property: string; readonly value: string },
): string | undefined {
  const { document, analysis } = read(text);
  const mechanism = analysis.resolved.mechanisms[0]!;
  const files = editsFor([{ do: 'set', ...pick(mechanism) }], {
    mechanism,
    designOf: (file) => (file === uri ? document.parseResult.value : undefined),
  });
  return files.length === 1 ? applied(text, files[0]!.edits) : undefined;
}

/** "segment e stroke", "cam camX added". */
export const brief = (differences: readonly Difference[]): string[] =>
  differences.map(({ what, kind, name, property, was }) =>
    [kind, name, what === 'changed' ? property : what, ...(was === undefined ? [] : [was])].join(' '),
  );
