/** Which files a design brings in. */
import { type LangiumDocuments, URI, UriUtils } from 'langium';
import { type Design, type Import, isImport } from './generated/ast.ts';
import { libraryFiles } from './library.ts';

/** A design's own `import` statements that name a file. */
export function importsOf(design: Design): Import[] {
  return (design.statements ?? []).filter(
    (statement): statement is Import => isImport(statement) && Boolean(statement.path),
  );
}

/** The file that an `import` in file `from` names, as a URI; undefined where the path cannot be one. */
export function importedFile(from: URI, path: string): URI | undefined {
  try {
    return UriUtils.resolvePath(UriUtils.dirname(from), path.replaceAll('\\', '/'));
  } catch {
    return undefined;
  }
}

/** The files that a design names itself, in the order of its imports. */
export function importedFiles(design: Design, from: URI): URI[] {
  return importsOf(design).flatMap(({ path }) => importedFile(from, path) ?? []);
}

/** All designs whose definitions a file sees besides its own: those it imports, those they import …, the library's. */
export function visibleDesigns(uri: URI, documents: LangiumDocuments): Design[] {
  const seen = new Set([uri.toString()]);
  const found: Design[] = [];
  const visit = (from: URI) => {
    const design = designAt(from, documents);
    if (!design) return;
    if (seen.size > 1 || from !== uri) found.push(design);
    for (const file of importedFiles(design, from)) {
      if (seen.has(file.toString())) continue;
      seen.add(file.toString());
      visit(file);
    }
  };
  visit(uri);
  for (const file of libraryFiles) {
    const design = designAt(URI.parse(file), documents);
    if (design) found.push(design);
  }
  return found;
}

/** The design of a file that has been read; undefined for one that is missing. */
export function designAt(uri: URI, documents: LangiumDocuments): Design | undefined {
  return documents.getDocument(uri)?.parseResult.value as Design | undefined;
}
