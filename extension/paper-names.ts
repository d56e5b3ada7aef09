/** What papers are called as files, and what their names say of them. Knows nothing of the editor. */
import type { PaperFormat, PaperName } from '../server/protocol.ts';

export interface NamedFormat {
  readonly format: PaperFormat;
  /** The usual one first. */
  readonly endings: readonly [string, ...string[]];
}

const all: readonly NamedFormat[] = [
  { format: 'pdf', endings: ['pdf'] },
  { format: 'html', endings: ['html', 'htm'] },
  { format: 'text', endings: ['txt'] },
  { format: 'json', endings: ['json'] },
];

const had: Readonly<Record<PaperName, readonly PaperFormat[]>> = {
  sheet: ['pdf', 'html', 'text', 'json'],
  cards: ['pdf', 'html'],
  report: ['text', 'json'],
};

/** The formats of a paper, the first offered first; `pdf` whether one can be made. */
export const formatsOf = (name: PaperName, pdf: boolean): readonly NamedFormat[] =>
  all.filter(({ format }) => had[name].includes(format) && (pdf || format !== 'pdf'));

/** What the ending of a path says; undefined where it says none of these. */
export function formatOf(path: string, formats: readonly NamedFormat[]): PaperFormat | undefined {
  const last = path.slice(path.lastIndexOf('/') + 1).toLowerCase();
  return formats.find(({ endings }) => endings.some((ending) => last.endsWith(`.${ending}`)))?.format;
}

/** "berth-sign sheet.pdf", beside "berth-sign.lobe". */
export function suggestedName(design: string, name: PaperName, pdf: boolean): string {
  const last = design.slice(design.lastIndexOf('/') + 1).replace(/\.lobe$/, '');
  const [{ endings }] = formatsOf(name, pdf);
  return `${last} ${name}.${endings[0]}`;
}
