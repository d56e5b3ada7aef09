/** Imports that lead nowhere, or back. */
import { type AstNode, GrammarUtils, type LangiumDocuments, type URI } from 'langium';
import type { Design, Import } from './generated/ast.ts';
import { designAt, importedFile, importedFiles, importsOf } from './imports.ts';
import { libraryText } from './library.ts';
import type { DesignDocument } from './services.ts';
import type { Problem } from './unexpected.ts';

export function importProblems(document: DesignDocument, documents: LangiumDocuments): Problem[] {
  const problems: Problem[] = [];
  const seen = new Map<string, Import>();
  for (const statement of importsOf(document.parseResult.value)) {
    const file = importedFile(document.uri, statement.path);
    const stretch = pathStretch(statement);
    const first = file && seen.get(file.toString());
    if (first) {
      problems.push({
        code: 'said-twice',
        severity: 'warning',
        message: `"${statement.path}" is brought in twice`,
        ...stretch,
        related: [{ ...pathStretch(first), message: 'it is brought in here' }],
        fixes: [{ title: 'Take the second away', edits: [{ ...whole(statement), text: '' }] }],
      });
    } else if (!file || !isThere(file, documents)) {
      problems.push({
        code: 'missing-file',
        message: `there is no file "${statement.path}" beside this one, or it cannot be read`,
        ...stretch,
      });
    } else {
      const way = wayBack(file, document.uri, documents);
      if (way) {
        problems.push({
          code: 'circular-import',
          severity: 'warning',
          message:
            way.length === 1
              ? 'this file brings itself in'
              : `"${statement.path}" brings this file in again: ${way.map(fileName).join(' → ')}`,
          ...stretch,
          fixes: [{ title: 'Take the import away', edits: [{ ...whole(statement), text: '' }] }],
        });
      }
    }
    if (file && !first) seen.set(file.toString(), statement);
  }
  return problems;
}

/** Whether a file, or one that it brings in, is missing: names may then come from there. */
export function lacksFiles(design: Design, uri: URI, documents: LangiumDocuments): boolean {
  const seen = new Set<string>();
  const lacks = (from: Design, at: URI): boolean =>
    importsOf(from).some(({ path }) => {
      const file = importedFile(at, path);
      if (!file) return true;
      if (seen.has(file.toString())) return false;
      seen.add(file.toString());
      const next = designAt(file, documents);
      return next ? lacks(next, file) : true;
    });
  return lacks(design, uri);
}

function isThere(file: URI, documents: LangiumDocuments): boolean {
  return libraryText(file.toString()) !== undefined || designAt(file, documents) !== undefined;
}

/** The files from `from` on that lead to `to`, both included; undefined where none do. */
function wayBack(from: URI, to: URI, documents: LangiumDocuments): URI[] | undefined {
  if (from.toString() === to.toString()) return [to];
  const cameFrom = new Map<string, URI | undefined>([[from.toString(), undefined]]);
  const waiting = [from];
  for (let file = waiting.shift(); file; file = waiting.shift()) {
    const design = designAt(file, documents);
    for (const next of design ? importedFiles(design, file) : []) {
      if (cameFrom.has(next.toString())) continue;
      cameFrom.set(next.toString(), file);
      if (next.toString() === to.toString()) {
        const way = [next];
        for (let at: URI | undefined = file; at; at = cameFrom.get(at.toString())) way.unshift(at);
        return way;
      }
      waiting.push(next);
    }
  }
  return undefined;
}

function fileName(uri: URI): string {
  return uri.path.slice(uri.path.lastIndexOf('/') + 1);
}

function pathStretch(statement: Import): { from: number; to: number } {
  const node = GrammarUtils.findNodeForProperty(statement.$cstNode, 'path') ?? statement.$cstNode;
  return { from: node?.offset ?? 0, to: node?.end ?? 0 };
}

function whole(node: AstNode): { from: number; to: number } {
  return { from: node.$cstNode?.offset ?? 0, to: node.$cstNode?.end ?? 0 };
}
