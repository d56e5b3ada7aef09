/** Places of a mechanism, as positions in the texts that the server holds. */
import { type LangiumDocuments, URI } from 'langium';
import type { Location } from 'vscode-languageserver';
import type { Place } from '../../language/mechanism.ts';
import { locate } from '../analysis.ts';

export class Places {
  private readonly documents: () => LangiumDocuments;

  constructor(services: { readonly shared: { readonly workspace: { readonly LangiumDocuments: LangiumDocuments } } }) {
    this.documents = () => services.shared.workspace.LangiumDocuments;
  }

  /** Where a place is now; undefined if its file or statement is gone. */
  find(place: Place): Location | undefined {
    const stretch = locate(place, this.documents());
    const text = stretch && this.documents().getDocument(URI.parse(stretch.file))?.textDocument;
    if (!stretch || !text) return undefined;
    return { uri: stretch.file, range: { start: text.positionAt(stretch.from), end: text.positionAt(stretch.to) } };
  }
}
